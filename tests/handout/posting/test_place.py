"""The most telling place of a track: where it may begin, and why it is chosen."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

import groove
from groove.band.plan.plan import Plan
from groove.band.plan.planner import planned
from groove.form.unroll import unroll
from groove.handout.posting.place import Place, telling_place
from groove.wording import words_of
from tests.form.road_material import example

TRIO = ("drums", "bass", "comping")
FORMS: dict[str, dict[str, Any]] = {
    "usual": {},
    "loop": {"ending": "loop", "count_in": 0, "tempo": 90},
    "keys": {"key_cycle": "fourths", "choruses": 6},
    "faster": {"tempo_step": 8, "choruses": 6},
    "tuning note": {"tuning_note": True, "count_in": 4},
}
ROADS = {
    "latin-swing-aaba": ("drums", "bass", "keys", "percussion"),
    "modal-vamp": ("drums", "bass", "guitar", "keys", "percussion"),
    "pop-song": ("drums", "bass", "guitar", "keys", "percussion", "melody"),
    "stop-time-blues": ("drums", "bass", "guitar", "keys", "riff"),
}


def plan_of(case: str) -> tuple[Plan, tuple[str, ...]]:
    if case in ROADS:
        return planned(example(case)), ROADS[case]
    return planned(unroll(groove.read_form("twelve-bar", **FORMS[case]))), TRIO


def place_of(plan: Plan, players: tuple[str, ...] = TRIO, **more: Any) -> Place:
    return telling_place(plan, players, plan.chart.seconds(plan.chart.end) + 2, **more)


@pytest.mark.parametrize("case", [*FORMS, *ROADS])
def test_it_begins_with_a_bar_in_which_something_begins_and_never_in_the_count_in(
    case: str,
) -> None:
    plan, players = plan_of(case)
    chart = plan.chart
    place = place_of(plan, players)
    (bar,) = [bar for bar in chart.bars if chart.seconds(bar.start) == pytest.approx(place.start)]
    begins = {time.start for time in chart.rounds} | {found.start for found in chart.passes}
    assert bar.start in begins
    assert place.end - place.start == pytest.approx(30)
    assert not place.whole
    assert not place.ends


def test_the_loudest_chorus_is_taken() -> None:
    form = groove.read_form("twelve-bar", choruses=5, intensity="1 1 3 1 1", tempo=96)
    plan = planned(unroll(form))
    place = place_of(plan)
    assert place.start == pytest.approx(plan.chart.seconds(plan.chart.rounds[2].start))
    assert words_of("posting")["preview"]["reasons"]["loud"] in place.words


def test_it_has_room_for_all_its_seconds_before_the_end() -> None:
    form = groove.read_form("twelve-bar", choruses=5, intensity="1 1 1 1 3", tempo=96)
    plan = planned(unroll(form))
    last = plan.chart.seconds(plan.chart.rounds[-1].start)
    assert telling_place(plan, TRIO, last + 30.1).start == pytest.approx(last)
    place = telling_place(plan, TRIO, last + 29.9)
    assert last > place.start
    assert place.end <= last + 29.9


def test_a_solo_is_worth_going_to() -> None:
    form = groove.read_form("twelve-bar", choruses=4, solo="example", tempo=96)
    plan = planned(unroll(form))
    heard, unheard = place_of(plan, (*TRIO, "solo")), place_of(plan)
    assert heard.start == pytest.approx(plan.chart.seconds(plan.chart.start))
    assert "a solo is heard" in heard.words
    assert unheard.start > heard.start
    assert "solo" not in unheard.words


def test_bars_without_players_are_passed_over() -> None:
    plan = planned(unroll(groove.read_form("twelve-bar", choruses=4, intensity="2", tempo=96)))
    chart = plan.chart
    first = place_of(plan)
    (index,) = [n for n, time in enumerate(chart.rounds)
                if chart.seconds(time.start) == pytest.approx(first.start)]  # fmt: skip
    time = chart.rounds[index]
    out = frozenset({"bass", "comping"})
    bars = [
        replace(bar, out=out) if time.first <= n < time.last else bar
        for n, bar in enumerate(chart.bars)
    ]
    second = place_of(replace(plan, chart=replace(chart, bars=tuple(bars))))
    assert second.start != pytest.approx(first.start)


def test_the_key_and_tempo_of_the_title_are_preferred() -> None:
    for fields in ({"key_cycle": "up"}, {"tempo_step": 10.0}):
        form = groove.read_form("twelve-bar", choruses=4, intensity="2", tempo=96, **fields)
        plan = planned(unroll(form))
        assert place_of(plan).start == pytest.approx(plan.chart.seconds(plan.chart.start))


def test_a_short_track_is_taken_whole_and_one_with_short_music_from_its_first_bar() -> None:
    plan = planned(unroll(groove.read_form("twelve-bar", choruses=1, tempo=120)))
    start = plan.chart.seconds(plan.chart.start)
    whole = telling_place(plan, TRIO, 29.5)
    assert (whole.start, whole.end, whole.whole, whole.ends) == (0.0, 29.5, True, True)
    music = telling_place(plan, TRIO, 30.0 + start)
    assert (music.start, music.end, music.whole, music.ends) == (start, 30.0 + start, False, True)


def test_another_length_is_kept() -> None:
    plan, players = plan_of("usual")
    place = place_of(plan, players, seconds=12.0)
    assert place.end - place.start == pytest.approx(12)


@pytest.mark.parametrize("case", [*FORMS, *ROADS])
def test_the_reason_is_a_line_with_its_times(case: str) -> None:
    plan, players = plan_of(case)
    words = place_of(plan, players).words
    assert words.startswith("preview from ")
    assert "\n" not in words
    assert words.rpartition(": ")[2]
