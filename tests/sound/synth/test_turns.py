"""Ways of playing take turns, never the same twice running."""

from __future__ import annotations

from itertools import pairwise

import pytest

from groove.sound.synth.turns import Turns


@pytest.mark.parametrize(("ways", "apart"), [(2, 1), (3, 1), (4, 1), (5, 2)])
def test_neighbours_are_so_far_apart_and_all_ways_come(ways: int, apart: int) -> None:
    turns = Turns("drums")
    taken = [turns.next(42, ways, apart) for _ in range(300)]
    assert set(taken) == set(range(ways))
    assert min(abs(one - other) for one, other in pairwise(taken)) >= apart


def test_the_strokes_of_one_note_do_not_depend_on_those_of_another() -> None:
    alone, among = Turns("drums"), Turns("drums")
    expected = [alone.next(42, 4) for _ in range(50)]
    found = []
    for _ in range(50):
        found.append(among.next(42, 4))
        among.next(38, 4)
    assert found == expected


def test_one_way_is_taken_again_and_again() -> None:
    turns = Turns("drums")
    assert {turns.next(42, 1) for _ in range(20)} == {0}


@pytest.mark.parametrize(("ways", "kinds"), [(3, 2), (4, 2), (3, 3), (4, 3), (2, 2)])
def test_neighbours_are_of_different_kinds(ways: int, kinds: int) -> None:
    turns = Turns("drums")
    taken = [turns.next(36, ways, kinds=kinds) for _ in range(300)]
    assert set(taken) == set(range(ways))
    assert all(one % kinds != other % kinds for one, other in pairwise(taken))
