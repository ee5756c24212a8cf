"""A grip: a chord under one hand, with the third or sixth inside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from groove.instrument.double_stops import CLEAR, INTERVALS, LOW_INTERVALS, WIDEST
from groove.instrument.fretboard import OCTAVE, Place, Tuning
from groove.instrument.grips.fingers import Barre, barres
from groove.instrument.material import Material, arpeggio
from groove.instrument.positions import Dot
from groove.theory.chords import Chord

STRINGS_APART = 2  # of a double stop


@dataclass(frozen=True, slots=True)
class Inside:
    """A double stop inside a grip: ``"third"``, ``"sixth"`` or ``"tenth"``, and its two strings,
    that of the lower note first."""

    interval: str
    strings: tuple[int, int]


@dataclass(frozen=True, slots=True)
class ChordGrip:
    """A chord under one hand.

    kind: the group of patterns/guitar/ that it comes from, ``"found"`` for one that was looked
    for on the neck. dots: one for each string that sounds, as the tuning is written, with its
    finger. muted: strings that don't sound. barres: fingers across several strings. inside: the
    double stop inside it, None where there is none.
    """

    chord: Chord
    kind: str
    dots: tuple[Dot, ...]
    muted: tuple[int, ...]
    barres: tuple[Barre, ...]
    inside: Inside | None

    @property
    def fret(self) -> int:
        """The lowest fret that is pressed, 0 where none is."""
        return min((dot.fret for dot in self.dots if dot.fret), default=0)

    @property
    def span(self) -> int:
        """Frets from the lowest pressed to the highest, both counted."""
        pressed = [dot.fret for dot in self.dots if dot.fret]
        return max(pressed) - min(pressed) + 1 if pressed else 0

    @property
    def lowest(self) -> Dot:
        """The note that sounds lowest."""
        return min(self.dots, key=lambda dot: dot.pitch)

    @property
    def places(self) -> frozenset[Place]:
        """The places of its notes."""
        return frozenset(Place(dot.string, dot.fret) for dot in self.dots)


@lru_cache(maxsize=256)
def _material(chord: Chord) -> Material:
    return arpeggio(chord)


def grip_of(
    tuning: Tuning, chord: Chord, frets: Mapping[int, int], fingers: Mapping[int, int], kind: str
) -> ChordGrip:
    """The grip with some frets and fingers, by string, all of which sound tones of the chord."""
    material = _material(chord)
    dots = []
    for string in tuning.strings:
        if string not in frets:
            continue
        pitch = tuning.pitch(Place(string, frets[string]))
        tone = material.tone(pitch)
        assert tone  # shapes sound nothing foreign
        dots.append(
            Dot(string, frets[string], pitch, tone.name, tone.degree, tone.role, fingers[string])
        )
    muted = tuple(string for string in tuning.strings if string not in frets)
    across = barres(frets, fingers)
    return ChordGrip(chord, kind, tuple(dots), muted, across, _inside(tuning, dots))


def _inside(tuning: Tuning, dots: list[Dot]) -> Inside | None:
    """The third or sixth of a grip: one with the chord's third before others, high before low."""
    found = []
    for low in dots:
        intervals = INTERVALS if low.pitch >= CLEAR else LOW_INTERVALS
        for high in dots:
            interval = intervals.get(high.pitch - low.pitch)
            near = abs(high.string - low.string) <= STRINGS_APART + (interval == "tenth")
            near = near and abs(high.fret - low.fret) <= WIDEST * tuning.frets_a_finger
            if interval and near:
                third = "third" in (low.role, high.role)
                found.append((third, interval != "third", low.pitch, interval, low, high))
    if not found:
        return None
    *_, interval, low, high = max(found, key=lambda each: each[:3])
    return Inside(interval, (low.string, high.string))


def sounds(grip: ChordGrip) -> set[int]:
    """The pitch classes of a grip."""
    return {dot.pitch % OCTAVE for dot in grip.dots}
