"""Forms, and their pages and data, that the tests of the practice page share."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest

from groove.form.model import Form
from groove.form.read import read_form
from groove.handout.practice.data import page_data
from groove.handout.practice.deflated import inflated
from groove.handout.practice.make import make_page
from groove.handout.practice.streams import rows_of
from groove.handout.practice.takes import Streams, streams_of
from groove.lesson.request import USUAL, Request

FORM = read_form("i-vi-iv-v", title="Tin Roof </script> & Stairs")


def data_in(page: str, place: str) -> Any:
    """The data that stands in an element of a page."""
    return json.loads(text_in(page, place))


def text_in(page: str, place: str) -> str:
    """The deflated text that stands in an element of a page."""
    return inflated(re.search(f'id="{place}">(.*?)</script>', page)[1])


MATERIAL = {
    "straight": ("twelve-bar", {"drums": "rumba"}),
    "swing": ("rhythm-changes", {}),
    "compound": ("twelve-bar", {"drums": "slow-blues"}),
    "minor": ("minor-twelve-bar", {}),
}
each = pytest.mark.parametrize("name", MATERIAL)
"""Every test that takes a `name` runs with each form of MATERIAL."""


@cache
def data_of(name: str) -> dict[str, Any]:
    form, options = MATERIAL[name]
    return page_data(read_form(form, **options))


def data_without_notes(name: str, request: Request = USUAL, **options: Any) -> dict[str, Any]:
    """The data of a form's page but for the notes in twelve keys, which take longest to play."""
    with patch("groove.handout.practice.band_data.streams_of", return_value={}):
        return page_data(read_form(name, **options), request)


def notes_of(data: dict[str, Any], key: int, part: str, kind: str = "round") -> list[list[int]]:
    """The notes of a stream: tick, length, pitch, velocity, touch."""
    return [list(row) for row in rows_of(data["streams"], data["keys"][key][kind][part])]


@contextmanager
def the_notes_of_one_key() -> Iterator[None]:
    """The pages and data that are made within have the notes of their first key in all twelve,
    which take longest to play."""
    played: list[dict[str, Any]] = []

    def once(form: Form, known: Streams, semitones: int = 0, **how: bool) -> dict[str, Any]:
        if not played:
            played.append(streams_of(form, known, semitones, **how))
        return played[0]

    with patch("groove.handout.practice.band_data.streams_of", once):
        yield


def page_of_one_key(form: Form, path: Path, **options: Any) -> Path:
    """A page as `make_page` makes it; in all other keys it has the notes of its first."""
    with the_notes_of_one_key():
        return make_page(form, path, **options)


def data_in_one_key(name: str, **options: Any) -> dict[str, Any]:
    """The data of a form's page, with the notes of one key in all twelve."""
    with the_notes_of_one_key():
        return page_data(read_form(name, **options))


ARRANGEMENT = {
    "title": "Low Tide",
    "key": "C",
    "tempo": 120,
    "drums": "eighths-rock",
    "pickup": "V7:1/4",
    "ending": "hit",
    "seed": 3,
    "order": [
        {"play": "A", "as": "head", "tacet": "bass", "cue": {"1": "softly"}},
        {"play": "A, B", "as": "solos", "times": 2, "open": True},
        {"play": "A", "as": "up a tone", "key": "+2"},
        "Slow",
    ],
    "sections": [
        {"name": "A", "chords": "| I | ~IV | V7 | 2/4 V7 |"},
        {
            "name": "B",
            "key": "F",
            "meter": "3/4",
            "drums": "waltz",
            "chords": "| I | NC |",
            "stops": {"1": "X.."},
        },
        {
            "name": "Slow",
            "meter": "6/8",
            "tempo": 60,
            "drums": "six-eight",
            "chords": "| I | V | I |",
            "rit": 2,
            "fermata": 3,
        },
    ],
}
"""23 bars: a line that is moved, one that is open, four metres, keys and tempi of sections."""
