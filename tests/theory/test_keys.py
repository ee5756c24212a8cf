"""Keys. Source: circle of fifths."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.theory.keys import Key
from tests.theory.key_material import KEYS

SIGNATURES = {
    "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5, "F#": 6, "F": -1, "Bb": -2, "Eb": -3,
    "Ab": -4, "Db": -5, "Gb": -6,
}  # fmt: skip


@pytest.mark.parametrize("tonic", SIGNATURES)
def test_signature_counts_sharps_minus_flats(tonic: str) -> None:
    assert Key.parse(tonic).signature == SIGNATURES[tonic]


@pytest.mark.parametrize("key", KEYS, ids=str)
@pytest.mark.parametrize("write", [str, lambda key: key.symbol])
def test_key_reads_back(key: Key, write: object) -> None:
    assert Key.parse(write(key)) == key  # type: ignore[operator]


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("G", "G major"), ("Gm", "G minor"), ("g", "G major"), ("am", "A minor"),
        ("B♭m", "Bb minor"), ("F♯ minor", "F# minor"), ("D-", "D minor"), ("D MAJOR", "D major"),
        (" Eb ", "Eb major"), ("C#  min", "C# minor"),
    ],
)  # fmt: skip
def test_key_may_be_written(text: str, key: str) -> None:
    assert str(Key.parse(text)) == key


def test_bare_tonic_takes_the_mode_asked_for() -> None:
    assert Key.parse("A", "minor") == Key.parse("Am")


@pytest.mark.parametrize(
    ("text", "better"), [("Fb", "E"), ("G#", "Ab"), ("D#", "Eb"), ("Dbm", "C#m"), ("E#m", "Fm")]
)
def test_key_with_too_many_signs_names_the_one_to_write(text: str, better: str) -> None:
    with pytest.raises(ValueError, match=rf"write {better}$"):
        Key.parse(text)


@pytest.mark.parametrize("text", ["", "H", "DM", "Bbb", "G blues", "A/C", "7", "m", "\n"])
def test_no_key(text: str) -> None:
    with pytest.raises(ValueError, match="is no key"):
        Key.parse(text)


@given(st.text(max_size=12) | st.from_regex(r"[A-Ga-g][#b♭♯]?\s*\w{0,6}", fullmatch=True))
def test_parsing_raises_only_value_error(text: str) -> None:
    with contextlib.suppress(ValueError):
        assert -7 <= Key.parse(text).signature <= 7
