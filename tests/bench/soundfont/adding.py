"""Builds recorded sets into a font: melodic sounds in layers, and pieces of the drum kits.

The first recording of a stroke is in the kit itself (bank 128); others of the same strokes are in
kits of the same program in the banks `ALTERNATE_BANKS`, which play the first one where a piece has
no more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import soxr
from numpy.typing import NDArray

from groove.rhythm.kit import INSTRUMENTS, KITS
from tests.bench.soundfont.choosing import DRUM_BANK
from tests.bench.soundfont.font import (
    COARSE_TUNE,
    FINE_TUNE,
    KEY_RANGE,
    PAN,
    ROOT_KEY,
    VELOCITY_RANGE,
    Instrument,
    Preset,
    Sample,
    Zone,
    instruments_of,
    unsigned,
)
from tests.bench.soundfont.recorded import RATE, Recording
from tests.bench.soundfont.sides import HARD, attenuate

ALTERNATE_BANKS = (120, 121, 122)
FULL_SCALE = 32767
SAME = 1e-4
"""Of full scale: sides that differ by less are one."""


@dataclass(frozen=True)
class Variant:
    """How a melodic sound plays a recorded set: its name, by how much lower velocities already get
    a stronger layer, and by how many cents two copies of each string are apart."""

    name: str
    harder: int = 0
    apart: float = 0.0


@dataclass
class Built:
    """The samples of a set's recordings at `rate` frames a second, each made once: those of its
    sides, or a single one."""

    quality: float
    rate: int = RATE
    _samples: dict[Recording, list[Sample]] = field(default_factory=dict)

    def zones(self, recording: Recording) -> list[Zone]:
        """Zones that play a recording for its keys and velocities."""
        if recording not in self._samples:
            self._samples[recording] = self._made(recording)
        samples = self._samples[recording]
        pans = (-HARD, HARD) if len(samples) == 2 else (0,)
        zones = []
        for sample, pan in zip(samples, pans, strict=True):
            zone = Zone({PAN: unsigned(pan), ROOT_KEY: recording.key}, target=sample)
            zone.set_span(KEY_RANGE, *recording.keys)
            zone.set_span(VELOCITY_RANGE, *recording.velocities)
            transpose(zone, recording.cents)
            attenuate(zone, recording.attenuation - (0 if pan else 3.0))
            zones.append(zone)
        return zones

    def _made(self, recording: Recording) -> list[Sample]:
        frames = recording.frames
        if self.rate != RATE:
            frames = soxr.resample(frames, RATE, self.rate, quality="VHQ")
        one = bool(np.abs(frames[:, 0] - frames[:, 1]).max() < SAME)
        sides = [(recording.name, frames[:, 0])] if one else [
            (f"{recording.name} {letter}", frames[:, side]) for side, letter in enumerate("LR")
        ]  # fmt: skip
        return [
            Sample(
                name, _sixteen_bits(side), self.rate, (0, len(side)), quality=self.quality
            )
            for name, side in sides
        ]  # fmt: skip


def melodic(recordings: Sequence[Recording], variant: Variant, built: Built) -> Preset:
    """A melodic preset of a recorded set."""
    instrument = Instrument(variant.name[:19])
    for recording in recordings:
        low, high = (_harder(velocity, variant.harder) for velocity in recording.velocities)
        for cents in (-variant.apart / 2, variant.apart / 2) if variant.apart else (0.0,):
            for zone in built.zones(recording):
                zone.set_span(VELOCITY_RANGE, low, high)
                transpose(zone, recording.cents + cents)
                if variant.apart:
                    attenuate(zone, 3.0)
                instrument.zones.append(zone)
    program = INSTRUMENTS[variant.name].program
    return Preset(variant.name[:19], 0, program, [Zone(target=instrument)])


def replace_pieces(
    kits: Sequence[Preset], names: Sequence[str], recordings: Sequence[Recording], built: Built
) -> list[Preset]:
    """Kits, and new ones in the alternate banks, with pieces of a recorded set in the kits of some
    names. No two kits share an instrument."""
    programs = {KITS[name] for name in names}
    by_place = {(kit.bank, kit.program): kit for kit in kits}
    alternates = max(recording.alternate for recording in recordings)
    for program in programs:
        for bank in ALTERNATE_BANKS[:alternates]:
            if (bank, program) not in by_place:
                by_place[bank, program] = _copy(by_place[DRUM_BANK, program], bank)
        for bank in (DRUM_BANK, *ALTERNATE_BANKS):
            if (bank, program) in by_place:
                turn = 0 if bank == DRUM_BANK else ALTERNATE_BANKS.index(bank) + 1
                _replace(by_place[bank, program], _of_turn(recordings, turn), built)
    return list(by_place.values())


def transpose(zone: Zone, cents: float) -> None:
    """Let a zone sound some cents higher than its root key says."""
    semitones = round(cents / 100)
    zone.generators[COARSE_TUNE] = unsigned(semitones)
    zone.generators[FINE_TUNE] = unsigned(round(cents - 100 * semitones))


def _sixteen_bits(side: NDArray[np.float64]) -> NDArray[np.int16]:
    return np.rint(np.clip(side, -1, 1) * FULL_SCALE).astype(np.int16)


def _of_turn(recordings: Sequence[Recording], turn: int) -> list[Recording]:
    """Of the recordings of each stroke the one whose turn it is, round and round."""
    strokes: dict[tuple[int, tuple[int, int]], list[Recording]] = {}
    for recording in sorted(recordings, key=lambda one: one.alternate):
        strokes.setdefault((recording.key, recording.velocities), []).append(recording)
    return [same[turn % len(same)] for same in strokes.values()]


def _replace(kit: Preset, recordings: Sequence[Recording], built: Built) -> None:
    """Take the keys of some recordings out of a kit's instruments and add the recordings."""
    keys = {recording.key for recording in recordings}
    for instrument in instruments_of([kit]):
        instrument.zones = [zone for zone in instrument.zones if zone.keys[0] not in keys]
    kit.zones = [
        zone for zone in kit.zones if not isinstance(zone.target, Instrument) or zone.target.zones
    ]
    added = Instrument(f"{kit.name[:12]} {min(keys)}-{max(keys)}")
    for recording in recordings:
        added.zones += built.zones(recording)
    kit.zones.append(Zone(target=added))


def _copy(kit: Preset, bank: int) -> Preset:
    zones = [zone.copy() for zone in kit.zones]
    copies = {
        instrument: Instrument(instrument.name, [zone.copy() for zone in instrument.zones])
        for instrument in instruments_of([kit])
    }
    for zone in zones:
        if isinstance(zone.target, Instrument):
            zone.target = copies[zone.target]
    return Preset(kit.name, bank, kit.program, zones)


def _harder(velocity: int, by: int) -> int:
    """A bound of a layer moved down; the ends of the range stay."""
    return velocity if velocity in (0, 127) else max(velocity - by, 0)
