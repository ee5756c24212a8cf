"""Shapes that one hand can hold on the fretboard."""

from __future__ import annotations

import pytest

from groove.band.guitar.guitar_shapes import (
    OPEN_STRINGS,
    GuitarShape,
    can_be_held,
    fingers,
    places,
    shapes,
)


def test_the_shell_of_a_seventh_is_found_on_the_fretboard() -> None:
    """G7 with its root on the low string, frets 3 x 3 4 x x (common practice)."""
    assert GuitarShape((6, 4, 3), (3, 3, 4)) in shapes(frozenset({7, 5, 11}), 3, 40, 71)


def test_a_barre_counts_as_one_finger() -> None:
    """G major, frets 3 5 5 4 3 3 (common practice)."""
    shape = GuitarShape((6, 5, 4, 3, 2, 1), (3, 5, 5, 4, 3, 3))
    assert fingers(shape) == 4
    assert can_be_held(shape)


def test_no_barre_lies_over_an_open_string() -> None:
    assert fingers(GuitarShape((6, 5, 4, 3, 2, 1), (3, 5, 0, 4, 3, 3))) == 5


@pytest.mark.parametrize(("lowest", "playable"), [(3, False), (7, False), (8, True)])
def test_five_frets_are_reached_above_the_seventh_only(lowest: int, playable: bool) -> None:
    assert can_be_held(GuitarShape((6, 5), (lowest, lowest + 4))) == playable


@pytest.mark.parametrize("interval", [3, 4, 5, 6, 7, 8, 9, 10])
@pytest.mark.parametrize("root", range(45, 60))
def test_two_strings_hold_every_interval_of_a_figure(root: int, interval: int) -> None:
    found = places((root, root + interval))
    assert found
    assert all(shape.pitches == (root, root + interval) for shape in found)


def test_the_fretboard_is_tuned_in_standard_tuning() -> None:
    """E4 B3 G3 D3 A2 E2 (common practice)."""
    assert OPEN_STRINGS == (64, 59, 55, 50, 45, 40)
