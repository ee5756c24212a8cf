"""The key of a form in words. Source throughout: common practice."""

from dataclasses import replace

import pytest

import groove
from groove.form.harmony import form_harmony, in_home_words, key_in_words, timed_chords
from groove.form.readers import READERS
from groove.theory.keys import Key
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


@pytest.mark.parametrize(
    ("chords", "key", "written"),
    [
        ("Imaj7 bIII7 bVImaj7 V7", "Eb", "Ebmaj7 F#7 Bmaj7 Bb7"),
        ("Imaj7 bvii7:1/2 bIII7:1/2 bVImaj7 V7", "Eb", "Ebmaj7 C#m7 F#7 Bmaj7 Bb7"),
        ("Ebmaj7 Gb7 Bmaj7 Bb7", "Eb", "Ebmaj7 Gb7 Bmaj7 Bb7"),
    ],
)
def test_chords_are_spelled_to_suit_their_neighbours_but_not_those_that_are_written_out(
    chords: str, key: str, written: str
) -> None:
    """F sharp 7 before B major 7; common practice."""
    form = groove.read_form("twelve-bar", chords=chords, key=key, turnaround=False)
    assert " ".join(str(timed.chord) for timed in timed_chords(form)) == written


def test_written_chord_that_is_moved_to_another_key_suits_its_neighbours_there() -> None:
    form = groove.read_form("twelve-bar", chords="Cmaj7 Eb7 Abmaj7 G7", key="C", turnaround=False)
    moved = replace(form, key=Key.parse("Eb"))
    assert [str(timed.chord) for timed in timed_chords(moved)] == ["Ebmaj7", "F#7", "Bmaj7", "Bb7"]
