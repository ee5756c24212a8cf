"""What the key of a form is called. Source throughout: common practice."""

import pytest

import groove
from groove.form.harmony import form_harmony, in_home_words
from groove.form.readers import READERS
from groove.handout.chart.written import write_chart


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
    assert write_chart(made).home == head
    assert in_home_words(form_harmony(made)) == sentence


def test_vamp_on_the_minor_scale_is_in_minor() -> None:
    made = groove.read_form("minor-vamp", key="Am", chords="i:4 bVI:4")
    assert write_chart(made).home == "A minor"


def test_transposing_reader_sees_his_own_key() -> None:
    assert write_chart(groove.read_form("minor-vamp", key="Dm"), READERS["Bb"]).home == "E dorian"
