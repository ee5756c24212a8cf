"""Real progressions can be written as they stand, and their chords are those of the source.

Source: the corpus of ``music21`` (analyses of Monteverdi's madrigals and Bach's chorales, lead
sheets); every fifth analysis here, all of them in tests/bench/real_progressions.py.
"""

import pytest
from music21.base import Music21Object

from groove.form.chordline import parse_chords, timed
from groove.rhythm.meter import METERS
from tests.references.progression_material import (
    Written,
    analyses,
    analysis,
    lead_sheets,
    written_analysis,
    written_lead_sheet,
    wrong_figures,
)

AT_LEAST = 0.97


@pytest.fixture(scope="module")
def scores() -> list[Music21Object]:
    return [analysis(path) for path in analyses()[::5]]


@pytest.fixture(scope="module")
def pieces(scores: list[Music21Object]) -> list[Written]:
    named = zip(analyses()[::5], scores, strict=True)
    sheets = [written_lead_sheet(name, score) for name, score in lead_sheets()]
    return [*(written_analysis(path, score) for path, score in named), *sheets]


def test_nearly_every_piece_can_be_written_as_it_stands(pieces: list[Written]) -> None:
    refused = {piece.name: piece.refused for piece in pieces if piece.refused}
    assert len(pieces) >= 20
    assert sum(piece.chords for piece in pieces) > 1500
    assert len(refused) <= (1 - AT_LEAST) * len(pieces), refused


def test_nearly_every_numeral_is_the_chord_of_the_analysis(
    pieces: list[Written], scores: list[Music21Object]
) -> None:
    wrong = [figure for score in scores for figure in wrong_figures(score)]
    chords = sum(piece.chords for piece in pieces)
    assert len(wrong) <= (1 - AT_LEAST) * chords, wrong


def test_place_of_a_chord_is_that_of_the_analysis() -> None:
    """Riemenschneider 1 in 3/4: m1 I, b2 IV6, b3 V6; m3 IV, b2.5 viio6, b3 I; m4 V, b3 I."""
    path = next(path for path in analyses() if path.stem == "riemenschneider001")
    spans = timed(parse_chords(written_analysis(path, analysis(path)).text), METERS["3/4"])
    bars: list[list[str]] = [[]]
    place = 0
    for span in spans:
        if place == len(bars):
            bars.append([])
        bars[-1].append(f"{span.written or 'NC'} {span.bars * 3}")
        place += span.bars
    assert bars[:5] == [
        ["NC 2", "G 1"], ["G 1", "C/E 1", "D/F# 1"], ["G 1", "D 1", "Em 1"],
        ["C 3/2", "F#dim/A 1/2", "G 1"], ["D 2", "G 1"],
    ]  # fmt: skip
