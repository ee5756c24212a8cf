"""The edits that the screen's page sends, checked, as functions of the form's text."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from groove.form.build import DEFAULTS, OPEN_LINES
from groove.form.lesson_fields import PARAGRAPHS, PHRASE_FIELDS
from groove.form.road.directions import GUITAR, KEYS, TACET
from groove.form.road.mix_fields import FULL, LOUDEST, SOFTEST, place_text
from groove.screen.bar_texts import bar_texts, in_notation_of, with_repeat_signs, written_out
from groove.screen.form_text import (
    EMPTY_BAR,
    EditError,
    Value,
    all_bars,
    bars_of_section,
    content_of,
    next_name,
    section_names,
    with_bars,
    with_entry,
    with_field,
    with_list,
    with_order,
    with_own_names,
    with_renamed_plays,
    with_section,
    with_section_field,
    with_section_moved,
    with_table,
    with_table_moved,
    without_chords,
    without_section,
    without_table,
)
from groove.screen.pace import key_of, with_key, with_phrases_kept, with_tempo
from groove.screen.pasted import pasted
from groove.screen.sections import key_at

MOST_CHARACTERS = 10_000
"""In a text that is typed or pasted."""
WHOLE_LESSON = "lesson"
"""The name of the remarks that are about no part of it."""
MOST_ENTRIES = 1000
"""In a list, or a table that says something bar by bar."""
COMPING = "comping"
_MOVES = {"level": ("levels", SOFTEST, LOUDEST), "place": ("places", -FULL, FULL)}
"""The field of a form that holds what the page moves, the least and the most."""
ONLY_SECTION = "Form"
"""The name in an order of the chords of a form without sections."""

_BARE_ADDRESS = re.compile(r"(?!\.)[^\s@:/?#]+\.[^\s@:/?#.]{2,}(?::\d+)?(?:[/?#][^\s@]*)?")
"""A host with a dot in its name, and perhaps a port and a path, but nothing before it."""

Edit = Callable[[str], str]


def edit_of(asked: Any) -> Edit:
    """The edit that is asked for: an object with ``do`` and what that edit needs.

    Raises EditError for what is not known or has another type.
    """
    if not isinstance(asked, dict) or asked.get("do") not in _EDITS:
        raise EditError("there is no such edit")
    made = _EDITS[asked["do"]]

    def edit(text: str) -> str:
        try:
            return made(text, asked)
        except (KeyError, IndexError, TypeError, AttributeError):
            raise EditError("the edit can't be read") from None

    return edit


def _field(text: str, asked: Mapping[str, Any]) -> str:
    name, value = _word(asked["name"]), _value_or_table(asked["value"])
    if name == "link" and isinstance(value, str):
        value = _address(value)
    return _with_whole_field(text, name, value)


def _with_whole_field(text: str, name: str, value: Value | None) -> str:
    changed = with_field(text, name, value)
    return with_phrases_kept(text, changed) if name == "key" else changed


def _address(text: str) -> str:
    """An address on the web with what it begins with, where that was left out."""
    return f"https://{text.strip()}" if _BARE_ADDRESS.fullmatch(text.strip()) else text


def _fields(text: str, asked: Mapping[str, Any]) -> str:
    """Set several fields of the whole form in one step."""
    for name, value in asked["values"].items():
        text = _with_whole_field(text, _word(name), _value(value))
    return text


def _instrument(text: str, asked: Mapping[str, Any]) -> str:
    """Give a player another instrument; null gives back the pattern's own."""
    player, value = asked["player"], asked["value"]
    if player not in TACET:
        raise EditError("there is no such player")
    entry = None if value is None else _text(value)
    return with_entry(text, "instrument", player, entry, inline=True)


def _mix(text: str, asked: Mapping[str, Any]) -> str:
    """Set a player's level, in dB, or its place, -100 to 100; null takes it out."""
    player, value = asked["player"], asked["value"]
    if player not in TACET:
        raise EditError("there is no such player")
    field, least, most = _MOVES[asked["name"]]
    if value is not None and (
        isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most
    ):
        raise EditError(f"it is a whole number from {least} to {most}")
    if player in (COMPING, GUITAR, KEYS):
        text = _one_by_one(text, field, player)
    entry = place_text(value) if field == "places" and value is not None else value
    return with_entry(text, field, player, entry, inline=True)


def _one_by_one(text: str, field: str, player: str) -> str:
    """The text with entries that no longer stand for another player of chords than their own."""
    before = content_of(text).get(field)
    given = before if isinstance(before, dict) else {}
    if player == COMPING:
        for each in (GUITAR, KEYS):
            text = with_entry(text, field, each, None, inline=True)
    elif COMPING in given:
        for each in (GUITAR, KEYS):
            if each not in given and each != player:
                text = with_entry(text, field, each, given[COMPING], inline=True)
        text = with_entry(text, field, COMPING, None, inline=True)
    return text


def _as_mixed(text: str, asked: Mapping[str, Any]) -> str:
    """Take out a player's level and place, or those of all where none is named."""
    if "player" not in asked:
        return with_field(with_field(text, "levels", None), "places", None)
    for name in _MOVES:
        text = _mix(text, {"player": asked["player"], "name": name, "value": None})
    return text


def _section_field(text: str, asked: Mapping[str, Any]) -> str:
    section, name = _number(asked["section"]), _word(asked["name"])
    value = _value_or_table(asked["value"])
    names = section_names(text)
    changed = with_section_field(text, section, name, value)
    before = names[section] if section < len(names) else ""
    is_new_name = name == "name" and isinstance(value, str) and bool(value)
    if is_new_name and names.count(before) == 1:  # an order can't mean one of several
        return with_renamed_plays(changed, before, str(value))
    return changed


def _bar(text: str, asked: Mapping[str, Any]) -> str:
    """Set the text of a bar; text with bar lines becomes several bars. The others stay as they
    sound, those that repeated it too."""
    bars, bar = _bars_at(text, asked), _number(asked["bar"])
    bars[bar : bar + 1] = _typed(text, asked, bars[bar : bar + 1])
    return _with_bars(text, asked, bars)


def _insert_bars(text: str, asked: Mapping[str, Any]) -> str:
    """Insert bars before one; a pasted chart has bar lines."""
    bars, bar = _bars_at(text, asked), _number(asked["bar"])
    bars[bar:bar] = _typed(text, asked)
    return _with_bars(text, asked, bars)


def _set_bars(text: str, asked: Mapping[str, Any]) -> str:
    """Set some bars from one on to those of a text, as many or another number."""
    bars, bar = _bars_at(text, asked), _number(asked["bar"])
    end = bar + _number(asked["count"])
    bars[bar:end] = _typed(text, asked, bars[bar:end])
    return _with_bars(text, asked, bars)


def _delete_bars(text: str, asked: Mapping[str, Any]) -> str:
    """Delete some bars from one on."""
    bars, bar = _bars_at(text, asked), _number(asked["bar"])
    del bars[bar : bar + _number(asked.get("count", 1))]
    return _with_bars(text, asked, bars)


def _paste(text: str, asked: Mapping[str, Any]) -> str:
    """Set some bars from one on to a chart that was copied as text; the sections that it names
    come after this one, or in the place of a form without chords."""
    parts = pasted(_text(asked["text"]))
    if not parts:
        raise EditError("there are no bars in it")
    if len(parts) == 1 and not parts[0][0]:
        bars, bar = _bars_at(text, asked), _number(asked["bar"])
        new = parts[0][1]
        end = bar + max(_number(asked["count"]), len(new))
        bars[bar:end] = _in_one_notation(text, asked, new, bars[bar:end])
        return _with_bars(text, asked, bars)
    place, known = _number(asked["section"]) + 1, section_names(text)
    if not any(set(bars) - {EMPTY_BAR} for bars in all_bars(text)):
        text, place, known = without_chords(text), 0, []
    for name, bars in parts:
        own = name or next_name(known)
        known.append(own)
        text = with_section(text, place, own, _in_one_notation(text, {}, bars))
        place += 1
    return text


def _with_bars(text: str, asked: Mapping[str, Any], bars: Sequence[str]) -> str:
    return with_bars(text, _number(asked["section"]), with_repeat_signs(written_out(bars)))


def _typed(text: str, asked: Mapping[str, Any], replaced: Sequence[str] = ()) -> list[str]:
    """The bars of a text that was typed or pasted in the place of others."""
    typed = _text(asked.get("text", EMPTY_BAR))
    try:
        bars = bar_texts(typed) if "|" in typed else [" ".join(typed.split()) or EMPTY_BAR]
    except ValueError as error:
        raise EditError(str(error)) from None
    return _in_one_notation(text, asked, bars, replaced)


def _in_one_notation(
    text: str, asked: Mapping[str, Any], bars: list[str], replaced: Sequence[str] = ()
) -> list[str]:
    """Bars written as the form's other bars are, in numerals or in letters: a form has one of
    both."""
    try:
        others = [bar for section in all_bars(text) for bar in section]
    except EditError:  # the bars of a section can't be told apart
        return bars
    for bar in replaced:
        if bar in others:
            others.remove(bar)
    return in_notation_of(others, bars, key_at(content_of(text), asked.get("section")))


def _start_order(text: str, _asked: Mapping[str, Any]) -> str:
    """Write an order that plays the sections as they are played without one."""
    document = content_of(text)
    text, plays = with_own_names(text)
    line = {"play": ", ".join(plays or [ONLY_SECTION])}
    line["times"] = document.get("choruses", DEFAULTS["choruses"])
    for name in OPEN_LINES:
        if name in document:
            text = with_field(text, name, None)
            if name != "choruses":
                line[name] = document[name]
    return with_order(text, [line])


def _add_section(text: str, asked: Mapping[str, Any]) -> str:
    bars = _typed(text, {"text": "| % | % | % | % |"} | dict(asked))
    known = section_names(text) or [next_name([])]  # that of chords without sections
    name = _text(asked["name"]) if "name" in asked else next_name(known)
    return with_section(text, _number(asked["place"]), name, bars)


def _remove_section(text: str, asked: Mapping[str, Any]) -> str:
    return without_section(text, _number(asked["section"]))


def _move_section(text: str, asked: Mapping[str, Any]) -> str:
    return with_section_moved(text, _number(asked["section"]), _number(asked["place"]))


def _order(text: str, asked: Mapping[str, Any]) -> str:
    lines = asked["lines"]
    if not isinstance(lines, list):
        raise EditError("an order has lines")
    return with_order(text, lines)


def _blocks(text: str, asked: Mapping[str, Any]) -> str:
    """Set the parts of the lesson sheet; none: those that its learner has as usual."""
    if not isinstance(asked["names"], list):
        raise EditError("the parts are a list")
    names = [_word(name) for name in asked["names"]]
    if isinstance(content_of(text).get("blocks"), str):
        return with_field(text, "blocks", ", ".join(names) or None)
    return with_list(text, "blocks", names)


def _heading(text: str, asked: Mapping[str, Any]) -> str:
    return with_entry(text, "headings", _word(asked["part"]), _text(asked["text"]).strip() or None)


def _remark(text: str, asked: Mapping[str, Any]) -> str:
    """Set the remarks on the lesson, a part of its sheet or a chorus: paragraphs with empty lines
    between them."""
    place, said = _text(asked["place"]), _text(asked["text"]).strip() or None
    before = content_of(text).get("remarks")
    if not isinstance(before, dict):
        if place == WHOLE_LESSON:
            if isinstance(before, list):
                return with_list(text, "remarks", PARAGRAPHS.split(said) if said else [])
            return with_field(text, "remarks", said)
        if before and said:
            whole = "\n\n".join(before) if isinstance(before, list) else before
            text = with_entry(with_field(text, "remarks", None), "remarks", WHOLE_LESSON, whole)
    names = (name for name in before or () if " ".join(name.lower().split()) == place)
    return with_entry(text, "remarks", next(names, place), said)


def _phrase(text: str, asked: Mapping[str, Any]) -> str:
    """Set some fields of a phrase, or of a new one, which names the key in which it is written."""
    place, given = _number(asked["phrase"]), asked["fields"]
    key = key_of(text)
    if key and place == len(content_of(text).get("phrases") or ()):
        given = {"key": key.symbol, **given}
    in_order = sorted(given, key=[*PHRASE_FIELDS, *given].index)
    fields = {_word(name): _value(given[name]) for name in in_order}
    return with_table(text, "phrases", place, fields)


def _remove_phrase(text: str, asked: Mapping[str, Any]) -> str:
    return without_table(text, "phrases", _number(asked["phrase"]))


def _move_phrase(text: str, asked: Mapping[str, Any]) -> str:
    return with_table_moved(text, "phrases", _number(asked["phrase"]), _number(asked["place"]))


def _pace(text: str, asked: Mapping[str, Any]) -> str:
    """Set tempo and key of the whole form, with all that is written in the old ones."""
    if "key" in asked:
        text = with_key(text, _text(asked["key"]))
    return with_tempo(text, asked["tempo"]) if "tempo" in asked else text


def _nothing(text: str, _asked: Mapping[str, Any]) -> str:
    """Take back what the step has changed so far."""
    return text


_EDITS: dict[str, Callable[[str, Mapping[str, Any]], str]] = {
    "nothing": _nothing,
    "field": _field,
    "fields": _fields,
    "instrument": _instrument,
    "mix": _mix,
    "as-mixed": _as_mixed,
    "section-field": _section_field,
    "bar": _bar,
    "set-bars": _set_bars,
    "insert-bars": _insert_bars,
    "paste": _paste,
    "delete-bars": _delete_bars,
    "add-section": _add_section,
    "remove-section": _remove_section,
    "move-section": _move_section,
    "order": _order,
    "blocks": _blocks,
    "heading": _heading,
    "remark": _remark,
    "phrase": _phrase,
    "remove-phrase": _remove_phrase,
    "move-phrase": _move_phrase,
    "start-order": _start_order,
    "pace": _pace,
}


def _bars_at(text: str, asked: Mapping[str, Any]) -> list[str]:
    document = content_of(text)
    section = _number(asked["section"])
    tables: Sequence[Any] = document.get("sections") or [document]
    return written_out(bars_of_section(tables[section]))


def _number(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value < 100_000:
        raise EditError("a place is a number from 0")
    return value


def _text(value: Any) -> str:
    if not isinstance(value, str) or len(value) > MOST_CHARACTERS:
        raise EditError(f"a text has up to {MOST_CHARACTERS:,} characters")
    return value


def _word(value: Any) -> str:
    if not isinstance(value, str) or not value.replace("_", "").isalnum():
        raise EditError("a field has a name")
    return value


def _value(value: Any) -> str | int | float | bool | None:
    if value is None or isinstance(value, bool | int | float):
        return value
    return _text(value)


def _value_or_table(value: Any) -> Value | None:
    """A value, or the texts of a list or of a table."""
    if isinstance(value, list | dict) and len(value) > MOST_ENTRIES:
        raise EditError(f"a field has up to {MOST_ENTRIES:,} entries")
    if isinstance(value, list):
        return [_text(each) for each in value]
    if isinstance(value, dict):
        return {_text(k): each if each is True else _text(each) for k, each in value.items()}
    return _value(value)
