"""Melodies and riffs as they are played: pitches, keys, pushes, and the instrument's range."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from groove.band.lines.written_lines import play_melody, play_riffs
from groove.band.part import Part
from groove.form.chart import Chart
from groove.form.unroll import unroll
from groove.rhythm.kit import INSTRUMENTS
from tests.band.band_material import take_of
from tests.form.road_material import arranged, example

Sounding = list[tuple[Fraction, Fraction, int]]


def chart_of(section: dict[str, Any], **form: Any) -> Chart:
    values = {"key": "C", "drums": "eighths-rock", "order": ["A"], "ending": "written"} | form
    return unroll(arranged(sections=[{"name": "A"} | section], **values))


def sounding(part: Part | None, chart: Chart) -> Sounding:
    """Place and length in quarters, and pitch, of each note."""
    assert part
    return [
        (Fraction(n.start - chart.start, 960), Fraction(n.length, 960), n.pitch) for n in part.notes
    ]


def riffed(chords: str, notes: str, **riff: Any) -> tuple[Chart, Sounding]:
    riffs = [{"name": "horn", "instrument": "trumpet", "notes": notes} | riff]
    chart = chart_of({"chords": chords, "riff": "horn"}, riffs=riffs)
    return chart, sounding(play_riffs(chart), chart)


def pitches(notes: Sounding) -> list[int]:
    return [pitch for _, _, pitch in notes]


def test_a_melody_stands_where_it_is_written() -> None:
    chart = chart_of({"chords": "| C | F |", "melody": "| E4:3/2 F4:1/2 - G4 | A4:4 |"})
    assert sounding(play_melody(chart), chart) == [
        (0, Fraction(3, 2), 64), (Fraction(3, 2), Fraction(1, 2), 65), (3, 1, 67), (4, 4, 69),
    ]  # fmt: skip


@pytest.mark.parametrize(("key", "up"), [("+2", 2), ("+5", 5), ("+7", -5), ("-1", -1), ("+6", -6)])
def test_note_names_move_with_the_key_to_the_nearest_octave(key: str, up: int) -> None:
    section = {"chords": "| C |", "melody": "| E4 G4 C5 C4 |"}
    moved = chart_of(section, order=[{"play": "A", "key": key}])
    at_home = [64, 67, 72, 60]
    assert pitches(sounding(play_melody(moved), moved)) == [pitch + up for pitch in at_home]


def test_a_melody_in_a_section_of_another_key_stays_as_it_is_written() -> None:
    chart = chart_of({"chords": "| I |", "key": "F", "melody": "| A4:4 |"})
    assert pitches(sounding(play_melody(chart), chart)) == [69]


def test_the_last_bars_of_a_section_have_the_last_bars_of_its_melody() -> None:
    section = {"chords": "| C | F | G | C |", "melody": "| C4:4 | D4:4 | E4:4 | F4:4 |"}
    chart = chart_of(section, order=["A:-2"])
    assert sounding(play_melody(chart), chart) == [(0, 4, 64), (4, 4, 65)]


def test_bars_of_another_metre_have_the_beats_that_they_are_given() -> None:
    chart = chart_of({"chords": "| C | 2/4 F | C |", "melody": "| C4:4 | D4:2 | E4:4 |"})
    assert sounding(play_melody(chart), chart) == [(0, 4, 60), (4, 2, 62), (6, 4, 64)]


def test_a_riff_goes_round_over_the_chord_that_sounds() -> None:
    """Degrees: the third is the chord's own, b3 the written one (common practice)."""
    _, notes = riffed("| C7 | Fm7 | Bdim7 |", "| 1 3 b3 5 |")
    named = [pitch % 12 for pitch in pitches(notes)]
    assert named == [0, 4, 3, 7, 5, 8, 8, 0, 11, 2, 2, 5]


def test_degrees_from_the_key_stay_over_all_chords() -> None:
    _, notes = riffed("| C7 | F7 |", "| 1 b3 4 5 |", **{"from": "key"})
    assert [pitch % 12 for pitch in pitches(notes)] == [0, 3, 5, 7] * 2


def test_a_riff_keeps_its_shape() -> None:
    _, notes = riffed("| C7 |", "| 1 5 8 _5 |")
    first, fifth, octave, below = pitches(notes)
    assert (fifth - first, octave - first, below - first) == (7, 12, -5)


def test_a_note_on_a_pushed_chord_comes_with_the_push() -> None:
    chart, notes = riffed("| C | ~F | G | C |", "| 1:2 5:2 |")
    pushed = next(slot for slot in chart.changes if slot.early)
    start = Fraction(pushed.start - chart.start, 960)
    assert start == Fraction(7, 2)
    before, after = (note for note in notes if 2 <= note[0] < 4)
    assert before[0] + before[1] == start
    assert (after[0], after[2] % 12) == (start, 5)


@pytest.mark.parametrize("name", ["tenor sax", "trumpet", "flute", "tuba", "piccolo", "violin"])
def test_all_notes_lie_in_the_range_of_the_instrument(name: str) -> None:
    instrument = INSTRUMENTS[name]
    for notes in ("| 1 __1 13 _5 |", "| C3 G4 C6 E4 |"):
        _, found = riffed("| C7 | F#7 | Bb7 |", notes, instrument=name)
        assert all(instrument.lowest <= p <= instrument.highest for p in pitches(found))


def test_the_riff_of_the_example_plays_in_the_solo_that_names_it() -> None:
    chart = example("stop-time-blues")
    riff = play_riffs(chart)
    assert riff
    (solo,) = (played for played in chart.passes if played.name == "second solo")
    assert len(riff.notes) == 36
    assert all(solo.start <= n.start < solo.end for n in riff.notes)


def test_eighths_swing_and_thirds_of_beats_do_not() -> None:
    section = {"chords": "| C |", "melody": "| C4:1/2 D4:1/2 E4:1/3 F4:1/3 G4:1/3 -:2 |"}
    chart = chart_of(section, drums="medium-swing", tempo=120, tightness=1, swing_ratio=2)
    melody = next(p for p in take_of(chart).parts if p.name == "melody")
    places = [round((n.start - chart.start) / 960, 2) for n in melody.notes]
    assert places == [0, 0.67, 1, 1.33, 1.67]


def test_a_melody_is_silent_where_its_player_is() -> None:
    section = {"chords": "| C | F |", "melody": "| C4:4 | D4:4 |", "tacet": {"melody": "1"}}
    chart = chart_of(section)
    melody = next(p for p in take_of(chart).parts if p.name == "melody")
    assert [note.pitch for note in melody.notes] == [62]


def test_a_riff_goes_on_through_stops_and_no_chord() -> None:
    riffs = [{"name": "horn", "notes": "| 1 3 5 - |"}]
    section = {"chords": "| C | F | NC | C |", "riff": "horn", "stops": {"2": "X..."}}
    chart = chart_of(section, riffs=riffs)
    places = [place for place, _, _ in sounding(play_riffs(chart), chart)]
    assert places == [bar * 4 + beat for bar in range(4) for beat in range(3)]


def test_a_line_lifts_the_riff_of_its_section() -> None:
    riffs = [{"name": "horn", "notes": "| 1:4 |"}, {"name": "reed", "notes": "| 5:4 |"}]
    order = ["A", {"play": "A", "riff": False}, {"play": "A", "riff": "reed"}]
    chart = chart_of({"chords": "| C |", "riff": "horn"}, riffs=riffs, order=order)
    notes = sounding(play_riffs(chart), chart)
    assert [(place, pitch % 12) for place, _, pitch in notes] == [(0, 0), (8, 7)]
