"""Positions: laws that hold for every tuning."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.errors import GrooveError
from groove.instrument.fretboard import Place, Tuning, read_tuning, tunings
from groove.instrument.material import Material, arpeggio, scale
from groove.instrument.positions import (
    Position,
    as_data,
    at_fret,
    beside,
    one_position,
    positions,
)
from groove.theory.chords import Chord, parse_chord
from groove.theory.scales import SCALES
from tests.examples import examples
from tests.instrument.fret_material import (
    GUITAR,
    QUALITIES,
    ROOTS,
    chords,
    materials,
    moved,
    own_tunings,
    shipped_tunings,
)


def places(position: Position) -> list[tuple[int, int]]:
    return [(dot.string, dot.fret) for dot in position.dots]


def within(tuning: Tuning, material: Material, frets: tuple[int, int]) -> set[tuple[int, int]]:
    """Every place of the material between two frets, by trying each place of the neck."""
    return {
        (string, fret)
        for string in tuning.strings
        for fret in range(frets[0], frets[1] + 1)
        if material.tone(tuning.pitch(Place(string, fret)))
    }


def assert_true(tuning: Tuning, material: Material, position: Position) -> None:
    for dot in position.dots:
        assert dot.pitch == tuning.open_strings[len(tuning.open_strings) - dot.string] + dot.fret
        tone = material.tone(dot.pitch)
        assert tone is not None
        assert (dot.name, dot.degree, dot.role) == (tone.name, tone.degree, tone.role)


@given(shipped_tunings | own_tunings, materials)
def test_every_dot_sounds_what_it_says(tuning: Tuning, material: Material) -> None:
    for position in positions(tuning, material):
        assert_true(tuning, material, position)


@given(shipped_tunings | own_tunings, materials)
def test_hand_stretches_by_one_fret_at_most(tuning: Tuning, material: Material) -> None:
    for position in positions(tuning, material):
        reached = range(position.fret - 1, position.fret + tuning.reach + 1)
        assert all(dot.fret in reached for dot in position.dots)
        assert all(0 <= dot.finger <= 4 for dot in position.dots)


@given(shipped_tunings, materials)
def test_no_note_between_lowest_and_highest_is_forgotten(
    tuning: Tuning, material: Material
) -> None:
    for position in positions(tuning, material):
        sounding = {dot.pitch for dot in position.dots}
        wanted = {p for p in range(min(sounding), max(sounding) + 1) if material.tone(p)}
        assert wanted == sounding | set(position.missing)
        assert not sounding & set(position.missing)


@given(shipped_tunings | own_tunings, materials)
def test_every_note_within_the_frets_of_a_position_is_there_on_every_string(
    tuning: Tuning, material: Material
) -> None:
    for position in (*positions(tuning, material), *one_position(tuning, [material])):
        assert 0 <= position.frets[0] <= position.frets[1] <= tuning.frets
        assert set(places(position)) == within(tuning, material, position.frets)


@settings(max_examples=examples(30))
@given(st.lists(chords, min_size=1, max_size=4), st.none() | st.integers(1, 12))
def test_chords_under_one_hand_show_every_tone_within_the_frets_that_they_share(
    form: list[Chord], fret: int | None
) -> None:
    together = one_position(GUITAR, [arpeggio(chord) for chord in form], fret)
    assert len({position.frets for position in together}) == 1
    for chord, position in zip(form, together, strict=True):
        assert set(places(position)) == within(GUITAR, arpeggio(chord), position.frets)


@given(st.sampled_from(["guitar", "dadgad"]), materials)
def test_outer_strings_of_one_note_have_the_same_frets(name: str, material: Material) -> None:
    tuning = read_tuning(name)
    for position in (*positions(tuning, material), at_fret(tuning, material, 5)):
        low, high = ([d.fret for d in position.dots if d.string == s] for s in (6, 1))
        assert low == high


@pytest.mark.parametrize("chord", ["C7", "A7", "G7", "E7", "D7", "Am7", "Em7", "Dm7"])
def test_a_chord_that_beginners_hold_with_open_strings_has_its_open_position(chord: str) -> None:
    """Common practice: the open chords."""
    form = {"A7": "A", "Am7": "A", "Em7": "E", "Dm7": "D"}.get(chord, chord[0])
    position = next(p for p in positions(GUITAR, arpeggio(parse_chord(chord))) if p.form == form)
    assert position.frets[0] == 0
    assert position.highest <= 4


def test_open_b7_of_the_guitar_and_open_e7_of_the_ukulele_lie_in_a_position() -> None:
    """Common practice: x21202, and 1202."""
    held = {(5, 2), (4, 1), (3, 2), (2, 0), (1, 2)}
    assert any(held <= set(places(p)) for p in positions(GUITAR, arpeggio(parse_chord("B7"))))
    held = {(4, 1), (3, 2), (2, 0), (1, 2)}
    ukulele = read_tuning("ukulele")
    assert any(held <= set(places(p)) for p in positions(ukulele, arpeggio(parse_chord("E7"))))


@given(materials)
def test_positions_that_begin_at_the_twelfth_fret_lie_at_the_nut(material: Material) -> None:
    assert all(position.lowest < 12 for position in positions(GUITAR, material))


@given(materials)
def test_no_two_of_the_five_positions_are_the_same(material: Material) -> None:
    found = positions(GUITAR, material)
    assert len({position.dots for position in found}) == 5


@given(shipped_tunings, chords, st.integers(1, 11))
def test_transposing_moves_every_place_by_as_many_frets_but_for_stretches_at_the_nut(
    tuning: Tuning, chord: Chord, semitones: int
) -> None:
    here = positions(tuning, arpeggio(chord))
    there = positions(tuning, arpeggio(moved(chord, semitones)))
    for old, new in zip(here, there, strict=True):
        if 1 in (old.fret, new.fret):
            assert {dot.degree for dot in old.dots} == {dot.degree for dot in new.dots}
            continue
        shifts = {b[1] - a[1] for a, b in zip(places(old), places(new), strict=True)}
        assert len(shifts) == 1
        assert shifts.pop() % 12 == semitones


def test_first_position_of_f7_lies_at_the_nut() -> None:
    """Common practice: the flat seventh on the second string, fret 4, in place of fret 11."""
    first = positions(GUITAR, arpeggio(parse_chord("F7")))[0]
    assert (first.fret, first.lowest, first.highest) == (1, 0, 4)
    assert (2, 4) in places(first)


@pytest.mark.parametrize("root", ROOTS)
@pytest.mark.parametrize("name", tunings())
def test_five_positions_begin_with_the_five_notes_of_the_pentatonic(name: str, root: str) -> None:
    tuning = tunings()[name]
    starts = []
    for position in positions(tuning, scale(root, "minor pentatonic")):
        frets = [d.fret for d in position.dots if d.string == tuning.lowest_string]
        starts.append(next(d for d in position.dots if d.string == tuning.lowest_string).degree)
        assert min(frets) < 12 + tuning.reach
    assert starts == ["1", "b3", "4", "5", "b7"]


@pytest.mark.parametrize("scale_name", SCALES)
def test_every_scale_has_five_unbroken_positions_on_the_guitar(scale_name: str) -> None:
    for root in ROOTS:
        found = positions(GUITAR, scale(root, scale_name))
        assert len({position.fret % 12 for position in found}) == 5
        assert all(position.complete and not position.missing for position in found)


@pytest.mark.parametrize("quality", QUALITIES)
def test_every_arpeggio_is_complete_in_each_of_five_positions(quality: str) -> None:
    for root in ROOTS:
        assert all(p.complete for p in positions(GUITAR, arpeggio(parse_chord(root + quality))))


@given(materials, st.integers(1, 20))
def test_at_a_fret_lies_what_the_hand_covers_there(material: Material, fret: int) -> None:
    position = at_fret(GUITAR, material, fret)
    assert_true(GUITAR, material, position)
    covered = {
        (string, at)
        for string in GUITAR.strings
        for at in range(0 if fret == 1 else fret, fret + 4)
        if material.tone(GUITAR.pitch(Place(string, at)))
    }
    assert covered <= set(places(position))
    assert all(at in (fret - 1, fret + 4) for _, at in set(places(position)) - covered)


@pytest.mark.parametrize("fret", [0, 22, -1])
def test_position_off_the_neck_is_an_error_that_says_what_there_is(fret: int) -> None:
    with pytest.raises(GrooveError, match="there are 1 to 21"):
        at_fret(GUITAR, scale("A", "major"), fret)


def test_neck_too_short_is_an_error() -> None:
    with pytest.raises(GrooveError, match="too short"):
        positions(Tuning("toy", (40, 45), ("E", "A"), frets=5), scale("A", "major"))


@pytest.mark.parametrize("tuning", ["guitar", "drop-d", "guitar-7", "bass", "bass-5", "mandolin"])
@pytest.mark.parametrize("key", ROOTS)
def test_one_position_covers_a_whole_blues(key: str, tuning: str) -> None:
    tonic = parse_chord(key + "7")
    together = one_position(
        read_tuning(tuning), [arpeggio(moved(tonic, semitones)) for semitones in (0, 5, 7)]
    )
    assert len({position.fret for position in together}) == 1
    assert all(position.complete for position in together)


@settings(max_examples=examples(30))
@given(shipped_tunings, st.lists(chords, min_size=1, max_size=3), materials)
def test_a_scale_beside_arpeggios_lies_under_the_same_hand(
    tuning: Tuning, form: list[Chord], more: Material
) -> None:
    arpeggios = [arpeggio(chord) for chord in form]
    alone = one_position(tuning, arpeggios)
    *same, other = beside(tuning, arpeggios, [*arpeggios, more])
    for before, here in zip(alone, same, strict=True):
        assert (here.dots, here.fret) == (before.dots, before.fret)
    assert other.fret == alone[0].fret
    assert {position.frets for position in (*same, other)} == {other.frets}
    assert set(places(other)) == within(tuning, more, other.frets)


@settings(max_examples=examples(20))
@given(st.lists(chords, min_size=1, max_size=3), st.integers(1, 11))
def test_one_position_moves_with_the_key(form: list[Chord], semitones: int) -> None:
    here = one_position(GUITAR, [arpeggio(c) for c in form])[0].fret
    there = one_position(GUITAR, [arpeggio(moved(c, semitones)) for c in form])
    same = one_position(GUITAR, [arpeggio(c) for c in form], here)
    # Another hand may be lower on the neck, but none has more of the chords or fewer.
    assert sum(not p.complete for p in there) == sum(not p.complete for p in same)


@pytest.mark.parametrize("key", ROOTS)
def test_hand_does_not_stay_high_up_where_lower_ones_have_every_chord_too(key: str) -> None:
    """A player would not choose to stay high up (common practice)."""
    tonic = parse_chord(key + "maj7")
    ii, sub = moved(parse_chord(key + "m7"), 2), moved(parse_chord(key + "7"), 1)
    together = one_position(GUITAR, [arpeggio(chord) for chord in (ii, sub, tonic)])
    assert all(position.complete for position in together)
    assert together[0].fret <= 10


def test_position_is_data_for_json() -> None:
    position = positions(GUITAR, scale("A", "minor pentatonic"))[0]
    data = json.loads(json.dumps(as_data(position)))
    assert data["dots"][0] == {
        "string": 6, "fret": 5, "pitch": 45, "name": "A", "degree": "1", "role": "root",
        "finger": 1,
    }  # fmt: skip


def test_scale_over_a_chord_is_counted_from_the_chord() -> None:
    tones = scale("A", "minor pentatonic").over(parse_chord("E7")).tones
    assert [(t.name, t.degree, t.role) for t in tones] == [
        ("A", "4", "other"), ("C", "b6", "other"), ("D", "b7", "seventh"), ("E", "1", "root"),
        ("G", "b3", "other"),
    ]  # fmt: skip


def test_blue_note_is_not_shown_as_the_fifth() -> None:
    roles = {tone.degree: tone.role for tone in scale("A", "blues").tones}
    assert (roles["5"], roles["b5"]) == ("fifth", "blue")


@pytest.mark.parametrize("kind", ["minor pentatonic", "major pentatonic"])
def test_hand_lies_where_a_pentatonic_needs_one_stretch_at_most(kind: str) -> None:
    for root in ROOTS:
        for position in positions(GUITAR, scale(root, kind)):
            under = range(position.fret, position.fret + 4)
            assert sum(dot.fret not in under for dot in position.dots if dot.fret) <= 1
