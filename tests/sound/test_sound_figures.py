"""The main figures of the sound, by the measuring code of `tests.bench.sound`, which has them all.

All are of the soundfont that ships, through the whole chain. Limits: common practice of mixing,
where no source is named.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import groove
from tests.bench.sound import balance, limiters, loudness, room, strokes, tone
from tests.bench.sound.checkout import Checkout
from tests.bench.sound.table import Figure

STYLES = ("shuffle", "medium-swing")


@pytest.fixture(scope="module")
def checkout(tmp_path_factory: pytest.TempPathFactory) -> Checkout:
    """This checkout, its sound in a folder of the tests."""
    return Checkout(Path(groove.__file__).parents[1], None, tmp_path_factory.mktemp("sound"))


def missed(figures: list[Figure]) -> list[str]:
    assert any(figure.limits for figure in figures)
    return [f"{at.name}: {at.shown()}; {at.limits}" for at in figures if at.missed]


def test_a_hard_stroke_is_brighter_than_a_soft_one(checkout: Checkout) -> None:
    """The spectral centroid at velocity 120 beside 24: by half for drums and piano, by a third
    for bass and guitars."""
    assert missed(tone.figures(checkout)) == []


def test_no_two_equal_strokes_that_follow_one_another_are_the_same(checkout: Checkout) -> None:
    """Correlation at the best lag: hat and ride at most 0.8, kick and snare at most 0.95."""
    assert missed(strokes.figures(checkout, played=False)) == []


def test_the_room_answers_at_once_and_stays_under_the_drums(checkout: Checkout) -> None:
    """Within 10 ms, and 12 to 18 LU under the drums."""
    assert missed(room.figures(checkout, STYLES[:1])) == []


def test_the_mix_has_a_middle_and_does_not_lean_to_a_side(checkout: Checkout) -> None:
    """Energy by bands, left beside right, the comping's share of a soloist's register."""
    assert missed(balance.figures(checkout, STYLES, choruses=1)) == []


def test_limiters_take_less_than_4_db_where_backbeats_stand_out(checkout: Checkout) -> None:
    assert missed(limiters.figures(checkout, ["soul-backbeat"], seeds=[1])) == []


@pytest.mark.skipif(shutil.which("ffmpeg") is None, reason="a second meter is not there")
def test_other_meters_find_the_loudness_and_the_peaks_that_are_promised(
    checkout: Checkout,
) -> None:
    """-14 LUFS within 0.5 and -1 dBTP by ffmpeg (EBU R 128) and pyloudnorm (ITU-R BS.1770-4), at
    -10 LUFS too; the stems sum to the mix where no limiter works."""
    assert missed(loudness.figures(checkout, STYLES[1:], choruses=1)) == []
