"""Mends the sounds of a font: even levels, pitch, releases, and no key without a sound.

What is mended is measured: `Measured` holds what every key of a preset sounds like, as played by
the synthesiser.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tests.bench.soundfont import note_figures
from tests.bench.soundfont.font import (
    ATTENUATION,
    COARSE_TUNE,
    DECAY,
    DECIBEL,
    EXCLUSIVE_CLASS,
    FINE_TUNE,
    HOLD,
    KEY_RANGE,
    RELEASE,
    SUSTAIN,
    Instrument,
    Preset,
    Sample,
    Zone,
    instruments_of,
    signed,
    unsigned,
)
from tests.bench.soundfont.playing import Player
from tests.bench.soundfont.sides import attenuate, attenuation
from tests.bench.soundfont.writing import write_sf2

VELOCITY = 90
HELD = 0.9
SMOOTH_KEYS = 6.0
"""Keys over which levels are made even: the standard deviation of the weights."""
SMOOTHINGS = 3

MOST_DECIBELS, MOST_CENTS = 9.0, 40.0
RELEASE_RANGE = 100.0
"""Decibels that a sound falls in its release time, by the SoundFont specification."""

LONGEST = 8000
SOON, SHORTEST = 0, unsigned(-12000)
SILENT = 960
"""The longest time that a generator can say (101 s), a time of 1 s, and a sustain level that is
silence."""

SLACK = 2.0
"""Decibels that the velocities above 113 may miss."""


@dataclass(frozen=True)
class Measured:
    """The keys of a preset, and for each its level in dB (the mean of unweighted and K-weighted)
    and what it is too high by, in cents (nan: not to be told)."""

    keys: range
    levels: NDArray[np.float64]
    cents: NDArray[np.float64]


def measure(presets: Sequence[Preset], scratch: Path) -> dict[Preset, Measured]:
    """The sound of every key of melodic presets. `scratch` is a file to be written for it."""
    scratch.write_bytes(write_sf2(presets, {"INAM": "scratch"}))
    found = {}
    with Player(scratch) as player:
        for preset in presets:
            player.choose(preset.bank, preset.program)
            keys = note_figures.keys_of(preset.program)
            sounds = [player.note(key, VELOCITY, HELD, 0) for key in keys]
            levels = [(note_figures.level(s) + note_figures.loudness(s)) / 2 for s in sounds]
            cents = [note_figures.cents(s, key) for s, key in zip(sounds, keys, strict=True)]
            found[preset] = Measured(keys, np.array(levels), np.array(cents))
    return found


def reach(preset: Preset) -> None:
    """Let every key of a melodic preset sound in each layer: a zone reaches up to the next above
    it, the lowest and the highest to the ends of the instrument."""
    wanted = note_figures.keys_of(preset.program)
    for instrument in instruments_of([preset]):
        layers: dict[tuple[int, int], set[tuple[int, int]]] = {}
        for zone in instrument.zones:
            layers.setdefault(zone.velocities, set()).add(zone.keys)
        for zone in instrument.zones:
            others = layers[zone.velocities]
            low, high = zone.keys
            above = [start for start, _ in others if start > high]
            if not any(start <= high + 1 <= end for start, end in others):
                high = min(above, default=max(wanted[-1], high) + 1) - 1
            if low == min(start for start, _ in others):
                low = min(low, wanted[0])
            zone.set_span(KEY_RANGE, low, high)


def tune(preset: Preset, measured: Measured) -> None:
    """Bring every zone of a preset in tune, by the mean of its keys."""
    known = ~np.isnan(measured.cents) & (np.abs(measured.cents) < MOST_CENTS)
    for zone, keys in _zones(preset, measured):
        if (keys & known).any():
            off = float(measured.cents[keys & known].mean())
            fine = signed(zone.generators.get(FINE_TUNE, 0)) - round(off)
            coarse = signed(zone.generators.get(COARSE_TUNE, 0))
            semitones = round(fine / 100) if abs(fine) > 99 else 0
            zone.generators[FINE_TUNE] = unsigned(fine - 100 * semitones)
            zone.generators[COARSE_TUNE] = unsigned(coarse + semitones)


def even(preset: Preset, measured: Measured) -> None:
    """Bring every zone of a preset to the level of those around it, to MOST_DECIBELS more or
    less."""
    zones = list(_zones(preset, measured))
    gains = np.zeros(len(zones))
    for _ in range(SMOOTHINGS):
        levels = measured.levels + _by_key([keys for _, keys in zones], gains)
        missing = smooth(levels, SMOOTH_KEYS) - levels
        gains += [missing[keys].mean() for _, keys in zones]
    for (zone, _), gain in zip(zones, gains, strict=True):
        attenuate(zone, -float(np.clip(gain, -MOST_DECIBELS, MOST_DECIBELS)))


def lacking(preset: Preset, decibels: float) -> float:
    """By how many decibels more than some a preset has to be softer, for no zone of it to be
    louder than its sample at a velocity that takes SLACK off."""
    usual = 0 if preset.zones[0].target else attenuation(preset.zones[0])
    inner = [
        (attenuation(outer) if ATTENUATION in outer.generators else usual) + attenuation(zone)
        for outer in preset.zones
        if isinstance(outer.target, Instrument)
        for zone in outer.target.zones
    ]
    return max(0.0, -min(inner) / DECIBEL - decibels - SLACK)


def settle(preset: Preset, decibels: float) -> None:
    """Make a whole preset some decibels softer."""
    for instrument in instruments_of([preset]):
        for zone in instrument.zones:
            attenuate(zone, decibels)


def release(preset: Preset, seconds: float) -> None:
    """Let a preset fall by 40 dB within some seconds when a key is let go, at any velocity."""
    whole = round(1200 * np.log2(seconds * RELEASE_RANGE / 40))
    for outer in preset.zones:
        outer.generators.pop(RELEASE, None)
    for instrument in instruments_of([preset]):
        for zone in instrument.zones:
            zone.generators[RELEASE] = unsigned(whole)


def ring_out(preset: Preset) -> None:
    """Let every sound of a kit end as if its key were held."""
    for instrument in instruments_of([preset]):
        for zone in instrument.zones:
            fades = signed(zone.generators.get(SUSTAIN, 0)) >= SILENT
            soon = signed(zone.generators.get(HOLD, SHORTEST)) <= SOON
            zone.generators[RELEASE] = (
                zone.generators[DECAY] if fades and soon and DECAY in zone.generators else LONGEST
            )


def exclude(preset: Preset, classes: dict[int, int]) -> None:
    """Give the sounds of a kit the exclusive classes by key; others have none."""
    for instrument in instruments_of([preset]):
        for zone in instrument.zones:
            zone.generators.pop(EXCLUSIVE_CLASS, None)
            if zone.keys[0] in classes:
                zone.generators[EXCLUSIVE_CLASS] = classes[zone.keys[0]]


def smooth(values: NDArray[np.float64], width: float) -> NDArray[np.float64]:
    """Values in even steps, made smooth by straight lines through what is near each of them."""
    places = np.arange(len(values), dtype=float)
    out = np.empty(len(values))
    for at in places:
        weights = np.exp(-0.5 * ((places - at) / width) ** 2)
        out[int(at)] = np.polyfit(places - at, values, 1, w=np.sqrt(weights))[1]
    return out


def _zones(preset: Preset, measured: Measured) -> Iterator[tuple[Zone, NDArray[np.bool_]]]:
    """Every zone of a preset with which of the measured keys it plays, if it plays any."""
    places = np.array(measured.keys)
    for instrument in instruments_of([preset]):
        for zone in instrument.zones:
            low, high = zone.keys
            keys = (places >= low) & (places <= high)
            if isinstance(zone.target, Sample) and keys.any():
                yield zone, keys


def _by_key(zones: Sequence[NDArray[np.bool_]], values: NDArray[np.float64]) -> NDArray[np.float64]:
    """A value for each key: the mean of those of the zones that play it."""
    playing = np.array(zones, float)
    return np.asarray((values @ playing) / np.maximum(playing.sum(axis=0), 1))
