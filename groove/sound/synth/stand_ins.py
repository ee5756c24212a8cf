"""What a soundfont plays for each sound of General MIDI: its own, or the one most like it.

The order of likeness stands in ``patterns/stand-ins.toml``. The synthesiser's own substitutes, the
first sound there is or none at all, are never heard.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path

from groove import library
from groove.rhythm.kit import INSTRUMENTS, KIT, KITS
from groove.sound.synth.scores import DRUM_BANK
from groove.sound.synth.soundfont_file import keys, presets

PROGRAMS = tuple(INSTRUMENTS)[:128]
"""The names of the programs of General MIDI in order."""

Preset = tuple[int, int]
"""Bank and program, from 0."""


class Sounds:
    """The sounds of a soundfont as General MIDI names them. Made of a file that is checked."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._presets = presets(path)
        self._keys: dict[Preset, frozenset[int]] = {}

    def distance(self, bank: int, program: int) -> int | None:
        """How unlike the sound that plays is: 0 for the one asked for; None if there is none."""
        ranks = (rank for rank, preset in enumerate(_ranked(bank, program)) if preset in self)
        return next(ranks, None)

    def preset(self, bank: int, program: int) -> Preset:
        """The bank and the program that play an instrument or, in `DRUM_BANK`, a kit; those asked
        for where the soundfont has nothing of the kind."""
        asked = bank, program
        return next((preset for preset in _ranked(*asked) if preset in self), asked)

    def stroke(self, program: int, key: int) -> int:
        """The key of a kit that plays a stroke; the one asked for where no preset is a kit."""
        preset = self.preset(DRUM_BANK, program)
        if preset not in self._keys:
            self._keys[preset] = keys(self._path, *preset) if preset in self else frozenset()
        there = self._keys[preset]
        return next((each for each in _ranked_keys(key) if each in there), key)

    def __contains__(self, preset: Preset) -> bool:
        return preset in self._presets


def preset_name(bank: int, program: int) -> str:
    """An instrument's or a kit's name in General MIDI, else its number as musicians count.

    >>> preset_name(0, 104), preset_name(128, 40), preset_name(128, 5)
    ('sitar', 'brush kit', 'drum kit 6')
    """
    if bank != DRUM_BANK:
        return PROGRAMS[program]
    names = {number: name for name, number in KITS.items()}
    return f"{names[program]} kit" if program in names else f"drum kit {program + 1}"


def stroke_name(key: int) -> str:
    """The name of a stroke in the notation of drum patterns, else that of its key.

    >>> stroke_name(56), stroke_name(87)
    ('cowbell', 'key 87 of the drums')
    """
    names = {voice.note: name for name, voice in KIT.items()}
    return names.get(key, f"key {key} of the drums")


@cache
def _ranked(bank: int, program: int) -> tuple[Preset, ...]:
    """A sound, and every other that may play in its place, the nearest first."""
    table = library.table("stand-ins")
    if bank == DRUM_BANK:
        names = {number: name for name, number in KITS.items()}
        like = (KITS[name] for name in _like(names.get(program, ""), table["kits"]))
        return _presets(bank, program, like, KITS.values(), range(128))
    name = PROGRAMS[program]
    families = library.table("instruments")["programs"]
    family = next(each for each, members in families.items() if name in members)
    near = (INSTRUMENTS[each].program for each in _like(name, table["instruments"]))
    relatives = (
        sorted((INSTRUMENTS[each].program for each in families[kin]), key=_from(program))
        for kin in (family, *table["families"][family])
    )
    return _presets(bank, program, near, *relatives, sorted(range(128), key=_from(program)))


@cache
def _ranked_keys(key: int) -> tuple[int, ...]:
    """A stroke's key, and every other that may be struck in its place, the nearest first."""
    names = {voice.note: name for name, voice in KIT.items()}
    like = _like(names.get(key, ""), library.table("stand-ins")["strokes"])
    others = sorted(range(128), key=_from(key))
    return tuple(dict.fromkeys((key, *(KIT[name].note for name in like), *others)))


def _presets(bank: int, program: int, *rows: Iterable[int]) -> tuple[Preset, ...]:
    programs = dict.fromkeys((program, *(each for row in rows for each in row)))
    return tuple((bank, each) for each in programs)


def _like(name: str, table: Mapping[str, Sequence[str]]) -> Iterator[str]:
    """Those that are like `name` in a table, then those that are like them, each once."""
    found = [name]
    for each in found:
        for other in table.get(each, ()):
            if other not in found:
                found.append(other)
                yield other


def _from(number: int) -> Callable[[int], tuple[int, int]]:
    """A key for sorting by the distance from a number, of two as near the lower one first."""
    return lambda other: (abs(other - number), other)
