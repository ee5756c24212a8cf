"""The request for a sheet: its reader and instrument."""

from pathlib import Path
from typing import Any

import pytest

import groove
from groove import library
from groove.errors import GrooveError
from groove.form.readers import READERS
from groove.handout.pack.papers import read_papers
from groove.handout.practice.data import page_data
from groove.handout.sheet.sheet import write_sheet
from groove.lesson.request import INSTRUMENTS, Request, instrument_for
from tests.handout.sheet.sheet_material import sheet


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"reader": "Bf"}, "there are|did you mean"),
        ({"instrument": "guitr"}, "did you mean guitar"),
        ({"dots": "colours"}, "there are|did you mean"),
        ({"reader": "Bb", "instrument": "guitar"}, "concert pitch"),
        ({"instrument": "keyboard", "dots": "fingers"}, "names or degrees"),
        ({"instrument": "keyboard", "tuning": "drop-d"}, "stringed"),
        ({"instrument": "none", "position": 5}, "stringed"),
        ({"position": 40}, "position: 40"),
        ({"tuning": "drop-q"}, "did you mean"),
        ({"phrase": "9f1"}, "strings are 1 to 6"),
        ({"phrase": ""}, "notes"),
    ],
)
def test_wrong_request_is_one_line_that_says_what_is_allowed(
    asked: dict[str, object], says: str
) -> None:
    with pytest.raises(GrooveError, match=says) as caught:
        sheet(**asked)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("asked", "reader", "instrument"),
    [
        ({"reader": "clarinet"}, "Bb", "none"),
        ({"reader": "alto-sax"}, "Eb", "none"),
        ({"reader": "horn"}, "F", "none"),
        ({"reader": "trombone"}, "bass-clef", "none"),
        ({"reader": "bass-clef"}, "bass-clef", "bass"),
        ({"reader": "piano"}, "concert", "keyboard"),
        ({"instrument": "piano"}, "concert", "keyboard"),
    ],
)
def test_players_may_be_named(asked: dict[str, str], reader: str, instrument: str) -> None:
    """Their transpositions and clefs: common practice."""
    made = sheet("one-chord-vamp", **asked)
    assert (made.guide.reader.name, made.instrument) == (reader, instrument)


def test_common_names_of_players_stand_for_readers_and_drawings_that_there_are() -> None:
    players = library.load("lesson", "players")
    assert set(players["for"].values()) <= set(READERS)
    assert set(players["instrument"].values()) <= set(INSTRUMENTS)


@pytest.mark.parametrize(
    ("plays", "asked", "instrument"),
    [
        ("ukulele", {}, "ukulele"),
        ("keyboard", {}, "keyboard"),
        ("ukulele", {"position": 5}, "ukulele"),
        ("ukulele", {"instrument": "bass"}, "bass"),
        ("ukulele", {"tuning": "drop-d"}, "guitar"),
        ("ukulele", {"reader": "clarinet"}, "none"),
        ("none", {"reader": "piano"}, "keyboard"),
    ],
)
def test_a_form_names_what_its_learner_plays_where_nothing_else_is_asked_for(
    tmp_path: Path, plays: str, asked: dict[str, Any], instrument: str
) -> None:
    file = tmp_path / "ferry.toml"
    file.write_text(f'chords = "I7 IV7"\nplays = "{plays}"\n')
    form = groove.read_form(file)
    assert write_sheet(form, Request(**asked)).instrument == instrument
    opened = instrument_for(read_papers(form, ["Bb"], "a4", Request(**asked)).requests[0])
    assert opened == instrument


def test_page_opens_with_what_the_learner_plays(tmp_path: Path) -> None:
    file = tmp_path / "ferry.toml"
    file.write_text('chords = "I7 IV7"\nplays = "mandolin"\n')
    data = page_data(groove.read_form(file))
    assert (data["shape"], data["necks"]["tuning"]) == ("mandolin", "mandolin")
