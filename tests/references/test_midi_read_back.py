"""The written file, as independent readers read it, holds the take note for note.

Readers: `mido`, which keeps ticks, and `pretty_midi`, which turns them into seconds.
"""

from __future__ import annotations

from pathlib import Path

import mido
import pretty_midi
import pytest

import groove
from groove.band.take import PlayedPart
from groove.rhythm.meter import TICKS_PER_QUARTER, ticks_to_seconds
from tests.band.band_material import Played, form_of, some

PATTERNS = some("drums")
LINE = "I7:2 vi7b5 V7alt ii7:1/2 V13/3:1/2 I6"
Event = tuple[int, int, int, int]  # start and end in ticks, pitch, velocity


def written(folder: Path, drums: str, **fields: object) -> tuple[Played, Path]:
    form = form_of(LINE, drums=drums, choruses=2, seed=8, **fields)
    (path,) = groove.make(form, folder)
    return Played(form), path


def by_mido(track: mido.MidiTrack) -> list[Event]:
    now, down, found = 0, {}, []
    for message in track:
        now += message.time
        if message.type == "note_on" and message.velocity:
            down[message.note] = (now, message.velocity)
        elif message.type in ("note_off", "note_on"):
            start, velocity = down.pop(message.note)
            found.append((start, now, message.note, velocity))
    return sorted(found)


def tracks_of(band: Played) -> tuple[PlayedPart, ...]:
    return (*band.take.parts, *band.take.cues)


def of_take(part: PlayedPart) -> list[Event]:
    return sorted((n.start, n.start + n.length, n.pitch, n.velocity) for n in part.notes)


@pytest.fixture(scope="module", params=PATTERNS)
def each(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Played, Path]:
    """A take with each drum pattern, and its file."""
    return written(tmp_path_factory.mktemp("each"), request.param, tempo=83)


def test_mido_reads_every_note_at_its_tick(each: tuple[Played, Path]) -> None:
    band, path = each
    tracks = mido.MidiFile(path).tracks[1:]
    for track, part in zip(tracks, tracks_of(band), strict=True):
        assert by_mido(track) == of_take(part), part.name


def test_pretty_midi_reads_every_note_within_half_a_tick(each: tuple[Played, Path]) -> None:
    band, path = each
    midi = pretty_midi.PrettyMIDI(str(path))
    for instrument, part in zip(midi.instruments, tracks_of(band), strict=True):
        read = sorted(
            (midi.time_to_tick(n.start), midi.time_to_tick(n.end), n.pitch, n.velocity)
            for n in instrument.notes
        )
        assert read == of_take(part), part.name


def test_pretty_midi_hears_every_note_at_its_second(each: tuple[Played, Path]) -> None:
    """The tempo event counts whole microseconds, so a quarter is off by half of one at most."""
    band, path = each
    midi = pretty_midi.PrettyMIDI(str(path))
    meter = band.form.meter
    tick = ticks_to_seconds(1, 83, meter)
    for instrument, part in zip(midi.instruments, tracks_of(band), strict=True):
        starts = sorted(note.start for note in instrument.notes)
        expected = sorted(ticks_to_seconds(note.start, 83, meter) for note in part.notes)
        drift = 0.5e-6 * band.chart.end / TICKS_PER_QUARTER
        assert starts == pytest.approx(expected, abs=tick / 2 + drift)


def test_pretty_midi_reads_parts_programs_and_drums(tmp_path: Path) -> None:
    band, path = written(tmp_path, "shuffle")
    instruments = pretty_midi.PrettyMIDI(str(path)).instruments
    assert [(i.name, i.program, i.is_drum) for i in instruments] == [
        (part.name, part.program, part.name in ("drums", "click")) for part in tracks_of(band)
    ]


@pytest.mark.parametrize(
    ("drums", "key"), [("rumba", "Bb"), ("waltz", "F#m"), ("slow-blues", "Cm"), ("bossa", "Db")]
)
def test_pretty_midi_reads_the_signatures(drums: str, key: str, tmp_path: Path) -> None:
    band, path = written(tmp_path, drums, key=key)
    midi = pretty_midi.PrettyMIDI(str(path))
    (time,), (read,) = midi.time_signature_changes, midi.key_signature_changes
    assert f"{time.numerator}/{time.denominator}" == str(band.form.meter)
    mode = "minor" if key.endswith("m") else "Major"
    assert read.key_number == pretty_midi.key_name_to_key_number(f"{key.rstrip('m')} {mode}")


def test_the_downbeats_are_those_of_the_chart(tmp_path: Path) -> None:
    band, path = written(tmp_path, "jazz-waltz", tempo=120)
    downbeats = pretty_midi.PrettyMIDI(str(path)).get_downbeats()
    bars = [ticks_to_seconds(bar.start, 120, band.form.meter) for bar in band.chart.bars]
    assert downbeats[band.form.count_in :][: len(bars)] == pytest.approx(bars, abs=1e-3)
