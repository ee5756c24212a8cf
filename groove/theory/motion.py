"""Voice leading: the tones that stay and the tones that move from a chord to the next.

Guide tones are the third and the seventh, the two that distinguish a chord from its neighbours.
Where a chord has no seventh, the sixth stands for it; a triad has its third alone, for a perfect
fifth tells nothing, but a flat or sharp one does. Where there is no third, the note that suspends
it, else the root (common practice). A slash chord is heard as groove.theory.heard has it: its tones
are counted from the bass if that is heard as the root.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, permutations

from groove.theory.chords import Chord
from groove.theory.heard import heard
from groove.theory.pitch import DEGREE_FIFTHS, SHARPEN, Degree, NoteName

OCTAVE = 12
OFF_GUIDE = 1.5  # semitones that a guide tone goes further to land on one of the next chord
WHOLE_STEP, MINOR_THIRD = 2, 3  # semitones
ROOT, FIFTH = Degree(1), Degree(5)


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
    """A change of chord: the tones both have, and the steps of the guide tones that don't stay, to
    tones that the first chord has not.

    arrivals: steps of the other tones to those guide tones of the next chord that no tone has
    reached otherwise. root: the half step of the root into a diminished chord or out of one.
    """

    before: Chord
    after: Chord
    stays: tuple[VoiceStep, ...]
    guides: tuple[VoiceStep, ...]
    arrivals: tuple[VoiceStep, ...] = ()
    root: VoiceStep | None = None


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
    """The chord's tones from the root up, those of a slash chord as it is heard.

    >>> from groove.theory.chords import parse_chord
    >>> [f"{t.name} {t.degree}" for t in tones(parse_chord("F/G"))]
    ['G 1', 'C 4', 'F b7', 'A 9']
    """
    whole = heard(chord)
    found = tuple(ChordTone(whole.root + degree, degree) for degree in whole.quality.degrees)
    if whole == chord:
        return found
    sounding = {name.pitch_class for name in (*chord.notes, chord.lowest)}
    return tuple(tone for tone in found if tone.name.pitch_class in sounding)


def guide_tones(chord: Chord) -> tuple[ChordTone, ...]:
    """The tones to lead from chord to chord: two, of a triad one.

    >>> from groove.theory.chords import parse_chord
    >>> [[str(t.name) for t in guide_tones(parse_chord(c))] for c in ("D7", "D", "C/D")]
    [['F#', 'C'], ['F#'], ['G', 'C']]
    """
    whole = heard(chord)
    quality = whole.quality
    altered = quality.fifth if quality.fifth != FIFTH else None
    wanted = (quality.third or ROOT, quality.seventh or altered)
    return tuple(ChordTone(whole.root + d, d) for d in dict.fromkeys(wanted) if d is not None)


def is_diminished(chord: Chord) -> bool:
    """True for a diminished triad or seventh chord, but not for a half-diminished one."""
    degrees = chord.quality.degrees
    flat_seventh = Degree(7, -1) in degrees
    return {Degree(3, -1), Degree(5, -1)} <= set(degrees) and not flat_seventh


def change(before: Chord, after: Chord) -> Change:
    """The tones that stay and those that move from one chord to the next."""
    mine, theirs = tones(before), tones(after)
    stays = tuple(
        VoiceStep(tone, other, 0)
        for tone in mine
        for other in theirs
        if tone.name.pitch_class == other.name.pitch_class
    )
    stay, held = {step.start for step in stays}, {step.end for step in stays}
    root = _leading_root(before, after)
    root = None if root and (root.start in stay or root.end in held) else root
    led = {*stay, *([root.start] if root else [])}
    moving = tuple(tone for tone in guide_tones(before) if tone not in led)
    free = [tone for tone in theirs if tone not in held and not (root and tone == root.end)]
    guides = _led(moving, free, guide_tones(after))
    taken = {*led, *(step.start for step in guides)}
    reached = {step.end for step in (*stays, *guides, *([root] if root else []))}
    arrivals = []
    for end in guide_tones(after):
        ways = (VoiceStep(start, end, _way(start, end)) for start in mine if start not in taken)
        near = [step for step in ways if abs(step.semitones) <= WHOLE_STEP]
        if end not in reached and near:
            arrivals.append(min(near, key=lambda step: abs(step.semitones)))
            taken.add(arrivals[-1].start)
    return Change(before, after, stays, guides, tuple(arrivals), root)


def _leading_root(before: Chord, after: Chord) -> VoiceStep | None:
    """The half step from a root to that of a diminished chord, or from that root to a tone of the
    chord after it, upwards rather than down."""
    start = ChordTone(before.root, ROOT)
    if is_diminished(before):
        ends = tones(after)
    elif is_diminished(after):
        ends = (ChordTone(after.root, ROOT),)
    else:
        return None
    steps = [VoiceStep(start, end, _way(start, end)) for end in ends]
    half = [step for step in steps if abs(step.semitones) == 1]
    return max(half, key=lambda step: step.semitones, default=None)


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
    if _is_triad(first):
        upper = tones(first)[-1] if lower.degree == ROOT else ChordTone(first.root, ROOT)
    triads = has_triads(chords)
    pairs = [(lower, upper)]
    for chord in chords[1:]:
        offered = tones(chord) if triads else guide_tones(chord)
        pairs.append(_nearest_pair(pairs[-1], offered if len(offered) > 1 else offered * 2))
    return tuple(pair[0] for pair in pairs), tuple(pair[1] for pair in pairs)


def has_triads(chords: Sequence[Chord]) -> bool:
    """True if lines through some chords go by the nearest tones, for some have no seventh."""
    return any(_is_triad(chord) for chord in chords)


def _is_triad(chord: Chord) -> bool:
    return heard(chord).quality.seventh is None


def _nearest_pair(before: Pair, offered: tuple[ChordTone, ...]) -> Pair:
    """The two tones on offer, one for each line, to which both go by the shortest way."""

    def strain(pair: tuple[ChordTone, ...]) -> tuple[int, int]:
        ways = [_way(a, b) for a, b in zip(before, pair, strict=True)]
        return sum(map(abs, ways)), sum(ways)

    lower, upper = min(permutations(offered, 2), key=strain)
    return lower, upper


def _led(
    guides: Sequence[ChordTone], goals: Sequence[ChordTone], best: Sequence[ChordTone]
) -> tuple[VoiceStep, ...]:
    """The step of each guide tone to a tone of its own: the nearest, guide tones before others.

    One that would have to go further than a minor third, or for which no tone is left, ends with
    its chord.
    """
    size = min(len(guides), len(goals))

    def cost(pairs: Sequence[Pair]) -> float:
        way = sum(abs(_way(a, b)) for a, b in pairs)
        return way + OFF_GUIDE * sum(end not in best for _, end in pairs)

    ways = (
        tuple(zip(starts, ends, strict=True))
        for starts in combinations(guides, size)
        for ends in permutations(goals, size)
    )
    chosen = min(ways, key=cost, default=())
    steps = (VoiceStep(a, b, _way(a, b)) for a, b in chosen)
    return tuple(step for step in steps if abs(step.semitones) <= MINOR_THIRD)


def _way(start: ChordTone, end: ChordTone) -> int:
    """Semitones by the shorter way, a tritone upwards."""
    return (end.name.pitch_class - start.name.pitch_class + 5) % OCTAVE - 5
