"""Prints what was measured of the sounds before and after."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from groove.rhythm.kit import KIT
from groove.sound.synth.soundfont_file import presets as places_in
from tests.bench.soundfont import note_figures
from tests.bench.soundfont.choosing import DRUM_BANK
from tests.bench.soundfont.font import Preset
from tests.bench.soundfont.kit_alternates import BANKS
from tests.bench.soundfont.playing import RATE, Player

VELOCITY, HELD, REST, EVERY = 90, 0.9, 1.0, 4
SHORT, LONG = 0.05, 2.5
COLUMNS = "loudness  step   cents        left-right  -40 dB in"


@dataclass(frozen=True)
class Figures:
    """Of a melodic sound: its mean loudness (LUFS), the largest step between neighbouring keys
    (dB, unweighted or K-weighted, whichever is larger), the lowest and highest key's cents, the
    strongest lean to a side (dB), and milliseconds in which it falls by 40 dB."""

    loudness: float
    step: float
    cents: tuple[float, float]
    lean: float
    fall: float

    def __str__(self) -> str:
        low, high = self.cents
        return (
            f"{self.loudness:8.1f} {self.step:5.1f} {low:6.1f}..{high:4.1f}"
            f" {self.lean:8.1f} {self.fall:8.0f} ms"
        )


def figures(player: Player, bank: int, program: int) -> Figures:
    """The measurements of a melodic sound."""
    player.choose(bank, program)
    keys = note_figures.keys_of(program)
    held = round(HELD * RATE)
    sounds = [player.note(k, VELOCITY, HELD, 0 if k % EVERY else REST) for k in keys]
    weighted = [note_figures.loudness(sound[:held]) for sound in sounds]
    plain = [note_figures.level(sound[:held]) for sound in sounds]
    cents = [note_figures.cents(s, key) for s, key in zip(sounds, keys, strict=True)]
    falls = [note_figures.fall(s, HELD, 40) for s in sounds if len(s) > held + RATE // 2]
    return Figures(
        float(np.mean(weighted)),
        max(float(np.abs(np.diff(levels)).max()) for levels in (weighted, plain)),
        (float(np.nanmin(cents)), float(np.nanmax(cents))),
        max((note_figures.lean(sound) for sound in sounds), key=abs),
        float(np.median([LONG * 1000 if np.isnan(fall) else fall for fall in falls])),
    )


def print_sounds(before: Path, after: Path, presets: Sequence[Preset]) -> None:
    """A line for each melodic sound: before, after."""
    print(f"{'':24}{COLUMNS}    |   {COLUMNS}")
    with Player(before) as old, Player(after) as new:
        for preset in presets:
            if preset.bank == 0:
                one, other = (figures(player, 0, preset.program) for player in (old, new))
                print(f"{preset.program:3} {preset.name:20}{one} | {other}")


def print_kits(before: Path, after: Path) -> None:
    """For each kit and piece: loudness, lean, and what a note-off takes away, before and after."""
    with Player(before) as old, Player(after) as new:
        for bank, program in sorted(places_in(after)):
            if bank < BANKS[0]:
                continue
            for player, of in ((old, DRUM_BANK), (new, bank)):
                player.choose(of, program)
            print(f"kit {bank}:{program}: loudness, left-right, lost by note-off; before | after")
            for name, voice in KIT.items():
                rows = [_stroke(player, voice.note) for player in (old, new)]
                print(f"  {name:14}{rows[0]} | {rows[1]}")


def _stroke(player: Player, key: int) -> str:
    held = player.note(key, VELOCITY, LONG, 0)
    short = player.note(key, VELOCITY, SHORT, LONG - SHORT)[: len(held)]
    energies = [float((sound.astype(float) ** 2).sum()) + 1e-20 for sound in (held, short)]
    lost = 10 * np.log10(energies[0] / energies[1])
    loudness, lean = note_figures.loudness(held), note_figures.lean(held)
    return f"{loudness:7.1f}{lean:6.1f}{lost:6.2f}"
