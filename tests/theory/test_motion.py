"""Voice leading: tones that stay and tones that move between chords."""

from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.theory.chords import Chord, parse_chord
from groove.theory.motion import ChordTone, change, degree_between, guide_lines, guide_tones, tones
from groove.theory.pitch import Degree, NoteName
from tests.theory.chord_material import CHORDS


def guides(symbol: str) -> list[str]:
    return [str(tone.name) for tone in guide_tones(parse_chord(symbol))]


def test_guide_tones_are_third_and_seventh_or_what_stands_for_them() -> None:
    """Common practice: a perfect fifth tells nothing, a flat or a sharp one does."""
    symbols = ("D7", "Cmaj7", "C6", "C", "Am", "Csus4", "G7sus4", "Bdim7", "Bdim", "C+", "C5")
    assert [guides(symbol) for symbol in symbols] == [
        ["F#", "C"], ["E", "B"], ["E", "A"], ["E"], ["C"], ["F"], ["C", "F"], ["D", "Ab"],
        ["D", "F"], ["E", "G#"], ["C"],
    ]  # fmt: skip


@given(CHORDS)
def test_perfect_fifth_is_no_guide_tone(chord: Chord) -> None:
    """Common practice."""
    assert Degree(5) not in {tone.degree for tone in guide_tones(chord)}


@given(CHORDS, CHORDS)
def test_tone_that_stays_does_not_move_and_none_moves_twice(before: Chord, after: Chord) -> None:
    made = change(before, after)
    stay = {step.start for step in made.stays}
    moves = [*made.guides, *made.arrivals, *([made.root] if made.root else [])]
    starts = [step.start for step in moves]
    assert stay.isdisjoint(starts)
    assert len(set(starts)) == len(starts)
    assert all(step.semitones for step in moves)


@pytest.mark.parametrize(
    ("before", "after", "step"),
    [
        ("F7", "F#dim7", ("F", "F#", 1)), ("Bbmaj7", "Bdim7", ("Bb", "B", 1)),
        ("C#dim7", "Dm7", ("C#", "D", 1)), ("F#dim7", "C7", ("F#", "G", 1)),
        ("Em7", "Ebdim7", ("E", "Eb", -1)), ("Ebdim7", "Dm7", ("Eb", "D", -1)),
        ("Cdim7", "Cmaj7", None), ("G7", "C", None), ("Bm7b5", "C", None),
    ],
)  # fmt: skip
def test_half_step_of_the_root_into_and_out_of_a_diminished_chord(
    before: str, after: str, step: tuple[str, str, int] | None
) -> None:
    """Common practice: that half step is what such a chord is there for."""
    root = change(parse_chord(before), parse_chord(after)).root
    assert (root and (str(root.start.name), str(root.end.name), root.semitones)) == step


@given(CHORDS, CHORDS)
def test_every_step_leads_from_a_tone_of_one_chord_to_a_tone_of_the_next(
    before: Chord, after: Chord
) -> None:
    made = change(before, after)
    for step in (*made.stays, *made.guides):
        assert before.root + step.start.degree == step.start.name
        assert after.root + step.end.degree == step.end.name
        distance = step.end.name.pitch_class - step.start.name.pitch_class
        assert (distance - step.semitones) % 12 == 0
        assert -5 <= step.semitones <= 6


@given(CHORDS, CHORDS)
def test_all_common_tones_stay(before: Chord, after: Chord) -> None:
    common = {n.pitch_class for n in before.notes} & {n.pitch_class for n in after.notes}
    assert {step.start.name.pitch_class for step in change(before, after).stays} == common


@given(CHORDS, CHORDS)
def test_no_two_guide_tones_go_to_one_tone(before: Chord, after: Chord) -> None:
    ends = [step.end for step in change(before, after).guides]
    assert len(set(ends)) == len(ends)


def test_seventh_falls_to_the_third_in_a_fall_by_fifths() -> None:
    """Common practice."""
    steps = change(parse_chord("D7"), parse_chord("G7")).guides
    assert [(str(s.start.name), str(s.end.name), s.semitones) for s in steps] == [
        ("F#", "F", -1),
        ("C", "B", -1),
    ]


@pytest.mark.parametrize(
    ("before", "after", "ways"),
    [
        ("C7", "Eb7", [("E", "Eb")]),  # a half step to the root, not a third to G; Bb stays
        ("C7", "Dmaj7", [("E", "F#"), ("Bb", "A")]),
        ("C7", "F7", [("E", "Eb"), ("Bb", "A")]),  # to guide tones where they are as near
    ],
)
def test_guide_tone_goes_to_a_guide_tone_unless_another_is_much_nearer(
    before: str, after: str, ways: list[tuple[str, str]]
) -> None:
    """Common practice: the voices move as little as they can."""
    steps = change(parse_chord(before), parse_chord(after)).guides
    assert [(str(s.start.name), str(s.end.name)) for s in steps] == ways


@given(st.integers(-8, 12), st.integers(-8, 12))
def test_degree_between_two_notes_leads_from_one_to_the_other(home: int, name: int) -> None:
    assert NoteName(home) + degree_between(NoteName(home), NoteName(name)) == NoteName(name)


@given(st.lists(CHORDS, min_size=2, max_size=6))
def test_guide_lines_take_two_tones_of_each_chord_and_move_least(chords: list[Chord]) -> None:
    triads = any(chord.quality.seventh is None for chord in chords)

    def far(before: tuple[ChordTone, ...], after: tuple[ChordTone, ...]) -> int:
        ups = [
            (b.name.pitch_class - a.name.pitch_class) % 12
            for a, b in zip(before, after, strict=True)
        ]
        return sum(min(up, 12 - up) for up in ups)

    pairs = list(zip(*guide_lines(chords), strict=True))
    for (before, after), chord in zip(pairwise(pairs), chords[1:], strict=True):
        own = tones(chord) if triads else guide_tones(chord)
        assert set(after) <= set(own)
        assert after[0] != after[1]
        assert far(before, after) == min(far(before, pair) for pair in permutations(own, 2))


def test_guide_lines_of_a_minor_blues_stay_apart() -> None:
    """A falls to G# as Eb falls to D, and not both from A; common practice."""
    chords = [parse_chord(c) for c in ["Am7", "Dm7", "Am7", "F7", "E7", "Am7"]]
    lines = [" ".join(str(tone.name) for tone in line) for line in guide_lines(chords)]
    assert lines == ["C C C Eb D C", "G F G A G# G"]


def test_guide_lines_begin_on_third_and_seventh_of_a_triad_on_third_and_root() -> None:
    """Common practice."""
    begun = [[str(line[0].name) for line in guide_lines([parse_chord(c)])] for c in ("G7", "G")]
    assert begun == [["B", "F"], ["B", "G"]]
