"""The plan: where the band fills, pushes, breaks off, rises and falls."""

from __future__ import annotations

from functools import cache
from itertools import groupby, pairwise

import pytest

from groove.band.plan.plan import BREAK, TOPS
from groove.form.chart import Bar
from tests.band.band_material import Played, played

CHANGES = "| I | VIm | IV | V | IIIm | VIm | IIm | V |"
GROOVES = ("eighths-rock", "soul-backbeat", "sixteenth-funk", "medium-swing", "shuffle", "rumba")
PUSHED = ("eighths-rock", "soul-backbeat", "sixteenth-funk", "disco")


@cache
def bands(drums: str, chords: str = CHANGES, choruses: int = 10, **fields: str) -> list[Played]:
    return [
        played(chords, drums=drums, choruses=choruses, seed=seed, **fields) for seed in range(6)
    ]


def turns(band: Played, kind: str) -> list[int]:
    """The places of the bars that end with a turn of a kind, where nothing else is planned."""
    return [
        index
        for index, bar in enumerate(band.chart.bars)
        if bar.turn == kind and not band.plan.bars[index].breaks
    ]


@pytest.mark.parametrize("drums", GROOVES)
def test_phrases_are_filled_now_and_then_and_choruses_mostly(drums: str) -> None:
    """Rule 1: a band that fills at every turn is a machine; the turn of the form is heard."""
    for band in bands(drums):
        shares = {}
        for kind in ("phrase", "chorus"):
            of = turns(band, kind)
            shares[kind] = sum(band.plan.bars[at].fill is not None for at in of) / len(of)
        assert 0.4 <= shares["phrase"] <= 0.7
        assert shares["chorus"] >= 0.8


def test_the_lengths_of_fills_differ_and_grow_with_the_band() -> None:
    lengths: dict[str, list[int]] = {}
    for level in ("1", "3"):
        for band in bands("eighths-rock", intensity=level):
            fills = [bar.fill for bar in band.plan.bars if bar.fill is not None]
            assert len(set(fills)) >= 3
            assert all(len(list(run)) <= 2 for _, run in groupby(fills))
            lengths.setdefault(level, []).extend(fills)
    assert sum(lengths["1"]) / len(lengths["1"]) < sum(lengths["3"]) / len(lengths["3"])


@pytest.mark.parametrize("drums", PUSHED)
def test_a_tenth_to_three_tenths_of_the_changes_are_pushed_once_the_band_is_up(drums: str) -> None:
    pushed = changes = 0
    for band in bands(drums, intensity="2.5"):
        changes += sum(slot.start >= band.chart.start for slot in band.plan.written.changes)
        pushed += len(band.plan.pushes)
        assert band.plan.pushes <= {slot.start for slot in band.plan.written.changes}
    assert 0.1 <= pushed / changes <= 0.3


def test_a_quiet_band_and_a_band_with_a_tied_bass_do_not_push() -> None:
    assert not any(band.plan.pushes for band in bands("eighths-rock", intensity="1"))
    assert not any(band.plan.pushes for band in bands("rumba", intensity="3"))


def test_a_walking_bass_walks_on_where_the_others_push() -> None:
    pushes = 0
    for band in bands("medium-swing", intensity="3"):
        pushes += len(band.plan.pushes)
        assert not any(slot.early for slot in band.plan.bass_chart.changes)
        early = {slot.written_start for slot in band.chart.changes if slot.early}
        assert early == band.plan.pushes >= band.plan.skips
    assert pushes


def of_chorus(band: Played, number: int) -> list[Bar]:
    time = band.chart.rounds[number]
    return list(band.chart.bars[time.first : time.last])


def mean(band: Played, number: int) -> float:
    bars = of_chorus(band, number)
    return sum(bar.intensity for bar in bars) / len(bars)


def test_at_an_even_level_the_first_chorus_is_spare_and_the_last_but_one_a_shout() -> None:
    for band in bands("medium-swing", intensity="2"):
        means = [mean(band, number) for number in range(10)]
        assert means[0] == min(means)
        assert means[8] == max(means)
        courses = [[bar.intensity for bar in of_chorus(band, number)] for number in range(10)]
        assert all(one != other for one, other in pairwise(courses))


def test_a_course_that_the_form_asks_for_is_followed() -> None:
    for band in bands("medium-swing", intensity="1 3 1 3 1 3 1 3 1 3"):
        for number in range(10):
            asked = 3 if number % 2 else 1
            assert all(abs(bar.intensity - asked) <= 0.5 for bar in of_chorus(band, number))


def test_dynamics_of_the_form_stay_as_they_are() -> None:
    band = played("I:8", choruses=4, dynamics="mf")
    for bar, written in zip(band.chart.bars, band.plan.written.bars, strict=True):
        assert bar.intensity == written.intensity


def test_tops_differ() -> None:
    """Crash, ride, break and nothing each come in some of the tracks, none twice running."""
    heard = set()
    for band in bands("eighths-rock", chords="I:8", intensity="2.5"):
        tops = [bar.top for bar in band.plan.bars if bar.top]
        assert all(one != other for one, other in pairwise(tops))
        heard |= set(tops)
    assert heard == set(TOPS)


def test_in_a_break_nobody_plays_between_its_stroke_and_the_pickup() -> None:
    broken = 0
    for band in bands("eighths-rock", chords="I:8", intensity="2.5"):
        for bar, planned in zip(band.chart.bars, band.plan.bars, strict=True):
            if planned.breaks:
                broken += 1
                assert band.plan.at(bar.end).top == BREAK
                for part in band.parts:
                    assert not band.during(part, bar.start + 1, bar.end - band.beat)
    assert broken


def test_a_form_and_seed_have_one_plan() -> None:
    one, two = (played(CHANGES, drums="eighths-rock", choruses=4, seed=5) for _ in range(2))
    assert one.plan == two.plan
    assert one.plan != played(CHANGES, drums="eighths-rock", choruses=4, seed=6).plan
