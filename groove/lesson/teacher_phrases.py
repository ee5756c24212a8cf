"""The teacher's own phrases: those that a form file names, moved to the key and to each chord."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from groove.errors import GrooveError, OptionError, quoted
from groove.form.chordline import parse_chords
from groove.form.choruses import in_key
from groove.form.lesson_fields import NamedPhrase
from groove.form.model import Form
from groove.instrument.fretboard import OCTAVE, Place, Tuning, read_tuning
from groove.instrument.line_places import LinePlaces, LineStroke, line_places
from groove.lesson.chord_guides import ChordGuide
from groove.lesson.guide import Guide
from groove.lesson.line import LineBar, LineNote, NoteLine, on_staff
from groove.lesson.phrase_guide import chord_mode
from groove.lesson.phrase_moves import Seat, by_degree, fitted, seats
from groove.lesson.phrase_notation import Note, Phrase, WrittenPhrase, read_written
from groove.theory.chords import Chord
from groove.theory.heard import heard
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from groove.theory.scales import chord_scale
from groove.theory.spelling import respelled

OCTAVES = (0, 1, -1, 2, -2)
OCTAVE_AWAY = 6.0  # cost of a phrase in another octave, as of groove.instrument.line_places


@dataclass(frozen=True, slots=True)
class OverChord:
    """A phrase over a chord: its line, and the part of each note there."""

    chord: Chord
    line: NoteLine
    seats: tuple[Seat, ...]


@dataclass(frozen=True, slots=True)
class TeacherPhrase:
    """A phrase of the teacher's: its name and remark, over its own chord, and moved to the others.

    written: in the key of the sheet.
    """

    name: str
    words: str
    written: OverChord
    moved: tuple[OverChord, ...]


def check_phrases(form: Form) -> None:
    """Raise GrooveError for the first phrase of a form that can't be read."""
    for place, text in faults(form):
        raise GrooveError(_at(form.lesson.phrases[place], text))


def faults(form: Form) -> Iterator[tuple[int, str]]:
    """The place of each phrase of a form that can't be read, from 0, and what is wrong with it."""
    for place, named in enumerate(form.lesson.phrases):
        try:
            _own_and_written(named, form)
        except GrooveError as error:
            yield place, _text_of(error)


def written_line(named: NamedPhrase, form: Form, first: Chord) -> tuple[Tuning, OverChord]:
    """A phrase as it is written, in its own tuning and key: the tuning, and its line over the
    chord that it is for. first: the first chord of the form. Raises GrooveError if it can't be
    read."""
    own, written = _read(named, form)
    fifths = _moved_by(named, form)
    if fifths:
        form = in_key(form, Key(_home(named, form), form.key.mode))
        first = respelled(first.transposed(-fifths), form.key)
    over = _over(named, form, first)
    placed = _placed(written.notes, own, _hand(written.notes), written.notes, as_written=True)
    line = _line(named.name, placed, form, over, _pickup(written, form), written.beats)
    return own, OverChord(over, line, ())


def teacher_phrases(guide: Guide, tuning: Tuning | None) -> tuple[TeacherPhrase, ...]:
    """The phrases of a form in the key of its guide, in the places of a tuning.

    tuning: None where there are no strings. Places stay as they are written where instrument and
    key are those of the phrase; in another key the hand moves along. Raises GrooveError for
    a phrase that can't be read.
    """
    return tuple(_phrase(guide, named, tuning) for named in guide.form.lesson.phrases)


def _read(named: NamedPhrase, form: Form) -> tuple[Tuning, WrittenPhrase]:
    try:
        return _own_and_written(named, form)
    except GrooveError as error:
        raise GrooveError(_at(named, _text_of(error))) from None


def _own_and_written(named: NamedPhrase, form: Form) -> tuple[Tuning, WrittenPhrase]:
    """The tuning of a phrase and its notes. Raises GrooveError where they can't be read."""
    tuning = read_tuning(named.tuning or "guitar")
    written = read_written(named.notes, tuning, _home(named, form))
    _pickup(written, form)
    return tuning, written


def _home(named: NamedPhrase, form: Form) -> NoteName:
    """The tonic of the key in which a phrase is written."""
    return Key.parse(named.key).tonic if named.key else form.written_key.tonic


def _moved_by(named: NamedPhrase, form: Form) -> int:
    """The steps on the line of fifths from the key of a phrase to that of the form."""
    return form.key.tonic.fifths - _home(named, form).fifths


def _text_of(error: GrooveError) -> str:
    return error.text if isinstance(error, OptionError) else str(error)


def _at(named: NamedPhrase, text: str) -> str:
    return f"phrases, {quoted(named.name)}: {text}"


def _phrase(guide: Guide, named: NamedPhrase, tuning: Tuning | None) -> TeacherPhrase:
    form = guide.form
    own, written = _read(named, form)
    over = _over(named, form, guide.sequence[0])
    fifths = _moved_by(named, form)
    steps = (fifths * 7 + 5) % OCTAVE - 5
    phrase = tuple(_shifted(note, steps, fifths) for note in written.notes)
    pickup = _pickup(written, form)
    hand = _hand(written.notes)
    if tuning == own and hand is not None:
        home = hand + steps if hand + steps >= 1 or not steps else hand + steps + OCTAVE
    else:
        home = None
    kept = tuning == own and not steps

    def line(over_chord: Chord, notes: Phrase) -> OverChord:
        same = kept and notes == phrase
        placed = _placed(notes, tuning, home, written.notes, as_written=same)
        made = _line(named.name, placed, form, over_chord, pickup, written.beats)
        if tuning is None:
            made = on_staff(made, guide.reader.clef)
        return OverChord(over_chord, made, seats(notes, over_chord, _mode(guide, over_chord)))

    own_seats = seats(phrase, over, _mode(guide, over))
    moved = []
    for chord in dict.fromkeys(entry.chord for entry in guide.chords):
        if chord != over:
            scale = _mode(guide, chord)
            steps_moved = by_degree(phrase, over, chord, _mode(guide, over), scale)
            alike = chord.quality == over.quality
            fitting = fitted(steps_moved, own_seats, chord, scale, alike=alike)
            moved.append(line(chord, fitting))
    return TeacherPhrase(named.name, named.words, line(over, phrase), tuple(moved))


def _over(named: NamedPhrase, form: Form, first: Chord) -> Chord:
    """The chord that a phrase is for, the first of the form if it names none."""
    if not named.over:
        return first
    written = parse_chords(named.over, whole=False)[0].written
    if isinstance(written, Chord):
        return respelled(written.transposed(_moved_by(named, form)), form.key)
    return first if written is None else written.chord(form.key)


def _mode(guide: Guide, chord: Chord) -> str:
    """The plain scale of a chord in the form; of one that it lacks its plainest."""
    entry: ChordGuide | None = next((e for e in guide.chords if e.chord == chord), None)
    return chord_mode(entry) if entry else chord_scale(heard(chord).quality)


def _pickup(written: WrittenPhrase, form: Form) -> Fraction:
    """The beats before the first bar; GrooveError where a bar line stands inside a bar."""
    beats = Fraction(form.meter.bar_ticks, form.meter.beat_ticks)
    first = written.bar_lines[0] if written.bar_lines else Fraction(0)
    pickup = first if first < beats else Fraction(0)
    for line in written.bar_lines:
        if (line - pickup) % beats:
            raise OptionError(
                "phrase",
                f"a bar line stands after {line} beats; a bar of {form.meter} has {beats}",
            )
    return pickup


def _shifted(note: Note, steps: int, fifths: int) -> Note:
    """A note in another key, at the place that lies as much higher, if there is one."""
    name = str(NoteName(NoteName.parse(note.name).fifths + fifths))
    others = tuple(_shifted(other, steps, fifths) for other in note.others)
    return replace(note, name=name, pitch=note.pitch + steps, others=others, place=None)


def _hand(phrase: Phrase) -> int | None:
    """The fret of the first finger where a phrase was written in strings and frets."""
    places = [n.place for note in phrase for n in (note, *note.others) if n.place]
    return min((place.fret for place in places if place.fret), default=1) if places else None


def _placed(
    phrase: Phrase,
    tuning: Tuning | None,
    hand: int | None,
    written: Phrase,
    *,
    as_written: bool,
) -> list[tuple[Note, ...]]:
    """The notes of each stroke with their places.

    written: the phrase as it was given; as_written: whether its places hold for this one.
    """
    strokes = [(note, *note.others) for note in phrase]
    given = [(note, *note.others) for note in written]
    if tuning is None:
        return strokes
    if as_written and all(n.place for stroke in given for n in stroke):
        return [
            tuple(replace(n, place=w.place) for n, w in zip(stroke, places, strict=True))
            for stroke, places in zip(strokes, given, strict=True)
        ]
    ways = (_on_neck(strokes, given, tuning, hand, octaves) for octaves in OCTAVES)
    found = [way for way in ways if way]
    if not found:
        return strokes
    best, octaves = min(found, key=lambda way: way[0].cost + OCTAVE_AWAY * abs(way[1]))
    return [
        tuple(
            replace(n, pitch=n.pitch + OCTAVE * octaves, place=place)
            for n, place in zip(stroke, places, strict=True)
        )
        for stroke, places in zip(strokes, best.places, strict=True)
    ]


def _on_neck(
    strokes: Sequence[tuple[Note, ...]],
    given: Sequence[tuple[Note, ...]],
    tuning: Tuning,
    hand: int | None,
    octaves: int,
) -> tuple[LinePlaces, int] | None:
    """The best places of some strokes so many octaves up, near a hand, and the octaves."""
    up = OCTAVE * octaves
    pairs = zip(strokes, given, strict=True)
    found = line_places(tuning, [_struck(stroke, before, up) for stroke, before in pairs], hand)
    return (found, octaves) if found else None


def _struck(stroke: tuple[Note, ...], given: tuple[Note, ...], up: int) -> LineStroke:
    strings = [note.place.string for note in given if note.place]
    return LineStroke(
        tuple(note.pitch + up for note in stroke),
        joined=bool(stroke[0].joined),
        bent=bool(stroke[0].bend),
        strings=tuple(strings) if len(strings) == len(stroke) else (),
    )


def _line(
    name: str,
    strokes: Sequence[tuple[Note, ...]],
    form: Form,
    chord: Chord,
    pickup: Fraction,
    beats: Fraction,
) -> NoteLine:
    beat, bar = form.meter.beat_ticks, form.meter.bar_ticks
    bars = max(1, ceil((beats - pickup) * beat / bar))
    at = -pickup
    frets = [n.place.fret for stroke in strokes for n in stroke if n.place and n.place.fret]
    low = min(frets, default=0)
    notes = []
    for stroke in strokes:
        first = stroke[0]
        at += first.rest
        for note in sorted(stroke, key=lambda n: n.pitch):
            notes.append(
                LineNote(
                    start=int(at * beat),
                    length=int(first.beats * beat),
                    name=NoteName.parse(note.name),
                    pitch=note.pitch,
                    place=note.place,
                    finger=_finger(note.place, low),
                    joined=first.joined if note is first else "",
                    bend=first.bend if note is first else Fraction(0),
                    release=first.release and note is first,
                )
            )
        at += first.beats
    straight = form.feel == "straight"
    over = tuple(
        LineBar(number * bar, bar, form.meter, form.key, ((0, chord),), straight)
        for number in range(bars)
    )
    return NoteLine(name, tuple(notes), over, low)


def _finger(place: Place | None, low: int) -> int:
    """One finger a fret from the lowest on, the fourth beyond."""
    return min(place.fret - low + 1, 4) if place and place.fret else 0
