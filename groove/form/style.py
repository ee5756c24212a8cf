"""Chooses the patterns, metre, feel and tempo that a form leaves open, and checks the others."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from itertools import pairwise
from typing import Any

from groove import library
from groove.rhythm.meter import METERS, Meter
from groove.rhythm.patterns import (
    READERS,
    DrumPattern,
    Pattern,
    bass_pattern,
    comping_pattern,
    drum_pattern,
)
from groove.rhythm.regroup import in_meter

# The fields of lower layers (the file below the command line) that a field replaces: another
# drum pattern brings its own feel, metre, bass and comping.
REPLACES = {
    "drums": {"meter", "feel", "swing_ratio", "bass", "comping"},
    "meter": {"drums", "feel", "swing_ratio", "bass", "comping"},
    "feel": {"swing_ratio"},
}


def replaced(values: Mapping[str, Any], below: Mapping[str, Any]) -> set[str]:
    """The fields of lower layers, ``below``, that ``values`` replace."""
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


def complete(values: Mapping[str, Any], inherited: Collection[str] = ()) -> dict[str, Any]:
    """The metre, the feel and the patterns: those given, the others chosen to fit them.

    inherited: those of bass and comping that are given for the whole form; where one does not fit
    it gives way to the drum pattern's own. Raises StyleError if given ones do not fit each other.
    """
    meter, feel, ratio = (values.get(name) for name in ("meter", "feel", "swing_ratio"))
    asked = "feel"
    if feel is None and ratio not in (None, 1.0):
        feel, asked = "swing", "swing_ratio"
    drums = drum_pattern(values["drums"]) if "drums" in values else None
    of = f"{drums.name} in " if drums and not meter else ""
    meter = meter or (drums.grid.meter if drums else METERS["4/4"])
    if drums and meter == METERS[str(meter)] and str(drums.grid.meter) == str(meter):
        meter = drums.grid.meter  # its groups, where the form says none of its own
    if meter.is_compound and feel not in (None, "straight"):
        raise StyleError(
            asked,
            f"{feel} does not go with {of}{meter}, whose beats are triplets already; leave it out",
        )
    drums = drums or drum_pattern(_default_drums(meter, feel))
    feel = feel or drums.grid.feel
    if ratio == 1.0 and drums.grid.is_triplet:
        raise StyleError(
            "swing_ratio",
            f"{drums.name} is written in triplets and can't be straight; a ratio over 1 is allowed",
        )
    _check_fits("drums", drums, meter, feel, values.get("feel"))
    names = {"bass": (drums.bass,), "comping": (drums.comping,)}
    if values.get("bass"):
        names["bass"] = (values["bass"],)
    if values.get("comping"):
        names["comping"] = tuple(values["comping"])
    for kind, fallback in (("bass", drums.bass), ("comping", drums.comping)):
        try:
            for name in names[kind]:
                _check_fits(kind, READERS[kind](name), meter, feel, feel)
        except StyleError:
            if kind not in inherited:
                raise
            names[kind] = (fallback,)
    comping = tuple(in_meter(comping_pattern(name), meter) for name in names["comping"])
    if len({pattern.voicing for pattern in comping}) < len(comping):
        raise StyleError(
            "comping",
            f"{' and '.join(names['comping'])} are both {comping[0].voicing}; one guitar and one "
            "keyboard are allowed",
        )
    return {
        "meter": meter,
        "feel": feel,
        "drums": in_meter(drums, meter),
        "bass": in_meter(bass_pattern(names["bass"][0]), meter),
        "comping": comping,
    }


def meter_note(drums: DrumPattern, meter: Meter) -> str | None:
    """A remark if a drum pattern is played in another metre or grouping than its own."""
    written = drum_pattern(drums.name).grid.meter
    if written == meter:
        return None
    if str(written) == str(meter):
        return f"{drums.name} is written in {written.full_name} and played in {meter.full_name}"
    return f"{meter} has no patterns of its own: {drums.name}, written in {written}, is cut to it"


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


def swing_tempo(drums: DrumPattern, tempo: float) -> float:
    """The tempo at which a drum pattern swings: sixteenths go by as eighths do at twice the
    tempo."""
    return tempo * drums.grid.meter.beat_ticks / drums.swing_ticks


def tempo_note(drums: DrumPattern, tempo: float) -> str | None:
    """A remark if a tempo lies outside the range of a drum pattern."""
    low, high = drums.tempo
    if low <= tempo <= high:
        return None
    return f"tempo {tempo:g}: {drums.name} sits well between {low} and {high} beats a minute"


def usual_tempo(drums: DrumPattern) -> int:
    """The middle of the tempo range of a drum pattern, an even number as is written."""
    low, high = drums.tempo
    return (low + high) // 4 * 2


def _default_drums(meter: Meter, feel: str | None) -> str:
    choices: dict[str, str] = library.table("defaults")[_written_as(meter)]
    if feel is None:
        grouped = (name for name in choices.values() if drum_pattern(name).grid.meter == meter)
        return next(grouped, next(iter(choices.values())))
    if feel not in choices:
        fitting = _names_that_fit("drums", meter, feel)
        raise StyleError("feel", f"{feel} in {meter} has no pattern of its own; {fitting}")
    return choices[feel]


def _written_as(meter: Meter) -> str:
    """The metre of the patterns that play in a metre: its own, or one to cut them from."""
    others: dict[str, str] = library.table("defaults")["others"]
    return others.get(str(meter), str(meter))


def _check_fits(
    kind: str, player: Pattern, meter: Meter, feel: str, asked_feel: str | None
) -> None:
    name, grid = player.name, player.grid
    if str(grid.meter) != _written_as(meter):
        fitting = _names_that_fit(kind, meter, asked_feel)
        raise StyleError(kind, f"{name} is in {grid.meter}, and {meter} is played; {fitting}")
    if not grid.takes(feel):
        fitting = _names_that_fit(kind, meter, feel)
        raise StyleError(kind, f"{name} is written in triplets and can't be {feel}; {fitting}")


def _names_that_fit(kind: str, meter: Meter, feel: str | None) -> str:
    grids = {name: READERS[kind](name).grid for name in library.names(kind)}
    fitting = [
        name
        for name, grid in grids.items()
        if str(grid.meter) == _written_as(meter) and (feel is None or grid.takes(feel))
    ]
    return f"these fit: {', '.join(fitting)}" if fitting else "none fits"
