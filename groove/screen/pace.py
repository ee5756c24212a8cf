"""A form file's text in another tempo and key: all that is written in the old ones goes along.

Numerals stay as they are. Absolute chord symbols, note names, and keys and tempi of sections and of
lines of the order are moved as far as the whole form is.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import tomlkit

from groove.band.lines.pitches import moved as moved_pitch
from groove.band.lines.written_lines import play_melody, play_riffs
from groove.form.chordline import parse_chords
from groove.form.choruses import in_key, moved_key
from groove.form.model import FASTEST, SLOWEST, Form
from groove.form.unroll import unroll
from groove.form.written_chords import chorus_slots
from groove.screen.form_text import (
    EditError,
    content_of,
    parsed,
    with_field,
    with_table,
    written,
)
from groove.screen.reading import read
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import NOTE_NAME, NoteName, octave, parse_pitch, plain_signs
from groove.theory.spelling import respelled, single

_WORD = re.compile(r"[^\s|]+")
_BASS = re.compile(r"/([A-G](?:##|bb|x|#|b)?)(?=[*:]|$)")
_NOTE = re.compile(r"(?<![\w#])[A-G][#b♯♭x]{0,2}-?\d(?!\d)")
_HERE = Path("form.toml")  # the name of a file tells nothing about its keys
CHORDS = ("chords", "turnaround", "pickup")
"""Fields with a line of chords; so has each text of ``time_bars``."""


def with_tempo(text: str, tempo: float) -> str:
    """The text at another tempo of the whole form; those of sections and lines keep their ratio.

    Raises EditError for a tempo that is not allowed, and where the form can't be read.
    """
    if isinstance(tempo, bool) or not SLOWEST <= tempo <= FASTEST:
        raise EditError(f"a tempo is a number from {SLOWEST} to {FASTEST}")
    ratio = tempo / (_form(text).written_tempo or tempo)
    document = parsed(text)
    for table in _tables(document):
        own = table.get("tempo")
        if isinstance(own, int | float) and not isinstance(own, bool) and table is not document:
            table["tempo"] = _plain(own * ratio)
    return with_field(tomlkit.dumps(document), "tempo", _plain(tempo))


def with_key(text: str, symbol: str) -> str:
    """The text in another key of the form's mode.

    Raises EditError where the form can't be read, and where something in it would not move along.
    """
    before = _form(text)
    try:
        key = Key.parse(symbol, before.key.mode)
    except ValueError as error:
        raise EditError(str(error)) from None
    if key.mode != before.key.mode:
        raise EditError(f"the form is in {before.key}, and {key.symbol} is of another mode")
    fifths = key.tonic.fifths - before.key.tonic.fifths
    document = parsed(text)
    for table in _tables(document):
        _move(table, fifths, key, is_whole=table is document)
    changed = with_field(tomlkit.dumps(document), "key", key.symbol)
    if _heard(_form(changed)) != _heard(in_key(before, key)):
        raise EditError(
            f"the form can't be moved to {key.symbol} here, because something in it is written in "
            f"{before.key.symbol}; change the key in the file"
        )
    return with_phrases_kept(text, changed)


def with_phrases_kept(before: str, after: str) -> str:
    """The text after its key was changed, in which every phrase still goes with its chord.

    Where the chord has moved with the key, the phrase names the key in which it was written, from
    which it is moved. Where it has not, as one that is written by its own name, the phrase stays
    too.
    """
    old, new = key_of(before), key_of(after)
    phrases = content_of(after).get("phrases")
    if not old or not new or old.tonic == new.tonic or not isinstance(phrases, list):
        return after
    is_named = _first_chord(before) == _first_chord(after) is not None
    for place, phrase in enumerate(phrases):
        if not isinstance(phrase, dict):
            continue
        over, home = str(phrase.get("over", "")).strip(), phrase.get("key")
        if not is_named or (over and not NOTE_NAME.match(plain_signs(over))):
            home = home or old.symbol
        elif isinstance(home, str):
            home = _moved_key(home, new.tonic.fifths - old.tonic.fifths)
        if home != phrase.get("key"):
            after = with_table(after, "phrases", place, {"key": home})
    return after


def key_of(text: str) -> Key | None:
    """The key that a text names, C if it names none; None where that can't be read."""
    try:
        return Key.parse(str(content_of(text).get("key", "C")))
    except ValueError:
        return None


def _first_chord(text: str) -> int | None:
    """The pitch class of the root of the first chord; None where the form can't be read."""
    form = read(text, _HERE).form
    return chorus_slots(form)[0].chord.root.pitch_class if form else None


def _form(text: str) -> Form:
    form = read(text, _HERE).form
    if form is None:
        raise EditError("the form has mistakes; mend them first")
    return form


def _heard(form: Form) -> list[Any]:
    """All that a move must leave the same: chords by their notes, and the notes of written lines.

    A line that has to move by half an octave may lie in another one.
    """
    chart = unroll(form)

    def of(chord: Chord) -> tuple[Any, ...]:
        return chord.root.pitch_class, chord.lowest.pitch_class, chord.quality

    slots = [(s.start, s.length, of(s.chord), s.root_only) for bar in chart.bars for s in bar.slots]
    keys = [played.key.tonic.pitch_class for time in chart.rounds for played in time.passes]
    parts = [part for part in (play_melody(chart), play_riffs(chart)) if part]
    lines = [[(n.start, n.length, n.pitch % 12) for n in part.notes] for part in parts]
    return [slots, keys, lines]


def _tables(document: Any) -> Iterator[Any]:
    """The tables whose fields go along: the whole form, its sections, lines and riffs."""
    yield document
    for name in ("sections", "order", "riffs"):
        for table in document.get(name) or ():
            if isinstance(table, dict):
                yield table


def _move(table: Any, fifths: int, key: Key, *, is_whole: bool) -> None:
    def chords(text: str) -> str:
        return _WORD.sub(lambda word: _moved_word(word[0], fifths, key), text)

    def notes(text: str) -> str:
        return _NOTE.sub(lambda note: _moved_note(note[0], fifths), text)

    def bare(text: str) -> str:
        is_note = NOTE_NAME.fullmatch(plain_signs(text.strip()))
        return (
            str(single(NoteName(NoteName.parse(text.strip()).fifths + fifths))) if is_note else text
        )

    for name in CHORDS:
        _change(table, name, chords)
    if isinstance(table.get("time_bars"), list):
        for place in range(len(table["time_bars"])):
            _change(table["time_bars"], place, chords)
    if isinstance(table.get("pedal"), dict):
        for bars in list(table["pedal"]):
            _change(table["pedal"], bars, bare)
    _change(table, "pedal", bare)
    melody = table.get("melody")
    if isinstance(melody, dict):
        _change(melody, "notes", notes)
    _change(table, "melody", notes)
    if "chords" not in table and "play" not in table:
        _change(table, "notes", notes)  # of a riff
    if not is_whole:
        _change(table, "key", lambda text: _moved_key(text, fifths))


def _change(table: Any, name: str | int, change: Callable[[str], str]) -> None:
    """Change a text in a table or a list; other values stay."""
    is_there = isinstance(name, int) or name in table
    if is_there and isinstance(table[name], str):
        before = str(table[name])
        after = change(before)
        if after != before:
            table[name] = written(after)


def _moved_word(word: str, fifths: int, key: Key) -> str:
    """A word of a line of chords; those that are no absolute chord stay."""
    push = word[: word.startswith("~")]
    plain = plain_signs(word[len(push) :])
    try:
        chord = parse_chords(f"| {plain.partition(':')[0]} |")[0].written
    except ValueError:
        return word
    found = NOTE_NAME.match(plain)
    if not isinstance(chord, Chord) or not found:
        return word
    chord = respelled(chord.transposed(fifths), key)
    moved = str(chord.root) + plain[found.end() :]
    if chord.bass:
        moved = _BASS.sub(f"/{chord.bass}", moved)
    return push + moved


def _moved_note(note: str, fifths: int) -> str:
    name, pitch = parse_pitch(note)
    new = single(NoteName(name.fifths + fifths))
    return f"{new}{octave(new, moved_pitch(pitch, fifths))}"


def _moved_key(text: str, fifths: int) -> str:
    try:
        return moved_key(Key.parse(text), fifths).symbol
    except ValueError:
        return text  # a step up or down


def _plain(tempo: float) -> int | float:
    """A tempo as a teacher writes it: whole where it is, else with a digit."""
    tempo = round(tempo, 1)
    return int(tempo) if tempo == int(tempo) else tempo
