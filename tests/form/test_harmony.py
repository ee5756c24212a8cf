"""The key of a form in words. Source throughout: common practice."""

import pytest

import groove
from groove.form.harmony import form_harmony, in_home_words, key_in_words
from groove.form.readers import READERS
from tests.form.road_material import arranged


@pytest.mark.parametrize(
    ("form", "key", "head", "sentence"),
    [
        ("twelve-bar", "G", "G blues", "a blues in G"),
        ("jazz-twelve-bar", "Bb", "B♭ blues", "a blues in B♭"),
        ("minor-twelve-bar", "Am", "A minor blues", "a minor blues in A"),
        ("minor-vamp", "Dm", "D dorian", "in D dorian"),
        ("one-chord-vamp", "E", "E mixolydian", "in E mixolydian"),
        ("i-v-vi-iv", "G", "G major", "in G major"),
        ("rhythm-changes", "Bb", "B♭ major", "in B♭ major"),
        ("descending-minor", "Am", "A minor", "in A minor"),
    ],
)
def test_key_is_named_as_a_musician_would(form: str, key: str, head: str, sentence: str) -> None:
    made = groove.read_form(form, key=key)
    assert key_in_words(made) == head
    assert in_home_words(form_harmony(made)) == sentence


def test_vamp_on_the_minor_scale_is_in_minor() -> None:
    made = groove.read_form("minor-vamp", key="Am", chords="i:4 bVI:4")
    assert key_in_words(made) == "A minor"


def test_transposing_reader_sees_his_own_key() -> None:
    made = READERS["Bb"].form(groove.read_form("minor-vamp", key="Dm"))
    assert key_in_words(made) == "E dorian"


def test_song_of_twelve_bars_in_triads_is_no_blues() -> None:
    made = groove.read_form("twelve-bar", chords="C G Am F F G C:2 C G Am F", key="C")
    assert key_in_words(made) == "C major"


def test_key_whose_mode_is_not_that_of_the_chords_is_called_by_its_tonic() -> None:
    made = groove.read_form("descending-minor", key="Am", chords="Imaj7 ii7 V7 Imaj7")
    assert key_in_words(made) == "A"


def test_key_of_a_form_is_that_of_the_sections_without_one_of_their_own() -> None:
    sections = [
        {"name": "A", "chords": "| Dm7 | G7 | Dm7 | A7 |"},
        {"name": "B", "key": "F", "chords": "| Gm7 | C7 | Fmaj7 | C7 |"},
    ]
    for order in ([], ["A, B"]):
        form = arranged(sections=sections, key="Dm", **({"order": order} if order else {}))
        assert key_in_words(form) == "D minor"
