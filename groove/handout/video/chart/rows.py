"""Rows of the chart in a video: as many bars on each as its chords have room for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from groove.handout.chart.bar import NO_CHANGE, WrittenBar
from groove.handout.chart.below import below_room
from groove.handout.chart.cells import BarCell, Measures, cells
from groove.handout.chart.line import line_height
from groove.handout.chart.written import with_similes
from groove.handout.video.chart.bars import Phrase
from groove.rhythm.meter import Meter

CLOSE = 1e-6  # mm


@dataclass(frozen=True, slots=True)
class Piece:
    """A bar in a row, or a part of one. bar: its index in the chart. start: the tick of the bar
    with which it begins."""

    bar: int
    start: int
    written: WrittenBar

    @property
    def end(self) -> int:
        """The tick of the bar with which it ends."""
        return self.start + self.written.meter.bar_ticks


@dataclass(frozen=True)
class Row:
    """A row of the chart. across: how many bars of equal width it has room for. round, top,
    section: as of a Phrase. phrase: whether one begins with it. tight: whether its chords are set
    smaller than the least size."""

    pieces: tuple[Piece, ...]
    across: int
    round: int
    top: bool
    section: bool
    phrase: bool
    tight: bool = False

    @cached_property
    def line(self) -> tuple[WrittenBar, ...]:
        """Its bars as they are drawn."""
        return with_similes([piece.written for piece in self.pieces])

    def sized(self, measures: Measures) -> Measures:
        """The measures for this row."""
        return replace(measures, across=self.across, least=0.0 if self.tight else measures.least)

    def placed(self, measures: Measures) -> tuple[float, list[BarCell]]:
        """The size of its chords in points, and the places of its bars in mm."""
        return cells(self.line, 0.0, self.sized(measures))

    def fits(self, measures: Measures) -> bool:
        """True if its chords have room in the size of the measures or a smaller one that is not
        under the least."""
        _, found = self.placed(measures)
        return found[-1].right <= measures.width + CLOSE

    def above(self, measures: Measures) -> float:
        """The height of the bars and of what stands above them, in mm."""
        sized = self.sized(measures)
        return line_height(self.line, sized) - below_room(self.line, sized)

    def below(self, measures: Measures) -> float:
        """The height of what stands below the bars, in mm."""
        return below_room(self.line, self.sized(measures))


def rows(lines: Sequence[Phrase], measures: Measures, most: int) -> list[Row]:
    """The rows of the lines of a road: half as many bars, or one alone, where the chords of a line
    have no room in the least size; of a bar that has none alone, its parts.

    most: bars of a row. measures: with the least size as their size.
    """
    across = max(len(line.bars) for line in lines)
    found: list[Row] = []
    for line in lines:
        found += _split(line, measures, min(most, across))
    return found


def _split(line: Phrase, measures: Measures, across: int) -> list[Row]:
    """The rows of a line of up to `across` bars each."""
    pieces = [Piece(line.first + n, 0, bar) for n, bar in enumerate(line.bars)]
    while True:
        made = [
            Row(tuple(pieces[at : at + across]), across, line.round, line.top and not at,
                line.section and not at, not at)
            for at in range(0, len(pieces), across)
        ]  # fmt: skip
        if all(row.fits(measures) for row in made):
            return made
        if across == 1:
            break
        across = -(-across // 2)
    return [part for row in made for part in _parts(row, measures)]


def _parts(row: Row, measures: Measures) -> Iterator[Row]:
    """A row of one bar, or its parts where it does not fit: cut where a chord begins near the
    middle. A chord that does not fit alone is set smaller."""
    bar = row.pieces[0].written
    starts = [chord.start for chord in bar.chords if chord.start]
    if row.fits(measures) or not starts:
        yield row if row.fits(measures) else replace(row, tight=True)
        return
    ticks = bar.meter.bar_ticks
    cut = min(starts, key=lambda tick: (tick not in bar.meter.beat_starts, abs(2 * tick - ticks)))
    for start, end in ((0, cut), (cut, ticks)):
        piece = Piece(row.pieces[0].bar, row.pieces[0].start + start, _part(bar, start, end))
        tops = (flag and not start for flag in (row.top, row.section, row.phrase))
        yield from _parts(Row((piece,), 1, row.round, *tops), measures)


@dataclass(frozen=True)
class PartOfBar(Meter):
    """The metre of a part of a bar. ticks: its length. beats_at: the felt beats in it, in ticks
    from where it begins."""

    ticks: int
    beats_at: tuple[int, ...]

    @cached_property
    def bar_ticks(self) -> int:
        """The ticks of the part."""
        return self.ticks

    @cached_property
    def beat_starts(self) -> tuple[int, ...]:
        """The starts of the felt beats in the part."""
        return self.beats_at


def _part(bar: WrittenBar, start: int, end: int) -> WrittenBar:
    """The part of a bar between two of its ticks."""
    whole = bar.meter
    beats = tuple(beat - start for beat in whole.beat_starts if start <= beat < end)
    meter = PartOfBar(whole.numerator, whole.denominator, whole.groups, end - start, beats)
    chords = tuple(
        replace(chord, start=chord.start - start, tied=False)
        for chord in bar.chords
        if start <= chord.start < end
    )
    held = None
    if bar.fermata is not None and start <= bar.fermata < end:
        held = bar.fermata - start
    continues, continued = bar.continues or end < bar.meter.bar_ticks, bar.continued or start > 0
    kept = replace(
        bar, chords=chords, meter=meter, rhythm=(), stops=False, fermata=held, continues=continues,
        continued=continued,
    )  # fmt: skip
    if continues:
        kept = replace(kept, last=False, ends_section=False)
    if continued:
        kept = replace(kept, section="", letter="", finish=False, words=(), change=NO_CHANGE)
    return kept
