"""Tones of strings, winds and phones for the tuner, and a microphone that hears oscillators."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

RATE = 48_000
LISTENED = 17_280
"""Samples that the tuner looks at, and some more: 0.36 s."""
HIGHEST = 9_000.0
"""Hertz, above which the tones have no partials."""

Sound = NDArray[np.float64]

FAKE_MICROPHONE = """
window.fake = { tones: [] };
navigator.mediaDevices.getUserMedia = async (wish) => {
  if (fake.refusal) throw new DOMException("no", fake.refusal);
  const context = (fake.context = new AudioContext());
  const out = context.createMediaStreamDestination();
  fake.wish = wish;
  fake.stream = out.stream;
  fake.play = (...partials) => {
    for (const tone of fake.tones) tone.stop();
    fake.tones = partials.map(([hertz, level]) => {
      const [tone, gain] = [context.createOscillator(), context.createGain()];
      tone.frequency.value = hertz;
      gain.gain.value = level;
      tone.connect(gain).connect(out);
      tone.start();
      return tone;
    });
  };
  return out.stream;
};
"""
"""Runs before a page: its microphone hears what ``fake.play([hertz, level], ...)`` plays."""


def string(
    hertz: float,
    seconds: float,
    rng: np.random.Generator,
    *,
    stiff: float = 1e-4,
    pluck: float = 0.18,
    corner: float = 0.0,
    missing: frozenset[int] = frozenset(),
) -> Sound:
    """A plucked string whose first partial lies at so many hertz.

    Partial n lies at n f √(1 + stiff n²) and dies away the faster the higher it is. pluck: place,
    as a share of the string. corner: of a microphone that hears 24 dB an octave less below it.
    missing: numbers of partials that do not sound.
    """
    time = np.arange(int(seconds * RATE)) / RATE
    sound = np.zeros_like(time)
    for n in range(1, 41):
        place = n * hertz * np.sqrt((1 + stiff * n * n) / (1 + stiff))
        if place > HIGHEST:
            break
        loud = abs(np.sin(np.pi * n * pluck)) / n + 1e-4
        if corner:
            loud *= (place / corner) ** 4 / np.sqrt(1 + (place / corner) ** 8)
        dying = np.exp(-time * (0.4 + 0.3 * n**0.8))
        phase = rng.uniform(0, 2 * np.pi)
        sound += (n not in missing) * loud * dying * np.sin(2 * np.pi * place * time + phase)
    return np.asarray(sound * np.minimum(1, time / 0.004))


def wind(hertz: float, seconds: float, rng: np.random.Generator, partials: int = 40) -> Sound:
    """A held tone with so many harmonic partials, the n-th 1/n as loud."""
    time = np.arange(int(seconds * RATE)) / RATE
    numbers = np.arange(1, min(partials, int(HIGHEST / hertz)) + 1)
    phases = rng.uniform(0, 2 * np.pi, len(numbers))
    waves = np.sin(2 * np.pi * hertz * np.outer(time, numbers) + phases) / numbers
    return np.asarray(waves.sum(axis=1) * np.minimum(1, time / 0.03))


def noise(count: int, rng: np.random.Generator, *, pink: bool = False) -> Sound:
    """Noise with an RMS of 1, white or pink: as loud in each octave above 20 Hz."""
    white = rng.standard_normal(count)
    if pink:
        spectrum = np.fft.rfft(white)
        spectrum /= np.sqrt(np.maximum(np.fft.rfftfreq(count, 1 / RATE), 20.0))
        white = np.fft.irfft(spectrum, count)
    return np.asarray(white / np.sqrt(np.mean(white**2)))


def heard(
    sound: Sound, at: float, rng: np.random.Generator, ratio: float | None, pink: bool = False
) -> Sound:
    """What the tuner hears up to some seconds, with noise below it by so many dB; None for none."""
    end = int(at * RATE)
    last = sound[end - LISTENED : end]
    level = float(np.sqrt(np.mean(last**2)))
    if ratio is not None:
        last = last + level * 10 ** (-ratio / 20) * noise(len(last), rng, pink=pink)
    return np.asarray(0.1 * last / level)


PITCHES = """({ sounds, rate }) => sounds.map((text) => {
  const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  return practice.tuning.pitchOf(new Float32Array(bytes.buffer), rate).hertz;
})"""


def pitches(page: Any, sounds: Sequence[Sound]) -> list[float | None]:
    """The frequencies in hertz that the page finds in sounds; None where it finds none."""
    wish = {"sounds": [packed(sound) for sound in sounds], "rate": RATE}
    return list(page.evaluate(PITCHES, wish))


def packed(sound: Sound) -> str:
    return base64.b64encode(sound.astype("<f4").tobytes()).decode()


def cents(found: float, true: float) -> float:
    """The cents by which a frequency is above another one."""
    return float(1200 * np.log2(found / true))
