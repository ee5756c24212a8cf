"""The chords of a chorus, or of each section as it stands, bar by bar."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from groove.lesson.guide import Guide
from groove.theory.chords import Chord


@dataclass(frozen=True, slots=True)
class Beat:
    """A chord from a place on. bar: from 0; at: the place in it, 0 to 1; new: it begins there."""

    bar: int
    at: Fraction
    chord: Chord
    new: bool


@dataclass(frozen=True, slots=True)
class BarStretch:
    """A section, or the chorus with no name, and its chords: at least one a bar."""

    name: str
    beats: tuple[Beat, ...]


def chorus_bars(guide: Guide) -> tuple[BarStretch, ...]:
    """The chorus of a form, or its sections one by one, each once."""
    if not guide.sections:
        return (BarStretch("", tuple(_beats(guide.sequence, guide.lengths))),)
    return tuple(
        BarStretch(section.name, tuple(_beats(section.sequence, section.lengths)))
        for section in guide.sections
    )


def _beats(chords: Sequence[Chord], lengths: Sequence[Fraction]) -> list[Beat]:
    """Each chord where it begins and at each bar line while it lasts."""
    found: list[Beat] = []
    start = Fraction(0)
    for chord, length in zip(chords, lengths, strict=True):
        end = start + length
        first = not found or found[-1].chord != chord
        at = start
        while at < end:
            found.append(Beat(floor(at), at - floor(at), chord, first and at == start))
            at = Fraction(floor(at) + 1)
        start = end
    return found
