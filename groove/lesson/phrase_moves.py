"""Moves a phrase to another chord and judges each of its notes there.

A note of the first chord's scale becomes the same step of the second's: third to third, sixth to
sixth; any other note keeps its distance from the root. A suspension stands where the third was.
Where two steps would sound as one note, as fourth and fifth over an altered chord, those share it
that are no neighbours in the phrase. The parts of notes in a chord: common practice.

>>> from groove.instrument.fretboard import read_tuning
>>> from groove.lesson.phrase_notation import read_phrase
>>> from groove.theory.chords import parse_chord
>>> a7, dm7 = parse_chord("A7"), parse_chord("Dm7")
>>> lick = read_phrase("C#4 E4 D4 A3", read_tuning("guitar"), a7.root)
>>> [note.name for note in by_degree(lick, a7, dm7)]
['F', 'A', 'G', 'D']
>>> [str(seat) for seat in seats(lick, dm7)]
['7 outside', '2 scale', '1 chord', '5 chord']
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement, pairwise, product

from groove.lesson.phrase_notation import Note, Phrase
from groove.theory.chords import Chord
from groove.theory.heard import heard
from groove.theory.motion import OCTAVE, degree_between
from groove.theory.motion import tones as chord_tones
from groove.theory.pitch import Degree, NoteName
from groove.theory.scale_choice import avoid_notes, mode_on
from groove.theory.scales import chord_scale, scale_degrees, scale_notes
from groove.theory.spelling import ROUND, single

BLUE = (3, 6)  # semitones over the root: the thirds and fifths that blues players bend
TRITONE = 6
STEPS = 7


@dataclass(frozen=True, slots=True)
class Seat:
    """The part of a note in a chord and its scale.

    how: ``"chord"`` one of its tones; ``"scale"`` one of its scale; ``"avoid"`` of its scale,
    but not to rest on; ``"blue"`` of a blues scale that belongs there; ``"outside"`` none of
    these. clash: whether it is best passed over quickly.
    """

    degree: str
    how: str

    @property
    def clash(self) -> bool:
        """True if the note is best passed over quickly."""
        return self.how in ("avoid", "outside")

    def __str__(self) -> str:
        return f"{self.degree} {self.how}"


def by_degree(
    phrase: Phrase,
    old: Chord,
    new: Chord,
    old_scale: str | None = None,
    new_scale: str | None = None,
) -> Phrase:
    """The phrase moved with the root, each step of the old scale to that of the new.

    The root goes the nearer way, a tritone up. The scales are those that the chords
    have where they stand, on the root that they are heard on; left out, their plainest.
    """
    shift = _root_shift(old, new)
    from_, to = _steps(old, old_scale), _steps(new, new_scale)
    held = new.quality.third if old.quality.of_step(3) else None
    to |= {3: held} if held else {}
    for step in range(2, STEPS + 1):  # a scale of six notes
        to.setdefault(step, to[step - 1])

    def step_of(note: Note) -> Degree | None:
        above = degree_between(old.root, NoteName.parse(note.name))
        found = (d for d in from_.values() if (d.semitones - above.semitones) % 12 == 0)
        return next(found, None)

    if len({_within(degree) for degree in to.values()}) < len(to):
        line = [here.step for here in map(step_of, phrase) if here]
        to = _told_apart(line, to, (*new.quality.degrees, *_own_steps(new, new_scale)), new)

    def by_step(note: Note) -> Note:
        here = step_of(note)
        there = to.get(here.step) if here else None
        if here is None or there is None:
            fifths = NoteName.parse(note.name).fifths + new.root.fifths - old.root.fifths
            return _with(note, note.pitch + shift, single(NoteName(fifths)))
        semitones = shift + _within(there) - _within(here)
        return _with(note, note.pitch + semitones, single(new.root + there))

    return tuple(replace(by_step(note), others=tuple(map(by_step, note.others))) for note in phrase)


def seats(
    phrase: Phrase,
    chord: Chord,
    scale: str | None = None,
    blues: Sequence[NoteName] | None = None,
) -> tuple[Seat, ...]:
    """The part of each note of a phrase in a chord and the scale it has there, its plainest if
    left out.

    blues: the roots of the blues scales that belong there; where left out, the flat third and
    fifth over a dominant chord do. A note of them a half step over the chord's root or fifth
    rubs against it all the same: a flat ninth, a flat sixth (common practice).
    """
    own_tones, chord = chord_tones(chord), heard(chord)
    tones = {tone.degree.semitones % 12: tone.degree for tone in own_tones}
    inside = scale_notes(chord.root, scale or chord_scale(chord.quality))
    sounds = {name.pitch_class for name in inside}
    avoided = {name.pitch_class for name in avoid_notes(chord, inside)}
    own = {(chord.root.pitch_class + up) % 12 for up in BLUE if chord.quality.is_dominant}
    scales = (scale_notes(root, "blues") for root in blues or ())
    blue = own if blues is None else {name.pitch_class for notes in scales for name in notes}
    blue -= {(pitch + 1) % 12 for pitch in _root_and_fifth(chord)}
    found = []
    for note in phrase:
        above = (note.pitch - chord.root.pitch_class) % 12
        degree = tones.get(above) or _degree(chord.root, NoteName.parse(note.name))
        if above in tones:
            how = "chord"
        elif note.pitch % 12 in blue:
            how = "blue"
        elif note.pitch % 12 not in sounds:
            how = "outside"
        else:
            how = "avoid" if note.pitch % 12 in avoided else "scale"
        found.append(Seat(str(degree), how))
    return tuple(found)


def fitted(phrase: Phrase, own: Sequence[Seat], chord: Chord, scale: str, *, alike: bool) -> Phrase:
    """A moved phrase with its notes from outside the new chord's scale in it, and with none to
    avoid where a chord tone was: they go to the nearest note of the scale, a chord tone first, and
    repeat no neighbour. alike: whether both chords have one quality; then a note that was outside
    the scale before stays so.
    """
    names = (*chord.notes, *scale_notes(chord.root, scale))
    found: list[Note] = []
    for number, (note, seat, before) in enumerate(
        zip(phrase, seats(phrase, chord, scale), own, strict=True)
    ):
        kept = before.how == "outside" and alike
        worse = seat.how == "outside" or (seat.how == "avoid" and before.how == "chord")
        if kept or not worse:
            found.append(note)
            continue
        beside = [n.pitch for n in (*found[-1:], *phrase[number + 1 : number + 2])]
        shifts = [
            (note.pitch + shift in beside, abs(shift), rank, shift, name)
            for shift in (-1, 1, -2, 2)
            for rank, name in enumerate(names)
            if name.pitch_class == (note.pitch + shift) % OCTAVE
        ]
        if not shifts:
            found.append(note)
            continue
        *_, shift, name = min(shifts)
        found.append(replace(note, name=str(name), pitch=note.pitch + shift))
    return tuple(found)


def _root_and_fifth(chord: Chord) -> set[int]:
    """Their pitch classes; the root's alone where there is no fifth."""
    steps = (chord.quality.of_step(1), chord.quality.of_step(5))
    return {(chord.root + degree).pitch_class for degree in steps if degree}


def _root_shift(old: Chord, new: Chord) -> int:
    """Semitones between two roots, -5 to 6."""
    return (new.root.pitch_class - old.root.pitch_class + TRITONE - 1) % 12 - (TRITONE - 1)


def _steps(chord: Chord, scale: str | None) -> dict[int, Degree]:
    """The chord's scale by step from its written root, 1 to 7; where two share one, the chord's
    own tone."""
    steps: dict[int, Degree] = {}
    for degree in (*chord.quality.degrees, *_own_steps(chord, scale)):
        steps.setdefault(degree.step, degree)
    return steps


def _own_steps(chord: Chord, scale: str | None) -> tuple[Degree, ...]:
    """The degrees of the chord's scale, from its written root."""
    whole = heard(chord)
    if scale and whole.root != chord.root:
        scale = mode_on(chord.root, scale_notes(whole.root, scale))
    return scale_degrees(scale or chord_scale(chord.quality))


def _told_apart(
    line: Sequence[int], to: Mapping[int, Degree], notes: Sequence[Degree], chord: Chord
) -> dict[int, Degree]:
    """Steps of which two or more sound as one note, so that neighbours in a phrase do not.

    line: the steps of the phrase. notes: all that there are. Root, third, fifth and seventh of
    the chord stay; but where neighbours would still be one note, the scale is run through.
    """
    used = set(line)
    neighbours = [pair for pair in pairwise(line) if pair[0] != pair[1]]

    def strain(steps: Mapping[int, Degree]) -> tuple[int, int, int]:
        sounds = {step: _within(degree) for step, degree in steps.items()}
        repeated = sum(a in sounds and sounds[a] == sounds.get(b) for a, b in neighbours)
        shared = len(used & sounds.keys()) - len({sounds[step] for step in used & sounds.keys()})
        return repeated, shared, sum(sounds[step] != _within(to[step]) for step in to)

    best = min(_ways(to, notes, chord), key=strain)
    third = chord.quality.of_step(3)
    run = {
        degree.step: third if third and _within(degree) == _within(third) else degree
        for degree in notes[len(chord.quality.degrees) :]
    }
    runs = third and len(run) == STEPS and strain(run) < strain(best)
    return run if runs and strain(best)[0] else best


def _ways(
    to: Mapping[int, Degree], notes: Sequence[Degree], chord: Chord
) -> Iterator[dict[int, Degree]]:
    """The steps laid out anew over the notes between the chord's own tones, none below another."""
    pool: dict[int, Degree] = {}
    for degree in notes:
        pool.setdefault(_within(degree), degree)
    fixed = {s: to[s] for s in to if s in (1, 3) or (s in (5, 7) and chord.quality.of_step(s))}
    top = STEPS + 1
    gaps = []
    for low, high in pairwise([*sorted(fixed), top]):
        between = [step for step in range(low + 1, high) if step in to]
        most = _within(fixed[high]) if high in fixed else 12
        inside = [pool[up] for up in sorted(pool) if _within(fixed[low]) <= up <= most]
        ways = combinations_with_replacement(inside, len(between))
        gaps.append([dict(zip(between, way, strict=True)) for way in ways])
    for parts in product(*gaps):
        steps = dict(fixed)
        for part in parts:
            steps |= part
        yield steps


def _within(degree: Degree) -> int:
    """Semitones over the root within an octave: a ninth is a second."""
    return Degree(degree.step, degree.alter).semitones


def _with(note: Note, pitch: int, name: NoteName) -> Note:
    return replace(note, pitch=pitch, name=str(name), place=None)


def _degree(root: NoteName, name: NoteName) -> Degree:
    """The degree of a note over a root with the fewest signs, sharp where the note is."""
    names = (NoteName(name.fifths + turn) for turn in (0, -ROUND, ROUND))
    degrees = (degree_between(root, same) for same in names)
    return min(degrees, key=lambda d: (abs(d.alter), d.alter > 0 >= name.sharps))
