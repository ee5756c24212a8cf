"""The neck that follows the chords: what to play under the hand, which stays in one position."""

from __future__ import annotations

from collections.abc import Sequence

from groove.errors import OptionError
from groove.form.chart import Chart
from groove.handout.drawing.fretboard import (
    dot_label,
    draw_fretboard,
    fret_middle,
    fretboard_size,
    string_level,
)
from groove.handout.drawing.page import Mark
from groove.handout.video.course import Course
from groove.handout.video.look import Look
from groove.handout.video.shown.over_chords import OverChord
from groove.handout.video.shown.scale_view import (
    CLOSE,
    EDGE,
    LEGEND_LINE,
    TITLE_HEIGHT,
    ScaleView,
    frame,
    label_for,
    title_marks,
)
from groove.instrument.fretboard import Tuning
from groove.instrument.one_place import in_one_place
from groove.instrument.positions import Position, beside
from groove.lesson.request import STRINGED, Request, tuning_for
from groove.wording import said, worded

NARROWEST, WIDEST = 8.4, 12.5  # mm, of a fret before it is enlarged
BETWEEN = 5.0  # mm from the neck to the legend beside it


class NeckView(ScaleView):
    """The tones to play on a neck, in the position in which the hand stays for all chords.

    Raises OptionError for an instrument without strings and for a position that it has not.
    """

    def __init__(self, chart: Chart, course: Course, look: Look, request: Request) -> None:
        tuning = neck_tuning(request)
        super().__init__(chart, course, look, label_for(request, tuning))
        self.tuning, self.left_handed = tuning, request.left_handed
        with worded(self.words):
            self.positions = self._positions(request.position)
            self.fit()

    def position(self, over: OverChord) -> Position:
        """The notes over a chord under the hand."""
        return self.positions[self.distinct.index(over)]

    def drawn(self, over: OverChord, coming: OverChord | None) -> Sequence[Mark]:
        """The marks over a chord."""
        position, width = self.position(over), self.room.wide / self.factor
        marks = title_marks(over.title, _place(position), width)
        marks += draw_fretboard(
            self.tuning, position, x=EDGE / 2, y=TITLE_HEIGHT, label=self.label,
            left_handed=self.left_handed, fret_width=self.fret_width,
            look=lambda dot: over.look(dot.pitch),
        )  # fmt: skip
        if coming and coming.home == over.home:
            marks += self._framed(over, coming)
        wide, high = self._size(position)
        if self.legend == "beside":
            marks += self.legend_column(wide + BETWEEN, TITLE_HEIGHT)
        elif self.legend == "below":
            marks += self.legend_rows(0.0, TITLE_HEIGHT + high, width)
        return self.enlarged(marks, self.factor)

    def _framed(self, over: OverChord, coming: OverChord) -> list[Mark]:
        """Frames round the roots of the next chord, which lie on the dots that are there."""
        here = self.position(over)
        on = {(dot.string, dot.fret): dot_label(dot, self.label) for dot in here.dots}
        marks: list[Mark] = []
        for dot in self.position(coming).dots:
            if dot.pitch % 12 == coming.notes.root.pitch_class:
                x = fret_middle(
                    self.tuning, here, dot.fret,
                    left_handed=self.left_handed, fret_width=self.fret_width,
                )  # fmt: skip
                y = TITLE_HEIGHT + string_level(dot.string)
                marks.append(frame(x + EDGE / 2, y, on.get((dot.string, dot.fret), "")))
        return marks

    def _positions(self, fret: int | None) -> tuple[Position, ...]:
        """The notes over each chord under the hand, which in each key has its place."""
        found: dict[OverChord, Position] = {}
        for home, arpeggios in self.over.homes.items():
            overs = [over for over in self.distinct if over.home == home]
            held = beside(self.tuning, arpeggios, [over.notes for over in overs], fret)
            for over, position in zip(overs, held, strict=True):
                found[over] = in_one_place(self.tuning, position)
        return tuple(found[over] for over in self.distinct)

    def _size(self, position: Position) -> tuple[float, float]:
        return fretboard_size(self.tuning, position, fret_width=self.fret_width)

    def _fit(self) -> None:
        """Choose how much the diagram is enlarged, how wide its frets are and where the legend
        stands: as large as the room lets all positions be."""
        room = self.room
        self.fret_width = NARROWEST
        sizes = [self._size(position) for position in self.positions]
        wide, high = (max(size[n] for size in sizes) + EDGE for n in (0, 1))
        largest = min(room.high / (TITLE_HEIGHT + high), room.wide / wide)
        rows = TITLE_HEIGHT + len(self.looks) * LEGEND_LINE + EDGE
        column = min(largest, room.wide / (wide + BETWEEN + self.legend_width()), room.high / rows)
        below = self.with_rows(largest, TITLE_HEIGHT + high)
        self.legend, self.factor = "", largest
        for name, factor in (("beside", column), ("below", below)):
            if factor >= CLOSE * largest and (not self.legend or factor > self.factor):
                self.legend, self.factor = name, factor
        beside_it = BETWEEN + self.legend_width() if self.legend == "beside" else 0.0
        spare = room.wide / self.factor - wide - beside_it
        most = max(self._columns(position) for position in self.positions)
        self.fret_width = min(NARROWEST + max(spare, 0.0) / most, WIDEST)

    def _columns(self, position: Position) -> int:
        first, last = position.frets
        return last - max(first, 1) + 1


def neck_tuning(request: Request) -> Tuning:
    """The tuning of the neck that is asked for. Raises OptionError for an instrument without
    strings."""
    tuning = tuning_for(request)
    if tuning is None:
        raise OptionError(
            "show", f"a neck is for {', '.join(STRINGED)}; --show keyboard draws keys"
        )
    return tuning


def _place(position: Position) -> str:
    """The place of the hand in a few words."""
    if position.frets[0] == 0:
        return said("video", "show.at_nut")
    return said("video", "show.at_fret", fret=position.fret)
