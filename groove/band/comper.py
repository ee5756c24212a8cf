"""The comper: chords in the idiom's rhythm, each stated, voices moving little."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass, replace
from random import Random

from groove.band.choose import CellChooser
from groove.band.harmony import Harmony
from groove.band.part import GridNote, Part, weight
from groove.band.patterns import Pattern
from groove.band.voicing import Hand, Voicing, movement, voicings
from groove.form.chart import Chart
from groove.theory.chords import Chord

REGISTER_PULL = 0.06  # semitones of movement that a semitone off the middle is worth
SPREAD_PULL = 0.05
FEWER_VOICES = 2.0
CHANCE = 0.4
REVOICED_AFTER = 2  # bars on one chord, then the hand may move
SAME_AGAIN = 2.0
GHOST = "o"


@dataclass(frozen=True, slots=True)
class _Hit:
    """A chord to be struck."""

    start: int
    length: int
    chord: Chord
    mark: str
    accent: bool

    @property
    def end(self) -> int:
        return self.start + self.length


def play_comping(chart: Chart, pattern: Pattern, drums: Part, rng: Random) -> Part:
    """The comping part of a chart, around the drummer's fills; rng is the comper's own."""
    harmony = Harmony(chart)
    hits = _out_of_fills(_line(chart, pattern, harmony, rng), drums.fills)
    hits = _with_every_chord(hits, harmony, chart)
    options = pattern.options
    low, high = options["register"]
    hand = Hand(options["voicing"], low, high, options["voices"], options["colours"])
    settled = REVOICED_AFTER * chart.form.meter.bar_ticks
    notes: list[GridNote] = []
    voicing: Voicing | None = None
    chord: Chord | None = None
    since = 0
    for hit in hits:
        if hit.chord != chord or (hit.start >= since + settled and hit.mark != GHOST):
            voicing = _next_voicing(voicing, hit.chord, hit.chord == chord, hand, rng)
            chord, since = hit.chord, hit.start
        assert voicing is not None
        notes += _struck(hit, voicing)
    return Part("comping", pattern, tuple(notes))


def _line(chart: Chart, pattern: Pattern, harmony: Harmony, rng: Random) -> list[_Hit]:
    """The marks of all bars as chords in time."""
    chooser = CellChooser(pattern, rng)
    line, beat = pattern.grid.line_ticks, chart.form.meter.beat_ticks
    pushes = pattern.options.get("pushes", False)
    hits: list[_Hit] = []
    for index, bar in enumerate(chart.bars):
        if not bar.number:
            short = chart.form.meter.beat_ticks // 2
            length = short if chart.form.ending == "hit" else bar.length
            hits.append(_Hit(bar.start, length, bar.slots[0].chord, "x", True))
            continue
        played = chooser.next(bar, index)
        if played.held and hits:
            first = played.strokes[0].line if played.strokes else pattern.grid.lines
            hits[-1] = replace(hits[-1], length=bar.start + first * line - hits[-1].start)
        for stroke in played.strokes:
            start = bar.start + stroke.line * line
            chord, length = harmony.slot_at(start).chord, stroke.lines * line
            change = harmony.next_change(start)
            if stroke.mark in "nN":
                chord = harmony.chord_to_come(start)
            elif pushes and 0 < change.start - start <= beat // 2:
                chord, length = change.chord, change.start - start + beat // 2
            hits.append(_Hit(start, length, chord, stroke.mark, stroke.accent))
    return hits


def _out_of_fills(hits: list[_Hit], fills: tuple[tuple[int, int], ...]) -> list[_Hit]:
    """The hits outside the drummer's fills; one that was there before rings on."""
    return [hit for hit in hits if not any(start <= hit.start < end for start, end in fills)]


def _with_every_chord(hits: list[_Hit], harmony: Harmony, chart: Chart) -> list[_Hit]:
    """The hits, and one more at the change of any chord that its first bar would not state.

    No hit sounds over a change into another chord than its own.
    """
    beat, bar = chart.form.meter.beat_ticks, chart.form.meter.bar_ticks
    by_start = {hit.start: hit for hit in hits}
    starts = sorted(by_start)
    for slot in harmony.changes:
        first = bisect_right(starts, slot.start - beat)
        past = bisect_left(starts, min(slot.end, slot.start + bar))
        near = (by_start[start] for start in starts[first:past])
        stated = any(
            hit.chord == slot.chord and hit.mark != GHOST and hit.end > slot.start for hit in near
        )
        if not stated:
            by_start[slot.start] = _Hit(slot.start, min(beat, slot.length), slot.chord, "x", False)
    ordered = [by_start[start] for start in sorted(by_start)]
    ends = [*(hit.start for hit in ordered[1:]), chart.end]
    return [_cut(hit, end, harmony) for hit, end in zip(ordered, ends, strict=True)]


def _cut(hit: _Hit, latest: int, harmony: Harmony) -> _Hit:
    """The hit, ended at the latest there or where another chord takes over."""
    end = min(hit.end, latest)
    change = harmony.next_change(hit.start)
    if hit.start < change.start < end and change.chord != hit.chord:
        end = change.start
    return replace(hit, length=end - hit.start)


def _next_voicing(
    before: Voicing | None, chord: Chord, stays: bool, hand: Hand, rng: Random
) -> Voicing:
    """The voicing nearest to the one before and to the middle of the register.

    Where the chord stays, another voicing of it is worth a little movement.
    """
    middle = (hand.low + hand.high) / 2

    def cost(voicing: Voicing) -> float:
        pitches = voicing.pitches
        off = abs(sum(pitches) / len(pitches) - middle)
        spread = max(pitches) - min(pitches)
        moved = movement(before, voicing) if before else 0.0
        fewer = FEWER_VOICES * (hand.voices - len(pitches))
        moved += SAME_AGAIN if stays and voicing == before else 0.0
        return moved + REGISTER_PULL * off + SPREAD_PULL * spread + fewer + CHANCE * rng.random()

    return min(voicings(chord, hand), key=cost)


def _struck(hit: _Hit, voicing: Voicing) -> list[GridNote]:
    size = len(voicing.pitches)
    strings = voicing.strings or (0,) * size
    frets = voicing.frets or (-1,) * size
    return [
        GridNote(hit.start, hit.length, pitch, weight(hit.mark, hit.accent), "", string, fret)
        for pitch, string, fret in zip(voicing.pitches, strings, frets, strict=True)
    ]
