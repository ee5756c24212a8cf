"""The bars that an ending adds to the road: their chords, figures and ritardando."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from groove.form.chart import NOBODY, Bar, Figure, FigureStroke, Slot, cut
from groove.form.chordline import Span, timed
from groove.form.ending.choice import Landing, version_for
from groove.form.ending.pattern import Ending, Version
from groove.form.written_chords import merged
from groove.rhythm.box_notation import Cell
from groove.rhythm.meter import Meter
from groove.rhythm.patterns import DrumPattern
from groove.theory.chords import Chord
from groove.theory.roman import Numeral

PLAYERS = ("drums", "bass", "comping")
HOME = ("I", "i")


@dataclass(frozen=True, slots=True)
class Added:
    """The bars that an ending adds, with chords at their written places, figures and ritardando.

    slows: the ticks between which the tempo falls, and the share of it that is left; None where it
    doesn't.
    """

    bars: tuple[Bar, ...]
    slots: tuple[Slot, ...]
    figures: tuple[Figure, ...]
    slows: tuple[int, int, float] | None


def added(played: Ending, landing: Landing, last: Bar) -> Added:
    """The bars of an ending after the last bar of the road."""
    version = version_for(played, landing)
    meter, start = landing.setting.meter, last.end
    lines = [start + number * meter.bar_ticks for number in range(len(version.bars) + 1)]
    slots = _slots(version, landing, start)
    figures = [
        _figure(played, version, number, here, landing) for number, here in enumerate(lines[:-1])
    ]
    turns = [
        "phrase" if figure is None and after else ""
        for figure, after in zip(figures, [*figures[1:], None], strict=True)
    ]
    bars = [
        replace(
            last, start=here, length=meter.bar_ticks, number=0, section="", turn=turn, top=False,
            slots=chords, setting=landing.setting, key=landing.key, road=last.road + number,
            in_section=number, pair=last.pair + number, figure=figure,
            held=figure.strokes[-1].start if written.hold and figure else None, out=NOBODY,
            drums_alone=False, words=(),
        )
        for number, (here, chords, figure, written, turn) in enumerate(
            zip(lines[:-1], cut(slots, lines), figures, version.bars, turns, strict=True), 1
        )
    ]  # fmt: skip
    final = figures[-1]
    assert final is not None
    stroke = max(stroke.start for stroke in final.strokes)
    slows = (start, stroke, 1 - played.ritardando / 100) if played.ritardando else None
    return Added(tuple(bars), tuple(slots), tuple(f for f in figures if f), slows)


def _slots(version: Version, landing: Landing, start: int) -> list[Slot]:
    """The chords of an ending from a tick on."""
    meter = landing.setting.meter
    spans = version.spans(landing.kind)
    assert spans
    push = landing.setting.drums.grid.push_ticks
    slots: list[Slot] = []
    for span in timed(spans, meter):
        chord = chord_of(span, landing)
        ticks = int(span.bars * meter.bar_ticks)
        early = push if span.push else 0
        slots.append(
            Slot(start, ticks, chord or slots[-1].chord, early, chord is None, span.root_only)
        )
        start += ticks
    return merged(slots, set())


def chord_of(span: Span, landing: Landing) -> Chord | None:
    """The chord of a span; the one on the tonic is the home chord as the form has it."""
    written = span.written
    chord = span.chord(landing.key, 0)
    if chord and isinstance(written, Numeral) and written.text.partition("/")[0] in HOME:
        return Chord(landing.home.root, landing.home.quality, chord.bass)
    return chord


def _figure(
    played: Ending, version: Version, number: int, start: int, landing: Landing
) -> Figure | None:
    """The figure of a bar in place of the time; None where the band plays on."""
    bar, meter = version.bars[number], landing.setting.meter
    is_last = number + 1 == len(version.bars)
    line = meter.beat_ticks // version.beat
    own = {player: tuple(_strokes(cell, start, line, meter)) for player, cell in bar.own}
    together = _rhythm(_strokes(bar.together, start, line, meter)) if bar.together else ()
    alone = bar.together is not None
    if bar.once or (is_last and bar.is_plain):
        short = is_last and played.last == "hit"
        ticks = meter.beat_ticks // 2 if short else meter.bar_ticks
        together, alone = (FigureStroke(start, ticks, True),), True
        if "drums" in own:
            own["drums"] = _under(own["drums"], together[0])
    elif not alone and set(own) == set(PLAYERS):
        together, alone = _rhythm(own["comping"]), True
    if not alone and not own:
        return None
    if is_last and "drums" not in own:
        own["drums"] = _last_strokes(together, landing.setting.drums)
    return Figure(start, start + meter.bar_ticks, together, alone, tuple(own.items()))


def _under(row: Sequence[FigureStroke], stroke: FigureStroke) -> tuple[FigureStroke, ...]:
    """The drummer's row under a stroke of all, which he strikes along."""
    along = (replace(stroke, row=voice, mark="x") for voice in ("kick", "crash"))
    return (*along, *(s for s in row if s.start > stroke.start))


def _strokes(cell: Cell, start: int, line: int, meter: Meter) -> Iterator[FigureStroke]:
    """The strokes of a row from a bar line on; a row of one beat goes on through the bar."""
    end = start + meter.bar_ticks
    for first in range(start, end, cell.lines * line):
        for stroke in cell.strokes:
            at = first + stroke.line * line
            if at < end:
                length = min(end, at + stroke.lines * line) - at
                yield FigureStroke(
                    at, length, stroke.accent, stroke.row, stroke.mark, stroke.octave
                )


def _rhythm(strokes: Iterable[FigureStroke]) -> tuple[FigureStroke, ...]:
    """The rhythm of some strokes, for each player to strike in his own way."""
    found = {stroke.start: stroke for stroke in strokes}
    return tuple(FigureStroke(s.start, s.length, s.accent) for s in found.values())


def _last_strokes(together: Sequence[FigureStroke], drums: DrumPattern) -> tuple[FigureStroke, ...]:
    """The drummer's strokes in the last bar: those of a figure, the last as the pattern ends."""
    *before, last = together
    strokes = [
        FigureStroke(stroke.start, stroke.length, stroke.accent, row, "x")
        for stroke in before
        for row in ("kick", "crash" if stroke.accent else "snare")
    ]
    line = drums.grid.line_ticks
    strokes += [
        FigureStroke(last.start + s.line * line, s.lines * line, s.accent, s.row, s.mark, s.octave)
        for s in drums.ending.strokes
        if s.line == 0
    ]
    return tuple(strokes)
