"""Cuts a font to the sounds that a band plays: presets, keys, and what they need."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from groove.rhythm.kit import INSTRUMENTS, KIT, KITS
from tests.bench.soundfont.font import KEY_RANGE, Instrument, Preset, Zone, instruments_of

DRUM_BANK = 128


def drum_keys() -> frozenset[int]:
    """The notes of the drums and of the percussion."""
    return frozenset(voice.note for voice in KIT.values())


def chosen(presets: Sequence[Preset], names: Iterable[str]) -> list[Preset]:
    """Copies of the presets of some instruments, by their General MIDI names, and of the kits.

    A zone stays if it plays a key that the instrument has; of the drums, a key of `drum_keys`.
    Raises KeyError for an instrument that the font lacks.
    """
    by_place = {(preset.bank, preset.program): preset for preset in presets}
    melodic = {INSTRUMENTS[name].program: INSTRUMENTS[name] for name in names}
    cut: list[Preset] = []
    for program, instrument in sorted(melodic.items()):
        keys = range(instrument.lowest, instrument.highest + 1)
        cut.append(with_keys([by_place[0, program]], keys)[0])
    kits = [by_place[DRUM_BANK, program] for program in sorted(KITS.values())]
    return cut + with_keys(kits, drum_keys())


def separate(presets: Sequence[Preset]) -> None:
    """Give every preset instruments of its own."""
    for preset in presets:
        copies = {
            instrument: Instrument(instrument.name, [zone.copy() for zone in instrument.zones])
            for instrument in instruments_of([preset])
        }
        for zone in preset.zones:
            if isinstance(zone.target, Instrument):
                zone.target = copies[zone.target]


def complete(kits: Sequence[Preset]) -> None:
    """Lend every kit the pieces that it lacks, from the first of the kits. No two of them share an
    instrument."""
    for kit in kits[1:]:
        missing = drum_keys() - _keys(kit)
        if missing:
            kit.zones += [zone for zone in with_keys([kits[0]], missing)[0].zones if zone.target]


def _keys(kit: Preset) -> set[int]:
    """The keys that a kit plays."""
    return {
        key
        for outer in kit.zones
        if isinstance(outer.target, Instrument)
        for zone in outer.target.zones
        for key in range(max(outer.keys[0], zone.keys[0]), min(outer.keys[1], zone.keys[1]) + 1)
        if zone.target is not None
    }


def with_keys(presets: Sequence[Preset], keys: Collection[int]) -> list[Preset]:
    """Copies of presets without the zones that play none of some keys.

    Instruments that several of them share are shared by the copies too.
    """
    copies = {
        instrument: Instrument(instrument.name, _playing(instrument.zones, keys))
        for instrument in instruments_of(list(presets))
    }
    return [
        Preset(preset.name, preset.bank, preset.program, _retargeted(preset.zones, keys, copies))
        for preset in presets
    ]


def _retargeted(
    zones: Sequence[Zone], keys: Collection[int], copies: dict[Instrument, Instrument]
) -> list[Zone]:
    found = []
    for zone in _playing(zones, keys):
        if isinstance(zone.target, Instrument):
            zone.target = copies[zone.target]
            if all(part.target is None for part in zone.target.zones):
                continue
        found.append(zone)
    return found


def _playing(zones: Sequence[Zone], keys: Collection[int]) -> list[Zone]:
    """Copies of the zones that play one of some keys, from the lowest of these to the highest;
    a global zone stays as it is."""
    found = []
    for zone in zones:
        low, high = zone.keys
        played = [key for key in keys if low <= key <= high]
        if played:
            found.append(zone.copy())
            if zone.target is not None:
                found[-1].set_span(KEY_RANGE, min(played), max(played))
    return found
