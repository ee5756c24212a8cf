"""The kind of a form. Source throughout: common practice."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

import groove
from groove.form.chordline import parse_chords
from groove.theory.functions import KINDS, TimedChord, read_harmony
from groove.theory.keys import Key
from tests.theory.chord_material import NUMERALS, chorus
from tests.theory.key_material import KEYS


def kind(text: str, key: str = "C") -> str:
    return read_harmony(chorus(text, Key.parse(key)), Key.parse(key)).kind


@pytest.mark.parametrize(
    ("text", "key", "expected"),
    [
        ("I7:4 IV7:2 I7:2 V7 IV7 I7:2", "C", "blues"),
        ("I V vi IV IV V I:2 I V vi IV", "C", "loop"),
        ("I:4 IV:2 I:2 V IV I:2", "C", "loop"),
        ("I:4 IV:2 I:2 V7 IV I:2", "C", "loop"),
        ("I:3 I7 IV:2 I:2 V IV I:2", "C", "blues"),
        ("I6:4 IV7:2 I6:2 ii7 V7 I6:2", "C", "blues"),
        ("I:3 V7 IV:2 I:2 VI7 II7 V7 I", "C", "major key"),
        ("Imaj7:4 IV7:2 Imaj7:2 V7 IV7 Imaj7:2", "C", "major key"),
        ("I7:8 IV:4 I7:4 V:2 IV:2 I7:4", "C", "blues"),
        ("I7:3 V7 IV:2 I:2 V7:4", "C", "blues"),
        ("I7 V7 vi7 V7 IV:2 I:2 V7:4", "C", "major key"),
        ("i:4 iv:2 i:2 V7 iv i:2", "Am", "minor blues"),
        ("i bVI bIII bVII iv V i:2 i bVI iv V", "Am", "loop"),
        ("Imaj7 viiø7:1/2 III7:1/2 vi7 v7:1/2 I7:1/2 IV7:2 I7:2 ii7 V7 I7:2", "C", "major key"),
        ("i7:4 iv7:2 i7:2 bVI7 V7 i7:2", "Am", "minor blues"),
        ("i7:8", "Dm", "vamp"),
        ("i7:16 bii7:8 i7:8", "Dm", "modes"),
        ("I7:2 bVII:2", "E", "vamp"),
        ("I bVII IV I", "F#", "vamp"),
        ("I7:4 bVII:2 IV:2", "G", "vamp"),
        ("I bVII IV V", "G", "loop"),
        ("I V", "C", "loop"),
        ("I V vi IV", "G", "loop"),
        ("i bVI bIII bVII", "Am", "loop"),
        ("ii7 V7 Imaj7:2", "C", "major key"),
        ("I IV/2 I IV/2", "C", "loop"),
        ("ii7/4 V7sus4", "F", "major key"),
        ("I bVII/2 I bVII/2", "C", "vamp"),
        ("iiø7 V7b9 i6:2", "Am", "minor key"),
        ("i bVII bVI V7", "Am", "minor key"),
        ("Imaj7 bIII7 bVImaj7 VII7 IIImaj7 V7", "C", "key areas"),
    ],
)
def test_kind_is_what_a_teacher_calls_it(text: str, key: str, expected: str) -> None:
    assert kind(text, key) == expected


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("descending-minor", "minor key"), ("eight-bar", "blues"), ("i-v-vi-iv", "loop"),
        ("i-vi-iv-v", "loop"), ("jazz-twelve-bar", "blues"), ("minor-twelve-bar", "minor blues"),
        ("minor-vamp", "vamp"), ("one-chord-vamp", "vamp"), ("twelve-bar", "blues"),
        ("quick-change-twelve-bar", "blues"), ("rhythm-changes", "major key"),
        ("sixteen-bar", "blues"),
    ],
)  # fmt: skip
def test_shipped_forms_are_of_their_kind(name: str, expected: str) -> None:
    form = groove.read_form(name)
    spans = [span for section in form.sections for span in section.spans]
    timed_chords = [TimedChord(span.chord(form.key, form.fifths), span.bars) for span in spans]
    assert read_harmony(timed_chords, form.key).kind == expected


def test_mode_follows_the_chord_at_home_and_not_the_name_of_the_key() -> None:
    key = Key.parse("A")
    assert read_harmony(chorus("i7 iv7 i7 V7", key), key).mode == "minor"


@given(st.lists(st.sampled_from(NUMERALS), min_size=1, max_size=12), st.sampled_from(KEYS))
def test_every_form_has_a_kind_in_any_key(numerals: list[str], key: Key) -> None:
    timed_chords = [TimedChord(parse_chords(n)[0].chord(key, 0), Fraction(1)) for n in numerals]
    assert read_harmony(timed_chords, key).kind in KINDS
