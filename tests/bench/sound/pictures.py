"""Pictures of ten styles, before and after: spectrograms, level curves, spectra and sides."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import matplotlib as mpl
import matplotlib.pyplot as plt
import numpy as np

from tests.bench.sound.checkout import Checkout, read
from tests.bench.sound.measures import RATE, Sound, mono
from tests.bench.sound.styles import STYLES, render_styles

FIRST, SECONDS = 8.0, 8.0
WINDOW = 2048
LEVEL_SECONDS = 0.05


def draw(columns: Sequence[tuple[str, Checkout]], folder: Path) -> list[Path]:
    """Draw a PNG of each style into `folder`; returns the paths."""
    mpl.use("Agg")
    folder.mkdir(parents=True, exist_ok=True)
    for _, checkout in columns:
        render_styles(checkout, STYLES)
    paths = []
    for style in STYLES:
        figure, axes = plt.subplots(
            4, len(columns), figsize=(9 * len(columns), 17), squeeze=False, sharex="row"
        )
        for (name, checkout), column in zip(columns, axes.T, strict=True):
            _column(column, f"{style}, {name}", checkout, style)
        path = folder / f"{style}.png"
        figure.tight_layout()
        figure.savefig(path, dpi=70)
        plt.close(figure)
        paths.append(path)
    return paths


def _column(axes: np.ndarray, title: str, checkout: Checkout, style: str) -> None:
    """Spectrogram, level curves, spectra of parts, and one bar's waveform of one checkout."""
    mix = read(checkout.mix(f"styles/{style}"))
    stems = checkout.stems(f"styles/{style}")
    cut = slice(round(FIRST * RATE), round((FIRST + SECONDS) * RATE))
    spectrogram, levels, spectra, width = axes
    spectrogram.specgram(
        mono(mix[cut]) + 1e-9, NFFT=WINDOW, Fs=RATE, noverlap=WINDOW * 3 // 4, vmin=-130, vmax=-40
    )
    spectrogram.set_yscale("symlog", linthresh=200)
    spectrogram.set_ylim(30, 20_000)
    spectrogram.set_title(title)
    for part, sound in {"mix": mix, **stems}.items():
        levels.plot(*_level(sound), label=part, linewidth=0.8)
        spectra.semilogx(*_spectrum(sound), label=part, linewidth=0.9)
    levels.set_ylim(-60, 0)
    levels.set_ylabel("dB over 50 ms")
    levels.legend(fontsize=7, ncols=4)
    spectra.set_xlim(30, 20_000)
    spectra.set_ylim(-70, 0)
    spectra.set_ylabel("dB a third of an octave")
    spectra.grid(visible=True, alpha=0.3)
    spectra.legend(fontsize=7)
    hertz, left = _spectrum(mix[:, :1])
    _, right = _spectrum(mix[:, 1:])
    width.semilogx(hertz, left - right)
    width.set_ylim(-8, 8)
    width.set_ylabel("left over right, dB")
    width.grid(visible=True, alpha=0.3)


def _level(sound: Sound) -> tuple[Sound, Sound]:
    """Seconds, and the level in dB."""
    window = round(LEVEL_SECONDS * RATE)
    count = len(sound) // window
    power = np.mean(sound[: count * window].reshape(count, -1) ** 2, axis=1)
    return np.arange(count) * LEVEL_SECONDS, 10 * np.log10(power + 1e-10)


def _spectrum(sound: Sound) -> tuple[Sound, Sound]:
    """Middle frequencies of thirds of octaves, and the level in each in dB."""
    size = 1 << 15
    power = np.zeros(size // 2 + 1)
    for first in range(0, len(sound) - size, size):
        tapered = sound[first : first + size] * np.hanning(size)[:, np.newaxis]
        power += (np.abs(np.fft.rfft(tapered, axis=0)) ** 2).mean(axis=1)
    power *= 8 / 3 / size / max(1, len(sound))
    middles = 1000 * 2 ** (np.arange(-15, 14) / 3)
    edges = np.round(np.append(middles / 2 ** (1 / 6), middles[-1] * 2 ** (1 / 6)) * size / RATE)
    places = edges.astype(int)
    found = [power[low : max(high, low + 1)].sum() for low, high in pairwise(places)]
    return middles, 10 * np.log10(np.array(found) + 1e-12)
