"""The sheet as JSON."""

import json
import re

import pytest

import groove
from groove.handout.sheet import data as sheet_data_module
from groove.handout.sheet.data import sheet_data, sheet_json
from groove.handout.sheet.markdown import sheet_markdown
from groove.handout.sheet.phrase_blocks import phrase_blocks
from groove.handout.sheet.sheet import write_sheet
from groove.lesson.request import Request
from groove.theory.chords import parse_chord
from tests.form.road_material import example
from tests.handout.sheet.sheet_material import PHRASE, sheet
from tests.lesson.guide_material import FORMS


def test_every_field_of_the_json_stands_in_the_docstring() -> None:
    read = json.loads(sheet_json(sheet(phrase=PHRASE)))
    fields = {*read, *read["chords"][0], *read["scales"][0], *read["changes"][0]}
    documented = set(re.findall(r"[a-z_]+", sheet_data_module.__doc__ or ""))
    assert fields <= documented


def test_fields_of_an_arrangement_stand_in_the_docstring_and_fill_its_bars() -> None:
    data = json.loads(sheet_json(write_sheet(example("latin-swing-aaba").form)))
    fields = {*data, *data["road"], *data["lines"][0], *data["sections"][0]}
    documented = set(re.findall(r"[a-z_]+", sheet_data_module.__doc__ or ""))
    assert fields <= documented
    assert sum(line["bars"] * line["times"] for line in data["lines"]) == 213
    for section in data["sections"]:
        assert sum(entry["bars"] for entry in section["sequence"]) == section["bars"]


def test_plain_form_has_no_field_of_an_arrangement() -> None:
    assert not {"road", "lines", "sections"} & set(sheet_data(sheet()))


def test_data_has_for_each_chord_tones_scales_and_positions() -> None:
    chord = sheet_data(sheet())["chords"][0]
    assert [tone["name"] for tone in chord["tones"]] == ["C", "E", "G", "Bb"]
    assert chord["scales"][0]["scale"] == "arpeggio"
    assert [p["number"] for p in chord["fretboard"]["positions"]] == [1, 2, 3, 4, 5]


@pytest.mark.parametrize("form", FORMS)
def test_dots_in_the_data_sound_the_tones_of_their_chord(form: str) -> None:
    data = sheet_data(sheet(form))
    strings = data["instrument"]["tuning"]["open_strings"]
    for chord in data["chords"]:
        tones = {note.pitch_class for note in parse_chord(chord["chord"]).notes}
        for dot in chord["fretboard"]["under_hand"]["dots"]:
            assert strings[-dot["string"]] + dot["fret"] == dot["pitch"]
            assert dot["pitch"] % 12 in tones


def test_sequence_in_the_data_fills_the_chorus() -> None:
    data = sheet_data(sheet("rhythm-changes"))
    assert sum(entry["bars"] for entry in data["sequence"]) == data["bars"]


def test_data_without_an_instrument_has_no_fretboard() -> None:
    data = sheet_data(sheet(reader="F"))
    assert data["instrument"] == {"name": "none", "tuning": None, "left_handed": False}
    assert {chord["fretboard"] for chord in data["chords"]} == {None}


def test_data_have_the_note_in_the_bass() -> None:
    sheet = write_sheet(groove.read_form("twelve-bar", key="C", chords="I I/b7 IV/3 iv6"))
    assert [chord["bass"] for chord in sheet_data(sheet)["chords"]] == [None, "Bb", "A", None]


def test_every_moved_phrase_has_names_and_a_tablature_in_data_text_and_on_paper() -> None:
    form = groove.read_form("twelve-bar", key="A")
    sheet = write_sheet(form, Request(phrase="4f7 3f5:1/2 3f7:1/2 2f5"))
    moved = sheet_data(sheet)["phrase"]["moved"]
    text, paper = sheet_markdown(sheet), " ".join(b.words for b in phrase_blocks(sheet, 180.0))
    assert [each["chord"] for each in moved] == ["A7", "D7", "E7"]
    for each in moved:
        assert each["names"] == " ".join(note["name"] for note in each["notes"])
        frets = [str(place["fret"]) for place in each["place"]["places"]]
        assert sum(map(len, frets)) == sum(c.isdigit() for row in each["tab"][1:] for c in row)
        assert "\n".join(each["tab"]) in text
        assert f"{each['chord']}: {each['names']}" in text
        plain = " ".join(note["name"].rstrip("0123456789") for note in each["notes"])
        assert f"{each['chord']}: {plain.replace('#', '♯')}" in paper
