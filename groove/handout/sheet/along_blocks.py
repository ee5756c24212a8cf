"""Thirds and sixths moved along a pair of strings through the chorus: drawn, as text, as data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from groove.handout.drawing.bars_tab import (
    TabColumn,
    bars_height,
    bars_width,
    draw_bars,
    lines_of_bars,
)
from groove.handout.drawing.flow import SMALL, Block, paragraph, row, subheading
from groove.handout.drawing.fretboard import ascent_of
from groove.handout.drawing.page import Mark, Text, fitted
from groove.handout.sheet.fretboards import Cell
from groove.handout.sheet.phrase_text import fenced
from groove.handout.sheet.sheet import Sheet
from groove.instrument.along import Along, PairStop, intervals, moved_along
from groove.instrument.fretboard import Place
from groove.instrument.positions import as_data
from groove.instrument.tablature import tablature
from groove.lesson.chorus_bars import BarStretch, Beat, chorus_bars
from groove.lesson.neck_scales import home_fret
from groove.theory.symbols import signs, symbol
from groove.wording import said

MOST_BARS = 64  # of a chorus; of longer ones the sections that fit are shown
TEXT_BARS = 4  # on a line of text
LINE_GAP, BETWEEN, AIR, LABEL = 2.4, 6.0, 3.0, 3.4  # mm: over a line, beside it, in a bar; a name


@dataclass(frozen=True, slots=True)
class AlongLine:
    """A double stop moved through some stretches; each beat with its stop."""

    along: Along
    stretches: tuple[tuple[str, tuple[tuple[Beat, PairStop | None], ...]], ...]

    @property
    def strings(self) -> tuple[int, ...]:
        """The strings from the one of the pair that is nearer to string 1 to the other."""
        first, last = sorted(self.along.strings)
        return tuple(range(first, last + 1))


def along_lines(sheet: Sheet) -> list[AlongLine]:
    """A line of sixths, or low down of tenths, and one of thirds."""
    if sheet.tuning is None:
        return []
    stretches = _shown(chorus_bars(sheet.guide))
    beats = [beat for stretch in stretches for beat in stretch.beats]
    home = home_fret(sheet.guide, sheet.tuning)
    lines = []
    for interval in intervals(sheet.tuning):
        along = moved_along(sheet.tuning, [beat.chord for beat in beats], interval, home)
        if along:
            stops = iter(along.stops)
            lines.append(
                AlongLine(
                    along,
                    tuple(
                        (s.name, tuple((beat, next(stops)) for beat in s.beats)) for s in stretches
                    ),
                )
            )
    return lines


def _shown(stretches: Sequence[BarStretch]) -> list[BarStretch]:
    """The first stretches that have not too many bars, at least one."""
    shown: list[BarStretch] = []
    bars = 0
    for stretch in stretches:
        bars += stretch.beats[-1].bar + 1
        if shown and bars > MOST_BARS:
            break
        shown.append(stretch)
    return shown


def along_blocks(sheet: Sheet, width: float) -> list[Block]:
    """Both lines in bars, chord symbols above, the steps of both notes below."""
    blocks: list[Block] = []
    for line in along_lines(sheet):
        blocks.append(subheading(_title(line), width, gap=3.5))
        if len(blocks) == 1:
            blocks.append(paragraph(said("neck", "along.intro"), width, keep=True))
        if not line.stretches[0][0]:
            blocks += _whole(sheet, line, line.stretches[0][1], width)
            continue
        cells = [
            cell
            for name, beats in line.stretches
            for cell in _named(sheet, line, name, beats, width)
        ]
        blocks += row(cells, width, between=BETWEEN, gap=LINE_GAP)
    return blocks


def _bars(beats: Sequence[tuple[Beat, PairStop | None]]) -> list[list[TabColumn]]:
    return [
        [_column(beat, stop) for beat, stop in bar]
        for _, bar in groupby(beats, key=lambda pair: pair[0].bar)
    ]


def _whole(
    sheet: Sheet, line: AlongLine, beats: Sequence[tuple[Beat, PairStop | None]], width: float
) -> list[Block]:
    """The chorus in lines as wide as the page."""
    tuning = sheet.tuning
    assert tuning is not None  # or there would be no lines
    lines = lines_of_bars(tuning, line.strings, _bars(beats), width)
    most = max(map(len, lines))
    blocks = []
    for bars in lines:

        def draw(x: float, y: float, bars: Sequence[Sequence[TabColumn]] = bars) -> list[Mark]:
            return list(draw_bars(tuning, line.strings, bars, x=x, y=y, width=width, most=most))

        blocks.append(Block(bars_height(line.strings), draw, _spoken(bars), gap=LINE_GAP))
    return blocks


def _named(
    sheet: Sheet,
    line: AlongLine,
    name: str,
    beats: Sequence[tuple[Beat, PairStop | None]],
    width: float,
) -> list[Cell]:
    """A section under its name, each line as wide as its bars ask, so that short ones stand side
    by side."""
    tuning = sheet.tuning
    assert tuning is not None  # or there would be no lines
    cells: list[Cell] = []
    for number, bars in enumerate(lines_of_bars(tuning, line.strings, _bars(beats), width)):
        wide = min(bars_width(tuning, line.strings, bars) + AIR * len(bars), width)
        label = fitted("" if number else name, wide, SMALL, "italic")

        def draw(
            x: float,
            y: float,
            bars: Sequence[Sequence[TabColumn]] = bars,
            wide: float = wide,
            label: str = label,
        ) -> list[Mark]:
            top = y + LABEL
            marks = draw_bars(tuning, line.strings, bars, x=x, y=top, width=wide, most=len(bars))
            words = [Text(x, y + ascent_of(SMALL), label, SMALL, "italic")] if label else []
            return [*words, *marks]

        high = LABEL + bars_height(line.strings)
        cells.append((wide, high, draw, f"{label} {_spoken(bars)}".strip()))
    return cells


def _column(beat: Beat, stop: PairStop | None) -> TabColumn:
    shown = symbol(beat.chord) if beat.new else None
    return TabColumn(_places(stop), shown, _steps(stop))


def _places(stop: PairStop | None) -> tuple[Place, ...]:
    return tuple(Place(dot.string, dot.fret) for dot in (stop.lower, stop.upper)) if stop else ()


def _steps(stop: PairStop | None) -> str:
    """``3–5``: the steps of both notes in the chord, the lower first."""
    return f"{signs(stop.lower.degree)}–{signs(stop.upper.degree)}" if stop else ""


def _spoken(row: Sequence[Sequence[TabColumn]]) -> str:
    return "; ".join(
        f"{column.symbol or ''} {' '.join(str(place.fret) for place in column.places)}".strip()
        for bar in row
        for column in bar
    )


def _title(line: AlongLine) -> str:
    low, high = line.along.strings
    return said("neck", f"along.{line.along.interval}", low=low, high=high)


def along_text(sheet: Sheet) -> list[list[str]]:
    """The same as text, four bars a line: over each bar its chord, below the steps."""
    tuning = sheet.tuning
    parts: list[list[str]] = []
    for line in along_lines(sheet):
        assert tuning is not None  # or there would be no lines
        parts.append([f"### {_title(line)}"])
        if len(parts) == 1:
            parts[0] += ["", said("neck", "along.intro")]
        for name, beats in line.stretches:
            tabs = []
            for start in range(0, beats[-1][0].bar + 1, TEXT_BARS):
                shown = [pair for pair in beats if start <= pair[0].bar < start + TEXT_BARS]
                over = [
                    str(symbol(beat.chord)) if beat.new else ("" if beat.at else "%")
                    for beat, _ in shown
                ]
                columns = [_places(stop) for _, stop in shown]
                under = [("", [_steps(stop) for _, stop in shown])]
                tabs.append(tablature(tuning, columns, over=over, under=under))
            parts.append([*([f"{name}:", ""] if name else []), *fenced("\n\n".join(tabs))])
    return parts


def along_data(sheet: Sheet) -> list[dict[str, Any]] | None:
    """The same for JSON; None without strings."""
    if sheet.tuning is None:
        return None
    return [
        {
            "interval": line.along.interval,
            "strings": list(line.along.strings),
            "sections": [
                {
                    "name": name,
                    "stops": [
                        {
                            "bar": beat.bar + 1,
                            "at": float(beat.at),
                            "chord": str(beat.chord),
                            "lower": as_data(stop.lower),
                            "upper": as_data(stop.upper),
                        }
                        for beat, stop in beats
                        if stop
                    ],
                }
                for name, beats in line.stretches
            ],
        }
        for line in along_lines(sheet)
    ]
