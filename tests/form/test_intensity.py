"""The intensity, how busy the band plays: its notation and its effect on the chart."""

from __future__ import annotations

import pytest

from groove.form.intensity import levels as of_bars
from groove.form.intensity import parse_intensity
from groove.form.read import FormError, read_form
from groove.form.unroll import unroll


def levels(notation: str, choruses: int = 3) -> list[float]:
    form = read_form("twelve-bar", intensity=notation, choruses=choruses, ending="loop")
    return [bar.intensity for bar in unroll(form).bars]


def test_a_level_without_bars_lasts_a_chorus() -> None:
    assert levels("1 2 3") == [1.0] * 12 + [2.0] * 12 + [3.0] * 12


def test_the_last_level_holds_to_the_end() -> None:
    assert levels("1:4 2.5") == [1.0] * 4 + [2.5] * 32


def test_a_rise_ends_on_its_last_level() -> None:
    rise = levels("1-3:24 1:12")
    assert (rise[0], rise[23], rise[24]) == (1.0, 3.0, 1.0)
    assert rise[:24] == sorted(rise[:24])


def test_what_goes_on_past_the_end_is_cut() -> None:
    assert of_bars(parse_intensity("1:3 2:400"), [4, 1]) == [1.0, 1.0, 1.0, 2.0, 2.0]


def test_left_out_it_rises_slowly_from_quiet_to_flat_out() -> None:
    form = read_form("twelve-bar", choruses=5)
    rise = [bar.intensity for bar in unroll(form).bars if bar.number]
    assert rise == sorted(rise)
    assert rise[0] == 1.0
    assert 2.7 < rise[-1] <= 3.0


@pytest.mark.parametrize(
    "notation", ["", "0", "4", "1-4", "2:0", "2:x", "loud", "1:8,2:8", "1 - 3"]
)
def test_another_notation_is_refused_with_an_example(notation: str) -> None:
    with pytest.raises(FormError, match="levels from 1 to 3"):
        read_form("twelve-bar", intensity=notation)
