"""Edits of a form file as text: comments, order and spelling stay where nothing was changed.

Every edit takes the text of a form file and returns the text afterwards. Fields and sections are
those of groove.form.fields; a section is named by its place, from 0, and a form that has chords
alone has one section.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from difflib import SequenceMatcher
from itertools import count, pairwise
from string import ascii_uppercase
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AbstractTable, AoT, Array, InlineTable, Item
from tomlkit.toml_document import TOMLDocument

from groove.errors import GrooveError
from groove.form.road.section_fields import ONE_SECTION_FIELDS
from groove.screen.bar_texts import bar_texts, chords_of
from groove.screen.order_rows import with_moved_lines

Value = str | int | float | bool | Sequence[str] | Mapping[str, str | bool]
"""Of a field; a table has what is said bar by bar, or player by player."""

EMPTY_BAR = "%"
_TABLE = re.compile(r"\s*\[")
_FREE = re.compile(r"\s*(#.*)?")


class EditError(GrooveError):
    """An edit that can't be made in the text as it is."""


def parsed(text: str) -> TOMLDocument:
    """The document of a text. Raises EditError where it is no TOML."""
    try:
        return tomlkit.parse(text)
    except TOMLKitError as error:
        raise EditError(f"not valid TOML: {error}") from None


def content_of(text: str) -> dict[str, Any]:
    """The content of a text as plain values, for reading. Raises EditError where it is no TOML."""
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise EditError(f"not valid TOML: {error}") from None


def with_field(text: str, name: str, value: Value | None) -> str:
    """The text with a field of the whole form set to a value; None takes it out."""
    document = parsed(text)
    if value is None:
        document.pop(name, None)
    elif name in document:
        _set(document, name, value)
    else:
        return _with_line(text, f"{name} = {written(value).as_string()}")
    return tomlkit.dumps(document)


def with_entry(
    text: str, table: str, name: str, value: Value | None, *, inline: bool = False
) -> str:
    """The text with an entry of a table of the whole form, such as ``instrument``, set to a value;
    None takes it out, and the table with its last one. A new table stands at the end; inline: in
    one line with the other fields."""
    document = parsed(text)
    before = document.get(table)
    if not isinstance(before, AbstractTable):
        if value is None:
            return text
        document.pop(table, None)
        text = tomlkit.dumps(document)
        if not inline:
            breaks = "\r\n" if _has_two_signs(text) else "\n"
            rows = (text.rstrip(), "", f"[{table}]", _entry(name, value), "")
            return breaks.join(rows)
        entries = tomlkit.inline_table()
        entries[name] = written(value)
        return _with_line(text, f"{table} = {entries.as_string()}")
    if value is None:
        before.pop(name, None)
        if not before:
            document.pop(table)
    elif name in before or not re.search(rf"(?m)^\s*\[\s*{table}\s*\]", text):
        before[name] = written(value)  # in one line, or in dotted ones
    else:
        return _with_row(text, table, 0, _entry(name, value))
    return tomlkit.dumps(document)


def with_section_field(text: str, section: int, name: str, value: Value | None) -> str:
    """The text with a field of a section set to a value; None takes it out."""
    document = parsed(text)
    if "sections" not in document and name not in ONE_SECTION_FIELDS and name != "chords":
        text = _sectioned(document)
        document = parsed(text)
    table = _table(document, section)
    if value is None:
        table.pop(name, None)
    elif name in table or "sections" not in document:
        _set(table, name, value)
    else:
        return _with_row(text, "sections", section, _entry(name, value))
    return tomlkit.dumps(document)


def bars_of_section(table: Mapping[str, Any]) -> list[str]:
    """The text of each bar of a section, or of a form that has chords alone; none where it names an
    earlier section.

    Raises EditError where its chords can't be told apart into bars.
    """
    chords = str(table.get("chords", ""))
    try:
        return bar_texts(chords) if chords.strip() else []
    except ValueError as error:
        raise EditError(str(error)) from None


def with_bars(text: str, section: int, bars: Sequence[str]) -> str:
    """The text with other bars in a section."""
    document = parsed(text)
    chords = written(chords_of([bar.strip() or EMPTY_BAR for bar in bars] or [EMPTY_BAR]))
    if "sections" in document:
        _table(document, section)["chords"] = chords
    elif "chords" in document:
        document["chords"] = chords
    else:
        return _with_line(text, f"chords = {chords.as_string()}")
    return tomlkit.dumps(document)


def with_section(text: str, place: int, name: str, bars: Sequence[str]) -> str:
    """The text with a section more, at a place. The chords of a form without sections become its
    first section, A."""
    document = parsed(text)
    if "chords" in document:
        text = _sectioned(document)
    table = tomlkit.table()
    table["name"] = name
    table["chords"] = written(chords_of(bars or [EMPTY_BAR]))
    chunks = _Chunks(text)
    chunks.tables.insert(place, f"[[sections]]\n{table.as_string()}")
    return chunks.text


def without_section(text: str, section: int) -> str:
    """The text without a section. Raises EditError for the only one."""
    chunks = _Chunks(text)
    if len(chunks.tables) < 2:
        raise EditError("a form needs a section")
    chunks.tables.pop(section)
    return chunks.text


def with_section_moved(text: str, section: int, place: int) -> str:
    """The text with a section at another place."""
    chunks = _Chunks(text)
    chunks.tables.insert(place, chunks.tables.pop(section))
    return chunks.text


def without_chords(text: str) -> str:
    """The text without chords and sections."""
    document = parsed(text)
    document.pop("chords", None)
    document.pop("sections", None)
    return tomlkit.dumps(document)


def section_names(text: str) -> list[str]:
    """The names of the sections; none for a form that has chords alone."""
    sections = content_of(text).get("sections")
    tables = sections if isinstance(sections, list) else []
    return [str(table.get("name", "")) for table in tables if isinstance(table, dict)]


def all_bars(text: str) -> list[list[str]]:
    """The bars of each section, or of a form that has chords alone."""
    document = content_of(text)
    return [bars_of_section(table) for table in document.get("sections") or [document]]


def is_empty(text: str) -> bool:
    """Whether a form has no bar yet."""
    try:
        return not any(all_bars(text))
    except EditError:
        return False


def next_name(names: Sequence[str]) -> str:
    """The first letter that is no name yet, or the number of the next section."""
    free = (letter for letter in ascii_uppercase if letter not in names)
    return next(free, str(len(names) + 1))


def with_own_names(text: str) -> tuple[str, list[str]]:
    """The text with a name for each section alone, as an order needs it, and the names as they are
    played from the first section to the last; sections that only repeat another are left out."""
    tables = content_of(text).get("sections") or []
    taken = [str(table.get("name", "")) for table in tables]
    meant: dict[str, tuple[str, Any]] = {}
    plays: list[str] = []
    again: list[int] = []
    for place, table in enumerate(tables):
        name = taken[place]
        own, chords = name, table.get("chords")
        if name in meant and set(table) == {"name"}:
            own = meant[name][0]
            again.append(place)
        elif name in meant:
            own = next(new for new in (f"{name}{n}" for n in count(2)) if new not in taken)
            taken.append(own)
            text = with_section_field(text, place, "name", own)
            if chords is None:
                text = with_section_field(text, place, "chords", meant[name][1])
        if chords is not None:
            meant[name] = own, chords
        plays.append(own)
    for place in reversed(again):
        text = without_section(text, place)
    return text, plays


def with_order(text: str, lines: Sequence[Mapping[str, Any] | str]) -> str:
    """The text with another order of play; without lines it has none.

    A line that is as before keeps its spelling and its comment, also where it has been moved.
    """
    return with_list(with_moved_lines(text, lines), "order", lines)


def with_list(text: str, name: str, lines: Sequence[Mapping[str, Any] | str]) -> str:
    """The text with a field of the whole form set to a list, a line for each of its texts and
    tables; an empty list takes it out. What is as before keeps its spelling and its comment."""
    document = parsed(text)
    before = document.get(name)
    if not lines:
        document.pop(name, None)
        return tomlkit.dumps(document)
    if isinstance(before, Array):
        _change(before, lines)
        changed = tomlkit.dumps(document)
        if _reads_as(changed, name, lines):
            return changed
        document = parsed(text)
    array = tomlkit.array()
    array.multiline(True)
    for line in lines:
        array.append(_line(line))
    if isinstance(before, str):
        document[name] = array
        return tomlkit.dumps(document)
    document.pop(name, None)
    return _with_line(tomlkit.dumps(document), f"{name} = {array.as_string()}")


def with_table(text: str, kind: str, place: int, fields: Mapping[str, Value | None]) -> str:
    """The text with some fields of a table of a list, ``[[KIND]]``, set to values; None takes one
    out. The place after the last one is that of a new table."""
    document = parsed(text)
    tables = document.get(kind)
    new = {name: value for name, value in fields.items() if value is not None}
    if isinstance(tables, Array):
        before = content_of(text)[kind]
        lines = [*before[:place], {**before[place], **fields} if place < len(before) else new]
        lines[-1] = {name: value for name, value in lines[-1].items() if value is not None}
        return with_list(text, kind, [*lines, *before[place + 1 :]])
    if place == len(tables or ()):
        chunks = _Chunks(text, kind)
        rows = [f"[[{kind}]]", *(_entry(name, value) for name, value in new.items())]
        chunks.tables.append("\n".join(rows))
        return chunks.text
    table = document[kind][place]
    for name, value in fields.items():
        if value is None:
            table.pop(name, None)
        elif name in table:
            table[name] = written(value)
    text = tomlkit.dumps(document)
    for name, value in new.items():
        if name not in table:
            text = _with_row(text, kind, place, _entry(name, value))
    return text


def without_table(text: str, kind: str, place: int) -> str:
    """The text without a table of a list, and without the comment right above it."""
    if isinstance(parsed(text).get(kind), Array):
        tables = content_of(text)[kind]
        tables.pop(place)
        return with_list(text, kind, tables)
    chunks = _Chunks(text, kind)
    chunks.tables.pop(place)
    return chunks.text


def with_table_moved(text: str, kind: str, before: int, place: int) -> str:
    """The text with a table of a list at another place."""
    if isinstance(parsed(text).get(kind), Array):
        tables = content_of(text)[kind]
        tables.insert(place, tables.pop(before))
        return with_list(text, kind, tables)
    chunks = _Chunks(text, kind)
    chunks.tables.insert(place, chunks.tables.pop(before))
    return chunks.text


def with_renamed_plays(text: str, old: str, new: str) -> str:
    """The text whose order names a section by its new name."""
    lines = content_of(text).get("order")
    if not old or not isinstance(lines, list):
        return text
    ends = r"(?=\s*(?:[:,]|$)|\s+\d{1,2}(?:st|nd|rd|th)|\s+x\s*\d)"
    named = re.compile(rf"(^|,)(\s*){re.escape(old)}{ends}")
    renamed: list[Mapping[str, Any] | str] = []
    for line in lines:
        play = line.get("play") if isinstance(line, dict) else line
        if isinstance(play, str):
            play = named.sub(lambda found: f"{found[1]}{found[2]}{new}", play)
            line = {**line, "play": play} if isinstance(line, dict) else play
        renamed.append(line)
    return with_order(text, renamed) if renamed else text


def _change(array: Array, lines: Sequence[Mapping[str, Any] | str]) -> None:
    """Make an order have other lines, in place."""
    before = array.unwrap()
    same = SequenceMatcher(a=[*map(repr, before)], b=[*map(repr, lines)], autojunk=False)
    for _, a, end_a, b, end_b in reversed(same.get_opcodes()):
        shared = min(end_a - a, end_b - b)
        for place in reversed(range(a + shared, end_a)):
            del array[place]
        for line in reversed(lines[b + shared : end_b]):
            array.insert(a + shared, _line(line))
        for number in range(shared):
            _change_line(array, a + number, lines[b + number])


def _change_line(array: Array, place: int, line: Mapping[str, Any] | str) -> None:
    before: Any = array[place]
    if before == line:
        return
    if not isinstance(before, InlineTable) or isinstance(line, str):
        array[place] = _line(line)
        return
    for name in [name for name in before if name not in line]:
        del before[name]
    for name, value in line.items():
        if before.get(name) != value:
            _set(before, name, value)


def _line(line: Mapping[str, Any] | str) -> Item:
    if isinstance(line, str):
        return written(line)
    return written(line)


def _reads_as(text: str, name: str, lines: Sequence[Mapping[str, Any] | str]) -> bool:
    try:
        return bool(content_of(text)[name] == list(lines))
    except EditError:
        return False


def _entry(name: str, value: Value | None) -> str:
    """A field with its value as a row of a table."""
    table = tomlkit.table()
    table[name] = written("" if value is None else value)
    return table.as_string().rstrip("\n")


def _set(table: Any, name: str, value: Value) -> None:
    """Set a field; what stays of a list or a table keeps its spelling and its comments."""
    before: Any = table.get(name)
    if isinstance(value, Mapping) and isinstance(before, dict):
        for entry in [entry for entry in before if entry not in value]:
            del before[entry]
        for entry, each in value.items():
            if entry not in before or before[entry] != each:
                before[entry] = written(each)
    elif isinstance(before, Array) and not isinstance(value, str) and isinstance(value, Sequence):
        _change(before, value)
    else:
        table[name] = written(value)


def written(value: Value) -> Item:
    """A value as TOML in one line; text with line breaks between triple quotes, on its own rows."""
    if isinstance(value, Mapping):
        entries = tomlkit.inline_table()
        for name, each in value.items():
            entries[name] = written(each)
        return entries
    if isinstance(value, Sequence) and not isinstance(value, str):
        texts = tomlkit.array()
        texts.extend(map(written, value))
        return texts
    if isinstance(value, str) and "\n" in value:
        inside = tomlkit.string(value, multiline=True).as_string()[3:-3]
        value = tomlkit.parse(f'text = """\n{inside}\n"""')["text"]  # keeps the first line break
    item: Item = tomlkit.item(value)
    return item


def _table(document: TOMLDocument, section: int) -> Any:
    """The table that holds the fields of a section."""
    if "sections" not in document:
        if section:
            raise EditError(f"there is no section {section + 1}")
        return document
    tables = document["sections"]
    if not isinstance(tables, AoT) or not 0 <= section < len(tables):
        raise EditError(f"there is no section {section + 1}")
    return tables[section]


def _with_line(text: str, line: str) -> str:
    """The text with a field more after the last of the whole form, before the first table and the
    comment that belongs to it."""
    rows = text.split("\n")
    place = next(iter(_headers(rows)), len(rows))
    while place and _FREE.fullmatch(rows[place - 1]):
        place -= 1
    if not place:  # after the comment at the top of the file
        while place < len(rows) and rows[place].startswith("#"):
            place += 1
    if "\r\n" in text and place < len(rows):
        line = line.replace("\n", "\r\n") + "\r"
    return "\n".join([*rows[:place], line, *rows[place:]])


def _with_row(text: str, kind: str, place: int, row: str) -> str:
    """The text with a row more after the last of a table, ``[KIND]`` or one of ``[[KIND]]``."""
    rows = text.split("\n")
    headers = _headers(rows)
    header = re.compile(rf"\s*\[+\s*{kind}\s*\]")
    begin = [number for number in headers if header.match(rows[number])][place]
    end = next((number for number in headers if number > begin), len(rows))
    while _FREE.fullmatch(rows[end - 1]):
        end -= 1
    if "\r\n" in text:
        row = row.replace("\n", "\r\n") + "\r"
    return "\n".join([*rows[:end], row, *rows[end:]])


def _sectioned(document: TOMLDocument) -> str:
    """The text of a form whose chords, and the fields that go with them, stand in a section."""
    moved = {
        name: document.pop(name) for name in ("chords", *ONE_SECTION_FIELDS) if name in document
    }
    text = tomlkit.dumps(document).rstrip("\n")
    table = tomlkit.table()
    table["name"] = "A"
    for name, value in moved.items():
        table[name] = value
    return f"{text}\n\n[[sections]]\n{table.as_string()}"


class _Chunks:
    """A text cut before the tables of a list, each with the comment that stands right above it.

    kind: the name of the list. tables: its chunks, in order. text: the whole again, an empty row
    between two.
    """

    def __init__(self, text: str, kind: str = "sections") -> None:
        parsed(text)
        self._breaks = "\r\n" if _has_two_signs(text) else "\n"
        text = text.replace(self._breaks, "\n")
        table = re.compile(rf"\s*\[\[\s*{kind}\s*\]\]")
        part_of_table = re.compile(rf"\s*\[+\s*{kind}\s*\.")
        rows = text.split("\n")
        starts = []
        for number in _headers(rows):
            if table.match(rows[number]) or not part_of_table.match(rows[number]):
                begin = number
                while begin and rows[begin - 1].startswith("#"):
                    begin -= 1
                starts.append((begin, bool(table.match(rows[number]))))
        edges = [*(begin for begin, _ in starts), len(rows)]
        self._head = "\n".join(rows[: edges[0]])
        pieces = ["\n".join(rows[a:b]) for a, b in pairwise(edges)]
        kinds = [is_section for _, is_section in starts]
        self.tables = [piece for piece, is_one in zip(pieces, kinds, strict=True) if is_one]
        first = kinds.index(True) if True in kinds else len(kinds)
        self._before = pieces[:first]
        self._after = [
            p for p, is_one in zip(pieces[first:], kinds[first:], strict=True) if not is_one
        ]

    @property
    def text(self) -> str:
        pieces = [self._head, *self._before, *self.tables, *self._after]
        text = "\n\n".join(piece.strip("\n") for piece in pieces if piece.strip()) + "\n"
        return text.replace("\n", self._breaks)


def _has_two_signs(text: str) -> bool:
    """Whether all lines of a text end as some systems have it, with two signs."""
    return "\r\n" in text and text.count("\r\n") == text.count("\n")


def _headers(rows: Sequence[str]) -> list[int]:
    """The rows of the headers of tables, from 0: those before which the text is whole."""
    found: list[int] = []
    begin = 0
    for number, row in enumerate(rows):
        if _TABLE.match(row):
            try:
                tomlkit.parse("\n".join([*rows[begin:number], ""]))
            except TOMLKitError:
                continue  # inside a list or a text of several lines
            found.append(number)
            begin = number
    return found
