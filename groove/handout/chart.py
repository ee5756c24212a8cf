"""The chord chart as it is written: one chorus with repeat signs, and how the track ends.

The track repeats its chorus and, unless it is a loop, comes to rest in one bar more. Written,
that is a repeated chorus. Where a turnaround leads back, the last time is another ending: the
turnaround stands under a bracket for all times but the last, and the last goes home from it.
Where keys or tempo change from chorus to chorus, the first is written, its turnaround and end in
its own key, and words say how it goes on.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from groove import library
from groove.band.patterns import pattern
from groove.form.chart import Bar, unroll
from groove.form.meter import Meter
from groove.form.model import Form
from groove.handout.chart_course import as_first, course_words
from groove.handout.form_harmony import form_harmony, home_words
from groove.handout.readers import READERS, Reader
from groove.handout.symbols import numeral
from groove.theory.chords import Chord
from groove.theory.keys import Key

LINE = 4  # bars
FULL_PAGE = 13  # lines; above that sections follow each other on one line


@dataclass(frozen=True, slots=True)
class Placed:
    """A chord in a bar: where it begins and how long it lasts, in ticks, and its numeral."""

    start: int
    length: int
    chord: Chord
    numeral: str


@dataclass(frozen=True, slots=True)
class WrittenBar:
    """One bar as written.

    section: the name of the section that begins here, else empty. same: whether it is played
    like the bar before and just the simile sign stands in it. opens, closes: a repeat sign at
    its left or right; times: how often the repeat that closes here is played, 1 where brackets
    say it. bracket: the numbers of the times of an ending that begins here, ``"1.–3."``;
    in_bracket: whether the bar stands under one. last: whether the piece ends with it. rest: the
    bar after the last chorus, held (``"ring"``) or struck once (``"hit"``), else empty.
    """

    chords: tuple[Placed, ...]
    section: str = ""
    same: bool = False
    opens: bool = False
    closes: bool = False
    times: int = 1
    bracket: str = ""
    in_bracket: bool = False
    ends_section: bool = False
    last: bool = False
    rest: str = ""


@dataclass(frozen=True, slots=True)
class WrittenChart:
    """A chart for one reader: what stands at its head, and its lines of up to four bars.

    key: as the reader sees it; home: the same as a musician says it. feel: in words. swing_type:
    the note that swings, ``"eighth"`` or ``"16th"``. course: sentences on what changes from
    chorus to chorus.
    """

    title: str
    key: Key
    home: str
    sounding_key: Key
    meter: Meter
    tempo: float
    feel: str
    swing_ratio: float
    swing_type: str
    choruses: int
    reader: Reader
    lines: tuple[tuple[WrittenBar, ...], ...]
    course: tuple[str, ...] = ()

    @property
    def bars(self) -> tuple[WrittenBar, ...]:
        return tuple(bar for line in self.lines for bar in line)


def write_chart(form: Form, reader: Reader = READERS["concert"]) -> WrittenChart:
    """The written chart of a form for a reader."""
    seen = reader.form(as_first(form))
    bars = _written(seen)
    return WrittenChart(
        title=form.title,
        key=seen.key,
        home=home_words(form_harmony(seen)),
        sounding_key=form.key,
        meter=form.meter,
        tempo=form.tempo,
        feel=feel_words(form),
        swing_ratio=form.swing_ratio,
        swing_type="16th" if _swings_sixteenths(form) else "eighth",
        choruses=form.choruses,
        reader=reader,
        lines=_lines(bars),
        course=course_words(form, reader),
    )


def feel_words(form: Form) -> str:
    """The pace and the feel as they stand at the head of a part: ``Medium swing``, ``Slow 12/8``.

    The words are in ``patterns/lesson/feel.toml``.
    """
    data = library.load("lesson", "feel")
    paces = data["pace"]["compound" if form.meter.is_compound else form.feel]
    pace = next((word for below, word in paces if form.tempo < below), paces[-1][1])
    own = data["styles"] if pattern("drums", form.drums).grid.feel == form.feel else {}
    if form.meter.is_compound:
        return f"{pace} {form.meter}"
    if form.drums in own:
        style = str(own[form.drums])
        if form.drums in data["felt_in_two"]["patterns"]:
            return style[0].upper() + style[1:]
        return f"{pace} {style}"
    if _swings_sixteenths(form) and form.feel != "straight":
        return f"{pace} {form.feel}, in sixteenths"
    return f"{pace} {data['feels'][form.feel]}"


def _swings_sixteenths(form: Form) -> bool:
    return pattern("drums", form.drums).swing_ticks < form.meter.beat_ticks


def _written(form: Form) -> list[WrittenBar]:
    """The bars from the top to the end of the piece, with their signs."""
    played = unroll(form)
    chorus = _chorus(form, [bar for bar in played.bars if bar.chorus == 0 and bar.number])
    rest = [
        replace(_bar(bar, form), rest=form.ending, last=True)
        for bar in played.bars
        if bar.number == 0
    ]
    times = form.choruses
    if not rest:
        chorus[-1] = replace(chorus[-1], last=True)
    if times == 1:
        return chorus + rest
    chorus[0] = replace(chorus[0], opens=True)
    turn = -(-sum(span.bars for span in form.turnaround) // 1) if form.turnaround else 0
    if turn and rest:
        first = [replace(bar, in_bracket=True) for bar in chorus[-turn:]]
        numbers = "1." if times == 2 else f"1.–{times - 1}."
        once = [replace(bar, ends_section=False, section="", opens=False) for bar in first]
        first[0] = replace(first[0], bracket=numbers)
        first[-1] = replace(first[-1], closes=True)
        once[0] = replace(once[0], bracket=f"{times}.")
        rest = [replace(bar, in_bracket=True) for bar in rest]
        return chorus[:-turn] + first + once + rest
    chorus[-1] = replace(chorus[-1], closes=True, times=times)
    return chorus + rest


def _chorus(form: Form, bars: list[Bar]) -> list[WrittenBar]:
    written = [_bar(bar, form) for bar in bars]
    start = 0
    for section in form.sections:
        end = start + section.bars
        written[start] = replace(written[start], section=section.name)
        if len(form.sections) > 1:
            written[end - 1] = replace(written[end - 1], ends_section=True)
        start = end
    return written


def _bar(bar: Bar, form: Form) -> WrittenBar:
    return WrittenBar(
        tuple(
            Placed(
                slot.start - bar.start,
                slot.length,
                slot.chord,
                numeral(slot.chord, form.key),
            )
            for slot in bar.slots
        )
    )


def _lines(bars: list[WrittenBar]) -> tuple[tuple[WrittenBar, ...], ...]:
    """Lines of four bars: a section begins a line, unless that would fill more than a page."""
    lines = _broken(bars, at_sections=True)
    if len(lines) > FULL_PAGE:
        lines = min(
            lines, _broken(bars, at_sections=False), key=lambda way: -(-len(way) // FULL_PAGE)
        )
    return tuple(_with_similes(line) for line in lines)


def _broken(bars: list[WrittenBar], *, at_sections: bool) -> list[list[WrittenBar]]:
    parts: list[list[WrittenBar]] = []
    before: WrittenBar | None = None
    for bar in bars:
        new_ending = bool(bar.bracket) and before is not None and before.closes
        if not parts or new_ending or (at_sections and before is not None and before.ends_section):
            parts.append([])
        parts[-1].append(bar)
        before = bar
    return [part[at : at + LINE] for part in parts for at in range(0, len(part), LINE)]


def _with_similes(line: list[WrittenBar]) -> tuple[WrittenBar, ...]:
    """The line with a simile sign for each bar like the one before it, its first bar written."""
    written = line[:1]
    for before, bar in pairwise(line):
        fresh = bar.section or bar.bracket or bar.opens or bar.rest or before.closes
        same = not fresh and bar.chords == before.chords
        written.append(replace(bar, same=same))
    return tuple(written)
