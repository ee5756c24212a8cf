"""The course of the tempo along the road: each bar's, ritardandi and fermatas.

The figures are data, ``patterns/touch/tempo.toml``, which names their source.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from groove import library
from groove.form.chart import Bar, Round
from groove.form.model import Line
from groove.rhythm.meter import TICKS_PER_QUARTER, TempoMap

STEP = TICKS_PER_QUARTER // 2  # a new tempo each eighth


def tempo_course(
    bars: Sequence[Bar],
    rounds: Sequence[Round],
    lines: Sequence[Line],
    ending: tuple[int, int, float] | None = None,
) -> TempoMap:
    """The tempi of all bars, those of ritardandi by eighths.

    ending: the ticks between which the ending slows down, and the share of the tempo that is left.
    """
    first = bars[0].setting
    changes = [(0, first.tempo, first.meter.beat_ticks)]
    slowed = _slowed(rounds, lines, bars)
    if ending:
        slowed |= {bar.start: ending for bar in bars[rounds[-1].last :]}
    for bar in bars:
        beat = bar.meter.beat_ticks
        for tick, tempo in _tempi(bar, slowed.get(bar.start)):
            _, last, last_beat = changes[-1]
            if abs(tempo * beat - last * last_beat) > 1e-9 * last * last_beat:
                changes.append((tick, tempo, beat))
    return TempoMap(tuple(changes))


def _tempi(bar: Bar, slowed: tuple[int, int, float] | None) -> list[tuple[int, float]]:
    """The tempi in a bar; slowed: the ritardando's bounds in ticks, and the
    share of the tempo at its end."""
    tempo = bar.setting.tempo
    tempi = [(bar.start, tempo)]
    if slowed:
        start, end, left = slowed
        tempi = [
            (tick, tempo * _curve((tick + STEP - start) / (end - start), left))
            for tick in range(bar.start, bar.end, STEP)
        ]
    if bar.held is not None:
        before = [(tick, at) for tick, at in tempi if tick < bar.held]
        last = max(
            (at for tick, at in tempi if tick <= bar.held), default=tempo, key=lambda at: -at
        )
        tempi = [*before, (bar.held, last / _figures()["fermata"]["held"])]
    return tempi


def _curve(part: float, left: float) -> float:
    """The share of the tempo after a part, 0 to 1, of a ritardando; left: that at its end."""
    power: float = _figures()["ritardando"]["curve"]
    return float((1 + (left**power - 1) * min(1.0, part)) ** (1 / power))


def _figures() -> dict[str, Any]:
    return library.load("touch", "tempo")


def _slowed(
    rounds: Sequence[Round], lines: Sequence[Line], bars: Sequence[Bar]
) -> dict[int, tuple[int, int, float]]:
    """The start of each bar that gets slower, the bounds of the ritardando, and the share of the
    tempo at its end."""
    found: dict[int, tuple[int, int, float]] = {}
    left: float = _figures()["ritardando"]["slowed_to"]

    def slow(first: int, last: int) -> None:
        for bar in bars[first:last]:
            found[bar.start] = bars[first].start, bars[last - 1].end, left

    for time in rounds:
        line = lines[time.line]
        for played in time.passes:
            size = played.section.own.get("rit", 0)
            if size and "rit" not in line.own:
                slow(max(played.first, played.last - size), played.last)
        size = line.own.get("rit", 0)
        if size and time.time == line.times - 1:
            slow(max(time.first, time.last - size), time.last)
    return found
