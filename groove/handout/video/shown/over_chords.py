"""The tones to play over each chord of a track: its own, and the scale that the guide recommends.

The scale is one of those that the lesson sheet and the practice page name for the chord beside its
arpeggio, in the key of the time round and, in a form with an order, as its section has it: the
first that holds all tones of the chord. Where none does, it is the first of all, and so it is in a
blues, whose own scale rubs against its chords. A beginner has one for the whole form, as on sheet
and page. Where chord tones are added to a scale, its title says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from groove.form.chart import Chart, Slot
from groove.form.choruses import in_key
from groove.form.lesson_fields import BEGINNER
from groove.handout.sheet.sheet import for_learner
from groove.instrument.material import BLUE, Material, arpeggio, scale
from groove.lesson.chord_guides import ChordGuide, Passage, chord_guides
from groove.lesson.form_scales import ARPEGGIO, Choice
from groove.lesson.guide import Guide, write_guide
from groove.lesson.neck_scales import CHORD, PASSING, ROOT, SCALE
from groove.lesson.section_guides import SectionGuide
from groove.theory.chords import Chord
from groove.theory.functions import Harmony, TimedChord
from groove.theory.keys import Key
from groove.theory.symbols import arpeggio_title
from groove.wording import said


@dataclass(frozen=True, slots=True)
class OverChord:
    """Notes to play over a chord where home is in a key.

    title: of the scale, and that chord tones are added to it where it has not all of them; or of
    the arpeggio where no scale is recommended. notes: of scale and chord together, counted from
    the chord's root. inside: pitch classes of the chord. passing: those to pass through.
    """

    chord: Chord
    home: Key
    title: str
    notes: Material
    inside: frozenset[int]
    passing: frozenset[int]

    def look(self, pitch: int) -> str:
        """The look of a MIDI note, one of groove.lesson.neck_scales.LOOKS."""
        sound = pitch % 12
        if sound in self.inside:
            return ROOT if sound == self.notes.root.pitch_class else CHORD
        return PASSING if sound in self.passing else SCALE


class OverChords:
    """The tones to play over the chords of a chart.

    each: of each of the slots that were given, in their order.
    """

    def __init__(self, chart: Chart, slots: Sequence[Slot]) -> None:
        self.chart = chart
        self._guides: dict[Key, Guide] = {}
        found: dict[tuple[Key, str, Chord], OverChord] = {}
        each = []
        for slot in slots:
            home, section = self._place(slot)
            asked = home, section, slot.chord
            if asked not in found:
                found[asked] = self._over(*asked)
            each.append(found[asked])
        self.each = tuple(each)

    @cached_property
    def homes(self) -> dict[Key, tuple[Material, ...]]:
        """The arpeggios of a form's chords in each key that home is in, for which the hand stays
        in one place."""
        return {
            home: tuple(arpeggio(entry.chord) for entry in guide.chords)
            for home, guide in self._guides.items()
        }

    def _place(self, slot: Slot) -> tuple[Key, str]:
        """The key of home where a chord sounds, and the name of its section."""
        chart = self.chart
        time = next((t for t in chart.rounds if slot.start < t.end), chart.rounds[-1])
        played = next((p for p in time.passes if slot.start < p.end), time.passes[-1])
        return time.key, played.section.name

    def _over(self, home: Key, section: str, chord: Chord) -> OverChord:
        """The notes over a chord as its section has it, else the form."""
        if home not in self._guides:
            self._guides[home] = for_learner(write_guide(in_key(self.chart.form, home)))
        guide = self._guides[home]
        there = next((each for each in guide.sections if each.name == section), None)
        if self.chart.form.lesson.learner == BEGINNER:
            choice = _for_all(there.choices if there else guide.choices, chord)
        else:
            choice = recommended(_entry(guide, there, chord), (there or guide).harmony)
        return _over(chord, choice, home)


def _entry(guide: Guide, section: SectionGuide | None, chord: Chord) -> ChordGuide:
    """The guide to a chord: one of its own for a chord that neither section nor form has, as that
    of an ending."""
    known = [*(section.chords if section else ()), *guide.chords]
    entry = next((each for each in known if each.chord == chord), None)
    if entry:
        return entry
    alone = Passage((TimedChord(chord, Fraction(1)),), guide.rest)
    (made,) = chord_guides([alone], (section or guide).harmony, (chord,))
    return made


def recommended(entry: ChordGuide, harmony: Harmony) -> Choice | None:
    """Of the scales that a guide names for a chord beside its arpeggio the first that holds all
    tones of the chord; the first of all where none does and in a blues; None where it names none.
    """
    named = [c for c in entry.choices if c.scale != ARPEGGIO and not c.tag]
    whole = [] if harmony.kind == "blues" else [c for c in named if holds(c, entry.chord)]
    return next(iter([*whole, *named]), None)


def holds(choice: Choice, chord: Chord) -> bool:
    """Whether a scale has all tones of a chord."""
    own = {tone.pitch_class for tone in arpeggio(chord).tones}
    return own <= {name.pitch_class for name in choice.notes}


def _for_all(choices: Sequence[Choice], chord: Chord) -> Choice | None:
    """The scale of a beginner, who has one for all chords: the first that is for this one too."""
    return next((c for c in choices if not c.over or chord in c.over), None)


def _over(chord: Chord, choice: Choice | None, home: Key) -> OverChord:
    """A chord's own tones, and those of a scale."""
    own = arpeggio(chord)
    inside = frozenset(tone.pitch_class for tone in own.tones)
    if choice is None:
        return OverChord(chord, home, arpeggio_title(chord), own, inside, frozenset())
    material = scale(choice.root, choice.scale).spelled(choice.notes)
    passing = {name.pitch_class for name in (*choice.avoid, *dict(choice.watch).get(chord, ()))}
    passing |= {t.pitch_class for t in material.tones if t.degree == BLUE.get(choice.scale)}
    counted = material if material.root == own.root else material.over(chord)
    others = (tone for tone in counted.tones if tone.pitch_class not in inside)
    notes = Material(material.title, own.root, (*own.tones, *others))
    title = choice.title
    if not holds(choice, chord):
        title = said("video", "show.with_chord", scale=title)
    return OverChord(chord, home, title, notes, inside, frozenset(passing - inside))
