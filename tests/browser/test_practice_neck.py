"""Scales and chord tones on neck, keys and staff: where the program puts them, with their marks."""

from __future__ import annotations

import re
from typing import Any

import pytest

from groove.form.choruses import in_key
from groove.form.read import read_form
from groove.form.written_chords import chorus_slots
from groove.instrument.fretboard import tunings
from groove.instrument.material import BLUE, arpeggio, scale
from groove.instrument.positions import at_fret, one_position, positions
from groove.lesson.guide import write_guide
from groove.theory.chords import parse_chord
from groove.theory.keys import twelve_keys
from groove.theory.symbols import signs
from tests.browser.practice_material import FORM, go_to

MATERIALS = [
    arpeggio(parse_chord("Eb7")),
    arpeggio(parse_chord("F#m7b5")),
    scale("A", "minor pentatonic"),
    scale("Bb", "mixolydian"),
    scale("D", "altered"),
]
UNDER = """(asked) => asked.map(([name, classes, fret]) => {
  const tones = classes.map((fifths) => ({ fifths }));
  return practice.tonesOnNeck(practice.settings.tunings[name], tones, fret).map(({ string, fret }) => [string, fret]);
})"""  # noqa: E501


def fifths(pitch_class: int) -> int:
    """A note of a pitch class on the line of fifths."""
    return pitch_class * 7 % 12


def test_the_notes_under_a_hand_are_those_of_the_program(shared: Any) -> None:
    asked = [
        (name, material, fret)
        for name, tuning in tunings().items()
        for material in MATERIALS
        for fret in range(1, min(12, tuning.frets - tuning.reach + 1) + 1)
    ]
    as_classes = [
        [name, [fifths(tone.pitch_class) for tone in material.tones], fret]
        for name, material, fret in asked
    ]
    drawn = go_to(shared, "#key=A").evaluate(UNDER, as_classes)
    for (name, material, fret), dots in zip(asked, drawn, strict=True):
        ours = at_fret(tunings()[name], material, fret).dots
        assert dots == [[dot.string, dot.fret] for dot in ours], (name, material.title, fret)


def test_the_usual_position_and_the_five_are_those_of_the_program(shared: Any) -> None:
    form = read_form("twelve-bar", **FORM)
    page = go_to(shared, "#key=A")
    for number, key in list(enumerate(twelve_keys(form.key)))[::4]:
        chords = dict.fromkeys(slot.chord for slot in chorus_slots(in_key(form, key)))
        home = scale(key.tonic, "minor pentatonic")
        for name, tuning in tunings().items():
            hands = page.evaluate(
                """([tuning, key]) => {
                  practice.settings.tuning = tuning;
                  const places = ["usual", "1", "2", "3", "4", "5"];
                  return places.map((place) => practice.settings.positionAt(place, key));
                }""",
                [name, number],
            )
            usual = one_position(tuning, [arpeggio(chord) for chord in chords])[0].fret
            five = [position.fret for position in positions(tuning, home)]
            assert hands == [(fret - 1) % 12 + 1 for fret in (usual, *five)], name


SHOWN = """([scale, key, distinct]) => {
  const { track } = practice;
  const number = track.chords.findIndex((chord) => chord[5] === distinct);
  const chord = practice.chordIn(track, number, key, "C");
  const { title, tones } = practice.shownOver(track, scale, chord);
  return [title, tones.map(({ name, degree, kind }) => [name, degree, kind])];
}"""


@pytest.mark.parametrize("key", [9, 3])
def test_scales_are_those_of_the_guide_with_their_chord_tones_and_their_notes_to_pass(
    shared: Any, key: int
) -> None:
    form = read_form("twelve-bar", **FORM)
    guide = write_guide(in_key(form, twelve_keys(form.key)[key]))
    whole = [choice for choice in guide.choices if not choice.over]
    page = go_to(shared, "#key=A")
    for chord, entry in enumerate(guide.chords):
        known = [(choice.root, choice.scale) for choice in whole]
        own = [each for each in entry.choices[1:] if (each.root, each.scale) not in known]
        for name, choice in (("whole-1", whole[0]), ("whole-2", whole[1]), ("own-1", own[0])):
            title, tones = page.evaluate(SHOWN, [name, key, chord])
            assert title == choice.title
            plain = scale(choice.root, choice.scale)
            names = plain.spelled(choice.notes).tones
            degrees = plain.over(entry.chord).tones
            assert {(tone, degree) for tone, degree, _ in tones} == {
                (signs(name.name), signs(tone.degree))
                for name, tone in zip(names, degrees, strict=True)
            }
            passing = {signs(str(note)) for note in choice.avoid}
            if choice.scale in BLUE:
                blue = scale(choice.root, choice.scale).spelled(choice.notes).tones
                passing |= {signs(tone.name) for tone in blue if tone.role == "blue"}
            chord_tones = {signs(tone.name) for tone in arpeggio(entry.chord).tones}
            kinds = {tone: kind for tone, _, kind in tones}
            assert {tone for tone, kind in kinds.items() if kind == "passing"} == (
                passing - chord_tones
            )
            assert {tone for tone, kind in kinds.items() if kind in ("root", "in_chord")} == (
                chord_tones & kinds.keys()
            )


def test_the_first_scale_of_the_guide_is_drawn_until_the_student_chooses(shown: Any) -> None:
    page = shown("#fret=5")
    assert page.input_value("#scale") == "whole-1"
    marks = ".now .neck .tone"
    assert page.locator(".now figcaption").inner_text() == "A minor pentatonic"
    assert page.locator(f"{marks}.in_scale").count() == 5  # C and D in box one
    assert page.locator(f"{marks}.in_chord, {marks}.root").count() == 7
    page.select_option("#scale", label="A blues, whole form")
    assert page.locator(f"{marks}.passing").count() == 2
    page.select_option("#scale", label="Chord tones")
    assert page.locator(f"{marks}:not(.in_chord):not(.root)").count() == 0
    assert page.locator("#legend span").count() == 2


def test_instrument_tuning_hand_and_position_change_in_the_page(shown: Any) -> None:
    page = shown()
    page.select_option("#place", label="home position, as on the sheet, fret 5")
    assert page.input_value("#fret") == "5"
    first = page.locator(".now .neck .root rect").first
    right_handed = float(first.get_attribute("x"))
    page.check("#left-handed")
    assert float(first.get_attribute("x")) > right_handed
    page.select_option("#strings", label="drop D")
    said = page.get_attribute(".now .neck", "aria-label")
    assert "A, a chord tone, string 6 fret 7" in said
    page.select_option("#shape", label="mandolin")
    assert page.locator(".now .neck .string-name").all_text_contents() == ["E", "A", "D", "G"]
    assert not page.is_visible("#tuning-choice")
    page.select_option("#shape", label="keyboard")
    assert not page.is_visible("#place")
    assert page.locator(".now .keys .in_scale").count() == 2  # C and D
    fragment = page.evaluate("practice.settings.toFragment()")
    assert "show=keyboard" in fragment
    assert "hand=left" in fragment


@pytest.mark.parametrize(
    ("reader", "first", "clef"),
    [("C", "A", "treble"), ("F", "E", "treble"), ("bass", "A", "bass"), ("Eb", "F♯", "treble")],
)
def test_the_staff_is_in_the_reader_s_key_and_clef(
    shared: Any, reader: str, first: str, clef: str
) -> None:
    page = go_to(shared, f"#show=staff&for={reader}&scale=own-1")
    assert page.locator(".now .tones b").first.inner_text().split()[0][: len(first)] == first
    glyph = page.evaluate("(name) => practice.track.glyphs[name][1]", f"{clef} clef")
    assert page.locator(".now .staff .glyph").first.get_attribute("d") == glyph
    assert re.match(".* over .*7 on the staff: ", page.get_attribute(".now .staff", "aria-label"))


def test_a_reader_of_the_bass_clef_is_told_where_it_shows(shown: Any) -> None:
    page = shown("#for=bass")
    assert page.is_visible("#clef-hint")
    page.select_option("#shape", "staff")
    assert not page.is_visible("#clef-hint")
    page.select_option("#written", "F")
    page.select_option("#shape", "guitar")
    assert not page.is_visible("#clef-hint")
