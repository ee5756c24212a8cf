"""The sound of the practice page: its limiter, its levels and how equal strokes differ."""

from __future__ import annotations

import base64
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from tests.browser.practice_material import RATE, go_to, wav_of

LOUD = """async (able) => {
  const { track, settings, sounds } = practice;
  const context = new OfflineAudioContext(2, 8 * 44100, 44100);
  if (able) await practice.prepareBand(context, sounds);
  const band = new practice.Band(context, track, sounds, () => 1.4);
  const player = new practice.Player(track, band, settings);
  player.start(0);
  player.advance(8);
  const buffer = await context.startRendering();
  const both = Array.from({ length: 2 }, (_, side) => buffer.getChannelData(side));
  const bytes = new Uint8Array(Float32Array.from({ length: 2 * buffer.length },
    (_, i) => both[i % 2][i >> 1]).buffer);
  let text = "";
  for (let i = 0; i < bytes.length; i += 4096) {
    text += String.fromCharCode(...bytes.subarray(i, i + 4096));
  }
  return btoa(text);
}"""
"""Eight seconds with every part and the click as loud as they can be set."""


def true_peak(sound: np.ndarray) -> float:
    """In dB, of four points to a frame."""
    from scipy.signal import resample_poly

    return 20 * float(np.log10(np.abs(resample_poly(sound, 4, 1, axis=0)).max()))


def loud(page: Any, able: bool) -> np.ndarray:
    said = base64.b64decode(page.evaluate(LOUD, able))
    return np.frombuffer(said, "<f4").reshape(-1, 2)


@pytest.mark.parametrize("able", [True, False])
def test_the_loudest_mix_with_its_click_stays_a_decibel_under_full_scale(
    shared: Any, able: bool
) -> None:
    """With a thread for audio, and as browsers do without one."""
    sound = loud(go_to(shared, "#silent=none&tempo=160&countin=off"), able)
    assert np.abs(sound).max() > 0.7  # the limiter has something to do
    assert true_peak(sound) <= (-1.0 if able else 0.0)


def test_the_file_is_as_loud_as_the_program_s_own_tracks(shown: Any) -> None:
    import pyloudnorm

    sound = wav_of(shown("#tempo=120&bars=1-8&rounds=1&countin=off"))
    assert pyloudnorm.Meter(RATE).integrated_loudness(sound) == pytest.approx(-14, abs=1.2)


TURNS = """async (count) => {
  const { track, sounds } = practice;
  const context = new OfflineAudioContext(1, count * 44100, 44100);
  await practice.prepareBand(context, sounds);
  const band = new practice.Band(context, track, sounds, () => 1);
  for (let n = 0; n < count; n++) band.strike("drums", 42, 90, n, 0.2);
  const sound = (await context.startRendering()).getChannelData(0);
  const cut = (n) => Array.from(sound.subarray(n * 44100, n * 44100 + 11025));
  return Array.from({ length: count }, (_, n) => cut(n));
}"""


def test_no_two_neighbouring_strokes_on_a_hat_are_alike(shared: Any) -> None:
    strokes = np.array(go_to(shared, "#key=A").evaluate(TURNS, 5))
    alike = [np.corrcoef(a, b)[0, 1] for a, b in pairwise(strokes)]
    assert max(alike) < 0.8
