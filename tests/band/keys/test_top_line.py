"""The top line is the cheapest melody through its candidates: by step, with direction."""

from __future__ import annotations

from itertools import groupby, pairwise
from random import Random

from groove.band.keys.top_line import Step, top_line

SCALE = tuple((pitch, 0.0) for pitch in (60, 62, 64, 65, 67, 69, 71))


def line(steps: list[Step], seed: int = 1) -> list[int]:
    return top_line(steps, Random(seed))


def free(number: int, contour: float = 66.0, gap: float = 1.0) -> list[Step]:
    return [Step(SCALE, contour, gap, change=False)] * number


def test_no_steps_make_no_line() -> None:
    assert line([]) == []


def test_a_free_line_moves_mostly_by_step_and_stays_on_no_note() -> None:
    for seed in range(20):
        notes = line(free(32), seed)
        moves = [abs(a - b) for a, b in pairwise(notes) if a != b]
        assert sum(move <= 4 for move in moves) >= 0.9 * len(moves)
        assert max(len(list(run)) for _, run in groupby(notes)) <= 3


def test_a_line_is_no_see_saw_between_two_notes() -> None:
    for seed in range(20):
        notes = line(free(32), seed)
        assert all(len(set(notes[first : first + 6])) > 2 for first in range(27))


def test_a_line_follows_its_contour() -> None:
    steps = [Step(SCALE, 60 + place, 1.0, change=False) for place in range(12)]
    notes = line(steps)
    assert notes[0] < 64 < 67 < notes[-1]


def test_a_passing_tone_is_left_by_step() -> None:
    between = Step(((65, 0.0),), 65, 0.5, change=False, passing=frozenset({65}))
    after = Step(((60, 0.0), (64, 2.0), (71, 0.0)), 60, 0.5, change=False)
    assert line([*free(1), between, after])[-1] == 64


def test_into_another_chord_a_line_leaps_no_further_than_a_third_if_it_can() -> None:
    change = Step(((60, 0.0), (68, 1.0)), 60, 1.0, change=True)
    assert line([Step(((67, 0.0),), 67, 1.0, change=False), change]) == [67, 68]
