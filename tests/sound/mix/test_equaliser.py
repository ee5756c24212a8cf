"""The equaliser's bands do at each frequency what they say."""

from __future__ import annotations

import cmath
import math

import pytest

from groove.sound.mix.equaliser import PASSES, SHAPES, Band, decibels, response
from groove.sound.samples import SAMPLE_RATE


def gain(band: Band, hertz: float) -> float:
    return decibels([band], hertz, SAMPLE_RATE)


@pytest.mark.parametrize("db", [-6.0, 3.0])
def test_a_peak_has_its_gain_at_its_frequency_and_none_far_off(db: float) -> None:
    band = Band("peak", 1000, db)
    assert gain(band, 1000) == pytest.approx(db, abs=1e-6)
    assert abs(gain(band, 20)) < 0.05
    assert abs(gain(band, 20_000)) < 0.05


@pytest.mark.parametrize(
    ("shape", "full", "none"), [("low shelf", 20, 8000), ("high shelf", 20_000, 100)]
)
def test_a_shelf_has_its_gain_on_its_side_and_half_of_it_in_the_middle(
    shape: str, full: float, none: float
) -> None:
    band = Band(shape, 1000, -4)
    assert gain(band, full) == pytest.approx(-4, abs=0.1)
    assert gain(band, 1000) == pytest.approx(-2, abs=1e-6)
    assert gain(band, none) == pytest.approx(0, abs=0.1)


@pytest.mark.parametrize(
    ("shape", "kept", "lost"), [("low pass", 100, 4000), ("high pass", 4000, 250)]
)
def test_a_pass_falls_by_12_db_an_octave_beyond_its_frequency(
    shape: str, kept: float, lost: float
) -> None:
    band = Band(shape, 1000)
    assert gain(band, kept) == pytest.approx(0, abs=0.05)
    assert gain(band, 1000) == pytest.approx(-3.01, abs=0.01)
    assert gain(band, lost) == pytest.approx(-24, abs=0.7)


def test_bands_one_after_another_add_up_in_db() -> None:
    one, other = Band("peak", 500, 3), Band("low shelf", 200, -4)
    both = decibels([one, other], 300, SAMPLE_RATE)
    assert both == pytest.approx(gain(one, 300) + gain(other, 300))


@pytest.mark.parametrize("shape", SHAPES)
def test_no_band_rings_on_for_ever(shape: str) -> None:
    """Its poles lie inside the circle of radius one."""
    band = Band(shape, 30, 0.0 if shape in PASSES else 12, 10)
    _, (a, b, c) = band.coefficients(SAMPLE_RATE)
    root = cmath.sqrt(b * b - 4 * a * c)
    assert all(abs(pole / (2 * a)) < 1 for pole in (-b + root, -b - root))


def test_no_bands_leave_sound_as_it_is() -> None:
    assert response((), 1j, SAMPLE_RATE) == 1


@pytest.mark.parametrize(
    "figures",
    [
        ("bell", 1000.0),
        ("peak", 19.0),
        ("peak", 20_001.0),
        ("peak", 1000.0, 12.5),
        ("peak", 1000.0, 3.0, 0.05),
        ("low pass", 1000.0, 3.0),
        ("peak", math.nan),
    ],
)
def test_a_band_that_there_is_not_is_refused(figures: tuple[str, float]) -> None:
    with pytest.raises(ValueError, match="found"):
        Band(*figures)
