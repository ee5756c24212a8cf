"""The room: what is heard of it after a stroke, and how loud it is under the drums."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import mido
import numpy as np
import pyloudnorm

from tests.bench.sound.checkout import Checkout
from tests.bench.sound.measures import RATE, Sound, t60
from tests.bench.sound.strokes_midi import SEND, VOLUME, Note, write
from tests.bench.sound.table import Figure

STYLES = ("shuffle", "eighths-rock", "medium-swing", "rumba", "one-drop", "waltz", "slow-ballad")
CLAVES = 75
QUIET = -30.0
"""LUFS at which nothing reaches a limiter."""
DIRECT = round(0.003 * RATE)
EARLY = round(0.08 * RATE)


def figures(checkout: Checkout, styles: Sequence[str] = STYLES) -> list[Figure]:
    """Of the families' rooms: onset, early part and T60 after a stroke of the claves; and the
    level of the room under the drums that the band plays."""
    requests = []
    for style in styles:
        requests.append({"form": {"drums": style}, "folder": f"room/form {style}"})
    checkout.rendered(requests)
    requests = []
    for style in styles:
        (path,) = (checkout.folder / f"room/form {style}").glob("*.mid")
        send = _only_drums(path, checkout.folder, style)
        for kind, controls in (("dry", {VOLUME: 114}), ("wet", {VOLUME: 114, SEND: send})):
            single = checkout.folder / f"room/{style} stroke {kind}.mid"
            write(single, "drums", 0, [Note(0.5, 0.1, CLAVES, 100)], controls)
            for what in ("stroke", "band"):
                requests.append(
                    {
                        "midi": str(checkout.folder / f"room/{style} {what} {kind}.mid"),
                        "folder": f"room/{style} {what} {kind}",
                        "drums": style,
                        "plain": True,
                        "loudness": QUIET,
                    }
                )
    gains = [answer["gain"] for answer in checkout.rendered(requests)]
    by_folder = {r["folder"]: gain for r, gain in zip(requests, gains, strict=True)}
    found = []
    for style in styles:
        sounds = {}
        for what in ("stroke", "band"):
            for kind in ("dry", "wet"):
                name = f"room/{style} {what} {kind}"
                sounds[what, kind] = checkout.stems(name)["drums"] * 10 ** (-by_folder[name] / 20)
        found += _stroke_figures(style, *(sounds["stroke", kind] for kind in ("dry", "wet")))
        dry, wet = (sounds["band", kind] for kind in ("dry", "wet"))
        both = min(len(dry), len(wet))
        room = wet[:both] - dry[:both]
        meter = pyloudnorm.Meter(RATE)
        under = meter.integrated_loudness(dry) - meter.integrated_loudness(room)
        found.append(Figure(f"{style}, room under the drums (LU)", under, 12, 18, "{:.1f}"))
    return found


def _stroke_figures(style: str, dry: Sound, wet: Sound) -> list[Figure]:
    """Onset, early part and T60 of a room."""
    room = wet.copy()
    both = min(len(dry), len(wet))
    room[:both] -= dry[:both]
    start = round(0.5 * RATE)
    begun = start + int(
        np.flatnonzero(np.abs(dry[start:]).max(axis=1) > np.abs(dry).max() * 0.1)[0]
    )
    tail = room[begun:]
    heard = np.abs(tail).max(axis=1)
    if heard.max() < 1e-6:
        return [Figure(f"{style}, onset (ms)", math.nan, high=10, form="{:.1f}")]
    onset = int(np.flatnonzero(heard > heard.max() * 0.1)[0])
    peaks = 20 * math.log10(float(np.abs(dry).max()) / float(heard.max()))
    early = float(np.sum(tail[:EARLY] ** 2) / np.sum(tail**2))
    return [
        Figure(f"{style}, onset (ms)", 1000 * onset / RATE, high=10, form="{:.1f}"),
        Figure(f"{style}, share of energy before 80 ms", early, form="{:.2f}"),
        Figure(f"{style}, peak under the stroke's (dB)", peaks, form="{:.1f}"),
        Figure(f"{style}, T60 (s)", t60(tail[max(onset, EARLY) :]), form="{:.2f}"),
    ]


def _only_drums(path: Path, folder: Path, style: str) -> int:
    """Write the drums of a MIDI file with and without their send; returns that."""
    send = 0
    for kind in ("wet", "dry"):
        midi = mido.MidiFile(path)
        midi.tracks = [t for t in midi.tracks if t.name in ("drums", "") or t is midi.tracks[0]]
        for track in midi.tracks:
            for message in track:
                if message.type == "control_change" and message.control == SEND:
                    send = max(send, message.value)
                    if kind == "dry":
                        message.value = 0
        midi.save(folder / f"room/{style} band {kind}.mid")
    return send
