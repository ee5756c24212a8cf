"""The drummer marks the form, has two hands and two feet, and plays no chorus twice."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

import pytest
from hypothesis import given, settings

from groove.band.drummer import with_two_hands
from groove.band.kit import HAND, KIT
from groove.band.part import GHOST, GridNote
from groove.band.patterns import Pattern
from groove.form.chart import Bar
from tests.band.band_material import Played, all_patterns, bands, form_of, played, shipped_band

AUDIBLE = 2  # strokes that come or go


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
    """How many strokes come or go in a bar, against the cell that is nearest to it."""
    p = band.drums.pattern
    struck = {
        ((note.start - bar.start) // p.grid.line_ticks, note.row)
        for note in band.during(band.drums, bar.start, bar.end)
        if note.weight > GHOST
    }
    return min(len(struck ^ cell) for cell in bars_of(p))


def unmarked(band: Played, bars: list[Bar]) -> list[str]:
    return [band.place(bar.start) for bar in bars if difference(band, bar) < AUDIBLE]


def turns(band: Played) -> list[Bar]:
    """Every fourth bar of the form's one section, and the last: rule 1's bars 4, 8, 12."""
    size = band.form.bars
    assert len(band.form.sections) == 1
    return [bar for bar in band.in_form if bar.number % 4 == 0 or bar.number == size]


def tops(band: Played) -> list[Bar]:
    return [bar for bar in band.in_form if bar.number == 1 and bar.chorus]


def struck_together(band: Played) -> list[list[str]]:
    rows: dict[int, list[str]] = defaultdict(list)
    for note in band.drums.notes:
        rows[note.start].append(note.row)
    return list(rows.values())


def look(notes: list[GridNote]) -> list[tuple[int, str, float]]:
    return [(note.start - notes[0].start, note.row, note.weight) for note in notes]


@settings(max_examples=60, deadline=None)
@given(bands())
def test_the_turns_of_any_form_can_be_heard(band: Played) -> None:
    if band.form.bars >= 4:
        assert not unmarked(band, turns(band))


def test_the_turns_of_every_shipped_form_can_be_heard() -> None:
    for band in shipped_band():
        marked = [bar for bar in band.in_form if bar.turn]
        assert not unmarked(band, marked), band.form


@settings(max_examples=60, deadline=None)
@given(bands())
def test_the_top_of_a_chorus_can_be_heard(band: Played) -> None:
    if band.form.bars >= 4:
        assert not unmarked(band, tops(band))


@pytest.mark.parametrize("chords", ["I7", "I7 IV7"])
def test_a_form_of_a_bar_or_two_turns_every_four_bars(chords: str) -> None:
    band = played(chords, choruses=12)
    assert not unmarked(band, band.in_form[3::4])


@settings(max_examples=60, deadline=None)
@given(bands())
def test_no_three_hands_strike_at_once(band: Played) -> None:
    """Common practice: a drummer has two hands."""
    for rows in struck_together(band):
        assert sum(KIT[row].limb == HAND for row in rows) <= 2


@settings(max_examples=30, deadline=None)
@given(bands())
def test_a_voice_is_struck_once_at_a_time(band: Played) -> None:
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


@settings(max_examples=60, deadline=None)
@given(bands())
def test_no_two_choruses_are_the_same(band: Played) -> None:
    if band.form.bars >= 4:
        looks = [look(notes) for notes in band.chorus_drums]
        assert all(looks[i] not in looks[:i] for i in range(1, len(looks)))


@pytest.mark.parametrize("drums", [p.name for p in all_patterns("drums")])
def test_neighbouring_fills_differ(drums: str) -> None:
    """Rule 5: fills differ."""
    band = played("I7:2 IV7:2 I7:2 V7:2", drums=drums, choruses=6)
    fills = [
        [(n.start - start, n.row) for n in band.during(band.drums, start, end)]
        for start, end in band.drums.fills
    ]
    assert all(before != after for before, after in pairwise(fills))


def test_the_count_in_has_a_click_on_every_beat() -> None:
    band = played(count_in=2)
    clicks = [n.start for n in band.drums.notes if n.start < band.chart.start]
    assert clicks == [beat * band.beat for beat in range(8)]


@pytest.mark.parametrize("ending", ["hit", "ring"])
def test_an_ending_is_struck_on_its_first_beat_and_not_after(ending: str) -> None:
    band = played(ending=ending)
    last = band.chart.ending
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


def test_the_drummer_does_not_mind_another_bass() -> None:
    walking, boogie = (form_of(drums="shuffle", bass=b) for b in ("walking", "shuffle-boogie"))
    assert Played(walking).drums.notes == Played(boogie).drums.notes


def test_the_drummer_does_not_mind_other_comping() -> None:
    names = ("shuffle-chops", "charleston-piano")
    chops, piano = (form_of(drums="shuffle", comping=name) for name in names)
    assert Played(chops).drums.notes == Played(piano).drums.notes


def test_the_drummer_does_not_mind_another_key() -> None:
    assert played(key="C").drums.notes == played(key="F#").drums.notes
