"""Repeated notes: how much alike notes of one pitch and velocity are that follow one another."""

from __future__ import annotations

import statistics

from tests.bench.sound.checkout import Checkout
from tests.bench.sound.measures import neighbours
from tests.bench.sound.strokes_midi import SEND, VOLUME, even, write
from tests.bench.sound.table import Figure

INSTRUMENTS = {
    "piano": ("comping", 0, 57),
    "electric piano": ("comping", 4, 57),
    "jazz guitar": ("comping", 26, 57),
    "steel guitar": ("comping", 25, 57),
    "fingered bass": ("bass", 33, 40),
    "acoustic bass": ("bass", 32, 40),
}
"""Part, program and note."""
MOST = 0.98
SECONDS, APART = 0.5, 1.5
CONTROLS = {VOLUME: 114, SEND: 26}


def figures(checkout: Checkout) -> list[Figure]:
    """The mean likeness of neighbouring notes at velocity 90, and the highest."""
    plan = even([0] * 9, 90, APART, SECONDS + 0.1)
    for name, (part, program, pitch) in INSTRUMENTS.items():
        notes = even([pitch] * len(plan), 90, APART, SECONDS + 0.1)
        write(checkout.folder / f"repeated/{name}.mid", part, program, notes, CONTROLS)
    checkout.played("repeated", INSTRUMENTS)
    found = []
    for name, (part, _, _) in INSTRUMENTS.items():
        sound = checkout.stems(f"repeated/{name}")[part]
        alike = neighbours(sound, [note.start for note in plan], SECONDS)
        found += [
            Figure(f"{name}, mean", statistics.mean(alike), high=MOST),
            Figure(f"{name}, highest", max(alike)),
        ]
    return found
