"""Auditions, alone or over the band: their times and pitches, and the band as it is."""

from __future__ import annotations

import base64
from typing import Any

import numpy as np
import pytest

from tests.browser.practice_material import go_to

OFFLINE = """
async ({ notes, seconds, over, tempo, band, retime, ahead }) => {
  const { track, settings, sounds, Band, Player } = practice;
  const Audition = practice.audition.constructor;
  const context = new OfflineAudioContext(1, seconds * 44100 + 1024, 44100);
  await practice.prepareBand(context, sounds);
  const loudness = (part) => (band ? 0.4 : 0) * settings.loudness(part);
  const own = new Band(context, track, sounds, loudness);
  const heard = [];
  const takeBack = own.takeBack.bind(own);
  own.takeBack = (parts, time) => {
    for (const note of [...heard]) {
      if (note.at >= time && parts.includes(note.part)) heard.splice(heard.indexOf(note), 1);
    }
    takeBack(parts, time);
  };
  const player = new Player(track, own, settings, (note) => band && heard.push(note));
  if (band || over === "band") player.start(0);
  player.advance(0.3);
  const stage = { context, band: own, player, playing: true, async use() {}, leave() {} };
  const audition = new Audition(stage, settings, (note) => heard.push(note));
  if (notes) audition.play(notes, { over, tempo });
  for (let time = 0.2; time < seconds; time += 0.1) {
    if (retime && Math.abs(time - retime.at) < 0.05) {
      settings.setTempo(retime.tempo);
      player.retime(time + 0.03);
    }
    player.advance(time + 0.3);
    if (notes) audition.advance(time + 0.3);
  }
  const late = practice.lateFrames(context);
  const whole = (await context.startRendering()).getChannelData(0);
  const sound = whole.subarray(late, late + seconds * 44100);
  const bytes = new Uint8Array(new Float32Array(sound).buffer);
  let text = "";
  for (let i = 0; i < bytes.length; i += 4096) {
    text += String.fromCharCode(...bytes.subarray(i, i + 4096));
  }
  return { notes: heard, sound: btoa(text) };
}
"""
"""Some seconds of an audition, with the sound of the band or without. retime: a change of tempo."""

SCALE = [57, 60, 62, 64, 67, 69]
EIGHTH = 480
RATE = 44100


def rising(pitches: list[int]) -> list[dict[str, Any]]:
    return [{"at": EIGHTH * n, "length": EIGHTH, "pitch": pitch} for n, pitch in enumerate(pitches)]


def heard(page: Any, notes: list[dict[str, Any]] | None, seconds: float, **wish: Any) -> Any:
    asked = {"over": None, "tempo": 60, "band": False, "retime": None} | wish
    found = page.evaluate(OFFLINE, {"notes": notes, "seconds": seconds} | asked)
    sound = np.frombuffer(base64.b64decode(found["sound"]), "<f4")
    return found["notes"], sound


def own(notes: list[dict[str, Any]]) -> list[tuple[float, int]]:
    return [(note["at"], note["pitch"]) for note in notes if note["part"] == "audition solo"]


def test_alone_it_goes_at_its_own_tempo(shared: Any) -> None:
    page = go_to(shared, "#countin=off")
    notes, _ = heard(page, rising(SCALE), 2, tempo=90)
    assert [pitch for _, pitch in own(notes)] == SCALE
    times = np.diff([at for at, _ in own(notes)])
    assert times == pytest.approx(np.full(len(SCALE) - 1, 60 / 90 / 2), abs=1e-9)


def test_over_the_band_it_is_on_the_beat_and_follows_the_tempo(shared: Any) -> None:
    page = go_to(shared, "#countin=off&tempo=120")
    notes, _ = heard(page, rising(SCALE), 4, over="band", retime={"at": 1, "tempo": 60})
    times = [at for at, _ in own(notes)]
    assert [pitch for _, pitch in own(notes)] == SCALE
    assert times[:3] == pytest.approx([0.5, 0.75, 1.0], abs=1e-9)
    assert np.diff(times[4:]) == pytest.approx([0.5], abs=1e-9)
    beats = [at for at in times[1:] if (at - times[-1]) % 1 < 1e-6]
    assert beats  # on the beats of the slower tempo


def test_the_band_s_own_samples_stay_as_they_are(shared: Any) -> None:
    """To half a step of 16 bits, while the limiter of the mix has nothing to do."""
    page = go_to(shared, "#countin=off")
    _, mixed = heard(page, rising(SCALE), 3, band=True, over="band")
    _, alone = heard(page, rising(SCALE), 3, over="band")
    _, band = heard(page, None, 3, band=True)
    assert np.abs(band).max() > 0.1
    assert np.abs(alone).max() > 0.1
    assert np.abs(mixed - alone - band).max() < 0.5 / 32768


@pytest.mark.parametrize(
    ("part", "pitches", "attack"),
    [("solo", [57, 62, 69, 74], 0.01), ("comping", [45, 52, 64], 0.025)],
)
def test_each_note_sounds_at_its_time_and_its_pitch(
    part: str, pitches: list[int], attack: float, shared: Any
) -> None:
    """Within 10 cents, and not before its time. attack: seconds that a string of the part takes."""
    import librosa

    page = go_to(shared, "#countin=off")
    apart = [note | {"at": 2 * note["at"], "part": part} for note in rising(pitches)]
    notes, sound = heard(page, apart, len(pitches) + 0.2)
    for note in notes:
        frame = round(note["at"] * RATE)
        around = np.abs(sound[frame - 800 : frame + 4410])
        begins = (np.argmax(around > 0.05 * around.max()) - 800) / RATE
        assert 0 <= begins < attack
        held = sound[frame + 3000 : frame + 12_000].astype(float)
        low, high = librosa.midi_to_hz(note["pitch"] - 3), librosa.midi_to_hz(note["pitch"] + 3)
        found = librosa.yin(held, fmin=low, fmax=high, sr=RATE, frame_length=4096)
        cents = 100 * (librosa.hz_to_midi(np.median(found[2:-2])) - note["pitch"])
        assert abs(cents) < 10
