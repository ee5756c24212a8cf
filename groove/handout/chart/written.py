"""The chord chart as it is written: one chorus with repeat signs, and the end of the track; of an
arrangement the folded road, bar by bar.

The track repeats its chorus and, unless it is a loop, comes to rest in one bar more. Written,
that is a repeated chorus and the bar to finish. Where the turnaround leads to another key, the
last time is another ending: the turnaround stands under a bracket for all times but the last.
Where keys or tempo change from chorus to chorus, the first is written as it is played, the last
ending in the key of the last, and words say how it goes on. Of a short form the other keys are
written out below.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from groove.form.chart import Chart, Figure, Slot, by_bar
from groove.form.chorus_words import course_words
from groove.form.choruses import in_chorus
from groove.form.harmony import key_in_words
from groove.form.model import Form
from groove.form.readers import READERS, Reader
from groove.form.unroll import unroll
from groove.form.words import _swings_sixteenths, feel_words
from groove.form.written_chords import chorus_slots
from groove.handout.chart.arranged import arranged, is_arranged, written_bar
from groove.handout.chart.bar import WrittenBar, WrittenChord
from groove.handout.chart.figures import ending_bars, with_rhythms
from groove.handout.chart.melody import OCTAVE, melodies
from groove.lesson.change_words import degree_words
from groove.lesson.voice import SILENT, TeacherVoice, voice_of
from groove.rhythm.meter import Meter
from groove.theory.keys import Key
from groove.theory.pitch import Degree
from groove.theory.symbols import key_symbol, key_words, numeral
from groove.wording import SHIPPED, Wording, said

LINE = 4  # bars
FULL_PAGE = 13  # lines; above that sections follow each other on one line
SEMITONES_OF_FIFTH = 7
SHORT = 8  # bars: forms up to that are written out in every key of a cycle


@dataclass(frozen=True, slots=True)
class KeyRow:
    """The form in another key of a cycle: the key's symbol, and lines of up to four bars."""

    key: str
    lines: tuple[tuple[WrittenBar, ...], ...]


@dataclass(frozen=True, slots=True)
class WrittenChart:
    """A chart for one reader: the words of its head, and its lines of up to four bars.

    key: as the reader sees it; home: the same as a musician says it. feel: in words. swing_type:
    the note that swings, ``"eighth"`` or ``"16th"``. course: sentences on the changes from
    chorus to chorus. others: a short form in the keys that follow, in their order. by: who wrote
    words and music. words: those in which it is written. voice: the teacher's own words.
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
    road: str = ""
    course: tuple[str, ...] = ()
    legend: tuple[str, ...] = ()
    others: tuple[KeyRow, ...] = ()
    by: str = ""
    words: Wording = SHIPPED
    voice: TeacherVoice = SILENT

    @property
    def head_words(self) -> tuple[str, ...]:
        """The sentences that stand under title, key and tempo."""
        return (*filter(None, (self.road,)), *self.course, *self.legend)

    def with_numerals_explained(self) -> WrittenChart:
        """The chart with the meaning of the slash in its numerals, where one has it."""
        slashes = (c.numeral for bar in self.bars for c in bar.chords if "/" in c.numeral)
        first = next(slashes, "")
        if not first:
            return self
        upper, _, low = first.rpartition("/")
        degree = degree_words(Degree.parse(low))
        words = said("chart", "legend.numeral", numeral=first, upper=upper, degree=degree)
        return replace(self, legend=tuple(dict.fromkeys((*self.legend, words))))

    def without_ending(self) -> WrittenChart:
        """The chart without the bars after the last chorus, which a sentence refers to; the same
        chart where there are none."""
        if not any(bar.added for bar in self.bars):
            return self
        cut = (tuple(bar for bar in line if not bar.added) for line in self.lines)
        words = said("chart", "legend.ending_elsewhere")
        lines = tuple(line for line in cut if line)
        return replace(self, lines=lines, legend=(*self.legend, words))

    @property
    def bars(self) -> tuple[WrittenBar, ...]:
        """The bars of all lines, in order."""
        return tuple(bar for line in self.lines for bar in line)


def write_chart(form: Form, reader: Reader = READERS["concert"]) -> WrittenChart:
    """The written chart of a form for a reader."""
    if is_arranged(form):
        return _arrangement(form, reader)
    seen = [reader.form(in_chorus(form, number)) for number in range(form.choruses)]
    written, struck = _written(seen, unroll(reader.form(form)))
    even = form.drums.grid.is_triplet and not form.meter.is_compound
    figures = [None] * (len(written) - len(struck)) + struck
    pushed = with_rhythms(written, figures, [even] * len(written))
    return WrittenChart(
        title=form.title,
        by=form.by,
        voice=voice_of(form.lesson),
        words=form.lesson.words,
        key=seen[0].key,
        home=key_in_words(seen[0]),
        sounding_key=form.key,
        meter=form.meter,
        tempo=form.tempo,
        feel=feel_words(form),
        swing_ratio=form.swing_ratio,
        swing_type="16th" if _swings_sixteenths(form) else "eighth",
        choruses=form.choruses,
        reader=reader,
        lines=_lines(pushed),
        course=course_words(form, reader),
        legend=_mark_words(chorus_slots(form)),
        others=_in_other_keys(seen) if form.bars <= SHORT else (),
    )


def _arrangement(form: Form, reader: Reader) -> WrittenChart:
    """The written chart of a road; its head is that of the first bar."""
    moved = reader.form(form)
    chart = unroll(moved)
    higher = reader.shift(form.key) * SEMITONES_OF_FIFTH % OCTAVE
    bars, road = arranged(chart, melodies(unroll(form), chart, higher))
    first = chart.bars[0]
    setting = first.setting
    begun = replace(
        moved,
        meter=setting.meter,
        tempo=setting.tempo,
        feel=setting.feel,
        swing_ratio=setting.swing_ratio,
        drums=setting.drums,
    )
    home = key_in_words(moved) if first.key == moved.key else key_words(first.key)
    return WrittenChart(
        title=form.title,
        by=form.by,
        voice=voice_of(form.lesson),
        words=form.lesson.words,
        key=first.key,
        home=home,
        sounding_key=form.key,
        meter=setting.meter,
        tempo=setting.tempo,
        feel=feel_words(begun),
        swing_ratio=setting.swing_ratio,
        swing_type="16th" if _swings_sixteenths(begun) else "eighth",
        choruses=form.choruses,
        reader=reader,
        lines=_lines(bars),
        road=road,
        legend=_mark_words([slot for bar in chart.bars for slot in bar.slots]),
    )


def _mark_words(slots: Sequence[Slot]) -> tuple[str, ...]:
    """The meaning of the marks at chords, for those that some chords have."""
    marks = {
        "pushed": any(slot.early for slot in slots),
        "root_only": any(slot.root_only for slot in slots),
        "silent": any(slot.silent for slot in slots),
    }
    return tuple(said("chart", f"legend.{mark}") for mark, here in marks.items() if here)


def _written(seen: list[Form], chart: Chart) -> tuple[list[WrittenBar], list[Figure | None]]:
    """The bars from the top to the end of the piece, with their signs, and the figures of those
    of the ending.

    seen: the form as it is in each chorus.
    """
    form, last = seen[0], seen[-1]
    chorus = _chorus(form, seen[1] if len(seen) > 1 else form)
    times = form.choruses
    rest, struck = ending_bars(chart, written_bar)
    if not rest:
        chorus[-1] = replace(chorus[-1], last=True)
    if times == 1:
        return chorus + rest, struck
    chorus[0] = replace(chorus[0], opens=True)
    turn = -(-sum(span.bars for span in form.turnaround) // 1) if form.turnaround else 0
    final = _chorus(last, last)[-turn:]
    goes_elsewhere = [bar.chords for bar in final] != [bar.chords for bar in chorus[-turn:]]
    if turn and rest and goes_elsewhere:
        first = [replace(bar, in_bracket=True) for bar in chorus[-turn:]]
        numbers = "1." if times == 2 else f"1.–{times - 1}."
        once = [
            replace(bar, in_bracket=True, ends_section=False, section="", opens=False)
            for bar in final
        ]
        first[0] = replace(first[0], bracket=numbers)
        first[-1] = replace(first[-1], closes=True)
        once[0] = replace(once[0], bracket=f"{times}.")
        rest = [replace(bar, in_bracket=True) for bar in rest]
        return chorus[:-turn] + first + once + rest, struck
    chorus[-1] = replace(chorus[-1], closes=True, times=times)
    return chorus + rest, struck


def _in_other_keys(seen: list[Form]) -> tuple[KeyRow, ...]:
    """The bars of each chorus in a key that has not been before, as they are played."""
    rows: dict[Key, KeyRow] = {}
    for here, coming in pairwise([*seen[1:], seen[-1]]):
        if here.key not in rows and here.key != seen[0].key:
            bars = [
                replace(b, section="", ends_section=False, number=0) for b in _chorus(here, coming)
            ]
            lines = (with_similes(line) for line in _broken(bars, at_sections=False))
            rows[here.key] = KeyRow(key_symbol(here.key), tuple(lines))
    return tuple(rows.values())


def _chorus(form: Form, coming: Form) -> list[WrittenBar]:
    """The bars of a chorus. coming: the form in the chorus that the turnaround leads to."""
    ticks = form.meter.bar_ticks
    cut = by_bar(list(chorus_slots(form, coming)), 0, form.bars, ticks)
    turn = form.bars - sum(span.bars for span in form.turnaround)
    written = [
        _bar(slots, number, form.meter, coming.key if number >= turn else form.key)
        for number, slots in enumerate(cut)
    ]
    start = 0
    for play in form.all_sections:
        end = start + play.last - play.first
        written[start] = replace(written[start], section=play.section.name)
        if len(form.sections) > 1:
            written[end - 1] = replace(written[end - 1], ends_section=True)
        start = end
    return written


def _bar(slots: tuple[Slot, ...], number: int, meter: Meter, key: Key) -> WrittenBar:
    start = number * meter.bar_ticks
    return WrittenBar(
        tuple(
            WrittenChord(
                slot.start - start,
                slot.length,
                slot.chord,
                "" if slot.silent else numeral(slot.chord, key),
                slot.early,
                slot.silent,
                slot.root_only,
            )
            for slot in slots
        ),
        meter,
        number=number + 1,
    )


def chorus_lines(form: Form) -> tuple[tuple[WrittenBar, ...], ...]:
    """One chorus in the lines of the written chart, each bar with its chords, without repeats."""
    return tuple(map(tuple, _in_lines(_chorus(form, form))))


def _lines(bars: list[WrittenBar]) -> tuple[tuple[WrittenBar, ...], ...]:
    return tuple(with_similes(line) for line in _in_lines(bars))


def _in_lines(bars: list[WrittenBar]) -> list[list[WrittenBar]]:
    """Lines of four bars: a section begins a line, unless that would fill more than a page."""
    lines = _broken(bars, at_sections=True)
    if len(lines) > FULL_PAGE:
        lines = min(
            lines, _broken(bars, at_sections=False), key=lambda way: -(-len(way) // FULL_PAGE)
        )
    return lines


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


def with_similes(line: list[WrittenBar]) -> tuple[WrittenBar, ...]:
    """The line with a simile sign for each bar like the one before it, its first bar written."""
    written = line[:1]
    for before, bar in pairwise(line):
        played = bar.rhythm or bar.stops or before.rhythm or before.stops
        fresh = (
            bar.begins_something
            or bar.finish
            or bar.rest
            or before.closes
            or played
            or bar.fermata is not None
        )
        fresh = fresh or bar.melody != before.melody
        same = not (fresh or played) and bar.chords == before.chords
        written.append(replace(bar, same=same))
    return tuple(written)
