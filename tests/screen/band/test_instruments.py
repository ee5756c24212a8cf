"""The players of a form and the instruments that they can have."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from groove import library, read_form
from groove.rhythm.kit import INSTRUMENTS
from groove.screen.band.instruments import FAMILIES, NEAR, instruments
from groove.wording import words_of

FORM = 'key = "C"\ndrums = "bossa"\nchords = "I:8"\n'


def rows(folder: Path, more: str = "") -> dict[str, Any]:
    file = folder / "band.toml"
    file.write_text(FORM + more)
    return {row["player"]: row for row in instruments(read_form(file))}


def test_each_player_says_what_it_plays_as_usual(tmp_path: Path) -> None:
    found = rows(tmp_path)
    assert {player: row["usual"] for player, row in found.items()} == {
        "drums": "standard kit",
        "bass": "acoustic bass",
        "comping": "acoustic guitar (nylon)",
    }
    assert {row["chosen"] for row in found.values()} == {None}


def test_guitar_and_keys_are_two_players_and_lines_have_theirs(tmp_path: Path) -> None:
    more = """comping = "bossa-guitar, pads-organ"
riffs = [{ name = "horns", instrument = "tenor sax", notes = "1 3 5 -" }]
order = [{ play = "Form", riff = "horns" }]
solo = "example"
"""
    found = rows(tmp_path, more)
    assert list(found) == ["drums", "bass", "guitar", "keys", "riff", "solo"]
    assert (found["keys"]["usual"], found["riff"]["usual"]) == ("drawbar organ", "tenor sax")


def test_an_instrument_of_all_chords_is_usual_for_guitar_and_keys(tmp_path: Path) -> None:
    more = """comping = "bossa-guitar, pads-organ"
instrument = { comping = "harpsichord", keys = "celesta" }
"""
    found = rows(tmp_path, more)
    told = {player: (found[player]["usual"], found[player]["chosen"]) for player in found}
    assert told["guitar"] == ("harpsichord", None)
    assert told["keys"] == ("harpsichord", "celesta")


@pytest.mark.parametrize(
    ("written", "player", "chosen"),
    [
        ('{ comping = "electric piano" }', "comping", "electric piano 1"),
        ('{ guitar = "banjo" }', "guitar", "banjo"),  # under the name that the file has
        ('{ drums = "brush" }', "drums", "brush kit"),
        ('{ bass = "tuba" }', "bass", "tuba"),
    ],
)
def test_what_the_file_names_is_chosen_among_what_is_offered(
    tmp_path: Path, written: str, player: str, chosen: str
) -> None:
    row = rows(tmp_path, f"instrument = {written}\n")[player]
    assert row["chosen"] == chosen
    assert chosen in [name for group in row["choices"] for name, _ in group["names"]]


def test_families_are_those_of_general_midi_and_have_titles() -> None:
    known = library.table("instruments")["programs"]
    assert set(FAMILIES) <= set(known)
    assert set(words_of("screen-band")["families"]) == {"kits", *FAMILIES}
    assert all(set(families) <= set(FAMILIES) for families in NEAR.values())
    assert {name for family in known.values() for name in family} <= set(INSTRUMENTS)
