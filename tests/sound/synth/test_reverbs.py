"""Every drum pattern has a room, and the rooms differ as the music does."""

from __future__ import annotations

import pytest

from groove import library
from groove.rhythm.patterns import drum_pattern
from groove.sound.synth.reverbs import Reverb, reverb_of


@pytest.mark.parametrize("drums", library.names("drums"))
def test_every_drum_pattern_has_a_room(drums: str) -> None:
    assert 0 < reverb_of(drum_pattern(drums)).size < 1


def test_every_room_is_for_a_family_or_a_pattern_that_there_is() -> None:
    content = library.table("reverbs")
    drums = library.names("drums")
    assert set(content["patterns"]) <= set(drums)
    assert set(content["families"]) == {drum_pattern(n).family for n in drums}


def test_a_ballad_rings_longer_and_louder_than_funk() -> None:
    ballad, funk = (reverb_of(drum_pattern(name)) for name in ("slow-ballad", "sixteenth-funk"))
    assert (ballad.size, ballad.level) > (2 * funk.size, funk.level)
    assert ballad.damping < funk.damping


@pytest.mark.parametrize("value", [-0.1, 1.1])
def test_a_figure_outside_0_to_1_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="0 to 1"):
        Reverb(0.5, 0.5, 0.5, value)
