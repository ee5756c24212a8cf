"""Which patterns fit a form, and what is said of those that do not."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from groove import library, read_form
from groove.errors import GrooveError
from groove.form.words import feel_words
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


@pytest.mark.parametrize(
    ("drums", "kind", "first", "differs"),
    [
        ("shuffle", "bass", ["shuffle-boogie", "boogie", "boogie-octaves"], "afrobeats"),
        ("shuffle", "bass", ["shuffle-boogie"], "walking"),
        ("shuffle", "comping", ["shuffle-chops", "boogie-piano"], "bossa-guitar"),
        ("medium-swing", "bass", ["walking", "two-to-four", "two-feel"], "shuffle-boogie"),
        ("medium-swing", "comping", ["charleston-piano", "quarter-chops"], "boogie-sixths"),
        ("bossa", "bass", ["bossa", "bachata", "cha-cha"], ""),
        ("bossa", "comping", ["bossa-guitar", "bachata-guitar"], ""),
        ("waltz", "bass", ["waltz-root", "country-waltz-runs"], ""),
        ("jazz-waltz", "bass", ["waltz-walk"], "waltz-root"),
        ("double-time-shuffle", "bass", ["boogie", "box"], "shuffle-root"),
    ],
)
def test_what_goes_with_the_drums_comes_first_and_what_is_usual_with_others_says_so(
    drums: str, kind: str, first: list[str], differs: str
) -> None:
    """What these drums bring, then what is usual with drums of their style, then of their feel."""
    tempo = {"medium-swing": 150, "double-time-shuffle": 96, "bossa": 132}.get(drums, 120)
    form = read_form("one-chord-vamp", drums=drums, tempo=tempo)
    entries = patterns(form)[kind]
    fitting = [entry["name"] for entry in entries if entry["suits"] == FITS]
    assert fitting[: len(first)] == first
    near = [entry["near"] for entry in entries if entry["suits"] == FITS]
    assert near == sorted(near, reverse=True)
    assert all(near[: len(first)])
    if differs:
        entry = next(each for each in entries if each["name"] == differs)
        assert entry["suits"] == CHANGES
        assert entry["why"][0].startswith(("Usual with", "Written in triplets"))


def test_patterns_that_these_drums_bring_never_say_that_they_are_unusual_with_them() -> None:
    for drums in library.names("drums"):
        form = read_form("one-chord-vamp", drums=drums)
        for kind in ("bass", "comping"):
            why = " ".join(suits(kind, getattr(form.drums, kind), form).why)
            assert not why.startswith(("Usual with", "Written in triplets")), drums


def test_patterns_have_the_words_by_which_a_sheet_calls_them() -> None:
    form = read_form("one-chord-vamp", drums="shuffle", tempo=118)
    found = patterns(form)
    called = {entry["name"]: entry["called"] for entry in found["drums"]}
    assert feel_words(form) in called["shuffle"]
    assert called["shuffle"][:3] == ["Slow shuffle", "Medium shuffle", "Bright shuffle"]
    assert called["half-time-shuffle"] == ["Half-time shuffle"]
    assert called["slow-blues"] == ["Slow 12/8"]
    brought = next(each for each in found["bass"] if each["name"] == "shuffle-boogie")
    assert "Medium shuffle" in brought["called"]
    swung = read_form("one-chord-vamp", drums="eighths-rock", feel="shuffle", tempo=110)
    entry = next(each for each in patterns(swung)["drums"] if each["name"] == "eighths-rock")
    assert feel_words(swung) in entry["called"]


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
