"""The sounds that a soundfont plays for each of General MIDI: its own, or the one most like it.

The order of likeness stands in ``patterns/stand-ins.toml``. The synthesiser's own substitutes, the
first sound there is or none at all, are never heard.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cache

from groove import library
from groove.rhythm.kit import INSTRUMENTS, KIT, KITS
from groove.sound.synth.soundfont_file import keys, presets
from groove.sound.synth.soundfonts import DRUM_BANK, Soundfont

PROGRAMS = tuple(INSTRUMENTS)[:128]
"""The names of the programs of General MIDI in order."""

Preset = tuple[int, int]
"""Bank and program, from 0."""

STANDARD_KIT = DRUM_BANK, 0


class Sounds:
    """The sounds of a soundfont as General MIDI names them.

    A kit that stands elsewhere, or has its strokes on other keys, goes by the names of General MIDI
    here too: `place` and `key` say where it is.
    """

    def __init__(self, font: Soundfont) -> None:
        self._font = font
        there = presets(font.path)
        self._presets = (there - {font.kit}) | {STANDARD_KIT} if font.kit else there
        self._strokes: dict[Preset, dict[int, int]] = {}

    def distance(self, bank: int, program: int) -> int | None:
        """The distance of the sound that plays: 0 for the one asked for; None if there is none."""
        ranks = (rank for rank, preset in enumerate(_ranked(bank, program)) if preset in self)
        return next(ranks, None)

    def preset(self, bank: int, program: int) -> Preset:
        """The bank and the program that play an instrument or, in `DRUM_BANK`, a kit; those asked
        for where the soundfont has nothing of the kind."""
        asked = bank, program
        return next((preset for preset in _ranked(*asked) if preset in self), asked)

    def stroke(self, program: int, note: int) -> int:
        """The stroke of a kit that plays for one, as a key of General MIDI; the one asked for where
        no preset is a kit."""
        there = self._strokes_of(program)
        return next((each for each in _ranked_keys(note) if each in there), note)

    def place(self, preset: Preset) -> Preset:
        """The bank and program of a preset in the soundfont."""
        return self._font.kit if self._font.kit and preset == STANDARD_KIT else preset

    def key(self, program: int, note: int) -> int:
        """The key of the soundfont on which a stroke of a kit is played."""
        stroke = self.stroke(program, note)
        return self._strokes_of(program).get(stroke, stroke)

    def _strokes_of(self, program: int) -> dict[int, int]:
        """The keys of a kit in General MIDI, each with that of the soundfont."""
        preset = self.preset(DRUM_BANK, program)
        if preset not in self._strokes:
            there = keys(self._font.path, *self.place(preset)) if preset in self else frozenset()
            elsewhere = dict(self._font.strokes) if preset == STANDARD_KIT else {}
            strokes = elsewhere or {key: key for key in there}
            self._strokes[preset] = {note: key for note, key in strokes.items() if key in there}
        return self._strokes[preset]

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
