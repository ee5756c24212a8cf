"""The bars that an ending adds: their chords, key, length and tempo."""

from __future__ import annotations

import pytest

from groove import library
from groove.form.chart import Chart
from groove.form.ending.choice import suiting
from groove.form.unroll import landing, length, unroll
from tests.form.ending.ending_material import form

STYLES = ("shuffle", "eighths-rock", "mambo", "waltz")


def chords(chart: Chart) -> list[str]:
    return [" ".join(str(slot.chord) for slot in bar.slots) for bar in chart.ending]


@pytest.mark.parametrize(
    ("name", "home", "written"),
    [
        ("turnaround-lick", "dominant", ["C7 C7/Bb F/A Fm/Ab", "C7/G Db7 C7"]),
        ("climb", "major", ["C C/E F F#dim7", "C/G G7 C"]),
        ("flat-two", "minor", ["Dm7b5 G7", "Cm Db7 Cm"]),
    ],
)
def test_an_ending_has_the_chords_of_the_home_that_the_form_has(
    name: str, home: str, written: list[str]
) -> None:
    assert chords(unroll(form("shuffle", home, ending=name))) == written


def test_a_tag_goes_round_three_times_and_home() -> None:
    turnaround = ["Em7 A7", "Dm7 G7"]
    chart = unroll(form("medium-swing", ending="tag"))
    assert chords(chart) == [*turnaround, *turnaround, *turnaround, "C"]


def test_an_ending_is_in_the_last_key_and_tempo() -> None:
    chart = unroll(form("shuffle", choruses=3, key_cycle="fourths", tempo_step=4, ending="climb"))
    assert {str(bar.key) for bar in chart.ending} == {"Bb major"}
    assert {bar.setting.tempo for bar in chart.ending} == {chart.rounds[-1].tempo}


@pytest.mark.parametrize("name", library.names("endings"))
def test_the_length_counts_the_bars_that_are_added(name: str) -> None:
    for drums in STYLES:
        here = form(drums)
        if name in suiting(landing(here)):
            with_it, without = form(drums, ending=name), form(drums, ending="written")
            bar = here.meter.bar_ticks / here.meter.beat_ticks * 60 / here.tempo
            bars = len(unroll(with_it).ending)
            assert length(with_it) - length(without) == pytest.approx(bars * bar)


def test_a_ritardando_falls_to_the_last_stroke_and_not_before_the_ending() -> None:
    chart = unroll(form("slow-ballad", ending="last-line"))
    first, last = chart.ending[0].start, chart.ending[-1].start
    rates = [chart.tempi.rate(tick) for tick in range(chart.start, last, 480)]
    assert rates == sorted(rates, reverse=True)
    assert chart.tempi.rate(first - 1) == chart.tempi.rate(chart.start)
    assert chart.tempi.rate(last - 1) == pytest.approx(0.75 * chart.tempi.rate(first - 1))
