"""The weight of a line: the metre, the contour, the phrase; and the players beside one another."""

from __future__ import annotations

from collections import defaultdict
from random import Random
from statistics import fmean, median, pstdev

import pytest

from groove import library
from groove.band.part import GridNote
from groove.band.plan.planner import planned
from groove.band.take import play, record
from groove.band.touch.feel import BandFeel
from groove.band.touch.line_weight import LineWeight
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.rhythm.box_notation import ACCENT, GHOST, STROKE

PLAIN = {
    "metre": [0.0] * 4, "swing_metre": [0.0] * 4, "place_habit": 0.0, "contour": 0.0,
    "phrase": 0.0, "follows": 0.0, "accent_leans": 0.5,
}  # fmt: skip


def line(pitches: list[int], weight: float = STROKE, step: int = 960, **figures: object):
    """The weights of a line of equally long notes."""
    chart = unroll(read_form("twelve-bar", drums="eighths-rock", count_in=0))
    notes = [GridNote(n * step, step, pitch, weight) for n, pitch in enumerate(pitches)]
    groups = [(note.start, [note]) for note in notes]
    weights = LineWeight(groups, BandFeel(chart, 0.0, Random(1)), PLAIN | figures, Random(2))
    return [weights.at(n) for n in range(len(notes))]


def test_the_highest_note_of_a_turn_is_the_heaviest():
    found = line([36, 40, 43, 40, 36], contour=1.0)
    assert max(found) == found[2]


def test_the_one_is_heavier_than_weak_beats_and_these_than_what_lies_between():
    found = line([36] * 8, step=480, metre=[4.0, 1.0, -1.0, -4.0])
    assert found == [4.0, -4.0, -1.0, -4.0, 1.0, -4.0, -1.0, -4.0]


def test_a_phrase_grows_over_four_bars_and_begins_again():
    found = line([36] * 20, phrase=2.0)
    assert found[:16] == sorted(found[:16])
    assert found[16] == found[0] == -2.0


def test_what_follows_closely_is_lighter_than_what_comes_after_a_rest():
    assert line([60] * 3, step=480, follows=-4.0) == [0.0, -4.0, -4.0]
    assert line([60] * 3, step=960, follows=-4.0) == [0.0, 0.0, 0.0]


def test_an_accent_gains_less_from_its_place():
    figures = {"metre": [4.0, 1.0, -1.0, -4.0]}
    assert line([36] * 3, ACCENT, **figures) == [2.0, -1.0, 0.5]


def test_dead_notes_have_no_place_in_the_line():
    assert line([36, 48], GHOST, metre=[4.0, 1.0, -1.0, -4.0], contour=1.0) == [0.0, 0.0]


def test_a_take_has_habits_of_its_own():
    assert pstdev(line([36] * 4, place_habit=3.0)) > 0


@pytest.mark.parametrize("player", ["bass", "comping", "melody", "riff"])
def test_dead_notes_are_soft_and_accents_stand_out(player: str):
    marks = dict(library.load("touch", "band")[player]["marks"])
    assert marks[GHOST] < 0.5 * marks[STROKE]
    assert marks[ACCENT] > marks[STROKE] + 15


def test_in_swing_the_bass_follows_the_drums_closely_and_the_comping_comes_later():
    """On the beat: bass 4 ms after the drums (quartiles -2 and 8), piano 10 ms after them and after
    the bass (0 to 20): 34 jazz trios of the Jazz Trio Database (Cheston et al., TISMIR 2024)."""
    apart: dict[str, list[float]] = defaultdict(list)
    for seed in range(12):
        form = read_form("twelve-bar", drums="medium-swing", seed=seed, count_in=0)
        plan = planned(unroll(form))
        ms = 60_000 / form.tempo / 960
        first: dict[str, dict[int, float]] = {}
        for part in record(plan, play(plan)).parts:
            on_beat: dict[int, list[float]] = defaultdict(list)
            for note in part.notes:
                late = (note.start - round(note.start / 960) * 960) * ms
                if abs(late) < 60:
                    on_beat[round(note.start / 960)].append(late)
            first[part.name] = {beat: min(late) for beat, late in on_beat.items()}
        for one, other in (("bass", "drums"), ("comping", "drums"), ("comping", "bass")):
            both = first[one].keys() & first[other].keys()
            apart[one + other].append(median(first[one][b] - first[other][b] for b in both))
    assert -2 <= fmean(apart["bassdrums"]) <= 8
    assert 5 <= fmean(apart["compingdrums"]) <= 20
    assert 0 <= fmean(apart["compingbass"]) <= 18
