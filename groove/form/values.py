"""Readers of values: each takes a value as TOML or the command line gives it.

A reader returns the checked value, or raises ValueError with what was found and what is allowed.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

from groove import library
from groove.errors import nearest, quoted
from groove.form.chordline import Span, parse_chords
from groove.form.intensity import ALLOWED, Stretch, parse_intensity
from groove.rhythm.meter import SIGNATURES, Meter
from groove.theory.keys import Key

LONGEST_TITLE = 120
_NUMBER = re.compile(r"[+-]?\d{1,30}(\.\d{1,30})?")


def read_text(value: Any, what: str) -> str:
    """Text without spaces around it; what: the remedy."""
    if not isinstance(value, str):
        raise ValueError(f"found {quoted(value)}, which is no text; {what}")
    try:  # where the locale is not UTF-8, Python gives other bytes of an argument as escapes
        return value.encode("utf-8", "surrogateescape").decode("utf-8").strip()
    except UnicodeError:
        raise ValueError(f"found {quoted(value)}, which is no text in UTF-8; {what}") from None


def read_title(value: Any) -> str:
    """One line of text."""
    text = read_text(value, 'write a title in quotes, as in "Ferry Landing"')
    if not text or not text.isprintable() or len(text) > LONGEST_TITLE:
        raise ValueError(f"found {quoted(value)}; one line of 1 to {LONGEST_TITLE} characters")
    return text


def read_key(value: Any) -> str:
    """A key, kept as text: a bare tonic takes its mode from the form below."""
    text = read_text(value, 'write a key in quotes, as in "G" or "Gm"')
    try:
        Key.parse(text)
    except ValueError as error:
        try:
            Key.parse(text, "minor")  # a bare tonic takes the mode of the form below it
        except ValueError:
            raise error from None
    return text


def read_number(value: Any, allowed: str) -> float:
    """A number; allowed: the remedy."""
    number = value
    if isinstance(value, str) and _NUMBER.fullmatch(value.strip()):
        number = float(value) if "." in value else int(value)
    endless = isinstance(number, float) and not math.isfinite(number)
    if endless or isinstance(number, bool) or not isinstance(number, int | float):
        raise ValueError(f"found {quoted(value)}, which is no number; {allowed}")
    return number


def number_between(low: float, high: float, unit: str) -> Callable[[Any], float]:
    """A reader of numbers from low to high."""
    allowed = f"{low:g} to {high:g} {unit} are allowed"

    def read(value: Any) -> float:
        number = read_number(value, allowed)
        if not low <= number <= high:
            raise ValueError(f"found {quoted(value)}; {allowed}")
        return float(number)

    return read


def whole_number(low: int, high: int, unit: str) -> Callable[[Any], int]:
    """A reader of whole numbers from low to high."""
    allowed = f"a whole number of {unit} from {low} to {high} is allowed"

    def read(value: Any) -> int:
        number = read_number(value, allowed)
        if not low <= number <= high or number != int(number):
            raise ValueError(f"found {quoted(value)}; {allowed}")
        return int(number)

    return read


def one_of(names: tuple[str, ...]) -> Callable[[Any], str]:
    """A reader of one of some names, in large or small letters."""

    def read(value: Any) -> str:
        text = read_text(value, f"there are: {', '.join(names)}").lower()
        if text not in names:
            raise ValueError(f"found {quoted(value)}; {nearest(text, names)}")
        return text

    return read


def read_meter(value: Any) -> Meter:
    """A metre."""
    text = read_text(value, f"there are: {', '.join(SIGNATURES)}")
    try:
        return Meter.parse(text)
    except ValueError as error:
        raise ValueError(f"found {quoted(value)}; {error}") from None


def pattern_name(kind: str) -> Callable[[Any], str]:
    """A reader of the name of a pattern of a kind."""

    def read(value: Any) -> str:
        return one_of(library.names(kind))(value)

    return read


def read_ending(value: Any) -> str:
    """The name of an ending."""
    return one_of((*library.names("endings"), "loop", "written"))(value)


def pattern_names(kind: str, most: int) -> Callable[[Any], tuple[str, ...]]:
    """A reader of names of a kind with commas between them, at most so many."""

    def read(value: Any) -> tuple[str, ...]:
        names = library.names(kind)
        text = read_text(value, f"there are: {', '.join(names)}")
        found = tuple(one_of(names)(word.strip()) for word in text.split(","))
        if len(found) > most or len(set(found)) < len(found):
            raise ValueError(f"found {quoted(value)}; at most {most}, each once, are allowed")
        return found

    return read


PLAYERS = ("drums", "bass", "comping", "guitar", "keys", "percussion")
"""Those who may play plainly."""


def read_players(value: Any) -> tuple[str, ...]:
    """Names of players with commas between them, or ``all``."""
    text = read_text(value, f"there are: all, {', '.join(PLAYERS)}")
    if text == "all":
        return PLAYERS
    return tuple(dict.fromkeys(one_of(PLAYERS)(word.strip()) for word in text.split(",")))


def or_lifted(read: Callable[[Any], Any], lifted: Any) -> Callable[[Any], Any]:
    """The reader, which takes ``false`` and ``"none"`` as well."""
    return lambda value: lifted if value is False or value == "none" else read(value)


def yes_or_no(value: Any) -> bool:
    """``true`` or ``false``."""
    if not isinstance(value, bool):
        raise ValueError(f"found {quoted(value)}; true or false (without quotes) is allowed")
    return value


def read_chords(value: Any) -> tuple[Span, ...]:
    """Chords that fill whole bars."""
    return parse_chords(read_text(value, 'write chords in quotes, as in "I7:4 IV7:2 I7:2"'))


def read_part_chords(value: Any) -> tuple[Span, ...]:
    """Chords of any length."""
    return parse_chords(read_text(value, 'write chords in quotes, as in "V7:1/4"'), whole=False)


def read_turnaround(value: Any) -> bool | tuple[Span, ...]:
    """Whether there is a turnaround, or its chords."""
    if isinstance(value, bool):
        return value
    if isinstance(value, str) and value.strip().lower() in ("true", "false"):
        return value.strip().lower() == "true"
    allowed = 'true, false or the last chords, as in "I7 V7", are allowed'
    if isinstance(value, str) and value.strip().lower() in ("yes", "no", "on", "off"):
        raise ValueError(f"found {quoted(value)}; {allowed}")
    return parse_chords(read_text(value, allowed))


def read_intensity(value: Any) -> tuple[Stretch, ...]:
    """The course of the intensity."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        value = str(value)
    return parse_intensity(read_text(value, ALLOWED))
