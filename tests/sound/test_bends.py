"""A soloist's bends in the MIDI file and as they are heard, by the spectrum of the note."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import mido
import numpy as np
import pytest
import soundfile

import groove
from groove.band.part import SOLO, Gesture, GridNote, Part
from groove.band.plan.planner import planned
from groove.band.take import Take, play, record
from groove.form.unroll import unroll
from groove.sound.midi import midi_file
from groove.sound.synth.soundfonts import find_fonts
from tests.sound.sound_material import render_to

FONT = find_fonts(None, {}, [])
BAR = 3840
PITCH = 62


def take_of(*gestures: Gesture, program: int = 27, a4: float = 440) -> Take:
    """A note of a bar for each gesture."""
    form = groove.read_form(
        "one-chord-vamp", tempo=160, count_in=0, tightness=1, a4=a4, choruses=1, ending="loop"
    )
    plan = planned(unroll(form))
    notes = (
        GridNote(BAR * number, BAR - 480, PITCH, 0.7, gesture=gesture)
        for number, gesture in enumerate(gestures)
    )
    take = record(plan, play(plan, solo=Part(SOLO, tuple(notes))))
    return replace(take, parts=tuple(replace(p, program=program) for p in take.parts[-1:]))


def track_of(*gestures: Gesture) -> list[mido.Message]:
    return list(midi_file(take_of(*gestures)).tracks[1])


def heard(take: Take, folder: Path) -> list[float]:
    """The cents from PITCH of the second half of each note."""
    render_to(folder / "solo.wav", midi_file(take), FONT)
    stereo, rate = soundfile.read(folder / "solo.wav")
    size = 1 << 20
    pitches = np.fft.rfftfreq(size, 1 / rate)
    a4 = take.chart.form.a4
    near = a4 * 2 ** ((PITCH + 1 - 69) / 12)
    found = []
    for note in take.parts[0].notes:
        start, end = (take.chart.seconds(note.start + note.length * part) for part in (0.5, 0.9))
        part = stereo.mean(axis=1)[round(start * rate) : round(end * rate)]
        spectrum = np.abs(np.fft.rfft(part * np.hanning(len(part)), size))
        spectrum[(pitches < near * 0.86) | (pitches > near * 1.16)] = 0
        hertz = float(pitches[np.argmax(spectrum)])
        found.append(1200 * float(np.log2(hertz / a4)) - 100 * (PITCH - 69))
    return found


@pytest.mark.parametrize("program", [24, 26, 29])
def test_a_bent_note_is_heard_at_its_target(program: int, tmp_path: Path) -> None:
    """Within 10 cents, as the strokes of a guitar differ by up to 2.5 and its recordings by a
    little; the note after a bend is heard where it is fretted."""
    bends = (0.5, 1.0, 2.0, 0.0)
    take = take_of(*(Gesture(bend=bend) for bend in bends), program=program)
    assert heard(take, tmp_path) == pytest.approx([100 * bend for bend in bends], abs=10)


def test_a_track_in_another_tuning_bends_as_far(tmp_path: Path) -> None:
    take = take_of(Gesture(bend=2.0), a4=432)
    assert heard(take, tmp_path) == pytest.approx([200], abs=10)


def test_the_range_of_bends_is_set_before_the_first() -> None:
    """Registered parameter 0: semitones in controller 6, cents in 38; 127 127 ends the setting
    (MIDI 1.0 Detailed Specification, MIDI Manufacturers Association, from memory)."""
    track = track_of(Gesture(bend=2.0))
    kinds = [message.type for message in track]
    before = track[: kinds.index("pitchwheel")]
    found = [(m.control, m.value) for m in before if m.type == "control_change" and m.control != 7]
    assert found[-6:] == [(101, 0), (100, 0), (6, 2), (38, 0), (101, 127), (100, 127)]
    assert max(m.pitch for m in track if m.type == "pitchwheel") == 8191


def test_a_part_without_bends_has_nothing_of_the_kind() -> None:
    assert {m.type for m in track_of(Gesture())} == {
        "track_name", "program_change", "control_change", "note_on", "note_off", "end_of_track",
    }  # fmt: skip


def test_the_bend_is_back_before_the_next_note_begins() -> None:
    bend = 0
    for message in track_of(Gesture(bend=2.0), Gesture(bend=0.5), Gesture(goes=2), Gesture()):
        bend = message.pitch if message.type == "pitchwheel" else bend
        assert message.type != "note_on" or bend == 0
    assert bend == 0
