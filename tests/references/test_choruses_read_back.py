"""Tempo ladders and key cycles in the written files, as independent readers find them.

`pretty_midi` reads tempi, keys and notes from the MIDI file; `librosa` hears the tempo in the
audio.
"""

from __future__ import annotations

from pathlib import Path

import librosa
import numpy as np
import pretty_midi
import pytest
import soundfile

import groove
from groove.form.chart import Chart
from groove.form.model import Form
from groove.form.unroll import unroll
from groove.sound.synth.soundfonts import find_fonts
from tests.band.band_material import form_of

CASES = [
    ("shuffle", "Bb"), ("medium-swing", "F#m"), ("waltz", "C"), ("slow-blues", "Cm"),
    ("bossa", "Gb"),
]  # fmt: skip


def written(form: Form, folder: Path) -> tuple[Chart, pretty_midi.PrettyMIDI]:
    (path,) = groove.make(form, folder)
    return unroll(form), pretty_midi.PrettyMIDI(str(path))


def ladder(drums: str, key: str, **fields: object) -> Form:
    usual = {"choruses": 4, "tempo": 100, "tempo_step": 7.5, "key_cycle": "fourths"}
    return form_of(drums=drums, key=key, **(usual | fields))


@pytest.mark.parametrize(("drums", "key"), CASES)
def test_pretty_midi_reads_each_tempo_at_its_chorus(drums: str, key: str, tmp_path: Path) -> None:
    """A quarter lasts whole microseconds: half of one a quarter is lost at most."""
    chart, midi = written(ladder(drums, key), tmp_path)
    times, quarters = midi.get_tempo_changes()
    felt = chart.form.meter.beat_ticks / 960
    assert quarters / felt == pytest.approx([100, 107.5, 115, 122.5], rel=1e-5)
    starts = [chart.seconds(chorus.start) for chorus in chart.rounds[1:]]
    assert times == pytest.approx([0, *starts], abs=1e-3)


@pytest.mark.parametrize(("drums", "key"), CASES)
def test_pretty_midi_reads_each_key_at_its_chorus(drums: str, key: str, tmp_path: Path) -> None:
    _, midi = written(ladder(drums, key), tmp_path)
    read = [change.key_number for change in midi.key_signature_changes]
    mode = "minor" if key.endswith("m") else "Major"
    first = pretty_midi.key_name_to_key_number(f"{key.rstrip('m')} {mode}")
    octave = 12 * (first // 12)
    assert read == [octave + (first + 5 * chorus) % 12 for chorus in range(4)]


@pytest.mark.parametrize(
    ("drums", "cycle"),
    [
        ("shuffle", "fourths"), ("medium-swing", "up"), ("bossa", "down"),
        ("slow-blues", "fourths"), ("waltz", "up"),
    ],
)  # fmt: skip
def test_the_bass_has_the_root_on_the_first_beat_of_every_chorus(
    drums: str, cycle: str, tmp_path: Path
) -> None:
    """Or has anticipated it: a note that sounds as the chorus begins."""
    form = ladder(drums, "C", key_cycle=cycle, choruses=12, tempo_step=3)
    chart, midi = written(form, tmp_path)
    bass = next(i for i in midi.instruments if i.name == "bass")
    for chorus in chart.rounds:
        middle = chart.seconds(chorus.start + 240)
        sounding = {n.pitch % 12 for n in bass.notes if n.start <= middle < n.end}
        assert sounding == {chorus.key.tonic.pitch_class}, chorus.key.symbol


@pytest.mark.parametrize("cycle", ["fourths", "fifths", "up", "down"])
def test_the_band_stays_in_its_register_round_all_keys(cycle: str, tmp_path: Path) -> None:
    """The middle of what is played differs by less than a fifth from chorus to chorus."""
    form = ladder("medium-swing", "C", key_cycle=cycle, choruses=13, tempo_step=2)
    chart, midi = written(form, tmp_path)
    for name in ("bass", "comping"):
        notes = next(i for i in midi.instruments if i.name == name).notes
        middles = []
        for chorus in chart.rounds:
            low, high = chart.seconds(chorus.start), chart.seconds(chorus.end)
            middles.append(np.mean([n.pitch for n in notes if low <= n.start < high]))
        assert max(middles) - min(middles) < 7, name


@pytest.mark.slow
def test_librosa_hears_each_tempo_of_a_ladder(tmp_path: Path) -> None:
    form = form_of(drums="eighths-rock", tempo=96, tempo_step=24, choruses=2, count_in=0)
    font = find_fonts(None, {}, []).main.path
    _, wav = groove.make(form, tmp_path, audio="wav", soundfont=font)
    stereo, rate = soundfile.read(wav)
    for chorus in (chart := unroll(form)).rounds:
        low, high = (round(chart.seconds(t) * rate) for t in (chorus.start, chorus.end))
        samples = stereo[low:high].mean(axis=1)
        _, frames = librosa.beat.beat_track(y=samples, sr=rate)
        beats = librosa.frames_to_time(frames, sr=rate)
        heard = 60 / float(np.polyfit(np.arange(len(beats)), beats, 1)[0])
        assert heard == pytest.approx(chorus.tempo, rel=0.02)
