"""Open hats end where the hat is struck again, or where the foot closes it."""

from __future__ import annotations

from groove.band.open_hats import closed_again
from groove.band.part import GridNote
from groove.rhythm.kit import KIT
from tests.band.band_material import played

BEAT, LINE = 960, 240


def closed(*strokes: tuple[str, int]) -> list[tuple[str, int, int]]:
    """Row, start and length of strokes after those of (row, start) were closed again; the starts
    counted from the first bar."""
    band = played(drums="eighths-rock", choruses=1)
    start = band.chart.start
    notes = [GridNote(start + at, LINE, KIT[row].note, 0.6, row) for row, at in strokes]
    return [(n.row, n.start - start, n.length) for n in closed_again(notes, band.chart)]


def test_an_open_hat_sounds_until_a_hand_or_the_foot_strikes_the_hat() -> None:
    assert closed(("hat-open", 0), ("hat", 480))[0] == ("hat-open", 0, 480)
    assert closed(("hat-open", 480), ("hat-foot", 960))[0] == ("hat-open", 480, 480)
    assert len(closed(("hat-open", 480), ("snare", 720), ("hat-foot", 960))) == 3


def test_where_no_stroke_follows_within_a_beat_the_pedal_closes_it_on_the_next_beat() -> None:
    last_offbeat = 3 * BEAT + 480
    struck = closed(("hat-open", last_offbeat), ("crash", 4 * BEAT), ("ride", 5 * BEAT))
    assert ("hat-open", last_offbeat, 480) in struck
    assert ("hat-foot", 4 * BEAT, LINE) in struck


def test_an_open_hat_in_the_last_bar_rings() -> None:
    band = played(drums="eighths-rock", choruses=1)
    note = GridNote(band.chart.bars[-1].start, LINE, KIT["hat-open"].note, 0.6, "hat-open")
    assert closed_again([note], band.chart) == [note]
