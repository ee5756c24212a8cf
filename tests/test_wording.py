"""The sentences of patterns/lesson/ and a teacher's own instead of them."""

from __future__ import annotations

import pytest

from groove.errors import GrooveError
from groove.wording import Wording, filled, said, worded, words_of

GERMAN = Wording({"cautions": {"cautions": ["Leise!"]}, "plan": {"place": {"keys": "dort"}}})


def test_own_words_replace_what_they_name_and_leave_the_rest() -> None:
    before = words_of("plan")["place"]["strings"]
    with worded(GERMAN):
        assert words_of("cautions")["cautions"] == ["Leise!"]
        assert said("plan", "place.keys") == "dort"
        assert said("plan", "place.strings") == before
    assert said("plan", "place.keys") != "dort"


def test_tables_of_a_list_are_replaced_one_by_one() -> None:
    steps = words_of("plan")["steps"]
    with worded(Wording({"plan": {"steps": [{"title": "Nur Akkordtoene"}]}})):
        first, second, *_ = words_of("plan")["steps"]
    assert first["title"] == "Nur Akkordtoene"
    assert first["words"] == steps[0]["words"]
    assert second == steps[1]


def test_unknown_name_in_a_sentence_is_one_line_that_says_which_there_are() -> None:
    with pytest.raises(GrooveError, match=r"\{goal\}") as caught:
        filled("Go to {gaol}.", {"goal": "C"})
    assert "\n" not in str(caught.value)
