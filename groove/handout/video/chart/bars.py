"""The bars of the road as they are played, written out: no repeat signs, no bar numbers."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from groove.form.chart import Bar, Chart, Figure, Pass
from groove.form.harmony import form_harmony
from groove.form.road.fold_words import feel_name, pulse_words
from groove.handout.chart.arranged import with_changes, written_bar
from groove.handout.chart.bar import Change, WrittenBar
from groove.handout.chart.figures import RITARDANDO, ending_bars, with_rhythms
from groove.wording import said

PHRASE = 4
"""Bars of a line of the chart."""


DETAILS = ("ending", "words", "pushes", "feel", "figures")
"""The marks beside the chords, from what is left away first where there is no room: kicks and stops
of an added ending; cues and ritardandi; tied notes at chords that come early, which have a sign
without them; names of grooves, tempo and key where they change; kicks and stops, for which a word
stands without them. A new metre, names of sections and fermatas always stand there."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """A line of up to four bars of the road.

    first: its first bar in the chart. top: whether a time round begins with it. section: whether a
    section does. round: the time round, counted from 0; the bars of an added ending are one more.
    """

    first: int
    bars: tuple[WrittenBar, ...]
    round: int
    top: bool
    section: bool


class Road:
    """The road of a chart, written out."""

    def __init__(self, chart: Chart) -> None:
        self._chart = chart
        self._kind = form_harmony(chart.form).kind
        self._plain = [_written(bar) for bar in chart.bars[: chart.rounds[-1].last]]
        self._mark_sections()
        if not (chart.ending or chart.loops):
            self._plain[-1] = replace(self._plain[-1], last=True)

    def phrases(self, details: Collection[str]) -> list[Phrase]:
        """The lines of the road in order, a section begins a new one. details: those of DETAILS
        that are shown."""
        chart, bars = self._chart, self._bars(details)
        found = []
        for number, time in enumerate(chart.rounds):
            for played in time.passes:
                for first in range(played.first, played.last, PHRASE):
                    line = bars[first : min(first + PHRASE, played.last)]
                    top, section = first == time.first, first == played.first
                    found.append(Phrase(first, tuple(line), number, top, section))
        end = chart.rounds[-1].last
        for first in range(end, len(bars), PHRASE):
            fresh = first == end
            line = bars[first : first + PHRASE]
            found.append(Phrase(first, tuple(line), len(chart.rounds), fresh, fresh))
        return found

    def _mark_sections(self) -> None:
        """Set names of sections at their first bars, and double lines at their ends."""
        chart, bars = self._chart, self._plain
        for played in chart.passes:
            name = _name(chart, played)
            bars[played.first] = replace(bars[played.first], section=name, letter=played.letter)
            if len(chart.passes) > 1:
                last = bars[played.last - 1]
                bars[played.last - 1] = replace(last, ends_section=True)

    def _bars(self, details: Collection[str]) -> list[WrittenBar]:
        """Every bar of the chart as it is written."""
        chart, bars = self._chart, list(self._plain)
        figures = [bar.figure for bar in chart.bars[: len(bars)]]
        if chart.ending:
            finish, struck = ending_bars(chart, _written)
            named = any(bar.section or bar.letter for bar in bars) or "ending" in details
            bars += [replace(bar, rit="", finish=bar.finish and named) for bar in finish]
            figures += struck if "ending" in details else [None] * len(finish)
        if "feel" in details:
            bars = [_with_feel(chart, index, bar) for index, bar in enumerate(bars)]
        bars = with_changes(bars, chart.bars, self._kind)
        if "words" in details:
            bars = _with_words(chart, bars)
        if "feel" not in details:
            bars = [replace(bar, change=Change(meter=bar.change.meter)) for bar in bars]
        if "figures" not in details:
            bars = [_named(bar, figures, index) for index, bar in enumerate(bars)]
        return _with_notes(chart, bars, figures, details)


def _written(bar: Bar) -> WrittenBar:
    held = None if bar.held is None else max(0, bar.held - bar.start)
    return replace(written_bar(bar), number=0, fermata=held, pedal="")


def _name(chart: Chart, played: Pass) -> str:
    """The section's name; where there is but one section, the line's."""
    if len(chart.form.sections) == 1 and played.name and played.time == 0:
        return played.name[:1].upper() + played.name[1:]
    return "" if len(chart.form.sections) == 1 and played.name else played.section.name


def _with_feel(chart: Chart, index: int, bar: WrittenBar) -> WrittenBar:
    """The bar with the name of the groove and its pulse where they are new."""
    if not index:
        return bar
    here, before = chart.bars[index].setting, chart.bars[index - 1].setting
    words = []
    if here.drums.title != before.drums.title and feel_name(here) != feel_name(before):
        words.append(feel_name(here))
    if here.pulse != before.pulse:
        words.append(pulse_words(here.pulse))
    return replace(bar, change=Change(feel=", ".join(words))) if words else bar


def _with_words(chart: Chart, bars: Sequence[WrittenBar]) -> list[WrittenBar]:
    """The bars with cues, ritardandi, and how long the drums play alone."""
    found = []
    for alone, group in groupby(enumerate(bars), key=lambda each: chart.bars[each[0]].drums_alone):
        run = list(group)
        for place, (index, bar) in enumerate(run):
            words = chart.bars[index].words
            if _slows(chart, index) and not (index and _slows(chart, index - 1)):
                words = (*words, RITARDANDO)
            if alone and not place:
                words = (*words, said("road", "players.drums_alone", number=len(run)))
            found.append(replace(bar, words=words))
    return found


def _slows(chart: Chart, index: int) -> bool:
    """True if the tempo falls within a bar."""
    here = chart.bars[index]
    return any(
        here.start < tick < here.end and tick != here.held for tick, _, _ in chart.tempi.changes
    )


def _named(bar: WrittenBar, figures: Sequence[Figure | None], index: int) -> WrittenBar:
    """The bar with the word for kicks or stops where they begin."""
    kinds = [figure and figure.alone for figure in figures[max(0, index - 1) : index + 1]]
    if bar.added or kinds[-1] is None or (index and kinds[0] == kinds[-1]):
        return bar
    word = said("page", f"road.at_bar.{'stops' if kinds[-1] else 'kicks'}")
    return replace(bar, words=(*bar.words, word))


def _with_notes(
    chart: Chart, bars: list[WrittenBar], figures: Sequence[Figure | None], details: Collection[str]
) -> list[WrittenBar]:
    """The bars with kicks and stops, and pushes as tied notes or as signs."""
    triplets = [bar.drums.grid.is_triplet and not bar.meter.is_compound for bar in chart.bars]
    struck = figures if "figures" in details else [None] * len(bars)
    if "pushes" in details:
        return [_held(bar, details) for bar in with_rhythms(bars, struck, triplets)]
    plain = [
        replace(bar, chords=tuple(replace(chord, early=0) for chord in bar.chords)) for bar in bars
    ]
    noted = with_rhythms(plain, struck, triplets)
    return [
        _held(replace(bar, chords=own.chords), details)
        for bar, own in zip(noted, bars, strict=True)
    ]


def _held(bar: WrittenBar, details: Collection[str]) -> WrittenBar:
    """The bar with its fermata beside the chord, where that is the only one and held whole."""
    whole = bar.fermata == 0 or (bar.added and "ending" not in details)
    if bar.fermata is None or bar.rhythm or len(bar.chords) > 1 or not whole:
        return bar
    return replace(bar, fermata=None, rest="ring")
