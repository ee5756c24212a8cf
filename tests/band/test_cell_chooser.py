"""Ten choruses at an even level: the players state the groove, develop it, and come back to it."""

from __future__ import annotations

from functools import cache

import pytest

from groove.band.part import Part
from groove.form.chart import Bar
from tests.band.band_material import Played, played

HALF = 5  # choruses
MOST_HEARD = {"drums": 0.8, "bass": 0.75, "comping": 0.75}
FEWEST_RHYTHMS = 15
STYLES = ("eighths-rock", "bossa", "one-drop", "rumba", "medium-swing", "shuffle")


@cache
def ten_choruses(drums: str) -> Played:
    return played(drums=drums, choruses=10, intensity="2", seed=4)


def content(band: Played, part: Part, bar: Bar) -> frozenset[tuple[int, int]]:
    notes = band.during(part, bar.start, bar.end)
    return frozenset((note.start - bar.start, note.pitch) for note in notes)


def heard(band: Played, part: Part) -> float:
    """The share of the bars of choruses 6 to 10 that sounded before, note for note."""
    before: set[object] = set()
    again = []
    for bar in band.in_form:
        notes = content(band, part, bar)
        if bar.round >= HALF:
            again.append(notes in before)
        before.add(notes)
    return sum(again) / len(again)


@pytest.mark.parametrize("drums", STYLES)
def test_the_second_half_of_ten_choruses_is_not_the_first_again(drums: str) -> None:
    band = ten_choruses(drums)
    for part in band.parts:
        assert heard(band, part) <= MOST_HEARD[part.name], part.name


@pytest.mark.parametrize("drums", STYLES)
def test_motifs_return(drums: str) -> None:
    """Most rhythms of bass and comping are played more than once."""
    band = ten_choruses(drums)
    for part in band.parts[1:]:
        rhythms = [frozenset(at for at, _ in content(band, part, bar)) for bar in band.in_form]
        again = sum(rhythms.count(rhythm) > 1 for rhythm in rhythms)
        assert again >= 0.6 * len(rhythms), part.name


@pytest.mark.parametrize("drums", STYLES)
def test_a_player_who_has_no_ostinato_plays_fifteen_rhythms(drums: str) -> None:
    band = ten_choruses(drums)
    own = (band.form.bass, band.form.comping[0])
    for pattern, part in zip(own, band.parts[1:], strict=True):
        rhythms = {frozenset(at for at, _ in content(band, part, bar)) for bar in band.in_form}
        assert pattern.is_ostinato or len(rhythms) >= FEWEST_RHYTHMS, pattern.name


@pytest.mark.parametrize("drums", STYLES)
def test_the_first_bars_state_the_groove_as_it_is_written(drums: str) -> None:
    band = ten_choruses(drums)
    line = band.form.bass.grid.line_ticks
    lines = band.form.bass.grid.lines
    written = {
        frozenset((s.line - first) * line for s in cell.strokes if first <= s.line < first + lines)
        for cell in band.form.bass.cells
        for first in range(0, cell.lines, lines)
    }
    opening = frozenset(at for at, _ in content(band, band.bass, band.in_form[1]))
    assert opening in written
