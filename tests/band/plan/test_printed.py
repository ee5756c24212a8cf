"""The plan as it is printed: a line for each phrase."""

from __future__ import annotations

import re

import pytest

from groove.band.plan.printed import plan_lines
from groove.form.read import read_form
from tests.band.band_material import Played, played
from tests.form.road_material import EXAMPLES

CHANGES = "| I | VIm | IV | V | IIIm | VIm | IIm | V |"


@pytest.mark.parametrize("drums", ["eighths-rock", "medium-swing", "rumba"])
def test_each_phrase_has_a_line_and_each_decision_is_in_one(drums: str) -> None:
    band = played(CHANGES, drums=drums, choruses=4, intensity="2.5", seed=3)
    lines = plan_lines(band.plan)
    spans = [re.match(r"bars? (\d+)(?: to (\d+))?", line) for line in lines]
    firsts = [int(span[1]) for span in spans if span]
    assert firsts[:8] == list(range(1, 33, 4))
    text = "\n".join(lines)
    for number, (bar, planned) in enumerate(
        zip(band.chart.bars, band.plan.bars, strict=True), start=1
    ):
        if planned.fill:
            assert f"in bar {number}" in text
        if bar.start in band.plan.pushes:
            assert f"bar {number} pushed" in text


def test_written_stops_are_named_with_their_beats() -> None:
    band = Played(read_form(EXAMPLES["stop-time-blues"]))
    lines = plan_lines(band.plan)
    stops = {bar.road for bar in band.chart.bars if bar.figure and bar.figure.alone}
    named = r"(?:stops on [\d. ]+|silence) in bar (\d+)"
    assert stops
    assert {int(bar) for line in lines for bar in re.findall(named, line)} == stops
