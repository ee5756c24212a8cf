"""What stays and what moves between chords."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from groove.theory.chords import Chord, parse_chord
from groove.theory.motion import change, degree_between, guide_lines, guide_tones, tones
from groove.theory.pitch import NoteName

ROOTS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
SUFFIXES = (
    "", "m", "7", "m7", "maj7", "6", "m6", "m7b5", "dim", "dim7", "+", "7#5", "7b9", "7#9", "7alt",
    "sus4", "sus2", "7sus4", "5", "9", "13", "maj9", "6/9", "m(maj7)", "add9",
)  # fmt: skip
CHORDS = st.builds(
    lambda root, suffix: parse_chord(root + suffix),
    st.sampled_from(ROOTS),
    st.sampled_from(SUFFIXES),
)


def guides(symbol: str) -> list[str]:
    return [str(tone.name) for tone in guide_tones(parse_chord(symbol))]


def test_guide_tones_are_third_and_seventh_or_what_stands_for_them() -> None:
    """Common practice."""
    symbols = ("D7", "Cmaj7", "C6", "C", "G7sus4", "Bdim7", "Bdim", "C5")
    assert [guides(symbol) for symbol in symbols] == [
        ["F#", "C"], ["E", "B"], ["E", "A"], ["E", "G"], ["C", "F"], ["D", "Ab"], ["D", "F"],
        ["C", "G"],
    ]  # fmt: skip


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


@given(st.integers(-8, 12), st.integers(-8, 12))
def test_degree_between_two_notes_leads_from_one_to_the_other(home: int, name: int) -> None:
    assert NoteName(home) + degree_between(NoteName(home), NoteName(name)) == NoteName(name)


@given(st.lists(CHORDS, min_size=2, max_size=6))
def test_guide_lines_go_to_the_nearest_tone_that_is_theirs(chords: list[Chord]) -> None:
    triads = any(chord.quality.seventh is None for chord in chords)
    for line in guide_lines(chords):
        for (before, after), chord in zip(pairwise(line), chords[1:], strict=True):
            own = tones(chord) if triads else guide_tones(chord)
            ups = [(t.name.pitch_class - before.name.pitch_class) % 12 for t in own]
            way = (after.name.pitch_class - before.name.pitch_class) % 12
            assert after in own
            assert min(way, 12 - way) == min(min(up, 12 - up) for up in ups)


def test_guide_lines_begin_on_third_and_seventh_of_a_triad_on_third_and_root() -> None:
    """Common practice."""
    begun = [[str(line[0].name) for line in guide_lines([parse_chord(c)])] for c in ("G7", "G")]
    assert begun == [["B", "F"], ["B", "G"]]
