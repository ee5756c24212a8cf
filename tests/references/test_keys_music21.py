"""Keys and Roman numerals agree with music21.key and music21.roman.

Source: circle of fifths; general-purpose reference library ``music21``.
"""

import pytest
from music21 import key as m21_key
from music21 import roman

from groove.theory.keys import Key
from groove.theory.roman import parse_numeral
from tests.theory.key_material import KEYS

MAJOR = [str(key.tonic) for key in KEYS if key.mode == "major"]
# Our numeral and the one music21 reads alike. Ours counts from the major scale in minor keys
# too, so only major keys are compared.
NUMERALS = {
    "I": "I", "ii": "ii", "iii": "iii", "IV": "IV", "V": "V", "vi": "vi", "viio": "viio",
    "V7": "V7", "ii7": "ii7", "iv": "iv", "v7": "v7", "bII": "bII", "bVI": "bVI",
    "bVII": "bVII", "viio7": "viio7", "#IVo7": "#ivo7", "V7/V": "V7/V", "V7/ii": "V7/ii",
    "V7/IV": "V7/IV", "bIII": "bIII", "V+": "V+", "iiø7": "iiø7", "Imaj7": "I7", "IVmaj7": "IV7",
    "bVImaj7": "bVI7", "viio7/V": "viio7/V", "V/vi": "V/vi",
}  # fmt: skip


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_signature_is_that_of_music21(key: Key) -> None:
    reference = m21_key.Key(str(key.tonic).replace("b", "-"), key.mode)
    assert key.signature == reference.sharps


def test_there_are_fifteen_major_and_fifteen_minor_keys() -> None:
    modes = [key.mode for key in KEYS]
    assert (modes.count("major"), modes.count("minor")) == (15, 15)


def reference(numeral: str, tonic: str) -> roman.RomanNumeral:
    return roman.RomanNumeral(NUMERALS[numeral], m21_key.Key(tonic.replace("b", "-")))


@pytest.mark.parametrize("numeral", NUMERALS)
def test_numeral_in_a_major_key_sounds_as_by_music21(numeral: str) -> None:
    def ours(tonic: str) -> set[int]:
        return {note.pitch_class for note in parse_numeral(numeral).chord(Key.parse(tonic)).notes}

    assert {t: ours(t) for t in MAJOR} == {
        t: set(reference(numeral, t).pitchClasses) for t in MAJOR
    }


@pytest.mark.parametrize("numeral", NUMERALS)
def test_numeral_in_a_major_key_is_spelled_as_by_music21_but_for_roots_that_are_not_in_use(
    numeral: str,
) -> None:
    for tonic in MAJOR:
        theirs, chord = reference(numeral, tonic), parse_numeral(numeral).chord(Key.parse(tonic))
        root = theirs.root().name.replace("-", "b")
        if root == str(chord.root):
            found = sorted(pitch.name.replace("-", "b") for pitch in theirs.pitches)
            assert found == sorted(map(str, chord.notes))
        else:
            unread = len(root) > 2 or root in ("E#", "B#", "Cb", "Fb")
            assert unread or (root == "Gb" and chord.quality.is_minor)
