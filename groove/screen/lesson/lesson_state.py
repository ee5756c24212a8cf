"""The lesson of an open form as the screen's page shows it: the sheet's parts, phrases drawn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from groove import library
from groove.errors import GrooveError
from groove.form.lesson_fields import (
    ANSWERS,
    EXAMPLE,
    INSTRUMENTS,
    INTERMEDIATE,
    LEARNERS,
    MOST_PHRASES,
    NO_SOLO,
    STRINGED,
    NamedPhrase,
    part_names,
)
from groove.form.model import Form
from groove.form.written_chords import chorus_slots
from groove.handout.practice.band_data import hand_data, swing_data
from groove.handout.practice.road import metre_data
from groove.instrument.fretboard import Tuning, read_tuning, tunings
from groove.lesson.blocks import blocks_of, heading_of
from groove.lesson.line import LineNote
from groove.lesson.phrase_notation import BAR_LINE
from groove.lesson.request import USUAL, for_form, instrument_for
from groove.lesson.teacher_phrases import written_line
from groove.rhythm.meter import Meter
from groove.screen.form_text import EditError, content_of
from groove.screen.open_form import OpenForm
from groove.screen.sections import key_at
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName, spelled
from groove.theory.symbols import key_symbol, note, noted, symbol
from groove.wording import SHIPPED, Wording, worded, words_of

Json = dict[str, Any]
GUITAR = "guitar"
DRAWN = ("notes", "over", "key", "tuning")
"""The fields of a phrase by which it is drawn."""


def lesson_choices() -> Json:
    """The values that fields of the lesson may hold, each with its title; and of each tuning by
    its name what its neck is. mostPhrases: how many a form may have."""
    words = words_of("screen-lesson")
    return {
        "learner": [(name, words["learners"][name]) for name in LEARNERS],
        "plays": [(name, words["instruments"][name]) for name in INSTRUMENTS],
        "solo": [(name, words["solos"][name]) for name in (NO_SOLO, EXAMPLE, ANSWERS)],
        "words": [(name, words["languages"].get(name, name)) for name in library.names("words")],
        "tuning": [(name, tuning.title) for name, tuning in tunings().items()],
        "stringed": list(STRINGED),
        "necks": {name: _neck(tuning) for name, tuning in tunings().items()},
        "mostPhrases": MOST_PHRASES,
    }


def lesson_state(opened: OpenForm) -> Json:
    """The lesson of an open form, ready for JSON.

    parts: name and heading of all parts that a sheet may have. usual: those that the sheet has
    where the form names none, in their order. names: the note of each pitch class. phrases: of
    each that stands in the text what is drawn, see `_drawn`; None where nothing of it can be read,
    or no form was valid yet. sound: metre, swing and tempo, and how a hand bends, for hearing them.
    """
    form = opened.form
    with worded(form.lesson.words if form else SHIPPED):
        document = _content(opened.text)
        tonic = form.key.tonic if form else key_at(document, None).tonic
        return {
            "version": opened.version,
            "parts": [(name, heading_of(name)) for name in words_of("blocks")["blocks"]],
            "usual": _usual(form, document),
            "names": _names(tonic),
            "phrases": _phrases(document, form),
            "sound": _sound(form) if form else None,
        }


def empty_parts(form: Form) -> list[str]:
    """The names of the parts that the sheet of a form has nothing for, such as phrases of a form
    without phrases. Raises GrooveError where there is no sheet."""
    from groove.handout.sheet.files import left_out
    from groove.handout.sheet.sheet import write_sheet

    whole = replace(form, lesson=replace(form.lesson, blocks=part_names()))
    return left_out(write_sheet(whole))


def _content(text: str) -> Json:
    try:
        return content_of(text)
    except EditError:  # another program has left something that is no TOML
        return {}


def _tables(document: Json) -> Iterator[Json]:
    tables = document.get("phrases")
    for table in tables if isinstance(tables, list) else []:
        yield table if isinstance(table, dict) else {}


def _usual(form: Form | None, document: Json) -> list[str]:
    if form is None:
        learners = words_of("blocks")["learners"]
        return list(learners.get(str(document.get("learner")), learners[INTERMEDIATE]))
    unnamed = replace(form, lesson=replace(form.lesson, blocks=()))
    return list(blocks_of(unnamed, instrument_for(for_form(form, USUAL))))


def _sound(form: Form) -> Json:
    return metre_data(form.meter) | {
        "tempo": form.tempo,
        "swing": swing_data(form),
        "hand": hand_data(),
        "keys": [{}],
    }


@dataclass(frozen=True, slots=True)
class _Setting:
    """The parts of a form by which a phrase is drawn. first: its first chord. words: in which
    notes are called."""

    key: Key
    written_key: Key
    meter: Meter
    feel: str
    first: Chord
    words: Wording
    form: Form = field(compare=False)


def _phrases(document: Json, form: Form | None) -> list[Json | None]:
    tables = list(_tables(document))
    if form is None or not tables:
        return [None for _ in tables]
    first = chorus_slots(form)[0].chord
    words = form.lesson.words
    setting = _Setting(form.key, form.written_key, form.meter, form.feel, first, words, form)
    named = (
        NamedPhrase("", **{each: str(table.get(each, "")) for each in DRAWN}) for table in tables
    )
    return [_drawn(each, setting) for each in named]


@lru_cache(maxsize=4 * MOST_PHRASES)
def _drawn(phrase: NamedPhrase, setting: _Setting) -> Json | None:
    """A phrase as it is drawn: as much of it as can be read.

    neck: its own. chord: the one that it is for. bars: how many. notes: each with at and length in
    ticks from the first bar line, pitch, name, how it is joined, bend and release; string and fret
    where it has a place. Of one that is written in another key than the form's, key: that and the
    form's, as they are read, and names: the note of each pitch class there.
    """
    for named in _tries(phrase):
        try:
            own, found = written_line(named, setting.form, setting.first)
        except (GrooveError, ValueError):
            continue
        joined = {each.start: each.joined for each in found.line.notes if each.joined}
        return {
            "neck": _neck(own),
            "chord": str(symbol(found.chord)),
            "bars": len(found.line.bars),
            "notes": [_note(each, joined.get(each.start, "")) for each in found.line.notes],
        } | _in_own_key(named, setting)
    return None


def _in_own_key(named: NamedPhrase, setting: _Setting) -> Json:
    home, key = Key.parse(named.key) if named.key else setting.written_key, setting.key
    if home.tonic.pitch_class == key.tonic.pitch_class:
        return {}
    home = Key(home.tonic, key.mode)
    return {"key": [key_symbol(home), key_symbol(key)], "names": _names(home.tonic)}


def _names(tonic: NoteName) -> list[str]:
    """The note of each pitch class near a tonic."""
    return [note(spelled(pitch, tonic)) for pitch in range(12)]


def _tries(phrase: NamedPhrase) -> Iterator[NamedPhrase]:
    """A phrase, then less and less of it: without its bar lines, without its last words."""
    try:
        read_tuning(phrase.tuning or GUITAR)
    except GrooveError:
        phrase = replace(phrase, tuning="")
    try:
        Key.parse(phrase.key or "C")
    except ValueError:
        phrase = replace(phrase, key="")
    yield phrase
    rest = [word for word in phrase.notes.replace(",", " ").split() if word != BAR_LINE]
    for chord in (phrase.over, "") if phrase.over else ("",):
        for end in range(len(rest), 0, -1):
            yield replace(phrase, notes=" ".join(rest[:end]), over=chord)


def _note(found: LineNote, joined: str) -> Json:
    place = {"string": found.place.string, "fret": found.place.fret} if found.place else {}
    return place | {
        "at": found.start,
        "length": found.length,
        "pitch": found.pitch,
        "name": note(found.name),
        "joined": joined,
        "gesture": {"bend": float(found.bend), "released": found.release},
    }


def _neck(tuning: Tuning) -> Json:
    return {
        "strings": list(tuning.open_strings),
        "names": [noted(string) for string in tuning.names],
        "frets": tuning.frets,
        "title": tuning.title,
    }
