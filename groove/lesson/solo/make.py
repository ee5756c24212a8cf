"""Example solos, answers and licks for a form, from its learner and its seed.

The music is made at concert pitch for a tuning, a guitar's where there is none; without a neck it
has no places. The same form, tuning and round give the same notes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from random import Random

from groove.form.lesson_fields import ANSWERS
from groove.form.model import Form
from groove.instrument.fretboard import Tuning, read_tuning
from groove.lesson.line import LineBar, LineNote, NoteLine, on_staff
from groove.lesson.solo.ground import SoloGround, ground_of
from groove.lesson.solo.hands import home_hands
from groove.lesson.solo.ladders import Ladders
from groove.lesson.solo.licks import Lick, made_licks
from groove.lesson.solo.notes import MadeLine
from groove.lesson.solo.phrases import Maker
from groove.lesson.solo.plan import CALL, PEAK, Phrase, planned
from groove.lesson.solo.rhythms import idiom_of, rules
from groove.lesson.solo.room import shortened
from groove.lesson.solo.taste import solo_fault
from groove.lesson.solo.touches import touched
from groove.theory.pitch import NoteName, spelled
from groove.theory.scales import scale_notes
from groove.theory.symbols import scale_title
from groove.wording import said


def example_solo(form: Form, tuning: Tuning | None, *, round: int = 0) -> NoteLine:  # noqa: A002
    """A solo over one round of the form's chart, counted from 0."""
    ground = ground_of(form, round)
    return _played(form, ground, tuning, planned(ground, form.lesson.learner), round, "solo")


def answers(form: Form, tuning: Tuning | None, *, round: int = 0) -> NoteLine:  # noqa: A002
    """Some bars of an example and as many of rest in turn, over one round of the chart."""
    ground = ground_of(form, round)
    count, bars = len(ground.bars), call_bars()
    starts = range(0, count, 2 * bars)
    phrases = [
        Phrase(bar, min(bar + bars, count), CALL, number // 4, 0.4 + 0.1 * (number % 4))
        for number, bar in enumerate(starts)
    ]
    return _played(form, ground, tuning, phrases, round, ANSWERS)


def call_bars() -> int:
    """The bars of a call of call and response; the answer has as many."""
    return int(rules()["answers"]["bars"])


def licks(form: Form, tuning: Tuning | None) -> tuple[NoteLine, ...]:
    """A lick for each of the five positions of the key's pentatonic, named after it."""
    return tuple(line for line, _ in licks_made(form, tuning))


def licks_made(form: Form, tuning: Tuning | None) -> tuple[tuple[NoteLine, Lick], ...]:
    """The same, each with its position and the technique that it shows."""
    neck = tuning or read_tuning("guitar")
    home, made = made_licks(form, ground_of(form, 0), neck)
    found = []
    for lick in made:
        kind = (lick.technique or "none") if tuning else "plain"
        line = _line([lick.made], home.bars, lick.position.fret)
        name = said(
            "solo", f"licks.names.{kind}", scale=_scale_words(lick.position.title, line, home),
            number=lick.position.number, fret=lick.position.fret,
        )  # fmt: skip
        found.append((replace(line if tuning else _without_neck(line), name=name), lick))
    return tuple(found)


def _scale_words(title: str, line: NoteLine, home: SoloGround) -> str:
    """The scale of a lick in words: its position's, ``A minor pentatonic``, or the plainest that
    has all of its notes: with the blue note, in major, or the seven of home."""
    tonic, own = title.split(" ", 1)
    root = NoteName.parse(tonic)
    blues = ("blues",) if own == "minor pentatonic" else ()
    whole = home.harmonies[home.key].home_scale
    wider = (*blues, "major pentatonic", "major blues", whole, "mixolydian", "dorian")
    notes = {note.pitch % 12 for note in line.notes}
    for name in (own, *wider):
        if notes <= {tone.pitch_class for tone in scale_notes(root, name)}:
            return scale_title(root, name)
    return scale_title(root, own)


def _played(
    form: Form,
    ground: SoloGround,
    tuning: Tuning | None,
    phrases: Sequence[Phrase],
    number: int,
    what: str,
) -> NoteLine:
    neck = tuning or read_tuning("guitar")
    learner, idiom = form.lesson.learner, idiom_of(ground, 0)
    ladders = Ladders(ground, learner, major_five=number % 2 == 0)
    hands = {
        key: home_hands(neck, key.tonic, ladders.scale(key), learner) for key in ground.harmonies
    }
    best: tuple[float, list[MadeLine]] | None = None
    for attempt in range(rules()["faults"]["solos"]):
        name = f"{form.seed} {what} {number}" + f" {attempt}" * bool(attempt)
        maker = Maker(ground, ladders, hands, learner, Random(name))
        if what == ANSWERS:
            maker.low = rules()["faults"]["low"]
        fault, made = _attempted(maker, phrases, neck, idiom)
        if best is None or fault < best[0]:
            best = fault, made
        if best[0] < 1:
            break
    assert best
    line = _line(best[1], ground.bars, hands[ground.key][0].fret)
    return line if tuning else _without_neck(line)


def _attempted(
    maker: Maker, phrases: Sequence[Phrase], neck: Tuning, idiom: str
) -> tuple[float, list[MadeLine]]:
    """A solo as it may be: how much is wrong with it, and its phrases."""
    ground, learner = maker.ground, maker.learner
    for phrase in phrases:
        if phrase.role == PEAK:
            maker.reach_for(phrase)
    made = [maker.make(phrase) for phrase in phrases]
    shortened(made, rules()["learners"][learner]["share"], ground.end)
    touched(made, ground, neck, learner, idiom, maker.rng)
    return maker.fault + solo_fault(made, ground, learner), made


def _line(made: Sequence[MadeLine], bars: tuple[LineBar, ...], position: int) -> NoteLine:
    notes: list[LineNote] = []
    for phrase in made:
        for note in phrase.notes:
            if note.below:
                pitch, place = note.below
                name = note.ladder.name(pitch)
                finger = phrase.hand.finger(place)
                notes.append(LineNote(note.start, note.length, name, pitch, place, finger))
            fretted = phrase.hand.tuning.pitch(note.place)
            notes.append(
                LineNote(
                    note.start, note.length, note.name or note.ladder.name(fretted), fretted,
                    note.place, phrase.hand.finger(note.place), note.joined, note.bend,
                    note.release,
                )
            )  # fmt: skip
    return NoteLine("", tuple(notes), bars, position)


def _without_neck(line: NoteLine) -> NoteLine:
    """The same line for an instrument without strings, in an octave that suits it."""
    plain = [
        replace(
            note,
            pitch=int(note.sounding),
            name=_heard_name(note, line),
            place=None, finger=0, joined="", bend=Fraction(0), release=False,
        )
        for note in line.notes
    ]  # fmt: skip
    return on_staff(replace(line, notes=tuple(plain), position=0), "treble")


def _heard_name(note: LineNote, line: NoteLine) -> NoteName:
    """The name of the note that is heard at the top of a bend."""
    pitch = int(note.sounding)
    return note.name if pitch == note.pitch else spelled(pitch, line.bars[0].key.tonic)
