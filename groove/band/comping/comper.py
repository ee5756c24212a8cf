"""The comper: chords in the idiom's rhythm, each stated, around drummer, bassist and soloist."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from random import Random

from groove.band.cell_chooser import CellChooser, PlayedBar
from groove.band.changes import Changes
from groove.band.comping.comping_hand import comping_hand
from groove.band.comping.strokes import CHORD, DEAD, LINE, Hit
from groove.band.figures import owner, with_figures
from groove.band.marked_chords import comping_roots, with_pushes, without_silent
from groove.band.part import CHORDAL, COMPING, DRUMS, GUITAR, KEYS, Part, pattern_of
from groove.band.plan.plan import Plan
from groove.form.chart import Bar, Chart, FigureStroke, Slot
from groove.rhythm.patterns import KEEP, CompingPattern

BUSY = 1.25  # strokes of the drummer in a bar, against the mean of the track's bars
REPEATS = 6  # bars that may go on with the same two bars
TRIES = 24  # for a bar that does not


def chordal_players(chart: Chart) -> tuple[str, ...]:
    """The parts that play chords: guitar and keys where the road has both, else the comping."""
    kinds = {pattern.voicing for bar in chart.bars for pattern in bar.comping}
    return (GUITAR, KEYS) if len(kinds) > 1 else (COMPING,)


def play_comping(
    plan: Plan,
    drums: Part,
    rng: Random,
    bass: Part,
    *,
    name: str = COMPING,
    others: Sequence[Part] = (),
) -> Part:
    """The part of a player of chords, around the drummer's fills and above the bass.

    rng is the player's own. name: comping, guitar or keys; the two rest in bars without a pattern
    of theirs. others: parts that the player leaves room for: the melody, the riff, and the other
    player of chords.
    """
    chart = plan.chart
    changes = Changes(chart)
    beat = chart.bars[0].meter.beat_ticks
    busy = _busy_bars(chart, drums) | _led_by_drums(plan)
    hits = _line(chart, name, busy, _other_strokes(others), changes, rng)
    heard = tuple(fill for fill in drums.fills if DRUMS not in chart.bar_at(fill[0]).out)
    hits = _thin_in_fills(hits, heard, chart, name)
    hits = with_pushes(hits, changes, beat, _pushed)
    hits = _carried(_one_at_a_time(hits), changes, beat)
    hits = _released(hits, changes, chart.end)
    hits = _with_every_chord(hits, changes, chart, name)
    hits = with_figures(hits, chart, changes, _together, keeps_time=False)
    hits = _where_it_plays(
        _released(_one_at_a_time(hits), changes, chart.end), changes, chart, name
    )
    notes = comping_hand(chart, bass.notes, rng, name, others).play(hits, changes)
    return Part(name, tuple(without_silent(comping_roots(notes, changes), changes)))


def _line(
    chart: Chart,
    name: str,
    busy: frozenset[int],
    other: Sequence[int],
    changes: Changes,
    rng: Random,
) -> list[Hit]:
    """The marks of all bars as strokes in time.

    busy: the starts of bars in which the drummer is busy. other: the ticks at which the other
    player of chords strikes.
    """
    chooser: _BarChooser | None = None
    hits: list[Hit] = []
    for bar in chart.bars:
        beat = bar.meter.beat_ticks
        pattern = pattern_of(name, bar)
        if not isinstance(pattern, CompingPattern):
            continue
        if not bar.number:
            short = beat // 2
            length = short if chart.form.ending == "hit" else bar.length
            hits.append(Hit(bar.start, length, bar.slots[0].chord, CHORD, "x", True))
            continue
        chooser = chooser or _BarChooser(pattern, busy, other, rng)
        played = chooser.next(bar, pattern, bar.pair)
        line = pattern.grid.line_ticks
        if played.held:
            first = played.strokes[0].line if played.strokes else pattern.grid.lines
            _hold_on(hits, bar.start, first * line)
        for stroke in played.strokes:
            start = bar.start + stroke.line * line
            chord, length = changes.slot_at(start).chord, stroke.lines * line
            change = changes.next_change(start)
            if stroke.mark in "nN":
                chord = changes.chord_to_come(start)
            elif (
                pattern.pushes
                and not change.early
                and 0 < change.start - start <= beat // 2
                and stroke.mark != DEAD
            ):
                over = min(pattern.usual_length, beat // 2)
                chord, length = change.chord, max(length, change.start - start + over)
            hits.append(Hit(start, length, chord, stroke.row, stroke.mark, stroke.accent))
    return hits


def _pushed(slot: Slot, length: int) -> Hit:
    return Hit(slot.start, length, slot.chord, CHORD, "x", True)


def _together(slot: Slot, stroke: FigureStroke) -> Hit:
    return Hit(stroke.start, stroke.length, slot.chord, CHORD, "x", stroke.accent)


def _hold_on(hits: list[Hit], bar_line: int, longer: int) -> None:
    """Lengthen, in place, the strokes that ring up to a bar line."""
    for place in range(len(hits) - 1, -1, -1):
        if hits[place].start < bar_line - longer and hits[place].end < bar_line:
            break
        if hits[place].end == bar_line:
            hits[place] = replace(hits[place], length=hits[place].length + longer)


@dataclass
class _BarChooser:
    """Chooses bars: calmer where the drummer or the other player of chords is busy, no figure
    repeated without end."""

    first: CompingPattern
    busy: frozenset[int]
    other: Sequence[int]
    rng: Random

    def __post_init__(self) -> None:
        self._chooser = CellChooser(self.first, self.rng)
        self._looks: list[object] = []
        self._repeated = 0

    def next(self, bar: Bar, pattern: CompingPattern, index: int) -> PlayedBar:
        """The strokes for a bar; index counts the bars from the first chorus on."""
        against = bisect_left(self.other, bar.end) - bisect_left(self.other, bar.start)
        if bar.start in self.busy or against > bar.meter.beats:
            bar = replace(bar, intensity=max(1.0, bar.intensity - 1))
        before = self._looks[-2] if len(self._looks) > 1 else None
        played = self._chooser.next(bar, pattern, index)
        for _ in range(TRIES):
            if self._repeated < REPEATS or index % 2 or played.strokes != before:
                break
            played = self._chooser.next(bar, pattern, index)
        if against > bar.meter.beats and _ticks(played) > bar.meter.beats:
            calm = replace(bar, intensity=1.0)
            calmest = min(self._chooser.others(calm, pattern, index), key=_ticks)
            played = self._thinned(calmest, pattern)
        self._repeated = self._repeated + 1 if played.strokes == before else 0
        self._looks = [*self._looks[-1:], played.strokes]
        return played

    def _thinned(self, played: PlayedBar, pattern: CompingPattern) -> PlayedBar:
        """At most as many strokes as beats, those first in which the other player rests."""
        bar = played.bar
        first = bisect_left(self.other, bar.start)
        struck = set(self.other[first : bisect_left(self.other, bar.end)])
        line = bar.length // pattern.grid.lines
        lines = sorted(
            {stroke.line for stroke in played.strokes},
            key=lambda at: (bar.start + at * line in struck, at),
        )
        kept = set(lines[: bar.meter.beats])
        strokes = tuple(stroke for stroke in played.strokes if stroke.line in kept)
        return replace(played, strokes=strokes)


def _ticks(played: PlayedBar) -> int:
    """The places in a bar at which something is struck."""
    return len({stroke.line for stroke in played.strokes})


def _other_strokes(others: Sequence[Part]) -> list[int]:
    """The ticks at which the other player of chords strikes, in order."""
    return sorted({note.start for part in others if part.name in CHORDAL for note in part.notes})


def _where_it_plays(hits: list[Hit], changes: Changes, chart: Chart, name: str) -> list[Hit]:
    """The strokes in bars in which a player has a pattern, none ringing into others."""
    rests = [bar.start for bar in chart.bars if not pattern_of(name, bar)]
    if not rests:
        return hits
    kept = []
    for hit in hits:
        if not pattern_of(name, owner(chart, changes, hit.start)):
            continue
        place = bisect_right(rests, hit.start)
        at_rest = chart.bar_at(hit.start).start in rests[place - 1 : place]
        end = rests[place] if place < len(rests) and not at_rest else hit.end
        kept.append(replace(hit, length=min(hit.length, end - hit.start)))
    return kept


def _busy_bars(chart: Chart, drums: Part) -> frozenset[int]:
    """The starts of the bars in which the drummer strikes much more than usual."""
    starts = [note.start for note in drums.notes if note.start >= chart.start]
    strokes = {
        bar.start: bisect_left(starts, bar.end) - bisect_left(starts, bar.start)
        for bar in chart.bars
    }
    usual = len(starts) / len(strokes)
    return frozenset(start for start, count in strokes.items() if count > BUSY * usual)


def _led_by_drums(plan: Plan) -> frozenset[int]:
    """The starts of the bars in which the drummer plays the figures."""
    return frozenset(
        bar.start
        for bar, planned in zip(plan.chart.bars, plan.bars, strict=True)
        if planned.leads == DRUMS
    )


def _thin_in_fills(
    hits: Iterable[Hit], fills: tuple[tuple[int, int], ...], chart: Chart, name: str
) -> list[Hit]:
    """The strokes, under fills of more than a beat only those on the beat and the first, where the
    pattern thins out there."""
    kept, waiting, first = [], list(reversed(fills)), -1
    for hit in hits:
        while waiting and waiting[-1][1] <= hit.start:
            waiting.pop()
        if waiting and waiting[-1][0] <= hit.start:
            start, end = waiting[-1]
            bar = chart.bar_at(hit.start)
            pattern = pattern_of(name, bar)
            goes_on = isinstance(pattern, CompingPattern) and pattern.fills == KEEP
            if first < start:
                first = hit.start
            on_beat = (hit.start - bar.start) in bar.meter.beat_starts
            rests = not goes_on and end - start > bar.meter.beat_ticks
            if rests and not on_beat and hit.start != first:
                continue
        kept.append(hit)
    return kept


def _carried(hits: list[Hit], changes: Changes, beat: int) -> list[Hit]:
    """The strokes; a chord that was to ring a beat or more over a change is struck anew there."""
    kept: list[Hit] = []
    needed: int | None = None  # the start of the next whole chord or line
    for hit in reversed(hits):
        until = min(hit.end, needed or hit.end)
        parts = [hit]
        change = changes.next_change(hit.start)
        while hit.row == CHORD and parts[-1].start < change.start <= until - beat:
            parts[-1] = replace(parts[-1], length=change.start - parts[-1].start)
            rest = until - change.start
            parts.append(Hit(change.start, rest, change.chord, CHORD, hit.mark, False))
            change = changes.next_change(change.start)
        kept += reversed(parts)
        if hit.row in (CHORD, LINE):
            needed = hit.start
    return _one_at_a_time(kept)


def _one_at_a_time(hits: list[Hit]) -> list[Hit]:
    """The strokes in order; where a whole chord is struck, nothing else is, and all that are
    struck together are of one chord, the one to come if any is."""
    kept: list[Hit] = []
    ordered = sorted(hits, key=lambda hit: (hit.start, hit.row))
    for _, group in groupby(ordered, key=lambda hit: hit.start):
        together = list(group)
        for row in (CHORD, LINE):
            of_row = [hit for hit in together if hit.row == row]
            if of_row:
                together = [max(of_row, key=lambda hit: hit.mark != DEAD)]
                break
        coming = [hit for hit in together if hit.mark in "nN"]
        chord = (coming or together)[0].chord
        kept += [hit if hit.chord is chord else replace(hit, chord=chord) for hit in together]
    return kept


def _released(hits: list[Hit], changes: Changes, end: int) -> list[Hit]:
    """Each stroke ended where its chord ends or where its voices are struck again.

    A whole chord or a line ends all that rings; a single voice is struck again while the others
    ring; a line has one stroke at a time; another chord ends everything.
    """
    kept: list[Hit] = []
    again: dict[str, int] = {}  # the start of the next stroke in each row
    after, other = None, end
    for start, group in groupby(reversed(hits), key=lambda hit: hit.start):
        together = list(group)
        chord = together[0].chord
        if after and after.chord != chord:
            other = after.start
        change = changes.next_change(start)
        if start < change.start and change.chord != chord:
            other = min(other, change.start)
        for hit in together:
            latest = min(other, again.get(CHORD, end), again.get(LINE, end))
            if after and hit.row == LINE:
                latest = min(latest, after.start)
            latest = min(latest, again.get(hit.row, end))
            kept.append(hit if hit.end <= latest else replace(hit, length=latest - start))
        again |= {hit.row: start for hit in together}
        after = together[0]
    return kept[::-1]


def _with_every_chord(hits: list[Hit], changes: Changes, chart: Chart, name: str) -> list[Hit]:
    """The strokes, and one more at the change of any chord that its first bar would not state."""
    starts = [hit.start for hit in hits]
    added = []
    for slot in changes.slots:
        here = chart.bar_at(slot.start)
        beat, bar = here.meter.beat_ticks, here.length
        first = bisect_left(starts, slot.start - beat)
        past = bisect_left(starts, min(slot.end, slot.start + bar))
        rows = {
            hit.row
            for hit in hits[first:past]
            if hit.chord == slot.chord and hit.mark != DEAD and hit.end > slot.start
        }
        pattern = pattern_of(name, here)
        if not isinstance(pattern, CompingPattern):
            continue
        if not _whole(rows, pattern.voices):
            length = min(beat, max(pattern.usual_length, beat // 2), slot.length)
            added.append(Hit(slot.start, length, slot.chord, CHORD, "x", False))
    return hits + added


def _whole(rows: set[str], voices: int) -> bool:
    """True if strokes in some rows have sounded every voice of a voicing."""
    below = {f"voice-{number}" for number in range(1, voices)}
    return CHORD in rows or (below <= rows and bool({"top", f"voice-{voices}"} & rows))
