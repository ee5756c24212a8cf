"""The fields of sections and of lines of the order, and the readers of both."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from groove.errors import nearest, quoted
from groove.form import model
from groove.form.chordline import MOST_BARS, Span, check_one_notation
from groove.form.road import directions
from groove.form.values import (
    number_between,
    one_of,
    or_lifted,
    pattern_name,
    pattern_names,
    read_chords,
    read_intensity,
    read_key,
    read_meter,
    read_text,
    read_title,
    read_turnaround,
    whole_number,
    yes_or_no,
)
from groove.rhythm.kit import kit_name
from groove.rhythm.note_line import read_instrument, read_melody

WHOLE_FORM = (
    "title", "by", "seed", "tightness", "plain", "a4", "tuning_note", "count_in", "pickup",
    "ending", "choruses", "order", "sections", "riffs", "levels", "places",
)  # fmt: skip
"""The fields that stand for the whole form only."""

read_tempo = number_between(model.SLOWEST, model.FASTEST, "beats a minute")
read_tempo_step = number_between(-model.MOST_STEP, model.MOST_STEP, "beats a minute")
read_swing_ratio = number_between(model.LEAST_SWING, model.MOST_SWING, "(long to short)")
read_comping = pattern_names("comping", 2)
read_percussion = or_lifted(pattern_names("percussion", 4), ())


def read_sections(value: Any) -> tuple[model.Section, ...]:
    shape = 'write each as [[sections]] with name = "A" and chords = "..."'
    if not isinstance(value, list) or not value or not all(isinstance(s, dict) for s in value):
        raise ValueError(f"found {quoted(value)}; {shape}")
    if len(value) > MOST_BARS:
        raise ValueError(f"{len(value):,} sections; at most {MOST_BARS:,} are allowed")
    sections: list[model.Section] = []
    faults: list[SectionError] = []
    for place, table in enumerate(value, 1):
        try:
            sections.append(_section(place, table, {s.name: s.spans for s in sections}))
        except SectionError as error:
            faults.append(error)
    if faults:
        raise SectionsError(faults)
    check_one_notation(span for section in sections for span in section.all_spans)
    total = sum(section.bars for section in sections)
    if total > MOST_BARS:
        raise ValueError(f"the sections fill {total} bars; at most {MOST_BARS:,} are allowed")
    return tuple(sections)


def _section(place: int, table: Mapping[str, Any], known: Mapping[str, Any]) -> model.Section:
    allowed = ("name", "chords", "time_bars", *SECTION_FIELDS)
    for field in table:
        if field not in allowed:
            hint = nearest(field, allowed)
            if field in WHOLE_FORM:
                hint = "fields of the whole form stand above the first [[sections]]"
            if field in LINE_FIELDS:
                hint = "it is a field of a line of the order"
            raise SectionError(place, field, f"unknown field {quoted(field)}; {hint}")
    field = "name"
    try:
        name = read_title(table.get(field, ""))
        spans: tuple[Span, ...] = ()
        if "chords" in table:
            field = "chords"
            spans = read_chords(table[field])
        field = "time_bars"
        time_bars = _time_bars(table[field]) if field in table else ()
        own = []
        for field in table:
            if field in SECTION_FIELDS:
                own.append((field, SECTION_FIELDS[field](table[field])))
    except ValueError as error:
        raise SectionError(place, field, str(error)) from None
    if spans:
        return model.Section(name, spans, time_bars, model.Own(tuple(own)))
    if name not in known:
        raise SectionError(
            place, "chords", f"section {name} has no chords, and no section before it has its name"
        )
    return model.Section(name, known[name], time_bars, model.Own(tuple(own)))


def _time_bars(value: Any) -> tuple[tuple[Span, ...], ...]:
    if not isinstance(value, list) or not value:
        raise ValueError(f'found {quoted(value)}; write ["| V7 |", "| I |"], one for each time')
    return tuple(read_chords(text) for text in value)


@dataclass(frozen=True, slots=True)
class OrderLine:
    """A line of the order as it is written: its plays as text, and the fields of its own."""

    text: str
    times: int = 1
    name: str = ""
    is_open: bool = False
    own: model.Own = model.NOTHING


def read_order(value: Any) -> tuple[OrderLine, ...]:
    """The lines of an order; on the command line ``;`` stands between them."""
    shape = 'write order = ["A, A, B, A:6"], or lines { play = "A", times = 3, as = "solos" }'
    if isinstance(value, str):
        value = value.split(";")
    if not isinstance(value, list) or not value:
        raise ValueError(f"found {quoted(value)}; {shape}")
    if len(value) > MOST_BARS:
        raise ValueError(f"{len(value):,} lines; at most {MOST_BARS:,} are allowed")
    lines: list[OrderLine] = []
    faults: list[SectionError] = []
    for place, line in enumerate(value, 1):
        try:
            if isinstance(line, str) and line.strip():
                lines.append(OrderLine(read_text(line, shape)))
            elif isinstance(line, dict) and isinstance(line.get("play"), str):
                lines.append(_order_line(place, line))
            else:
                raise ValueError(f"found {quoted(line)}; {shape}")
        except SectionError as error:
            faults.append(error)
        except ValueError as error:
            faults.append(SectionError(place, "play", str(error), "order"))
    if faults:
        raise SectionsError(faults)
    return tuple(lines)


def _order_line(place: int, table: Mapping[str, Any]) -> OrderLine:
    own = []
    read: dict[str, Any] = {"play": "", "times": 1, "as": "", "open": False}
    readers: dict[str, Callable[[Any], Any]] = {
        "play": lambda value: read_text(value, 'write sections, as in play = "A, A, B, A"'),
        "times": whole_number(1, model.MOST_CHORUSES, "times"),
        "as": read_title,
        "open": yes_or_no,
    }
    for field, value in table.items():
        if field not in readers and field not in LINE_FIELDS:
            hint = nearest(field, [*readers, *LINE_FIELDS])
            raise SectionError(place, field, f"unknown field {quoted(field)}; {hint}", "order")
        try:
            if field in readers:
                read[field] = readers[field](value)
            else:
                own.append((field, LINE_FIELDS[field](value)))
        except ValueError as error:
            raise SectionError(place, field, str(error), "order") from None
    return OrderLine(read["play"], read["times"], read["as"], read["open"], model.Own(tuple(own)))


class SectionError(ValueError):
    """A fault in a ``field`` of the section, or line of the order, at ``place``, from 1."""

    def __init__(self, place: int, field: str, text: str, of: str = "sections") -> None:
        where = f"section {place}" if of == "sections" else f"line {place}"
        if of == "order" and field != "play":
            where += f", {field}"
        super().__init__(f"{where}: {text}")
        self.of = of
        self.place = place
        self.field = field


class SectionsError(ValueError):
    """All faults in the sections."""

    def __init__(self, faults: Sequence[SectionError]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults))
        self.faults = faults


def _line_key(value: Any) -> int | str:
    """Semitones, or a key in home's mode."""
    text = read_text(value, 'write semitones or a key, as in "+2" or "F"')
    if re.fullmatch(r"[+-]\d{1,2}", text):
        if abs(int(text)) > 11:
            raise ValueError(f"found {quoted(value)}; -11 to +11 semitones are allowed")
        return int(text)
    return read_key(text)


def read_instruments(value: Any) -> tuple[tuple[str, str], ...]:
    if not isinstance(value, Mapping) or not value:
        raise ValueError(f'found {quoted(value)}; write {{ bass = "fretless bass" }}')
    found = []
    for player, name in value.items():
        if player not in directions.TACET:
            raise ValueError(f"found {quoted(player)}; {nearest(player, directions.TACET)}")
        if player == "percussion":
            raise ValueError("percussion has no other instrument; choose another pattern")
        try:
            found.append((player, _read_kit(name) if player == "drums" else read_instrument(name)))
        except ValueError as error:
            raise ValueError(f"{player}: {error}") from None
    return tuple(found)


def _read_kit(value: Any) -> str:
    return f"{kit_name(read_text(value, 'write a kit, as in brush kit'))} kit"


_SETTING_FIELDS: dict[str, Callable[[Any], Any]] = {
    "drums": pattern_name("drums"),
    "bass": or_lifted(pattern_name("bass"), None),
    "comping": or_lifted(read_comping, None),
    "percussion": read_percussion,
    "instrument": read_instruments,
    "feel": one_of(model.FEELS),
    "swing_ratio": read_swing_ratio,
    "meter": read_meter,
    "tempo": read_tempo,
    "intensity": or_lifted(read_intensity, ()),
    "dynamics": directions.dynamics,
    "tacet": directions.tacet,
    "pulse": directions.pulse,
    "turnaround": or_lifted(read_turnaround, False),
}
_BOTH: dict[str, Callable[[Any], Any]] = _SETTING_FIELDS | {
    "quick_change": yes_or_no,
    "kicks": directions.figures,
    "stops": directions.figures,
    "pedal": directions.pedal,
    "cue": directions.cues,
    "rit": directions.bars,
    "fermata": directions.fermata,
    "riff": or_lifted(read_title, ""),
}
SECTION_ONLY: dict[str, Callable[[Any], Any]] = {
    "beat": directions.beat,
    "letter": read_title,
    "melody": or_lifted(read_melody, None),
    "lyrics": directions.lyrics,
}
SECTION_FIELDS = _BOTH | SECTION_ONLY | {"key": read_key}
"""The readers of the fields that a section may have of its own."""

LINE_FIELDS = _BOTH | {
    "key": _line_key,
    "trade": or_lifted(whole_number(1, 32, "bars"), 0),
    "key_cycle": one_of(model.KEY_CYCLES),
    "tempo_step": read_tempo_step,
}
"""The readers of the fields that a line of the order may have of its own."""

ONE_SECTION_FIELDS: dict[str, Callable[[Any], Any]] = {
    name: read
    for name, read in (_BOTH | SECTION_ONLY).items()
    if name not in _SETTING_FIELDS and name != "quick_change"
} | {"time_bars": _time_bars}
"""The readers of fields that a form has in place of its only section."""
