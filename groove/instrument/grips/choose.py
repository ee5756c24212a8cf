"""The grips of a chord that a learner sees: playable, different from each other, near the hand.

Which kinds, and where on the neck, is data: ``patterns/lesson/grips.toml``. Of the grips of a kind
the one is taken that sounds most of what the symbol names, lies nearest and is easiest to hold.

>>> from groove.instrument.fretboard import read_tuning
>>> from groove.theory.chords import parse_chord
>>> for grip in chosen(read_tuning("guitar"), parse_chord("C7"), "intermediate", 8):
...     print(grip.kind, [(dot.string, dot.fret, dot.finger) for dot in grip.dots])
barres [(6, 8, 1), (5, 10, 3), (4, 8, 1), (3, 9, 2), (2, 8, 1), (1, 8, 1)]
top-sevenths [(3, 12, 2), (2, 11, 1), (1, 12, 3)]
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass
from functools import lru_cache

from groove import library
from groove.band.comping.voicing import voicing_degrees
from groove.instrument.fretboard import OCTAVE, Tuning
from groove.instrument.grips.grip import ChordGrip, sounds
from groove.instrument.grips.shapes import found_grips, is_low, library_grips, rises
from groove.theory.chords import Chord

# Costs of a grip.
LATER_GROUP, MISSING = 2.0, 6.0  # of each group before its own; of a tone that the symbol names
FAR, AT_NUT = 0.8, 1.0  # of each fret from the home position; of each from the nut
NO_ROOT, NO_BASS, NO_FIFTH = 2.5, 1.5, 0.8  # of no root as lowest note; of no written bass; ...
FINGER, BARRE, OPENED, DAMPED = 0.4, 1.5, 0.5, 0.6  # of each; of a fret that the hand opens; ...
DOUBLED = 1.0  # of each tone but root and fifth that sounds twice
FEWER, MORE = 4.0, 1.0  # of each string fewer or more than asked for
SEEN = 4.0  # of a grip whose notes are all in one seen before, or the other way round
FEW = 4  # strings of a neck, all of which sound
MOST_NAMED = 4  # tones of a symbol that count


@dataclass(frozen=True, slots=True)
class GripKind:
    """A kind of grip, as patterns/lesson/grips.toml has it."""

    groups: tuple[str, ...]
    strings: tuple[int, int]
    at: str
    root: bool


def kinds(tuning: Tuning, learner: str) -> tuple[GripKind, ...]:
    """The kinds of grip for a learner, one of groove.form.lesson_fields.LEARNERS."""
    data = library.load("lesson", "grips")
    all_of_them = len(tuning.open_strings) <= FEW and not is_low(tuning)
    every = (len(tuning.open_strings),) * 2
    return tuple(
        GripKind(
            tuple(entry["groups"]),
            every if all_of_them else tuple(entry["strings"]),
            entry["at"],
            entry["root"],
        )
        for entry in (data["low"] if is_low(tuning) else data)[learner]
    )


@lru_cache(maxsize=1024)
def chosen(tuning: Tuning, chord: Chord, learner: str, home: int) -> tuple[ChordGrip, ...]:
    """The grips of a chord, one for each kind that its neck has; home: the fret of the hand."""
    grips: list[ChordGrip] = []
    for kind in kinds(tuning, learner):
        every = library_grips(tuning, chord, kind.groups) or found_grips(tuning, chord)
        new = [grip for grip in every if grip.places not in {g.places for g in grips}]
        if new:
            grips.append(min(new, key=lambda grip: _cost(tuning, grip, kind, home, grips)))
    return tuple(grips)


def _cost(
    tuning: Tuning, grip: ChordGrip, kind: GripKind, home: int, before: Sequence[ChordGrip]
) -> tuple[float, int]:
    cost = MISSING * len(_named(grip.chord) - sounds(grip))
    if grip.kind in kind.groups:
        cost += LATER_GROUP * kind.groups.index(grip.kind)
    else:
        least, most = kind.strings
        cost += FEWER * max(least - len(grip.dots), 0) + MORE * max(len(grip.dots) - most, 0)
    quality = grip.chord.quality
    if quality.seventh is None and quality.of_step(5):
        fifth = (grip.chord.root + quality.of_step(5)).pitch_class  # type: ignore[operator]
        cost += NO_FIFTH * (fifth not in sounds(grip))
    if kind.root and rises(tuning):
        cost += NO_ROOT * (grip.lowest.pitch % OCTAVE != grip.chord.lowest.pitch_class)
    elif grip.chord.bass and rises(tuning):
        cost += NO_BASS * (grip.lowest.pitch % OCTAVE != grip.chord.bass.pitch_class)
    cost += AT_NUT * grip.fret if kind.at == "nut" else FAR * _away(grip, home)
    cost += DOUBLED * _doubled(grip)
    cost += SEEN * sum(_within(grip, other) for other in before)
    return cost + _effort(grip), grip.fret


@lru_cache(maxsize=256)
def _named(chord: Chord) -> Set[int]:
    """The pitch classes that a symbol names before the root and a plain fifth."""
    degrees = voicing_degrees(chord.quality, False)[0][:MOST_NAMED]
    plain = {chord.root.pitch_class, (chord.root.pitch_class + 7) % OCTAVE}
    named = {(chord.root + degree).pitch_class for degree in degrees} - plain
    return named or plain


def _away(grip: ChordGrip, home: int) -> int:
    """Frets between a grip and a hand at home, which covers four."""
    top = grip.fret + max(grip.span, 1) - 1
    return max(grip.fret - home, home - grip.fret, top - home - 3, 0)


def _within(grip: ChordGrip, other: ChordGrip) -> bool:
    return grip.places <= other.places or other.places <= grip.places


def _doubled(grip: ChordGrip) -> int:
    tones = [dot.pitch % OCTAVE for dot in grip.dots if dot.role not in ("root", "fifth")]
    return len(tones) - len(set(tones))


def _effort(grip: ChordGrip) -> float:
    fingers = {dot.finger for dot in grip.dots if dot.finger}
    strings = sorted(dot.string for dot in grip.dots)
    damped = strings[-1] - strings[0] + 1 - len(strings)
    effort = FINGER * len(fingers) + BARRE * len(grip.barres)
    return effort + OPENED * max(grip.span - 2, 0) + DAMPED * damped
