"""A soundfont in memory: samples, and the zones that say which of them a key plays and how.

The layout, the generators and their units are those of the SoundFont technical specification 2.04
(Creative Technology, 2006; from memory), checked against three free soundfonts.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

KEY_RANGE: Final = 43
VELOCITY_RANGE: Final = 44
INSTRUMENT: Final = 41
SAMPLE: Final = 53
LOOP_START_OFFSETS: Final = {2: 1, 45: 32768}
LOOP_END_OFFSETS: Final = {3: 1, 50: 32768}
FILTER_CUTOFF: Final = 8
PAN: Final = 17
DELAY: Final = 33
ATTACK: Final = 34
HOLD: Final = 35
DECAY: Final = 36
SUSTAIN: Final = 37
RELEASE: Final = 38
ATTENUATION: Final = 48
COARSE_TUNE: Final = 51
FINE_TUNE: Final = 52
SAMPLE_MODES: Final = 54
SCALE_TUNING: Final = 56
EXCLUSIVE_CLASS: Final = 57
ROOT_KEY: Final = 58
LOOPED: Final = 1
"""Numbers of generators. Offsets count sample frames, the second of each pair in 32768s; times are
timecents; pan is tenths of a percent to the right; attenuation is centibels, of which the
synthesisers that play real fonts take 0.4 (as the first hardware did, and FluidSynth does)."""

DECIBEL = 25
"""Units of ATTENUATION in a decibel, as FluidSynth plays it."""


@dataclass(eq=False)
class Sample:
    """One recording: `frames` of 16 bits at `rate` a second, mono.

    loop: first frame and the frame after the last, counted from the first of the sample. pitch is
    the MIDI key that it sounds at its own rate, with correction cents added. quality is that of its
    compression, 0 to 1. turn is the number of frames after which its loop repeats, where the loop
    has been made longer than that; 0: it does not loop, or is as it was read.

    The two sides of a stereo pair are two samples, that zones play at the two sides: the
    synthesiser takes no notice of the links between them.
    """

    name: str
    frames: NDArray[np.int16]
    rate: int
    loop: tuple[int, int]
    pitch: int = 60
    correction: int = 0
    quality: float = 0.4
    turn: int = 0


@dataclass(eq=False)
class Zone:
    """The settings for a range of keys and velocities: generators by number, raw modulators of ten
    bytes, and the sample or instrument that sounds; without one the zone is the global one."""

    generators: dict[int, int] = field(default_factory=dict)
    modulators: list[bytes] = field(default_factory=list)
    target: Sample | Instrument | None = None

    @property
    def keys(self) -> tuple[int, int]:
        return _span(self.generators.get(KEY_RANGE))

    @property
    def velocities(self) -> tuple[int, int]:
        return _span(self.generators.get(VELOCITY_RANGE))

    def set_span(self, generator: int, low: int, high: int) -> None:
        self.generators[generator] = low | high << 8

    def copy(self) -> Zone:
        return Zone(dict(self.generators), list(self.modulators), self.target)


@dataclass(eq=False)
class Instrument:
    """Zones that play samples, under a name."""

    name: str
    zones: list[Zone] = field(default_factory=list)


@dataclass(eq=False)
class Preset:
    """Zones that play instruments; called for by bank and program, both from 0."""

    name: str
    bank: int
    program: int
    zones: list[Zone] = field(default_factory=list)


def _span(amount: int | None) -> tuple[int, int]:
    """Lowest and highest key or velocity of a range, all where there is none."""
    return (0, 127) if amount is None else (amount & 255, amount >> 8)


def signed(amount: int) -> int:
    """A generator's amount as a signed number.

    >>> signed(65535), signed(250)
    (-1, 250)
    """
    value: int = struct.unpack("<h", struct.pack("<H", amount))[0]
    return value


def unsigned(value: int) -> int:
    """A signed number as the 16 bits of a generator's amount.

    >>> unsigned(-1)
    65535
    """
    amount: int = struct.unpack("<H", struct.pack("<h", value))[0]
    return amount


def instruments_of(presets: list[Preset]) -> list[Instrument]:
    """The instruments that presets play, each once, in the order of their first use."""
    found = (zone.target for preset in presets for zone in preset.zones)
    return list(dict.fromkeys(target for target in found if isinstance(target, Instrument)))


def samples_of(presets: list[Preset]) -> list[Sample]:
    """The samples that presets play, each once, in the order of their first use."""
    found: dict[Sample, None] = {}
    for instrument in instruments_of(presets):
        for zone in instrument.zones:
            if isinstance(zone.target, Sample):
                found[zone.target] = None
    return list(found)


def spread(instrument: Instrument) -> None:
    """Write what an instrument's global zone says into each of its zones, and drop it."""
    usual = instrument.zones[0]
    if usual.target is not None:
        return
    instrument.zones = instrument.zones[1:]
    for zone in instrument.zones:
        zone.generators = usual.generators | zone.generators
        zone.modulators += [one for one in usual.modulators if one not in zone.modulators]
