"""Which patterns play a form, in what metre, feel and tempo, where the form leaves it open."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Any

from groove import library
from groove.rhythm.meter import METERS, Meter
from groove.rhythm.patterns import Pattern, pattern

# What a value given later (on the command line, say) takes the place of in what was given
# before it: another drum pattern brings its own feel, metre, bass and comping.
REPLACES = {
    "drums": {"meter", "feel", "swing_ratio", "bass", "comping"},
    "meter": {"drums", "feel", "swing_ratio", "bass", "comping"},
    "feel": {"swing_ratio"},
}


def replaced(values: Mapping[str, Any], below: Mapping[str, Any]) -> set[str]:
    """The fields of what was given before that some values take the place of."""
    fields = {field for name in values for field in REPLACES.get(name, ())}
    ratio = values.get("swing_ratio")
    if ratio is not None and (ratio == 1) != (below.get("feel") == "straight"):
        fields.add("feel")  # a ratio and a feel that contradict each other
    return fields


class StyleError(ValueError):
    """Fields that do not go together; ``field`` is the one to change."""

    def __init__(self, field: str, text: str) -> None:
        super().__init__(text)
        self.field = field


def complete(values: dict[str, Any]) -> dict[str, Any]:
    """The style fields, each decided: those given, and the fitting rest.

    Raises StyleError where given ones do not fit each other.
    """
    meter, feel, ratio = (values.get(name) for name in ("meter", "feel", "swing_ratio"))
    asked = "feel"
    if feel is None and ratio not in (None, 1.0):
        feel, asked = "swing", "swing_ratio"
    drums = pattern("drums", values["drums"]) if "drums" in values else None
    of = f"{drums.name} in " if drums and not meter else ""
    meter = meter or (drums.grid.meter if drums else METERS["4/4"])
    if meter.is_compound and feel not in (None, "straight"):
        raise StyleError(
            asked,
            f"{feel} does not go with {of}{meter}, whose beats are triplets already; leave it out",
        )
    drums = drums or pattern("drums", _default_drums(meter, feel))
    feel = feel or drums.grid.feel
    if ratio == 1.0 and drums.grid.is_triplet:
        raise StyleError(
            "swing_ratio",
            f"{drums.name} is written in triplets and can't be straight; a ratio over 1 is allowed",
        )
    _check_fits("drums", drums, meter, feel, values.get("feel"))
    style = {"drums": drums.name, "meter": meter, "feel": feel}
    for kind in ("bass", "comping"):
        player = pattern(kind, values.get(kind, drums.options[kind]))
        _check_fits(kind, player, meter, feel, feel)
        style[kind] = player.name
    return style


def swing_ratio(feel: str, tempo: float) -> float:
    """Long part of the beat to the short one for a feel at a tempo in beats a minute.

    Between the tempi of the table in ``patterns/touch/feel.toml``, which names its sources,
    the ratio is interpolated; outside them the nearest entry holds.
    """
    table: list[tuple[float, float]] = library.load("touch", "feel")[feel]
    if tempo <= table[0][0]:
        return table[0][1]
    for (low, before), (high, after) in pairwise(table):
        if tempo <= high:
            return before + (after - before) * (tempo - low) / (high - low)
    return table[-1][1]


def swing_tempo(drums: str, tempo: float) -> float:
    """The tempo at which a drum pattern swings: sixteenths go by as eighths do at twice the
    tempo."""
    played = pattern("drums", drums)
    return tempo * played.grid.meter.beat_ticks / played.swing_ticks


def tempo_note(drums: str, tempo: float) -> str | None:
    """A remark where a tempo lies outside of what a drum pattern is meant for."""
    low, high = pattern("drums", drums).tempo
    if low <= tempo <= high:
        return None
    return f"tempo {tempo:g}: {drums} sits well between {low} and {high} beats a minute"


def usual_tempo(drums: str) -> int:
    """The middle of the tempi that a drum pattern is meant for, an even number as is written."""
    low, high = pattern("drums", drums).tempo
    return (low + high) // 4 * 2


def usual_ending(drums: str) -> str:
    """How a track ends where the form does not say: ballads ring, others end on a hit."""
    ends: str = pattern("drums", drums).options.get("ends", "hit")
    return ends


def _default_drums(meter: Meter, feel: str | None) -> str:
    choices: dict[str, str] = library.table("defaults")[str(meter)]
    if feel is None:
        return next(iter(choices.values()))
    if feel not in choices:
        fitting = _names_that_fit("drums", meter, feel)
        raise StyleError("feel", f"{feel} in {meter} has no pattern of its own; {fitting}")
    return choices[feel]


def _check_fits(
    kind: str, player: Pattern, meter: Meter, feel: str, asked_feel: str | None
) -> None:
    name, grid = player.name, player.grid
    if grid.meter != meter:
        fitting = _names_that_fit(kind, meter, asked_feel)
        raise StyleError(kind, f"{name} is in {grid.meter}, the form in {meter}; {fitting}")
    if not grid.takes(feel):
        fitting = _names_that_fit(kind, meter, feel)
        raise StyleError(kind, f"{name} is written in triplets and can't be {feel}; {fitting}")


def _names_that_fit(kind: str, meter: Meter, feel: str | None) -> str:
    grids = {name: pattern(kind, name).grid for name in library.names(kind)}
    fitting = [
        name
        for name, grid in grids.items()
        if grid.meter == meter and (feel is None or grid.takes(feel))
    ]
    return f"these fit: {', '.join(fitting)}" if fitting else "none fits"
