"""Voicings: the tones of a chord that sound, in shapes that can be played.

A voicing holds the guide tones of its chord first (the third and the seventh, or the sixth),
then the degrees that the symbol alters or adds, then fifth and root. Keyboard voicings keep low
intervals wide and lie within a tenth; guitar voicings are shapes found on the fretboard.
Both rules: common practice.
"""

from __future__ import annotations

from dataclasses import dataclass

from groove.rhythm.patterns import CompingPattern
from groove.theory.pitch import Degree
from groove.theory.quality import Quality

FIFTH, SIXTH, SEVENTH, NINTH, THIRTEENTH = (Degree(n) for n in (5, 6, 7, 9, 13))
FLAT_SEVENTH = Degree(7, -1)


@dataclass(frozen=True, slots=True)
class Voicing:
    """Pitches from the lowest up and, on a guitar, the string (1 the highest) and fret of each."""

    pitches: tuple[int, ...]
    strings: tuple[int, ...] = ()
    frets: tuple[int, ...] = ()

    @property
    def position(self) -> int:
        """The fret of a guitarist's first finger; 0 on the keys."""
        return min(self.frets, default=0)


@dataclass(frozen=True, slots=True)
class VoicingRules:
    """The rules for the voicings of a comping pattern.

    kind: ``"guitar"`` or ``"keys"``; low, high: the register, MIDI notes; voices: how many
    at most; octave: whether a hand on the keys doubles its lowest voice at the top.
    """

    kind: str
    low: int
    high: int
    voices: int
    octave: bool = False


def rules_of(pattern: CompingPattern) -> VoicingRules:
    """The rules of a comping pattern."""
    low, high = pattern.register
    return VoicingRules(pattern.voicing, low, high, pattern.voices, pattern.octave)


def guide_degrees(quality: Quality) -> tuple[Degree, ...]:
    """The degrees that every voicing of the quality must sound: guide tones, else the root."""
    return quality.guide_tones or (Degree(1),)


def colour_degrees(quality: Quality) -> tuple[Degree, ...]:
    """The ninth and thirteenth that a chord takes though its symbol does not name them.

    A dominant takes both, another chord with a seventh or a sixth the ninth. A triad, and a
    chord with anything altered, added or diminished, takes none.
    """
    plain = all(d.number <= 7 and (d.number != 5 or not d.alter) for d in quality.degrees)
    if not plain or quality.seventh is None or quality.third in (None, Degree(2)):
        return ()
    return (NINTH, THIRTEENTH) if quality.of_step(3) and quality.is_dominant else (NINTH,)


def voicing_degrees(quality: Quality, coloured: bool) -> tuple[tuple[Degree, ...], ...]:
    """The degrees for a voicing in the order of their weight: two choices.

    coloured: whether it may have a ninth or thirteenth that the symbol does not name.

    A natural fifth or the root comes after tones that characterise the chord more. A natural
    eleventh over a major third is left out, because it lies a ninth above the third.
    """
    chosen = list(guide_degrees(quality))
    root, fifth = Degree(1), quality.of_step(5)
    named = [d for d in quality.degrees if d.number > 7 or (d.number == 5 and d.alter)]
    if quality.third == Degree(3):
        named = [degree for degree in named if degree != Degree(11)]
    if quality.suffix.endswith("alt"):
        named = [Degree(9, 1), Degree(13, -1)]
    named.sort(key=lambda degree: (not degree.alter, -degree.number))
    chosen += [degree for degree in named if degree not in chosen]
    natural = [fifth] if fifth and fifth not in chosen else []
    colours = colour_degrees(quality) if coloured else ()
    rest = [*natural, root] if quality.seventh is not None else [root, *natural]
    if THIRTEENTH in colours:
        return (*chosen, NINTH, *rest), (*chosen, THIRTEENTH, NINTH, *rest)
    if colours:
        return (*chosen, NINTH, *rest), (*chosen, *natural, NINTH, root)
    return (*chosen, *rest), (*chosen, *reversed(rest))


def movement(before: Voicing, after: Voicing) -> float:
    """Semitones that the voices move, on average, each to the nearest note."""
    if len(before.pitches) == len(after.pitches):
        pairs = zip(before.pitches, after.pitches, strict=True)
        return sum(abs(a - b) for a, b in pairs) / len(after.pitches)
    return sum(min(abs(p - q) for q in before.pitches) for p in after.pitches) / len(after.pitches)


def figure_interval(quality: Quality, number: int) -> int:
    """Semitones above the root of a degree in a line or a two-string figure, 0 to 12.

    number: of the degree, as the line writes it.

    The sixth and the flat seventh of the shuffle figure go where a major chord bears them;
    elsewhere the fifth, or the sixth, stays in their place.
    """
    if number == 8:
        return 12
    degree = quality.seventh if number == 7 else quality.of_step(number)
    if number == 7 and degree in (None, SEVENTH):
        return figure_interval(quality, 6)
    if degree is None and number == 3:
        degree = quality.third
    if degree is None and number == 6 and bears_a_sixth(quality):
        degree = SIXTH
    if degree is None:
        degree = quality.fifth or Degree(1)
    return degree.semitones % 12


def bears_a_sixth(quality: Quality) -> bool:
    """True if a natural sixth may pass over the chord: major, or dominant, and not altered."""
    altered = any(d.alter and d != FLAT_SEVENTH for d in quality.degrees)
    return not altered and quality.of_step(4, 2) is None and FIFTH in quality.degrees
