"""The drum pattern files: enough cells and fills for a form of any length."""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import pytest

from groove.rhythm.box_notation import Cell, grace_strokes
from groove.rhythm.kit import FOOT, HAND, KIT
from groove.rhythm.patterns import Pattern, bass_pattern, comping_pattern
from tests.band.band_material import all_patterns
from tests.cases import in_turn

DRUMS = [pytest.param(p, id=p.name) for p in all_patterns("drums")]
LEVELS = (1, 2, 3)
AUDIBLE = 2  # strokes that come or go
LEAST_STROKES = 6  # a bar that loses one to a crash and a kick is still 60 % like itself

# Patterns with a bass and a comping of their own, all three with four cells a level.
DEEP = {
    "stop-time", "gospel-six-eight", "gospel-shout", "minor-twelve-eight", "boogie-piano",
    "power-chord-rock", "four-on-the-floor-rock", "hambone", "punk-double-time", "surf",
    "brush-ballad", "two-feel-to-four", "afro-cuban-jazz", "linear-funk", "four-on-the-snare",
    "neo-soul", "organ-groove", "piano-ballad", "palm-muted-pop", "half-time-hip-hop", "house",
    "afrobeats", "dembow", "salsa", "bachata", "merengue", "cumbia", "tango", "partido-alto",
    "rockers", "steppers", "two-step", "country-waltz", "bluegrass-chop", "jig", "reel",
}  # fmt: skip
WRITTEN_DEEP = [p for p in DRUMS if p.id in DEEP]


def strokes(cell: Cell, from_line: int = 0) -> set[tuple[int, str]]:
    return {(s.line + from_line, s.row) for s in cell.strokes}


def firm(cell: Cell, from_line: int = 0) -> set[tuple[int, str]]:
    """Strokes without the ghost notes, which come and go at the drummer's will."""
    return {(s.line + from_line, s.row) for s in cell.strokes if s.mark != "o"}


def beats(p: Pattern, fill: Cell) -> int:
    return fill.lines // p.grid.lines_per_beat


@in_turn("p", DRUMS)
def test_each_level_has_four_cells_to_vary_between(p: Pattern) -> None:
    assert all(len(p.cells_at(level)) >= 4 for level in LEVELS)


@in_turn("p", DRUMS)
def test_each_level_has_a_cell_of_two_bars(p: Pattern) -> None:
    for level in LEVELS:
        assert any(cell.lines > p.grid.lines for cell in p.cells_at(level))


@in_turn("p", WRITTEN_DEEP)
def test_each_level_of_the_deep_ones_has_four_cells_for_every_player(p: Pattern) -> None:
    band = (p, bass_pattern(p.bass), comping_pattern(p.comping))
    for player in band:
        assert all(len(player.cells_at(level)) >= 4 for level in LEVELS), player.name
        written = {(cell.lines, cell.strokes, cell.held) for cell in player.cells}
        assert len(written) == len(player.cells), player.name
    assert all(any(c.lines > p.grid.lines for c in p.cells_at(level)) for level in LEVELS)


@in_turn("p", WRITTEN_DEEP)
def test_bass_and_comping_of_the_deep_ones_are_written_for_their_feel(p: Pattern) -> None:
    for player in (bass_pattern(p.bass), comping_pattern(p.comping)):
        assert player.grid.meter == p.grid.meter, player.name
        assert player.grid.takes(p.grid.feel), player.name
        assert player.grid.is_triplet == p.grid.is_triplet, player.name


@in_turn("p", DRUMS)
def test_no_two_cells_are_the_same(p: Pattern) -> None:
    written = [frozenset((s.line, s.row, s.mark) for s in cell.strokes) for cell in p.cells]
    assert len(set(written)) == len(written)


@in_turn("p", DRUMS)
def test_a_bar_has_enough_strokes_to_be_known_by(p: Pattern) -> None:
    for cell in p.cells:
        for first in range(0, cell.lines, p.grid.lines):
            bar = [s for s in cell.strokes if first <= s.line < first + p.grid.lines]
            assert len(bar) >= LEAST_STROKES


@in_turn("p", DRUMS)
def test_there_are_ten_fills_and_more_of_every_length(p: Pattern) -> None:
    """Four gestures over the groove, three fills each of one beat and two, two of a whole bar."""
    bar = p.grid.lines / p.grid.lines_per_beat
    whole = Counter(fill.lines / p.grid.lines_per_beat for fill in p.fills if not fill.adds)
    assert sum(fill.adds for fill in p.fills) >= 4
    assert whole[1] >= 3
    assert whole[2] >= 3
    assert whole[bar] >= 2


@in_turn("p", DRUMS)
def test_a_gesture_is_a_stroke_or_a_few_in_the_last_beat(p: Pattern) -> None:
    for fill in p.fills:
        if fill.adds:
            assert fill.lines <= p.grid.lines_per_beat
            assert 1 <= len(fill.strokes) <= 4


@in_turn("p", DRUMS)
def test_flams_and_drags_take_both_hands(p: Pattern) -> None:
    for cell in (*p.cells, *p.fills, p.pickup, p.ending):
        for flam in (s for s in cell.strokes if grace_strokes(s.mark)):
            others = {s.row for s in cell.strokes if s.line == flam.line} - {flam.row}
            assert all(KIT[row].limb == FOOT for row in others)


@in_turn("p", DRUMS)
def test_after_two_fills_a_third_small_one_is_left(p: Pattern) -> None:
    """So that no fill follows itself or stands where it stood a chorus ago."""
    assert sum(beats(p, fill) <= 2 for fill in p.fills) >= 3


@in_turn("p", DRUMS)
def test_no_two_fills_have_the_same_strokes(p: Pattern) -> None:
    ends = [(fill.lines, fill.adds, strokes(fill, -fill.lines)) for fill in p.fills]
    assert all(one != other for one, other in combinations(ends, 2))


@in_turn("p", DRUMS)
def test_a_fill_in_place_of_the_groove_differs_from_every_cell(p: Pattern) -> None:
    for fill in [fill for fill in p.fills if not fill.adds]:
        from_line = p.grid.lines - fill.lines
        for cell in p.cells:
            for first in range(0, cell.lines, p.grid.lines):
                groove = {
                    (s.line - first, s.row)
                    for s in cell.strokes
                    if first + from_line <= s.line < first + p.grid.lines and s.mark != "o"
                }
                assert len(groove ^ firm(fill, from_line)) >= AUDIBLE, (fill, cell)


@in_turn("p", DRUMS)
def test_the_hat_is_not_open_and_shut_at_once(p: Pattern) -> None:
    for cell in (*p.cells, *p.fills):
        opened = {s.line for s in cell.strokes if s.row == "hat-open"}
        shut = {s.line for s in cell.strokes if s.row in ("hat", "hat-foot")}
        assert not opened & shut


@in_turn("p", DRUMS)
def test_a_pickup_leaves_a_hand_for_the_click(p: Pattern) -> None:
    assert p.pickup
    assert p.pickup.lines == p.grid.lines_per_beat
    click = p.click
    hands = Counter(s.line for s in p.pickup.strokes if KIT[s.row].limb == HAND and s.row != click)
    assert hands[0] <= 1
    assert max(hands.values(), default=0) <= 2


@in_turn("p", DRUMS)
def test_the_tempo_range_leaves_room_and_names_a_family(p: Pattern) -> None:
    low, high = p.tempo
    assert low * 1.3 < high
    assert p.family


@pytest.mark.parametrize("name", ["half-time", "half-time-shuffle"])
def test_half_time_has_its_one_backbeat_on_three(name: str) -> None:
    """Common practice."""
    p = next(p for p in all_patterns("drums") if p.name == name)
    for cell in p.cells:
        loud = [s.line for s in cell.strokes if s.row == "snare" and s.mark != "o"]
        assert loud == [bar + p.grid.lines // 2 for bar in range(0, cell.lines, p.grid.lines)]


def test_one_drop_leaves_the_one_empty_of_kick() -> None:
    """Common practice: kick and rim fall together on two and four, none on one."""
    p = next(p for p in all_patterns("drums") if p.name == "one-drop")
    assert all((0, "kick") not in strokes(cell) for cell in p.cells)
    assert all({(4, "kick"), (12, "kick")} <= strokes(cell) for cell in p.cells)


@pytest.mark.parametrize("name", ["disco", "boogie", "texas-shuffle"])
def test_the_kick_is_on_every_beat(name: str) -> None:
    """Four on the floor, common practice."""
    p = next(p for p in all_patterns("drums") if p.name == name)
    kicks = {(beat * p.grid.lines_per_beat, "kick") for beat in range(4)}
    assert all(kicks <= strokes(cell) for cell in p.cells)


@pytest.mark.parametrize(
    "name", ["eighths-rock", "sixteenths-rock", "soul-backbeat", "sixteenth-funk", "disco",
             "slow-ballad", "shuffle", "texas-shuffle", "jump", "boogie"]
)  # fmt: skip
def test_the_backbeat_is_on_two_and_four(name: str) -> None:
    """Common practice."""
    p = next(p for p in all_patterns("drums") if p.name == name)
    backbeats = {p.grid.lines_per_beat, 3 * p.grid.lines_per_beat}
    for cell in p.cells:
        assert backbeats <= {s.line for s in cell.strokes if s.row in ("snare", "side-stick")}
