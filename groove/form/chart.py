"""The chart: the form unrolled into bars with the chords that sound in them."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from groove.form.chordline import Span
from groove.form.choruses import Chorus, in_chorus, tuning_bars
from groove.form.intensity import intensities, slow_rise
from groove.form.model import Form
from groove.form.style import StyleError
from groove.rhythm.meter import TempoMap
from groove.rhythm.patterns import BassPattern, CompingPattern, DrumPattern
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from groove.theory.quality import Quality, parse_quality

PHRASE = 4  # bars, counted from the start of a section
BETWEEN_TOPS = 8  # bars, at least


@dataclass(frozen=True, slots=True)
class Slot:
    """A chord over a stretch of time, in ticks from the start of the track.

    early: ticks by which it sounds before its written place. silent: whether it is written N.C.:
    then bass and comping are silent, and ``chord`` is the one before. root_only: whether its
    root alone is played.
    """

    start: int
    length: int
    chord: Chord
    early: int = 0
    silent: bool = False
    root_only: bool = False

    @property
    def end(self) -> int:
        """The tick at which it ends."""
        return self.start + self.length

    @property
    def written_start(self) -> int:
        """The tick at which the chord is written; ``start`` is the one at which it sounds."""
        return self.start + self.early


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar of the track.

    chorus: counted from 0; number: of the bar in its chorus, from 1, and 0 for the bar of
    the ending. turn: ``"chorus"`` in a chorus's last bar, ``"phrase"`` in another bar that
    ends four bars or a section, else empty. top: whether a chorus begins here. In forms under
    eight bars a chorus counts as such only where eight bars or more have gone by.
    intensity: 1 (behind a quiet soloist) to 3 (flat out). drums, bass, comping: the patterns
    that are played.
    """

    start: int
    length: int
    chorus: int
    number: int
    section: str
    turn: str
    top: bool
    intensity: float
    slots: tuple[Slot, ...]
    drums: DrumPattern
    bass: BassPattern
    comping: CompingPattern

    @property
    def end(self) -> int:
        """The tick at which it ends."""
        return self.start + self.length


@dataclass(frozen=True, slots=True)
class Chart:
    """The whole track: bars of count-in, the bars of all choruses, the ending's bar.

    bars: every bar from the first chorus on, the ending's included, its chords at their written
    places. changes: the chords in order, where they sound and each as long as it lasts; the same
    chord is struck anew at the top of a chorus.
    choruses: where each begins, with its key and tempo. tempi: the course of the tempo.
    """

    form: Form
    bars: tuple[Bar, ...]
    changes: tuple[Slot, ...]
    choruses: tuple[Chorus, ...]
    tempi: TempoMap

    @property
    def start(self) -> int:
        """The tick at which the count-in ends and the first chorus begins."""
        return self.choruses[0].start

    @property
    def count_in(self) -> int:
        """The tick at which the tuning note ends and the count-in begins."""
        return self.start - self.form.count_in * self.form.meter.bar_ticks

    @property
    def end(self) -> int:
        """The tick at which the last bar ends."""
        return self.bars[-1].end

    @property
    def ending(self) -> Bar | None:
        """The ending's bar; None where the track ends so that it can be repeated."""
        return self.bars[-1] if self.bars[-1].number == 0 else None

    def seconds(self, tick: float) -> float:
        """The seconds from the start of the track to a tick, as the tempo goes."""
        return self.tempi.seconds(tick)

    def bar_at(self, tick: int) -> Bar:
        """The bar that a time lies in; the first before it begins, the last when it is over."""
        return self.bars[max(0, bisect_right(self.bars, tick, key=_start) - 1)]

    def chorus_at(self, tick: int) -> int:
        """The chorus, counted from 0, that a time lies in; times before or after all of
        them count with the first or the last."""
        first = self.choruses[0]
        chorus = (tick - first.start) // (first.end - first.start)
        return max(0, min(chorus, len(self.choruses) - 1))

    def key_at(self, tick: int) -> Key:
        """The key at a time."""
        return self.choruses[self.chorus_at(tick)].key


def _start(bar: Bar) -> int:
    return bar.start


def unroll(form: Form) -> Chart:
    """The chart of a form.

    A turnaround leads on: its chords are in the key of the chorus that follows.
    """
    size = form.bars
    bar_ticks = form.meter.bar_ticks
    marks = _marks(form)
    levels = (
        intensities(form.intensity, size, size * form.choruses)
        if form.intensity
        else slow_rise(form.choruses, size)
    )
    names = [section.name for section in form.sections for _ in range(section.bars)]
    bars: list[Bar] = []
    changes: list[Slot] = []
    forms = [in_chorus(form, number) for number in range(form.choruses)]
    choruses: list[Chorus] = []
    known: dict[tuple[Key, Key], tuple[Slot, ...]] = {}
    first_bar = tuning_bars(form) + form.count_in
    for number, here in enumerate(forms):
        coming = forms[min(number + 1, form.choruses - 1)]
        keys = here.key, coming.key
        if keys not in known:
            known[keys] = chorus_slots(here, coming)
        offset = (first_bar + number * size) * bar_ticks
        end = offset + size * bar_ticks
        choruses.append(Chorus(offset, end, here.key, here.tempo, here.swing_ratio))
        placed = [replace(slot, start=slot.start + offset) for slot in known[keys]]
        changes += placed
        for index, slots in enumerate(by_bar(placed, offset, size, bar_ticks)):
            turn, top = marks[number * size + index]
            start = offset + index * bar_ticks
            bars.append(
                Bar(
                    start, bar_ticks, number, index + 1, names[index], turn, top,
                    levels[number * size + index], slots, form.drums, form.bass, form.comping,
                )
            )  # fmt: skip
    if form.ending != "loop":
        last = Slot(bars[-1].end, bar_ticks, home_chord(forms[-1]))
        changes.append(last)
        bars.append(
            replace(
                bars[-1], start=last.start, number=0, section="", turn="", top=False, slots=(last,)
            )
        )
    tempi = _tempi(form, choruses)
    return Chart(form, tuple(bars), _anticipated(changes), tuple(choruses), tempi)


def _anticipated(written: list[Slot]) -> tuple[Slot, ...]:
    """The chords where they sound: a pushed one takes the end of the one before.

    What is pushed at the start of the track comes on its beat.
    """
    slots: list[Slot] = []
    for slot in written:
        early = min(slot.early, slots[-1].length - 1) if slots else 0
        if early:
            slots[-1] = replace(slots[-1], length=slots[-1].length - early)
        slots.append(
            replace(slot, start=slot.start - early, length=slot.length + early, early=early)
        )
    return tuple(slots)


def _tempi(form: Form, choruses: list[Chorus]) -> TempoMap:
    """The form's tempo from the start, then that of each chorus which has another."""
    changes = [(0, form.tempo)]
    for chorus in choruses:
        if chorus.tempo != changes[-1][1]:
            changes.append((chorus.start, chorus.tempo))
    return TempoMap(form.meter.beat_ticks, tuple(changes))


def home_chord(form: Form) -> Chord:
    """The chord that the track comes to rest on.

    Where a chorus ends at home already, that is its last chord: Dm6 after Dm6. Else it is the
    first one on the tonic, else the triad.
    """
    spans = (span for section in form.sections for span in section.spans)
    chords = (span.chord(form.key, form.fifths) for span in spans)
    at_home = [chord for chord in chords if chord and chord.root == form.key.tonic]
    if not at_home:
        return Chord(form.key.tonic, parse_quality("m" if form.key.mode == "minor" else ""))
    first, last = at_home[0].quality, chorus_slots(form)[-1].chord
    if last.root == form.key.tonic and _can_end(last.quality, first):
        return Chord(last.root, last.quality)
    return Chord(form.key.tonic, first)


def _can_end(quality: Quality, first: Quality) -> bool:
    """True if a chord on the tonic is one to rest on, where the form began at home on another:
    with the same third, and no seventh that leads on unless home had it."""
    same = quality.of_step(3) is not None and quality.of_step(3) == first.of_step(3)
    leads = quality.is_dominant and not first.is_dominant
    return same and not leads and quality.of_step(5) == first.of_step(5)


def chorus_slots(form: Form, coming: Form | None = None) -> tuple[Slot, ...]:
    """The chords of one chorus from tick 0 at their written places, quick change and turnaround
    applied.

    coming: the form as it is in the chorus that the turnaround leads to, if it differs. A chord
    that goes on is one slot, unless it is pushed. Raises StyleError where bar 2 can't take the IV.
    """
    spans = _in_key(form, (span for section in form.sections for span in section.spans))
    if form.quick_change:
        spans = _with_quick_change(spans, form.key.tonic)
    if form.turnaround:
        last = _in_key(coming or form, form.turnaround)
        spans = _up_to(spans, form.bars - sum((bars for _, bars in last), Fraction(0))) + last
    slots: list[Slot] = []
    position = Fraction(0)
    for slot, length in spans:
        start, end = (int(at * form.meter.bar_ticks) for at in (position, position + length))
        position += length
        if slots and not slot.early and replace(slots[-1], start=0, length=0, early=0) == slot:
            slots[-1] = replace(slots[-1], length=end - slots[-1].start)
        else:
            slots.append(replace(slot, start=start, length=end - start))
    return tuple(slots)


Spans = list[tuple[Slot, Fraction]]
"""Chords, their places still to be found, and how many bars each lasts."""


def _in_key(form: Form, spans: Iterable[Span]) -> Spans:
    """Chords in the key of a form; where none is to sound, the one before goes on in silence."""
    push = form.drums.grid.push_ticks
    found: Spans = []
    for span in spans:
        chord = span.chord(form.key, form.fifths)
        silent = chord is None
        if chord is None:
            chord = found[-1][0].chord if found else Chord(form.key.tonic, parse_quality(""))
        early = push if span.push else 0
        found.append((Slot(0, 0, chord, early, silent, span.root_only), span.bars))
    return found


def _with_quick_change(spans: Spans, tonic: NoteName) -> Spans:
    """Bar 2 on the IV, where bars 1 and 2 were on the tonic chord."""
    first, length = spans[0]
    chord = first.chord
    four = chord.transposed(-1)
    at_home = chord.root == tonic
    if at_home and length == 1 and len(spans) > 1 and spans[1][0].chord.root == four.root:
        return spans
    if (
        chord.root != tonic
        or sum(bars for _, bars in _up_to(spans, Fraction(2))) < 2
        or any(other != first for other, _ in _up_to(spans, Fraction(2)))
    ):
        raise StyleError(
            "quick_change", f"needs the tonic chord through bars 1 and 2; bar 1 has {chord}"
        )
    rest = _after(spans, Fraction(2))
    return [(first, Fraction(1)), (replace(first, chord=four), Fraction(1)), *rest]


def _up_to(spans: Spans, bars: Fraction) -> Spans:
    """The chords before a place in the chorus, the last one cut there."""
    kept: Spans = []
    for chord, length in spans:
        kept.append((chord, min(length, bars)))
        bars -= length
        if bars <= 0:
            break
    return kept


def _after(spans: Spans, bars: Fraction) -> Spans:
    """The chords from a place in the chorus on."""
    kept: Spans = []
    for chord, length in spans:
        if length > bars:
            kept.append((chord, length - max(bars, Fraction(0))))
        bars = max(bars - length, Fraction(0))
    return kept


def _marks(form: Form) -> list[tuple[str, bool]]:
    """For each bar of all choruses: the turn that it is, and whether a top begins with it.

    A short form comes round so often that not every time is a top: eight bars lie between two.
    """
    ends: list[bool] = []
    for section in form.sections:
        ends += [(bar + 1) % PHRASE == 0 for bar in range(section.bars)]
        ends[-1] = True
    size = len(ends)
    marks: list[tuple[str, bool]] = []
    since_turn = since_top = 0
    top = True
    for bar in range(size * form.choruses):
        since_turn, since_top = since_turn + 1, since_top + 1
        turn = ""
        if (bar + 1) % size == 0 and (since_top >= BETWEEN_TOPS or bar + 1 == size * form.choruses):
            turn, since_top = "chorus", 0
        elif ends[bar % size] and (size >= PHRASE - 1 or since_turn >= PHRASE):
            turn = "phrase"
        since_turn = 0 if turn else since_turn
        marks.append((turn, top))
        top = turn == "chorus"
    return marks


def by_bar(slots: list[Slot], offset: int, bars: int, bar_ticks: int) -> list[tuple[Slot, ...]]:
    """The slots cut at the bar lines, one tuple a bar. offset: where the first begins, in ticks."""
    cut: list[list[Slot]] = [[] for _ in range(bars)]
    for slot in slots:
        edges = [slot.start]
        first_line = (slot.start - offset) // bar_ticks + 1
        edges += range(offset + first_line * bar_ticks, slot.end, bar_ticks)
        for start, end in pairwise([*edges, slot.end]):
            early = slot.early if start == slot.start else 0
            piece = replace(slot, start=start, length=end - start, early=early)
            cut[(start - offset) // bar_ticks].append(piece)
    return [tuple(bar) for bar in cut]
