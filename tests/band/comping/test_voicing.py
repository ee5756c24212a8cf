"""Every chord has voicings in every key that can be played and that characterise the chord."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import pytest

from groove import library
from groove.band.comping.ranked_voicings import voicings
from groove.band.comping.voicing import Voicing, VoicingRules, colour_degrees, figure_interval
from groove.rhythm.patterns import comping_pattern
from groove.theory.chords import Chord, parse_chord
from groove.theory.quality import parse_quality
from tests.band.band_material import EVERY

ROOTS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
QUALITIES = (
    "", "m", "dim", "+", "5", "sus4", "sus2", "add9", "madd9", "6", "m6", "6/9", "m6/9", "7",
    "maj7", "m7", "m7b5", "dim7", "m(maj7)", "7sus4", "9", "maj9", "m9", "9sus4", "11", "m11",
    "13", "maj13", "m13", "13sus4", "7b9", "7#9", "7b5", "7#5", "7#11", "maj7#11", "13b9", "9#5",
    "7alt", "/E",
)  # fmt: skip
OPEN_STRINGS = {1: 64, 2: 59, 3: 55, 4: 50, 5: 45, 6: 40}  # E4 B3 G3 D3 A2 E2 (common practice)
TENTH, FOURTH, E3 = 16, 5, 52  # semitones, semitones, MIDI note


@cache
def all_rules() -> list[VoicingRules]:
    """The rules that the shipped idioms ask for."""
    every = [comping_pattern(name) for name in library.names("comping")]
    wanted = {VoicingRules(p.voicing, *p.register, p.voices, p.octave) for p in every}
    return sorted(wanted, key=str)


GUITARS = [rules for rules in all_rules() if rules.kind == "guitar"]
KEYBOARDS = [rules for rules in all_rules() if rules.kind == "keys"]


@cache
def chords(rules: VoicingRules) -> list[Chord]:
    """Each quality on four roots, others for the next rules, so that all roots have their turn; on
    every root where every pattern is to be tried."""
    turn = all_rules().index(rules)
    return [
        parse_chord(root + quality)
        for place, root in enumerate(ROOTS)
        for number, quality in enumerate(QUALITIES)
        if EVERY or (place + number + turn) % 3 == 0
    ]


@cache
def all_voicings(rules: VoicingRules) -> list[tuple[Chord, Voicing]]:
    return [
        (chord, voicing)
        for chord in chords(rules)
        for coloured in (False, True)
        for voices in range(2, rules.voices + 1)
        for voicing in voicings(chord, rules, coloured, voices)
    ]


def guide_tones(chord: Chord) -> set[int]:
    """Third (or what is suspended in its place) and seventh (or sixth), read from the symbol's
    degrees (common practice)."""
    steps = {degree.number: degree.semitones for degree in chord.quality.degrees}
    third = steps.get(3, steps.get(4, steps.get(2)))
    seventh = steps.get(7, steps.get(6))
    return {(chord.root.pitch_class + s) % 12 for s in (third, seventh) if s is not None}


@pytest.mark.parametrize("rules", all_rules(), ids=str)
def test_every_chord_has_a_voicing_of_three_notes_in_every_key(rules: VoicingRules) -> None:
    """A power chord has two on the keys."""
    for chord in chords(rules):
        least = 2 if chord.quality.suffix == "5" else 3
        found = [voicings(chord, rules, False, n) for n in range(least, rules.voices + 1)]
        assert any(found), chord


@pytest.mark.parametrize("rules", all_rules(), ids=str)
def test_every_voicing_sounds_the_guide_tones(rules: VoicingRules) -> None:
    for chord, voicing in all_voicings(rules):
        assert guide_tones(chord) <= {pitch % 12 for pitch in voicing.pitches}, (chord, voicing)


@pytest.mark.parametrize("rules", all_rules(), ids=str)
def test_every_voicing_lies_in_its_register(rules: VoicingRules) -> None:
    for _, voicing in all_voicings(rules):
        assert rules.low <= voicing.pitches[0] <= voicing.pitches[-1] <= rules.high


@pytest.mark.parametrize("rules", all_rules(), ids=str)
def test_no_eleventh_stands_over_a_major_third(rules: VoicingRules) -> None:
    """The avoid-note of a major third (common practice)."""
    for chord, voicing in all_voicings(rules):
        root = chord.root.pitch_class
        heard = {(pitch - root) % 12 for pitch in voicing.pitches}
        assert not {4, 5} <= heard, (chord, voicing)


@pytest.mark.parametrize("rules", GUITARS, ids=str)
def test_a_guitar_voicing_is_a_shape_for_one_hand(rules: VoicingRules) -> None:
    for chord, voicing in all_voicings(rules):
        assert len(set(voicing.strings)) == len(voicing.pitches)
        reached = [OPEN_STRINGS[s] + f for s, f in zip(voicing.strings, voicing.frets, strict=True)]
        assert tuple(reached) == voicing.pitches
        lowest, highest = min(voicing.frets), max(voicing.frets)
        assert highest - lowest < (5 if lowest > 7 else 4), (chord, voicing)


@pytest.mark.parametrize("rules", KEYBOARDS, ids=str)
def test_a_keyboard_voicing_fits_a_hand_and_is_clear_below(rules: VoicingRules) -> None:
    """Within a tenth; a fourth at least above a note under E3 (common practice)."""
    for chord, voicing in all_voicings(rules):
        assert voicing.pitches[-1] - voicing.pitches[0] <= TENTH
        for low, high in pairwise(voicing.pitches):
            assert low >= E3 or high - low >= FOURTH, (chord, voicing)


@pytest.mark.parametrize(
    ("suffix", "colours"),
    [
        ("", ""), ("m", ""), ("add9", ""), ("+", ""), ("dim7", ""), ("m7b5", ""), ("7alt", ""),
        ("7b9", ""), ("7#9", ""), ("7#5", ""), ("7#11", ""), ("sus4", ""), ("5", ""),
        ("7", "9 13"), ("m7", "9"), ("maj7", "9"), ("6", "9"), ("m6", "9"), ("7sus4", "9"),
        ("m(maj7)", "9"),
    ],
)  # fmt: skip
def test_a_colour_is_added_only_where_the_chord_allows_it(suffix: str, colours: str) -> None:
    """Common practice: none on a triad or on what is altered, added to or diminished."""
    assert " ".join(str(d) for d in colour_degrees(parse_quality(suffix))) == colours


@pytest.mark.parametrize(
    ("suffix", "semitones"),
    [
        ("7", (7, 9, 10)), ("9", (7, 9, 10)), ("", (7, 9, 9)), ("5", (7, 9, 9)),
        ("maj7", (7, 9, 9)), ("m7", (7, 7, 10)), ("m6", (7, 9, 9)), ("m7b5", (6, 6, 10)),
        ("dim7", (6, 6, 9)), ("7#5", (8, 8, 10)), ("7sus4", (7, 7, 10)),
    ],
)  # fmt: skip
def test_the_figure_in_sixths_keeps_to_its_chord(suffix: str, semitones: tuple[int, ...]) -> None:
    """5 6 b7 over a dominant; elsewhere what the chord has for them (common practice)."""
    quality = parse_quality(suffix)
    assert tuple(figure_interval(quality, number) for number in (5, 6, 7)) == semitones
