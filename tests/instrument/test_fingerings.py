"""The phrase finder: complete, correct, in order of comfort, fast."""

import time
from itertools import islice, pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.errors import GrooveError
from groove.instrument.fingerings import (
    Placement,
    as_given,
    best_hands,
    best_starts,
    count,
    placements,
)
from groove.instrument.fretboard import Place, Tuning, read_tuning
from tests.examples import examples
from tests.instrument.fret_material import GUITAR

SMALL = Tuning("small", (50, 55, 59, 64), ("D", "G", "B", "E"), frets=12)
UKULELE = read_tuning("ukulele")
MANDOLIN = read_tuning("mandolin")
tunings = st.sampled_from([SMALL, UKULELE, MANDOLIN, GUITAR, read_tuning("dadgad")])
phrases = st.lists(st.integers(48, 72), min_size=1, max_size=5)
LONG = [57, 60, 62, 63, 64, 67, 69, 72, 70, 69, 67, 64]


def everything(tuning: Tuning, pitches: list[int], stretch: int) -> set[tuple[Place, ...]]:
    """Brute force: any string and fret for each note, at any octave, kept where it fits a hand."""
    found = set()
    neck = [Place(s, f) for s in tuning.strings for f in range(tuning.frets + 1)]
    for octaves in range(-8, 9):
        wanted = [pitch + 12 * octaves for pitch in pitches]
        notes = [[p for p in neck if tuning.pitch(p) == pitch] for pitch in wanted]
        for chosen in product(*notes):
            stopped = [p.fret for p in chosen if p.fret]
            if not stopped or max(stopped) - min(stopped) + 1 <= stretch:
                found.add(chosen)
    return found


def shifts(frets: list[int], reach: int) -> int:
    """The fewest shifts of the hand, by trying every place to shift at."""
    best = [0, *[10**9] * len(frets)]
    for end in range(1, len(frets) + 1):
        for start in range(end):
            held = frets[start:end]
            if max(held) - min(held) < reach:
                best[end] = min(best[end], best[start] + 1)
    return max(best[-1] - 1, 0)


def comfort(tuning: Tuning, places: tuple[Place, ...]) -> int:
    """The cost as the finder's module states it, worked out from nothing."""
    stopped = [p.fret for p in places if p.fret]
    cost = 2 * (max(stopped) - min(stopped)) if stopped else 0
    for a, b in pairwise(places):
        if a.string != b.string:
            cost += 1 + 2 * (abs(a.string - b.string) - 1)
    if stopped and min(stopped) > tuning.reach:
        cost += 2 * (len(places) - len(stopped))
    return cost + 4 * shifts(stopped, tuning.reach)


@settings(max_examples=examples(60))
@given(tunings, phrases, st.integers(4, 5))
def test_finds_all_that_brute_force_finds_and_each_once(
    tuning: Tuning, pitches: list[int], stretch: int
) -> None:
    found = [placement.places for placement in placements(tuning, pitches, stretch)]
    assert len(found) == len(set(found)) == count(tuning, pitches, stretch)
    assert set(found) == everything(tuning, pitches, stretch)


@settings(max_examples=examples(60))
@given(tunings, phrases, st.integers(4, 5))
def test_every_placement_sounds_the_phrase(
    tuning: Tuning, pitches: list[int], stretch: int
) -> None:
    for placement in placements(tuning, pitches, stretch):
        sounding = [tuning.open(p.string) + p.fret for p in placement.places]
        assert sounding == [pitch + 12 * placement.octaves for pitch in pitches]
        assert all(0 <= p.fret <= tuning.frets for p in placement.places)


@settings(max_examples=examples(60))
@given(tunings, phrases, st.integers(4, 9))
def test_cost_is_as_stated_and_rises(tuning: Tuning, pitches: list[int], stretch: int) -> None:
    found = list(placements(tuning, pitches, stretch))
    assert [p.cost for p in found] == [comfort(tuning, p.places) for p in found]
    assert all(a.cost <= b.cost for a, b in pairwise(found))


@settings(max_examples=examples(40))
@given(st.lists(st.tuples(st.integers(1, 4), st.integers(0, 12)), min_size=1, max_size=8))
def test_fingering_that_is_given_costs_what_it_would_if_it_were_found(
    given_: list[tuple[int, int]],
) -> None:
    places = tuple(Place(string, fret) for string, fret in given_)
    assert as_given(SMALL, places).places == places
    assert as_given(SMALL, places).cost == comfort(SMALL, places)


@settings(max_examples=examples(40))
@given(tunings, phrases)
def test_best_start_is_the_cheapest_that_begins_there(tuning: Tuning, pitches: list[int]) -> None:
    cheapest: dict[Place, int] = {}
    for placement in placements(tuning, pitches, 4):
        cheapest.setdefault(placement.places[0], placement.cost)
    found = {p.places[0]: p.cost for p in best_starts(tuning, pitches, 4)}
    assert found == cheapest


@settings(max_examples=examples(60))
@given(tunings, phrases, st.integers(0, 7), st.integers(0, 9))
def test_best_start_within_some_frets_is_the_cheapest_of_those_that_keep_to_them(
    tuning: Tuning, pitches: list[int], low: int, more: int
) -> None:
    frets = range(low, low + more + 1)
    kept = [p for p in everything(tuning, pitches, 5) if all(place.fret in frets for place in p)]
    cheapest: dict[Place, int] = {}
    for places in kept:
        cost = comfort(tuning, places)
        cheapest[places[0]] = min(cost, cheapest.get(places[0], cost))
    assert {p.places[0]: p.cost for p in best_starts(tuning, pitches, 5, frets)} == cheapest
    assert count(tuning, pitches, 5, frets) == len(kept)


@settings(max_examples=examples(40))
@given(tunings, phrases)
def test_best_hand_is_the_cheapest_with_its_lowest_fret_in_its_octave(
    tuning: Tuning, pitches: list[int]
) -> None:
    cheapest: dict[tuple[int, int], int] = {}
    for p in placements(tuning, pitches):
        cheapest.setdefault((p.octaves, p.fret), p.cost)
    assert {(p.octaves, p.fret): p.cost for p in best_hands(tuning, pitches)} == cheapest


@settings(max_examples=examples(40))
@given(st.lists(st.integers(52, 64), min_size=1, max_size=5), st.integers(1, 5))
def test_transposing_moves_every_placement(pitches: list[int], semitones: int) -> None:
    def stopped(found: list[Placement], up: int) -> set[tuple[tuple[int, int], ...]]:
        moved = [[(p.string, p.fret + up) for p in f.places] for f in found]
        return {tuple(m) for m in moved if all(semitones < f <= 24 for _, f in m)}

    here = list(placements(GUITAR, pitches))
    there = list(placements(GUITAR, [pitch + semitones for pitch in pitches]))
    assert stopped(here, semitones) == stopped(there, 0)


def test_usual_stretch_is_a_finger_more_than_the_hand() -> None:
    assert count(GUITAR, LONG) == count(GUITAR, LONG, 5)
    assert count(MANDOLIN, LONG) == count(MANDOLIN, LONG, 8)


def test_open_string_asks_nothing_of_the_hand() -> None:
    places = {p.places for p in placements(GUITAR, [64, 79], 4)}
    assert (Place(1, 0), Place(1, 15)) in places


def test_open_strings_alone_have_no_span() -> None:
    strings = (Place(3, 0), Place(2, 0))
    (found,) = (p for p in placements(GUITAR, [55, 59], 4) if p.places == strings)
    assert (found.span, found.fret, found.cost) == (0, 0, 1)


def test_phrase_wider_than_the_neck_is_found_nowhere() -> None:
    assert count(GUITAR, [40, 89]) == 0
    assert best_starts(GUITAR, [40, 89]) == ()


@pytest.mark.parametrize("pitches", [LONG, [64] * 12, [64, 69] * 6, [52, 57, 62, 67, 71, 76] * 2])
def test_twelve_notes_on_twenty_four_frets_take_well_under_a_second(pitches: list[int]) -> None:
    start = time.process_time()
    assert count(GUITAR, pitches) > 0
    assert list(islice(placements(GUITAR, pitches), 100))
    assert best_starts(GUITAR, pitches)
    assert time.process_time() - start < 0.8


def test_huge_numbers_are_counted_and_ranked_without_making_them() -> None:
    close = Tuning("close", tuple(range(60, 72)), ("?",) * 12)
    pitches = [72, 74, 76, 77] * 8
    assert count(close, pitches) > 10**12
    best = list(islice(placements(close, pitches), 10))
    assert all(a.cost <= b.cost for a, b in pairwise(best))


@pytest.mark.parametrize("stretch", [0, 13, -4])
def test_stretch_that_no_hand_has_is_an_error_that_says_what_is_allowed(stretch: int) -> None:
    with pytest.raises(GrooveError, match="1 to 12 are allowed"):
        count(GUITAR, LONG, stretch)
