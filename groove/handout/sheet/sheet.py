"""The lesson sheet: the chart, the guide, and their scales and chords on an instrument.

Computes all that a sheet shows; pages.py draws it, markdown.py writes it as text and data.py as
JSON.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from groove.errors import OptionError, nearest
from groove.form.lesson_fields import BEGINNER, EXAMPLE
from groove.form.model import Form
from groove.form.readers import reader_named
from groove.form.unroll import unroll
from groove.handout.chart.written import WrittenChart, write_chart
from groove.instrument.double_stops import DoubleStop, double_stops
from groove.instrument.fretboard import Tuning
from groove.instrument.left_hand import LeftHand, is_jazz, left_hands
from groove.instrument.material import Material, arpeggio, scale
from groove.instrument.one_place import in_one_place
from groove.instrument.positions import Position, one_position, positions
from groove.instrument.two_hands import TwoHands, two_hands
from groove.lesson.blocks import blocks_of
from groove.lesson.chord_guides import ChordGuide
from groove.lesson.form_scales import BLUES, Choice
from groove.lesson.guide import Guide, write_guide
from groove.lesson.line import NoteLine, beginning, on_staff, one_voice
from groove.lesson.phrase_guide import PhraseGuide, find_phrase
from groove.lesson.practice_plan import practice_plan
from groove.lesson.request import (
    DOTS,
    STRINGED,
    USUAL,
    Request,
    for_form,
    instrument_for,
    tuning_for,
)
from groove.lesson.solo.make import answers, example_solo, licks
from groove.lesson.solo.part import rounds_played
from groove.lesson.solo.words import solo_words
from groove.lesson.teacher_phrases import TeacherPhrase, teacher_phrases
from groove.lesson.track_lines.bass_line import bass_line
from groove.lesson.track_lines.guide_tones import guide_tone_line
from groove.lesson.voice import TeacherVoice
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.wording import worded, words_of

FOUR_BARS = 4  # of a solo for beginners
SIXTEEN_BARS = 16  # of call and response at the most
STOPS_SHOWN = 3  # of each interval for a chord


@dataclass(frozen=True, slots=True)
class ChordOnNeck:
    """A chord on a stringed instrument.

    under_hand: its arpeggio in the sheet's position. five: in its five positions.
    """

    material: Material
    under_hand: Position
    five: tuple[Position, ...]
    stops: tuple[DoubleStop, ...]


@dataclass(frozen=True)
class Sheet:
    """A lesson sheet. What a part of it shows is computed when it is asked for.

    blocks: the names of its parts in their order. tuning: None for keyboards and for no instrument.
    label: the text on the dots, one of DOTS' values. position: the fret of the first finger.
    phrases: the teacher's own, from the form file.
    """

    guide: Guide
    chart: WrittenChart
    instrument: str
    tuning: Tuning | None
    left_handed: bool
    label: str
    phrase: PhraseGuide | None
    phrases: tuple[TeacherPhrase, ...] = ()
    position: int | None = None
    blocks: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """The title of the form."""
        return self.guide.form.title

    @property
    def learner(self) -> str:
        """Whom the sheet is for, one of groove.form.lesson_fields.LEARNERS."""
        return self.guide.form.lesson.learner

    @property
    def voice(self) -> TeacherVoice:
        """The teacher's own words."""
        return self.chart.voice

    @cached_property
    def scales(self) -> tuple[tuple[Choice, Material, tuple[Position, ...]], ...]:
        """The scales of the form that are drawn, with their five positions on strings."""
        return _scales(self.guide, self.tuning)

    @cached_property
    def on_neck(self) -> tuple[ChordOnNeck, ...]:
        """On strings an entry for each of the guide's chords."""
        return _on_neck(self.guide.chords, self.tuning, self.position) if self.tuning else ()

    @cached_property
    def left_hands(self) -> tuple[LeftHand, ...]:
        """On keys an entry for each of the guide's chords."""
        return _left_hands(self.guide) if self.instrument == "keyboard" else ()

    @cached_property
    def both_hands(self) -> tuple[TwoHands, ...]:
        """On keys a voicing for two hands for each of the guide's chords."""
        harmony = self.guide.harmony
        chords = [entry.chord for entry in self.guide.chords]
        key = Key(harmony.key.tonic, harmony.mode)
        return two_hands(chords, key) if self.instrument == "keyboard" else ()

    @cached_property
    def solo(self) -> NoteLine:
        """The example solo, over the round that the track has it in; a beginner's begins it."""
        line = self._playable(example_solo(self.guide.form, self.tuning, round=self._round))
        return beginning(line, FOUR_BARS) if self.learner == BEGINNER else line

    @cached_property
    def solo_looks(self) -> tuple[str, ...]:
        """Sentences on what to look for in the example solo; a beginner has only the first bars of
        it."""
        if self.learner == BEGINNER:
            return ()
        return solo_words(self.guide.form, self.solo, round=self._round)

    @cached_property
    def licks(self) -> tuple[NoteLine, ...]:
        """A lick for each position, for a beginner that for the first."""
        found = licks(self.guide.form, self.tuning)[: 1 if self.learner == BEGINNER else None]
        return tuple(self._playable(line) for line in found)

    @cached_property
    def answers(self) -> NoteLine:
        """Two bars played and two of rest in turn, over the first bars of the same round."""
        line = self._playable(answers(self.guide.form, self.tuning, round=self._round))
        return beginning(line, SIXTEEN_BARS)

    def _playable(self, line: NoteLine) -> NoteLine:
        """A line as the instrument plays it: without a neck in the octave of the reader's clef,
        horns and voices one note at a time."""
        line = line if self.tuning else on_staff(line, self.guide.reader.clef)
        return one_voice(line) if self.instrument == "none" else line

    @cached_property
    def bass(self) -> NoteLine:
        """The bass line of the track's first chorus; a transposing reader has none."""
        form = self.guide.form
        if self.guide.reader.fifths:
            return NoteLine("", (), ())
        return bass_line(form, self.tuning if self.instrument == "bass" else None)

    @cached_property
    def guide_tones(self) -> tuple[NoteLine, dict[int, tuple[str, ...]]]:
        """Two lines of guide tones together, over the round of the solo, with their degrees."""
        clef = self.guide.reader.clef
        return guide_tone_line(self.guide.form, self.tuning, clef, number=self._round)

    @cached_property
    def _round(self) -> int:
        return rounds_played(unroll(self.guide.form), EXAMPLE)[0]


def write_sheet(form: Form, request: Request = USUAL) -> Sheet:
    """The lesson sheet of a form. Raises GrooveError for a request that can't be met."""
    with worded(form.lesson.words):
        return _sheet(form, for_form(form, request))


def _sheet(form: Form, request: Request) -> Sheet:
    reader, instrument = reader_named(request.reader), instrument_for(request)
    tuning = tuning_for(request)
    if request.dots not in DOTS:
        raise OptionError("dots", f"found {request.dots!r}; {nearest(request.dots, DOTS)}")
    label = DOTS[request.dots]
    if tuning is None and label == "finger":
        raise OptionError("dots", "fingers are only for stringed instruments; names or degrees")
    guide = for_learner(for_hands(write_guide(form, reader), instrument))
    sheet = Sheet(
        guide=guide,
        chart=write_chart(form, reader),
        instrument=instrument,
        tuning=tuning,
        left_handed=request.left_handed,
        label=label,
        phrase=find_phrase(guide, tuning, request.phrase) if request.phrase is not None else None,
        phrases=teacher_phrases(guide, tuning),
        position=request.position,
        blocks=blocks_of(form, instrument),
    )
    if request.tuning or request.position is not None:
        _ = sheet.on_neck  # what this neck can't have is told at once
    return sheet


def for_hands(guide: Guide, instrument: str) -> Guide:
    """The guide with a plan in the words of an instrument."""
    hands = "strings" if instrument in STRINGED else "keys" if instrument == "keyboard" else "other"
    plan = practice_plan(guide.form, guide.ground, hands)
    return replace(guide, plan=plan)


def for_learner(guide: Guide) -> Guide:
    """The guide with the scales that its learner gets: a beginner none for colour or tension, nor
    those that ``patterns/lesson/blocks.toml`` names."""
    if guide.form.lesson.learner != BEGINNER:
        return guide
    return replace(
        guide,
        choices=_plain(guide.choices),
        chords=_plain_chords(guide.chords),
        sections=tuple(
            replace(section, choices=_plain(section.choices), chords=_plain_chords(section.chords))
            for section in guide.sections
        ),
    )


def _plain(choices: tuple[Choice, ...]) -> tuple[Choice, ...]:
    without = words_of("blocks")["without"][BEGINNER]
    return tuple(choice for choice in choices if not choice.tag and choice.scale not in without)


def _plain_chords(chords: tuple[ChordGuide, ...]) -> tuple[ChordGuide, ...]:
    return tuple(replace(entry, choices=_plain(entry.choices)) for entry in chords)


def _scales(
    guide: Guide, tuning: Tuning | None
) -> tuple[tuple[Choice, Material, tuple[Position, ...]], ...]:
    """The scales on the key's own root: those on other roots have the same shapes.

    On strings the pentatonics, in a blues its scale too; on keys all that are plain.
    """
    found: dict[object, tuple[Choice, Material, tuple[Position, ...]]] = {}
    pairs = [(choice, guide.harmony) for choice in guide.choices]
    if guide.sections:
        pairs = [(choice, s.harmony) for s in guide.sections for choice in s.choices]
    for choice, harmony in pairs:
        boxed = "pentatonic" in choice.scale or (choice.scale == "blues" and harmony.kind in BLUES)
        place = choice.root, choice.scale
        if choice.root == harmony.key.tonic and (boxed if tuning else not choice.tag):
            material = scale(choice.root, choice.scale).spelled(choice.notes)
            if place not in found:
                found[place] = (choice, material, positions(tuning, material) if tuning else ())
    return tuple(found.values())


def _left_hands(guide: Guide) -> tuple[LeftHand, ...]:
    chords = [entry.chord for entry in guide.chords]
    key = Key(guide.harmony.key.tonic, guide.harmony.mode)
    return left_hands(chords, key, rootless=is_jazz(chords, guide.form.feel))


def _on_neck(
    chords: Sequence[ChordGuide], tuning: Tuning, position: int | None
) -> tuple[ChordOnNeck, ...]:
    materials = [arpeggio(guide.chord) for guide in chords]
    together = one_position(tuning, materials, position)
    return tuple(
        ChordOnNeck(
            material,
            in_one_place(tuning, under_hand),
            tuple(in_one_place(tuning, place) for place in positions(tuning, material)),
            _stops(tuning, guide.chord, under_hand.fret),
        )
        for guide, material, under_hand in zip(chords, materials, together, strict=True)
    )


def _stops(tuning: Tuning, chord: Chord, hand: int) -> tuple[DoubleStop, ...]:
    """A few thirds, sixths and tenths under the hand or a stretch away, no pair of notes twice."""

    def away(stop: DoubleStop) -> int:
        frets = [place.fret for place in stop.places]
        return max(hand - min(frets), max(frets) - (hand + tuning.reach - 1), 0)

    near = [stop for stop in double_stops(tuning, chord) if away(stop) <= 1]
    shown: list[DoubleStop] = []
    for interval in ("third", "sixth", "tenth"):
        pairs: dict[tuple[str, str], DoubleStop] = {}
        for stop in sorted(near, key=lambda stop: (away(stop), stop.cost)):
            if stop.interval == interval:
                pairs.setdefault(stop.names, stop)
        shown += list(pairs.values())[:STOPS_SHOWN]
    return tuple(shown)
