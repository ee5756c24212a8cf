"""The synthesiser plays what the MIDI says, when it says it."""

from __future__ import annotations

import ctypes
import ctypes.util
import sys
from itertools import pairwise
from typing import TYPE_CHECKING

import mido
import numpy as np
import pytest

from groove.errors import GrooveError
from groove.sound.mix.mix_settings import MixSettings
from groove.sound.samples import GRAIN, SAMPLE_RATE
from groove.sound.synth.fluidsynth import library
from groove.sound.synth.scores import scores
from groove.sound.synth.soundfonts import Fonts, Soundfont
from groove.sound.synth.stems import LONGEST_TAIL_SECONDS, play_stems
from groove.sound.synth.synth import Synth
from groove.sound.synth.tone import program_tone
from tests.sound.sound_material import (
    Note,
    Wave,
    centroid,
    likeness,
    midi_of,
    run_python,
    soundfont_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from groove.sound.samples import Samples

SIDE_STICK, SITAR, BANJO = 37, 104, 105


def played(midi: mido.MidiFile, fonts: Fonts) -> Samples:
    """The whole of `midi` as one array."""
    with play_stems(scores(midi), fonts) as playing:
        return np.concatenate(
            [sum(block for block in blocks if block is not None) for blocks in playing]
        )


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
def test_a_bass_note_has_its_pitch_of_equal_temperament(note: int, fonts: Fonts) -> None:
    """A4 = note 69 = 440 Hz (ISO 16:1975, from memory); within 10 cents."""
    hertz = 440 * 2 ** ((note - 69) / 12)
    sound = played(midi_of({0: [(0, 6, note, 100)]}, {0: 33}), fonts)[: 3 * SAMPLE_RATE]
    assert abs(1200 * np.log2(nearest_peak(sound, hertz) / hertz)) < 10


def test_the_first_stroke_sounds_at_once(fonts: Fonts) -> None:
    sound = played(midi_of({9: [(0, 0.2, SIDE_STICK, 100)]}), fonts)
    assert onsets(sound)[0] < 0.005 * SAMPLE_RATE


def test_strokes_keep_their_distance_through_tempo_changes(fonts: Fonts) -> None:
    strokes = [(beat, 0.2, SIDE_STICK, 100) for beat in range(12)]
    tempos = ((0, 500_000), (4, 751_234), (8, 333_333))
    sound = played(midi_of({9: strokes}, tempos=tempos), fonts)
    lengths = np.repeat([0.5, 0.751234, 0.333333], 4)
    expected = np.concatenate([[0], np.cumsum(lengths)[:-1]]) * SAMPLE_RATE
    found = np.array(onsets(sound))
    assert np.abs(found - found[0] - expected).max() <= GRAIN


@pytest.mark.parametrize(
    ("channel", "asked", "stands_in"), [(0, SITAR, BANJO), (9, 8, 0)], ids=["sitar", "room kit"]
)
def test_what_a_soundfont_lacks_sounds_as_the_one_most_like_it(
    channel: int, asked: int, stands_in: int, soundfont_at: Callable[..., Path]
) -> None:
    there = {(0, BANJO): [60], (0, 0): [60], (128, 0): [38], (128, 16): [38]}
    fonts = Fonts(Soundfont(soundfont_at("some.sf2", soundfont_of(there)), "Some", "CC0"))
    notes = {channel: [(0, 0.2, 60 if channel == 0 else 38, 100)]}
    found, expected = (
        played(midi_of(notes, {channel: program}), fonts) for program in (asked, stands_in)
    )
    assert expected.any()
    assert np.array_equal(found, expected)


def test_a_kit_that_stands_elsewhere_plays_its_strokes_from_their_own_keys(
    soundfont_at: Callable[..., Path],
) -> None:
    """Its snare is on another key, and on that of the snare is another sound."""
    content = soundfont_of({(0, 0): [50], (0, 9): [38]})
    kit = Soundfont(soundfont_at("kit.sf2", content), "Kit", "CC0", kit=(0, 0), strokes=((38, 50),))
    snare, direct = midi_of({9: [(0, 0.2, 38, 100)]}, {9: 40}), {(128, 0): [50]}
    plain = Soundfont(soundfont_at("plain.sf2", soundfont_of(direct)), "Plain", "CC0")
    found = played(snare, Fonts(kit))
    expected = played(midi_of({9: [(0, 0.2, 50, 100)]}), Fonts(plain))
    assert found.any()
    assert len(found) == len(expected)
    assert likeness(found.mean(axis=1)[:4000], expected.mean(axis=1)[:4000]) > 0.9


def test_a_louder_stroke_sounds_louder(fonts: Fonts) -> None:
    soft, loud = (
        np.abs(played(midi_of({9: [(0, 0.2, SIDE_STICK, velocity)]}), fonts)).max()
        for velocity in (50, 110)
    )
    assert loud > 1.5 * soft


def test_a_lower_channel_volume_sounds_softer(fonts: Fonts) -> None:
    midi = midi_of({0: [(0, 1, 60, 100)]})
    full = np.abs(played(midi, fonts)).max()
    midi.tracks[1].insert(0, mido.Message("control_change", channel=0, control=7, value=50))
    assert np.abs(played(midi, fonts)).max() < 0.6 * full


def test_a_pitch_bend_bends(fonts: Fonts) -> None:
    midi = midi_of({0: [(0, 6, 45, 100)]}, {0: 33})
    midi.tracks[1].insert(0, mido.Message("pitchwheel", channel=0, pitch=4096))
    sound = played(midi, fonts)[: 3 * SAMPLE_RATE]
    bent = 440 * 2 ** ((46 - 69) / 12)
    assert abs(1200 * np.log2(nearest_peak(sound, bent) / bent)) < 10


def test_a_note_held_for_ever_is_let_go_at_the_end(fonts: Fonts) -> None:
    midi = midi_of({0: [(0, 4, 60, 100), (0, 4, 64, 100)]}, {0: 16})
    held = midi.tracks[1]
    held[:] = [message for message in held if message.type != "note_off" or message.note == 64]
    held.insert(0, mido.Message("control_change", channel=0, control=64, value=127))
    assert len(played(midi, fonts)) < (2 + LONGEST_TAIL_SECONDS / 2) * SAMPLE_RATE


def test_a_missing_library_says_how_to_install_it(
    fonts: Fonts, monkeypatch: pytest.MonkeyPatch
) -> None:
    library.cache_clear()
    monkeypatch.delitem(sys.modules, "fluidsynth", raising=False)
    monkeypatch.delenv("HOMEBREW_PREFIX", raising=False)
    monkeypatch.setattr(ctypes.util, "find_library", lambda name: None)
    with pytest.raises(GrooveError, match="apt-get install libfluidsynth3"):
        Synth(fonts.main, ())


def test_the_samples_do_not_depend_on_the_size_of_the_blocks(
    short_take: mido.MidiFile, fonts: Fonts
) -> None:
    (_, _, band) = scores(short_take)
    filled = []
    for size in (64 * 7, 64 * 1024):
        with Synth(fonts.main, band.events) as synth:
            blocks = [(ctypes.c_float * (2 * size))() for _ in range(64 * 7 * 1024 // size)]
            for block in blocks:
                synth.fill(block)
        filled.append(np.concatenate([np.frombuffer(block, np.float32) for block in blocks]))
    assert np.array_equal(*filled)


def test_sound_is_dry_whatever_is_sent_to_the_room(fonts: Fonts) -> None:
    """The room is added later, by the strip of each part."""
    sounds = []
    for send in (0, 127):
        midi = midi_of({9: [(0, 0.2, SIDE_STICK, 100)]})
        midi.tracks[1].insert(0, mido.Message("control_change", channel=9, control=91, value=send))
        sounds.append(played(midi, fonts))
    assert np.array_equal(*sounds)


def test_nothing_is_printed_even_where_ci_is_set() -> None:
    code = (
        "from tests.sound.sound_material import midi_of\n"
        "from groove.sound.synth.soundfonts import find_fonts\n"
        "from groove.sound.synth.stems import play_stems\n"
        "from groove.sound.synth.scores import scores\n"
        "band = scores(midi_of({0: [(0, 1, 60, 90)]}, {0: 127}))\n"
        "with play_stems(band, find_fonts(None, {}, [])) as playing:\n"
        "    list(playing)\n"
    )
    done = run_python(code, CI="true")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


REPEATED = [(beat, 0.9, 52, 90) for beat in range(8)]
"""One note again and again, half a second apart."""


def repeated(fonts: Fonts, program: int, notes: list[Note]) -> list[Wave]:
    """The notes of a score, each by itself, 0.4 s long."""
    sound = played(midi_of({0: notes}, {0: program}), fonts).mean(axis=1, dtype=np.float64)
    starts = [round(note[0] * 0.5 * SAMPLE_RATE) for note in notes]
    return [sound[start : start + 17_640] for start in starts]


def test_a_harder_note_is_brighter(fonts: Fonts) -> None:
    """The centroid of the spectrum rises by a third and more on every kind of instrument."""
    for program in (0, 25, 27, 33):
        soft, hard = repeated(fonts, program, [(0, 0.9, 45, 24), (4, 0.9, 45, 120)])
        assert centroid(hard) > 1.3 * centroid(soft)


def test_the_tone_follows_the_written_velocity_not_the_one_that_is_played(fonts: Fonts) -> None:
    (score,) = scores(midi_of({0: [(0, 0.9, 45, 24)]}, {0: 0}))
    weighed = MixSettings(weight={"bass": 0.4}).weigh(score)
    tones = []
    for events in (score.events, weighed.events):
        block = (ctypes.c_float * (2 * 64 * 300))()
        with Synth(fonts.main, events) as synth:
            synth.fill(block)
        tones.append(centroid(np.frombuffer(block, np.float32).reshape(-1, 2).mean(axis=1)))
    assert tones[0] == pytest.approx(tones[1], rel=0.02)


def test_no_two_neighbouring_notes_are_the_same(fonts: Fonts) -> None:
    heard = repeated(fonts, 0, REPEATED)
    assert all(likeness(one, other) < 0.98 for one, other in pairwise(heard))


def test_no_instrument_goes_further_off_its_pitch_than_three_cents() -> None:
    assert max(program_tone(program).pitch for program in range(128)) <= 3


def test_an_even_part_has_the_true_pitch_and_tone_of_the_soundfont(fonts: Fonts) -> None:
    (score,) = scores(midi_of({0: [(0, 1, 52, 90), (8, 1, 52, 90)]}, {0: 0}))
    heard = {}
    for even in (False, True):
        block = (ctypes.c_float * (2 * 64 * 3100))()
        with Synth(fonts.main, score.events, even=even) as synth:
            synth.fill(block)
        sound = np.frombuffer(block, np.float32).reshape(-1, 2).mean(axis=1)
        heard[even] = likeness(sound[:16_384], sound[64 * round(4 * SAMPLE_RATE / 64) :][:16_384])
    assert heard[False] < 0.98
    assert heard[True] > 0.9999
