"""The notes that are sung over each chord, and what each is there.

A beginner has the pentatonic of home for everything. Others have the pentatonic of the key that
the chord stands in, a mode where the form is in one, adjusted to the chord: its tones come in, and
a tone of the scale on the same letter goes out. Over a dominant at home of a blues a phrase is
bright, with the major pentatonic, or dark, with the minor one. The V of a blues has its own major
or minor pentatonic.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cache

from groove.lesson.form_scales import form_choices
from groove.lesson.solo.ground import ChordChange, SoloGround
from groove.lesson.solo.rhythms import idiom_of, rules
from groove.theory.chords import Chord
from groove.theory.functions import FIFTH, Harmony
from groove.theory.keys import Key
from groove.theory.motion import OCTAVE, above
from groove.theory.pitch import Degree, NoteName, spelled
from groove.theory.scales import scale_notes
from groove.theory.spelling import degree_over, plainly, single

CHORD_STEPS = (1, 2, 3, 4, 5, 6, 7)
MINOR_THIRD = 3  # semitones
LEADING = Degree(7)


@dataclass(frozen=True)
class Ladder:
    """The notes over a chord, by pitch class.

    names: how each is spelled. tones: of the chord; guides: its third and seventh. avoid: notes to
    pass over. blue: the flat third of a home with a major one, None elsewhere; third: the chord's.
    key: of the form there.
    """

    chord: Chord
    names: dict[int, NoteName]
    tones: frozenset[int]
    guides: frozenset[int]
    avoid: frozenset[int]
    blue: int | None = None
    third: int | None = None
    key: Key | None = None
    _degrees: dict[int, str] = field(default_factory=dict, compare=False)

    def degree(self, pitch: int) -> str:
        """The degree of a note over the chord."""
        pc = pitch % OCTAVE
        if pc not in self._degrees:
            self._degrees[pc] = str(degree_over(self.chord, self.name(pitch)))
        return self._degrees[pc]

    def name(self, pitch: int) -> NoteName:
        """The name of a note, whether it is on the ladder or not."""
        pc = pitch % OCTAVE
        if pc == self.blue:
            return self.chord.root + Degree(3, -1)
        return self.names.get(pc) or self._in_key(pc) or spelled(pitch, self.chord.root)

    def name_below(self, pitch: int) -> NoteName:
        """The name of the note a half step below: that of the key, if it has one, else the leading
        note, as in Bb but not A# to B in C minor."""
        pc = (pitch - 1) % OCTAVE
        own = next((n for n in self.chord.notes if n.pitch_class == pc), None)
        return own or self._in_key(pc) or plainly(single(self.name(pitch) + LEADING))

    def _in_key(self, pc: int) -> NoteName | None:
        if self.key is None:
            return None
        scale = "natural minor" if self.key.mode == "minor" else "major"
        return next((n for n in _notes(self.key.tonic, scale) if n.pitch_class == pc), None)


@cache
def _notes(root: NoteName, name: str) -> tuple[NoteName, ...]:
    return scale_notes(root, name)


def home_scale(harmony: Harmony, chords: Sequence[Chord]) -> str:
    """The pentatonic that the form's scales begin with."""
    for choice in form_choices(harmony, tuple(dict.fromkeys(chords))):
        if choice.root == harmony.key.tonic and choice.scale.endswith("pentatonic"):
            return choice.scale
    return "minor pentatonic" if harmony.mode == "minor" else "major pentatonic"


class Ladders:
    """The ladders of a round. major_five: whether the V of a blues has its major pentatonic."""

    def __init__(self, ground: SoloGround, learner: str, *, major_five: bool) -> None:
        self._ground, self._major_five = ground, major_five
        self._adjusted = bool(rules()["learners"][learner]["adjusted"])
        full = rules()["full"]
        self._full = learner in full["learners"] and idiom_of(ground, 0) in full["idioms"]
        self._known: dict[tuple[int, bool], Ladder] = {}
        self._scales: dict[Key, str] = {}

    def scale(self, key: Key) -> str:
        """The home pentatonic in a key of the round."""
        if key not in self._scales:
            harmony = self._ground.harmonies[key]
            chords = [c.chord for c in self._ground.changes]
            self._scales[key] = home_scale(harmony, chords)
        return self._scales[key]

    def at(self, tick: int, key: Key, *, bright: bool = True) -> Ladder:
        """The ladder over the chord at a time."""
        return self.over(self._ground.change_at(tick), key, bright=bright)

    def over(self, change: ChordChange, key: Key, *, bright: bool = True) -> Ladder:
        """The ladder over a chord. bright: whether a dominant at home has its major third, with a
        flat third to come from; else the flat third stands for it."""
        known = self._known.get((change.start, bright))
        if known is None:
            known = replace(self._made(change, key, bright=bright), key=key)
            self._known[change.start, bright] = known
        return known

    def _made(self, change: ChordChange, key: Key, *, bright: bool) -> Ladder:
        chord, local = change.chord, change.local
        home = self._ground.harmonies[key]
        scale = _notes(key.tonic, self.scale(key))
        if not self._adjusted:
            return _ladder(chord, scale, adjusted=False)
        five = above(key.tonic, chord.root) == FIFTH and Degree(3) in chord.quality.degrees
        if home.kind == "blues" and five:
            if self._major_five:
                own = _notes(chord.root, "major pentatonic")
                return _ladder(chord, (*own, chord.root + Degree(7, -1)), adjusted=True)
            return _ladder(chord, _notes(chord.root, "minor pentatonic"), adjusted=False)
        seven = self._full and (home.kind != "blues" or local.mode == "minor")
        if seven or local.kind in ("vamp", "modes"):
            scale = local.home_notes
        elif local.key != home.key and "blues" not in home.kind:
            name = "minor pentatonic" if local.mode == "minor" else "major pentatonic"
            scale = _notes(local.key.tonic, name)
        at_home = chord.root.pitch_class == key.tonic.pitch_class
        dominant = chord.quality.third == Degree(3) and chord.quality.is_dominant
        if at_home and dominant and home.kind in rules()["blue"]["kinds"]:
            if not bright:
                dark = _notes(key.tonic, "minor pentatonic")
                return _ladder(chord, dark, adjusted=False, blue=True)
            light = (*_notes(key.tonic, "major pentatonic"), key.tonic + Degree(7, -1))
            return _ladder(chord, light, adjusted=False, blue=True)
        return _ladder(chord, scale, adjusted=True)


def _ladder(
    chord: Chord, scale: Sequence[NoteName], *, adjusted: bool, blue: bool = False
) -> Ladder:
    own = [chord.root + d for d in chord.quality.degrees if d.number in CHORD_STEPS]
    names = {name.pitch_class: name for name in scale}
    tones = {name.pitch_class for name in own}
    flat_third = (chord.root.pitch_class + MINOR_THIRD) % OCTAVE
    third = chord.quality.of_step(3)
    if adjusted:
        for name in own:
            if name.pitch_class in names:
                continue
            for pc, other in list(names.items()):
                if other.letter == name.letter and pc not in tones:
                    del names[pc]
            names[name.pitch_class] = name
    guides = {(chord.root + d).pitch_class for d in chord.quality.guide_tones}
    lifted = {(pc + 1) % OCTAVE for pc in tones} & set(names)
    avoid = lifted - tones
    third_pc = (chord.root + third).pitch_class if third else None
    return Ladder(
        chord,
        names,
        frozenset(tones & set(names)),
        frozenset(guides & set(names)),
        frozenset(avoid),
        flat_third if blue else None,
        third_pc,
    )
