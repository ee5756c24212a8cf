"""The takes of the practice page: the notes of each part in a key, as rows of numbers.

Time is in ticks, 960 to a quarter, so that the page can play at any tempo. A note is written on
its grid, swung as the form swings at its own tempo, with its touch beside it in tenths of a
millisecond: a player's earliness and lateness does not stretch when the tempo falls, and the page
can swing the grid as the tempo asks.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import ceil
from operator import attrgetter
from typing import Any

from groove.band.part import SOLO, Part, PlayedNote, PlayedPart
from groove.band.take import Kit, Take, planned, play, record, touched_kit
from groove.form.chart import Chart
from groove.form.intensity import parse_intensity
from groove.form.model import Form
from groove.form.unroll import unroll
from groove.handout.practice.solo import gestures, page_solos, places, room_for, with_solo
from groove.handout.practice.streams import Packed, Row, Rows, difference, packed, whole
from groove.lesson.solo.part import solo_part
from groove.rhythm.meter import ticks_to_seconds

LEAST_CHORUSES, LEAST_BARS = 4, 24
"""Choruses and bars that are played before they repeat, whichever is more."""
WAVE = "1.6-2 2-2.4 2.4-2 2-1.6"
"""The intensity: up and down again, so that the last chorus leads to the first."""


def choruses_for(form: Form) -> int:
    """The number of different choruses of a form that the page holds."""
    return max(LEAST_CHORUSES, ceil(LEAST_BARS / form.bars))


def looped(form: Form) -> Form:
    """The form as it goes round: no count-in, no ending, back at the first chorus.

    The page itself changes key and tempo from round to round, as the student sets it.
    """
    intensity = form.intensity or parse_intensity(WAVE)
    return replace(_steady(form), ending="loop", choruses=choruses_for(form), intensity=intensity)


def on_the_road(form: Form) -> Form:
    """A form with an order, from its count-in, under which a pickup lies, to its ending."""
    return replace(form, tuning_note=False)


def landing(form: Form) -> Form:
    """The form once, with the ending that comes after the last round."""
    ending = "hit" if form.ending == "loop" else form.ending
    return replace(_steady(form), ending=ending, choruses=1, intensity=())


def heard(form: Form) -> Take:
    """The take by which the page is mixed: as often round as the form is, at most as often as the
    page holds, after a count-in, with a solo."""
    asked = on_the_road(form)
    if not form.order:
        rounds = looped(form)
        asked = replace(rounds, choruses=min(form.choruses, rounds.choruses))
    plan = planned(unroll(with_solo(replace(asked, count_in=max(1, form.count_in)))))
    return record(plan, play(plan, solo=solo_part(plan.chart, again=True)))


def _steady(form: Form) -> Form:
    return replace(form, count_in=0, tempo_step=0.0, key_cycle="none", tuning_note=False)


@dataclass
class Streams:
    """The streams of a page, and the drums of each kind of take, which every key shares.

    numbers: of each different stream, in order. packed: their text; see `streams`. homes: of the
    streams in the first key, by kind of take and part. controls: the number of each different
    text of controllers: ticks since the one before, number and value of each. gestures: the same of
    a soloist's gestures, tabs: of a solo's places on the neck, see
    `groove.handout.practice.solo`.
    """

    numbers: dict[Rows, int] = field(default_factory=dict)
    packed: list[Packed] = field(default_factory=list)
    homes: dict[tuple[str, str], Rows] = field(default_factory=dict)
    controls: dict[str, int] = field(default_factory=dict)
    gestures: dict[str, int] = field(default_factory=dict)
    tabs: dict[str, int] = field(default_factory=dict)
    drums: dict[str, Part] = field(default_factory=dict)
    kits: dict[str, Kit] = field(default_factory=dict)

    def number(self, kind: str, part: str, rows: Rows, semitones: int) -> int:
        """The number of a part's stream, which is kept if it is new: as the difference from its
        first key, whose notes lie so many semitones lower."""
        home = self.homes.setdefault((kind, part), rows)
        if rows not in self.numbers:
            self.numbers[rows] = len(self.packed)
            alone = whole(rows)
            other = difference(rows, home, self.numbers[home], semitones)
            self.packed.append(alone if rows == home else other)
        return self.numbers[rows]


def streams_of(
    form: Form, known: Streams, semitones: int = 0, *, solos: bool = True
) -> dict[str, Any]:
    """The number of each part's stream in the form's key: of its rounds and of its ending; and the
    same of their controllers, for those that have some, under "controls". Under "solo", by what it
    plays, the numbers of a solo's stream, gestures and places on the neck.

    A form with an order has the whole road in its one round, and a pickup before tick 0.
    known: the streams so far; new ones are added. semitones: from the first key to this one.
    solos: whether all solos are made, or the form's own alone.
    """
    parts: dict[str, dict[str, Any]] = {}
    controls: dict[str, dict[str, int]] = {}
    kinds = (("round", looped(form)), ("landing", landing(form)))
    for kind, asked in (("round", on_the_road(form)),) if form.order else kinds:
        chart = unroll(asked)
        plan = planned(chart)
        found = page_solos(chart, every=solos) if kind == "round" else {}
        room = room_for(chart, found)
        band = play(plan, known.drums.get(kind), room)
        band = band[:-1] if room else band
        known.drums[kind] = band[0]
        if kind not in known.kits:
            known.kits[kind] = touched_kit(plan, band)
        first = chart.start
        if kind == "landing":
            first = chart.bars[chart.rounds[-1].last - 1].end
        least = -first if form.order else 0
        kit = known.kits[kind]
        played = record(plan, band, kit=kit).parts
        for what, part in found.items():
            (solo,) = record(plan, (part,), kit=kit).parts
            rows = _rows(solo, first, least, chart)
            kept = _kept(solo, first, least)
            hand, tab = packed(gestures(kept)), packed(places(kept))
            parts.setdefault("solo", {})[what] = [
                known.number(what, SOLO, rows, semitones),
                known.gestures.setdefault(hand, len(known.gestures)),
                known.tabs.setdefault(tab, len(known.tabs)),
            ]
        parts[kind] = {
            part.name: known.number(kind, part.name, _rows(part, first, least, chart), semitones)
            for part in played
        }
        texts = {part.name: _controls(part, first, least) for part in played}
        controls[kind] = {
            name: known.controls.setdefault(text, len(known.controls))
            for name, text in texts.items()
            if text
        }
    return {**parts, "controls": controls} if any(controls.values()) else {**parts}


def _controls(part: PlayedPart, first: int, least: int) -> str:
    """The controllers of a part, as text; first, least: as for `_rows`."""
    numbers: list[int] = []
    before = first
    for tick, number, value in part.controls:
        if tick >= first + least:
            numbers += (tick - before, number, value)
            before = tick
    return packed(numbers)


def _kept(part: PlayedPart, first: int, least: int) -> list[PlayedNote]:
    """The notes of a part that a stream holds, in its order."""
    kept = (note for note in part.notes if note.grid >= first + least)
    return sorted(kept, key=attrgetter("grid", "pitch"))


def _rows(part: PlayedPart, first: int, least: int, chart: Chart) -> Rows:
    """The notes of a part: tick on the grid, length in ticks, pitch, velocity, touch in tenths of a
    millisecond.

    first: the tick from which they are counted; notes before `least` then are left out.
    """
    rows: list[Row] = []
    for note in _kept(part, first, least):
        here = chart.bar_at(note.grid).setting
        touch = round(10_000 * ticks_to_seconds(note.start - note.grid, here.tempo, here.meter))
        rows.append((note.grid - first, note.length, note.pitch, note.velocity, touch))
    return tuple(rows)
