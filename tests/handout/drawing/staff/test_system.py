"""Systems as drawn: tablature equals staff, and nothing lies on anything else."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.handout.drawing.flow import Block, pages
from groove.handout.drawing.page import (
    PAPERS,
    Glyph,
    Line,
    Mark,
    Polygon,
    Rect,
    Text,
    ink_box,
)
from groove.handout.drawing.staff.system import Drawn, line_blocks
from groove.handout.drawing.staff.written import Clef, clef_for, written_line
from groove.instrument.fretboard import read_tuning
from groove.lesson.line import HAMMER, PULL, SLIDE, NoteLine
from groove.rhythm.meter import METERS
from tests.examples import examples
from tests.handout.drawing.drawing_material import texts_apart
from tests.handout.drawing.staff.staff_material import GUITAR, bars, line, lines, note, tuning_of

WIDTH = 176.0
HEADS = ("black notehead", "half notehead", "whole notehead")


def drawn(made: NoteLine, **how: object) -> list[Mark]:
    given = {"tuning": GUITAR, **how}
    blocks = line_blocks(made, Drawn(WIDTH, **given))  # type: ignore[arg-type]
    return [mark for block in blocks for mark in block.draw(0.0, 0.0)]


def texts(marks: list[Mark]) -> list[str]:
    return [mark.text for mark in marks if isinstance(mark, Text)]


def frets_of(marks: list[Mark]) -> list[tuple[float, int, str]]:
    """The fret numbers of a system: the middle of each, its string, its text."""
    names = [m for m in marks if isinstance(m, Text) and m.anchor == "end"]
    levels = sorted(m.y for m in names)
    found = []
    for mark, before in zip(marks[1:], marks, strict=False):
        if isinstance(mark, Text) and isinstance(before, Rect):
            box = ink_box(mark)
            assert box
            string = min(range(len(levels)), key=lambda row: abs(levels[row] - mark.y)) + 1
            found.append((mark.x, string, mark.text))
    return found


@given(lines(3))
@settings(max_examples=examples(30), deadline=None)
def test_tablature_has_each_head_of_the_staff_under_it(made: NoteLine) -> None:
    tuning = tuning_of(made)
    wanted = [
        (
            head.note.place.string,
            f"({head.note.place.fret})" if head.tied else str(head.note.place.fret),
        )
        for bar in written_line(made, clef_for(tuning))
        for column in bar.columns
        for head in column.heads
        if (place := head.note.place) and tuning.pitch(place) == head.note.pitch
    ]
    found, heads, rows = [], 0, []
    for block in line_blocks(made, Drawn(WIDTH, tuning)):
        marks = block.draw(0.0, 0.0)
        numbers = frets_of(marks)
        found += [(string, text) for _, string, text in numbers]
        stood = [m.x for m in marks if isinstance(m, Glyph) and m.name in HEADS]
        heads += len(stood)
        rows += [min(abs(x - at) for at in stood) for x, _, _ in numbers]
    assert sorted(found) == sorted(wanted)
    assert heads == len(wanted)
    assert all(away < 2.2 for away in rows)  # under the head, or beside the other of a second


@given(lines(3))
@settings(max_examples=examples(30), deadline=None)
def test_words_figures_and_frets_lie_apart_and_within_the_width(made: NoteLine) -> None:
    for block in line_blocks(made, Drawn(WIDTH, tuning_of(made), swing="eighth")):
        marks = block.draw(0.0, 0.0)
        assert texts_apart(marks)
        boxes = [box for mark in marks if (box := ink_box(mark))]
        assert max(box.right for box in boxes) <= WIDTH + 0.5
        assert min(box.left for box in boxes) >= -0.1
        assert min(box.top for box in boxes) == pytest.approx(0.0)
        assert max(box.bottom for box in boxes) == pytest.approx(block.height)


@given(lines(2))
@settings(max_examples=examples(30), deadline=None)
def test_chord_symbols_and_accidentals_lie_on_no_head(made: NoteLine) -> None:
    signs = {"sharp", "flat", "natural", "double sharp", "double flat"}
    for block in line_blocks(made, Drawn(WIDTH, tuning_of(made))):
        marks = block.draw(0.0, 0.0)
        heads = [
            box for m in marks if isinstance(m, Glyph) and m.name in HEADS and (box := ink_box(m))
        ]
        others = [
            (mark, box)
            for mark in marks
            if isinstance(mark, Text) or (isinstance(mark, Glyph) and mark.name in signs)
            if (box := ink_box(mark))
        ]
        for head in heads:
            for mark, box in others:
                assert not head.overlaps(box), mark


def eighths(count: int) -> list[object]:
    return [note(n / 2, 0.5, 3 - n % 2, 5 + n % 3) for n in range(count)]


def test_four_bars_of_eighths_are_a_system_on_either_paper() -> None:
    made = line(eighths(96), bars(12))  # type: ignore[arg-type]
    for paper in PAPERS.values():
        assert len(line_blocks(made, Drawn(paper.width - 34, GUITAR))) == 3


def test_bars_that_are_too_full_stand_two_and_two() -> None:
    full = [note(n / 4, 0.25, 1 + n % 2, 5) for n in range(64)]
    assert len(line_blocks(line(full, bars(4)), Drawn(WIDTH, GUITAR))) == 2


def test_eighths_are_beamed_by_the_beat() -> None:
    marks = drawn(line(eighths(8)))  # type: ignore[arg-type]
    assert len([m for m in marks if isinstance(m, Polygon)]) == 4
    assert not [m for m in marks if isinstance(m, Glyph) and "flag" in m.name]


def test_triplet_that_no_beam_joins_has_a_bracket() -> None:
    third = Fraction(1, 3)
    joined = [note(n * third, third, 3, 5) for n in range(3)]
    apart = [note(0, 2 * third, 3, 5), note(2 * third, third, 3, 5)]
    for notes, lines_more in ((joined, 0), (apart, 4)):
        marks = drawn(line(notes), numbers=False)
        level = [m for m in marks if isinstance(m, Text) and m.text == "3" and m.face == "italic"]
        assert len(level) == 1
        thin = [m for m in marks if isinstance(m, Line) and m.width == 0.18]
        assert len(thin) == 5 + 6 + lines_more


@pytest.mark.parametrize(("bend", "label"), [("1/2", "1/4"), ("1", "1/2"), ("2", "full")])
def test_bend_is_labelled_in_whole_steps(bend: str, label: str) -> None:
    assert label in texts(drawn(line([note(0, 1, 2, 8, bend=Fraction(bend))])))


@pytest.mark.parametrize(("joined", "letter"), [(HAMMER, "H"), (PULL, "P")])
def test_hammer_on_and_pull_off_have_a_slur_on_staff_and_tablature(
    joined: str, letter: str
) -> None:
    made = line([note(0, 1, 3, 5), note(1, 1, 3, 7, joined=joined)])
    marks = drawn(made)
    assert letter in texts(marks)
    assert len([m for m in marks if isinstance(m, Polygon)]) == 2


def test_slide_is_a_slanted_line_on_staff_and_tablature() -> None:
    marks = drawn(line([note(0, 1, 3, 5), note(1, 1, 3, 7, joined=SLIDE)]))
    slanted = [m for m in marks if isinstance(m, Line) and m.x1 != m.x2 and m.y1 != m.y2]
    assert [m.y1 > m.y2 for m in slanted] == [True, True]


def test_without_a_neck_there_is_a_staff_alone() -> None:
    marks = drawn(line([note(0, 4, 3, 5)]), tuning=None, clef=Clef("bass"))
    names = [m.name for m in marks if isinstance(m, Glyph)]
    assert names[0] == "bass clef"
    assert "tab clef" not in names


@pytest.mark.parametrize("name", ["bass", "bass-5", "guitar-7", "ukulele"])
def test_every_string_has_its_line_and_its_name(name: str) -> None:
    tuning = read_tuning(name)
    marks = drawn(line([note(0, 4, 1, 5, tuning)]), tuning=tuning)
    ends = [m.text for m in marks if isinstance(m, Text) and m.anchor == "end"]
    assert len(ends) == len(tuning.open_strings)


@pytest.mark.parametrize("name", METERS)
def test_time_signature_stands_once_at_the_beginning(name: str) -> None:
    meter = METERS[name]
    marks = drawn(line([], bars(8, meter)))
    digits = [m.name for m in marks if isinstance(m, Glyph) and m.name.startswith("time ")]
    assert "".join(d[-1] for d in digits) == name.replace("/", "")


def test_no_system_is_broken_over_a_page() -> None:
    blocks: list[Block] = line_blocks(line(eighths(8 * 40), bars(40)), Drawn(WIDTH, GUITAR))  # type: ignore[arg-type]
    made = pages(blocks, PAPERS["a4"], "Long")
    assert len(made) > 1
    for page in made:
        boxes = [box for mark in page.marks if (box := ink_box(mark))]
        assert max(box.bottom for box in boxes) < page.paper.height - 15


def test_screen_reader_hears_the_notes_of_each_bar() -> None:
    (block,) = line_blocks(line([note(0, 1, 3, 5), note(1, 1, 2, 5)]), Drawn(WIDTH, GUITAR))
    assert block.words == "Bar 1, A7: C4 E4."


@given(st.lists(st.booleans(), min_size=2, max_size=9), st.data())
@settings(max_examples=examples(25), deadline=None)
def test_the_feel_stands_where_it_begins_and_changes_and_names_where_sections_begin(
    straight: list[bool], data: st.DataObject
) -> None:
    names = [data.draw(st.sampled_from(["", "Verse", "Bridge"])) for _ in straight]
    over = [
        replace(bar, straight=even, section=name)
        for bar, even, name in zip(bars(len(straight)), straight, names, strict=True)
    ]
    made = line([note(4 * n, 4, 3, 5) for n in range(len(over))], over)
    marks: list[Mark] = []
    for block in line_blocks(made, Drawn(WIDTH, GUITAR, swing="eighth")):
        drawn = block.draw(0.0, 0.0)
        assert texts_apart(drawn)
        marks += drawn
    words = [mark.text for mark in marks if isinstance(mark, Text)]
    begins = [even for n, even in enumerate(straight) if not n or straight[n - 1] != even]
    assert words.count("straight") == begins.count(True)
    assert words.count("=") == begins.count(False)
    assert [word for word in words if word in ("Verse", "Bridge")] == [n for n in names if n]
