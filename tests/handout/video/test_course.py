"""The course of a track in seconds. Source: bars and beats as written out here, and the downbeats
that pretty_midi finds in the MIDI file of the same form."""

from itertools import pairwise
from pathlib import Path
from typing import Any

import mido
import pretty_midi
import pytest

from groove.band.take import Take
from groove.form.build import Layer, build
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.handout.video.course import Course
from groove.sound.midi import midi_file

ARRANGED = Path(__file__).parents[2] / "arrangements"


def course(chords: str, **values: Any) -> Course:
    """The course of one section; unless asked for otherwise once through, counted in for a bar, its
    last chord in a bar that is added."""
    own = {name: values.pop(name) for name in ("fermata", "rit") if name in values}
    usual = {"choruses": 1, "count_in": 1, "ending": "hit", "key": "C", "tempo": 120}
    given = usual | values | {"sections": [{"name": "A", "chords": chords} | own]}
    return Course.of(unroll(build([Layer(given, lambda field: field)])))


def states(course: Course) -> list[tuple[float, int, int]]:
    """Time, bar and beat of each moment but that of the end."""
    return [(round(m.seconds, 6), m.bar, m.beat) for m in course.moments[:-1]]


def names(course: Course) -> list[str]:
    return ["N.C." if slot.silent else str(slot.chord) for slot in course.chords]


def starts(course: Course) -> list[tuple[float, str]]:
    """When each chord begins to be shown, and its symbol."""
    shown = names(course)
    found = {m.chord: m.seconds for m in reversed(course.moments) if m.chord >= 0}
    return [(round(found[number], 6), shown[number]) for number in sorted(found)]


def bar_lines(course: Course) -> list[float]:
    found = {m.bar: m.seconds for m in reversed(course.moments) if m.bar >= 0}
    return [found[bar] for bar in sorted(found)]


def test_beats_follow_the_tempo_from_the_count_in_on() -> None:
    found = states(course("C7 F7", ending="loop"))
    assert found == [(0.5 * n, n // 4 - 1, n % 4) for n in range(12)]


def test_the_beats_of_a_longer_count_in_are_numbered_through() -> None:
    found = states(course("C7", count_in=2, ending="loop"))
    assert found[:8] == [(0.5 * n, -1, n) for n in range(8)]
    assert found[8:] == [(4 + 0.5 * n, 0, n) for n in range(4)]


def test_without_a_count_in_the_first_bar_is_there_at_once() -> None:
    assert states(course("C7", count_in=0))[0] == (0.0, 0, 0)


def test_before_the_count_in_a_tuning_note_has_no_beats() -> None:
    found = course("C7", tuning_note=True)
    first, counted = found.moments[:2]
    assert (first.seconds, first.bar, first.beat, first.chord) == (0.0, -1, -1, -1)
    assert (counted.bar, counted.beat) == (-1, 0)
    assert counted.seconds == pytest.approx(found.chart.seconds(found.chart.count_in))
    assert counted.seconds > 2


@pytest.mark.parametrize(
    ("meter", "seconds"),
    [  # at 60 felt beats a minute; in 7/8 the beat that a tempo counts is the quarter
        ("4/4", [0, 1, 2, 3]),
        ("2/2", [0, 1]),
        ("6/8", [0, 1]),
        ("7/8", [0, 1, 2]),
        ("3+2+2/8", [0, 1.5, 2.5]),
    ],
)
def test_each_metre_has_its_felt_beats(meter: str, seconds: list[float]) -> None:
    found = course("C7", meter=meter, tempo=60, count_in=0, ending="loop")
    assert states(found) == [(at, 0, beat) for beat, at in enumerate(seconds)]


def test_each_chorus_of_a_ladder_has_its_tempo() -> None:
    found = course("C7 F7", choruses=3, tempo=120, tempo_step=60, ending="hit")
    assert bar_lines(found)[:6] == pytest.approx([2, 4, 6, 6 + 4 / 3, 6 + 8 / 3, 6 + 8 / 3 + 1])


def test_a_ritardando_makes_each_beat_longer_and_a_fermata_holds_the_last() -> None:
    found = course("C | F | G7 | C", rit=2, fermata=4, ending="written")
    beats = [b.seconds - a.seconds for a, b in pairwise(found.moments) if a.bar >= 0]
    assert beats[:8] == pytest.approx([0.5] * 8)
    assert all(b > a for a, b in pairwise(beats[7:12]))
    held = [m for m in found.moments if m.bar == 3]
    assert found.at(found.chart.seconds(found.chart.end) - 0.001) == held[-2]


def test_chords_change_where_they_are_written() -> None:
    """A push sounds early and is written on its beat; N.C. is a change as well."""
    found = course("| C | ~F G7 | NC | C:1/2 F:1/4 G:1/4 |", ending="loop")
    assert starts(found) == [
        (2, "C"), (4, "F"), (5, "G7"), (6, "N.C."), (8, "C"), (9, "F"), (9.5, "G"),
    ]  # fmt: skip


def test_a_chord_between_two_beats_has_a_moment_of_its_own() -> None:
    found = course("C:5/8 F:3/8", ending="loop")
    assert [(m.seconds, m.beat, m.chord) for m in found.moments[-4:-1]] == [
        (3.0, 2, 0), (3.25, 2, 1), (3.5, 3, 1),
    ]  # fmt: skip


def test_a_chord_goes_on_over_bar_lines_and_is_new_in_each_chorus() -> None:
    found = course("C7 C7 F7 C7", choruses=2, ending="hit")
    assert starts(found) == [
        (2, "C7"), (6, "F7"), (8, "C7"), (10, "C7"), (14, "F7"), (16, "C7"), (18, "C7"),
    ]  # fmt: skip


def test_a_pickup_is_a_chord_of_the_count_in() -> None:
    found = course("C7", pickup="G7:1/4", ending="loop")
    assert starts(found) == [(1.5, "G7"), (2, "C7")]
    assert found.at(1.6).bar == -1


def test_while_the_sound_dies_away_the_last_beat_stays() -> None:
    *_, before, last = course("C7 F7", ending="loop").moments
    assert (last.seconds, last.bar, last.beat, last.chord) == (6.0, 1, 3, before.chord)
    assert (before.bar, before.beat) == (last.bar, last.beat)


def test_the_state_at_a_time_is_that_of_the_moment_before_it() -> None:
    found = course("C7 F7", ending="loop")
    assert found.at(-3) == found.at(0) == found.moments[0]
    assert found.at(2 - 1e-6).bar == -1
    assert found.at(2) == found.moments[4]
    assert found.at(1000) == found.moments[-1]


@pytest.mark.parametrize("name", ["latin-swing-aaba", "modal-vamp", "pop-song", "stop-time-blues"])
def test_bars_of_an_order_of_play_come_at_the_downbeats_of_the_midi_file(
    name: str, tmp_path: Path
) -> None:
    """Second-time bars, a coda, bars of 2/4, a tempo of its own, a ritardando and a fermata.

    MIDI rounds a tempo to a microsecond a quarter note, which is all that may be between them.
    """
    found = Course.of(unroll(read_form(ARRANGED / f"{name}.toml")))
    chart = found.chart
    file = midi_file(Take(chart, ()))
    last = [mido.Message("note_on", time=chart.end), mido.Message("note_off", time=1)]
    file.tracks.append(mido.MidiTrack(last))  # bars are found as far as notes go
    file.save(tmp_path / "x.mid")
    downbeats = pretty_midi.PrettyMIDI(str(tmp_path / "x.mid")).get_downbeats()
    lines = bar_lines(found)
    assert len(lines) == len(chart.bars)
    heard = downbeats[chart.form.count_in :][: len(lines)]
    assert heard == pytest.approx(lines, abs=0.002)
    times = [moment.seconds for moment in found.moments]
    assert all(b > a for a, b in pairwise(times))
