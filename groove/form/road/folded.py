"""The road as it is written down: strips of bars with repeats, endings, D.S. and coda.

Bars are indices into ``chart.bars``; positions count the written bars of a strip from 0.
"""

from __future__ import annotations

from dataclasses import dataclass

from groove.wording import said


@dataclass(frozen=True, slots=True)
class Ending:
    """Bars under a bracket inside a repeat.

    first, last: positions, the last not included. numbers: the times that it is for, from 1.
    """

    first: int
    last: int
    numbers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Repeat:
    """Bars between repeat signs, those of the endings included.

    first, last: positions, the last not included. times: how often they are played. endings: in
    the order of their numbers, up to the end of the repeat; empty where all times are alike.
    """

    first: int
    last: int
    times: int
    endings: tuple[Ending, ...] = ()


@dataclass(frozen=True, slots=True)
class Heading:
    """A section that begins at a position: its name and rehearsal letter, empty without one."""

    at: int
    name: str
    letter: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """A line of the order that is played from a strip.

    line: its index in the order. times: how often the whole strip is read for it. bars: the first
    bar of the road that is read, and the last, not included. words: its name, how often, who
    plays, how loud, for the top of the strip.
    """

    line: int
    times: int
    bars: tuple[int, int]
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Note:
    """Words over a written bar.

    kind: ``cue``, ``players``, ``feel``, ``dynamics``, ``rit`` or ``fermata``. A fermata with empty
    text holds each time. Text names the times where not all are meant: ``2nd time: all in``.
    """

    at: int
    kind: str
    text: str


@dataclass(frozen=True, slots=True)
class Strip:
    """Bars that are written once and read as a whole for some lines of the order that follow each
    other.

    bars: the bar of the chart that each written bar shows, the first that is read there (of those
    with kicks, if there are any). readings: the lines in their order; times: how often the strip
    is read for them, all together.
    """

    bars: tuple[int, ...]
    times: int = 1
    repeats: tuple[Repeat, ...] = ()
    headings: tuple[Heading, ...] = ()
    readings: tuple[Reading, ...] = ()
    notes: tuple[Note, ...] = ()

    def walk(self, start: int = 0, *, with_repeats: bool = True) -> tuple[int, ...]:
        """The positions in the order in which they are read once, from a position that lies in no
        repeat or begins one; without repeats each is read with its last ending."""
        found: list[int] = []
        starts = {repeat.first: repeat for repeat in self.repeats}
        at = start
        while at < len(self.bars):
            repeat = starts.get(at)
            if not repeat:
                found.append(at)
                at += 1
                continue
            for time in range(1 if with_repeats else repeat.times, repeat.times + 1):
                end = repeat.endings[0].first if repeat.endings else repeat.last
                found += range(at, end)
                for ending in repeat.endings:
                    if time in ending.numbers:
                        found += range(ending.first, ending.last)
            at = repeat.last
        return tuple(found)


@dataclass(frozen=True, slots=True)
class Return:
    """A D.S. al coda, or al fine where nothing follows.

    after: the strip (its index) at whose end D.S. is written; what follows it is the coda. strip,
    segno: the strip that is returned to, and the position of the segno. leaves: the position of
    the last bar that is read there before the coda or the end; in a repeat it is left the last
    time. with_repeats: whether repeats are taken after the D.S. fine: whether the piece ends there.
    reading: the line that returns.
    """

    after: int
    strip: int
    segno: int
    leaves: int
    with_repeats: bool
    fine: bool
    reading: Reading

    @property
    def text(self) -> str:
        """``D.S. al Coda``, ``D.S. al Fine, with repeats``."""
        way = said("road", f"way.{'fine' if self.fine else 'coda'}")
        return said("road", "way.with_repeats", way=way) if self.with_repeats else way


@dataclass(frozen=True, slots=True)
class Folded:
    """A whole road as it is written.

    strips: in order. back: the D.S. if there is one. ending: the bars that are added to end on,
    which stand after the last strip.
    """

    strips: tuple[Strip, ...]
    back: Return | None = None
    ending: tuple[int, ...] = ()

    @property
    def bars(self) -> tuple[int, ...]:
        """The bars of the chart that are written, in their order on paper."""
        return (*(bar for strip in self.strips for bar in strip.bars), *self.ending)


def unfold(folded: Folded) -> tuple[int, ...]:
    """The written bar that is read at each bar of the road, as an index into ``chart.bars``.

    In a form without an order a later chorus is read from the first, in its own key and tempo.
    """
    read: list[int] = []
    for index, strip in enumerate(folded.strips):
        read += [strip.bars[at] for at in strip.walk()] * strip.times
        if folded.back and folded.back.after == index:
            read += [folded.strips[folded.back.strip].bars[at] for at in way_back(folded)]
    return (*read, *folded.ending)


def way_back(folded: Folded) -> tuple[int, ...]:
    """The positions that are read after the D.S., up to the coda or the end."""
    back = folded.back
    if not back:
        return ()
    way = folded.strips[back.strip].walk(back.segno, with_repeats=back.with_repeats)
    return way[: len(way) - way[::-1].index(back.leaves)]
