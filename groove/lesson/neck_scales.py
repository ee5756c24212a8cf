"""The scales of a guide on the neck: in the home position, and the key's own in five.

The home position is the one whose first finger, in minor, is on the key's root on the lowest
string: "box one" of guitarists (common practice). In major it is the one with the same root,
which on a guitar is then under the second finger. In any tuning it is the first of
groove.instrument.positions, whose lowest string is the one that sounds lowest.

The scales of chords and of other roots are shown under the same hand, give or take a fret: so the
two pentatonics of a blues' V lie beside the key's. Notes that several scales have in common are
shown once. A blues scale is shown as its pentatonic with a note to pass through.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from groove.form.lesson_fields import ADVANCED, BEGINNER
from groove.instrument.fretboard import Tuning
from groove.instrument.material import BLUE, Material, arpeggio, scale
from groove.instrument.one_place import in_one_place
from groove.instrument.positions import Dot, Position, at_fret, positions
from groove.lesson.chord_guides import ChordGuide
from groove.lesson.form_scales import ARPEGGIO, Choice
from groove.lesson.guide import Guide
from groove.theory.chords import Chord
from groove.theory.functions import MODAL, Harmony
from groove.theory.scale_spelling import READ_AS
from groove.theory.symbols import scale_title

PENTATONIC = "pentatonic"
NEAR = (0, -1, 1)  # frets from the home position at which a hand still is in it
ROOT, CHORD, SCALE, PASSING = LOOKS = ("root", "chord", "scale", "passing")
"""The looks of a scale's notes over the chord that it is shown with."""


@dataclass(frozen=True, slots=True)
class NeckScale:
    """A scale on the neck.

    chord: the one whose tones are told from the others. blues: the choice for its blues scale, if
    the notes have one more than the pentatonic. also: other scales of the same notes, each with
    its chord. passing: pitch classes to pass through. home: in the home position. five: in all
    five positions, empty but for those on the key's root.
    """

    choice: Choice
    chord: Chord
    material: Material
    passing: frozenset[int]
    home: Position
    five: tuple[Position, ...] = ()
    blues: Choice | None = None
    also: tuple[tuple[Choice, Chord], ...] = ()

    def look(self, dot: Dot) -> str:
        """The look of a note, one of LOOKS."""
        sound = dot.pitch % 12
        if sound in self.passing:
            return PASSING
        if sound == self.choice.root.pitch_class:
            return ROOT
        own = {name.pitch_class for name in self.chord.notes}
        return CHORD if sound in own else SCALE


def home_scale(guide: Guide, tuning: Tuning) -> tuple[str, Position]:
    """The name of the key's first pentatonic, and its home position."""
    if guide.sections:
        first = guide.sections[0]
        return _home(first.harmony, first.choices, tuning)
    return _home(guide.harmony, guide.choices, tuning)


def home_fret(guide: Guide, tuning: Tuning) -> int:
    """The fret of the first finger in the home position, 0 at the nut."""
    _, home = home_scale(guide, tuning)
    return 0 if home.frets[0] == 0 else home.fret


def neck_scales(guide: Guide, tuning: Tuning) -> tuple[NeckScale, ...]:
    """The scales of a guide, simplest first; for a beginner the first pentatonic alone.

    Those that go beyond the plain sound are for the advanced.
    """
    learner = guide.form.lesson.learner
    found: dict[object, NeckScale] = {}
    every = [entry.chord for entry in guide.chords]
    for harmony, choices, chords in _parts(guide):
        _, home = _home(harmony, choices, tuning)
        for choice, chord in _recommended(choices, chords, every):
            blues = choice.scale in BLUE and _blues(found, choice, chord, tuning)
            if blues or (choice.tag and learner != ADVANCED):
                continue
            notes = frozenset(name.pitch_class for name in choice.notes)
            place = (home.fret, home.frets, notes)
            if place in found:
                found[place] = _with(found[place], choice, chord)
                continue
            own_root = choice.root == harmony.key.tonic
            boxed = PENTATONIC in choice.scale or choice.scale in BLUE
            boxed = boxed or (harmony.kind in MODAL and choice.scale == harmony.home_scale)
            five = own_root and boxed and learner != BEGINNER
            found[place] = _placed(choice, chord, home, tuning, five=five)
            if learner == BEGINNER:  # box one and nothing else
                return tuple(found.values())
    return tuple(found.values())


def _parts(
    guide: Guide,
) -> Iterator[tuple[Harmony, tuple[Choice, ...], tuple[ChordGuide, ...]]]:
    """Harmony, scales and chords of the form, or of each of its sections."""
    if not guide.sections:
        yield guide.harmony, guide.choices, guide.chords
    for section in guide.sections:
        yield section.harmony, section.choices, section.chords


def _home(harmony: Harmony, choices: Sequence[Choice], tuning: Tuning) -> tuple[str, Position]:
    tonic = harmony.key.tonic
    names = [c.scale for c in choices if c.root == tonic and PENTATONIC in c.scale]
    name = names[0] if names else f"{harmony.mode} {PENTATONIC}"
    return scale_title(tonic, name), positions(tuning, scale(tonic, name))[0]


def _recommended(
    choices: Sequence[Choice], entries: Sequence[ChordGuide], every: Sequence[Chord]
) -> Iterator[tuple[Choice, Chord]]:
    """The scales of a form or section and then of its chords, each with a chord to show it over:
    one on its root if it is for one, in a section without it one of the form's (every)."""
    for choice in choices:
        over = choice.over or tuple(entry.chord for entry in entries)
        at_hand = choice.over or (*over, *every)
        own = (chord for chord in at_hand if chord.root == choice.root)
        yield choice, next(own, over[0])
    for entry in entries:
        for choice in entry.choices:
            if choice.scale != ARPEGGIO:
                yield choice, entry.chord


def _placed(
    choice: Choice, chord: Chord, home: Position, tuning: Tuning, *, five: bool
) -> NeckScale:
    """A scale in the home position and, if it is one of the key's own, in all five."""
    material = scale(choice.root, choice.scale).spelled(choice.notes)
    material = material.counted_as_in(chord) if choice.scale in READ_AS else material
    every = positions(tuning, material) if five else ()
    watched = dict(choice.watch).get(chord, ())
    passing = {name.pitch_class for name in (*choice.avoid, *watched)}
    passing |= {t.pitch_class for t in material.tones if t.degree == BLUE.get(choice.scale)}
    # a tone of the chord is no note to pass through
    passing -= {tone.pitch_class for tone in arpeggio(chord).tones}
    held = every[0] if five else in_hand(tuning, material, home)
    home_, *others = (in_one_place(tuning, place) for place in (held, *every))
    return NeckScale(choice, chord, material, frozenset(passing), home_, tuple(others))


def _blues(found: dict[object, NeckScale], choice: Choice, chord: Chord, tuning: Tuning) -> bool:
    """True if a blues scale is one of those found with a note more, which it then has."""
    for place, other in found.items():
        plain = other.choice
        more = {n.pitch_class for n in choice.notes} - {n.pitch_class for n in plain.notes}
        if plain.root != choice.root or PENTATONIC not in plain.scale or len(more) != 1:
            continue
        if other.blues is None:
            made = _placed(choice, chord, other.home, tuning, five=bool(other.five))
            found[place] = replace(
                made, choice=plain, chord=other.chord, blues=choice, also=other.also,
                passing=other.passing | made.passing,
            )  # fmt: skip
        return True
    return False


def _with(shown: NeckScale, choice: Choice, chord: Chord) -> NeckScale:
    """A scale with another one of the same notes."""
    places = {(c.root, c.scale) for c in (shown.choice, *(c for c, _ in shown.also))}
    if (choice.root, choice.scale) in places:
        return shown
    return replace(shown, also=(*shown.also, (choice, chord)))


def in_hand(tuning: Tuning, material: Material, home: Position) -> Position:
    """Some material in the home position, or a fret from there where fewer of its notes are
    missing or stretched for."""
    if home.frets[0] == 0:
        return at_fret(tuning, material, 1)
    lowest, last = min(home.fret, 2), tuning.frets - tuning.reach + 1
    hands = [home.fret + off for off in NEAR if lowest <= home.fret + off <= last]
    return min(
        (at_fret(tuning, material, hand) for hand in hands),
        key=lambda held: (
            not held.complete,
            len(held.missing),
            sum(not 0 <= dot.fret - held.fret < tuning.reach for dot in held.dots),
        ),
    )
