"""The chord now, large, and the chord to come with in how many beats it comes; beats and bars.

Each of these is a view of its own: the beat moves as a fill under numbers that stay, so that
nothing is drawn anew from beat to beat but a small line of words.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from fractions import Fraction
from math import inf

from groove.form.chart import Chart
from groove.handout.drawing.chord_symbol import chord_marks, chord_width
from groove.handout.drawing.faces import settable
from groove.handout.drawing.page import POINT, Mark, Text, text_width
from groove.handout.video.course import Course, Moment
from groove.handout.video.look import Look, Room
from groove.handout.video.place import Places, Wait, shown
from groove.handout.video.view import Fill, Scene, View
from groove.handout.video.words import in_room
from groove.rhythm.meter import Meter
from groove.theory.symbols import Symbol
from groove.wording import in_figures, said

Words = tuple[str, str]  # text, face

TALL = 1.8  # a room that is less than so many times as wide as high has its parts in a column
ROW = 5.5  # a room that is so many times as wide as high has all its parts beside each other
OVER, UNDER = 0.80, 0.24  # ems that a chord symbol reaches over and under its baseline
DIGIT = 0.68  # ems: the height of a number
FILL = 1.3  # of a number's height: the width of the fill under it
COMING = 0.6  # of the height: the chord to come, above its words
COMING_AT_MOST = 0.6  # of the smallest type size of the chord now
LEADING = 1.3  # of the type size: the height that a line of words needs
LEAST_WORDS = 0.55  # of the size of most words: longer ones are cut
FRACTIONS = {Fraction(1, 2): "½", Fraction(1, 4): "¼", Fraction(3, 4): "¾"}


def now_views(course: Course, look: Look) -> tuple[View, ...]:
    """The views that fill the room "now"."""
    places = Places(course)
    now, coming, wait, beats, bar = _parts(look.rooms["now"])
    size = _words_size(course.chart, wait, bar, look)
    return (
        NowView(places, now),
        ComingView(places, coming, _most(course, now, coming)),
        WaitView(places, wait, size),
        BeatView(places, beats),
        BarView(places, bar, size),
    )


def _parts(room: Room) -> tuple[Room, Room, Room, Room, Room]:
    """The rooms of the chord now, the one to come, the words under it, beats and bar: in a row, in
    two rows, or all above each other, as the room is wide."""
    if room.wide < TALL * room.high:
        now, below = _rows(room, 0.44)
        row, below = _rows(below, 0.42)
        left, gap = 0.5 * row.wide, 0.03 * row.wide
        coming = Room(row.x, row.y, left, row.high)
        at, down = row.x + left + gap, 0.35 * row.high  # on one line with the chord
        wait = Room(at, row.y + down, row.x + row.wide - at, row.high - down)
        return now, coming, wait, *_rows(below, 0.57)
    if room.wide > ROW * room.high:
        left, middle, gap = 0.40 * room.wide, 0.26 * room.wide, 0.07 * room.wide
        at = room.x + left + gap + middle + 0.025 * room.wide
        top = room
        beats, bar = _rows(Room(at, room.y, room.x + room.wide - at, room.high), 0.56)
    else:
        top, below = _rows(room, 0.68)
        left, gap = 0.56 * room.wide, 0.10 * room.wide
        middle = room.wide - left - gap
        beats = Room(below.x, below.y, left, below.high)
        bar = Room(below.x + left + gap, below.y, middle, below.high)
    beside = Room(top.x + left + gap, top.y, middle, top.high)
    return Room(top.x, top.y, left, top.high), *_rows(beside, COMING), beats, bar


def _words_size(chart: Chart, wait: Room, bar: Room, look: Look) -> float:
    """The type size of words in points: at most that of the smallest chord, and small enough for
    the words that occur most."""
    bars = max(count for _, count in _counts(chart).values())
    usual = [(wait_words(Wait(unit, Fraction(8))), wait) for unit in ("beats", "bars")]
    usual += [(said("video", "bar.place", number=bars, bars=bars), bar)]
    sizes = [room.wide / text_width(settable(words), 1.0) for words, room in usual]
    high = min(wait.high, bar.high) / LEADING / POINT
    return min(look.least, high, *sizes)


def _rows(room: Room, share: float) -> tuple[Room, Room]:
    """A room in two, one above the other; share: of the height, that the upper one has."""
    high = share * room.high
    upper = Room(room.x, room.y, room.wide, high)
    return upper, Room(room.x, room.y + high, room.wide, room.high - high)


class NowView:
    """The chord that sounds; before it the number that is counted in."""

    def __init__(self, places: Places, room: Room) -> None:
        self._places, self.room = places, room

    def scene(self, moment: Moment) -> Scene:
        """The chord or the number at a moment."""
        chord = self._places.now(moment)
        if chord is not None:
            return Scene(chord)
        number = self._places.count(moment)
        return Scene((str(number) if number else "", "bold"))

    def marks(self, drawing: Hashable) -> Sequence[Mark]:
        """The marks of a chord or a number."""
        return large(drawing, self.room)


class ComingView:
    """The chord to come, or the word for the end; most: the largest type size in points."""

    def __init__(self, places: Places, room: Room, most: float) -> None:
        self._places, self.room, self._most = places, room, most

    def scene(self, moment: Moment) -> Scene:
        """The chord to come at a moment."""
        chord = self._places.coming(moment)
        return Scene((said("video", "now.end"), "bold") if chord is None else chord)

    def marks(self, drawing: Hashable) -> Sequence[Mark]:
        """The marks of a chord or a word."""
        return large(drawing, self.room, self._most)


class WaitView:
    """In how many beats or bars the chord to come comes; size: of the type, in points."""

    def __init__(self, places: Places, room: Room, size: float) -> None:
        self._places, self.room, self._size = places, room, size

    def scene(self, moment: Moment) -> Scene:
        """The words at a moment."""
        wait = self._places.wait(moment)
        return Scene(wait_words(wait) if wait else "")

    def marks(self, drawing: Hashable) -> Sequence[Mark]:
        """The marks of words."""
        return words_in(str(drawing), self.room, self._size)


class BeatView:
    """The felt beats of the bar as numbers, with a fill under the one that sounds.

    A number has as much room as its beat has time.
    """

    def __init__(self, places: Places, room: Room) -> None:
        self._places, self.room = places, room

    def scene(self, moment: Moment) -> Scene:
        """The numbers of the bar, and the fill at a moment; none where nothing is counted."""
        meter = self._places.bar(moment).meter
        if self._places.wait(moment) is None or self._places.is_held(moment):
            return Scene(meter)
        y, high = self._number(meter)
        left, pad = self._edges(meter, moment.beat % meter.beats)[0], 0.16 * high
        fill = Fill(left, y - high - pad, FILL * high, high + 2 * pad, "beat")
        return Scene(meter, (fill,))

    def marks(self, drawing: Hashable) -> Sequence[Mark]:
        """The numbers of a metre's felt beats."""
        assert isinstance(drawing, Meter)
        y, high = self._number(drawing)
        lefts = [self._edges(drawing, beat)[0] for beat in range(drawing.beats)]
        size = high / DIGIT / POINT
        return [
            Text(left + FILL * high / 2, y, str(beat + 1), size, "bold", "middle")
            for beat, left in enumerate(lefts)
        ]

    def _number(self, meter: Meter) -> tuple[float, float]:
        """Baseline and height of the numbers in mm."""
        narrow = min(b - a for a, b in (self._edges(meter, n) for n in range(meter.beats)))
        high = min(0.58 * self.room.high, narrow / FILL)
        return self.room.y + (self.room.high + high) / 2, high

    def _edges(self, meter: Meter, beat: int) -> tuple[float, float]:
        """Left and right of a beat's place, in mm on the frame."""
        starts = (*meter.beat_starts, meter.bar_ticks)
        even = min(1.0, 0.28 * meter.beats)  # few beats don't drift apart
        ticks = self.room.wide * even / meter.bar_ticks
        return self.room.x + starts[beat] * ticks, self.room.x + starts[beat + 1] * ticks


class BarView:
    """The number of the bar that sounds, and of how many; size: of the type, in points."""

    def __init__(self, places: Places, room: Room, size: float) -> None:
        self._places, self.room, self._size = places, room, size
        self._sizes = _counts(places.chart)

    def scene(self, moment: Moment) -> Scene:
        """The words at a moment."""
        if moment.bar < 0:
            return Scene(said("video", f"bar.{'count_in' if moment.beat >= 0 else 'tuning'}"))
        number, bars = self._sizes[moment.bar]
        return Scene(said("video", "bar.place", number=number, bars=bars))

    def marks(self, drawing: Hashable) -> Sequence[Mark]:
        """The marks of words."""
        return words_in(str(drawing), self.room, self._size)


def _most(course: Course, room: Room, coming: Room) -> float:
    """The type size of the chord to come in points: much smaller than the widest chord has in its
    room when it sounds; where it stands beside that one, at least an em from it."""
    chords = {_settable(shown(slot)) for slot in course.chords}
    size = _highest(room)
    widest = max((chord_width(chord, size) for chord in chords), default=0.0)
    most = COMING_AT_MOST * size * min(1.0, room.wide / max(widest, 0.01))
    below = coming.y >= room.y + room.high
    return most if below else min(most, (coming.x - room.x - room.wide) / POINT)


def _highest(room: Room) -> float:
    """The type size in points of a chord symbol that is as high as a room."""
    return room.high / (OVER + UNDER) / POINT


def _counts(chart: Chart) -> dict[int, tuple[int, int]]:
    """For each bar its number, and of how many: in its section, or in the chorus of a form without
    an order; by its index."""
    whole = [(time.first, time.last) for time in chart.rounds]
    parts = [(played.first, played.last) for played in chart.passes]
    ending = (chart.rounds[-1].last, len(chart.bars))
    return {
        index: (index - first + 1, last - first)
        for first, last in [*(parts if chart.form.order else whole), ending]
        for index in range(first, last)
    }


def large(drawing: Hashable, room: Room, most: float = inf) -> Sequence[Mark]:
    """The marks of a chord symbol or a word, as large as the room allows, at its left; most: the
    largest type size in points."""
    size = min(most, _highest(room))
    baseline = room.y + OVER * _highest(room) * POINT
    if isinstance(drawing, Symbol):
        drawing_ = _settable(drawing)
        size *= min(1.0, room.wide / chord_width(drawing_, size))
        return chord_marks(drawing_, room.x, baseline, size)
    assert isinstance(drawing, tuple)
    text, face = drawing
    wide = text_width(text, size, face)
    if wide > room.wide:
        size *= room.wide / wide
    return [Text(room.x, baseline, text, size, face)] if text else []


def words_in(words: str, room: Room, size: float) -> Sequence[Mark]:
    """The marks of a line of words in a room, smaller and then cut where it is narrow; size: in
    points."""
    text, size = in_room(words, room.wide, size, least=LEAST_WORDS)
    baseline = room.y + room.high / 2 + 0.25 * size * POINT
    return [Text(room.x, baseline, text, size)] if text else []


def wait_words(wait: Wait) -> str:
    """``in 3 beats``, ``in 1½ beats, early``, ``hold``."""
    if wait.unit == "hold":
        return said("video", "now.hold")
    many = "one" if wait.number <= 1 else "many"
    words = said("video", f"now.{wait.unit}.{many}", number=_figures(wait.number))
    return said("video", "now.early", when=words) if wait.early else words


def _figures(number: Fraction) -> str:
    """``3``, ``1½``, ``½``, ``0.33``."""
    whole, part = divmod(number, 1)
    if not part:
        return str(whole)
    if part in FRACTIONS:
        return f"{whole or ''}{FRACTIONS[part]}"
    return in_figures(float(number), ".2g")


def _settable(shown: Symbol) -> Symbol:
    """A symbol in characters that the face has; a language's own root may have others."""
    parts = (shown.root, shown.triad, shown.figures, shown.bass)
    return Symbol(*(settable(part, "bold") for part in parts))
