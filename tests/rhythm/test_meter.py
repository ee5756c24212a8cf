"""Metres and tempi turn musical time into seconds and back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.rhythm.meter import (
    METERS,
    TICKS_PER_QUARTER,
    Meter,
    TempoMap,
    seconds_to_ticks,
    ticks_to_seconds,
)

TEMPI = st.integers(30, 320)


@pytest.mark.parametrize(
    ("meter", "beats", "quarters"), [("4/4", 4, 4), ("3/4", 3, 3), ("6/8", 2, 3), ("12/8", 4, 6)]
)
def test_a_bar_has_its_beats_and_lasts_its_quarters(meter: str, beats: int, quarters: int) -> None:
    """In 6/8 and 12/8 the beat is a dotted quarter (common practice)."""
    assert METERS[meter].beats == beats
    assert METERS[meter].bar_ticks == quarters * TICKS_PER_QUARTER
    assert METERS[meter].beat_ticks * beats == METERS[meter].bar_ticks
    assert str(METERS[meter]) == meter


@pytest.mark.parametrize(
    ("meter", "bar", "beat", "starts"),
    [
        ("2/2", 4, 2, [0, 2]),
        ("2/4", 2, 1, [0, 1]),
        ("5/4", 5, 1, [0, 1, 2, 3, 4]),
        ("9/8", 4.5, 1.5, [0, 1.5, 3]),
        ("3/8", 1.5, 1.5, [0]),
        ("5/8", 2.5, 1, [0, 1.5]),
        ("7/8", 3.5, 1, [0, 1, 2]),
        ("3+2+2/8", 3.5, 1, [0, 1.5, 2.5]),
        ("2+3/8", 2.5, 1, [0, 1]),
    ],
)
def test_a_bar_its_beat_and_where_beats_begin_in_quarters(
    meter: str, bar: float, beat: float, starts: list[float]
) -> None:
    """A tempo counts halves in 2/2, dotted quarters in 9/8 and 3/8, quarters in 5/8 and 7/8,
    where the groups are the felt beats (common practice)."""
    found = Meter.parse(meter)
    assert found.bar_ticks == bar * TICKS_PER_QUARTER
    assert found.beat_ticks == beat * TICKS_PER_QUARTER
    assert [start / TICKS_PER_QUARTER for start in found.beat_starts] == starts


@pytest.mark.parametrize(
    ("meter", "starts"),
    [
        ("4/4", [0, 2]), ("3/4", [0]), ("5/4", [0, 3]), ("2+3/4", [0, 2]), ("6/4", [0, 3]),
        ("7/4", [0, 4]), ("3+4/4", [0, 3]), ("12/8", [0, 3]), ("7/8", [0, 1, 2]),
    ],
)  # fmt: skip
def test_groups_begin_on_the_strong_beats(meter: str, starts: list[float]) -> None:
    found = Meter.parse(meter).group_starts
    assert [start / TICKS_PER_QUARTER for start in found] == starts


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("11/8", "there are: 4/4"), ("4/5", "there are: 4/4"), ("4", "there are: 4/4"),
        ("5+2/8", "groups of 2, 3 or 4"), ("3+3/8", "6/8 goes in groups of three"),
        ("1+" * 40 + "1/8", "there are: 4/4"),
    ],
)  # fmt: skip
def test_a_metre_that_is_none_is_refused_with_what_is_allowed(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        Meter.parse(text)


@pytest.mark.parametrize("text", ["7/8", "3+2+2/8", "4/4", "2+3/4"])
def test_the_full_name_of_a_metre_reads_back(text: str) -> None:
    assert Meter.parse(text).full_name == text


@given(st.sampled_from([*METERS, "3+2+2/8", "2+3/8", "2+3/4"]), st.integers(0, 100_000))
def test_a_tick_lies_in_the_beat_that_began_last(name: str, tick: int) -> None:
    meter = Meter.parse(name)
    beat, into = meter.beat_at(tick)
    assert tick % meter.bar_ticks == meter.beat_starts[beat] + into
    later = [*meter.beat_starts, meter.bar_ticks][beat + 1]
    assert 0 <= into < later - meter.beat_starts[beat]


def test_halves_thirds_and_quarters_of_a_beat_are_whole_ticks() -> None:
    for meter in METERS.values():
        assert all(meter.beat_ticks % part == 0 for part in (2, 3, 4, 6, 8))


@pytest.mark.parametrize("meter", METERS.values(), ids=str)
def test_at_sixty_a_beat_lasts_a_second(meter: Meter) -> None:
    assert ticks_to_seconds(meter.beat_ticks, 60, meter) == 1
    assert seconds_to_ticks(1, 60, meter) == meter.beat_ticks


@pytest.mark.parametrize("meter", METERS.values(), ids=str)
def test_at_a_hundred_and_twenty_four_beats_last_two_seconds(meter: Meter) -> None:
    assert ticks_to_seconds(4 * meter.beat_ticks, 120, meter) == 2
    assert seconds_to_ticks(2, 120, meter) == 4 * meter.beat_ticks


@given(st.floats(0, 1e6), st.floats(30, 320), st.sampled_from(list(METERS.values())))
def test_seconds_of_ticks_read_back(ticks: float, tempo: float, meter: Meter) -> None:
    seconds = ticks_to_seconds(ticks, tempo, meter)
    assert seconds_to_ticks(seconds, tempo, meter) == pytest.approx(ticks)


def test_a_tempo_map_counts_each_stretch_at_its_own_tempo() -> None:
    """Four beats at 60, then four at 120, then at 240."""
    beat = 960
    course = TempoMap(((0, 60.0, beat), (4 * beat, 120.0, beat), (8 * beat, 240.0, beat)))
    times = {0: 0, 2 * beat: 2, 4 * beat: 4, 6 * beat: 5, 8 * beat: 6, 12 * beat: 7}
    for tick, seconds in times.items():
        assert course.seconds(tick) == pytest.approx(seconds)
        assert course.ticks(seconds) == pytest.approx(tick)


@given(
    st.lists(st.tuples(st.integers(1, 50_000), TEMPI), max_size=5),
    TEMPI,
    st.integers(0, 400_000),
)
def test_ticks_and_seconds_of_a_tempo_map_undo_each_other(
    steps: list[tuple[int, int]], first: int, tick: int
) -> None:
    changes, at = [(0, float(first), 960)], 0
    for length, tempo in steps:
        at += length
        changes.append((at, float(tempo), 960))
    course = TempoMap(tuple(changes))
    assert course.ticks(course.seconds(tick)) == pytest.approx(tick, abs=1e-6)
