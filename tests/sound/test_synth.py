"""The synthesiser plays what the MIDI says, when it says it."""

from __future__ import annotations

import ctypes.util
import sys
from typing import TYPE_CHECKING

import mido
import numpy as np
import pytest

from groove.errors import GrooveError
from groove.sound.synth import (
    BLOCK,
    GRAIN,
    LONGEST_TAIL_SECONDS,
    SAMPLE_RATE,
    Samples,
    Synth,
    missing_programs,
    render,
    timeline,
)
from tests.sound.sound_material import Wave, midi_of, run_python

if TYPE_CHECKING:
    from groove.sound.soundfonts import Soundfont

SIDE_STICK = 37


def played(midi: mido.MidiFile, soundfont: Soundfont) -> Samples:
    """The whole of `midi` as one array."""
    with Synth(soundfont) as synth:
        return np.concatenate(list(render(timeline(midi), synth)))


def onsets(sound: Samples) -> list[int]:
    """Frames at which the sound sets in after a silence of at least 50 ms."""
    loud = np.flatnonzero(np.abs(sound).max(axis=1) > 0.02 * np.abs(sound).max())
    gaps = np.flatnonzero(np.diff(loud) > 0.05 * SAMPLE_RATE)
    return [int(loud[0]), *(int(frame) for frame in loud[gaps + 1])]


def nearest_peak(sound: Samples, hertz: float) -> float:
    """The frequency in hertz of the strongest partial within a semitone of `hertz`."""
    mono: Wave = sound.mean(axis=1, dtype=np.float64)
    size = 1 << 20
    spectrum = np.abs(np.fft.rfft(mono * np.hanning(len(mono)), size))
    frequency = np.fft.rfftfreq(size, 1 / SAMPLE_RATE)
    near = np.flatnonzero(np.abs(12 * np.log2(np.maximum(frequency, 1) / hertz)) < 1)
    return float(frequency[near[np.argmax(spectrum[near])]])


@pytest.mark.parametrize("note", [28, 33, 40, 45, 52])
def test_a_bass_note_has_its_pitch_of_equal_temperament(note: int, soundfont: Soundfont) -> None:
    """A4 = note 69 = 440 Hz (ISO 16:1975, from memory); within 10 cents."""
    hertz = 440 * 2 ** ((note - 69) / 12)
    sound = played(midi_of({0: [(0, 6, note, 100)]}, {0: 33}), soundfont)[: 3 * SAMPLE_RATE]
    assert abs(1200 * np.log2(nearest_peak(sound, hertz) / hertz)) < 10


def test_the_first_stroke_sounds_at_once(soundfont: Soundfont) -> None:
    sound = played(midi_of({9: [(0, 0.2, SIDE_STICK, 100)]}), soundfont)
    assert onsets(sound)[0] < 0.005 * SAMPLE_RATE


def test_strokes_keep_their_distance_through_tempo_changes(soundfont: Soundfont) -> None:
    strokes = [(beat, 0.2, SIDE_STICK, 100) for beat in range(12)]
    tempos = ((0, 500_000), (4, 751_234), (8, 333_333))
    sound = played(midi_of({9: strokes}, tempos=tempos), soundfont)
    lengths = np.repeat([0.5, 0.751234, 0.333333], 4)
    expected = np.concatenate([[0], np.cumsum(lengths)[:-1]]) * SAMPLE_RATE
    found = np.array(onsets(sound))
    assert np.abs(found - found[0] - expected).max() <= GRAIN


def test_no_event_is_more_than_half_a_grain_off() -> None:
    strokes = [(beat * 0.137, 0.1, SIDE_STICK, 100) for beat in range(500)]
    events = timeline(midi_of({9: strokes}, tempos=((0, 612_345),)))
    exact = [round(beat * 0.137 * 480) / 480 * 0.612345 * SAMPLE_RATE for beat in range(500)]
    struck = [e.frame for e in events if e.message.type == "note_on"]
    assert np.abs(np.array(struck) - exact).max() <= GRAIN / 2


def test_a_louder_stroke_sounds_louder(soundfont: Soundfont) -> None:
    soft, loud = (
        np.abs(played(midi_of({9: [(0, 0.2, SIDE_STICK, velocity)]}), soundfont)).max()
        for velocity in (50, 110)
    )
    assert loud > 1.5 * soft


def test_a_lower_channel_volume_sounds_softer(soundfont: Soundfont) -> None:
    midi = midi_of({0: [(0, 1, 60, 100)]})
    full = np.abs(played(midi, soundfont)).max()
    midi.tracks[1].insert(0, mido.Message("control_change", channel=0, control=7, value=50))
    assert np.abs(played(midi, soundfont)).max() < 0.6 * full


def test_a_pitch_bend_bends(soundfont: Soundfont) -> None:
    midi = midi_of({0: [(0, 6, 45, 100)]}, {0: 33})
    midi.tracks[1].insert(0, mido.Message("pitchwheel", channel=0, pitch=4096))
    sound = played(midi, soundfont)[: 3 * SAMPLE_RATE]
    bent = 440 * 2 ** ((46 - 69) / 12)
    assert abs(1200 * np.log2(nearest_peak(sound, bent) / bent)) < 10


def test_a_note_held_for_ever_is_let_go_at_the_end(soundfont: Soundfont) -> None:
    midi = midi_of({0: [(0, 4, 60, 100), (0, 4, 64, 100)]}, {0: 16})
    held = midi.tracks[1]
    held[:] = [message for message in held if message.type != "note_off" or message.note == 64]
    held.insert(0, mido.Message("control_change", channel=0, control=64, value=127))
    assert len(played(midi, soundfont)) < (2 + LONGEST_TAIL_SECONDS / 2) * SAMPLE_RATE


def test_blocks_are_whole_and_stereo(short_take: mido.MidiFile, soundfont: Soundfont) -> None:
    with Synth(soundfont) as synth:
        shapes = {block.shape for block in render(timeline(short_take), synth)}
    assert shapes == {(BLOCK, 2)}


def test_no_audio_device_is_opened(
    short_take: mido.MidiFile, soundfont: Soundfont, monkeypatch: pytest.MonkeyPatch
) -> None:
    import fluidsynth

    opened: list[object] = []
    monkeypatch.setattr(fluidsynth, "new_fluid_audio_driver", lambda *a: opened.append(a))
    played(short_take, soundfont)
    assert opened == []


def test_programs_that_a_soundfont_has_are_not_missing(
    short_take: mido.MidiFile, soundfont: Soundfont
) -> None:
    with Synth(soundfont) as synth:
        assert missing_programs(timeline(short_take), synth) == ()


def test_a_drum_kit_that_a_soundfont_lacks_is_named(soundfont: Soundfont) -> None:
    midi = midi_of({9: [(0, 1, 38, 100)]}, {9: 100})
    with Synth(soundfont) as synth:
        assert missing_programs(timeline(midi), synth) == ("drum kit 101",)


def test_a_missing_library_says_how_to_install_it(
    soundfont: Soundfont, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delitem(sys.modules, "fluidsynth", raising=False)
    monkeypatch.delenv("HOMEBREW_PREFIX", raising=False)
    monkeypatch.setattr(ctypes.util, "find_library", lambda name: None)
    with pytest.raises(GrooveError, match="apt-get install libfluidsynth3"):
        Synth(soundfont)


def test_nothing_is_printed_even_where_ci_is_set() -> None:
    code = (
        "from tests.sound.sound_material import midi_of\n"
        "from groove.sound.soundfonts import find_soundfont\n"
        "from groove.sound.synth import Synth, render, timeline\n"
        "with Synth(find_soundfont(None, {}, [])) as synth:\n"
        "    list(render(timeline(midi_of({0: [(0, 1, 60, 90)]}, {0: 127})), synth))\n"
    )
    done = run_python(code, CI="true")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


class Hum:
    """Stands in for a synthesiser whose sound never changes."""

    def __init__(self, level: float, soundfont: Soundfont) -> None:
        self.level, self.soundfont = level, soundfont

    def send(self, message: mido.Message) -> None: ...

    def fill(self, block: Samples, first: int, last: int) -> None:
        block[first:last] = self.level


def test_a_sound_that_never_dies_is_left_after_the_longest_tail(soundfont: Soundfont) -> None:
    blocks = list(render(timeline(midi_of({0: [(0, 2, 60, 90)]})), Hum(0.5, soundfont)))
    assert abs(len(blocks) * BLOCK / SAMPLE_RATE - 1 - LONGEST_TAIL_SECONDS) < 0.5


def test_sound_that_is_no_number_is_an_error(soundfont: Soundfont) -> None:
    with pytest.raises(GrooveError, match="damaged"):
        list(render(timeline(midi_of({0: [(0, 2, 60, 90)]})), Hum(float("nan"), soundfont)))
