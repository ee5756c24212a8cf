"""Neighbouring keys: steps in level, tuning, and how long notes ring after their end."""

from __future__ import annotations

import math
import statistics
from itertools import pairwise

import numpy as np
import pyloudnorm

from tests.bench.sound.checkout import Checkout
from tests.bench.sound.measures import RATE, Sound, fall_times, pitch_cents
from tests.bench.sound.strokes_midi import VOLUME, even, write
from tests.bench.sound.table import Figure

INSTRUMENTS = {
    "acoustic bass": ("bass", 32, range(28, 56)),
    "fingered bass": ("bass", 33, range(28, 56)),
    "picked bass": ("bass", 34, range(28, 56)),
    "piano": ("comping", 0, range(40, 85)),
    "electric piano": ("comping", 4, range(40, 85)),
    "drawbar organ": ("comping", 16, range(40, 85)),
    "nylon guitar": ("comping", 24, range(40, 80)),
    "steel guitar": ("comping", 25, range(40, 80)),
    "jazz guitar": ("comping", 26, range(40, 80)),
    "clean guitar": ("comping", 27, range(40, 80)),
}
RELEASES = ("acoustic bass", "fingered bass", "picked bass", "steel guitar", "nylon guitar")
HELD, APART, VELOCITY = 1.2, 4.0, 80
FALLS = (20.0, 40.0, 60.0)
LEVEL_SECONDS = 0.4


def figures(checkout: Checkout) -> list[Figure]:
    """Of each instrument by itself, without reverb: the parts' equaliser is in it, for it is what
    is heard; nothing that follows the level is."""
    requests = []
    for name, (part, program, keys) in INSTRUMENTS.items():
        notes = even(list(keys), VELOCITY, APART, HELD)
        write(checkout.folder / f"keys/{name}.mid", part, program, notes, {VOLUME: 100})
        requests.append(
            {
                "midi": str(checkout.folder / f"keys/{name}.mid"),
                "folder": f"keys/{name}",
                "drums": "shuffle",
                "plain": True,
            }
        )
    checkout.rendered(requests)
    found = []
    for name, (part, _, keys) in INSTRUMENTS.items():
        sound = checkout.stems(f"keys/{name}")[part]
        cuts = [sound[round((0.5 + n * APART) * RATE) :] for n in range(len(keys))]
        levels = [_level(cut[: round(LEVEL_SECONDS * RATE)]) for cut in cuts]
        steps = [abs(one - other) for one, other in pairwise(levels)]
        cents = [
            pitch_cents(cut[round(0.1 * RATE) : round(1.1 * RATE)], 440 * 2 ** ((key - 69) / 12))
            for cut, key in zip(cuts, keys, strict=True)
        ]
        found += [
            Figure(f"{name}, largest step (dB)", max(steps), high=3.0, form="{:.1f}"),
            Figure(f"{name}, mean step (dB)", statistics.mean(steps), form="{:.1f}"),
            Figure(f"{name}, tuning, median (cents)", statistics.median(cents), -3, 3, "{:.1f}"),
            Figure(f"{name}, farthest off (cents)", max(cents, key=abs), form="{:.1f}"),
        ]
        if name in RELEASES:
            times = np.array([fall_times(cut[: round(APART * RATE)], HELD, FALLS) for cut in cuts])
            for fall, seconds in zip(FALLS, np.median(times, axis=0), strict=True):
                found.append(
                    Figure(f"{name}, falls {fall:.0f} dB in (ms)", 1000 * seconds, form="{:.0f}")
                )
    return found


def _level(sound: Sound) -> float:
    """dB of a note, K-weighted (ITU-R BS.1770-4)."""
    weighted = sound.copy()
    for stage in pyloudnorm.Meter(RATE)._filters.values():
        for channel in range(2):
            weighted[:, channel] = stage.apply_filter(weighted[:, channel])
    return 10 * math.log10(float(np.mean(weighted**2)) + 1e-20)
