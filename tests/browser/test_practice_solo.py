"""The solo on the practice page: chosen, bent, switched while it plays, and in the MIDI file."""

from __future__ import annotations

import io
from typing import Any

import mido
import numpy as np
import pytest

from groove.form.read import read_form
from groove.handout.practice.takes import WAVE
from groove.sound.midi import midi_file
from groove.track import compile_take
from tests.browser.practice_material import FORM, HEAR, downloaded, go_to

SOLO_NOTES = "(window.notes ?? []).filter(({ part }) => part === 'solo').length"


def test_it_is_off_until_the_student_chooses_it_and_a_link_keeps_the_choice(shown: Any) -> None:
    page = shown("#key=A")
    line = page.locator('.fader[data-part="solo"]')
    assert page.input_value("#solo") == "off"
    assert not line.is_visible()
    page.select_option("#solo", "answers")
    assert line.is_visible()
    page.wait_for_function("() => location.hash.includes('solo=answers')")


def test_it_begins_and_ends_while_the_band_plays(shown: Any) -> None:
    page = shown("#key=A&tempo=240&countin=off")
    page.evaluate(HEAR)
    page.click("#play")
    page.wait_for_function("() => (window.notes ?? []).length > 20")
    assert page.evaluate(SOLO_NOTES) == 0
    page.select_option("#solo", "example")
    page.wait_for_function(f"() => {SOLO_NOTES} > 3", timeout=15_000)
    page.select_option("#solo", "off")
    page.wait_for_timeout(500)
    count = page.evaluate(SOLO_NOTES)
    page.wait_for_timeout(2000)
    assert page.evaluate(SOLO_NOTES) == count
    page.click("#play")


def struck_and_bent(track: mido.MidiTrack, end: int) -> list[tuple[int, int, int]]:
    """Tick and pitch of each note that begins before an end, and the farthest that it is bent."""
    now, found = 0, []
    for message in track:
        now += message.time
        if message.type == "note_on" and now < end:
            found.append((now, message.note, 0))
        elif message.type == "pitchwheel" and found and abs(message.pitch) > abs(found[-1][2]):
            found[-1] = (*found[-1][:2], message.pitch)
    return found


def test_the_midi_file_has_the_solo_of_the_track_with_its_bends(shown: Any) -> None:
    page = shown("#rounds=4&countin=off&solo=answers")
    midi = mido.MidiFile(file=io.BytesIO(downloaded(page, "#get-midi").read_bytes()))
    asked = FORM | {"choruses": 4, "ending": "loop", "intensity": WAVE, "solo": "answers"}
    take = compile_take(read_form("twelve-bar", **asked))
    tracks = [file.tracks[-1] for file in (midi, midi_file(take))]
    assert [track.name for track in tracks] == ["solo", "solo"]
    found, ours = (struck_and_bent(track, take.chart.end) for track in tracks)
    assert [note[1] for note in found] == [note[1] for note in ours]
    assert max(abs(f[0] - o[0]) for f, o in zip(found, ours, strict=True)) <= 2
    assert max(abs(f[2] - o[2]) for f, o in zip(found, ours, strict=True)) <= 100  # 2.5 cents
    assert any(note[2] for note in found)


def test_a_file_without_a_solo_has_no_track_for_it(shown: Any) -> None:
    midi = mido.MidiFile(file=io.BytesIO(downloaded(shown(), "#get-midi").read_bytes()))
    assert "solo" not in [track.name for track in midi.tracks]


BENT = """
async ([pitch, cents]) => {
  const { track, sounds, prepareBand, Band } = practice;
  const context = new OfflineAudioContext(1, 44100, 44100);
  await prepareBand(context, sounds);
  const course = [[0, 0], [0.15, cents]];
  new Band(context, track, sounds, () => 1).strike("solo", pitch, 90, 0, 0.9, "solo", 1, course);
  return [...(await context.startRendering()).getChannelData(0)];
}
"""


@pytest.mark.parametrize("cents", [0, 50, 100, 200])
def test_a_bent_note_is_heard_at_its_target(cents: int, shared: Any) -> None:
    """Within 10 cents, by the strongest partial near it."""
    pitch = 67
    sound = np.array(go_to(shared, "#key=A").evaluate(BENT, [pitch, cents]))[13_230:35_280]
    size = 1 << 20
    spectrum = np.abs(np.fft.rfft(sound * np.hanning(len(sound)), size))
    hertz = np.fft.rfftfreq(size, 1 / 44100)
    off = 1200 * np.log2(np.maximum(hertz, 1) / 440) - 100 * (pitch - 69) - cents
    spectrum[np.abs(off) > 90] = 0
    assert abs(off[np.argmax(spectrum)]) < 10
