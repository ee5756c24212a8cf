"""Patterns in other metres than the one they are written in."""

from __future__ import annotations

import pytest

from groove import library
from groove.rhythm.meter import METERS, Meter
from groove.rhythm.patterns import READERS, bass_pattern, drum_pattern
from groove.rhythm.regroup import in_meter


def row(name: str, meter: str, voice: str, cell: int = 0) -> str:
    """One row of a drum pattern's cell in a metre, as box notation."""
    pattern = in_meter(drum_pattern(name), Meter.parse(meter))
    struck = {s.line for s in pattern.cells[cell].strokes if s.row == voice}
    return "".join("x" if line in struck else "." for line in range(pattern.grid.lines))


def test_a_pattern_in_its_own_metre_is_itself() -> None:
    pattern = drum_pattern("rumba")
    assert in_meter(pattern, METERS["4/4"]) is pattern


def test_groups_change_places() -> None:
    """The snare opens the long beat of 2+2+3, wherever that stands."""
    assert row("seven-eight", "2+2+3/8", "snare") == "........x....."
    assert row("seven-eight", "3+2+2/8", "snare") == "x............."
    assert row("seven-eight", "2+3+2/8", "snare") == "....x........."
    assert row("seven-eight", "2+3+2/8", "hat") == "x.x.x.x.x.x.x."


def test_a_bar_begins_as_it_did_whichever_group_comes_first() -> None:
    assert row("seven-eight", "3+2+2/8", "kick").startswith("x")
    bass = in_meter(bass_pattern("seven-eight"), Meter.parse("3+2+2/8"))
    assert all(min(s.line for s in cell.strokes) == 0 for cell in bass.cells)


def test_a_short_bar_stops_and_a_long_one_goes_on_from_the_start() -> None:
    whole = row("eighths-rock", "4/4", "hat")
    half = len(whole) // 2
    assert row("eighths-rock", "2/4", "hat") == whole[:half]
    assert row("eighths-rock", "5/4", "hat") == whole + whole[: half // 2]


def test_held_notes_end_where_their_group_does() -> None:
    bass = in_meter(bass_pattern("six-eight-roots"), METERS["3/8"])
    assert bass.grid.lines == 3
    for cell in bass.cells:
        assert all(stroke.line + stroke.lines <= cell.lines for stroke in cell.strokes)


@pytest.mark.parametrize("meter", [*METERS.values(), Meter.parse("3+2+2/8")], ids=str)
def test_any_pattern_can_be_played_in_any_metre(meter: Meter) -> None:
    for kind, read in READERS.items():
        for name in library.names(kind):
            pattern = read(name)
            if meter.bar_ticks % pattern.grid.line_ticks:
                continue
            there = in_meter(pattern, meter)
            assert there.grid.meter == meter
            for cell in there.cells:
                assert cell.lines % there.grid.lines == 0
                assert all(0 <= stroke.line < cell.lines for stroke in cell.strokes)
