"""The fields of a form file and the readers that check their values.

Each reader takes the value as TOML or the command line gives it and returns the checked
value, or raises ValueError with what was found and what is allowed.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from groove import library
from groove.errors import nearest, quoted
from groove.form import model
from groove.form.chordline import MOST_BARS, Span, check_one_notation, parse_chords
from groove.form.intensity import ALLOWED, Stretch, parse_intensity
from groove.form.road import directions
from groove.rhythm.meter import SIGNATURES, Meter
from groove.rhythm.note_line import read_instrument, read_melody, read_riffs
from groove.theory.keys import Key

LONGEST_TITLE = 120
LARGEST_SEED = 2**63 - 1
_NUMBER = re.compile(r"[+-]?\d{1,30}(\.\d{1,30})?")


@dataclass(frozen=True, slots=True)
class Field:
    """One field: its reader, the word for its value in help, and its line of help."""

    read: Callable[[Any], Any]
    holds: str
    help: str


def _text(value: Any, what: str) -> str:
    if not isinstance(value, str):
        raise ValueError(f"found {quoted(value)}, which is no text; {what}")
    try:  # where the locale is not UTF-8, Python gives other bytes of an argument as escapes
        return value.encode("utf-8", "surrogateescape").decode("utf-8").strip()
    except UnicodeError:
        raise ValueError(f"found {quoted(value)}, which is no text in UTF-8; {what}") from None


def _title(value: Any) -> str:
    text = _text(value, 'write a title in quotes, as in "Ferry Landing"')
    if not text or not text.isprintable() or len(text) > LONGEST_TITLE:
        raise ValueError(f"found {quoted(value)}; one line of 1 to {LONGEST_TITLE} characters")
    return text


def _key(value: Any) -> str:
    text = _text(value, 'write a key in quotes, as in "G" or "Gm"')
    try:
        Key.parse(text)
    except ValueError as error:
        try:
            Key.parse(text, "minor")  # a bare tonic takes the mode of the form below it
        except ValueError:
            raise error from None
    return text


def _number(value: Any, allowed: str) -> float:
    number = value
    if isinstance(value, str) and _NUMBER.fullmatch(value.strip()):
        number = float(value) if "." in value else int(value)
    endless = isinstance(number, float) and not math.isfinite(number)
    if endless or isinstance(number, bool) or not isinstance(number, int | float):
        raise ValueError(f"found {quoted(value)}, which is no number; {allowed}")
    return number


def _between(low: float, high: float, unit: str) -> Callable[[Any], float]:
    allowed = f"{low:g} to {high:g} {unit} are allowed"

    def read(value: Any) -> float:
        number = _number(value, allowed)
        if not low <= number <= high:
            raise ValueError(f"found {quoted(value)}; {allowed}")
        return float(number)

    return read


def _whole(low: int, high: int, unit: str) -> Callable[[Any], int]:
    allowed = f"a whole number of {unit} from {low} to {high} is allowed"

    def read(value: Any) -> int:
        number = _number(value, allowed)
        if not low <= number <= high or number != int(number):
            raise ValueError(f"found {quoted(value)}; {allowed}")
        return int(number)

    return read


def _one_of(names: tuple[str, ...]) -> Callable[[Any], str]:
    def read(value: Any) -> str:
        text = _text(value, f"there are: {', '.join(names)}").lower()
        if text not in names:
            raise ValueError(f"found {quoted(value)}; {nearest(text, names)}")
        return text

    return read


def _meter(value: Any) -> Meter:
    text = _text(value, f"there are: {', '.join(SIGNATURES)}")
    try:
        return Meter.parse(text)
    except ValueError as error:
        raise ValueError(f"found {quoted(value)}; {error}") from None


def _pattern(kind: str) -> Callable[[Any], str]:
    def read(value: Any) -> str:
        return _one_of(library.names(kind))(value)

    return read


def _patterns(kind: str, most: int) -> Callable[[Any], tuple[str, ...]]:
    def read(value: Any) -> tuple[str, ...]:
        names = library.names(kind)
        text = _text(value, f"there are: {', '.join(names)}")
        found = tuple(_one_of(names)(word.strip()) for word in text.split(","))
        if len(found) > most or len(set(found)) < len(found):
            raise ValueError(f"found {quoted(value)}; at most {most}, each once, are allowed")
        return found

    return read


def _lifted(read: Callable[[Any], Any], lifted: Any) -> Callable[[Any], Any]:
    """The reader, which takes ``false`` and ``"none"`` as well."""
    return lambda value: lifted if value is False or value == "none" else read(value)


def _yes_or_no(value: Any) -> bool:
    if not isinstance(value, bool):
        raise ValueError(f"found {quoted(value)}; true or false (without quotes) is allowed")
    return value


def _chords(value: Any) -> tuple[Span, ...]:
    return parse_chords(_text(value, 'write chords in quotes, as in "I7:4 IV7:2 I7:2"'))


def _chords_in_part(value: Any) -> tuple[Span, ...]:
    return parse_chords(_text(value, 'write chords in quotes, as in "V7:1/4"'), whole=False)


def _turnaround(value: Any) -> bool | tuple[Span, ...]:
    if isinstance(value, bool):
        return value
    if isinstance(value, str) and value.strip().lower() in ("true", "false"):
        return value.strip().lower() == "true"
    allowed = 'true, false or the last chords, as in "I7 V7", are allowed'
    if isinstance(value, str) and value.strip().lower() in ("yes", "no", "on", "off"):
        raise ValueError(f"found {quoted(value)}; {allowed}")
    return parse_chords(_text(value, allowed))


def _intensity(value: Any) -> tuple[Stretch, ...]:
    if isinstance(value, int | float) and not isinstance(value, bool):
        value = str(value)
    return parse_intensity(_text(value, ALLOWED))


def _sections(value: Any) -> tuple[model.Section, ...]:
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
            if field in FIELDS or field in FILE_FIELDS:
                hint = "fields of the whole form stand above the first [[sections]]"
            if field in LINE_FIELDS:
                hint = "it is a field of a line of the order"
            raise SectionError(place, field, f"unknown field {quoted(field)}; {hint}")
    field = "name"
    try:
        name = _title(table.get(field, ""))
        spans: tuple[Span, ...] = ()
        if "chords" in table:
            field = "chords"
            spans = _chords(table[field])
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
    return tuple(_chords(text) for text in value)


@dataclass(frozen=True, slots=True)
class OrderLine:
    """A line of the order as it is written: its plays as text, and the fields of its own."""

    text: str
    times: int = 1
    name: str = ""
    is_open: bool = False
    own: model.Own = model.NOTHING


def _order(value: Any) -> tuple[OrderLine, ...]:
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
                lines.append(OrderLine(_text(line, shape)))
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
        "play": lambda value: _text(value, 'write sections, as in play = "A, A, B, A"'),
        "times": _whole(1, model.MOST_CHORUSES, "times"),
        "as": _title,
        "open": _yes_or_no,
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


FIELDS: dict[str, Field] = {
    "title": Field(_title, "TEXT", "title of the track"),
    "key": Field(_key, "KEY", "a tonic, G for major and blues, Gm for minor"),
    "tempo": Field(
        _between(model.SLOWEST, model.FASTEST, "beats a minute"),
        "BEATS",
        "beats a minute, 30 to 320 (3/8 to 12/8 in threes: dotted quarters; 2/2: halves)",
    ),
    "meter": Field(_meter, "METER", "2/4 to 7/4, 2/2, 3/8 to 12/8; in groups as 2+2+3/8"),
    "feel": Field(_one_of(model.FEELS), "FEEL", "straight, shuffle or swing"),
    "swing_ratio": Field(
        _between(model.LEAST_SWING, model.MOST_SWING, "(long to short)"),
        "RATIO",
        "long part of a swung beat to the short one, 1 to 4",
    ),
    "chords": Field(_chords, "CHORDS", 'CHORD[:BARS] ..., as in "I7:4 IV7:2 I7:2"'),
    "sections": Field(_sections, "TABLES", "sections with a name and chords each"),
    "quick_change": Field(_yes_or_no, "BOOL", "go to the IV chord in bar 2"),
    "turnaround": Field(
        _turnaround, "CHORDS", "V7 in the last bar leads back to the top; or the chords that do"
    ),
    "tempo_step": Field(
        _between(-model.MOST_STEP, model.MOST_STEP, "beats a minute"),
        "BEATS",
        "each chorus so many beats a minute faster than the one before; -4 is slower",
    ),
    "key_cycle": Field(
        _one_of(model.KEY_CYCLES),
        "WAY",
        "each chorus in the next key: fourths, fifths, up or down (by semitones), or none",
    ),
    "tuning_note": Field(_yes_or_no, "BOOL", "sound A and the key's tonic before the count-in"),
    "a4": Field(
        _between(model.LOWEST_A4, model.HIGHEST_A4, "Hz"),
        "HZ",
        "what the A above middle C is tuned to, 415 to 466 Hz; 440 if left out",
    ),
    "choruses": Field(
        _whole(1, model.MOST_CHORUSES, "choruses"), "N", "times round the form, 1 to 100"
    ),
    "intensity": Field(
        _intensity,
        "LEVELS",
        'how busy, LEVEL[:BARS] ..., 1 to 3: "1 2 3" by chorus, "1:8 2-3:16" in bars',
    ),
    "count_in": Field(_whole(0, model.MOST_COUNT_IN, "bars"), "BARS", "bars of count-in, 0 to 8"),
    "ending": Field(_one_of(model.ENDINGS), "ENDING", "hit, ring, loop or written"),
    "drums": Field(_pattern("drums"), "NAME", "drum pattern"),
    "bass": Field(_pattern("bass"), "NAME", "bass idiom; the drum pattern's own if left out"),
    "comping": Field(
        _patterns("comping", 2),
        "NAME",
        "comping idiom, or a guitar's and a keys'; the drum pattern's own if left out",
    ),
    "percussion": Field(
        _lifted(_patterns("percussion", 4), ()), "NAMES", "percussion, as in shaker, tambourine"
    ),
    "order": Field(
        _order, "SECTIONS", 'what is played, as in "A, A, B, A"; a semicolon between lines'
    ),
    "tightness": Field(
        _between(0, 1, "(1 is the bare grid)"),
        "PART",
        "0 to 1: from timing and weight as people play (0) to the bare grid (1)",
    ),
    "seed": Field(
        _whole(0, LARGEST_SEED, "up to 19 digits"),
        "N",
        "another seed plays another take of the same",
    ),
}


def _line_key(value: Any) -> int | str:
    """Semitones, or a key in home's mode."""
    text = _text(value, 'write semitones or a key, as in "+2" or "F"')
    if re.fullmatch(r"[+-]\d{1,2}", text):
        if abs(int(text)) > 11:
            raise ValueError(f"found {quoted(value)}; -11 to +11 semitones are allowed")
        return int(text)
    return _key(text)


def _instrument(value: Any) -> tuple[tuple[str, str], ...]:
    if not isinstance(value, Mapping) or not value:
        raise ValueError(f'found {quoted(value)}; write {{ bass = "fretless bass" }}')
    found = []
    for player, name in value.items():
        if player not in directions.TACET:
            raise ValueError(f"found {quoted(player)}; {nearest(player, directions.TACET)}")
        if player in ("drums", "percussion"):
            raise ValueError(f"{player} have no other instrument; choose another pattern")
        try:
            found.append((player, read_instrument(name)))
        except ValueError as error:
            raise ValueError(f"{player}: {error}") from None
    return tuple(found)


def _tempo(value: Any) -> float:
    return float(FIELDS["tempo"].read(value))


_SETTING_FIELDS: dict[str, Callable[[Any], Any]] = {
    "drums": FIELDS["drums"].read,
    "bass": _lifted(FIELDS["bass"].read, None),
    "comping": _lifted(FIELDS["comping"].read, None),
    "percussion": FIELDS["percussion"].read,
    "instrument": _instrument,
    "feel": FIELDS["feel"].read,
    "swing_ratio": FIELDS["swing_ratio"].read,
    "meter": _meter,
    "tempo": _tempo,
    "intensity": _lifted(_intensity, ()),
    "dynamics": directions.dynamics,
    "tacet": directions.tacet,
    "pulse": directions.pulse,
    "turnaround": _lifted(_turnaround, False),
}
_BOTH: dict[str, Callable[[Any], Any]] = _SETTING_FIELDS | {
    "quick_change": _yes_or_no,
    "kicks": directions.figures,
    "stops": directions.figures,
    "pedal": directions.pedal,
    "cue": directions.cues,
    "rit": directions.bars,
    "fermata": directions.fermata,
    "riff": _lifted(_title, ""),
}
SECTION_ONLY: dict[str, Callable[[Any], Any]] = {
    "beat": directions.beat,
    "letter": _title,
    "melody": _lifted(read_melody, None),
    "lyrics": directions.lyrics,
}
SECTION_FIELDS = _BOTH | SECTION_ONLY | {"key": _key}
"""The readers of the fields that a section may have of its own."""

LINE_FIELDS = _BOTH | {
    "key": _line_key,
    "trade": _lifted(_whole(1, 32, "bars"), 0),
    "key_cycle": FIELDS["key_cycle"].read,
    "tempo_step": FIELDS["tempo_step"].read,
}
"""The readers of the fields that a line of the order may have of its own."""

ONE_SECTION_FIELDS: dict[str, Callable[[Any], Any]] = {
    name: read
    for name, read in (_BOTH | SECTION_ONLY).items()
    if name not in _SETTING_FIELDS and name != "quick_change"
} | {"time_bars": _time_bars}
"""The readers of fields that a form has in place of its only section."""

FILE_FIELDS: dict[str, Callable[[Any], Any]] = dict(ONE_SECTION_FIELDS) | {
    "by": lambda value: _title(value),
    "instrument": _instrument,
    "dynamics": directions.dynamics,
    "tacet": directions.tacet,
    "pulse": directions.pulse,
    "pickup": _chords_in_part,
    "riffs": read_riffs,
}
"""The readers of fields that stand in a form file and are no options of the command line."""
