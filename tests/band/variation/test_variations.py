"""Derived cells stay near the written ones, and hold what the style hangs on."""

from __future__ import annotations

import pytest

from groove.band.variation.variations import variations_of
from groove.rhythm.box_notation import Cell
from groove.rhythm.kit import HAND, KIT
from groove.rhythm.patterns import (
    BassPattern,
    CompingPattern,
    Pattern,
    bass_pattern,
    comping_pattern,
    drum_pattern,
)
from tests.band.band_material import all_patterns

PITCHED = ("bass", "comping")
LEVEL = 2
CELLS = 1  # of a pattern, so that the tests are quick


def derived(pattern: Pattern) -> list[tuple[Cell, Cell]]:
    """Each written cell of a level with each that is derived from it."""
    variations = variations_of(pattern)
    cells = pattern.cells_at(LEVEL)[:CELLS]
    return [(cell, made) for cell in cells for made in variations.of(cell)]


def free(kind: str) -> list[BassPattern | CompingPattern]:
    """The bass or comping patterns that are no ostinato."""
    found = [p for p in all_patterns(kind) if isinstance(p, (BassPattern, CompingPattern))]
    return [pattern for pattern in found if not pattern.is_ostinato]


def bars(cell: Cell, pattern: Pattern) -> list[set[int]]:
    lines = pattern.grid.lines
    return [
        {s.line - first for s in cell.strokes if first <= s.line < first + lines}
        for first in range(0, cell.lines, lines)
    ]


def in_order(cell: Cell) -> bool:
    """True if strokes are in order, lie inside the cell, and no row is struck twice at once."""
    places = [(stroke.line, stroke.row) for stroke in cell.strokes]
    inside = all(s.line >= 0 and s.lines > 0 for s in cell.strokes)
    return inside and places == sorted(set(places)) and places[-1][0] < cell.lines


@pytest.mark.parametrize("kind", PITCHED)
def test_a_derived_bar_shares_three_quarters_of_its_onsets_or_all_but_one(kind: str) -> None:
    for pattern in free(kind):
        written = [bar for cell in pattern.cells for bar in bars(cell, pattern)]
        for _, made in derived(pattern)[::5]:
            for bar in bars(made, pattern):
                most = [(max(len(bar), len(own)), len(bar & own)) for own in written]
                near = [of - common <= 1 or common >= 0.75 * of for of, common in most]
                assert bar
                assert any(near), (pattern.name, made)


@pytest.mark.parametrize("kind", [*PITCHED, "drums", "percussion"])
def test_a_derived_cell_can_be_played(kind: str) -> None:
    for pattern in all_patterns(kind):
        for cell, made in derived(pattern)[::5]:
            assert in_order(made), (pattern.name, made)
            assert (made.level, made.lines) == (cell.level, cell.lines)


def test_bass_keeps_its_root_on_the_one_and_what_leads_to_the_next_chord() -> None:
    for pattern in free("bass"):
        for cell, made in derived(pattern)[::3]:
            kept = {
                stroke.line
                for stroke in cell.strokes
                if stroke.line % pattern.grid.lines == 0 or stroke.mark in ("a", "v", "n")
            }
            assert kept <= {stroke.line for stroke in made.strokes}, pattern.name


@pytest.mark.parametrize(
    ("name", "chop"),
    [
        ("backbeat-guitar", {4, 12}),
        ("one-drop-guitar", {2, 6, 10, 14}),
        ("cha-cha-piano", {1, 3, 5, 7}),
    ],
)
def test_backbeat_and_skank_are_never_moved(name: str, chop: set[int]) -> None:
    """One of the strokes may be left out now and then; none comes early or late."""
    for _, made in derived(comping_pattern(name)):
        assert len(chop - {stroke.line for stroke in made.strokes}) <= 1


def test_an_ostinato_keeps_its_rhythm() -> None:
    tumbao = bass_pattern("tumbao")
    halves = {
        frozenset(line for line in bar if line // 8 == half)
        for cell in tumbao.cells
        for bar in bars(cell, tumbao)
        for half in (0, 1)
    }
    found = derived(tumbao)
    assert found
    for _, made in found:
        (bar,) = bars(made, tumbao)
        assert {frozenset(line for line in bar if line // 8 == half) for half in (0, 1)} <= halves


@pytest.mark.parametrize(
    "name", ["riff-guitar", "shuffle-sixths", "montuno-piano", "boogie-sixths"]
)
def test_a_figure_in_degrees_or_along_a_clave_is_an_ostinato(name: str) -> None:
    assert comping_pattern(name).is_ostinato


@pytest.mark.parametrize("name", ["tumbao", "tumbao-sixteenths", "six-ostinato"])
def test_a_tied_bass_and_one_that_is_called_so_are_ostinati(name: str) -> None:
    assert bass_pattern(name).is_ostinato


@pytest.mark.parametrize("name", ["soul", "walking", "bossa", "disco-octaves"])
def test_other_basses_are_none(name: str) -> None:
    assert not bass_pattern(name).is_ostinato


def test_drums_exchange_details_that_are_written() -> None:
    for pattern in all_patterns("drums"):
        written = {
            (stroke.line % pattern.grid.lines, stroke.row)
            for cell in pattern.cells
            for stroke in cell.strokes
        }
        for _, made in derived(pattern)[::7]:
            places = [(s.line % pattern.grid.lines, s.row) for s in made.strokes]
            assert set(places) <= written, pattern.name


def test_two_hands_play_a_derived_bar() -> None:
    for pattern in all_patterns("drums"):
        for cell, made in derived(pattern)[::7]:
            before = {(stroke.line, stroke.row) for stroke in cell.strokes}
            for line in {s.line for s in made.strokes if (s.line, s.row) not in before}:
                hands = [s for s in made.strokes if s.line == line and KIT[s.row].limb == HAND]
                assert len(hands) <= 2, (pattern.name, made)


def test_a_clave_and_a_backbeat_are_never_touched() -> None:
    for name, row in (("son-montuno", "side-stick"), ("eighths-rock", "snare")):
        firm = [
            {s.line for s in cell.strokes if s.row == row and s.mark != "o"}
            for cell in drum_pattern(name).cells
        ]
        for _, made in derived(drum_pattern(name)):
            assert {s.line for s in made.strokes if s.row == row and s.mark != "o"} in firm
