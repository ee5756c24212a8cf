"""The roles of chords in a form. Source throughout: common practice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.theory.functions import local_harmonies, read_harmony
from groove.theory.keys import Key
from groove.theory.roles import ROLES, role_of
from tests.theory.chord_material import NUMERALS, chorus
from tests.theory.key_material import KEYS


def roles(text: str, key: str = "C") -> list[str]:
    tonic = Key.parse(key)
    stretches = chorus(text, tonic)
    harmony = read_harmony(stretches, tonic)
    chords = [stretch.chord for stretch in stretches]
    size = len(chords)
    found = []
    for n, there in enumerate(local_harmonies(stretches, harmony)):
        goal, after = chords[(n + 1) % size], chords[(n + 2) % size]
        found.append(role_of(chords[n], goal, after, there).name)
    return found


@pytest.mark.parametrize(
    ("text", "key", "place", "expected"),
    [
        ("Imaj7 VI7 ii7 V7", "C", 1, "secondary to minor"),
        ("Imaj7 VI7 II7 V7", "C", 1, "secondary"),
        ("ii7 bII7 Imaj7:2", "C", 1, "tritone substitute"),
        ("Imaj7 iv7 bVII7 Imaj7", "C", 1, "backdoor two"),
        ("iiø7 V7 Imaj7:2", "C", 0, "borrowed two"),
        ("Imaj7 iv7 bVII7 Imaj7", "C", 2, "backdoor"),
        ("Imaj7 iv7 bVII7 bIIImaj7", "C", 1, "local chord"),
        ("Imaj7 iv7 bVII7 bIIImaj7", "C", 2, "local five"),
        ("Imaj7 iv7 bVII7 bIIImaj7", "C", 3, "local home"),
        ("Imaj7 iv7 bVII7 vi7", "C", 1, "two"),
        ("Imaj7 iv7 bVII7 vi7", "C", 2, "tritone substitute"),
        ("Imaj7 IVmaj7 iv6 Imaj7", "C", 2, "borrowed four"),
        ("Imaj7 I7 IVmaj7 V7", "C", 1, "secondary"),
        ("Imaj7 IV7 iii7 VI7", "C", 1, "dominant"),
        ("iii7 biii7 ii7 V7", "C", 1, "passing"),
        ("I5 IV5 bVII5 I5", "E", 2, "in the key"),
        ("I IV V bII5", "E", 3, "no third"),
        ("Imaj7 #Idim7 ii7 V7", "C", 1, "diminished"),
        ("iiø7 V7 i i", "Am", 0, "minor two"),
        ("iiø7 V7 i i", "Am", 1, "minor five"),
        ("i7 IV7 V7 i7", "Am", 1, "dorian four"),
        ("I bVI bVII I", "C", 1, "borrowed"),
        ("i7:4 IV7:4", "Am", 1, "dorian four"),
        ("i:4 IV:4", "Am", 1, "dorian four"),
        ("I7 IV7 V7 I7", "C", 2, "blues five"),
        ("Imaj7 V7sus4 V7 Imaj7", "C", 1, "suspended"),
        ("i7:16 bii7:8 i7:8", "Dm", 1, "own mode"),
        ("Imaj7 II7 IV/2 Imaj7", "C", 1, "secondary"),
        ("Imaj7 II7 IV/2 Imaj7", "C", 2, "suspended"),
        ("Imaj7 bII7 IV/2 Imaj7", "Ab", 1, "dominant"),
        ("Imaj7 bVI7 IV/2 Imaj7", "Ab", 1, "tritone substitute"),
        ("I bVII/2 IVmaj7 V7", "C", 1, "suspended"),
        ("I bVII/2 I V7", "C", 1, "in the key"),
        ("Imaj7:2 iiø7 V7 i7:2 Imaj7", "C", 1, "minor two"),
        ("ii7 V7 Imaj7 iiø7 V7", "C", 3, "borrowed two"),
        ("Imaj7 Idim7 Imaj7 V7", "C", 1, "common-tone diminished"),
    ],
)
def test_role_is_told_by_where_the_chord_leads(
    text: str, key: str, place: int, expected: str
) -> None:
    assert roles(text, key)[place] == expected


@given(st.lists(st.sampled_from(NUMERALS), min_size=1, max_size=12), st.sampled_from(KEYS))
def test_every_chord_has_a_role_in_any_key(numerals: list[str], key: Key) -> None:
    assert set(roles(" ".join(numerals), key.symbol)) <= set(ROLES)


@given(
    st.lists(st.sampled_from(NUMERALS), min_size=2, max_size=8),
    st.sampled_from([k for k in KEYS if k.mode == "major"]),
)
def test_transposing_changes_no_role(numerals: list[str], key: Key) -> None:
    assert roles(" ".join(numerals), key.symbol) == roles(" ".join(numerals), "C")
