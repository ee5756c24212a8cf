"""The shipped German: it is complete, and its names in braces are those of the sentences."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from groove import library
from groove.wording import SHIPPED, TITLES, by_number
from groove.wording.file import TITLED, _is_chosen, names_in, problems, word_files

GERMAN = library.load("words", "german")
LEFT_OUT = {
    ("language", "notes"), ("language", "roots"), ("language", "keys"), ("language", "home"),
    ("language", "named"),
    ("language", "scales"),
}  # fmt: skip
"""Tables where a language says a note as it does itself: in small letters, by a name."""
ONE = {"one", "one_to_fret"}
"""Sentences on a single thing, whose number German writes as a word."""


def sentences(shipped: Any, own: Any, at: tuple[str, ...]) -> Iterator[tuple[str, Any, Any]]:
    """Every sentence or list of the shipped words, with its place and that of the language."""
    if len(at) > 1 and _is_chosen(shipped, at):
        return
    if isinstance(shipped, dict):
        for key, value in shipped.items():
            yield from sentences(value, own.get(key) if isinstance(own, dict) else None, (*at, key))
    elif isinstance(shipped, list) and shipped and isinstance(shipped[0], dict):
        tables = by_number(own) if own is not None else {}
        for number, value in enumerate(shipped, 1):
            yield from sentences(value, tables.get(number), (*at, str(number)))
    elif shipped != "" and isinstance(shipped, (str, list)):
        yield ".".join(at), shipped, own


def test_a_file_of_the_same_content_would_be_read() -> None:
    assert list(problems(GERMAN)) == []


@pytest.mark.parametrize("name", word_files())
def test_every_sentence_is_there_with_the_same_names(name: str) -> None:
    found = list(sentences(SHIPPED.whole(name), GERMAN.get(name), (name,)))
    assert [place for place, _, own in found if own is None] == []
    differ = [
        place
        for place, shipped, own in found
        if isinstance(shipped, str)
        and names_in(shipped) != names_in(own)
        and tuple(place.split(".")[:2]) not in LEFT_OUT
        and place.split(".")[-1] not in ONE
    ]
    assert differ == []


@pytest.mark.parametrize("kind", TITLED)
def test_every_pattern_and_form_has_its_title(kind: str) -> None:
    assert set(GERMAN[TITLES][kind]) == set(library.names(kind))
