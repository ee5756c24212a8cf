"""Reads a short phrase from a plain notation.

Notes in the order played, spaces between: 3f5 is string 3 (1 is the highest), fret 5; C4 or Bb3
is a note with its octave, middle C being C4. Both kinds can stand in one phrase. A colon adds the
length in beats, one where it is left out. Besides:

    -:1/2      a rest
    ~:2        the note before goes on (a tie)
    h3f7       hammered on from the note before; p3f5 pulled off to; s3f9 slid to
    3f7^1      bent after the stroke: ^1/4 a quarter tone, ^1/2 a half step, ^1 a whole step;
               3f7^1v bent and let down again
    3f5+2f5    two notes at once
    |          a bar line; the notes before the first are a pick-up if they fill less than a bar

>>> from groove.instrument.fretboard import read_tuning
>>> guitar = read_tuning("guitar")
>>> phrase = read_phrase("4f7 3f5 C4:1/2 A3:3/2", guitar, NoteName.parse("A"))
>>> [(note.name, note.pitch, str(note.beats)) for note in phrase]
[('A', 57, '1'), ('C', 60, '1'), ('C', 60, '1/2'), ('A', 57, '3/2')]
>>> [note.place for note in phrase][:3]
[Place(string=4, fret=7), Place(string=3, fret=5), None]
>>> note, = read_phrase("-:1 3f7^1v:1/2 ~:1", guitar, NoteName.parse("A"))
>>> str(note.rest), str(note.bend), note.release, str(note.beats)
('1', '2', True, '3/2')
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from groove.errors import OptionError
from groove.instrument.fretboard import Place, Tuning
from groove.lesson.line import HAMMER, PULL, SLIDE
from groove.theory.pitch import NoteName, octave, parse_pitch, spelled

MOST_NOTES = 32
MOST_AT_ONCE = 4
LONGEST = 16  # beats
LOWEST, HIGHEST = 12, 127  # MIDI notes, C0 to G9: where no neck gives the limits

JOINED = {"h": HAMMER, "p": PULL, "s": SLIDE}
STEPS = {"1/4": Fraction(1, 2), "1/2": Fraction(1), "1": Fraction(2)}
"""Semitones of a bend by the share of a whole step that is written."""
REST, TIE, BAR_LINE = "-", "~", "|"

_SOUND = re.compile(
    r"(?P<join>[hps])?(?:(?P<string>\d+)f(?P<fret>\d+)|(?P<name>[^:^+]+?))"
    r"(?:\^(?P<bend>[^:+v]*)(?P<release>v?))?"
)
_INNER = re.compile(r"(\d)([hps])(\d+)")
_BEATS = re.compile(r"(\d{1,3})(?:/(\d{1,3}))?")


@dataclass(frozen=True, slots=True)
class Note:
    """A note of a phrase: spelled name, MIDI note, length in beats, and where it was written.

    place: None where it was given by name. rest: beats of silence before it. joined: one of
    groove.lesson.line.JOINS, empty for a stroke. bend: semitones, 0 for none; release: whether it
    comes back. others: notes that are struck with it.
    """

    name: str
    pitch: int
    beats: Fraction = Fraction(1)
    place: Place | None = None
    rest: Fraction = Fraction(0)
    joined: str = ""
    bend: Fraction = Fraction(0)
    release: bool = False
    others: tuple[Note, ...] = ()

    @property
    def full_name(self) -> str:
        """The name with its octave, ``"Bb3"``."""
        return f"{self.name}{octave(NoteName.parse(self.name), self.pitch)}"


Phrase = tuple[Note, ...]


@dataclass(frozen=True, slots=True)
class WrittenPhrase:
    """A phrase with its bar lines.

    bar_lines: beats from its beginning to each. beats: its length, with the rest at its end.
    """

    notes: Phrase
    bar_lines: tuple[Fraction, ...]
    beats: Fraction


def read_phrase(text: str, tuning: Tuning | None, tonic: NoteName) -> Phrase:
    """A phrase in the notation above; notes by string and fret are spelled near a tonic.

    tuning: None where there are no strings; then notes are given by name alone. Raises
    GrooveError, naming the note, for a note that can't be read or isn't on the neck.
    """
    return read_written(text, tuning, tonic).notes


@lru_cache(maxsize=256)
def read_written(text: str, tuning: Tuning | None, tonic: NoteName) -> WrittenPhrase:
    """The same with its bar lines and its whole length."""
    words = text.replace(",", " ").split()
    notes: list[Note] = []
    lines: list[Fraction] = []
    at = rest = Fraction(0)
    for word in words:
        if word == BAR_LINE:
            lines.append(at)
            continue
        kind, colon, length = word.partition(":")
        beats = _beats(length if colon else None, word)
        at += beats
        if kind == REST:
            rest += beats
        elif kind == TIE:
            if not notes or rest:
                raise OptionError("phrase", f"{word[:20]!r} ties no note; it stands after one")
            notes[-1] = replace(notes[-1], beats=notes[-1].beats + beats)
        else:
            notes.append(replace(_strokes(kind, word, tuning, tonic), beats=beats, rest=rest))
            rest = Fraction(0)
            _check_joined(notes, word)
    if not 1 <= len(notes) <= MOST_NOTES:
        raise OptionError("phrase", f"{len(notes)} notes; 1 to {MOST_NOTES} are allowed")
    return WrittenPhrase(tuple(notes), tuple(lines), at)


def as_text(phrase: Sequence[Note]) -> str:
    """A phrase in the notation, its notes by name."""
    return " ".join(word for note in phrase for word in _words(note))


def _words(note: Note) -> list[str]:
    letter = next((sign for sign, join in JOINED.items() if join == note.joined), "")
    steps = next((text for text, size in STEPS.items() if size == note.bend), "")
    bend = f"^{steps}{'v' * note.release}" if steps else ""
    names = "+".join([note.full_name + bend, *(other.full_name for other in note.others)])
    rest = [f"{REST}:{note.rest}"] if note.rest else []
    return [*rest, f"{letter}{names}:{note.beats}"]


def _strokes(kind: str, word: str, tuning: Tuning | None, tonic: NoteName) -> Note:
    """The note of a word, with those that are struck with it."""
    first, *others = (_note(part, word, tuning, tonic) for part in kind.split("+"))
    if any(note.joined or note.bend for note in others):
        raise OptionError("phrase", f"{word[:20]!r}: joins and bends stand with the first note")
    places = [note.place for note in (first, *others) if note.place]
    strings = [place.string for place in places]
    frets = [place.fret for place in places if place.fret]
    wide = tuning is not None and frets and max(frets) - min(frets) > tuning.reach
    if len(set(strings)) < len(strings) or len(others) >= MOST_AT_ONCE or wide:
        raise OptionError(
            "phrase", f"{word[:20]!r} can't be struck at once on strings of their own"
        )
    return replace(first, others=tuple(others))


def _check_joined(notes: Sequence[Note], word: str) -> None:
    """Raise GrooveError where a joined note has none before it to come from."""
    note = notes[-1]
    if note.joined and (len(notes) == 1 or note.rest):
        raise OptionError("phrase", f"{word[:20]!r} is joined to no note; one stands before it")
    if not note.joined:
        return
    before = notes[-2]
    apart = note.place and before.place and note.place.string != before.place.string
    up, down = note.pitch > before.pitch, note.pitch < before.pitch
    wrong = {HAMMER: not up, PULL: not down, SLIDE: not (up or down)}[note.joined]
    if apart or wrong:
        way = {HAMMER: "hammered up", PULL: "pulled down", SLIDE: "slid"}[note.joined]
        raise OptionError("phrase", f"{word[:20]!r} can't be {way} to from {before.full_name}")


def _note(text: str, word: str, tuning: Tuning | None, tonic: NoteName) -> Note:
    match = _SOUND.fullmatch(text)
    by_fret = "3f5 (string 3, fret 5) or " if tuning else ""
    if not match:
        raise OptionError("phrase", f"{word[:20]!r} is no note; write {by_fret}C4, or C4:1/2")
    if sign := _INNER.fullmatch(text):
        hint = f"{sign[2]}{sign[1]}f{sign[3]}"
        raise OptionError("phrase", f"{word[:20]!r} is no note; as a note of its own, {hint}")
    bend = Fraction(0)
    if match["bend"] is not None:
        if match["bend"] not in STEPS:
            raise OptionError(
                "phrase", f"{word[:20]!r} has no bend; after ^ stand {', '.join(STEPS)} (of a step)"
            )
        bend = STEPS[match["bend"]]
    note = _sounding(match, word, tuning, tonic)
    if bend and note.place and not note.place.fret:
        raise OptionError("phrase", f"{word[:20]!r} bends an open string")
    return replace(
        note, joined=JOINED.get(match["join"] or "", ""), bend=bend, release=bool(match["release"])
    )


def _sounding(match: re.Match[str], word: str, tuning: Tuning | None, tonic: NoteName) -> Note:
    """The plain note of a word."""
    if match["name"]:
        try:
            name, pitch = parse_pitch(match["name"])
        except ValueError:
            by_fret = "3f5 (string 3, fret 5) or " if tuning else ""
            raise OptionError("phrase", f"{word[:20]!r} is no note; write {by_fret}C4") from None
        if tuning is None and not LOWEST <= pitch <= HIGHEST:
            raise OptionError(
                "phrase",
                f"{word[:20]} is too {'low' if pitch < LOWEST else 'high'}; "
                f"{_named(LOWEST, tonic)} to {_named(HIGHEST, tonic)} are allowed",
            )
        if tuning and not tuning.places(pitch):
            low, high = min(tuning.open_strings), max(tuning.open_strings) + tuning.frets
            raise OptionError(
                "phrase",
                f"{word[:20]} is not on this neck, which has "
                f"{_named(low, tonic)} to {_named(high, tonic)}",
            )
        return Note(str(name), pitch)
    if tuning is None:
        raise OptionError(
            "phrase",
            f"{word[:20]} is a string and a fret, for stringed instruments alone; "
            "write notes by name, such as C4",
        )
    place = Place(int(match["string"]), int(match["fret"]))
    if place.string not in tuning.strings or place.fret > tuning.frets:
        raise OptionError(
            "phrase",
            f"{word[:20]} is not on this neck; strings are 1 to "
            f"{len(tuning.open_strings)}, frets 0 to {tuning.frets}",
        )
    pitch = tuning.pitch(place)
    return Note(str(spelled(pitch, tonic)), pitch, place=place)


def _named(pitch: int, tonic: NoteName) -> str:
    return Note(str(spelled(pitch, tonic)), pitch).full_name


def _beats(text: str | None, word: str) -> Fraction:
    if text is None:
        return Fraction(1)
    match = _BEATS.fullmatch(text)
    if match and int(match[2] or 1):
        length = Fraction(int(match[1]), int(match[2] or 1))
        if 0 < length <= LONGEST:
            return length
    raise OptionError(
        "phrase",
        f"{word[:20]!r} has no length; after the colon stand beats such as 1, 1/2 or "
        f"3/2, up to {LONGEST}",
    )
