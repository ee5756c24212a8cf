"""Scales for the whole form."""

import re

import pytest

import groove
from groove import library
from groove.lesson.guide import Guide, write_guide
from groove.theory.functions import KINDS
from groove.theory.keys import Key, twelve_keys
from groove.theory.roles import ROLES
from groove.theory.scales import SCALES
from groove.wording import words_of
from tests.lesson.guide_material import (
    CYCLE,
    REVIEWED_BOSSA,
    choices,
    guide,
    scales,
    titles,
)


def test_power_chords_get_the_minor_pentatonic_first() -> None:
    """Common practice."""
    assert guide("I5 bVII5 IV5 I5", "E").choices[0].title == "E minor pentatonic"


def test_modes_side_by_side_each_have_their_own_scale() -> None:
    """Common practice."""
    made = guide("i7:16 bii7:8 i7:8", "Dm")
    assert "D dorian" in titles(made, "Dm7")
    assert "E♭ dorian" in titles(made, "Ebm7")
    assert all(c.over for c in made.choices)


def test_loop_of_triads_gets_no_blues_scales_and_no_tensions() -> None:
    made = guide("I V vi IV", "G")
    every = [*made.choices, *(c for entry in made.chords for c in entry.choices)]
    assert not [c.title for c in every if "blues" in c.scale or c.tag]


def test_every_role_and_kind_has_its_sentences() -> None:
    data = library.load("lesson", "scales")
    assert set(data["kinds"]) == set(KINDS)
    assert set(data["roles"]) == set(ROLES)


def test_every_scale_of_the_data_is_a_scale_with_a_sentence() -> None:
    data = library.load("lesson", "scales")
    for role in data["roles"].values():
        for name in (*role["modes"], *role["colours"], *role.get("pentatonics", ())):
            assert name == "home" or (name in SCALES and name in data["when"])


def test_sentences_on_scales_speak_of_no_one_instrument() -> None:
    """A piano's note can't be bent, and a horn has no frets."""
    text = library.path_of("lesson", "scales").read_text()
    said = [line for line in text.splitlines() if not line.startswith("#")]
    ours = re.compile(r"\b(bend|fret|string|neck|hand|finger|shape|slide|lip|bow|breath)s?\b")
    assert not [line for line in said if ours.search(line) and "slides down a half" not in line]


def test_cycle_in_thirds_has_a_scale_for_each_of_its_keys() -> None:
    """Each major seventh with its own V7 is a key; common practice."""
    made = guide(CYCLE, "B")
    over = {c.title: [str(chord) for chord in c.over] for c in made.choices}
    assert over["G major"] == over["G major pentatonic"] == ["D7", "Gmaj7"]
    assert over["E♭ major"] == ["Bb7", "Ebmaj7"]
    assert over["B major"] == ["Bmaj7", "F#7"]
    assert "G major, " in made.about or " G major" in made.about


def test_scale_of_a_key_is_for_the_chords_that_it_holds() -> None:
    """Db7 before Cmaj7 is no chord of C major; common practice."""
    made = guide("Imaj7 bIII7 bVImaj7 bII7", "C")
    over = {c.title: [str(chord) for chord in c.over] for c in made.choices}
    assert over["C major"] == ["Cmaj7"]
    assert over["A♭ major"] == ["Eb7", "Abmaj7"]


def test_melodic_minor_is_not_for_a_minor_seventh_in_the_bass() -> None:
    """B natural against B♭ in the bass; common practice."""
    made = guide("i i/7 i/b7 IV/3 bVI V7", "Cm")
    over = {c.title: [str(chord) for chord in c.over] for c in made.choices}
    assert over["C melodic minor"] == ["Cm", "Cm/B"]
    assert "dorian" not in scales(made, "Cm/B")


@pytest.mark.parametrize("chords", ["I bVII IV I", "I7:4 bVII:2 IV:2"])
def test_loop_of_one_flat_seven_and_four_is_mixolydian(chords: str) -> None:
    """No leading note over a bVII, and the IV takes its plain major scale; common practice."""
    made = guide(chords, "G")
    scales = [c.scale for c in made.choices]
    assert {"mixolydian", "minor pentatonic", "blues"} <= set(scales)
    assert "major" not in scales
    assert "C major" in titles(made, "C")
    assert "C lydian" not in titles(made, "C")


def watched(made: Guide, title: str) -> dict[str, str]:
    watch = next(c.watch for c in made.choices if c.title == title)
    return {str(chord): " ".join(map(str, notes)) for chord, notes in watch}


def test_notes_that_a_chord_has_otherwise_are_named_whatever_the_chord() -> None:
    """A third, sixth or seventh against its own half step clashes worst; common practice."""
    rhythm = write_guide(groove.read_form("rhythm-changes", key="Bb"))
    assert "Bb" in watched(rhythm, "B♭ major pentatonic")["G7"].split()
    bossa = watched(guide(REVIEWED_BOSSA, "Am"), "A minor pentatonic")
    assert "G" in bossa["E7b9"].split()
    minor = watched(guide("iiø7 V7b9 i6:2", "Cm"), "C minor pentatonic")
    assert minor["Cm6"] == "Bb"


def over(made: Guide, title: str) -> list[str]:
    return [str(chord) for c in made.choices if c.title == title for chord in c.over]


def test_natural_minor_is_for_the_chords_that_it_holds() -> None:
    made = guide("i7 iv7 bVI7 V7 i6", "Am")
    assert over(made, "A natural minor") == ["Am7", "Dm7"]


VAMP_AND_BRIDGE = "i7:1/2 IV7:1/2 " * 3 + "iiø7:1/2 V7b9:1/2 iv7 bVII7 bIIImaj7 V7 i6"


def test_home_and_major_four_going_back_and_forth_are_dorian_before_changes_in_minor() -> None:
    """The sixth of the mode is the third of the IV; common practice."""
    made = guide(VAMP_AND_BRIDGE, "Dm")
    assert over(made, "D dorian") == ["Dm7", "G7"]
    assert "Dm7" not in over(made, "D natural minor")
    assert titles(made, "Dm7")[-1] == "D dorian"


@pytest.mark.parametrize(
    "chords", ["i7 IV7 iiø7 V7b9 i6", "i7 i6 i7 i6 iv7 V7", "i7 iv7 i7 iv7 V7"]
)
def test_one_change_or_chords_of_the_key_make_no_vamp(chords: str) -> None:
    assert guide(chords, "Dm").harmony.vamps == ()


def test_minor_blues_warns_of_each_note_that_rubs_and_keeps_its_pentatonic() -> None:
    """E against the Eb of F7, G against the G# of E7; common practice."""
    made = guide("i7:4 iv7:2 i7:2 bVI7 V7 i7:2", "Am")
    assert watched(made, "A minor pentatonic") == {"F7": "E", "E7": "A G"}
    first = {chord: choices(made, chord)[1] for chord in ("F7", "E7")}
    assert {choice.title for choice in first.values()} == {"A minor pentatonic"}
    assert "E rubs against E♭" in first["F7"].words
    assert "A and G rub against G♯" in first["E7"].words
    assert [str(n) for n in first["F7"].avoid] == ["E"]


def test_note_that_the_bass_has_otherwise_clashes() -> None:
    """A over a Bm with A# in the bass; common practice."""
    made = guide("I V/3 vi vi/7 IV I/3 ii7/5 V7", "D")
    assert "A" in watched(made, "D major pentatonic")["Bm/A#"]
    assert "D major pentatonic" not in titles(made, "Bm/A#")


KEYS = [key.symbol for key in twelve_keys(Key.parse("F"))]


@pytest.mark.parametrize("key", KEYS)
def test_blues_warns_of_what_rubs_against_chords_that_are_not_of_its_sound(key: str) -> None:
    """A flat and E flat over Gm7 in F blues, a half step over its root and its fifth; common
    practice. On I, IV and V, and on any dominant, rubbing is the sound of the blues."""
    made = guide("I7 IV7 I7:2 IV7 #IVdim7 I7 VI7 ii7 V7 I7:2", key)
    home = Key.parse(key).tonic
    for name in ("minor pentatonic", "blues"):
        watch = dict(next(c.watch for c in made.choices if c.scale == name and not c.over))
        assert {chord.quality.suffix for chord in watch} == {"m7", "dim7"}
        two = next(notes for chord, notes in watch.items() if chord.quality.suffix == "m7")
        found = {(n.pitch_class - home.pitch_class) % 12 for n in two}
        assert found == {3, 10} | ({6} if name == "blues" else set())


def test_plain_blues_has_nothing_to_warn_of() -> None:
    """Common practice: the minor pentatonic works from the first bar to the last."""
    assert not any(choice.watch for choice in guide("I7:4 IV7:2 I7:2 V7 IV7 I7:2").choices)


def test_third_that_a_suspension_over_a_bass_holds_back_is_warned_of() -> None:
    """F over G is heard as G9sus4, and B is its third; common practice."""
    made = guide("Imaj7 vi7 ii7 IV/2")
    major = next(choice for choice in made.choices if choice.scale == "major")
    watch = {str(chord): " ".join(map(str, notes)) for chord, notes in major.watch}
    assert watch["F/G"] == "B"


def test_title_of_a_kind_of_form_does_not_read_as_a_key() -> None:
    """``A minor blues`` over a form in C would be a key."""
    for name, kind in words_of("scales")["kinds"].items():
        assert not re.match(r"(An?|[B-G])\b", kind["title"]), name
