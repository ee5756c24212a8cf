"""The head of the chart on paper: the short staff, tempo, feel and title."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import music21
import pytest

from groove.form.readers import READERS
from groove.handout.chart.head import head
from groove.handout.chart.written import write_chart
from groove.handout.drawing.page import Glyph, Line, Mark, Text, ink_box, text_width
from tests.handout.chart.chart_material import form
from tests.theory.key_material import KEYS

WIDTH, MARGIN = 210.0, 17.0  # mm
MIDDLES = {"treble": "B", "bass": "D"}  # notes on the middle line (common practice)
LETTERS = "CDEFGAB"


def marks(reader: str = "concert", **values: Any) -> tuple[float, tuple[Mark, ...]]:
    made = form(**({"chords": "I7:4"} | values))
    return head(write_chart(made, READERS[reader]), WIDTH, MARGIN)


def staff(drawn: tuple[Mark, ...]) -> list[float]:
    """The heights of the staff's lines, from the top."""
    return sorted(mark.y1 for mark in drawn if isinstance(mark, Line))


def glyphs(drawn: tuple[Mark, ...], *names: str) -> list[Glyph]:
    return [mark for mark in drawn if isinstance(mark, Glyph) and mark.name in names]


def text(drawn: tuple[Mark, ...], words: str) -> Text:
    (found,) = [mark for mark in drawn if isinstance(mark, Text) and mark.text == words]
    return found


@pytest.mark.parametrize("reader", ["concert", "bass-clef"])
@pytest.mark.parametrize("key", KEYS, ids=str)
def test_signs_of_the_key_stand_on_the_lines_of_their_notes(key: Any, reader: str) -> None:
    # Source: general-purpose reference library music21, which notes a key signature alters.
    _, drawn = marks(reader, key=key.symbol)
    lines = staff(drawn)
    space = lines[1] - lines[0]
    letter = MIDDLES["bass" if reader == "bass-clef" else "treble"]
    signs = glyphs(drawn, "sharp", "flat")
    steps = [round((lines[2] - sign.y) / (space / 2)) for sign in signs]
    found = [LETTERS[(LETTERS.index(letter) + step) % 7] for step in steps]
    altered = music21.key.KeySignature(key.signature).alteredPitches
    assert found == [pitch.step for pitch in altered]
    assert {sign.name for sign in signs} == {
        "sharp" if pitch.alter > 0 else "flat" for pitch in altered
    }
    assert all(-5 <= step <= 5 for step in steps)
    assert all(before.x < sign.x for before, sign in pairwise(signs))


def test_staff_has_five_lines_and_holds_clef_signs_and_metre() -> None:
    _, drawn = marks(key="Eb", meter="12/8", drums="slow-blues", tempo=60)
    lines = staff(drawn)
    assert len(lines) == 5
    assert [b - a for a, b in pairwise(lines)] == pytest.approx([1.9] * 4)
    (one, two, eight) = glyphs(drawn, "time 1", "time 2", "time 8")
    assert (one.name, two.name, eight.name) == ("time 1", "time 2", "time 8")
    assert one.y == two.y == pytest.approx(lines[1])
    assert eight.y == pytest.approx(lines[3])
    assert one.x < eight.x < two.x
    end = next(mark.x2 for mark in drawn if isinstance(mark, Line))
    boxes = [box for mark in drawn if isinstance(mark, Glyph) and mark.space == 1.9
             and (box := ink_box(mark))]  # fmt: skip
    assert all(box.left > MARGIN and box.right < end for box in boxes)
    assert not any(a.overlaps(b) for a, b in pairwise(boxes[:-3]))


@pytest.mark.parametrize(
    ("reader", "clef", "line"), [("concert", "treble", 3), ("bass-clef", "bass", 1)]
)
def test_clef_stands_on_its_line(reader: str, clef: str, line: int) -> None:
    """A treble clef winds round the second line from below, G; a bass clef begins on the fourth,
    F (common practice)."""
    _, drawn = marks(reader)
    (sign,) = glyphs(drawn, f"{clef} clef")
    assert sign.y == pytest.approx(staff(drawn)[line])


@pytest.mark.parametrize(("meter", "dots"), [("4/4", 0), ("12/8", 1)])
def test_tempo_names_the_note_that_is_the_beat(meter: str, dots: int) -> None:
    _, drawn = marks(meter=meter, tempo=72.5)
    (quarter,) = glyphs(drawn, "tempo quarter")
    dotted = glyphs(drawn, "tempo dot")
    assert len(dotted) == dots
    assert quarter.x < text(drawn, "= 72.5").x
    assert all(quarter.x < dot.x < text(drawn, "= 72.5").x for dot in dotted)


def test_key_tempo_and_feel_stand_in_a_row() -> None:
    _, drawn = marks(key="G", tempo=100)
    row = [mark for mark in drawn if isinstance(mark, Text)][1:]
    assert [mark.text for mark in row][1] == "= 100"
    assert len({mark.y for mark in row}) == 1
    for before, after in pairwise(row):
        assert before.x + text_width(before.text, before.size, before.face) + 5 < after.x


def test_reader_is_named_at_the_right_margin_for_transposing_instruments_alone() -> None:
    _, drawn = marks("Eb")
    said = text(drawn, READERS["Eb"].words)
    assert (said.x, said.anchor) == (WIDTH - MARGIN, "end")
    assert READERS["concert"].words not in [m.text for m in marks()[1] if isinstance(m, Text)]


def title_lines(title: str) -> list[Text]:
    _, drawn = marks(title=title)
    found = [m for m in drawn if isinstance(m, Text) and m.face == "bold" and m.size >= 17]
    assert "".join("".join(mark.text for mark in found).split()) == title.replace(" ", "")
    for mark in found:
        assert mark.x == MARGIN
        assert text_width(mark.text, mark.size, "bold") <= WIDTH - 2 * MARGIN
    return found


def test_short_title_stands_on_one_line_in_full_size() -> None:
    (line,) = title_lines("Ferry Landing")
    assert line.size == 26


def test_longer_title_shrinks_as_little_as_a_line_asks() -> None:
    (line,) = title_lines("A ferry landing in the rain on a Monday morning")
    assert 17 < line.size < 26
    assert text_width(line.text, line.size + 1, "bold") > WIDTH - 2 * MARGIN


@pytest.mark.parametrize("title", ["A very long way round to the bridge " * 3, "A" * 60])
def test_long_title_takes_several_lines_in_the_least_size(title: str) -> None:
    lines = title_lines(title.strip())
    assert {line.size for line in lines} == {17}
    assert len(lines) > 1
    assert all(a.y < b.y for a, b in pairwise(lines))


def test_sentences_on_the_choruses_are_broken_at_the_margin_above_the_first_line() -> None:
    changing = {"key_cycle": "fourths", "choruses": 12, "tempo_step": 2, "turnaround": "V7"}
    end, drawn = marks(**changing)
    plain_end, plain = marks()
    rows = [m for m in drawn if isinstance(m, Text) and m.size == 11]
    assert [b.y - a.y for a, b in pairwise(rows)] == pytest.approx([5.2] * (len(rows) - 1))
    assert all(text_width(row.text, 11) <= WIDTH - 2 * MARGIN for row in rows)
    assert end > rows[-1].y > staff(drawn)[-1]
    assert end > plain_end > staff(plain)[-1]
