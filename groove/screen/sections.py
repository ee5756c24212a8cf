"""An open form as the screen's page shows it: plain lists, texts and numbers for JSON."""

from __future__ import annotations

from fractions import Fraction
from math import isfinite
from typing import Any

from groove.form.chordline import HOLDS, NO_CHORD, parse_chords
from groove.form.model import Form
from groove.form.road.section_fields import ONE_SECTION_FIELDS
from groove.form.unroll import unroll
from groove.form.words import setting_in_words
from groove.rhythm.meter import Meter
from groove.screen.form_text import EditError, bars_of_section, content_of
from groove.screen.open_form import OpenForm
from groove.screen.played_bars import played_bars
from groove.screen.reading import Mistake
from groove.screen.rounds import rounds_of
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from groove.theory.symbols import Symbol, marked, symbol

Json = dict[str, Any]


def state_of(opened: OpenForm) -> Json:
    """The state of an open form, ready for JSON.

    fields: those of the whole form as they are written. isEmpty: whether it has no bar yet, which
    is no mistake that a page must show. sections: of each its name, letter, fields and bars; a bar
    that quick change or turnaround change has its chords as ``played`` as well. mistakes: text,
    field, of, place and bar, see Mistake. facts: the last valid form in a line.
    """
    is_toml = True
    try:
        document = content_of(opened.text)
    except EditError:  # another program has left something that is no TOML
        document, is_toml = {}, False
    sections = sections_of(document)
    state: Json = {
        "name": opened.path.name,
        "version": opened.version,
        "canUndo": opened.can_undo,
        "canRedo": opened.can_redo,
        "changedOutside": opened.changed_outside(),
        "isValid": not opened.mistakes,
        "isEmpty": is_toml and not any(section["bars"] for section in sections),
        "mistakes": [_mistake(each) for each in opened.mistakes],
        "fields": {
            name: plain(value)
            for name, value in document.items()
            if name not in ("sections", "order", "riffs")
        },
        "order": _order(document.get("order")),
        "sections": sections,
    }
    if opened.form:
        chart = unroll(opened.form)
        if not opened.mistakes:
            for (section, place), chords in played_bars(opened.form, chart).items():
                for bar in sections[section]["bars"][place : place + 1]:  # none for an ending's
                    bar["played"] = chords
        seconds = round(chart.seconds(chart.end))
        state["facts"] = {
            "title": opened.form.title,
            "setting": setting_in_words(opened.form, chart),
            "seconds": seconds,
            "key": opened.form.key.symbol,
            "tempo": opened.form.tempo,
            "meter": [opened.form.meter.numerator, opened.form.meter.denominator],
            "drums": opened.form.drums.name,
            "played": _played(opened.form),
            "rounds": rounds_of(opened.form, chart),
        }
    return state


def _played(form: Form) -> Json:
    """The fields of a form that a file may leave out, as they are played."""
    return {
        "key": form.key.symbol,
        "tempo": form.tempo,
        "meter": str(form.meter),
        "feel": form.feel,
        "choruses": form.choruses,
        "count_in": form.count_in,
        "ending": form.ending,
        "drums": form.drums.name,
        "bass": form.bass.name,
        "comping": ", ".join(each.name for each in form.comping),
        "percussion": ", ".join(form.percussion),
        "swing_ratio": round(form.swing_ratio, 2),
        "seed": form.seed,
    }


def plain(value: Any) -> Any:
    """A value of TOML as JSON can hold it: dates, and numbers that are none, as text."""
    if isinstance(value, dict):
        return {name: plain(each) for name, each in value.items()}
    if isinstance(value, list):
        return [plain(each) for each in value]
    is_number = isinstance(value, bool | int) or (isinstance(value, float) and isfinite(value))
    return value if is_number else str(value)


def _order(value: Any) -> list[Any]:
    """The lines of an order, which may stand in one text with semicolons."""
    if isinstance(value, str):
        return [line.strip() for line in value.split(";")]
    return [plain(line) for line in value] if isinstance(value, list) else []


def _mistake(mistake: Mistake) -> Json:
    return {
        "text": mistake.text,
        "field": mistake.field,
        "of": mistake.of,
        "place": mistake.place,
        "bar": mistake.bar,
    }


def sections_of(document: Json) -> list[Json]:
    """The sections of a form file's content: fields, beats of a bar, and bars with text and chords.

    Numerals are shown in the key of their section or of the form, C where that can't be read.
    """
    key = _key(document, Key(NoteName(0)))
    tables = document.get("sections")
    if not isinstance(tables, list) or not tables:
        own = {k: plain(document[k]) for k in ONE_SECTION_FIELDS if k in document}
        beats = _beats(document, {})
        return [{"name": "", "fields": own, "beats": beats, "bars": _bars(document, key)}]
    return [
        {
            "name": str(table.get("name", "")),
            "fields": {k: plain(v) for k, v in table.items() if k not in ("name", "chords")},
            "again": "chords" not in table,
            "beats": _beats(document, table),
            "bars": _bars(table, _key(table, key)),
        }
        for table in tables
        if isinstance(table, dict)
    ]


def key_at(document: Json, section: object) -> Key:
    """The key of a section of a form file's content, counted from 0; of the form for no section."""
    key = _key(document, Key(NoteName(0)))
    tables = document.get("sections") or []
    if isinstance(section, int) and section < len(tables):
        return _key(tables[section], key)
    return key


def _key(table: Json, usual: Key) -> Key:
    try:
        return Key.parse(str(table["key"]), usual.mode)
    except (KeyError, ValueError):
        return usual


def _beats(document: Json, table: Json) -> int:
    try:
        meter = Meter.parse(str(table.get("meter", document.get("meter", "4/4"))))
    except ValueError:
        meter = Meter.parse("4/4")
    return len(meter.beat_starts)


def _bars(table: Json, key: Key) -> list[Json]:
    try:
        texts = bars_of_section(table)
    except EditError as error:
        return [{"text": str(table.get("chords", "")), "chords": [], "unreadable": str(error)}]
    found: list[Json] = []
    known: dict[tuple[str, str], list[Json]] = {}  # few bars of a section differ
    held = ""
    for text in texts:
        if (text, held) not in known:
            known[text, held] = _chords(text, key, held)
        found.append({"text": text, "chords": known[text, held]})
        words = [word for word in text.split() if word != "%" and word not in HOLDS]
        held = words[-1] if words else held
    return found


def _chords(text: str, key: Key, held: str) -> list[Json]:
    """The chords of a bar as symbols with the share of the bar that each has; none where the bar
    repeats another, or can't be read.

    held: the chord before the bar, which may go on into it.
    """
    words = text.split()
    if words == ["%"]:
        return []
    if words and all(word in NO_CHORD for word in words):
        return [_chord(Symbol("N.C.", "", ""), Fraction(1), False)]
    goes_on = bool(words) and words[0] in HOLDS
    try:
        spans = parse_chords(f"| {held} | {text} |" if goes_on else f"| {text} |")
    except ValueError:
        return []
    found = []
    for place, span in enumerate(spans[1:] if goes_on else spans):
        chord = span.chord(key, 0)
        shown = symbol(chord) if chord else Symbol("", "", "")
        shown = marked(shown, pushed=span.push, silent=not chord, root_only=span.root_only)
        found.append(_chord(shown, span.bars, goes_on and not place))
    return found


def _chord(shown: Symbol, share: Fraction, goes_on: bool) -> Json:
    parts = {"root": shown.root, "triad": shown.triad, "figures": shown.figures}
    return parts | {"bass": shown.bass, "share": float(share), "goesOn": goes_on}
