"""Straight notes, as music21 reads them: values that a player reads at sight."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from music21 import converter

import groove

READ_AT_SIGHT = {Fraction(n, 4) for n in range(4)} | {Fraction(n, 3) for n in range(3)}


@pytest.mark.parametrize(
    ("drums", "triplets"), [("medium-swing", True), ("shuffle", True), ("eighths-rock", False)]
)
def test_every_onset_is_a_sixteenth_or_a_triplet(
    drums: str, triplets: bool, tmp_path: Path
) -> None:
    """music21 reads the file as it stands, without quantising it."""
    form = groove.read_form("twelve-bar", drums=drums, choruses=1, ending="hit")
    path = groove.make(form, tmp_path, straight_notes=True)[0]
    score = converter.parse(path, quantizePost=False)
    onsets = {Fraction(note.getOffsetInHierarchy(score)) % 1 for note in score.recurse().notes}
    assert {onset.limit_denominator(48) for onset in onsets} <= READ_AT_SIGHT
    assert triplets or not {Fraction(1, 3), Fraction(2, 3)} & onsets


def test_the_audio_keeps_swing_and_touch(tmp_path: Path) -> None:
    form = groove.read_form("one-chord-vamp", drums="shuffle", choruses=1)
    straight = groove.make(form, tmp_path / "a", audio="wav", straight_notes=True)
    swung = groove.make(form, tmp_path / "b", audio="wav")
    assert straight[0].read_bytes() != swung[0].read_bytes()
    assert straight[1].read_bytes() == swung[1].read_bytes()
