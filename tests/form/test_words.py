"""A form and its players in words."""

import pytest

import groove
from groove.form.words import keys_in_words, meters_in_words, players_in_words, setting_in_words
from groove.library import names
from tests.form.road_material import arranged, example


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


def test_road_is_told_by_its_bars_metres_keys_and_tempi() -> None:
    chart = example("modal-vamp")
    assert setting_in_words(chart.form, chart) == (
        "99 bars in all, in 7/8, 4/4 and 6/8, with bars of 3/4 and 5/4, "
        "in D minor, then F Ebm, straight at 52 to 132"
    )


def test_players_of_all_sections_and_lines_are_named() -> None:
    said = players_in_words(example("stop-time-blues").form)
    assert said.endswith("comping Shuffle chops and Shuffle organ")
    said = players_in_words(example("latin-swing-aaba").form)
    assert said.startswith("drums Mambo and Medium swing, bass Tumbao and Walking in four")


def test_single_bar_of_another_metre_is_told_of() -> None:
    form = arranged(sections=[{"name": "A", "chords": "| I | 2/4 V |"}], order=["A"])
    assert meters_in_words(groove.compile_take(form).chart) == "4/4, with a bar of 2/4"


def test_keys_of_sections_and_lines_are_told_in_the_order_of_play() -> None:
    sections = [{"name": "A", "chords": "I IV V I"}, {"name": "B", "key": "F", "chords": "I V"}]
    order = ["A, B", {"play": "A, B", "key": "+2"}]
    form = arranged(sections=sections, order=order)
    assert keys_in_words(groove.compile_take(form).chart) == "C major, then F D G"


def test_percussion_is_named_after_the_comping() -> None:
    said = players_in_words(example("pop-song").form)
    assert said.endswith("Organ pads, percussion Shaker and Tambourine")
    assert "percussion" not in players_in_words(groove.read_form("twelve-bar"))


def test_choruses_of_sections_in_keys_of_their_own_are_told_by_the_bars_of_one() -> None:
    sections = [
        {"name": "A", "chords": "I IV V I"},
        {"name": "B", "key": "F", "meter": "3/4", "chords": "I V"},
    ]
    said = groove.summary(arranged(sections=sections, choruses=3, tempo_step=5))
    assert said.startswith(
        "Untitled: 6 bars in 4/4 and 3/4, in C major, then F, straight and swing"
    )
    assert said.count("swing") == 1
    assert " at 120 to 130, 3 choruses, " in said
