"""The notes of a scale or an arpeggio, each with its degree and role."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from groove.errors import GrooveError, nearest
from groove.theory.chords import Chord
from groove.theory.heard import heard
from groove.theory.motion import degree_between, tones
from groove.theory.pitch import Degree, NoteName, degrees
from groove.theory.scale_spelling import READ_AS
from groove.theory.scales import SCALES, scale_degrees

BLUE = {"blues": "b5", "major blues": "b3"}  # the note that each adds to a pentatonic
_ROLE_OF_STEP = {1: "root", 3: "third", 5: "fifth", 7: "seventh"}


@dataclass(frozen=True, slots=True)
class Tone:
    """A note name with its degree above a root, and its role there: root, third, fifth, seventh,
    blue or other."""

    name: str
    degree: str
    role: str
    pitch_class: int


@dataclass(frozen=True, slots=True)
class Material:
    """Notes to play. title: ``"A minor pentatonic"`` or a chord symbol. minor: its third."""

    title: str
    root: NoteName
    tones: tuple[Tone, ...]

    @property
    def minor(self) -> bool:
        """True if there is a minor third above the root and no major one."""
        above = {(tone.pitch_class - self.root.pitch_class) % 12 for tone in self.tones}
        return 3 in above and 4 not in above

    def tone(self, pitch: int) -> Tone | None:
        """The tone that a MIDI note is, or None where it is none of them."""
        return next((t for t in self.tones if t.pitch_class == pitch % 12), None)

    def spelled(self, names: Sequence[NoteName]) -> Material:
        """The same notes with the names that some place gives them, B for Cb."""
        by_sound = {name.pitch_class: str(name) for name in names}
        tones = (replace(t, name=by_sound.get(t.pitch_class, t.name)) for t in self.tones)
        return replace(self, tones=tuple(tones))

    def counted_as_in(self, chord: Chord) -> Material:
        """The same notes; those of a chord on their root with its degrees: b9 for b2."""
        own = arpeggio(chord)
        here = {t.pitch_class: t.degree for t in own.tones if own.tones[0].name == str(self.root)}
        tones = (replace(t, degree=here.get(t.pitch_class, t.degree)) for t in self.tones)
        return replace(self, tones=tuple(tones))

    def over(self, chord: Chord) -> Material:
        """The same notes counted from a chord's root; only its own tones have roles.

        >>> from groove.theory.chords import parse_chord
        >>> a_minor = scale("A", "minor pentatonic")
        >>> [(t.degree, t.role) for t in a_minor.over(parse_chord("D7")).tones][:3]
        [('5', 'fifth'), ('b7', 'seventh'), ('1', 'root')]
        """
        inside = {tone.pitch_class: tone for tone in arpeggio(chord).tones}
        tones = []
        for tone in self.tones:
            name = NoteName.parse(tone.name)
            own = inside.get(tone.pitch_class)
            degree = own.degree if own else str(degree_between(heard(chord).root, name))
            role = own.role if own else "other"
            tones.append(Tone(tone.name, degree, role, tone.pitch_class))
        return Material(f"{self.title} over {chord}", self.root, tuple(tones))


def scale(tonic: NoteName | str, name: str) -> Material:
    """A named scale; GrooveError for a name that is not in theory.scales.SCALES.

    The altered scale has a major third, as it is read.
    """
    if isinstance(tonic, str):
        tonic = NoteName.parse(tonic)
    if name not in SCALES:
        raise GrooveError(f"scale {name!r} is not known: {nearest(name, SCALES)}")
    tones = _tones(tonic, degrees(READ_AS[name]) if name in READ_AS else scale_degrees(name))
    blue = (replace(t, role="blue") if t.degree == BLUE.get(name) else t for t in tones)
    return Material(f"{tonic} {name}", tonic, tuple(blue))


def arpeggio(chord: Chord) -> Material:
    """A chord's own tones; of a slash chord those that it is heard as, the bass among them.

    >>> from groove.theory.chords import parse_chord
    >>> [f"{tone.name} {tone.degree}" for tone in arpeggio(parse_chord("F/G")).tones]
    ['G 1', 'C 4', 'F b7', 'A 9']
    """
    root = heard(chord).root
    return Material(str(chord), root, _tones(root, tuple(tone.degree for tone in tones(chord))))


def _tones(root: NoteName, degrees: tuple[Degree, ...]) -> tuple[Tone, ...]:
    """Each degree as a tone; of two on one step the one of the major scale has the role.

    A ninth, eleventh or thirteenth has none.
    """
    on_step = Counter(degree.number for degree in degrees)
    tones = []
    for degree in degrees:
        name = root + degree
        sole = on_step[degree.number] == 1 or degree.alter == 0
        role = _ROLE_OF_STEP.get(degree.number, "other") if sole else "other"
        tones.append(Tone(str(name), str(degree), role, name.pitch_class))
    return tuple(tones)
