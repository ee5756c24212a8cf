"""Strokes: how much equal strokes that follow one another are alike."""

from __future__ import annotations

import statistics
from itertools import pairwise
from pathlib import Path

import mido

from tests.bench.sound.checkout import Checkout
from tests.bench.sound.measures import neighbours
from tests.bench.sound.strokes_midi import SEND, VOLUME, Note, even, write
from tests.bench.sound.table import Figure

PIECES = {"hat": (42, 0.8), "ride": (51, 0.8), "kick": (36, 0.95), "snare": (38, 0.95)}
"""The note of each piece, and how much alike its strokes may be."""
SECONDS = 0.1
CONTROLS = {VOLUME: 114, SEND: 26}
PLAYED = {"hat": "eighths-rock", "ride": "medium-swing", "kick": "house", "snare": "shuffle"}
"""Patterns in which each piece is struck often."""
EQUAL = 4
"""Written velocities that differ by no more than this are equal strokes."""


def figures(checkout: Checkout, *, played: bool = True) -> list[Figure]:
    """The mean and the highest likeness, on equal strokes and, if `played`, on those of a band."""
    plans: dict[str, list[Note]] = {}
    requests = []
    for name, (pitch, _) in PIECES.items():
        plans[f"{name}, even"] = even([pitch] * 17, 90, 0.5, 0.2)
        requests.append(("shuffle", f"{name}, even", 0))
    patterns = PLAYED if played else {}
    checkout.rendered(
        [
            {"form": {"drums": drums, "choruses": 1}, "folder": f"strokes/form {name}"}
            for name, drums in patterns.items()
        ]
    )
    for name, drums in patterns.items():
        (path,) = (checkout.folder / f"strokes/form {name}").glob("*.mid")
        program, plans[f"{name}, played"] = _strokes(path, PIECES[name][0])
        requests.append((drums, f"{name}, played", program))
    for _, name, program in requests:
        write(checkout.folder / f"strokes/{name}.mid", "drums", program, plans[name], CONTROLS)
    checkout.rendered(
        [
            {
                "midi": str(checkout.folder / f"strokes/{name}.mid"),
                "folder": f"strokes/{name}",
                "drums": drums,
            }
            for drums, name, _ in requests
        ]
    )
    found = []
    for _, name, _ in requests:
        sound = checkout.stems(f"strokes/{name}")["drums"]
        alike: list[float] = []
        for run in _equal_runs(plans[name]):
            alike += neighbours(sound, [note.start for note in run], SECONDS)
        most = PIECES[name.partition(",")[0]][1]
        if not alike:
            alike = [float("nan")]
        found += [
            Figure(f"{name}, mean", statistics.mean(alike), high=most),
            Figure(f"{name}, highest", max(alike)),
        ]
    return found


def _strokes(path: Path, pitch: int) -> tuple[int, list[Note]]:
    """The drums' program in a MIDI file, and their strokes of one piece."""
    midi = mido.MidiFile(path)
    program, notes, seconds = 0, [], 0.0
    for message in midi:
        seconds += message.time
        if message.type == "program_change" and message.channel == 9:
            program = message.program
        elif (
            message.type == "note_on"
            and (message.channel, message.note) == (9, pitch)
            and message.velocity
        ):
            notes.append(Note(round(seconds, 4), 0.1, pitch, message.velocity))
    return program, notes


def _equal_runs(notes: list[Note]) -> list[list[Note]]:
    """Neighbouring strokes of about one velocity that are far enough apart to be compared."""
    return [
        [one, other]
        for one, other in pairwise(notes)
        if abs(one.velocity - other.velocity) <= EQUAL and other.start - one.start > 1.1 * SECONDS
    ]
