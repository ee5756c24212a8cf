"""The takes of the practice page: the notes of each part in a key, as rows of numbers.

Time is in ticks, 960 to a quarter, so that the page can play at any tempo. A note is written on
its grid, swung as the form swings at its own tempo, with its touch beside it in tenths of a
millisecond: a player's earliness and lateness does not stretch when the tempo falls, and the page
can swing the grid as the tempo asks.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from math import ceil

from groove.band.part import Part, PlayedNote, PlayedPart
from groove.band.take import Kit, planned, play, record, touched_kit
from groove.form.chart import Chart
from groove.form.intensity import parse_intensity
from groove.form.model import Form
from groove.form.unroll import unroll
from groove.rhythm.meter import ticks_to_seconds

LEAST_CHORUSES, LEAST_BARS = 4, 24
"""Choruses and bars that are played before they repeat, whichever is more."""
WAVE = "1.6-2 2-2.4 2.4-2 2-1.6"
"""The intensity: up and down again, so that the last chorus leads to the first."""

Stream = tuple[int, ...]


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


def _steady(form: Form) -> Form:
    return replace(form, count_in=0, tempo_step=0.0, key_cycle="none", tuning_note=False)


@dataclass
class Streams:
    """The streams of a page, and the drums of each kind of take, which every key shares.

    numbers: of each stream, in order.
    """

    numbers: dict[Stream, int] = field(default_factory=dict)
    drums: dict[str, Part] = field(default_factory=dict)
    kits: dict[str, tuple[Kit, Kit]] = field(default_factory=dict)


def streams_of(form: Form, known: Streams) -> dict[str, dict[str, int]]:
    """The number of each part's stream in the form's key: of its rounds and of its ending.

    A form with an order has the whole road in its one round, and a pickup before tick 0.
    known: the streams so far; new ones are added.
    """
    parts: dict[str, dict[str, int]] = {}
    kinds = (("round", looped(form)), ("landing", landing(form)))
    for kind, asked in (("round", on_the_road(form)),) if form.order else kinds:
        chart = unroll(asked)
        plan = planned(chart)
        strict_plan = plan.with_form(replace(asked, tightness=1.0))
        band = play(plan, known.drums.get(kind))
        known.drums[kind] = band[0]
        if kind not in known.kits:
            known.kits[kind] = touched_kit(plan, band), touched_kit(strict_plan, band)
        loose_kit, strict_kit = known.kits[kind]
        touched = record(plan, band, kit=loose_kit)
        strict = record(strict_plan, band, kit=strict_kit)
        first = chart.start
        if kind == "landing":
            first = chart.bars[chart.rounds[-1].last - 1].end
        least = -first if form.order else 0
        parts[kind] = {
            part.name: known.numbers.setdefault(
                _stream(part, bare, first, least, chart), len(known.numbers)
            )
            for part, bare in zip(touched.parts, strict.parts, strict=True)
        }
    return parts


def _stream(part: PlayedPart, bare: PlayedPart, first: int, least: int, chart: Chart) -> Stream:
    """A part as a row of numbers, five a note.

    Ticks since the note before, on the grid; length in ticks; pitch; velocity; touch in tenths
    of a millisecond. first: the tick from which they are counted; notes before `least` then are
    left out.
    """
    numbers: list[int] = []
    before = first
    for grid, note in sorted(_on_grid(part.notes, bare.notes), key=lambda pair: pair[0]):
        if grid < first + least:
            continue
        here = chart.bar_at(grid).setting
        touch = round(10_000 * ticks_to_seconds(note.start - grid, here.tempo, here.meter))
        numbers += (grid - before, note.length, note.pitch, note.velocity, touch)
        before = grid
    return tuple(numbers)


def _on_grid(
    played: Iterable[PlayedNote], bare: Iterable[PlayedNote]
) -> list[tuple[int, PlayedNote]]:
    """Each note with the tick of the grid that it belongs to.

    The two takes are of the same parts, and touch never lets a note overtake one of its own pitch.
    """
    grids: dict[int, list[int]] = defaultdict(list)
    for note in bare:
        grids[note.pitch].append(note.start)
    by_pitch: dict[int, list[PlayedNote]] = defaultdict(list)
    for note in played:
        by_pitch[note.pitch].append(note)
    return [
        (grid, note)
        for pitch, notes in by_pitch.items()
        for grid, note in zip(grids[pitch], notes, strict=True)
    ]
