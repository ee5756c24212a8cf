"""The drummer marks the form, has two hands and two feet, and plays no chorus twice."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import pairwise
from random import Random
from statistics import mean
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.band.cell_chooser import CellChooser
from groove.band.count_in import is_click
from groove.band.drum_bar import lifted, thinned, with_two_hands
from groove.band.part import GHOST, GridNote
from groove.band.plan.plan import CRASH, PLAIN, PlannedBar
from groove.band.variation.variations import variations_of
from groove.form.chart import Bar
from groove.form.model import Section
from groove.rhythm.box_notation import Cell, Stroke
from groove.rhythm.kit import HAND, KIT
from groove.rhythm.patterns import Lift, Pattern, drum_pattern
from tests.band.band_material import (
    Played,
    all_patterns,
    bands,
    form_of,
    played,
    shipped_band,
    some,
)
from tests.examples import examples

AUDIBLE = 1  # strokes that come or go
NAMES = some("drums")
LEVELS = (None, 1.0, 2.0, 3.0)  # None: a slow rise
SEEDS = st.integers(0, 9999)
LONG = "I7:2 IV7:2 I7:2 V7:2"


def bars_of(p: Pattern) -> list[set[tuple[int, str]]]:
    """Each bar of each cell: line and voice of every stroke but the ghost notes, which come
    and go at the drummer's will."""
    return [
        {(s.line - first, s.row) for s in cell.strokes
         if first <= s.line < first + p.grid.lines and s.mark != "o"}
        for cell in p.cells
        for first in range(0, cell.lines, p.grid.lines)
    ]  # fmt: skip


def difference(band: Played, bar: Bar) -> int:
    """The number of strokes added or left out in a bar, against the nearest cell."""
    p = band.form.drums
    struck = {
        ((note.start - bar.start) // p.grid.line_ticks, note.row)
        for note in band.during(band.drums, bar.start, bar.end)
        if note.weight > GHOST
    }
    return min(len(struck ^ cell) for cell in bars_of(p))


def unmarked(band: Played, bars: list[Bar]) -> list[str]:
    return [band.place(bar.start) for bar in bars if difference(band, bar) < AUDIBLE]


def turns(band: Played) -> list[Bar]:
    """The bars at whose end a fill is planned."""
    return [
        bar
        for bar, planned in zip(band.chart.bars, band.plan.bars, strict=True)
        if planned.fill is not None
    ]


def tops(band: Played) -> list[Bar]:
    """The bars whose first beat is to be marked, but for those that are pushed."""
    return [
        bar
        for bar, planned in zip(band.chart.bars, band.plan.bars, strict=True)
        if planned.top not in ("", PLAIN) and bar.start not in band.plan.pushes
    ]


def struck_together(band: Played) -> list[list[str]]:
    rows: dict[int, list[str]] = defaultdict(list)
    for note in band.drums.notes:
        rows[note.start].append(note.row)
    return list(rows.values())


def look(notes: list[GridNote]) -> list[tuple[int, str, float]]:
    return [(note.start - notes[0].start, note.row, note.weight) for note in notes]


def foreign_on_the_one(band: Played, bar: Bar) -> bool:
    """True if a voice is struck on the first beat that no cell has there."""
    own = {row for cell in bars_of(band.form.drums) for line, row in cell if line == 0}
    return any(note.start == bar.start and note.row not in own for note in band.drums.notes)


def with_sections(drums: str, sizes: tuple[int, ...], **fields: Any) -> Played:
    """A form with sections of so many bars."""
    form = form_of(f"I7:{sum(sizes)}", drums=drums, **fields)
    (only,) = form.sections
    (span,) = only.spans
    sections = tuple(
        Section(f"part {number}", (replace(span, bars=Fraction(size)),))
        for number, size in enumerate(sizes)
    )
    return Played(replace(form, sections=sections))


def at_level(band: Played, level: float | None) -> Played:
    """The band at one intensity throughout; None leaves it to rise."""
    if level is not None:
        bars = tuple(replace(bar, intensity=level) for bar in band.chart.bars)
        band.__dict__["plan"] = replace(band.plan, chart=replace(band.chart, bars=bars))
    return band


@cache
def bands_of_ten_choruses(drums: str, level: float | None) -> tuple[Played, ...]:
    return tuple(
        at_level(played(f"I7:{size}", drums=drums, choruses=10, seed=size), level)
        for size in (8, 12)
    )


def struck(band: Played, bar: Bar) -> frozenset[tuple[int, str]]:
    """Line and voice of every stroke in a bar."""
    line = band.form.drums.grid.line_ticks
    notes = band.during(band.drums, bar.start, bar.end)
    return frozenset(((note.start - bar.start) // line, note.row) for note in notes)


def looks_by_chorus(band: Played) -> list[tuple[frozenset[tuple[int, str]], ...]]:
    looks = [struck(band, bar) for bar in band.in_form]
    size = band.form.bars
    return [tuple(looks[at : at + size]) for at in range(0, len(looks), size)]


def likeness(band: Played, bar: Bar) -> float:
    """The likeness of a bar to its pattern, 0 to 1, before its fill if it has one: strokes shared
    with the nearest cell over strokes in either."""
    p = band.form.drums
    start = {end: start for start, end in band.drums.fills}.get(bar.end, bar.end)
    until = (start - bar.start) // p.grid.line_ticks
    heard = {stroke for stroke in struck(band, bar) if stroke[0] < until}
    cells = [
        {(s.line - first, s.row) for s in cell.strokes if first <= s.line < first + until}
        for cell in p.cells
        for first in range(0, cell.lines, p.grid.lines)
    ]
    if not until:
        return 1.0
    return max(len(heard & cell) / len(heard | cell) for cell in cells)


def in_time(band: Played) -> list[Bar]:
    """The bars in which the band does not break off."""
    return [
        bar
        for bar, planned in zip(band.chart.bars, band.plan.bars, strict=True)
        if bar.number and not planned.breaks
    ]


def fills(band: Played) -> list[frozenset[tuple[int, int, str]]]:
    """The fills played, each as its strokes and its length, without the rows that go on."""
    keeps = band.form.drums.keeps
    return [
        frozenset(
            (end - n.start, end - start, n.row)
            for n in band.during(band.drums, start, end)
            if n.row not in keeps
        )
        for start, end in band.drums.fills
    ]


def crash_weights(drums: str) -> list[float]:
    band = at_level(played(drums=drums, choruses=3, ending="loop"), 2.0)
    return [note.weight for note in band.drums.notes if note.row == "crash"]


def a_fill_can_be_heard(band: Played) -> None:
    assert not unmarked(band, turns(band))


def test_the_fills_of_every_shipped_form_can_be_heard() -> None:
    for band in shipped_band():
        assert not unmarked(band, turns(band)), band.form


def the_top_of_a_chorus_can_be_heard_where_it_is_to_be(band: Played) -> None:
    assert all(foreign_on_the_one(band, bar) for bar in tops(band))


@pytest.mark.parametrize("drums", NAMES)
def test_a_new_section_begins_with_a_voice_that_the_groove_does_not_have_there(drums: str) -> None:
    band = with_sections(drums, (8, 8), choruses=3)
    assert all(foreign_on_the_one(band, bar) for bar in band.in_form if bar.number == 9)


def test_a_style_that_wants_it_softer_has_a_softer_crash() -> None:
    loud, soft = (crash_weights(name) for name in ("eighths-rock", "slow-ballad"))
    assert max(soft) < min(loud)


def no_three_hands_strike_at_once(band: Played) -> None:
    """Common practice: a drummer has two hands."""
    for rows in struck_together(band):
        assert sum(KIT[row].limb == HAND for row in rows) <= 2


def a_voice_is_struck_once_at_a_time(band: Played) -> None:
    for rows in struck_together(band):
        assert len(set(rows)) == len(rows)


def test_the_heaviest_strokes_keep_the_hands() -> None:
    rows = {"hat": 0.3, "snare": 0.8, "crash": 0.7, "kick": 0.2, "hat-foot": 0.2}
    notes = [GridNote(0, 240, KIT[row].note, heavy, row) for row, heavy in rows.items()]
    assert {note.row for note in with_two_hands(notes)} == {*rows} - {"hat"}


def test_two_hands_play_every_shipped_form() -> None:
    for band in shipped_band():
        for rows in struck_together(band):
            assert sum(KIT[row].limb == HAND for row in rows) <= 2, band.form


@pytest.mark.parametrize("drums", NAMES)
@pytest.mark.parametrize("level", LEVELS)
def test_ten_choruses_have_ten_drum_parts(drums: str, level: float | None) -> None:
    for band in bands_of_ten_choruses(drums, level):
        assert len(set(looks_by_chorus(band))) == 10, band.form


@pytest.mark.parametrize("drums", NAMES)
@pytest.mark.parametrize("level", LEVELS)
def test_neighbouring_choruses_share_at_most_four_bars_in_five(
    drums: str, level: float | None
) -> None:
    """Bars with the same strokes at the same place in the form, however hard they are struck."""
    for band in bands_of_ten_choruses(drums, level):
        for before, after in pairwise(looks_by_chorus(band)):
            shared = sum(one == other for one, other in zip(before, after, strict=True))
            assert shared <= 0.8 * band.form.bars, band.form


@pytest.mark.parametrize("drums", NAMES)
@pytest.mark.parametrize("level", LEVELS)
def test_each_bar_is_at_least_60_percent_like_its_pattern(drums: str, level: float | None) -> None:
    for band in bands_of_ten_choruses(drums, level):
        assert min(likeness(band, bar) for bar in in_time(band)) >= 0.6, band.form


@settings(max_examples=examples(40))
@given(st.sampled_from(NAMES), st.lists(st.integers(1, 9), min_size=1, max_size=5), SEEDS)
def test_the_three_laws_hold_for_any_sections(drums: str, sizes: list[int], seed: int) -> None:
    sizes = [*sizes, max(1, 8 - sum(sizes))]
    band = with_sections(drums, tuple(sizes), choruses=10, seed=seed)
    looks = looks_by_chorus(band)
    assert len(set(looks)) == 10
    for before, after in pairwise(looks):
        shared = sum(one == other for one, other in zip(before, after, strict=True))
        assert shared <= 0.8 * band.form.bars
    assert min(likeness(band, bar) for bar in in_time(band)) >= 0.6


def no_two_choruses_are_the_same(band: Played) -> None:
    if band.form.bars >= 4:
        looks = [look(notes) for notes in band.chorus_drums]
        assert all(looks[i] not in looks[:i] for i in range(1, len(looks)))


LAWS = (
    a_fill_can_be_heard,
    the_top_of_a_chorus_can_be_heard_where_it_is_to_be,
    no_three_hands_strike_at_once,
    a_voice_is_struck_once_at_a_time,
    no_two_choruses_are_the_same,
)


@settings(max_examples=examples(60))
@given(bands())
def test_each_law_holds_for_any_form(band: Played) -> None:
    for law in LAWS:
        law(band)


@pytest.mark.parametrize("drums", NAMES)
def test_no_fill_follows_itself(drums: str) -> None:
    """Rule 5: fills differ."""
    for seed in range(4):
        played_fills = fills(played(LONG, drums=drums, choruses=6, seed=seed))
        assert all(before != after for before, after in pairwise(played_fills))


@pytest.mark.parametrize("drums", NAMES)
def test_fills_within_a_chorus_are_no_longer_than_two_beats(drums: str) -> None:
    band = played(LONG, drums=drums, choruses=6)
    inner = {bar.end for bar in band.in_form if bar.turn == "phrase"}
    lengths = [end - start for start, end in band.drums.fills if end in inner]
    assert max(lengths) <= 2 * band.beat


@pytest.mark.parametrize("drums", NAMES)
def test_fills_at_the_end_of_a_chorus_are_longer_than_within_it(drums: str) -> None:
    """On average over seeds."""
    lengths: dict[str, list[int]] = defaultdict(list)
    for seed in range(8):
        band = played(LONG, drums=drums, choruses=4, seed=seed)
        turn = {bar.end: bar.turn for bar in band.in_form}
        for start, end in band.drums.fills:
            lengths[turn[end]].append(end - start)
    assert mean(lengths["chorus"]) > mean(lengths["phrase"])


def test_the_level_never_falls_back_over_a_track_that_rises() -> None:
    """A phrase's level is that of its home cell, the lowest in it."""
    p = drum_pattern("shuffle")
    cells = [cell for own in p.cells for cell in (*variations_of(p).of(own), own)]
    level_of = {
        tuple(
            replace(s, line=s.line - first)
            for s in cell.strokes
            if first <= s.line < first + p.grid.lines
        ): cell.level
        for cell in sorted(cells, key=lambda cell: -cell.level)
        for first in range(0, cell.lines, p.grid.lines)
    }
    for seed in range(20):
        chooser = CellChooser(p, Random(seed))
        bars = played(drums="shuffle", choruses=8).plan.written.bars[:-1]
        levels = [level_of[chooser.next(bar, p, index).strokes] for index, bar in enumerate(bars)]
        homes = [min(levels[at : at + 4]) for at in range(0, len(levels), 4)]
        assert homes == sorted(homes)
        assert set(homes) == {1, 2, 3}


def test_a_sudden_change_of_intensity_is_followed_in_the_same_bar() -> None:
    p = drum_pattern("shuffle")
    bars = played(drums="shuffle").in_form[:3]
    chooser = CellChooser(p, Random(1))
    loud = [replace(bar, intensity=level) for bar, level in zip(bars, (1, 1, 3), strict=True)]
    strokes = [chooser.next(bar, p, index).strokes for index, bar in enumerate(loud)][-1]
    loudest = [cell.strokes for cell in p.cells_at(3)]
    assert any(strokes == own[: len(strokes)] for own in loudest)


@pytest.mark.parametrize("drums", NAMES)
def test_the_pickup_leads_into_the_one(drums: str) -> None:
    p = drum_pattern(drums)
    band = played(drums=drums, count_in=1, chords="I7:8")
    last = band.chart.start - band.beat
    heard = {(n.start - last, n.row) for n in band.during(band.drums, last, band.chart.start)}
    written = {(s.line * p.grid.line_ticks, s.row) for s in p.pickup.strokes}
    assert written <= heard


def test_what_the_drummer_plays_does_not_depend_on_the_count_in() -> None:
    with_it, without = (played(drums="shuffle", count_in=bars) for bars in (1, 0))
    after = with_it.during(with_it.drums, with_it.chart.start, with_it.chart.end)
    shifted = [replace(note, start=note.start - with_it.bar) for note in after]
    assert shifted == list(without.drums.notes)


def test_the_count_in_has_a_click_on_every_beat() -> None:
    band = played(count_in=2)
    clicks = [
        n.start
        for n in band.drums.notes
        if n.start < band.chart.start and n.row == band.form.drums.click
    ]
    assert clicks == [beat * band.beat for beat in range(8)]


@pytest.mark.parametrize("ending", ["hit", "ring"])
def test_an_ending_is_struck_on_its_first_beat_and_not_after(ending: str) -> None:
    band = played(ending=ending)
    (last,) = band.chart.ending
    assert last
    assert {n.start for n in band.during(band.drums, last.start, last.end)} == {last.start}


def test_a_loop_has_no_bar_after_its_last_chorus() -> None:
    band = played(ending="loop", choruses=2, count_in=1)
    assert band.chart.end == (1 + 2 * band.form.bars) * band.bar


def test_the_band_gets_busier_from_the_first_chorus_to_the_last() -> None:
    """Rule 5: levels grow over the track; measured as the sum of the strokes' weights."""
    for p in all_patterns("drums"):
        band = played(drums=p.name, choruses=4)
        weights = [sum(note.weight for note in notes) for notes in band.chorus_drums]
        assert weights[0] < weights[-1], p.name


def strokes(text: str) -> tuple[Stroke, ...]:
    """Strokes of a bar, as in ``kick 0 x``."""
    words = [word.split() for word in text.split(", ")]
    return tuple(Stroke(int(line), 1, row, mark, mark.isupper()) for row, line, mark in words)


def test_the_kick_joins_a_crash_once_and_the_other_foot_stays() -> None:
    """A crash is struck with the kick under it (common practice)."""
    for before in ("hat 0 x, hat-foot 0 x, snare 4 x", "hat 0 x, kick 0 X, hat-foot 0 x"):
        on_one = [s.row for s in lifted(strokes(before), "crash") if s.line == 0]
        assert sorted(on_one) == ["crash", "hat-foot", "kick"]


def test_one_hand_leaves_for_the_crash_and_the_other_keeps_its_heaviest_stroke() -> None:
    """Timekeepers give way, unless they are kept."""
    before = strokes("hat 0 X, tom-low 0 x, snare 0 X, ride 0 x, snare 8 x")
    on_one = {s.row for s in lifted(before, "crash") if s.line == 0}
    assert on_one == {"crash", "snare", "kick"}
    kept = {s.row for s in lifted(before, "crash", ("ride",)) if s.line == 0}
    assert kept == {"crash", "ride", "kick"}
    assert strokes("snare 8 x")[0] in lifted(before, "crash")


def test_only_ghost_notes_of_the_snare_are_left_out_one_in_five_strokes_at_most() -> None:
    bar = strokes("snare 1 o, snare 3 o, snare 5 o, snare 4 X, hat 0 o, hat 2 o, hat 4 x, kick 0 x,"
                  " kick 8 x, hat 8 x")  # fmt: skip
    ghosts = {s for s in bar if s.row == "snare" and s.mark == "o"}
    left_out = [set(bar) - set(thinned(bar, Random(seed))) for seed in range(200)]
    assert all(each <= ghosts and len(each) <= 2 for each in left_out)
    assert {len(each) for each in left_out} == {0, 1, 2}
    assert all(thinned(bar[:4], Random(seed)) == bar[:4] for seed in range(50))


@pytest.mark.parametrize(("written", "marked"), [(("bell", 4), "bell"), (("bell", 0), "crash")])
def test_a_section_is_marked_by_its_own_voice_or_where_that_keeps_time_by_a_crash(
    written: tuple[str, int], marked: str
) -> None:
    row, line = written
    cell = Cell(1, 16, strokes(f"{row} {line} x, kick 8 x, snare 12 x"))
    band = with_sections("eighths-rock", (8, 8), choruses=1)
    own = replace(band.form.drums, cells=(cell,), lift=Lift("splash", "bell"))
    band = Played(replace(band.form, drums=own))
    opening = band.in_form[8]
    assert marked in {row for at, row in struck(band, opening) if at == 0}


def with_fills(seed: int, **fills: str) -> Played:
    """A quiet band whose drummer has one cell and some fills, by their names."""
    cell = Cell(1, 16, strokes("kick 0 x, snare 4 x, kick 8 x, snare 12 x"))
    lines = {"half": 2, "beat": 4, "plain": 4, "two": 8}
    made = tuple(Cell(1, lines[name], strokes(text)) for name, text in fills.items())
    band = played("I7:4", drums="eighths-rock", choruses=4, seed=seed)
    form = replace(band.form, drums=replace(band.form.drums, cells=(cell,), fills=made))
    band = at_level(Played(form), 1.0)
    bars = tuple(PlannedBar(fill=1 if bar.turn else None) for bar in band.chart.bars)
    band.__dict__["plan"] = replace(band.plan, bars=bars)
    return band


def test_a_fill_of_a_beat_is_the_one_of_that_length() -> None:
    for seed in range(8):
        band = with_fills(seed, half="snare 0 X", beat="tom-low 0 x", two="tom-mid 0 x")
        assert band.in_form[3].turn == "phrase"
        start, end = band.drums.fills[0]
        assert end - start == band.beat


def test_no_fill_is_the_bar_as_it_would_be_without_one() -> None:
    for seed in range(8):
        band = with_fills(seed, plain="snare 0 x", beat="tom-low 0 x")
        turn = band.in_form[3]
        assert "tom-low" in {row for _, row in struck(band, turn)}


def test_a_lift_grows_with_the_intensity_of_the_band() -> None:
    weights = []
    for level in (1.0, 2.0, 3.0):
        band = at_level(played("I:12", drums="eighths-rock", choruses=6, ending="loop"), level)
        tops = {bar.start for bar in band.chart.bars if band.plan.at(bar.start).top == CRASH}
        weights += [n.weight for n in band.drums.notes if n.row == "crash" and n.start in tops][:1]
    assert len(weights) == 3
    assert weights == sorted(set(weights))


def test_a_click_is_on_the_beat_before_the_first_bar() -> None:
    band = played(drums="rumba", count_in=1)
    clicks = [n for n in band.drums.notes if is_click(n, band.chart)]
    assert [n.start for n in clicks] == [beat * band.beat for beat in range(4)]
    assert {n.row for n in clicks} == {"claves"}


def test_the_drummer_does_not_mind_another_bass() -> None:
    walking, boogie = (form_of(drums="shuffle", bass=b) for b in ("walking", "shuffle-boogie"))
    assert Played(walking).drums.notes == Played(boogie).drums.notes


def test_the_drummer_does_not_mind_other_comping() -> None:
    names = ("shuffle-chops", "charleston-piano")
    chops, piano = (form_of(drums="shuffle", comping=name) for name in names)
    assert Played(chops).drums.notes == Played(piano).drums.notes


def test_the_drummer_does_not_mind_another_key() -> None:
    assert played(key="C").drums.notes == played(key="F#").drums.notes


def test_a_sweep_is_heard_of_brushes_alone() -> None:
    for kit, heard in (("brush kit", True), ("jazz kit", False)):
        band = played(drums="brush-ballad", choruses=1, instrument={"drums": kit})
        assert ("sweep" in {note.row for note in band.drums.notes}) == heard


def test_the_backbeat_stays_on_rim_or_snare_through_a_chorus() -> None:
    p = drum_pattern("slow-ballad")
    heard = set()
    for seed in range(12):
        chooser = CellChooser(p, Random(seed))
        bars = played(drums="slow-ballad", choruses=1).in_form
        level = [replace(bar, intensity=2.0) for bar in bars]
        rows = [
            frozenset(
                s.row
                for s in chooser.next(bar, p, index).strokes
                if s.row in ("snare", "side-stick") and s.mark != "o"
            )
            for index, bar in enumerate(level)
        ]
        assert len(set(rows)) == 1
        heard |= set(rows)
    assert len(heard) == 2
