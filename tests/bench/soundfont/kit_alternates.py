"""Makes kits that play other strokes of the same pieces, for the banks of alternates."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from groove.rhythm.kit import BRUSHES, KIT, KITS, SWEEP
from tests.bench.soundfont.alternates import Frames, Variety, strokes
from tests.bench.soundfont.font import Instrument, Preset, Sample, Zone, instruments_of
from tests.bench.soundfont.sides import attenuate

BANKS = (120, 121, 122)
FULL_SCALE = 32767
_HIGHEST = 0.985
_SIDE = re.compile(r" ?\(?[LR]\)?$|\([LR]$")


def alternate_kits(kits: Sequence[Preset], table: dict[str, Any]) -> list[Preset]:
    """Kits of other strokes of the pieces of some kits, in BANKS by turns.

    table: that of alternates.toml. A piece that has fewer strokes than there are banks begins again
    with the recorded one; one that has none plays that always. Kits that share a sample share its
    other strokes.
    """
    varieties = {KIT[piece].note: dict(row) for piece, row in table["pieces"].items()}
    sweep = KIT[SWEEP].note
    programs = {KITS[name] for name in table["kits"]}
    chosen = [kit for kit in kits if kit.program in programs]
    others = [kit for kit in chosen if kit.program != KITS[BRUSHES]]
    made = _strokes(others, {key: row for key, row in varieties.items() if key != sweep})
    brushes = [kit for kit in chosen if kit.program == KITS[BRUSHES]]
    made = _strokes(brushes, varieties, made)
    return [_restruck(kit, bank, turn, made) for kit in chosen for turn, bank in enumerate(BANKS)]


def _strokes(
    kits: Iterable[Preset],
    varieties: dict[int, dict[str, Any]],
    before: Mapping[Sample, list[tuple[Sample, float]]] | None = None,
) -> dict[Sample, list[tuple[Sample, float]]]:
    """The other strokes of each sample, and by how many dB each is stored softer than it sounds,
    added to those that were made before."""
    sounds: dict[str, dict[Sample, None]] = {}
    rows: dict[str, dict[str, Any]] = {}
    for kit in kits:
        for outer in kit.zones:
            for zone in outer.target.zones if isinstance(outer.target, Instrument) else []:
                low = max(zone.keys[0], outer.keys[0])
                keys = range(low, min(zone.keys[1], outer.keys[1]) + 1)
                row = next((varieties[key] for key in keys if key in varieties), None)
                if isinstance(zone.target, Sample) and row is not None:
                    name = _SIDE.sub("", zone.target.name).strip()
                    sounds.setdefault(name, {})[zone.target] = None
                    rows.setdefault(name, row)
    made = dict(before or {})
    for name, sides in sounds.items():
        if all(sample in made for sample in sides):
            continue
        variety = Variety(**{key: value for key, value in rows[name].items() if key != "count"})
        found = strokes(_joined(list(sides)), _rate(sides), variety, name, rows[name]["count"])
        for number, sound in enumerate(found, 1):
            softer = max(0.0, 20 * np.log10(np.abs(sound).max() / _HIGHEST))
            for column, sample in enumerate(sides):
                frames = sound[: len(sample.frames), column] * 10 ** (-softer / 20)
                side = sample.name[len(name) :].strip()
                label = f"{name[:14]} {number}{side}"[:19]
                made.setdefault(sample, []).append((_like(sample, label, frames), softer))
    return made


def _like(sample: Sample, name: str, frames: NDArray[np.float64]) -> Sample:
    """A sample that is played as another one is."""
    return Sample(
        name, np.rint(frames * FULL_SCALE).astype(np.int16), sample.rate, sample.loop,
        sample.pitch, sample.correction, sample.quality,
    )  # fmt: skip


def _joined(sides: list[Sample]) -> Frames:
    """The sides of a sound as columns, as long as the longest."""
    length = max(len(sample.frames) for sample in sides)
    columns = [np.pad(one.frames, (0, length - len(one.frames))) for one in sides]
    joined: Frames = np.stack(columns, axis=1) / FULL_SCALE
    return joined


def _rate(sides: Iterable[Sample]) -> int:
    (rate,) = {sample.rate for sample in sides}
    return rate


def _restruck(
    kit: Preset, bank: int, turn: int, made: dict[Sample, list[tuple[Sample, float]]]
) -> Preset:
    """A copy of a kit whose samples are those of one turn."""
    copies: dict[Instrument, Instrument] = {}
    for instrument in instruments_of([kit]):
        zones = [_turned(zone.copy(), turn, made) for zone in instrument.zones]
        copies[instrument] = Instrument(f"{instrument.name[:17]} {turn + 2}", zones)
    zones = [zone.copy() for zone in kit.zones]
    for zone in zones:
        if isinstance(zone.target, Instrument):
            zone.target = copies[zone.target]
    return Preset(kit.name, bank, kit.program, zones)


def _turned(zone: Zone, turn: int, made: dict[Sample, list[tuple[Sample, float]]]) -> Zone:
    if isinstance(zone.target, Sample) and zone.target in made:
        others = made[zone.target]
        place = (turn + 1) % (len(others) + 1)
        if place:
            zone.target, softer = others[place - 1]
            if softer:
                attenuate(zone, -softer)
    return zone
