"""Checks of a whole form: its length, turnaround and pickup, and the directions in its bars."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from groove.form import choruses
from groove.form.chart import Chart
from groove.form.model import FASTEST, MOST_MINUTES, SLOWEST, Form, Line, Own
from groove.form.road.directed import figure_units
from groove.form.road.directions import AtBars, at_bar
from groove.form.setting import Settings
from groove.form.style import StyleError
from groove.form.unroll import length, line_tempo, unroll
from groove.form.written_chords import bar_meters, chorus_slots
from groove.rhythm.meter import Meter
from groove.rhythm.note_line import in_bars

BY_BAR = ("kicks", "stops", "pedal", "cue", "tacet")


def check(form: Form, asked: Collection[str]) -> None:
    """Raise StyleError, with the field, where parts of a form do not fit each other.

    asked: the fields that were given.
    """
    if "quick_change" in asked:
        _check_quick_change(form)
    if "turnaround" in asked:
        _check_turnaround(form)
    _check_pickup(form)
    choruses.check(form)
    _check_length(form)
    own = form.own.fields or any(section.own.fields for section in form.sections)
    if form.order or own:
        _check_road(form, "sections" in asked)


def _check_quick_change(form: Form) -> None:
    chorus_slots(replace(form, turnaround=()))


def _check_turnaround(form: Form) -> None:
    total = sum(span.bars for span in form.turnaround)
    if total > 2:
        raise StyleError("turnaround", f"lasts {total} bars; at most the last two are allowed")
    if total >= form.bars:
        raise StyleError(
            "turnaround", f"lasts {total} bars and the form only {form.bars}; leave it out"
        )


def _check_pickup(form: Form) -> None:
    if not form.pickup:
        return
    total = sum(span.bars for span in form.pickup)
    if total >= 1 or not form.count_in:
        found = f"lasts {total} bars" if form.count_in else "sounds under the count-in's end"
        allowed = "less than a bar is allowed" if form.count_in else "leave a bar of count-in"
        raise StyleError("pickup", f"{found}; {allowed}")


def _check_length(form: Form) -> None:
    minutes = length(form) / 60
    if minutes > MOST_MINUTES:
        if form.order:
            raise StyleError(
                "order", f"the road lasts {minutes:.0f} minutes; at most {MOST_MINUTES} are allowed"
            )
        raise StyleError(
            "choruses",
            f"{form.choruses} choruses of {form.bars} bars at {form.tempo:g} last {minutes:.0f} "
            f"minutes; at most {MOST_MINUTES} are allowed",
        )


def _check_road(form: Form, has_sections: bool) -> None:
    """Raise StyleError where a direction does not fit the bars of its section or line, or a loop
    does not close."""
    _check_directions(form, has_sections)
    try:
        chart = unroll(form)
        check_riffs(chart)
        _check_loop(chart)
    except StyleError:
        raise
    except ValueError as error:
        raise StyleError("order", str(error)) from None


def _check_directions(form: Form, has_sections: bool) -> None:
    """Raise StyleError, with the section or line and the field, where a direction doesn't fit."""
    settings = Settings(form)
    for number, section in enumerate(form.sections, 1):
        setting = settings.of(Own(), section.own, form.tempo)
        meters = bar_meters(section.spans, setting.meter)
        for bars in section.time_bars or ((),):
            whole = meters + bar_meters(bars, setting.meter)
            if has_sections:
                _check(f"sections {number} ", f"section {section.name}", section.own, whole)
            else:
                _check("", "the form", section.own, whole)
                _check("", "the form", form.own, whole)
    for number, line in enumerate(form.order, 1):
        _check_line(number, line, form, settings)


def _check_line(number: int, line: Line, form: Form, settings: Settings) -> None:
    meters: list[Meter] = []
    for play in line.plays:
        setting = settings.of(line.own, play.section.own, form.tempo)
        spans = play.section.spans_with(play.ending)
        meters += bar_meters(spans, setting.meter)[play.first : play.last]
    where = f"line {number}" + (f", {line.name}" if line.name else "")
    _check(f"order {number} ", where, line.own, meters)
    _check_ladder(number, where, line, form)
    trade = line.own.get("trade", 0)
    bars = line.times * line.bars
    if trade and (bars % trade or bars < 2 * trade):
        raise StyleError(
            f"order {number} trade",
            f"{where}: {bars} bars can't be traded in {trade}s; a number of bars that {trade} "
            f"divides, {2 * trade} or more, is allowed",
        )


def _check(place: str, where: str, own: Own, meters: Sequence[Meter]) -> None:
    """Check the directions of a section or a line whose bars are in some metres."""
    size = len(meters)
    for field in BY_BAR:
        for at in own.get(field, ()):
            if at.bars and at.bars[1] > size:
                raise StyleError(
                    f"{place}{field}",
                    f"{where} has no bar {at.bars[1]}; it has {size}, and 1 to {size} are allowed",
                )
            if field in ("kicks", "stops"):
                _check_figure(f"{place}{field}", where, at, meters)
    both = [
        bar
        for bar in range(1, size + 1)
        if at_bar(own.get("kicks", ()), bar) and at_bar(own.get("stops", ()), bar)
    ]
    if both:
        raise StyleError(
            f"{place}kicks",
            f"{where}: bar {both[0]} has kicks and stops; one of them is allowed",
        )
    if own.get("rit", 0) > size:
        raise StyleError(f"{place}rit", f"{where}: {own.get('rit')} bars; 1 to {size} are allowed")
    held = own.get("fermata")
    if held and (held[0] > size or held[1] > meters[held[0] - 1].beats):
        beat = f".{held[1]}" if held[1] else ""
        raise StyleError(
            f"{place}fermata",
            f"{where}: bar {held[0]}{beat} is not in it; bars 1 to {size}, and their beats, are "
            "allowed",
        )


def _check_figure(field: str, where: str, at: AtBars, meters: Sequence[Meter]) -> None:
    first, last = at.bars or (1, len(meters))
    for bar in range(first, last + 1):
        text, meter = at.value[(bar - first) % len(at.value)], meters[bar - 1]
        units = figure_units(meter)
        if len(text) % units or meter.bar_ticks % len(text):
            raise StyleError(
                field,
                f"{where}, bar {bar}: {text!r} has {len(text)} characters for a bar of {meter}; "
                f"{units}, {2 * units} and other multiples of {units} are allowed",
            )


def _check_ladder(number: int, where: str, line: Line, form: Form) -> None:
    last = line_tempo(form, line.own) + line.own.get("tempo_step", 0.0) * (line.times - 1)
    if not SLOWEST <= last <= FASTEST:
        field = "tempo_step" if "tempo_step" in line.own else "tempo"
        raise StyleError(
            f"order {number} {field}",
            f"{where}: the tempo gets to {last:g}; {SLOWEST} to {FASTEST} beats a minute are "
            "allowed",
        )


def check_riffs(chart: Chart) -> None:
    """Raise StyleError where a riff does not fill whole bars of a section that it is played in."""
    for played in chart.passes:
        if played.riff:
            try:
                in_bars(played.riff.notes, [chart.usual_meter(played)], around=True)
            except ValueError as error:
                where = f" in section {played.section.name}" if played.section.name else ""
                raise StyleError("riffs", f"{played.riff.name}{where}: {error}") from None


def _check_loop(chart: Chart) -> None:
    """Raise StyleError where a road that is to loop ends in another way than it began."""
    if not chart.loops:
        return
    first, last = chart.bars[0], chart.bars[-1]
    differs = [
        (name, str(a), str(b))
        for name, a, b in (
            ("key", first.key, last.key),
            ("metre", first.meter, last.meter),
            ("tempo", f"{first.setting.tempo:g}", f"{last.setting.tempo:g}"),
            ("feel", first.setting.feel, last.setting.feel),
        )
        if a != b
    ]
    if differs:
        name, a, b = differs[0]
        raise StyleError(
            "ending",
            f"a loop ends as it began, and this road begins in {name} {a} and ends in {b}; choose "
            'hit or ring, or say what is played: --order "A, A, B, A"',
        )
    if last.held is not None or chart.tempi.changes[-1][0] > last.start:
        raise StyleError(
            "ending",
            "a loop can't slow down at its end; choose hit or ring, or say what is played: "
            '--order "A, A, B, A"',
        )
