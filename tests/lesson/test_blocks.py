"""The parts of a lesson sheet for each learner."""

import pytest

import groove
from groove.errors import GrooveError
from groove.form.lesson_fields import LEARNERS
from groove.lesson.blocks import blocks_of, heading_of
from groove.lesson.request import INSTRUMENTS
from groove.wording import Wording, worded, words_of
from tests.form.road_material import example


@pytest.mark.parametrize("learner", LEARNERS)
def test_every_part_of_a_learner_is_there_once_and_has_its_heading(learner: str) -> None:
    names = words_of("blocks")["learners"][learner]
    assert len(set(names)) == len(names)
    assert all(heading_of(name) for name in names)


def test_an_advanced_learner_has_every_part_on_every_instrument() -> None:
    form = groove.read_form("twelve-bar", learner="advanced")
    for instrument in INSTRUMENTS:
        assert set(blocks_of(form, instrument)) == set(words_of("blocks")["blocks"])


def test_a_part_for_one_instrument_stands_on_its_sheets_alone() -> None:
    form = groove.read_form("twelve-bar")
    for part, instruments in words_of("blocks")["only"].items():
        for instrument in INSTRUMENTS:
            assert (part in blocks_of(form, instrument)) is (instrument in instruments)


def test_named_parts_come_exactly_so_whoever_learns() -> None:
    for learner in LEARNERS:
        form = groove.read_form("twelve-bar", learner=learner, blocks="lines, chart, plan")
        assert blocks_of(form, "guitar") == ("lines", "chart", "plan")


def test_keys_of_a_road_come_after_its_sections() -> None:
    for form, order in (
        (groove.read_form("twelve-bar"), ["keys", "sections"]),
        (example("latin-swing-aaba").form, ["sections", "keys"]),
    ):
        assert [n for n in blocks_of(form, "guitar") if n in ("keys", "sections")] == order


def test_a_list_of_ones_own_with_an_unknown_part_is_told() -> None:
    own = Wording({"blocks": {"learners": {"intermediate": ["chart", "capo"]}}})
    with worded(own), pytest.raises(GrooveError, match="intermediate: there is no part 'capo'"):
        blocks_of(groove.read_form("twelve-bar"), "guitar")
