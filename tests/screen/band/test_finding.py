"""Which patterns fit a form, and what is said of those that do not."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from groove import library, read_form
from groove.errors import GrooveError
from groove.screen.band.finding import CANNOT, CHANGES, FITS, patterns, styles, suits
from groove.screen.form_text import with_field
from groove.wording import words_of

SWING = {"feel": "swing", "tempo": 150}


@pytest.mark.parametrize(
    ("kind", "name", "fields", "found", "said"),
    [
        ("drums", "medium-swing", SWING, FITS, ""),
        ("drums", "brush-ballad", SWING, CHANGES, "At its best from 46 to 86 beats a minute; this"),
        ("drums", "bossa", SWING, CHANGES, "Written as straight; this form plays it as swing."),
        ("drums", "bossa", {"drums": "shuffle"}, CHANGES, "Changes the feel of the whole form"),
        ("drums", "waltz", {"meter": "4/4"}, CANNOT, "It is in 3/4, and this form is in 4/4"),
        ("drums", "shuffle", {"feel": "straight"}, CANNOT, "Its feel is shuffle, and this form"),
        ("bass", "walking", SWING, FITS, ""),
        ("bass", "walking", {"feel": "straight"}, CANNOT, "It lives on triplets, and this form"),
        ("comping", "waltz-piano", SWING, CANNOT, "It is in 3/4, and this form is in 4/4"),
        ("drums", "eighths-rock", {"meter": "2/2"}, CHANGES, "Written in 4/4 and cut to 2/2."),
        ("percussion", "shaker", SWING, FITS, ""),
        ("percussion", "congas", {"meter": "2/2"}, CHANGES, "Has no rhythm of its own for 2/2"),
        ("drums", "bossa", {"meter": "7/8"}, CANNOT, "It is in 4/4, and this form is in 7/8"),
    ],
)
def test_it_is_said_whether_a_pattern_fits_and_why_not(
    kind: str, name: str, fields: dict[str, Any], found: str, said: str
) -> None:
    form = read_form("one-chord-vamp", **fields)
    told = suits(kind, name, form)
    assert told.suits == found
    assert " ".join(told.why).startswith(said)
    assert bool(told.why) == bool(said)


def test_drums_can_take_the_form_to_another_metre_where_it_names_none(tmp_path: Path) -> None:
    file = tmp_path / "open.toml"
    file.write_text('key = "C"\nchords = "I:4"')
    told = suits("drums", "waltz", read_form(file))
    assert told.suits == CHANGES
    assert told.why[0] == "Takes the whole form from 4/4 to 3/4."


@pytest.mark.parametrize(
    ("fields", "drums", "found", "replaces"),
    [
        ('bass = "walking"\ndrums = "medium-swing"', "bossa", CHANGES, ("bass",)),
        ('bass = "bossa"\ndrums = "rumba"', "bossa", FITS, ()),
        ('feel = "straight"\nmeter = "4/4"', "shuffle", CANNOT, ("feel",)),
        ('feel = "swing"\nmeter = "4/4"', "six-eight", CANNOT, ("feel", "meter")),
        (
            'feel = "swing"\nmeter = "4/4"\nbass = "walking"\ncomping = "charleston-piano"',
            "waltz",
            CANNOT,
            ("feel", "meter", "bass", "comping"),
        ),
    ],
)
def test_drums_take_the_place_of_what_does_not_go_with_them_and_of_nothing_else(
    tmp_path: Path, fields: str, drums: str, found: str, replaces: tuple[str, ...]
) -> None:
    """Without the fields that give way, a form file may name the drums."""
    file = tmp_path / "own.toml"
    text = f'key = "C"\ntempo = 140\n{fields}\nchords = "I:4"\n'
    file.write_text(text)
    told = suits("drums", drums, read_form(file))
    assert (told.suits, told.replaces) == (found, replaces)
    for field in ("drums", *replaces):
        text = with_field(text, field, None)
    file.write_text(with_field(text, "drums", drums))
    assert read_form(file).drums.name == drums


def test_whose_pattern_gives_way_is_named(tmp_path: Path) -> None:
    file = tmp_path / "own.toml"
    file.write_text('key = "C"\nbass = "walking"\ndrums = "medium-swing"\nchords = "I:4"')
    assert suits("drums", "bossa", read_form(file)).why[0] == (
        "Bass: your Walking in four gives way to what these drums bring."
    )


@pytest.mark.parametrize("fields", [SWING, {"meter": "3/4"}])
def test_what_cannot_be_played_is_what_a_form_file_may_not_name(fields: dict[str, Any]) -> None:
    for kind, entries in patterns(read_form("one-chord-vamp", **fields)).items():
        for entry in entries[::9]:
            given = fields | {kind: entry["name"]}
            try:
                read_form("one-chord-vamp", **given)
                is_refused = False
            except GrooveError:
                is_refused = True
            gives_way = entry["suits"] == CANNOT or bool(entry["replaces"])
            assert is_refused == gives_way, entry["name"]


def test_all_are_listed_the_best_suited_first_and_each_can_be_found() -> None:
    found = patterns(read_form("one-chord-vamp", **SWING))
    for kind, entries in found.items():
        assert {entry["name"] for entry in entries} == set(library.names(kind))
        reasons = [len(entry["why"]) for entry in entries]
        assert reasons == sorted(reasons)
        assert all(entry["title"] and entry["about"] for entry in entries)
        assert all(entry["styles"] or kind == "percussion" for entry in entries)
    named = {name for name, _ in styles(entry for each in found.values() for entry in each)}
    assert named == set(words_of("screen-band")["styles"])
    walking = next(each for each in found["bass"] if each["name"] == "walking")
    assert "Medium swing" in walking["with"]
    assert "swing" in walking["styles"]
