"""Folds the road of a chart as engravers write it: repeats, endings, "3 times", D.S. al coda.

Bars that are alike in section, chords at written places, metre, key, tempo and figures are written
once. Who plays, dynamics, kicks that are off, trading, riffs, rit. and names become words. The
first that fits: neighbouring lines alike are one strip that is read several times; sections that
are played again right after themselves are a repeat, with brackets where only the time bars
differ; a last line that returns to a strip and leaves it once is D.S. al coda; else the bars are
written out (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate

from groove.form.chart import Bar, Chart, Figure, Round
from groove.form.model import bars_of
from groove.form.road.fold_words import notes, reading, readings
from groove.form.road.fold_words import road_words as road_words
from groove.form.road.folded import (
    Ending,
    Folded,
    Heading,
    Reading,
    Repeat,
    Return,
    Strip,
    way_back,
)
from groove.form.road.folded import unfold as unfold

LONGEST_GROUP = 8  # sections that a repeat may hold
LEAST_SAVED = 5  # bars: a return saves more than one line of four


@dataclass(frozen=True, slots=True)
class _Face:
    """A bar as it is written.

    index: into the chart's bars. music: section, bar of it, chords, metre, key and tempo. alone:
    whether the drums trade in it, so that its figure is off. off: whether kicks are off in the
    whole time round.
    """

    index: int
    music: tuple[object, ...]
    figure: tuple[object, ...] | None
    alone: bool = False
    off: bool = False

    def yields_to(self, other: _Face) -> bool:
        """True if it is read from `other`, words saying that the figure is left out."""
        if self.figure is not None:
            return False
        kicks = other.figure is not None and not other.figure[0]
        return self.alone or (self.off and kicks)


@dataclass(frozen=True, slots=True)
class _Piece:
    """A section, or a part of one, with its bars; body: those before its time bars, 0 if there are
    none to tell apart."""

    name: str
    letter: str
    faces: tuple[_Face, ...]
    body: int


def fold(chart: Chart) -> Folded:
    """The road of a chart as it is written. A form without an order is one strip, its choruses in
    other keys or tempi read from the first."""
    if not chart.form.order:
        return _with_words(chart, [_choruses(chart)], None)
    strips: list[_Written] = []
    back: Return | None = None
    lines = chart.form.lines
    homes = {time.line: time for time in reversed(chart.rounds)}
    rounds = [(time, _pieces(chart, time, homes[time.line])) for time in chart.rounds]
    returns = _may_return([pieces for _, pieces in rounds])
    for number, (time, pieces) in enumerate(rounds):
        if strips and strips[-1].take(pieces, time.line, (time.first, time.last)):
            continue
        if strips and returns[number] and lines[time.line].times == 1 and not back:
            rest = _once_more(strips[-1], pieces, time)
            if rest == pieces:
                back, rest = _returned(strips, pieces, time)
            pieces = rest
        if pieces:
            first = time.last - sum(len(piece.faces) for piece in pieces)
            strips.append(_Written(pieces, time.line, (first, time.last)))
    if back:
        back = replace(back, fine=back.after == len(strips) - 1 and not chart.ending)
    return _with_words(chart, [written.strip() for written in strips], back)


def _with_words(chart: Chart, strips: list[Strip], back: Return | None) -> Folded:
    folded = Folded(tuple(strips), back, tuple(range(chart.rounds[-1].last, len(chart.bars))))
    said = [
        replace(
            strip,
            readings=readings(chart, strip.bars, strip.readings),
            notes=over_bars,
        )
        for strip, over_bars in zip(strips, notes(chart, folded), strict=True)
    ]
    if back:
        shown = [strips[back.strip].bars[at] for at in way_back(folded)]
        back = replace(back, reading=reading(chart, shown, back.reading))
    return replace(folded, strips=tuple(said), back=back)


def _choruses(chart: Chart) -> Strip:
    """The first chorus of a form without an order; where the turnaround leads to another key, the
    last has an ending of its own."""
    first, last = chart.rounds[0], chart.rounds[-1]
    bars = list(range(first.last))
    times = len(chart.rounds)
    turn = -(-sum((span.bars for span in chart.form.turnaround), Fraction(0)) // 1)
    repeats: tuple[Repeat, ...] = ()
    if turn and first.key != last.key:
        size = len(bars)
        bars += range(last.last - turn, last.last)
        most = Ending(size - turn, size, tuple(range(1, times)))
        repeats = (Repeat(0, len(bars), times, (most, Ending(size, len(bars), (times,)))),)
        times = 1
    headings = tuple(Heading(p.first, p.section.name, p.letter) for p in first.passes)
    whole = Reading(0, times, (0, last.last))
    return Strip(tuple(bars), times, repeats, headings, (whole,))


def _pieces(chart: Chart, time: Round, home: Round) -> list[_Piece]:
    """The sections of a time round with their bars as they are written; home: the first time of
    its line."""
    line = chart.form.lines[time.line]
    bars = chart.bars[time.first : time.last]
    off = not any(bar.figure and not bar.figure.alone for bar in bars)
    pieces = []
    for played in time.passes:
        play = line.plays[played.place]
        own = played.section
        whole = play.last == own.bars_with(play.ending)
        body = bars_of(own.spans) - play.first if own.time_bars and whole else 0
        faces = tuple(
            _Face(index, (own.name, play.first + bar.in_section, *_music(bar, home, time)),
                  _strokes(bar.figure, bar), bar.drums_alone, off)
            for index, bar in enumerate(chart.bars[played.first : played.last], played.first)
        )  # fmt: skip
        pieces.append(_Piece(own.name, played.letter, faces, max(0, body)))
    return pieces


def _music(bar: Bar, home: Round, time: Round) -> tuple[object, ...]:
    """Metre, key, tempo as in the first time of the line, and the chords at written places."""
    chords = tuple(
        (s.start - bar.start, s.length, None if s.silent else s.chord, s.early > 0, s.root_only,
         s.pedal)
        for s in bar.slots
    )  # fmt: skip
    return bar.meter, bar.key, round(bar.setting.rate * home.tempo / time.tempo, 3), chords


def _strokes(figure: Figure | None, bar: Bar) -> tuple[object, ...] | None:
    if figure is None:
        return None
    strokes = tuple((s.start - bar.start, s.length, s.accent) for s in figure.strokes)
    return figure.alone, strokes


def _merged(one: _Face, other: _Face) -> _Face | None:
    """The bar from which both are read; None if they differ."""
    if one.music != other.music:
        return None
    if one.figure == other.figure:
        return replace(one, alone=one.alone and other.alone, off=one.off and other.off)
    if other.yields_to(one):
        return replace(one, alone=False, off=False)
    if one.yields_to(other):
        return replace(other, alone=False, off=False)
    return None


def _all_merged(ones: Sequence[_Face], others: Sequence[_Face]) -> list[_Face] | None:
    """The bars from which both stretches are read; None if they differ."""
    if len(ones) != len(others):
        return None
    found = []
    for one, other in zip(ones, others, strict=True):
        both = _merged(one, other)
        if both is None:
            return None
        found.append(both)
    return found


@dataclass(frozen=True, slots=True)
class _Block:
    """Sections that are repeated: how many they are, how often, and the bars as written."""

    size: int
    times: int
    body: list[_Face]
    endings: list[tuple[list[_Face], tuple[int, ...]]]
    saved: int


def _block(pieces: Sequence[_Piece], at: int) -> _Block | None:
    """The repeat from a place on that saves the most bars, of those the shortest."""
    best: _Block | None = None
    for size in range(1, min(LONGEST_GROUP, (len(pieces) - at) // 2) + 1):
        found = _repeated(pieces, at, size)
        if found and found.saved > (best.saved if best else 0):
            best = found
    return best


def _repeated(pieces: Sequence[_Piece], at: int, size: int) -> _Block | None:
    """So many sections repeated as often as they follow each other; None if they don't."""
    last = pieces[at + size - 1]
    first = [face for piece in pieces[at : at + size] for face in piece.faces]
    ends = len(last.faces) - last.body if last.body else 0
    body, tail = first[: len(first) - ends], first[len(first) - ends :]
    endings: list[tuple[list[_Face], tuple[int, ...]]] = [(tail, (1,))]
    road = len(first)
    times = 1
    while at + (times + 1) * size <= len(pieces):
        group = pieces[at + times * size : at + (times + 1) * size]
        if bool(group[-1].body) != bool(last.body):
            break
        faces = [face for piece in group for face in piece.faces]
        both = _all_merged(body, faces[: len(body)])
        if both is None or (len(faces) > len(body) and not ends):
            break
        body = both
        times += 1
        road += len(faces)
        same = _all_merged(endings[-1][0], faces[len(body) :])
        if same is None:
            endings.append((faces[len(body) :], (times,)))
        else:
            endings[-1] = same, (*endings[-1][1], times)
    if times == 1:
        return None
    if len(endings) == 1:
        body, endings = body + endings[0][0], []
    written = len(body) + sum(len(bars) for bars, _ in endings)
    return _Block(size, times, body, endings, road - written)


class _Written:
    """A strip that still takes lines."""

    def __init__(self, pieces: Sequence[_Piece], line: int, bars: tuple[int, int]) -> None:
        self.faces: list[_Face] = []
        self._headings: list[Heading] = []
        self._repeats: list[Repeat] = []
        self._readings = [Reading(line, 1, bars)]
        self._fold(pieces)
        self._way = self._shape().walk()

    @property
    def length(self) -> int:
        """Bars of the road that are read from it once."""
        return len(self._way)

    def take(self, pieces: Sequence[_Piece], line: int, bars: tuple[int, int]) -> bool:
        """Read some sections from the strip once more, if they are alike."""
        faces = [face for piece in pieces for face in piece.faces]
        if len(faces) != len(self._way) or not self.read(faces, self._way):
            return False
        last = self._readings[-1]
        if last.line == line:
            joined = replace(last, times=last.times + 1, bars=(last.bars[0], bars[1]))
            self._readings[-1] = joined
        else:
            self._readings.append(Reading(line, 1, bars))
        return True

    def read(self, faces: Sequence[_Face], way: Sequence[int]) -> bool:
        """Read bars at the positions of a way, if all are alike."""
        written, count = self._tried(faces, way)
        if count < len(faces):
            return False
        self.faces = written
        return True

    def alike(self, faces: Sequence[_Face], way: Sequence[int]) -> int:
        """How many bars from the first on are alike along a way."""
        return self._tried(faces, way)[1]

    def _tried(self, faces: Sequence[_Face], way: Sequence[int]) -> tuple[list[_Face], int]:
        written = list(self.faces)
        count = 0
        for at, face in zip(way, faces, strict=False):
            both = _merged(written[at], face)
            if both is None:
                break
            written[at] = both
            count += 1
        return written, count

    def starts(self) -> list[int]:
        """The positions of sections that lie in no repeat or begin one: a segno may stand there."""
        return [
            heading.at
            for heading in self._headings
            if not any(repeat.first < heading.at < repeat.last for repeat in self._repeats)
        ]

    def strip(self) -> Strip:
        """The strip as it is now."""
        return self._shape()

    def _shape(self) -> Strip:
        return Strip(
            tuple(face.index for face in self.faces), sum(r.times for r in self._readings),
            tuple(self._repeats), tuple(self._headings), tuple(self._readings),
        )  # fmt: skip

    def _fold(self, pieces: Sequence[_Piece]) -> None:
        at = 0
        while at < len(pieces):
            begin = len(self.faces)
            block = _block(pieces, at)
            size = block.size if block else 1
            place = begin
            for piece in pieces[at : at + size]:
                if piece.name:
                    self._headings.append(Heading(place, piece.name, piece.letter))
                place += len(piece.faces)
            if not block:
                self.faces += pieces[at].faces
                at += 1
                continue
            self.faces += block.body
            endings = []
            for bars, numbers in block.endings:
                here = len(self.faces)
                endings.append(Ending(here, here + len(bars), numbers))
                self.faces += bars
            self._repeats.append(Repeat(begin, len(self.faces), block.times, tuple(endings)))
            at += block.size * block.times


def _may_return(rounds: Sequence[Sequence[_Piece]]) -> list[bool]:
    """For each time round: whether it is the last, or all that follows is new."""
    last = {piece.name: number for number, pieces in enumerate(rounds) for piece in pieces}
    open_until = accumulate((max(last[p.name] for p in pieces) for pieces in rounds), max)
    return [until <= number for number, until in enumerate(open_until)]


def _once_more(strip: _Written, pieces: list[_Piece], time: Round) -> list[_Piece]:
    """The rest of a time round that begins with a whole strip, which is read once more; all of
    it where it begins otherwise."""
    rest = _after(pieces, strip.length)
    here = pieces[: len(pieces) - len(rest)]
    took = strip.take(here, time.line, (time.first, time.first + strip.length))
    return rest if took else pieces


def _returned(
    strips: Sequence[_Written], pieces: list[_Piece], time: Round
) -> tuple[Return | None, list[_Piece]]:
    """The D.S. with which a last time round begins, and what is left of it for the coda."""
    faces = [face for piece in pieces for face in piece.faces]
    best: tuple[int, bool, int, int] | None = None
    for index, strip in enumerate(strips):
        for segno in strip.starts():
            for plain in (True, False):
                way = strip.strip().walk(segno, with_repeats=not plain)
                onward = list(accumulate(reversed(way), min))[::-1]  # the first bar yet to come
                count = strip.alike(faces, way)
                while 0 < count < len(way) and onward[count] <= way[count - 1]:
                    count -= 1
                found = count, plain, index, -segno
                if best is None or found > best:
                    best = found
    if best is None:
        return None, pieces
    count, plain, index, start = best
    rest = _after(pieces, count)
    if _written_bars(pieces) - _written_bars(rest) < LEAST_SAVED:
        return None, pieces
    way = strips[index].strip().walk(-start, with_repeats=not plain)[:count]
    strips[index].read(faces[:count], way)
    took = Reading(time.line, 1, (time.first, time.first + count))
    return Return(len(strips) - 1, index, -start, way[-1], not plain, False, took), rest


def _written_bars(pieces: Sequence[_Piece]) -> int:
    return len(_Written(pieces, 0, (0, 0)).faces) if pieces else 0


def _after(pieces: Sequence[_Piece], size: int) -> list[_Piece]:
    """The rest of some sections after so many bars; a part of one has no name."""
    found = []
    for piece in pieces:
        if size <= 0:
            found.append(piece)
        elif len(piece.faces) > size:
            found.append(replace(piece, name="", letter="", faces=piece.faces[size:], body=0))
        size -= len(piece.faces)
    return found
