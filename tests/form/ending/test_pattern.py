"""Endings as data: every shipped file is whole, and a faulty one is refused with its key."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from typing import Any

import pytest

from groove import library
from groove.form.ending.pattern import EndingError, ending

NAMES = library.names("endings")


@pytest.mark.parametrize("name", NAMES)
def test_a_shipped_ending_says_what_it_is(name: str) -> None:
    found = ending(name)
    assert found.title
    assert found.about
    assert found.versions
    assert not found.ritardando or 10 <= found.ritardando <= 25


@pytest.mark.parametrize("name", NAMES)
def test_every_version_has_chords_for_each_of_its_bars(name: str) -> None:
    for version in ending(name).versions:
        for _, spans in version.chords:
            assert sum(span.bars for span in spans) == len(version.bars)


def put(key: str, value: Any) -> Callable[[dict[str, Any]], None]:
    return lambda content: content.update({key: value})


def in_version(key: str, value: Any) -> Callable[[dict[str, Any]], None]:
    return lambda content: content["versions"][0].update({key: value})


def in_bar(key: str, value: Any) -> Callable[[dict[str, Any]], None]:
    return lambda content: content["versions"][0]["bars"][1].update({key: value})


FAULTS = [
    (put("styles", ["rocket"]), "styles: found 'rocket'"),
    (put("last", "bang"), "last: found 'bang'; hit, ring"),
    (put("ritardando", 80), "ritardando: found 80; 0 to 40"),
    (put("sudden", True), "sudden: unknown key"),
    (put("chords", {"any": "| I |"}), "versions 1: chords: fill [1] bars, and there are 2"),
    (put("chords", {"lydian": "| I | I |"}), "versions 1: chords: found 'lydian'; major, minor"),
    (put("chords", {"any": "| I | J |"}), "versions 1: chords: any: "),
    (in_version("meters", ["4/3"]), "versions 1: meters: found ['4/3']"),
    (in_bar("all", "x x x"), "bars 2: all: 3 lines in a row, 2 or 8 are needed"),
    (in_bar("drums", {"kettle": "x x x x"}), "bars 2: kettle: row 'kettle'"),
    (in_bar("bass", "1 2 z . . . . ."), "bars 2: line: row 'line', grid line 3: unknown mark 'z'"),
]


@pytest.mark.parametrize(("change", "told"), FAULTS, ids=[told for _, told in FAULTS])
def test_a_faulty_ending_is_refused_with_its_name_and_the_key(
    change: Callable[[dict[str, Any]], None], told: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = deepcopy(library.load("endings", "cold"))
    change(content)
    monkeypatch.setattr(library, "load", lambda *_: content)
    with pytest.raises(EndingError) as error:
        ending.__wrapped__("faulty")
    assert str(error.value).startswith(f"patterns/endings/faulty.toml: {told}")
