"""The words of the practice page stand in one file of data, and its program has none of its own."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from groove.handout.practice.inline import script, sources, words_html
from groove.wording import Wording, worded, words_of
from tests.handout.practice.page_material import data_without_notes

LITERAL = re.compile(r'(?:say|sayMany|wordFor|wordsAt)\(\s*"([\w.]+)"')
OF_A_KEY = re.compile(r'onKey\(\s*"[^"]+",\s*"([\w.]+)"')
CHOSEN = re.compile(r"(?:say|sayMany|wordFor|wordsAt)\(\s*`([\w.]+)\.\$\{")


def found(place: str) -> Any:
    words: Any = words_of("page") | {"session": words_of("plan")["session"]}
    words |= {"bends": words_of("staff")["bends"]}
    for name in place.split("."):
        words = words[name]
    return words


def test_all_words_that_the_program_asks_for_are_there() -> None:
    code = script()
    places = {*LITERAL.findall(code), *OF_A_KEY.findall(code)} - {
        "notes",
        "roots",
    }  # the language's own
    assert len(places) > 40
    for place in sorted(places | set(CHOSEN.findall(code))):
        assert found(place), place


def test_all_words_that_the_page_has_places_for_are_there() -> None:
    html = "".join(path.read_text("utf-8") for path in Path(str(sources())).rglob("*.html"))
    assert set(re.findall(r"\{\{(words\.[\w.]+)\}\}", html)) <= words_html().keys()


def test_a_sentence_around_a_field_is_two_pieces_of_html() -> None:
    own = Wording({"page": {"rounds": {"stop_after": "Nach {field} <Runden>"}}})
    with worded(own):
        html = words_html()
    assert html["words.rounds.stop_after.before"] == "Nach "
    assert html["words.rounds.stop_after.after"] == " &lt;Runden&gt;"


@pytest.mark.parametrize("part", ["cycles", "readers", "words"])
def test_a_file_of_ones_own_words_reaches_the_page(part: str) -> None:
    own = {
        "cycles": {"rounds": {"next_keys": {"up": "Halbton höher"}}},
        "readers": {"readers": {"Bb": "B-Instrumente"}},
        "words": {"play": {"play": "Los"}},
    }[part]
    with worded(Wording({"page": own})):
        data = data_without_notes("one-chord-vamp")
    assert re.search("Halbton höher|B-Instrumente|Los", str(data[part]))


def test_a_b_in_a_word_of_another_language_is_no_flat() -> None:
    own = Wording({"plan": {"steps": [{"words": "Bleib, bis es sitzt. IV b7 bleibt."}]}})
    with worded(own):
        data = data_without_notes("one-chord-vamp")
    plans = data["guides"]["C"]["plans"].values()
    words = {step[1] for plan in plans for step in plan}
    assert "Bleib, bis es sitzt. IV b7 bleibt." in words
