"""Directions to the band that sections and lines may have: kicks, stops, tacet, dynamics, cues.

Each reader takes the value as TOML gives it and returns the checked value, or raises ValueError
with what was found and what is allowed. Bars are counted from 1.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from groove.errors import nearest, quoted
from groove.form.intensity import Stretch
from groove.theory.pitch import NoteName

GUITAR, KEYS = "guitar", "keys"
TACET = ("drums", "bass", "comping", GUITAR, KEYS, "percussion", "riff", "melody", "solo")
DYNAMICS = {"pp": -3.0, "p": -2.0, "mp": -1.0, "mf": 0.0, "f": 1.0, "ff": 2.0}
"""Steps of loudness from mf."""
NOTE_VALUES = {"sixteenth": 240, "eighth": 480, "quarter": 960, "half": 1920, "whole": 3840}
PULSES = ("half", "double")
MOST_BARS = 1000
_BARS = re.compile(r"(\d{1,4})(?:-(\d{1,4}))?")
_FIGURE = re.compile(r"[xX.\-]+")
_AT = re.compile(r"(\d{1,4})(?:\.(\d{1,2}))?")

_Value = TypeVar("_Value")


@dataclass(frozen=True, slots=True)
class AtBars:
    """A direction for some bars, counted from 1, both included; None for all of them."""

    bars: tuple[int, int] | None
    value: Any

    def holds(self, bar: int) -> bool:
        """True if the direction holds in a bar."""
        return self.bars is None or self.bars[0] <= bar <= self.bars[1]


Directions = tuple[AtBars, ...]


def at_bar(directions: Directions, bar: int) -> AtBars | None:
    """The direction that holds in a bar, the last of several."""
    return next((found for found in reversed(directions) if found.holds(bar)), None)


def bars_named(text: str) -> tuple[int, int]:
    """The bars that ``6`` or ``1-4`` names."""
    match = _BARS.fullmatch(text.strip())
    first = int(match[1]) if match else 0
    last = int(match[2]) if match and match[2] else first
    if not 1 <= first <= last <= MOST_BARS:
        raise ValueError(f"found bars {quoted(text)}; write 6 or 1-4, counted from 1")
    return first, last


def by_bars(value: Any, read: Callable[[str], _Value], example: str) -> Directions:
    """Directions by bar from a table, or one for all bars from a text; ``false`` is none."""
    if value is False or value == "none":
        return ()
    if isinstance(value, str):
        return (AtBars(None, read(value)),)
    if not isinstance(value, Mapping) or not value:
        raise ValueError(f"found {quoted(value)}; write it by bar, as in {example}, or false")
    found = []
    for bars, text in value.items():
        if not isinstance(text, str):
            raise ValueError(f"bar {bars}: found {quoted(text)}; write text, as in {example}")
        try:
            found.append(AtBars(bars_named(bars), read(text)))
        except ValueError as error:
            raise ValueError(f"bar {bars}: {error}") from None
    return tuple(found)


def figures(value: Any) -> Directions:
    """Kicks or stops: the box notation of one bar or several, by bar."""
    return by_bars(value, _figure, 'kicks.6 = "x..x ..x."')


def _figure(text: str) -> tuple[str, ...]:
    bars = tuple(bar.replace(" ", "") for bar in text.strip().strip("|").split("|"))
    for bar in bars:
        if not _FIGURE.fullmatch(bar) or bar[0] == "-":
            raise ValueError(
                f'found {quoted(text)}; write x, X (accent), - (holds) and ., as in "x..x ..x."'
            )
    return bars


def cues(value: Any) -> Directions:
    """Words over the bars; a text alone stands at the first bar."""
    found = by_bars(value, _words, 'cue = { 1 = "drums and bass", 5 = "all in" }')
    return tuple(AtBars((1, 1), at.value) if at.bars is None else at for at in found)


def _words(text: str) -> str:
    words = text.strip()
    if not words or not words.isprintable() or len(words) > 120:
        raise ValueError(f"found {quoted(text)}; one line of 1 to 120 characters")
    return words


def pedal(value: Any) -> Directions:
    """The note that the bass holds, by bar or throughout."""

    def read(text: str) -> NoteName:
        try:
            return NoteName.parse(text.strip())
        except ValueError:
            raise ValueError(f'found {quoted(text)}; write a note, as in pedal = "C"') from None

    return by_bars(value, read, 'pedal = { 1-4 = "C" }')


def tacet(value: Any) -> Directions:
    """The silent players: ``"drums, bass"``, ``"all but bass"`` or ``{ comping = "1-4" }``."""
    if value is False or value == "none":
        return ()
    if isinstance(value, str):
        return (AtBars(None, players(value)),)
    if not isinstance(value, Mapping) or not value:
        raise ValueError(
            f'found {quoted(value)}; write "drums, bass", "all but bass" or {{ comping = "1-4" }}'
        )
    found = []
    for name, bars in value.items():
        who = players(name)
        if bars is True:
            found.append(AtBars(None, who))
        else:
            found += [AtBars(bars_named(part), who) for part in str(bars).split(",")]
    return tuple(found)


def players(text: str) -> frozenset[str]:
    """The players that a text names; ``comping`` is guitar and keys."""
    plain = text.strip().lower()
    if plain == "all":
        return frozenset(TACET)
    but = plain.startswith("all but ")
    words = [word.strip() for word in plain.removeprefix("all but ").split(",")]
    for word in words:
        if word not in TACET:
            raise ValueError(f"found {quoted(word)}; {nearest(word, TACET)}")
    named = set(words)
    if "comping" in named:
        named |= {GUITAR, KEYS}
    if but:
        named = set(TACET) - named
        if {GUITAR, KEYS} - named:
            named.discard("comping")
    return frozenset(named)


def dynamics(value: Any) -> tuple[Stretch, ...]:
    """How loud: ``"mf"``, ``"p-f"``, ``"mf:8 f:4"``; none where it is lifted."""
    if value is False or value == "none":
        return ()
    signs = ", ".join(DYNAMICS)
    if not isinstance(value, str) or not value.strip():
        raise ValueError(f'found {quoted(value)}; there are: {signs}, and "mp-f" grows')
    stretches = []
    for word in value.split():
        levels, colon, bars = word.partition(":")
        ends = levels.split("-")
        wrong = next((sign for sign in ends if sign not in DYNAMICS), None)
        if wrong is not None or len(ends) > 2:
            raise ValueError(f'found {quoted(word)}; there are: {signs}, and "mp-f" grows')
        if colon and not (bars.isdigit() and 0 < int(bars) <= MOST_BARS):
            raise ValueError(f'found {quoted(word)}; a whole number of bars, as in "mf:8"')
        first, last = DYNAMICS[ends[0]], DYNAMICS[ends[-1]]
        stretches.append(Stretch(first, last, int(bars) if colon else None))
    return tuple(stretches)


def pulse(value: Any) -> str:
    """``half`` or ``double``: at which rate the patterns go; empty where it is lifted."""
    if value is False or value == "none":
        return ""
    if value not in PULSES:
        raise ValueError(f"found {quoted(value)}; there are: {', '.join(PULSES)}, none")
    return str(value)


def fermata(value: Any) -> tuple[int, int] | None:
    """The bar of a fermata, and its beat, 0 for the last chord: ``12``, ``"12.3"``."""
    if value is False or value == "none":
        return None
    match = _AT.fullmatch(str(value)) if not isinstance(value, bool) else None
    if not match or not int(match[1]):
        raise ValueError(f'found {quoted(value)}; write its bar, 12, or bar and beat, "12.3"')
    return int(match[1]), int(match[2] or 0)


def bars(value: Any) -> int:
    """A whole number of bars; 0 where it is lifted."""
    if value is False or value == "none":
        return 0
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= MOST_BARS:
        raise ValueError(f"found {quoted(value)}; a whole number of bars is allowed")
    return value


def beat(value: Any) -> tuple[int, int]:
    """The old and the new note value of ``"quarter = dotted quarter"``, in ticks; ``"beat = beat"``
    is 0 and 0."""
    sides = [side.strip().lower() for side in str(value).split("=")]
    if sides == ["beat", "beat"]:
        return 0, 0
    ticks = [_note_value(side) for side in sides]
    if len(ticks) != 2 or None in ticks:
        raise ValueError(
            f'found {quoted(value)}; write old = new, as in "eighth = eighth", "quarter = dotted '
            'quarter" or "beat = beat"'
        )
    return ticks[0] or 0, ticks[1] or 0


def _note_value(text: str) -> int | None:
    dotted = text.startswith("dotted ")
    ticks = NOTE_VALUES.get(text.removeprefix("dotted "))
    return ticks * 3 // 2 if ticks and dotted else ticks


def lyrics(value: Any) -> tuple[str, ...]:
    """The words of each time, one text or several."""
    texts = [value] if isinstance(value, str) else value
    if not isinstance(texts, list) or not texts or not all(isinstance(t, str) for t in texts):
        raise ValueError(f"found {quoted(value)}; write a text, or one for each time in [ ]")
    return tuple(" ".join(text.split()) for text in texts)
