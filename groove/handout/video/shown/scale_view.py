"""A diagram of the tones over the chord that sounds: the part that neck and keyboard share.

Tones of the chord are filled, other tones of the scale hollow, those to pass through lean. Towards
the end of a chord the root of the next one stands in a frame.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Hashable, Sequence
from functools import cached_property

from groove.errors import OptionError, nearest
from groove.form.chart import Chart
from groove.handout.drawing.fretboard import CAP, RADIUS, ascent_of, draw_dot
from groove.handout.drawing.page import (
    POINT,
    SMALLEST,
    Mark,
    Rect,
    Text,
    fitted,
    scaled,
    text_width,
)
from groove.handout.video.course import Course, Moment
from groove.handout.video.look import Look, Room
from groove.handout.video.shown.over_chords import OverChord, OverChords
from groove.handout.video.view import Scene
from groove.instrument.fretboard import Tuning
from groove.lesson.neck_scales import LOOKS, ROOT
from groove.lesson.request import DOTS, Request
from groove.wording import said, worded

TITLE_SIZE, TITLE_HEIGHT = 11.0, 6.4  # points, mm
SMALLER_TITLE = 0.8  # of its size: as small may the name of a scale be before it is cut
BESIDE_TITLE = 2.4  # mm, between the name of the scale and that of the place
FRAME, FRAME_LINE = 0.7, 0.45  # mm: of the frame round the next root, outside of its dot
COMING = "coming"
SIGN, AFTER_SIGN, APART, LEGEND_LINE = 6.4, 1.2, 3.4, 6.5  # mm, of a legend
CLOSE = 0.7  # of the largest size: as small may a diagram be so that its legend has room
EDGE = 0.7  # mm kept free at the edges of the room, for the widths of lines


class ScaleView(ABC):
    """A diagram that follows the chords.

    room: where it stands. overs: what to play over each of the course's chords. factor: how much
    it is enlarged. legend: empty or False where there is no room for one. counted: whether the
    legend says from where the numbers on the dots count.
    """

    factor: float
    legend: str | bool

    def __init__(self, chart: Chart, course: Course, look: Look, label: str) -> None:
        self.room: Room = look.rooms["show"]
        self.chart, self.course, self.label = chart, course, label
        self.counted = False
        self.words = chart.form.lesson.words
        with worded(self.words):
            self.over = OverChords(chart, course.chords)
        self.overs = self.over.each
        self.distinct: tuple[OverChord, ...] = tuple(
            {(over.home, over.chord, over.title): over for over in self.overs}.values()
        )
        numbers = {id(over): number for number, over in enumerate(self.distinct)}
        same = {(over.home, over.chord, over.title): over for over in self.distinct}
        self.numbers: tuple[int, ...] = tuple(
            numbers[id(same[over.home, over.chord, over.title])] for over in self.overs
        )

    def scene(self, moment: Moment) -> Scene:
        """The scene at a moment: the chord that sounds, in the count-in the first one."""
        chord = max(moment.chord, 0)
        coming = self._coming(moment)
        return Scene((self.numbers[chord], None if coming is None else self.numbers[coming]))

    def marks(self, drawing: Hashable) -> Sequence[Mark]:
        """The marks of a drawing: the numbers of what is shown and of what comes."""
        assert isinstance(drawing, tuple)
        number, coming = drawing
        with worded(self.words):
            return self.drawn(
                self.distinct[number], None if coming is None else self.distinct[coming]
            )

    @abstractmethod
    def _fit(self) -> None:
        """Choose how much the diagram is enlarged, as factor, and where its legend stands."""

    def fit(self) -> None:
        """Choose the sizes; the legend says from where the numbers on the dots count if that
        makes the diagram no smaller."""
        self._fit()
        if self.label != "degree":
            return
        plain = self.legend, self.factor
        self.counted = True
        self._fit()
        if (self.legend, self.factor) != plain:
            self.counted = False
            self._fit()

    @abstractmethod
    def drawn(self, over: OverChord, coming: OverChord | None) -> Sequence[Mark]:
        """The marks over a chord; coming: the chord whose root is framed."""

    def _coming(self, moment: Moment) -> int | None:
        """The chord to come, from the middle of the one that sounds on, and at most a bar before;
        None where its root is the same."""
        here, bars = moment.chord, self.chart.bars
        if here < 0 or moment.bar < 0 or here + 1 >= len(self.overs):
            return None
        bar, slot = bars[moment.bar], self.course.chords[here]
        left = slot.end - (bar.start + bar.meter.beat_starts[moment.beat])
        same = self.overs[here].notes.root == self.overs[here + 1].notes.root
        return None if same or left > min(slot.length / 2, bar.length) else here + 1

    @cached_property
    def looks(self) -> tuple[str, ...]:
        """The looks that a legend explains."""
        found = {over.look(tone.pitch_class) for over in self.distinct for tone in over.notes.tones}
        roots = {over.notes.root for over in self.distinct}
        return (*(look for look in LOOKS if look in found), *([COMING] if len(roots) > 1 else []))

    def legend_width(self) -> float:
        """The width of a legend in a column, in mm before it is enlarged."""
        return (
            SIGN + AFTER_SIGN + max(text_width(self._word(look), SMALLEST) for look in self.looks)
        )

    def legend_column(self, x: float, y: float) -> list[Mark]:
        """The legend in a column whose top left corner is (x, y)."""
        marks: list[Mark] = []
        for row, look in enumerate(self.looks):
            marks += _entry(look, self._word(look), x, y + (row + 0.5) * LEGEND_LINE)
        return marks

    def legend_rows(self, x: float, y: float, width: float) -> list[Mark]:
        """The legend in as many rows as a width in mm asks for."""
        marks: list[Mark] = []
        at, row = 0.0, 0
        for look in self.looks:
            needed = SIGN + AFTER_SIGN + text_width(self._word(look), SMALLEST)
            if at and at + needed > width:
                at, row = 0.0, row + 1
            marks += _entry(look, self._word(look), x + at, y + (row + 0.5) * LEGEND_LINE)
            at += needed + APART
        return marks

    def with_rows(self, largest: float, high: float) -> float:
        """The largest factor for a diagram of a height in mm where such a legend stands below it;
        largest: without one."""
        for rows in range(1, len(self.looks) + 1):
            factor = min(largest, self.room.high / (high + rows * LEGEND_LINE + EDGE))
            marks = self.legend_rows(0.0, 0.0, self.room.wide / factor)
            if len({mark.y for mark in marks if isinstance(mark, Text) and mark.text}) <= rows:
                break
        return factor

    def _word(self, look: str) -> str:
        """The meaning of a sign."""
        return said("video", f"show.{'counted' if look == ROOT and self.counted else look}")

    def enlarged(self, marks: Sequence[Mark], factor: float) -> list[Mark]:
        """Marks in mm from the room's corner before they are enlarged, on the frame."""
        return [scaled(mark, factor, self.room.x, self.room.y) for mark in marks]


def label_for(request: Request, tuning: Tuning | None) -> str:
    """The text on the dots that is asked for. Raises OptionError for another, and for fingers
    without strings."""
    if request.dots not in DOTS:
        raise OptionError("dots", f"found {request.dots!r}; {nearest(request.dots, DOTS)}")
    if tuning is None and DOTS[request.dots] == "finger":
        raise OptionError("dots", "fingers are only for stringed instruments; names or degrees")
    return DOTS[request.dots]


def title_marks(title: str, place: str, width: float) -> list[Mark]:
    """The name of the scale, smaller where it is long, and after it that of the place as far as
    there is room, in mm."""
    foot = ascent_of(TITLE_SIZE) + 0.3
    whole = 0.999 * width / text_width(title, TITLE_SIZE, "bold")
    size = TITLE_SIZE * min(1.0, max(whole, SMALLER_TITLE))
    shown = fitted(title, width, size, "bold")
    marks: list[Mark] = [Text(0.0, foot, shown, size, "bold")]
    at = text_width(shown, size, "bold") + BESIDE_TITLE
    if place and at + text_width(place, TITLE_SIZE) <= width:
        marks.append(Text(at, foot, place, TITLE_SIZE))
    return marks


def frame(x: float, y: float, text: str, apart: float = FRAME) -> Rect:
    """The frame round the next root, its middle at (x, y); text: on the dot inside, if any; apart:
    mm from there."""
    half = max(RADIUS, text_width(text, SMALLEST, "bold") / 2 + 0.55) + apart
    high = RADIUS + apart
    return Rect(x - half, y - high, 2 * half, 2 * high, None, FRAME_LINE)


def _entry(look: str, word: str, x: float, middle: float) -> list[Mark]:
    """A sign of a legend with its meaning, their middle at a height."""
    at = x + SIGN / 2
    marks: list[Mark] = list(draw_dot(at, middle, look, ""))
    if look == COMING:
        marks = [frame(at, middle, "", 0.1)]
    foot = middle + CAP * SMALLEST * POINT
    return [*marks, Text(x + SIGN + AFTER_SIGN, foot, word, SMALLEST)]
