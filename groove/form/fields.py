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
from groove.rhythm.meter import SIGNATURES, Meter
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


def _yes_or_no(value: Any) -> bool:
    if not isinstance(value, bool):
        raise ValueError(f"found {quoted(value)}; true or false (without quotes) is allowed")
    return value


def _chords(value: Any) -> tuple[Span, ...]:
    return parse_chords(_text(value, 'write chords in quotes, as in "I7:4 IV7:2 I7:2"'))


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
    check_one_notation(span for section in sections for span in section.spans)
    total = sum(section.bars for section in sections)
    if total > MOST_BARS:
        raise ValueError(f"the sections fill {total} bars; at most {MOST_BARS:,} are allowed")
    return tuple(sections)


def _section(
    place: int, table: Mapping[str, Any], known: Mapping[str, tuple[Span, ...]]
) -> model.Section:
    for field in table:
        if field not in ("name", "chords"):
            hint = nearest(field, ("name", "chords"))
            if field in FIELDS:
                hint = "fields of the whole form stand above the first [[sections]]"
            raise SectionError(place, field, f"unknown field {quoted(field)}; {hint}")
    field = "name"
    try:
        name = _title(table.get(field, ""))
        if "chords" in table:
            field = "chords"
            return model.Section(name, _chords(table[field]))
    except ValueError as error:
        raise SectionError(place, field, str(error)) from None
    if name not in known:
        raise SectionError(
            place, "chords", f"section {name} has no chords, and no section before it has its name"
        )
    return model.Section(name, known[name])


class SectionError(ValueError):
    """A fault in a ``field`` of the section that stands at ``place``, counted from 1."""

    def __init__(self, place: int, field: str, text: str) -> None:
        super().__init__(f"section {place}: {text}")
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
    "ending": Field(_one_of(model.ENDINGS), "ENDING", "hit, ring or loop"),
    "drums": Field(_pattern("drums"), "NAME", "drum pattern"),
    "bass": Field(_pattern("bass"), "NAME", "bass idiom; the drum pattern's own if left out"),
    "comping": Field(
        _pattern("comping"), "NAME", "comping idiom; the drum pattern's own if left out"
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
