"""The drum kit and the instruments: facts of General MIDI and of the instruments themselves.

Note numbers: General MIDI System Level 1, MIDI Manufacturers Association, 1991 (from memory),
the same as in ``pretty_midi.constants``. The names, programs and ranges of the instruments, and
the programs of the drum kits, stand in ``patterns/instruments.toml``; programs are counted from 0.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches

from groove import library
from groove.errors import LONGEST_QUOTE, quoted

HAND, FOOT = "hand", "foot"


@dataclass(frozen=True, slots=True)
class Voice:
    """One sound of the kit: its note number and the limb that strikes it."""

    note: int
    limb: str = HAND


KIT = {
    "kick": Voice(36, FOOT),
    "side-stick": Voice(37),
    "snare": Voice(38),
    "clap": Voice(39),
    "sweep": Voice(40),
    "hat": Voice(42),
    "hat-foot": Voice(44, FOOT),
    "hat-open": Voice(46),
    "tom-low": Voice(43),
    "tom-mid": Voice(47),
    "tom-high": Voice(50),
    "crash": Voice(49),
    "ride": Voice(51),
    "bell": Voice(53),
    "tambourine": Voice(54),
    "splash": Voice(55),
    "cowbell": Voice(56),
    "bongo-high": Voice(60),
    "bongo-low": Voice(61),
    "conga-mute": Voice(62),
    "conga-high": Voice(63),
    "conga-low": Voice(64),
    "timbale-high": Voice(65),
    "timbale-low": Voice(66),
    "cabasa": Voice(69),
    "maracas": Voice(70),
    "guiro": Voice(73),
    "guiro-long": Voice(74),
    "claves": Voice(75),
    "wood-block": Voice(76),
    "triangle-mute": Voice(80),
    "triangle": Voice(81),
}

CHOKES = ((42, 44, 46), (71, 72), (73, 74), (78, 79), (80, 81))
"""Notes of which one ends the others: hats, whistles, guiros, cuicas, triangles (exclusive classes
of General MIDI Level 2, from memory)."""
TIMEKEEPERS = (
    "hat", "hat-open", "ride", "bell", "cowbell", "maracas", "cabasa", "guiro", "tambourine",
    "timbale-high", "wood-block",
)  # fmt: skip
DRUM_CHANNEL = 9  # channel 10, counted from 0
KITS: dict[str, int] = dict(library.table("instruments")["kits"])
"""The drum kits and their programs on the channel of the drums."""
SWEEP, BRUSHES = "sweep", "brush"
"""The voice of a brush drawn round the snare, and the kit that has it: note 40 of the others is a
second snare (General MIDI Level 2, from memory; heard so in Fluid R3 GM and TimGM6mb)."""
DRUMHEADS = ("snare", "tom-low", "tom-mid", "tom-high", "timbale-high", "timbale-low")
"""The voices on which sticks make flams and drags."""


@dataclass(frozen=True, slots=True)
class MidiInstrument:
    """A melodic instrument: its program, and the lowest and highest note it has."""

    program: int
    lowest: int
    highest: int


BASS_RANGE = (28, 67)  # E1 to the 24th fret of the G string
NAMES_OF_GENERAL_MIDI = (
    "an instrument has its name in General MIDI, as tenor sax, electric piano 1 or fretless bass"
)


def _instruments() -> dict[str, MidiInstrument]:
    """The instruments of patterns/instruments.toml by name, those of other names after them."""
    content = library.table("instruments")
    rows = [row for family in content["programs"].values() for row in family.items()]
    found = {name: MidiInstrument(program, *span) for program, (name, span) in enumerate(rows)}
    return found | {other: found[name] for other, name in content["names"].items()}


INSTRUMENTS = _instruments()
"""The 128 programs of General MIDI in order, then those that have a second, usual name."""
_BY_LETTERS = {re.sub(r"[^a-z0-9]", "", name): name for name in INSTRUMENTS}


def kit_name(text: str) -> str:
    """The name in KITS that `text` stands for, with or without the word kit.

    Raises ValueError, saying which there are.

    >>> kit_name("Brush kit"), kit_name("jazz")
    ('brush', 'jazz')
    """
    name = text[:LONGEST_QUOTE].lower().replace("-", " ").removesuffix("kit").strip()
    if name in KITS:
        return name
    raise ValueError(f"found {quoted(text)}; kits are {', '.join(KITS)}")


def instrument_name(text: str) -> str:
    """The name in INSTRUMENTS that `text` stands for, in any case, with hyphens or spaces.

    Raises ValueError, saying which name is near.

    >>> instrument_name("Tenor-Sax"), instrument_name("FX 8 (sci-fi)")
    ('tenor sax', 'fx 8 (sci-fi)')
    """
    letters = re.sub(r"[^a-z0-9]", "", text[:LONGEST_QUOTE].lower())
    if letters in _BY_LETTERS:
        return _BY_LETTERS[letters]
    near = get_close_matches(letters, _BY_LETTERS, n=1)
    hint = f"did you mean {_BY_LETTERS[near[0]]}?" if near else NAMES_OF_GENERAL_MIDI
    raise ValueError(f"found {quoted(text)}; {hint}")
