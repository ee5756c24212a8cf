"""Solo, licks, call and response and a teacher's phrases on the pages of a sheet."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

import groove
from groove.handout.drawing.flow import MARGIN, pages
from groove.handout.drawing.page import PAPERS, Glyph, Mark, Text
from groove.handout.sheet.data import sheet_data
from groove.handout.sheet.lines.line_blocks import (
    answer_blocks,
    bass_blocks,
    guide_tone_blocks,
    lick_blocks,
    solo_blocks,
    teacher_phrase_blocks,
)
from groove.handout.sheet.lines.line_text import teacher_phrases_text
from groove.handout.sheet.sheet import Sheet, write_sheet
from groove.lesson.request import Request
from tests.handout.sheet.sheet_material import assert_apart, sheet, texts

PHRASES = """
title = "Two phrases"
chords = "I7:4 IV7:4"
key = "A"

[[phrases]]
name = "Up the hill"
notes = "3f5:1/2 3f5:1/2 | 3f7^1:1 2f5:1/2 h2f8:1/2 1f5:2"
words = "Let the bend sing."

[[phrases]]
name = "Two at once"
notes = "2f5+1f5:2 s2f7+1f7:2"
over = "IV7"
"""


def marks_of(made: Sheet, name: str, width: float = 176.0) -> list[Mark]:
    makers = {"solo": solo_blocks, "licks": lick_blocks, "answers": answer_blocks}
    return [mark for block in makers[name](made, width) for mark in block.draw(0.0, 0.0)]


def glyphs(marks: list[Mark]) -> list[str]:
    return [mark.name for mark in marks if isinstance(mark, Glyph)]


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
@pytest.mark.parametrize("form", ["twelve-bar", "rhythm-changes"])
@pytest.mark.parametrize("instrument", ["guitar", "bass", "keyboard"])
def test_texts_of_the_pages_lie_apart(form: str, instrument: str, paper: object) -> None:
    made = sheet(form, instrument=instrument)
    width = paper.width - 2 * MARGIN  # type: ignore[attr-defined]
    blocks = [*lick_blocks(made, width), *solo_blocks(made, width), *answer_blocks(made, width)]
    for page in pages(blocks, paper, "Lines"):  # type: ignore[arg-type]
        assert_apart(page)


def test_beginner_has_one_lick_and_four_bars_of_solo() -> None:
    form = groove.read_form("twelve-bar", learner="beginner")
    made = write_sheet(form)
    assert len(made.licks) == 1
    assert len(made.solo.bars) == 4
    assert made.solo.notes == tuple(n for n in made.solo.notes if n.end <= made.solo.bars[-1].end)


@pytest.mark.parametrize("reader", ["tenor-sax", "alto-sax", "trumpet"])
def test_horns_have_a_staff_alone_in_their_key(reader: str) -> None:
    marks = marks_of(sheet("twelve-bar", reader=reader), "solo")
    assert "treble clef" in glyphs(marks)
    assert "tab clef" not in glyphs(marks)


def test_trombone_reads_the_bass_clef_near_its_middle() -> None:
    made = sheet("twelve-bar", reader="trombone")
    found = glyphs(marks_of(made, "solo"))
    assert "bass clef" in found


def test_left_hander_reads_the_same_tablature() -> None:
    one, other = (sheet("twelve-bar", left_handed=way) for way in (True, False))
    assert marks_of(one, "solo") == marks_of(other, "solo")


def test_phrases_of_the_teacher_stand_over_each_chord(tmp_path: object) -> None:
    path = tmp_path / "phrases.toml"  # type: ignore[operator]
    path.write_text(PHRASES)
    made = write_sheet(groove.read_form(path), Request())
    blocks = teacher_phrase_blocks(made, 176.0)
    (page,) = pages(blocks, PAPERS["a4"], "Phrases")
    assert_apart(page)
    said = [text.text for text in texts(page)]
    for words in ("Up the hill", "Two at once", "Let the bend sing.", "full"):
        assert words in said
    data = sheet_data(made)["phrases"]
    text = "\n".join(row for part in teacher_phrases_text(made) for row in part)
    for phrase in data:
        assert {"A7", "D7"} <= {over["chord"] for over in phrase["over"]}
        for over in phrase["over"]:
            title = f"Over {over['chord']}: {over['names'].replace('#', '♯')}"
            assert title in said
            assert title in text
            assert "\n".join(over["tab"]) in text


@pytest.mark.parametrize("name", ["bass", "lines"])
@pytest.mark.parametrize("form", ["twelve-bar", "rhythm-changes"])
def test_bass_line_and_guide_tones_fit_on_their_pages(name: str, form: str) -> None:
    made = sheet(form, instrument="bass")
    blocks = {"bass": bass_blocks, "lines": guide_tone_blocks}[name](made, 176.0)
    for page in pages(blocks, PAPERS["a4"], "Lines"):
        assert_apart(page)


def test_guide_tones_have_their_degrees_under_them() -> None:
    blocks = guide_tone_blocks(sheet("twelve-bar", reader="tenor-sax"), 176.0)
    said = [m.text for b in blocks for m in b.draw(0.0, 0.0) if isinstance(m, Text)]
    assert said.count("♭7") == said.count("3") == 6


@pytest.mark.parametrize("form", ["jazz-twelve-bar", "rhythm-changes"])
def test_horns_play_one_note_at_a_time_and_pianists_two(form: str) -> None:
    made = groove.read_form(form, learner="advanced")
    for reader, most in (("tenor-sax", 1), ("piano", 2)):
        lines = [(s := write_sheet(made, Request(reader=reader))).solo, *s.licks, s.answers]
        at_once = Counter((n, note.start) for n, line in enumerate(lines) for note in line.notes)
        assert max(at_once.values()) == most


SWUNG = """
title = "Swing and not"
key = "F"
drums = "medium-swing"
order = "Verse, Bridge, Verse"

[[sections]]
name = "Verse"
chords = "| Fmaj7 | Gm7 C7 | Fmaj7 | Gm7 C7 |"

[[sections]]
name = "Bridge"
drums = "bossa"
chords = "| Bbmaj7 | % | Gm7 | C7 |"

[[phrases]]
name = "up"
notes = "3f2:1/2 3f5:1/2 2f5:1/2 2f6:1/2 2f6:2"
"""


def swung(tmp_path: Path, drums: str = "medium-swing") -> Sheet:
    path = tmp_path / "swung.toml"
    path.write_text(SWUNG.replace("medium-swing", drums))
    return write_sheet(groove.read_form(path), Request())


def test_lines_say_where_they_swing_and_which_section_begins(tmp_path: Path) -> None:
    made = swung(tmp_path)
    signs = ("Verse", "Bridge", "straight", "=")
    for makes in (solo_blocks, bass_blocks, guide_tone_blocks):
        marks = [mark for block in makes(made, 176.0) for mark in block.draw(0.0, 0.0)]
        found = [m.text for m in marks if isinstance(m, Text) and m.text in signs]
        if makes is guide_tone_blocks:  # a note a chord: nothing to swing
            assert found == ["Verse", "Bridge", "Verse"]
        else:
            assert found == ["Verse", "=", "Bridge", "straight", "Verse", "="]


@pytest.mark.parametrize("drums", ["medium-swing", "shuffle", "bossa"])
def test_each_lick_and_phrase_has_the_sign_of_swing_where_it_swings(
    drums: str, tmp_path: Path
) -> None:
    made = swung(tmp_path, drums)
    lines = [*made.licks, *(over.line for p in made.phrases for over in (p.written, *p.moved))]
    blocks = [*lick_blocks(made, 176.0), *teacher_phrase_blocks(made, 176.0)]
    signs = [m for b in blocks for m in b.draw(0.0, 0.0) if isinstance(m, Text) and m.text == "="]
    assert len(signs) == (len(lines) if drums != "bossa" else 0)


def test_bends_near_the_nut_are_told_with_their_chords(tmp_path: Path) -> None:
    path = tmp_path / "phrases.toml"
    path.write_text(PHRASES)
    told = {}
    for key in ("A", "E"):
        made = write_sheet(groove.read_form(path, key=key), Request())
        told[key] = [row for rows in teacher_phrases_text(made) for row in rows if "stiff" in row]
        near = {
            str(over.chord.root)
            for phrase in made.phrases
            for over in (phrase.written, *phrase.moved)
            if any(n.bend and n.place and n.place.fret < 3 for n in over.line.notes)
        }
        assert {root for root in "ADE" if any(f"{root}7" in row for row in told[key])} == near
        words = " ".join(block.words for block in teacher_phrase_blocks(made, 176.0))
        assert ("stiff" in words) == bool(near)
    assert told["E"]
    assert not told["A"]
