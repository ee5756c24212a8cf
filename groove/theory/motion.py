"""Voice leading: the tones that stay and the tones that move from a chord to the next.

Guide tones are the third and the seventh, the two that distinguish a chord from its neighbours.
Where a chord has no seventh, the sixth stands for it, else the fifth; where it has no third,
the note that suspends it, else the root (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations

from groove.theory.chords import Chord
from groove.theory.pitch import DEGREE_FIFTHS, SHARPEN, Degree, NoteName

OCTAVE = 12
OFF_GUIDE = 1.5  # semitones that a guide tone goes further to land on one of the next chord
WHOLE_STEP = 2  # semitones
ROOT = Degree(1)


@dataclass(frozen=True, slots=True)
class ChordTone:
    """A chord tone: its name and its degree in the chord."""

    name: NoteName
    degree: Degree


@dataclass(frozen=True, slots=True)
class VoiceStep:
    """A tone of one chord going to a tone of the next. semitones: upwards, -5 to 6; 0 stays."""

    start: ChordTone
    end: ChordTone
    semitones: int


@dataclass(frozen=True, slots=True)
class Change:
    """A change of chord: the tones both have, and the steps of the guide tones.

    arrivals: steps of the other tones to those guide tones of the next chord that no tone has
    reached otherwise.
    """

    before: Chord
    after: Chord
    stays: tuple[VoiceStep, ...]
    guides: tuple[VoiceStep, ...]
    arrivals: tuple[VoiceStep, ...] = ()


Pair = tuple[ChordTone, ChordTone]


def above(home: NoteName, name: NoteName) -> int:
    """Semitones from the note `home` up to the note `name`, 0 to 11."""
    return (name.pitch_class - home.pitch_class) % OCTAVE


def degree_between(home: NoteName, name: NoteName) -> Degree:
    """The degree, 1 to 7 with its alteration, of the note `name` over `home`.

    >>> str(degree_between(NoteName.parse("D"), NoteName.parse("C")))
    'b7'
    """
    fifths = name.fifths - home.fifths
    step = next(s for s, f in DEGREE_FIFTHS.items() if (fifths - f) % SHARPEN == 0)
    return Degree(step, (fifths - DEGREE_FIFTHS[step]) // SHARPEN)


def tones(chord: Chord) -> tuple[ChordTone, ...]:
    """The chord's tones from the root up."""
    return tuple(ChordTone(chord.root + degree, degree) for degree in chord.quality.degrees)


def guide_tones(chord: Chord) -> tuple[ChordTone, ...]:
    """The two tones to lead from chord to chord.

    >>> from groove.theory.chords import parse_chord
    >>> [str(t.name) for t in guide_tones(parse_chord("D7"))]
    ['F#', 'C']
    """
    quality = chord.quality
    lower = quality.third or ROOT
    upper = quality.seventh or quality.fifth or ROOT
    return tuple(ChordTone(chord.root + degree, degree) for degree in dict.fromkeys((lower, upper)))


def change(before: Chord, after: Chord) -> Change:
    """The tones that stay and those that move from one chord to the next."""
    mine, theirs = tones(before), tones(after)
    stays = tuple(
        VoiceStep(tone, other, 0)
        for tone in mine
        for other in theirs
        if tone.name.pitch_class == other.name.pitch_class
    )
    guides = _led(guide_tones(before), theirs, guide_tones(after))
    taken = {step.start for step in (*stays, *guides)}
    reached = {step.end for step in (*stays, *guides)}
    arrivals = []
    for end in guide_tones(after):
        ways = (VoiceStep(start, end, _way(start, end)) for start in mine if start not in taken)
        near = [step for step in ways if abs(step.semitones) <= WHOLE_STEP]
        if end not in reached and near:
            arrivals.append(min(near, key=lambda step: abs(step.semitones)))
            taken.add(arrivals[-1].start)
    return Change(before, after, stays, guides, tuple(arrivals))


def guide_lines(chords: Sequence[Chord]) -> tuple[tuple[ChordTone, ...], ...]:
    """Two lines through some chords, each with a tone of its own of every chord.

    They go from third and seventh to thirds and sevenths. Where there are triads among the chords
    they go to any tone, and from a triad the second line begins on its root. Together they move as
    little as can be, of two ways as near downwards (common practice).

    >>> from groove.theory.chords import parse_chord
    >>> triads = [parse_chord(chord) for chord in ("G", "Em", "C", "D")]
    >>> [" ".join(str(t.name) for t in line) for line in guide_lines(triads)]
    ['B B C D', 'G G G F#']
    """
    first = chords[0]
    lower, *others = guide_tones(first)
    upper = others[0] if others else lower
    if first.quality.seventh is None and lower.degree != ROOT:
        upper = ChordTone(first.root, ROOT)
    triads = any(chord.quality.seventh is None for chord in chords)
    pairs = [(lower, upper)]
    for chord in chords[1:]:
        offered = tones(chord) if triads else guide_tones(chord)
        pairs.append(_nearest_pair(pairs[-1], offered if len(offered) > 1 else offered * 2))
    return tuple(pair[0] for pair in pairs), tuple(pair[1] for pair in pairs)


def _nearest_pair(before: Pair, offered: tuple[ChordTone, ...]) -> Pair:
    """The two tones on offer, one for each line, to which both go by the shortest way."""

    def strain(pair: tuple[ChordTone, ...]) -> tuple[int, int]:
        ways = [_way(a, b) for a, b in zip(before, pair, strict=True)]
        return sum(map(abs, ways)), sum(ways)

    lower, upper = min(permutations(offered, 2), key=strain)
    return lower, upper


def _led(
    guides: tuple[ChordTone, ...], goals: tuple[ChordTone, ...], best: tuple[ChordTone, ...]
) -> tuple[VoiceStep, ...]:
    """The step of each guide tone to a tone of its own: the nearest, guide tones before others."""

    def cost(ends: tuple[ChordTone, ...]) -> float:
        way = sum(abs(_way(a, b)) for a, b in zip(guides, ends, strict=True))
        return way + OFF_GUIDE * sum(end not in best for end in ends)

    chosen = min(permutations(goals, len(guides)), key=cost)
    return tuple(VoiceStep(a, b, _way(a, b)) for a, b in zip(guides, chosen, strict=True))


def _way(start: ChordTone, end: ChordTone) -> int:
    """Semitones by the shorter way, a tritone upwards."""
    return (end.name.pitch_class - start.name.pitch_class + 5) % OCTAVE - 5
