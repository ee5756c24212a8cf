"""Directions laid out on the road: figures, fermatas, who is silent, cues, trading."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from groove.form.chart import NOBODY, Bar, Figure, FigureStroke, Round, Slot
from groove.form.model import Form, Line, Own
from groove.form.road.directions import at_bar
from groove.rhythm.meter import Meter

EVERYBODY_ELSE = frozenset(
    ("bass", "comping", "guitar", "keys", "percussion", "riff", "melody", "solo")
)


def directed(
    form: Form, bars: list[Bar], rounds: Sequence[Round], sounding: Sequence[Slot]
) -> tuple[list[Bar], tuple[Figure, ...]]:
    """The bars with the directions that hold in them, and all figures in order."""
    plain = not form.order and not form.own.fields and form.ending != "written"
    if plain and not any(section.own.fields for section in form.sections):
        return bars, ()
    bars = list(bars)
    lines = form.lines
    pushed = {slot.written_start: slot.start for slot in sounding if slot.early}
    found: list[Bar] = []
    figures: list[Figure] = []
    trading: dict[int, int] = {}
    for time in rounds:
        line = lines[time.line]
        for played in time.passes:
            play = line.plays[played.place]
            for index in range(played.first, played.last):
                bar = bars[index]
                new = _directed_bar(
                    form, line, play.section.own, bar, play.first + bar.in_section, time,
                    trading.get(time.line, 0), pushed,
                )  # fmt: skip
                trading[time.line] = trading.get(time.line, 0) + 1
                found.append(new)
                if new.figure:
                    figures.append(new.figure)
    found += bars[len(found) :]
    found, held = _with_fermatas(found, rounds, lines)
    found = _set_up(found)
    if form.ending == "written":
        last = found[-1]
        found[-1] = replace(last, turn="")
        if last.figure is None and last.held is None:
            held.append(_held(last, last.slots[-1].start))
    return found, _in_order(figures, held)


def _in_order(figures: list[Figure], held: list[Figure]) -> tuple[Figure, ...]:
    """All figures in order, those of a bar ended where a fermata begins."""
    starts = [figure.start for figure in held]
    kept = list(held)
    for figure in figures:
        place = bisect_right(starts, figure.end - 1) - 1
        end = held[place].start if place >= 0 else 0
        if figure.start <= end < figure.end:
            strokes = tuple(stroke for stroke in figure.strokes if stroke.start < end)
            figure = replace(figure, end=end, strokes=strokes)
        if figure.start < figure.end:
            kept.append(figure)
    return tuple(sorted(kept, key=lambda figure: figure.start))


def _directed_bar(
    form: Form, line: Line, own: Own, bar: Bar, written: int, time: Round, traded: int,
    pushed: dict[int, int],
) -> Bar:  # fmt: skip
    """A bar with the directions that hold in it, its figure among them.

    written: the bar of the section as it stands in the file, from 1. traded: bars of the line that
    have gone by.
    """
    out: frozenset[str] = NOBODY
    for layer, number in ((form.own, bar.road), (own, written), (line.own, bar.number)):
        if "tacet" in layer:
            here = [at.value for at in layer.get("tacet") if at.holds(number)]
            out = frozenset().union(*here)
    if {pattern.voicing for pattern in bar.comping} <= out:
        out |= {"comping"}  # the only player of chords, by the name of the instrument
    trade = line.own.get("trade", 0)
    alone = bool(trade) and traded // trade % 2 == 1
    words = [
        at.value
        for layer, number in ((own, written), (line.own, bar.number))
        for at in layer.get("cue", ())
        if at.bars == (number, number) and (layer is not line.own or time.time == 0)
    ]
    figure = None
    kinds = {}
    for field in ("kicks", "stops"):
        found = None
        for layer, number in ((own, written), (line.own, bar.number)):
            if field in layer:
                held = at_bar(layer.get(field), number)
                if held or not layer.get(field):
                    found = (held, number) if held else None
        kinds[field] = found
    if not alone:
        for field, found in kinds.items():
            if found:
                held, number = found
                first = held.bars[0] if held.bars else 1
                text = held.value[(number - first) % len(held.value)]
                figure = _figure(text, bar, field == "stops", pushed)
    return replace(
        bar, figure=figure, out=out | EVERYBODY_ELSE if alone else out, drums_alone=alone,
        words=tuple(words),
    )  # fmt: skip


def figure_units(meter: Meter) -> int:
    """The number of characters that a bar of a figure has, or a multiple of it."""
    return meter.numerator if meter.is_uneven or meter.is_compound else meter.beats


def _figure(text: str, bar: Bar, alone: bool, pushed: dict[int, int]) -> Figure:
    """The strokes of a bar of box notation; one on a pushed chord is the push.

    Where the drums are written in triplets the half of a beat is written at two thirds.
    """
    meter = bar.meter
    units = figure_units(meter)
    if len(text) % units or bar.length % len(text):
        raise ValueError(
            f"bar {bar.in_section} of {bar.section}: {text!r} has {len(text)} characters for a bar "
            f"of {meter}; a multiple of {units} is allowed"
        )
    line = bar.length // len(text)
    beat = bar.meter.beat_ticks
    triplets = bar.drums.grid.is_triplet and (beat // line) % 3 != 0
    strokes = []
    for index, mark in enumerate(text):
        if mark not in "xX":
            continue
        lines = 1
        while index + lines < len(text) and text[index + lines] == "-":
            lines += 1
        place, end = (_tick(n * line, beat, triplets) for n in (index, index + lines))
        start = bar.start + place
        early = pushed.get(start, start)
        strokes.append(FigureStroke(early, bar.start + end - early, mark == "X"))
    return Figure(bar.start, bar.end, tuple(strokes), alone)


def _tick(tick: int, beat: int, triplets: bool) -> int:
    """A tick of the bar; with triplets the half of a beat lies at two thirds."""
    whole, part = divmod(tick, beat)
    if triplets and part:
        part = part * 4 // 3 if 2 * part <= beat else beat * 2 // 3 + (2 * part - beat) // 3
    return whole * beat + part


def _with_fermatas(
    bars: list[Bar], rounds: Sequence[Round], lines: Sequence[Line]
) -> tuple[list[Bar], list[Figure]]:  # fmt: skip
    """The bars with the fermatas that hold a chord, and these as figures."""
    figures: list[Figure] = []
    found = list(bars)
    for time in rounds:
        line = lines[time.line]
        places: list[tuple[int, int]] = []  # index of the bar, beat
        for played in time.passes:
            play = line.plays[played.place]
            said = play.section.own.get("fermata")
            if said and play.first < said[0] <= play.last and "fermata" not in line.own:
                places.append((played.first + said[0] - 1 - play.first, said[1]))
        said = line.own.get("fermata")
        if said and time.time == line.times - 1 and said[0] <= line.bars:
            places.append((time.first + said[0] - 1, said[1]))
        for index, beat in places:
            bar = found[index]
            start = bar.slots[-1].start
            if beat:
                start = bar.start + bar.meter.beat_starts[min(beat, bar.meter.beats) - 1]
            found[index] = replace(bar, held=start)
            figures.append(_held(bar, start))
    return found, sorted(figures, key=lambda figure: figure.start)


def _held(bar: Bar, start: int) -> Figure:
    """One stroke that is held from a tick to the end of a bar."""
    return Figure(start, bar.end, (FigureStroke(start, bar.end - start, True),), True)


def _set_up(bars: list[Bar]) -> list[Bar]:
    """The bars, one before kicks with a turn of its own, so that the drummer sets them up."""
    return [
        replace(bar, turn="phrase")
        if after.figure and not after.figure.alone and not bar.figure and not bar.turn
        else bar
        for bar, after in pairwise(bars)
    ] + bars[-1:]
