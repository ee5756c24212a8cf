"""A form file's text in another tempo and key."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from groove.form.read import read_form
from groove.screen.edits import edit_of
from groove.screen.form_text import EditError
from groove.screen.pace import with_key, with_tempo
from groove.theory.keys import twelve_keys
from tests.browser.screen_material import AABA

ARRANGEMENTS = sorted((Path(__file__).parents[1] / "arrangements").glob("*.toml"))


def moved(text: str, **asked: Any) -> str:
    return edit_of({"do": "pace", **asked})(text)


def test_chords_are_written_in_the_new_key_with_their_spelling_and_comments() -> None:
    text = AABA.replace("Dm7", "F/A:1").replace("| C7 |", "| ~C7b9 |")
    changed = moved(text, key="Ab", tempo=132)
    assert 'key = "Ab"\ntempo = 132\n' in changed
    assert 'chords = "| Abmaj7 | Ab/C:1 | Bbm7 | ~Eb7b9 |"  # the first four' in changed
    assert 'chords = "| Ebm7 | Ab7 | Dbmaj7 | % |"' in changed
    assert "# For Thursday's group." in changed
    assert "# the tune" in changed


def test_numerals_stay() -> None:
    text = 'key = "F"\nchords = "| I7 | IVm | bVII7/3 | V7 |"\n'
    assert with_key(text, "B") == text.replace('"F"', '"B"')


def test_a_key_may_be_written_that_the_form_left_out() -> None:
    assert with_key('chords = "I7:4"\n', "Eb") == 'chords = "I7:4"\nkey = "Eb"\n'


@pytest.mark.parametrize("path", ARRANGEMENTS, ids=lambda path: path.stem)
@pytest.mark.parametrize("number", [1, 6, 8])
def test_a_whole_arrangement_sounds_as_the_command_moves_it(path: Path, number: int) -> None:
    """with_key compares chords, keys and written lines with the form that --key plays."""
    text = path.read_text()
    changed = with_key(text, twelve_keys(read_form(path).key)[number].symbol)
    assert changed != text
    assert changed.count("#") >= text.count(" # ")


def test_sections_pedals_and_lines_move_along() -> None:
    text = """\
key = "C"
turnaround = "Dm7:1/2 G7:1/2"
order = [{ play = "A, B", key = "D" }, { play = "A", key = "+2", pedal = "G" }]

[[sections]]
name = "A"
pedal = { 1-2 = "C" }
chords = "| C | F |"
time_bars = ["| C |", "| G7 |"]

[[sections]]
name = "B"
key = "Am"
chords = "| Am | E7 |"
"""
    changed = with_key(text, "F")
    for part in (
        'turnaround = "Gm7:1/2 C7:1/2"', 'key = "G"', 'key = "+2", pedal = "C"', '1-2 = "F"',
        '"| F | Bb |"', '["| F |", "| C7 |"]', 'key = "Dm"', '"| Dm | A7 |"',
    ):  # fmt: skip
        assert part in changed


def test_tempi_of_sections_keep_their_ratio() -> None:
    text = 'tempo = 100\n[[sections]]\nname = "A"\ntempo = 150\nchords = "I:2"\n'
    assert with_tempo(text, 90) == text.replace("100", "90").replace("150", "135")
    assert with_tempo(text, 90.5).count("135.8") == 1


@pytest.mark.parametrize(
    ("text", "asked", "words"),
    [
        (AABA, {"tempo": 900}, "a number from 30 to 320"),
        (AABA, {"tempo": True}, "a number from 30 to 320"),
        (AABA, {"tempo": "90"}, "can't be read"),
        (AABA, {"key": "H"}, "no key"),
        (AABA, {"key": "Am"}, "another mode"),
        (AABA, {"key": 3}, "a text has"),
        ("tempo = 1\nchords = 'I'\n", {"key": "C"}, "has mistakes"),
    ],
)
def test_what_can_not_be_written_is_said(text: str, asked: dict[str, Any], words: str) -> None:
    with pytest.raises(EditError, match=words):
        moved(text, **asked)
