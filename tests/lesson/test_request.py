"""The request for a sheet: its reader and instrument."""

import pytest

from groove import library
from groove.errors import GrooveError
from groove.form.readers import READERS
from groove.lesson.request import INSTRUMENTS
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
