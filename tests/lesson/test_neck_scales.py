"""Recommended scales on the neck."""

import pytest

import groove
from groove.instrument.fretboard import read_tuning, tunings
from groove.lesson.form_scales import ARPEGGIO
from groove.lesson.guide import Guide, write_guide
from groove.lesson.neck_scales import CHORD, PASSING, ROOT, SCALE, home_scale, neck_scales
from tests.form.road_material import arranged
from tests.lesson.guide_material import FORMS

GUITAR = read_tuning("guitar")


def guide(form: str, **fields: object) -> Guide:
    return write_guide(groove.read_form(form, **fields))


def scales(form: str, tuning: str = "guitar", **fields: object) -> dict:  # type: ignore[type-arg]
    found = neck_scales(guide(form, **fields), read_tuning(tuning))
    return {shown.choice.title: shown for shown in found}


@pytest.mark.parametrize("form", FORMS)
def test_every_plain_scale_that_is_recommended_is_drawn_once(form: str) -> None:
    made = guide(form)
    choices = list(made.choices) + [c for entry in made.chords for c in entry.choices]
    plain = {c.title for c in choices if not c.tag and c.scale != ARPEGGIO}
    shown = neck_scales(made, GUITAR)
    named = {s.choice.title for s in shown} | {s.blues.title for s in shown if s.blues}
    assert named | {c.title for s in shown for c, _ in s.also} >= plain
    drawn = [(p.fret, p.frets, tuple(dot.pitch for dot in p.dots))
             for s in shown for p in (s.home, *s.five[1:])]  # fmt: skip
    assert len(set(drawn)) == len(drawn)


@pytest.mark.parametrize("key", ["C", "E", "F", "F#", "Bb", "Eb"])
def test_five_has_its_own_pentatonics_beside_those_of_the_key_in_one_hand(key: str) -> None:
    made = scales("twelve-bar", key=key)
    own, five = next(iter(made.values())).home, [s for s in made.values() if not s.five][:2]
    assert [s.choice.scale for s in five] == ["minor pentatonic", "major pentatonic"]
    for shown in five:
        assert abs(shown.home.fret - own.fret) <= 1
        assert shown.home.complete
        assert shown.home.missing == ()


@pytest.mark.parametrize("tuning", list(tunings()))
@pytest.mark.parametrize("form", ["twelve-bar", "minor-twelve-bar", "i-v-vi-iv"])
def test_home_position_has_its_root_on_the_lowest_string(tuning: str, form: str) -> None:
    neck = read_tuning(tuning)
    title, home = home_scale(guide(form), neck)
    lowest = min((dot for dot in home.dots if dot.role == "root"), key=lambda dot: dot.pitch)
    assert lowest.string == neck.lowest_string
    assert lowest.fret <= 12
    if lowest.fret > 1:
        assert lowest.finger <= (1 if ("minor" in title) else 2)
    if lowest.fret > 1 and tuning in ("guitar", "bass"):
        assert lowest.finger == (1 if ("minor" in title) else 2)


def test_box_one_lies_where_players_have_it() -> None:
    for form, key, frets in (
        ("twelve-bar", "A", (5, 8)),
        ("twelve-bar", "G", (3, 6)),
        ("twelve-bar", "E", (0, 3)),
        ("i-v-vi-iv", "G", (2, 5)),
    ):
        _, home = home_scale(guide(form, key=key), GUITAR)
        assert home.frets == frets


def test_notes_are_told_apart_by_what_they_are_over_the_chord() -> None:
    made = scales("twelve-bar", key="A")
    looks = {dot.degree: made["A mixolydian"].look(dot) for dot in made["A mixolydian"].home.dots}
    assert looks == {
        "1": ROOT, "2": SCALE, "3": CHORD, "4": PASSING, "5": CHORD, "6": SCALE, "b7": CHORD,
    }  # fmt: skip
    minor = made["A minor pentatonic"]
    assert minor.blues is not None
    assert {dot.degree for dot in minor.home.dots if minor.look(dot) == PASSING} == {"b5"}
    assert {dot.degree for dot in minor.home.dots if minor.look(dot) == CHORD} == {"5", "b7"}


def test_scales_of_the_same_notes_share_a_drawing() -> None:
    made = scales("rhythm-changes")
    also = {(c.title, str(chord)) for c, chord in made["B♭ major"].also}
    assert also >= {("C dorian", "Cm7"), ("F mixolydian", "F7")}


def test_harmonic_minor_is_shown_over_the_five() -> None:
    shown = scales("minor-twelve-bar")["A harmonic minor"]
    assert str(shown.chord) == "E7"
    filled = {dot.name for dot in shown.home.dots if shown.look(dot) == CHORD}
    assert filled == {"E", "G#", "B", "D"}
    assert {dot.name for dot in shown.home.dots if shown.look(dot) == PASSING} == {"A"}


def test_learners_see_as_much_as_is_meant_for_them() -> None:
    (first,) = scales("twelve-bar", learner="beginner").values()
    assert first.choice.title == "C minor pentatonic"
    assert first.five == ()
    assert {dot.degree for dot in first.home.dots} == {"1", "b3", "4", "5", "b7"}
    assert not any(s.choice.tag for s in scales("twelve-bar").values())
    assert "C altered" in scales("twelve-bar", learner="advanced")


def test_a_sections_scale_is_shown_over_a_chord_on_its_root_wherever_the_form_has_it() -> None:
    first = next(iter(scales("tests/arrangements/latin-swing-aaba.toml").values()))
    assert (first.choice.title, str(first.chord)) == ("F major pentatonic", "Fmaj7")


def test_altered_scale_has_the_degrees_and_names_of_its_chord() -> None:
    """A major third is a third, and D sharp the sharp ninth: common practice."""
    made = write_guide(arranged(chords="Dm7 | C7alt | Fm6 | %", learner="advanced", key="Fm"))
    shown = next(s for s in neck_scales(made, GUITAR) if s.choice.title == "C altered")
    found = {(dot.name, dot.degree) for dot in shown.home.dots}
    assert str(shown.chord) == "C7alt"
    assert found == {
        ("C", "1"), ("Db", "b9"), ("D#", "#9"), ("E", "3"), ("F#", "#11"), ("Ab", "b13"),
        ("Bb", "b7"),
    }  # fmt: skip
