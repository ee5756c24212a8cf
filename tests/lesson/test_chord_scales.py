"""Scales over a chord where it stands."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

import groove
from groove import library
from groove.lesson.guide import write_guide
from groove.theory.functions import within
from groove.theory.keys import Key
from groove.theory.pitch import Degree
from groove.theory.symbols import note, symbol
from tests.lesson.guide_material import (
    BACK_WAY,
    CYCLE,
    FORMS,
    REVIEWED_BOSSA,
    choices,
    guide,
    said,
    scales,
    titles,
    words,
)
from tests.theory.chord_material import NUMERALS


@given(
    st.lists(st.sampled_from(NUMERALS), min_size=1, max_size=8),
    st.sampled_from(["C", "F#", "Db", "A", "Am", "Ebm", "G#m"]),
)
def test_every_mode_holds_its_chord(numerals: list[str], key: str) -> None:
    for entry in guide(" ".join(numerals), key).chords:
        tones = {n.pitch_class for n in entry.chord.notes}
        tones -= {(entry.chord.root.pitch_class + 7) % 12}  # the fifth may give way
        for choice in entry.choices:
            if choice.root == entry.chord.root and "pentatonic" not in choice.scale:
                assert tones <= {n.pitch_class for n in choice.notes}, choice.title


@given(
    st.lists(st.sampled_from(NUMERALS), min_size=1, max_size=8),
    st.sampled_from(["C", "Gb", "A", "Bbm"]),
)
def test_pentatonics_off_the_blues_have_no_note_to_avoid(numerals: list[str], key: str) -> None:
    made = guide(" ".join(numerals), key)
    if made.harmony.kind in ("blues", "minor blues", "vamp", "modes"):
        return
    for entry in made.chords:
        if entry.roles[0].harmony.kind == "vamp":
            continue
        tones = {n.pitch_class for n in entry.chord.notes}
        for choice in entry.choices:
            if "pentatonic" in choice.scale:
                foreign = {n.pitch_class for n in choice.notes} - tones
                assert not {(pitch - 1) % 12 for pitch in foreign} & tones or (
                    entry.chord.quality.is_dominant
                )


def test_plain_choices_come_before_colours() -> None:
    for name in FORMS:
        for entry in write_guide(groove.read_form(name)).chords:
            tags = [choice.tag != "" for choice in entry.choices]
            assert tags == sorted(tags)


def test_power_chords_are_no_suspensions() -> None:
    """Root and fifth hold nothing back, and take the key's minor pentatonic; common practice."""
    made = guide("I5 bVII5 IV5 I5", "E")
    assert "suspension" not in " ".join(word for entry in made.chords for word in entry.words)
    assert "E minor pentatonic" in titles(made, "E5")
    assert "D mixolydian" in titles(made, "D5")
    assert "A dorian" in titles(made, "A5")


def test_suspended_five_of_a_minor_key_keeps_to_the_key() -> None:
    """No F# and C# over E7sus4 in A minor; common practice."""
    assert "E phrygian" in titles(guide("i7 iv7 V7sus4 V7", "Am"), "E7sus4")
    assert "G mixolydian" in titles(guide("Imaj7 vi7 V7sus4 V7", "C"), "G7sus4")


def test_minor_five_takes_the_harmonic_minor_of_its_goal() -> None:
    """Common practice."""
    assert "E phrygian dominant" in titles(guide("iiø7 V7 i:2", "Am"), "E7")


def test_dominant_of_a_minor_chord_in_major_takes_its_harmonic_minor() -> None:
    """Common practice."""
    assert "A phrygian dominant" in titles(guide("Imaj7 VI7 ii7 V7"), "A7")
    assert "A mixolydian" in titles(guide("Imaj7 VI7 II7 V7"), "A7")


def test_flat_ninth_over_the_five_of_a_major_key_is_from_its_harmonic_minor() -> None:
    """Common practice."""
    assert "G phrygian dominant" in titles(guide("Imaj7 iiø7 V7b9 Imaj7"), "G7b9")


def test_tritone_substitute_takes_lydian_dominant() -> None:
    """Common practice."""
    assert "Db lydian dominant" in [
        t.replace("♭", "b") for t in titles(guide("ii7 bII7 Imaj7:2"), "Db7")
    ]


def test_chord_with_two_goals_says_which_scale_is_before_which() -> None:
    made = write_guide(groove.read_form("rhythm-changes"))
    words = {c.title: c.words for c in choices(made, "G7")}
    assert words["G phrygian dominant"].startswith("Before Cm7: ")
    assert words["G mixolydian"].startswith("Before C7: ")


def test_no_sentence_on_a_scale_begins_with_a_name_that_a_prefix_would_make_small() -> None:
    data = library.load("lesson", "scales")
    said = [
        *data["when"].values(),
        *(w for r in data["roles"].values() for w in r.get("say", {}).values()),
    ]
    assert not [sentence for sentence in said if sentence.startswith("{")]


def test_sixth_chord_takes_no_scale_with_a_flat_seventh() -> None:
    """The flat seventh lies a half step over the sixth; common practice."""
    assert "A melodic minor" in titles(guide("iiø7 V7 i6:2", "Am"), "Am6")


def test_altered_scale_is_spelled_for_reading() -> None:
    made = guide("Imaj7:2 ii7 V7", "Bb")
    altered = next(c for c in choices(made, "F7") if c.scale == "altered")
    assert [str(n) for n in altered.notes] == ["F", "Gb", "Ab", "A", "B", "Db", "Eb"]


def test_chords_of_a_local_key_take_its_scales() -> None:
    """Common practice."""
    made = guide(CYCLE, "B")
    assert titles(made, "Gmaj7") == ["Gmaj7 arpeggio", "G major pentatonic", "G major"]
    assert "D mixolydian" in titles(made, "D7")
    assert words(made, "D7") == "The V of G major: it leads to Gmaj7."
    assert words(made, "Gmaj7").startswith("Home for its bars")


def test_mode_of_harmonic_minor_is_named_after_its_own_key() -> None:
    """E phrygian dominant is A harmonic minor wherever the chord goes; common practice."""
    made = guide(REVIEWED_BOSSA, "Am")
    assert said(made, "E7b9", "E phrygian dominant").startswith("The notes of A harmonic minor")
    assert "Am6" in said(made, "E7b9", "E altered")


def test_dominant_whose_third_falls_does_not_resolve_yet() -> None:
    """G7 before Gm7 is no V of the C7 after it, so no altered tones; common practice."""
    made = guide("Imaj7 II7 ii7 V7", "F")
    assert [c.scale for c in choices(made, "G7") if c.tag == "tension"] == []
    assert "Gm7 comes next" in words(made, "G7")


def test_tensions_stand_only_where_the_chord_resolves() -> None:
    """I before V, and V before IV, are no resolution; common practice."""
    made = guide("I7 V7 IV7 IV7 I7 V7 IV7 I7")
    tense = {"altered", "half-whole diminished"}
    assert not tense & (scales(made, "C7") | scales(made, "G7"))
    assert tense <= scales(guide("I7:4 IV7:2 I7:2 V7 IV7 I7 V7"), "G7")


def test_five_of_a_minor_chord_takes_no_major_third_of_its_goal() -> None:
    """Half-whole over E7 has C#, the major third of A; common practice."""
    assert "half-whole diminished" not in scales(guide("iiø7 V7 i:2", "Am"), "E7")
    assert "half-whole diminished" not in scales(guide("Imaj7 VI7 ii7 V7"), "A7")


def test_raised_fifth_that_leads_home_takes_whole_tone_or_altered() -> None:
    """Common practice."""
    found = scales(guide("I IV V+ I"), "G+") | scales(guide("Imaj7 vi7 V+ Imaj7"), "G+")
    assert "whole tone" in found
    assert "altered" in found
    assert "lydian augmented" not in found


def test_half_diminished_two_of_a_major_key_takes_the_third_of_that_key() -> None:
    """F locrian is Eb natural minor; with the natural second it has Eb's own G; common practice."""
    made = guide(BACK_WAY, "Eb")
    assert "F locrian natural 2" in titles(made, "Fm7b5")
    assert "F locrian" not in titles(made, "Fm7b5")
    assert "G, is the third of E♭ major" in said(made, "Fm7b5", "F locrian natural 2")
    assert said(made, "Fm7b5", "F locrian").startswith("The notes of E♭ natural minor")


@pytest.mark.parametrize("key", ["Am", "Dm", "Cm", "Bbm", "F#m"])
def test_two_of_a_minor_two_five_one_takes_plain_locrian_first(key: str) -> None:
    """Common practice; the natural second is the major third of the key."""
    for chords in ("i7:2 iiø7 V7", "iiø7 V7 i7:2"):
        made = guide(chords, key)
        two = next(entry for entry in made.chords if entry.chord.quality.suffix == "m7b5")
        modes = [c.scale for c in two.choices if "locrian" in c.scale]
        assert modes == ["locrian", "locrian natural 2"]


def test_two_five_to_a_minor_chord_in_a_major_key_takes_plain_locrian_first() -> None:
    made = guide("Imaj7 iiø7 V7 i7 Imaj7 ii7 V7 Imaj7")
    modes = [c.scale for c in choices(made, "Dm7b5") if "locrian" in c.scale]
    assert modes == ["locrian", "locrian natural 2"]


@pytest.mark.parametrize("key", ["Dm", "Am", "Em", "Gm", "Cm", "F#m"])
@pytest.mark.parametrize("chords", ["i7:2 IV7:2", "i7 IV7 i7 IV7 bVImaj7 V7 i7:2"])
def test_dorian_vamp_takes_no_lydian_dominant(chords: str, key: str) -> None:
    """Its raised fourth is the leading note, which the minor seventh at home denies; common
    practice."""
    made = guide(chords, key)
    four = next(e for e in made.chords if e.numeral == "IV7")
    assert "lydian dominant" not in {c.scale for c in four.choices}


def test_major_four_that_leads_on_in_minor_keeps_its_lydian_dominant() -> None:
    made = guide("i6 IV7 bVII7 bIIImaj7 iiø7 V7 i6:2", "Am")
    assert "lydian dominant" in {c.scale for c in choices(made, "D7")}


@pytest.mark.parametrize("chords", ["Imaj7:2 IVmaj7:2", "i7:2 bVImaj7:2", "I7:2 bVII:2"])
def test_colour_of_a_vamp_keeps_every_chord_of_it(chords: str) -> None:
    """Common practice: one mode holds for all of a vamp."""
    made = guide(chords)
    for entry in made.chords:
        for choice in entry.choices:
            if choice.tag:
                assert all(within(other.chord, choice.notes) for other in made.chords)


@pytest.mark.parametrize("key", ["C", "Ab", "E", "F#"])
def test_suspended_dominant_over_a_bass_takes_the_scale_on_that_bass(key: str) -> None:
    """D7 before F over G leads into it as V of V; common practice."""
    made = guide("Imaj7 II7 IV/2 Imaj7", key)
    _, dominant, suspended = made.chords
    assert [role.name for role in dominant.roles] == ["secondary"]
    assert suspended.numeral == "IV/2"
    fifth = Key.parse(key).tonic + Degree(5)
    assert {c.root for c in suspended.choices if "mixolydian" in c.scale} == {fifth}
    assert [str(t.degree) for t in suspended.guide_tones] == ["4", "b7"]
    assert "(V9sus4)" in suspended.words[0]
    assert f"{symbol(suspended.chord)} ({note(fifth)}9sus4)" in dominant.words[0]


@pytest.mark.parametrize(
    ("chord", "words"),
    [
        ("V/3", "V/3 is V with its third, B, in the bass."),
        ("V7/7", "V7/♭7 is V7 with its seventh, F, in the bass."),
        ("vi/b7", "vi/♭7 is vi with its seventh, G, in the bass."),
        ("I/4", "I/4 is I over F, the fourth counted from its root."),
        ("IV/2", "IV/2 is IV over G: heard from the bass it is G9sus4 (V9sus4)."),
    ],
)
def test_numeral_over_a_bass_is_explained_where_it_stands(chord: str, words: str) -> None:
    made = guide(f"I {chord} vi IV")
    assert made.chords[1].words[0] == words
    assert [len(entry.words) for entry in made.chords] == [1, 2, 1, 1]


def test_pentatonic_of_the_key_at_home_is_not_said_to_come_from_there() -> None:
    made = guide("i7:2 IV7:2", "Dm")
    pentatonic = [said(made, chord, "D minor pentatonic") for chord in ("Dm7", "G7")]
    assert pentatonic == [
        "The key's own pentatonic, from this chord's root.",
        "The key's own pentatonic, which you know from the chord at home.",
    ]
