"""Rhythms of written bars: kicks, stops, tied notes of pushed chords, and the bars of an ending."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from groove.form.chart import Bar, Chart, Figure
from groove.handout.chart.bar import WrittenBar
from groove.handout.drawing.staff.rhythm import SHORTEST, Stroke, notes
from groove.rhythm.meter import Meter

RITARDANDO = "rit."


def with_rhythms(
    bars: Sequence[WrittenBar], figures: Sequence[Figure | None], triplets: Sequence[bool]
) -> list[WrittenBar]:
    """The bars with their rhythms.

    figures: of each bar, or None. triplets: whether the eighths of a bar are written even and
    played as two thirds and one third of a beat. A chord that is pushed over the bar line is tied
    from the bar before it, unless a repeat sign stands between them.
    """
    strokes: list[list[Stroke]] = [_figure(figure) for figure in figures]
    tied: list[set[int]] = [set() for _ in bars]
    for index, bar in enumerate(bars):
        free = index > 0 and not bars[index - 1].closes and not bar.opens
        for chord in bar.chords:
            figure = figures[index]
            at = chord.start - chord.early
            if not chord.early or (at < 0 and not free):
                continue
            struck = any(stroke.start == at for stroke in strokes[index])
            if figure and figure.alone and not struck:
                continue
            tied[index].add(chord.start)
            if not struck:
                end = _beat_end(chord.start, bar.meter)
                strokes[index].append(Stroke(at, end - at))
    for index in range(len(bars)):
        early = [stroke for stroke in strokes[index] if stroke.start < 0]
        kept = [stroke for stroke in strokes[index] if stroke.start >= 0]
        for stroke in early:
            kept.append(Stroke(0, stroke.end, tied=True))
            if index and tied[index]:
                line = bars[index - 1].meter.bar_ticks
                strokes[index - 1].append(
                    Stroke(line + stroke.start, -stroke.start, stroke.accent, ties=True)
                )
            else:
                kept[-1] = replace(kept[-1], tied=False, accent=stroke.accent)
        strokes[index] = kept
    return [
        _with_rhythm(bar, figure, played, starts, even)
        for bar, figure, played, starts, even in zip(
            bars, figures, strokes, tied, triplets, strict=True
        )
    ]


def _filled_out(strokes: Sequence[Stroke], meter: Meter) -> list[Stroke]:
    """The strokes, a sixteenth written as long as its beat has room: no rests of sixteenths."""
    ends = [*(stroke.start for stroke in strokes[1:]), meter.bar_ticks][: len(strokes)]
    return [
        replace(stroke, length=min(end, _beat_end(stroke.start, meter)) - stroke.start)
        if stroke.length <= SHORTEST and not stroke.ties and stroke.start < end
        else stroke
        for stroke, end in zip(strokes, ends, strict=True)
    ]


def _figure(figure: Figure | None) -> list[Stroke]:
    """The strokes of a figure, counted from its bar line."""
    if figure is None:
        return []
    return [Stroke(s.start - figure.start, s.length, s.accent) for s in figure.strokes]


def _beat_end(tick: int, meter: Meter) -> int:
    return next(edge for edge in (*meter.beat_starts, meter.bar_ticks) if edge > tick)


def _with_rhythm(
    bar: WrittenBar,
    figure: Figure | None,
    strokes: Sequence[Stroke],
    tied: set[int],
    triplets: bool,
) -> WrittenBar:
    played = sorted(strokes, key=lambda stroke: stroke.start)
    if triplets:
        played = _even(played, bar.meter)
    played = _filled_out(played, bar.meter)
    chords = tuple(replace(chord, tied=chord.start in tied) for chord in bar.chords)
    rests = figure is not None
    if not rests and not played:
        return replace(bar, chords=chords)
    rhythm = notes(played, bar.meter, rests=rests)
    return replace(bar, chords=chords, rhythm=rhythm, stops=rests and bool(figure and figure.alone))


def _even(strokes: Sequence[Stroke], meter: Meter) -> list[Stroke]:
    """Swung eighths as they are written: the second begins at half of the beat.

    Beats that have strokes on other thirds are triplets, and stay.
    """
    beat = meter.beat_ticks
    edges = {tick % beat for stroke in strokes for tick in (stroke.start, stroke.end)}
    if not edges <= {0, beat * 2 // 3}:
        return list(strokes)

    def written(tick: int) -> int:
        return tick - tick % beat + (beat // 2 if tick % beat else 0)

    return [
        replace(s, start=written(s.start), length=written(s.end) - written(s.start))
        for s in strokes
    ]


def ending_bars(
    chart: Chart, write: Callable[[Bar], WrittenBar]
) -> tuple[list[WrittenBar], list[Figure | None]]:
    """The bars that are added to end on, and the figure that is written in each.

    write: writes a bar with its chords. A last bar of one stroke on its first beat has no figure:
    it is written as one that rings or is struck once.
    """
    bars: list[WrittenBar] = []
    figures: list[Figure | None] = []
    slows = chart.tempi.slows_from(chart.ending[0].start) if chart.ending else False
    for place, bar in enumerate(chart.ending):
        is_last = bar is chart.bars[-1]
        figure = shown(bar.figure)
        rest = ""
        if is_last and figure and [s.start for s in figure.strokes] == [bar.start]:
            rest = "ring" if figure.strokes[0].end == bar.end else "hit"
        held = None if bar.held is None or rest else bar.held - bar.start
        written = replace(
            write(bar), number=0, added=True, finish=not place, rest=rest, last=is_last,
            fermata=held, rit=RITARDANDO if slows and not (is_last and rest) else "",
        )  # fmt: skip
        bars.append(written)
        figures.append(None if rest else figure)
    return bars, figures


def shown(figure: Figure | None) -> Figure | None:
    """A figure as it is written: what all strike, else the rhythm of the players of chords."""
    if figure is None or figure.strokes:
        return figure
    strokes = {stroke.start: stroke for stroke in figure.of("comping")}
    return replace(figure, strokes=tuple(strokes.values())) if strokes else None
