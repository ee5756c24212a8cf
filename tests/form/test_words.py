"""A form and its players in words."""

import pytest

import groove
from groove.form.words import players_in_words
from groove.library import names


def test_players_are_named_by_the_titles_of_their_patterns() -> None:
    form = groove.read_form("twelve-bar", drums="rumba")
    assert form.bass.name == "tumbao-sixteenths"
    assert players_in_words(form).startswith(
        "drums Rumba blues, bass Tumbao in sixteenths, comping "
    )


@pytest.mark.parametrize("drums", ["rumba", "medium-swing", "sixteenth-funk"])
def test_no_name_of_a_file_is_among_the_words(drums: str) -> None:
    said = players_in_words(groove.read_form("twelve-bar", drums=drums))
    files = {name for kind in ("drums", "bass", "comping") for name in names(kind)}
    assert not {name for name in files if "-" in name and name in said.split()}
