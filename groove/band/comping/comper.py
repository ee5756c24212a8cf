"""The comper: chords in the idiom's rhythm, each stated, around drummer, bassist and soloist."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import groupby
from random import Random

from groove import library
from groove.band.changes import Changes
from groove.band.comping.around_drums import (
    busy_bars,
    figures_to_answer,
    led_by_drums,
    thin_in_fills,
)
from groove.band.comping.bar_chooser import BarChooser
from groove.band.comping.comping_hand import CompingHand
from groove.band.comping.strokes import CHORD, DEAD, LINE, UNSTATED, Hit
from groove.band.figures import owner, struck_together, with_figures
from groove.band.keys.controls import keys_controls
from groove.band.marked_chords import comping_roots, with_pushes, without_silent
from groove.band.part import CHORDAL, COMPING, DRUMS, GUITAR, KEYS, Part, pattern_of
from groove.band.plan.plan import Plan
from groove.form.chart import Chart, FigureStroke, Slot
from groove.rhythm.patterns import CompingPattern


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
    busy = busy_bars(chart, drums) | led_by_drums(plan)
    other, answers = _other_strokes(others), figures_to_answer(plan, drums)
    hits = _line(plan, name, busy, other, answers, changes, rng)
    hits = _held_over(hits, changes, chart, name)
    heard = tuple(fill for fill in drums.fills if DRUMS not in chart.bar_at(fill[0]).out)
    hits = thin_in_fills(hits, heard, chart, name)
    hits = with_pushes(hits, changes, beat, _pushed)
    hits = _carried(_one_at_a_time(hits), changes, beat)
    hits = _released(hits, changes, chart.end)
    hits = _with_every_chord(hits, changes, chart, name)
    hits = with_figures(COMPING, hits, chart, changes, _together, keeps_time=False)
    hits = _where_it_plays(
        _released(_one_at_a_time(hits), changes, chart.end), changes, chart, name
    )
    hand = CompingHand(chart, bass.notes, rng, name, others)
    notes = tuple(without_silent(comping_roots(hand.play(hits, changes), changes), changes))
    controls = keys_controls(notes, chart, changes, name)
    return Part(name, notes, capo=hand.capo, controls=controls)


def _line(
    plan: Plan,
    name: str,
    busy: frozenset[int],
    other: Sequence[int],
    answers: Mapping[int, frozenset[int]],
    changes: Changes,
    rng: Random,
) -> list[Hit]:
    """The marks of all bars as strokes in time; the rest as in BarChooser.

    A chord to come is struck before its change where the band agrees on it, or, in families that
    leave it to the player, where the comping leads.
    """
    agreed = library.table("plan")["pushes"]["agreed"]
    together = struck_together(plan.chart)
    chooser: BarChooser | None = None
    hits: list[Hit] = []
    for bar, planned in zip(plan.chart.bars, plan.bars, strict=True):
        beat = bar.meter.beat_ticks
        alone = planned.leads == COMPING and bar.drums.family not in agreed
        pattern = pattern_of(name, bar)
        if not isinstance(pattern, CompingPattern):
            continue
        chooser = chooser or BarChooser(pattern, busy, other, answers, rng)
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
                chord = changes.chord_to_come(start) if alone else chord
            elif (
                alone
                and pattern.pushes
                and not change.early
                and 0 < change.start - start <= beat // 2
                and stroke.mark != DEAD
                and change.start not in together
            ):
                over = min(pattern.usual_length, beat // 2)
                chord, length = change.chord, max(length, change.start - start + over)
            hits.append(Hit(start, length, chord, stroke.row, stroke.mark, stroke.accent))
    return hits


def _pushed(slot: Slot, length: int) -> Hit:
    return Hit(slot.start, length, slot.chord, CHORD, "x", True)


def _together(slot: Slot, stroke: FigureStroke) -> Hit:
    row, mark = stroke.row or CHORD, stroke.mark or "x"
    return Hit(stroke.start, stroke.length, slot.chord, row, mark, stroke.accent)


def _hold_on(hits: list[Hit], bar_line: int, longer: int) -> None:
    """Lengthen, in place, the strokes that ring up to a bar line."""
    for place in range(len(hits) - 1, -1, -1):
        if hits[place].start < bar_line - longer and hits[place].end < bar_line:
            break
        if hits[place].end == bar_line:
            hits[place] = replace(hits[place], length=hits[place].length + longer)


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


def _held_over(hits: list[Hit], changes: Changes, chart: Chart, name: str) -> list[Hit]:
    """The strokes, a whole chord that sounds before its change held over it and not struck again
    there, but in figures with a clave of their own."""
    over: dict[int, Hit] = {}
    for hit in hits:
        change = changes.next_change(hit.start)
        pattern = pattern_of(name, chart.bar_at(hit.start))
        strict = isinstance(pattern, CompingPattern) and bool(pattern.clave)
        if hit.row == CHORD and hit.chord != changes.slot_at(hit.start).chord and not strict:
            over[change.start] = hit
    if not over:
        return hits
    kept = [hit for hit in hits if hit.start not in over]
    starts = [hit.start for hit in kept]
    for tick, early in over.items():
        after = bisect_right(starts, tick)
        beat = chart.bar_at(tick).meter.beat_ticks
        end = min(starts[after] if after < len(starts) else chart.end, tick + beat // 2)
        place = kept.index(early)
        kept[place] = replace(early, length=max(early.length, end - early.start))
    return kept


def _carried(hits: list[Hit], changes: Changes, beat: int) -> list[Hit]:
    """The strokes; a chord that was to ring a beat or more over a change is struck anew there."""
    kept: list[Hit] = []
    needed: int | None = None  # the start of the next whole chord or line
    for hit in reversed(hits):
        until = min(hit.end, needed or hit.end)
        parts = [hit]
        change = changes.next_change(hit.start)
        goes_on = hit.chord == change.chord  # it was struck for the chord to come
        while hit.row == CHORD and not goes_on and parts[-1].start < change.start <= until - beat:
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
                together = [max(of_row, key=_tells)]
                break
        coming = [hit for hit in together if hit.mark in "nN"]
        chord = (coming or together)[0].chord
        kept += [hit if hit.chord is chord else replace(hit, chord=chord) for hit in together]
    return kept


def _tells(hit: Hit) -> tuple[bool, bool]:
    """How much a stroke tells of its chord: a dead one nothing, a palm-muted one little."""
    return hit.mark not in UNSTATED, hit.mark != DEAD


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
            if hit.chord == slot.chord and hit.mark not in UNSTATED and hit.end > slot.start
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
