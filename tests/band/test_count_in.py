"""The count-in: fast bars by their groups, slow threes with their parts."""

from __future__ import annotations

import pytest

from groove import library
from groove.band.count_in import clicks, is_click
from groove.form.unroll import unroll
from tests.cases import in_turn
from tests.form.ending.ending_material import form


@pytest.mark.parametrize(
    ("drums", "fields", "counted"),
    [
        ("shuffle", {}, "1 2 3 4"),
        ("shuffle", {"count_in": 2}, "1 2 3 4 5 6 7 8"),
        ("fast-swing", {"tempo": 220}, "1 3 5 6 7 8"),
        ("fast-swing", {"tempo": 160}, "1 2 3 4"),
        ("fast-swing", {"tempo": 220, "count_in": 1}, "1 2 3 4"),
        ("fast-swing", {"tempo": 220, "count_in": 0}, ""),
        ("jazz-waltz", {"tempo": 190}, "1 4 5 6"),
        ("six-eight", {"tempo": 90}, "1 2"),
        ("six-eight", {"tempo": 50}, "1 1.33 1.67 2 2.33 2.67"),
        ("slow-blues", {"tempo": 80}, "1 2 3 4"),
        ("eighths-rock", {"tempo": 180, "ending": "loop"}, ""),
    ],
)
def test_a_band_is_counted_in_as_bands_are(drums: str, fields: dict, counted: str) -> None:  # type: ignore[type-arg]
    chart = unroll(form(drums, **fields))
    beat = chart.bars[0].meter.beat_ticks
    heard = [f"{1 + (note.start - chart.count_in) / beat:.3g}" for note in clicks(chart)]
    assert " ".join(heard) == counted


@in_turn("drums", library.names("drums"))
def test_every_click_is_known_as_one_and_is_no_stick_of_another_standard(drums: str) -> None:
    """Sticks, note 31, belong to GS only; General MIDI has none."""
    chart = unroll(form(drums))
    assert all(is_click(note, chart) and note.pitch > 34 for note in clicks(chart))


def test_parts_of_beats_are_softer_than_beats() -> None:
    weights = [note.weight for note in clicks(unroll(form("six-eight", tempo=50)))]
    assert weights[0] > weights[3] > weights[1] == weights[5]
