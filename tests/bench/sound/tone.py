"""Tone by velocity: how much brighter a hard stroke is than a soft one."""

from __future__ import annotations

import statistics

from tests.bench.sound.checkout import Checkout
from tests.bench.sound.measures import RATE, centroid
from tests.bench.sound.strokes_midi import SEND, VOLUME, Note, write
from tests.bench.sound.table import Figure

SOFT, HARD = 24, 120
STROKES = 4
CONTROLS = {VOLUME: 114, SEND: 26}
INSTRUMENTS = {
    "kick": ("drums", 0, (36,), 0.25, 1.0),
    "snare": ("drums", 0, (38,), 0.25, 1.5),
    "hat": ("drums", 0, (42,), 0.25, 1.5),
    "ride": ("drums", 0, (51,), 0.25, 1.5),
    "piano": ("comping", 0, (50, 57, 64), 0.5, 1.5),
    "bass": ("bass", 33, (31, 36, 43), 0.5, 1.3),
    "clean guitar": ("comping", 27, (52, 57, 64), 0.5, 1.3),
    "steel guitar": ("comping", 25, (52, 57, 64), 0.5, 1.3),
}
"""Part, program, keys, seconds that are measured, and the factor wanted at least."""


def figures(checkout: Checkout) -> list[Figure]:
    """The centroid at both velocities and their ratio, through the whole chain of the part."""
    for name, (part, program, keys, seconds, _) in INSTRUMENTS.items():
        notes = [
            Note(start, seconds, key, velocity) for start, key, velocity in _plan(keys, seconds)
        ]
        write(checkout.folder / f"tone/{name}.mid", part, program, notes, CONTROLS)
    checkout.played("tone", INSTRUMENTS)
    found = []
    for name, (part, _, keys, seconds, wanted) in INSTRUMENTS.items():
        sound = checkout.stems(f"tone/{name}")[part]
        hertz: dict[int, list[float]] = {SOFT: [], HARD: []}
        for start, _, velocity in _plan(keys, seconds):
            at = round(start * RATE)
            hertz[velocity].append(centroid(sound[at : at + round(seconds * RATE)]))
        soft, hard = (statistics.mean(hertz[velocity]) for velocity in (SOFT, HARD))
        found += [
            Figure(f"{name}, at {SOFT} (Hz)", soft, form="{:.0f}"),
            Figure(f"{name}, at {HARD} (Hz)", hard, form="{:.0f}"),
            Figure(f"{name}, factor", hard / soft, low=wanted if wanted > 1 else None),
        ]
    return found


def _plan(keys: tuple[int, ...], seconds: float) -> list[tuple[float, int, int]]:
    """Start, key and velocity of each stroke, soft and hard in turns, far enough apart."""
    apart = max(1.0, seconds * 3)
    order = [(key, v) for _ in range(STROKES) for key in keys for v in (SOFT, HARD)]
    return [(0.5 + number * apart, key, v) for number, (key, v) in enumerate(order)]
