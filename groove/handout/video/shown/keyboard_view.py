"""The keyboard that follows the chords: the keys of chord and scale, from a C on."""

from __future__ import annotations

from collections.abc import Sequence

from groove.form.chart import Chart
from groove.handout.drawing.fretboard import CAP
from groove.handout.drawing.keyboard import (
    WHITE_HEIGHT,
    draw_keyboard,
    key_middle,
    keyboard_size,
)
from groove.handout.drawing.page import POINT, Mark, Rect, Text, inverted, moved
from groove.handout.video.course import Course
from groove.handout.video.look import Look
from groove.handout.video.shown.over_chords import OverChord
from groove.handout.video.shown.scale_view import (
    AFTER_SIGN,
    CLOSE,
    SIGN,
    TITLE_HEIGHT,
    ScaleView,
    frame,
    label_for,
    title_marks,
)
from groove.instrument.keyboard import MIDDLE_C, OCTAVES, KeyboardKey, keys
from groove.lesson.request import Request
from groove.theory.symbols import noted
from groove.wording import worded

EDGE = 1.2  # mm kept free, for the frame round the last key
ONE_INSTEAD = 1.6
"""So much larger is one octave drawn where it stands for two."""
CLOSE_ONE = 0.6  # as CLOSE: one octave, which is larger, gives way to its legend sooner


class KeyboardView(ScaleView):
    """The tones to play on keys, in two octaves, or in one where the room is narrow.

    Raises OptionError for fingers on the keys.
    """

    def __init__(self, chart: Chart, course: Course, look: Look, request: Request) -> None:
        super().__init__(chart, course, look, label_for(request, None))
        self.dark = sum(look.colours["paper"]) < sum(look.colours["ink"])
        with worded(self.words):
            self.fit()

    def played(self, over: OverChord) -> tuple[KeyboardKey, ...]:
        """The keys of chord and scale."""
        return keys(over.notes, MIDDLE_C, self.octaves)

    def drawn(self, over: OverChord, coming: OverChord | None) -> Sequence[Mark]:
        """The marks over a chord."""
        width = self.room.wide / self.factor - EDGE
        wide, high = keyboard_size(octaves=self.octaves)
        played = self.played(over)
        marks = title_marks(over.title, "", width)
        looks = [KeyboardKey(k.pitch, k.name, k.degree, over.look(k.pitch)) for k in played]
        diagram = list(
            draw_keyboard(
                looks, x=0.0, y=TITLE_HEIGHT, octaves=self.octaves, label=self.label,
            )
        )  # fmt: skip
        if coming:
            diagram += self._framed(played, coming)
        if self.dark:
            diagram = _as_lit(diagram, wide)
        marks += [moved(mark, (width - wide) / 2, 0.0) for mark in diagram]
        if self.legend:
            rows = self.legend_rows(0.0, TITLE_HEIGHT + high, width)
            marks += _on_light(rows) if self.dark else rows
        return self.enlarged([moved(mark, EDGE / 2, 0.0) for mark in marks], self.factor)

    def _framed(self, played: Sequence[KeyboardKey], coming: OverChord) -> list[Mark]:
        """Frames round the keys of the next root, which lie on the dots that are there."""
        on = {key.pitch: key.degree if self.label == "degree" else key.name for key in played}
        root = coming.notes.root.pitch_class
        marks: list[Mark] = []
        for pitch in range(MIDDLE_C + root, MIDDLE_C + 12 * self.octaves, 12):
            x, y = key_middle(pitch)
            marks.append(frame(x, TITLE_HEIGHT + y, noted(on.get(pitch, ""))))
        return marks

    def _fit(self) -> None:
        """Choose the octaves, how much the diagram is enlarged and whether a legend has room."""
        room = self.room

        def largest(octaves: int) -> float:
            wide, high = keyboard_size(octaves=octaves)
            return min(room.wide / (wide + EDGE), room.high / (TITLE_HEIGHT + high))

        one, two = largest(1), largest(OCTAVES)
        self.octaves, self.factor = (1, one) if one > ONE_INSTEAD * two else (OCTAVES, two)
        _, high = keyboard_size(octaves=self.octaves)
        with_legend = self.with_rows(self.factor, TITLE_HEIGHT + high)
        close = CLOSE_ONE if self.octaves == 1 else CLOSE
        self.legend = with_legend >= close * self.factor
        if self.legend:
            self.factor = with_legend


def _as_lit(diagram: Sequence[Mark], width: float) -> list[Mark]:
    """A keyboard whose white keys are light on dark paper; its words below stay as they are."""
    foot = TITLE_HEIGHT + WHITE_HEIGHT
    shown: list[Mark] = [Rect(0.0, TITLE_HEIGHT, width, WHITE_HEIGHT, 1.0, 0.0)]
    for mark in diagram:
        below = isinstance(mark, Text) and mark.y > foot
        shown += [mark] if below else inverted(mark)
    return shown


def _on_light(legend: Sequence[Mark]) -> list[Mark]:
    """A legend whose signs stand on light as they do on the keys."""
    shown: list[Mark] = []
    for mark in legend:
        if isinstance(mark, Text) and mark.text:
            left, top = mark.x - AFTER_SIGN - SIGN, mark.y - CAP * mark.size * POINT - SIGN / 2
            shown.insert(0, Rect(left, top, SIGN, SIGN, 1.0, 0.0))
            shown.append(mark)
        elif not isinstance(mark, Text):
            shown += inverted(mark)
    return shown
