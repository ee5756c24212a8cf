"""Box notation is read stroke by stroke; what is no notation is refused with its place."""

from __future__ import annotations

import pytest

from groove.rhythm.box_notation import (
    Grid,
    Stroke,
    bass_mark,
    comping_mark,
    drum_mark,
    read_cell,
)
from groove.rhythm.meter import METERS


def grid(meter: str, lines: int, feel: str = "straight") -> Grid:
    return Grid(METERS[meter], lines, feel)


def test_each_mark_of_a_drum_row_is_a_stroke_on_its_line() -> None:
    cell = read_cell(2, {"snare": "..o. X...", "kick": "x... ...."}, drum_mark)
    assert (cell.level, cell.lines, cell.held) == (2, 8, False)
    assert cell.strokes == (
        Stroke(0, 1, "kick", "x"),
        Stroke(2, 1, "snare", "o"),
        Stroke(4, 1, "snare", "X", accent=True),
    )


def test_spaces_and_bar_lines_are_for_the_eye() -> None:
    plain, spaced = (read_cell(1, {"hat": text}, drum_mark) for text in ("x.xx", "|x .| x x|"))
    assert plain == spaced


def test_a_hold_lengthens_the_note_before_it() -> None:
    cell = read_cell(1, {"chord": "x--.X-n."}, comping_mark)
    assert [(s.line, s.lines, s.mark) for s in cell.strokes] == [
        (0, 3, "x"), (4, 2, "X"), (6, 1, "n"),
    ]  # fmt: skip


def test_a_hold_at_the_start_ties_to_the_note_before_the_cell() -> None:
    assert read_cell(1, {"chord": "-.x."}, comping_mark).held
    assert not read_cell(1, {"chord": "..x-"}, comping_mark).held


def test_a_bass_line_is_words_with_octaves_and_accents() -> None:
    cell = read_cell(1, {"line": "1 - !5, . 8' a n x"}, bass_mark)
    assert [(s.line, s.lines, s.mark, s.octave, s.accent) for s in cell.strokes] == [
        (0, 2, "1", 0, False), (2, 1, "5", -1, True), (4, 1, "8", 1, False),
        (5, 1, "a", 0, False), (6, 1, "n", 0, False), (7, 1, "x", 0, False),
    ]  # fmt: skip


def test_a_bass_note_may_be_slid_into_and_lead_by_a_fifth() -> None:
    cell = read_cell(1, {"line": "1 !/8 /5, v"}, bass_mark)
    assert [(s.mark, s.octave, s.accent, s.slide) for s in cell.strokes] == [
        ("1", 0, False, False), ("8", 0, True, True), ("5", -1, False, True),
        ("v", 0, False, False),
    ]  # fmt: skip


def test_a_figure_sounds_two_degrees_together() -> None:
    cell = read_cell(1, {"line": "1+5 !1+6"}, comping_mark)
    assert [(s.mark, s.accent) for s in cell.strokes] == [("1+5", False), ("1+6", True)]


@pytest.mark.parametrize(
    ("rows", "read_mark", "told"),
    [
        ({"snare": "x..n"}, drum_mark, "row 'snare', grid line 4: unknown mark 'n'"),
        ({"spoons": "x..."}, drum_mark, "row 'spoons', grid line 1"),
        ({"line": "1 0"}, bass_mark, "grid line 2: unknown mark '0'"),
        ({"chord": "1..."}, bass_mark, "row 'chord'"),
        ({"chord": "x.z."}, comping_mark, "grid line 3"),
        ({"voice-5": "x..."}, comping_mark, "row 'voice-5'"),
        ({"line": "1+5+8"}, comping_mark, "unknown mark '1+5+8'"),
        ({"kick": "x...", "snare": "x.."}, drum_mark, "different lengths: [3, 4]"),
        ({}, drum_mark, "different lengths"),
    ],
)  # fmt: skip
def test_what_is_no_notation_is_refused_with_its_place(rows, read_mark, told) -> None:
    with pytest.raises(ValueError, match="row") as error:
        read_cell(1, rows, read_mark)
    assert told in str(error.value)


def test_a_grid_of_sixteenths_has_four_lines_to_a_beat() -> None:
    assert grid("4/4", 16).lines_per_beat == 4
    assert grid("4/4", 16).line_ticks == 240
    assert grid("12/8", 12).lines_per_beat == 3
    assert grid("12/8", 12).line_ticks == 480  # an eighth


@pytest.mark.parametrize(
    ("meter", "lines", "feels"),
    [
        ("4/4", 16, {"straight", "shuffle", "swing"}), ("4/4", 8, {"straight", "shuffle", "swing"}),
        ("4/4", 12, {"shuffle", "swing"}), ("3/4", 9, {"shuffle", "swing"}),
        ("12/8", 12, {"straight"}), ("6/8", 6, {"straight"}),
    ],
)  # fmt: skip
def test_triplets_cannot_be_straight_and_compound_metres_cannot_swing(
    meter: str, lines: int, feels: set[str]
) -> None:
    """A compound beat is in three already (common practice)."""
    taken = {feel for feel in ("straight", "shuffle", "swing") if grid(meter, lines).takes(feel)}
    assert taken == feels
