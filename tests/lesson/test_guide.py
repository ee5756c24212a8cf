"""The guide to a form: roles of its chords, its changes."""

import pytest

import groove
from groove.form.readers import READERS
from groove.lesson.guide import write_guide
from groove.theory.chords import parse_chord
from tests.lesson.guide_material import BACK_WAY, FORMS, REVIEWED_BOSSA, cycle, guide, words


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("reader", ["concert", "Eb"])
def test_every_shipped_form_has_a_guide(form: str, reader: str) -> None:
    made = write_guide(groove.read_form(form), READERS[reader])
    assert made.choices
    assert all(len(entry.choices) > 1 for entry in made.chords)
    assert {tone.name for line in made.lines for tone in line}


def test_chord_that_slides_by_is_no_home() -> None:
    """Ebm7 between Em7 and Dm7; common practice."""
    made = guide("iii7 biii7 ii7 V7", "C")
    assert words(made, "Ebm7") == (
        "A passing chord: it moves a half step into Dm7, all its tones together."
    )


def test_transposing_readers_see_their_own_names() -> None:
    made = write_guide(groove.read_form("twelve-bar", key="C"), READERS["Eb"])
    assert [str(entry.chord) for entry in made.chords] == ["A7", "D7", "E7"]


def test_way_back_to_the_top_is_among_the_changes() -> None:
    made = guide("ii7 V7 Imaj7:2")
    back = [c for c in made.changes if c.back]
    assert [(str(c.change.before), str(c.change.after)) for c in back] == [("Cmaj7", "Dm7")]


def test_chord_leads_to_the_next_other_root() -> None:
    made = guide("Imaj7 VI7sus4:1/2 VI7:1/2 VI7/3 ii7 V7", "C")
    roles = {str(e.chord): (e.roles[0].name, str(e.roles[0].goal)) for e in made.chords}
    assert roles["A7"] == roles["A7/C#"] == ("secondary to minor", "Dm7")


def test_one_chorus_without_repeat_leads_home_and_not_to_the_top() -> None:
    form = groove.read_form("twelve-bar", chords="I7 IV7 ii7 V7", choruses=1, ending="hit")
    last = write_guide(form).changes[-1]
    assert (str(last.change.after), last.back) == ("C7", False)


@pytest.mark.parametrize("reader", ["concert", "Bb"])
def test_top_of_the_next_chorus_is_in_its_own_key(reader: str) -> None:
    form = groove.read_form("twelve-bar", chords="ii7 V7 Imaj7:2", key="C", choruses=4,
                            key_cycle="fourths", turnaround=False)  # fmt: skip
    made = write_guide(form, READERS[reader])
    first, last = ("Cmaj7", "Gm7") if reader == "concert" else ("Dmaj7", "Am7")
    top = made.changes[-1]
    assert (str(top.change.before), str(top.change.after), top.back) == (first, last, True)
    assert top.key == made.keys[1]


def test_turnaround_of_a_cycle_leads_to_the_next_key() -> None:
    made = cycle(chords="I7:12", turnaround="V7:1")
    assert [str(chord) for chord in made.sequence] == ["C7"]  # the V of F
    made = cycle(chords="Imaj7:12", turnaround="V7:1")
    assert [str(chord) for chord in made.sequence] == ["Cmaj7", "C7"]


def test_chord_symbols_read_back() -> None:
    for entry in guide("Imaj7 #Idim7 ii7 V7sus4").chords:
        assert parse_chord(str(entry.chord)) == entry.chord


def test_five_with_several_goals_names_home_first_and_then_the_others() -> None:
    """Common practice: a V is explained by its way home."""
    made = guide(REVIEWED_BOSSA, "Am")
    assert words(made, "E7b9").endswith("leads to Am6 and Am7, and once to Dm7 instead.")
    waltz = words(guide("Imaj7 vi7 ii7 V7 iii7 VI7 ii7 V7", "G"), "D7")
    assert waltz == "The V: it leads to Gmaj7, and once to Bm7 instead."


def test_two_five_one_of_the_flat_three_is_no_way_home() -> None:
    """Fm7 Bb7 Ebmaj7 in C is the ii V I of Eb; common practice."""
    made = guide("Imaj7 iv7 bVII7 bIIImaj7", "C")
    said = " ".join(words(made, chord) for chord in ("Fm7", "Bb7", "Ebmaj7"))
    assert "way home" not in said
    assert "comes home" not in said
    assert said.count("E♭ major") == 3


def test_chord_with_two_roles_gets_one_sentence() -> None:
    made = write_guide(groove.read_form("rhythm-changes", key="Bb"))
    assert words(made, "G7") == (
        "A dominant on the way to Cm7, which is minor: it brings that chord's harmonic minor; "
        "elsewhere it leads to C7, as a V leads to its I."
    )
    assert words(made, "F7") == "The V: it leads to B♭6, and in places to Fm7 instead."


def test_five_that_goes_elsewhere_is_said_to_disappoint_the_ear() -> None:
    """Common practice."""
    assert words(guide("i7 V7b9 iv7 V7b9", "Dm"), "A7b9").startswith(
        "The V of a minor key: it leads to Dm7, and once to Gm7 instead."
    )
    said = words(guide("i7 V7b9 iv7", "Dm"), "A7b9")
    assert said == "The V of a minor key: the ear expects Dm7, and Gm7 comes instead."
    said = words(guide("Imaj7 V7 vi7 IVmaj7"), "G7")
    assert said == "The V: the ear expects Cmaj7, and Am7 comes instead."


def test_minor_four_before_the_flat_seven_is_half_of_the_back_way_home() -> None:
    """Abm7 - Db7 - Ebmaj7, its Cb to Bb; common practice."""
    text = words(guide(BACK_WAY, "Eb"), "Abm7")
    assert "A♭m7 – D♭7 – E♭maj7" in text
    assert "C♭, falls a half step to B♭" in text


def test_back_way_home_goes_to_the_chord_at_home_alone() -> None:
    made = guide("Imaj7 I7 IVmaj7 iv7 bVII7 Imaj7", "Eb")
    assert "A♭m7 – D♭7 – E♭maj7." in words(made, "Abm7")


def test_major_four_of_a_dorian_vamp_names_its_bright_sixth() -> None:
    """Common practice."""
    assert "bright sixth of the dorian mode" in words(guide("i7:4 IV7:4", "Am"), "D7")


def test_track_of_two_choruses_goes_round_to_the_top() -> None:
    made = write_guide(groove.read_form("twelve-bar", chords="I7 IV7 ii7 V7", choruses=2))
    assert (str(made.changes[-1].change.after), made.changes[-1].back) == ("C7", True)


def test_five_that_goes_elsewhere_each_time_names_all_that_comes_instead() -> None:
    """Common practice."""
    said = words(guide("Imaj7 V7 vi7 ii7 V7 IVmaj7"), "G7")
    assert said == "The V: the ear expects Cmaj7, and Am7 or Fmaj7 comes instead."


def test_several_goals_of_a_v_are_once_each() -> None:
    made = guide("IMaj7 V7 iii7 V7 vi7 V7 IMaj7 V7", "C")
    assert words(made, "G7").endswith("Cmaj7, and once each to Em7 and Am7 instead.")
