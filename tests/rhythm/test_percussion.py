"""Each percussion instrument has a rhythm for whatever the drummer plays, and hands to play it."""

from __future__ import annotations

from collections import Counter

import pytest

from groove import library
from groove.rhythm.kit import KIT
from groove.rhythm.meter import METERS, Meter
from groove.rhythm.patterns import DrumPattern, PercussionPattern, drum_pattern, percussion_pattern
from groove.rhythm.percussion import rhythm_for
from groove.rhythm.pulse import paced
from groove.rhythm.regroup import in_meter
from tests.cases import in_turn

NAMES = ("claves", "congas", "guiro", "pandeiro", "shaker", "tambourine", "triangle")
RHYTHMS = [
    pytest.param(rhythm, id=f"{name} {rhythm.grid.meter} in {rhythm.grid.lines} {rhythm.clave}")
    for name in NAMES
    for rhythm in percussion_pattern(name).rhythms
]
DRUMS = [drum_pattern(name) for name in library.names("drums")]
ONE_SOUND = ("claves", "guiro", "shaker", "tambourine", "triangle")  # one stroke at a time
# Toussaint, The Geometry of Musical Rhythm, 2013 (from memory).
THREE_TWO = {
    "son": "x..x..x...x.x...",
    "rumba": "x..x...x..x.x...",
    "bossa": "x..x..x...x..x..",
}


def boxes(clave: str) -> str:
    """The sixteen boxes of a clave; two-three has the halves the other way round."""
    order, _, kind = clave.rpartition(" ")
    whole = THREE_TWO[kind]
    return whole[8:] + whole[:8] if order == "2-3" else whole


def usual(name: str, drums: DrumPattern) -> PercussionPattern:
    """The rhythm beside a drum pattern at the middle of its tempi."""
    swung = drums.grid.feel != "straight"
    return rhythm_for(percussion_pattern(name), drums, tempo=sum(drums.tempo) / 2, swung=swung)


def test_there_is_a_file_for_each_of_the_instruments() -> None:
    assert library.names("percussion") == NAMES


@in_turn("rhythm", RHYTHMS)
def test_every_rhythm_has_cells_for_all_three_levels(rhythm: PercussionPattern) -> None:
    assert {cell.level for cell in rhythm.cells} == {1, 2, 3}


@in_turn("rhythm", RHYTHMS)
def test_no_two_cells_are_the_same(rhythm: PercussionPattern) -> None:
    assert len({cell.strokes for cell in rhythm.cells}) == len(rhythm.cells)


@in_turn("rhythm", RHYTHMS)
def test_two_hands_can_play_it(rhythm: PercussionPattern) -> None:
    """And one instrument sounds once, on a pandeiro the jingles with any stroke."""
    most = 1 if rhythm.name in ONE_SOUND else 2
    for cell in rhythm.cells:
        assert max(Counter(stroke.line for stroke in cell.strokes).values()) <= most


@pytest.mark.parametrize("name", NAMES)
def test_the_last_stroke_is_on_the_instrument_itself(name: str) -> None:
    instrument = percussion_pattern(name)
    rows = {s.row for rhythm in instrument.rhythms for cell in rhythm.cells for s in cell.strokes}
    assert instrument.ending in rows <= set(KIT)


@in_turn("meter", METERS.values(), ids=str)
@in_turn("name", NAMES)
def test_every_metre_has_a_rhythm_that_fills_its_bar(name: str, meter: Meter) -> None:
    drums = in_meter(drum_pattern("slow-blues" if meter.is_compound else "eighths-rock"), meter)
    rhythm = usual(name, drums)
    assert rhythm.grid.meter == meter
    for cell in rhythm.cells:
        assert cell.lines in (rhythm.grid.lines, 2 * rhythm.grid.lines)
        assert all(0 <= stroke.line < cell.lines for stroke in cell.strokes)


@in_turn("drums", DRUMS, ids=lambda drums: drums.name)
@in_turn("name", NAMES)
def test_the_beat_is_divided_as_the_drummer_divides_it(name: str, drums: DrumPattern) -> None:
    rhythm = usual(name, drums)
    assert rhythm.grid.meter == drums.grid.meter
    assert rhythm.grid.is_triplet == drums.grid.is_triplet


@pytest.mark.parametrize("name", NAMES)
def test_beside_eighths_that_swing_there_are_no_sixteenths(name: str) -> None:
    rock = drum_pattern("eighths-rock")
    swung = rhythm_for(percussion_pattern(name), rock, tempo=90, swung=True)
    assert swung.grid.lines_per_beat == 2


def test_a_shaker_leaves_sixteenths_that_are_too_fast_to_shake() -> None:
    rock, shaker = drum_pattern("eighths-rock"), percussion_pattern("shaker")
    lines = [
        rhythm_for(shaker, rock, tempo=tempo, swung=False).grid.lines for tempo in (80, 118, 119)
    ]
    assert lines == [16, 16, 8]


@pytest.mark.parametrize("drums", [p for p in DRUMS if p.clave], ids=lambda drums: drums.name)
def test_the_claves_keep_the_clave_of_the_drums(drums: DrumPattern) -> None:
    for cell in usual("claves", drums).cells:
        struck = {stroke.line for stroke in cell.strokes}
        assert "".join("x" if line in struck else "." for line in range(16)) == boxes(drums.clave)
        assert cell.lines == 16


def test_drums_at_half_or_double_rate_have_percussion_at_that_rate() -> None:
    rock, shaker = drum_pattern("eighths-rock"), percussion_pattern("shaker")
    for pulse, lines in (("half", {32}), ("double", {16, 32})):
        found = rhythm_for(shaker, paced(rock, pulse), tempo=100, swung=False, pulse=pulse)
        assert {cell.lines for cell in found.cells} <= lines
        assert found.grid.rate == paced(rock, pulse).grid.rate
