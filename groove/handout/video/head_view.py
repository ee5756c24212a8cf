"""The head of a frame: the section and which time round, key and tempo now, the title."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace

from groove.form.chart import Bar, Chart, Pass, Round
from groove.form.harmony import form_harmony, key_in_words
from groove.form.road.fold_words import band_of, ordinal, out_words
from groove.handout.chart.head import tempo_marks
from groove.handout.drawing.faces import settable
from groove.handout.drawing.page import POINT, Mark, Text, ink_box, moved, text_width
from groove.handout.video.course import Moment
from groove.handout.video.look import Look
from groove.handout.video.view import Scene
from groove.handout.video.words import LEAST_SHARE, in_room
from groove.rhythm.meter import Meter
from groove.theory.keys import Key
from groove.theory.symbols import blues_words, key_words, noted
from groove.wording import said

LINE = 1.17  # of the type size, from line to line
TWO_LINES = 18.0  # mm: a room that is so high has two lines
LEAST_TITLE = 0.4  # of the room: a title that is cut and has less is left out
QUIET = 0.7  # the ink of the title, which steps back
GAP = 0.9  # ems between two parts on a line


@dataclass(frozen=True, slots=True)
class Shown:
    """The words of the head.

    place: section and time round. words: who is silent, and the note that the bass holds. tempo:
    felt beats a minute. slows: whether it slows down there.
    """

    place: str
    words: tuple[str, ...]
    key: str
    meter: Meter
    tempo: float
    slows: bool


class HeadView:
    """The view that fills the room "head"."""

    def __init__(self, chart: Chart, look: Look) -> None:
        self.room = look.rooms["head"]
        self._chart, self._keys = chart, _Keys(chart)
        self._title, self._band = chart.form.title, band_of(chart.form)
        self._known: dict[tuple[int, bool], Scene] = {}  # by bar, and whether it slows down
        self._passes = {
            index: (time, played)
            for time in chart.rounds
            for played in time.passes
            for index in range(played.first, played.last)
        }
        lines = 2 if self.room.high >= TWO_LINES else 1
        self._size = min(look.least, self.room.high / (LINE * lines) / POINT)
        self._lines = lines

    def scene(self, moment: Moment) -> Scene:
        """Section, time round, key and tempo at a moment."""
        chart, index = self._chart, max(0, moment.bar)
        bar = chart.bars[index]
        beat = moment.beat if moment.bar >= 0 else 0
        rate = chart.tempi.rate(bar.start + bar.meter.beat_starts[beat])
        slows = bar.held is None and rate < 0.99 * bar.setting.rate
        known = moment.bar, slows
        if known not in self._known:
            self._known[known] = Scene(self._shown(index, slows, moment.bar >= 0))
        return self._known[known]

    def _shown(self, index: int, slows: bool, sounds: bool) -> Shown:
        """The words for a bar; sounds: whether it has begun."""
        chart, bar, played = self._chart, self._chart.bars[index], self._passes.get(index)
        place = place_words(chart, *played) if played else said("chart", "marks.finish")
        words = bar_words(bar, self._band) if sounds else ()
        tempo = round(bar.setting.tempo, 1)
        return Shown(place, words, self._keys.words(bar), bar.meter, tempo, slows)

    def marks(self, drawing: Hashable) -> Sequence[Mark]:
        """Section and words at the left, key and tempo at the right, and the title where it has
        room; on two lines if the room is high enough, section and tempo on the first."""
        assert isinstance(drawing, Shown)
        room, size, em = self.room, self._size, self._size * POINT
        step = room.high / self._lines
        first = room.y + step / 2 + 0.33 * em
        last = first + step * (self._lines - 1)
        free = {first: (room.x, room.x + room.wide), last: (room.x, room.x + room.wide)}
        marks: list[Mark] = []

        def set_right(words: str, baseline: float) -> None:
            left, right = free[baseline]
            text, own = in_room(words, right - left, size)
            right -= text_width(text, own)
            marks.append(Text(right, baseline, text, own))
            free[baseline] = left, right - GAP * em

        def set_left(words: str, baseline: float, face: str, ink: float = 1.0) -> None:
            left, right = free[baseline]
            text, own = in_room(words, right - left, size, face)
            mark = Text(left, baseline, text, own, face, ink=ink)
            if box := ink_box(mark):  # a slanted letter may begin before its place
                marks.append(moved(mark, max(0.0, left - box.left), 0.0))
                free[baseline] = left + text_width(text, own, face) + GAP * em, right

        def room_left(baseline: float) -> float:
            return free[baseline][1] - free[baseline][0]

        def fits(words: str, baseline: float, face: str) -> bool:
            wide = text_width(settable(words, face), size, face)
            return LEAST_SHARE * wide <= room_left(baseline)

        left, right = free[first]
        wide, _ = _tempo_marks(drawing, 0.0, first, size)
        marks += _tempo_marks(drawing, right - wide, first, size)[1]
        free[first] = left, right - wide - GAP * em
        set_right(drawing.key, last)
        set_left(drawing.place, first, "bold")
        for count in range(len(drawing.words), 0, -1):  # as many as fit whole
            words = ", ".join(drawing.words[:count])
            if fits(words, last, "italic"):
                set_left(words, last, "italic")
                break
        if fits(self._title, last, "regular") or room_left(last) > LEAST_TITLE * room.wide:
            set_left(self._title, last, "regular", QUIET)
        return marks


def _tempo_marks(shown: Shown, x: float, baseline: float, size: float) -> tuple[float, list[Mark]]:
    """The tempo from x on, with the word for slowing down; and its end."""
    end, marks = tempo_marks(shown.meter, shown.tempo, x, baseline, size)
    if shown.slows:
        words = f" {settable(said('road', 'way.ritardando'), 'italic')}"
        marks.append(Text(end, baseline, words, size, "italic"))
        end += text_width(words, size, "italic")
    return end, marks


def place_words(chart: Chart, time: Round, played: Pass) -> str:
    """A section and which time round it is: ``2nd A, chorus 1 of 3``, ``solos, 2nd of 3: B``."""
    name = " ".join(dict.fromkeys(filter(None, (played.letter, played.section.name))))
    same = [each for each in time.passes if each.section.name == played.section.name]
    if name and len(same) > 1:
        nth = ordinal(same.index(played) + 1)
        name = said("video", "head.again", nth=nth, section=name)
    round_ = _round_words(chart, played)
    if chart.form.order and played.name:
        one = name and len(chart.form.sections) > 1
        return said("video", "head.section", line=round_, section=name) if one else round_
    return said("video", "head.both", place=name, round=round_) if name and round_ else (
        name or round_
    )  # fmt: skip


def _round_words(chart: Chart, played: Pass) -> str:
    """The time round a line in words, empty for the only one of a line without a name."""
    if not chart.form.order:
        number, times = played.time + 1, played.of
        return said("video", "head.chorus", number=number, times=times) if times > 1 else ""
    if played.of == 1:
        return played.name
    words = {"nth": ordinal(played.time + 1), "times": played.of}
    if not played.name:
        return said("video", "head.nameless", **words)
    return said("video", "head.time", line=played.name, **words)


def bar_words(bar: Bar, band: frozenset[str]) -> tuple[str, ...]:
    """The players who are silent in a bar, and the note that the bass holds: ``drums alone``."""
    silent = said("page", "road.at_bar.drums_alone") if bar.drums_alone else (
        out_words(bar.out, band)
    )  # fmt: skip
    held = bar.slots[0].pedal if bar.slots else None
    pedal = said("chart", "marks.pedal", note=noted(str(held))) if held is not None else ""
    return tuple(filter(None, (silent, pedal)))


class _Keys:
    """The keys of a chart in the words of the charts: home's as a musician says it."""

    def __init__(self, chart: Chart) -> None:
        self._chart = chart
        self._known: dict[tuple[Key, Key], str] = {}

    def words(self, bar: Bar) -> str:
        """The key of a bar."""
        rounds = self._chart.rounds
        of = bar.key, rounds[min(bar.round, len(rounds) - 1)].key
        if of not in self._known:
            self._known[of] = self._said(*of)
        return self._known[of]

    def _said(self, key: Key, home: Key) -> str:
        form = self._chart.form
        if key == home:
            return key_in_words(replace(form, key=key) if key != form.key else form)
        if "blues" in form_harmony(form).kind and key.mode == "major":
            return blues_words(key.tonic, "blues")
        return key_words(key)
