"""The data of the practice page: chords, keys and settings."""

from __future__ import annotations

import json
import re

import pytest

from groove.form.choruses import in_key
from groove.form.read import read_form
from groove.form.written_chords import chorus_slots
from groove.handout.chart.written import write_chart
from groove.handout.practice.band_data import band_data
from groove.handout.practice.chords import KEYS
from groove.lesson.request import Request
from groove.theory.keys import Key, twelve_keys
from groove.theory.pitch import NoteName
from groove.theory.symbols import note, symbol
from groove.track import compile_take
from tests.handout.practice.page_material import MATERIAL, data_of, data_without_notes, each


@pytest.mark.parametrize("home", ["C", "F#", "Gb", "C#m", "Bbm", "G"])
def test_there_is_a_key_on_each_of_the_twelve_notes_with_six_signs_at_most(home: str) -> None:
    key = Key.parse(home)
    keys = twelve_keys(key)
    assert [k.tonic.pitch_class for k in keys] == list(range(12))
    assert key in keys
    assert all(abs(k.signature) <= 6 and k.mode == key.mode for k in keys)


@each
def test_the_data_is_plain_json(name: str) -> None:
    assert json.loads(json.dumps(data_of(name))) == data_of(name)


@each
def test_degrees_keys_and_suffixes_are_set_as_in_print(name: str) -> None:
    data = data_of(name)
    degrees = [degree for quality in data["qualities"] for _, degree in quality["tones"]]
    assert all(re.fullmatch("[♭♯]*[0-9]+", degree) for degree in degrees)
    assert [key["sign"][1:2] in "♭♯" for key in data["keys"]] == [
        key["name"][1:2] in ("b", "#", "") for key in data["keys"]
    ]


def test_a_diminished_seventh_has_two_flats() -> None:
    tones = [tone for quality in data_of("swing")["qualities"] for tone in quality["tones"]]
    assert [-9, "♭♭7"] in tones


def test_the_page_opens_with_the_instrument_and_hand_that_were_asked_for() -> None:
    plain = data_without_notes("one-chord-vamp")
    assert [plain[name] for name in ("shape", "fret", "reader")] == ["guitar", None, "C"]
    asked = Request(instrument="mandolin", position=14, left_handed=True)
    data = data_without_notes("one-chord-vamp", asked)
    assert [data[name] for name in ("shape", "fret", "leftHanded")] == ["mandolin", 2, True]
    assert data["necks"]["tuning"] == "mandolin"
    horn = data_without_notes("one-chord-vamp", Request(reader="Bb"))
    assert (horn["shape"], horn["reader"]) == ("staff", "Bb")
    trombone = data_without_notes("one-chord-vamp", Request(reader="bass-clef", instrument="none"))
    assert trombone["clefs"][trombone["reader"]] == "bass"
    drop = data_without_notes("one-chord-vamp", Request(tuning="drop-d"))
    assert (drop["shape"], drop["necks"]["tuning"]) == ("guitar", "drop-d")


def test_a_tuning_that_is_written_out_is_there_beside_those_with_names() -> None:
    request = Request(instrument="ukulele", tuning="G4 D4 F#4 B4")
    necks = data_without_notes("one-chord-vamp", request)["necks"]
    assert necks["tuning"] == "own"
    own = necks["tunings"]["own"]
    assert (own["instrument"], own["strings"]) == ("ukulele", [67, 62, 66, 71])
    assert [each["instrument"] for each in necks["tunings"].values()].count("guitar") == 5


@each
def test_chords_are_those_of_the_form_in_every_key(name: str) -> None:
    form_name, options = MATERIAL[name]
    data, form = data_of(name), read_form(form_name, **options)
    for number, key in enumerate(twelve_keys(form.key)):
        named = data["guides"][data["keys"][number]["written"]["C"][0]]["chords"]
        ours = [str(symbol(slot.chord)) for slot in chorus_slots(in_key(form, key))]
        assert [
            f"{note(NoteName(named[distinct]['root']))}{data['qualities'][quality]['suffix']}"
            for _, _, _, quality, _, distinct, _ in data["chords"]
        ] == ours


def test_the_page_begins_with_the_rounds_that_the_form_asks_for() -> None:
    asked = {"choruses": 5, "count_in": 0, "key_cycle": "fourths", "tempo_step": 4}
    data = data_without_notes("one-chord-vamp", **asked)
    begins = {name: data[name] for name in ("rounds", "countIn", "nextKey", "faster")}
    assert begins == {"rounds": 5, "countIn": 0, "nextKey": "fourths", "faster": 4}
    plain = data_of("straight")
    assert (plain["countIn"], plain["nextKey"], plain["faster"]) == (1, "stay", 0)


def test_swing_follows_the_tempo_unless_the_form_says_its_ratio() -> None:
    ratios = data_of("swing")["swing"]["ratios"]
    assert ratios == sorted(ratios, reverse=True)
    assert ratios[0] > ratios[-1]
    fixed = data_without_notes("rhythm-changes", swing_ratio=1.7)["swing"]["ratios"]
    assert set(fixed) == {1.7}


def test_the_swing_table_has_an_entry_every_ten_beats_from_the_slowest_to_the_fastest() -> None:
    swing = data_of("swing")["swing"]
    assert (swing["from"], swing["step"], len(swing["ratios"])) == (30, 10, 30)
    written = data_of("swing")["tempo"]
    assert swing["ratios"][round((written - 30) / 10)] == pytest.approx(swing["written"], abs=0.001)


def test_only_another_pitch_than_440_hertz_is_tuned() -> None:
    assert data_of("straight")["tuning"] == []
    tuned = data_without_notes("one-chord-vamp", a4=432)
    assert tuned["a4"] == 432
    assert tuned["tuning"] != []


def test_sections_are_named_with_their_first_bars() -> None:
    assert data_of("swing")["sections"] == [["A", 1], ["A", 9], ["B", 17], ["A", 25]]


def test_a_bass_note_is_counted_from_the_tonic() -> None:
    data = data_without_notes("one-chord-vamp", key="Eb", chords="I I/3")
    assert [chord[2] for chord in data["chords"]] == [0, 0]
    assert [chord[4] for chord in data["chords"]] == [None, 4]  # a third: four fifths


@pytest.mark.parametrize("tempo", [30, 300, 320])
def test_the_page_plays_every_tempo_that_a_form_may_have(tempo: int) -> None:
    data = data_without_notes("one-chord-vamp", tempo=tempo)
    assert data["tempo"] == tempo
    assert data["tempi"] == [30, 320]


def test_the_page_counts_in_as_many_bars_as_the_form() -> None:
    assert data_without_notes("one-chord-vamp", count_in=2)["countIn"] == 2


def test_the_notes_to_tune_by_are_those_of_the_take() -> None:
    form = read_form("one-chord-vamp", key="Eb", tuning_note=True)
    data = data_without_notes("one-chord-vamp", key="Eb", tuning_note=True)["tuningNote"]
    (part,) = (cue for cue in compile_take(form).cues if cue.name == data["part"]["name"])
    assert [data["a"], data["tonicFrom"] + 3] == [note.pitch for note in part.notes]
    assert {note.velocity for note in part.notes} == {data["velocity"]}
    assert data_without_notes("one-chord-vamp")["tuningNote"] is None


@pytest.mark.parametrize(
    ("name", "lines"),
    [
        ("twelve-bar", [[1 / 4] * 4] * 3),
        ("eight-bar", [[1 / 4] * 4] * 2),
    ],
)
def test_bars_take_a_quarter_of_a_line_if_their_chords_fit(
    name: str, lines: list[list[float]]
) -> None:
    assert data_without_notes(name)["lines"] == lines


def test_a_section_begins_a_line_as_in_the_written_chart() -> None:
    sections = [
        {"name": "A", "chords": "I:5"},
        {"name": "B", "chords": "IV V7 I"},
    ]
    lines = data_without_notes("twelve-bar", sections=sections)["lines"]
    assert [len(line) for line in lines] == [4, 1, 3]


def test_a_crowded_bar_is_as_wide_as_in_the_written_chart() -> None:
    crowded = "Imaj7:1/4 ii7b5:1/4 V7#9:1/4 Imaj9/5:1/4 I I I"
    first, *others = data_without_notes("twelve-bar", chords=crowded)["lines"][0]
    assert first > 0.3 > 0.2 > max(others)
    assert first + sum(others) == pytest.approx(1, abs=0.001)


def test_the_guide_is_there_for_every_key_that_a_student_reads() -> None:
    data = data_of("straight")
    read = {symbol for key in data["keys"] for symbol, _ in key["written"].values()}
    assert read <= set(data["guides"])
    assert len({row[5] for row in data["chords"]}) == len(data["guides"]["C"]["chords"])
    assert data["keys"][0]["written"] == {
        "C": ["C", 0],
        "Bb": ["D", 2],
        "Eb": ["A", 3],
        "F": ["G", 1],
        "bass": ["C", 0],
    }


@pytest.mark.parametrize("name", ["twelve-bar", "minor-twelve-bar", "minor-vamp", "i-vi-iv-v"])
def test_the_page_calls_the_key_as_the_written_chart_does(name: str) -> None:
    key = "Bb" if read_form(name).key.mode == "major" else "Bbm"
    data = data_without_notes(name, key=key)
    assert data["keyNames"]["home"][KEYS.index(-2)] == write_chart(read_form(name, key=key)).home


def test_a_beginner_has_one_scale_and_the_home_position_and_nothing_altered() -> None:
    data = data_without_notes("twelve-bar", learner="beginner")
    guide = data["guides"]["C"]
    assert (data["place"], guide["whole"]) == ("1", ["C minor pentatonic"])
    assert [title for title, *_ in guide["scales"]] == guide["whole"]
    assert all(chord["own"] == [] for chord in guide["chords"])
    titles = [title for chord in guide["chords"] for title, *_ in chord["scales"]]
    assert "C7 arpeggio" in titles
    assert not [title for title in titles if "altered" in title or " lydian" in title]
    other = data_without_notes("twelve-bar")
    assert other["place"] == "usual"
    assert any(chord["own"] for chord in other["guides"]["C"]["chords"])


def test_midi_files_of_the_page_have_the_levels_and_places_of_the_form() -> None:
    form = read_form("one-chord-vamp", levels={"bass": -6}, places={"bass": "right"}, choruses=1)
    data = band_data(form, twelve_keys(form.key), [], solos=False).data
    files, there = data["files"], {part["name"]: part for part in data["parts"]}
    assert files.keys() == there.keys() | {"click"}
    assert files["bass"]["pan"] == 127
    assert files["bass"]["volume"] == round(there["bass"]["volume"] * 10 ** (-6 / 40))
    assert files["drums"]["volume"] == there["drums"]["volume"]
    assert "files" not in data_without_notes("one-chord-vamp")
