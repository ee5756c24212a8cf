"""Sentences on changes: true, and the brief ones as full as the long ones."""

import re

from hypothesis import given

from groove.lesson.change_words import brief_sentences, change_sentences, degree_words
from groove.theory.chords import Chord, parse_chord
from groove.theory.motion import change, tones
from groove.theory.pitch import NoteName
from groove.theory.symbols import symbol
from groove.wording import words_of
from tests.lesson.guide_material import guide
from tests.theory.chord_material import CHORDS

NAME = re.compile(r"\b[A-G][♭♯]*(?=[ ,])")


MOVE = re.compile(
    r"(\S+), the ([a-z ]+) of (\S+), (rises|falls) (a .+) to (\S+), the ([a-z ]+) of (\S+)\."
)


@given(CHORDS, CHORDS)
def test_sentences_name_tones_of_the_chords_named_and_true_sizes(
    before: Chord, after: Chord
) -> None:
    for sentence in change_sentences(change(before, after)):
        match = MOVE.fullmatch(sentence)
        if not match:
            assert re.fullmatch(
                r"No note stays\.|All notes stay\.|.+ is new\.|\S+ stays.+\.|The bass .+\.",
                sentence,
            )
            continue
        start, start_degree, _, way, size, end, end_degree, _ = match.groups()
        sizes = words_of("changes")["sizes"]
        semitones = next(int(n) for n, words in sizes.items() if words == size)
        signed = semitones if way == "rises" else -semitones
        first, last = NoteName.parse(start), NoteName.parse(end)
        assert (first.pitch_class + signed - last.pitch_class) % 12 == 0
        for chord, name, words in ((before, first, start_degree), (after, last, end_degree)):
            assert [degree_words(t.degree) for t in tones(chord) if t.name == name] == [words]


@given(CHORDS, CHORDS)
def test_brief_sentences_say_as_much_as_the_long_ones(before: Chord, after: Chord) -> None:
    made = change(before, after)
    long, brief = change_sentences(made), brief_sentences(made)
    assert len(long) == len(brief)
    for whole, short in zip(long, brief, strict=True):
        for chord in (before, after):
            whole = whole.replace(f" of {symbol(chord)}", "")
        assert NAME.findall(short) == NAME.findall(whole)


def test_guide_tone_that_none_leads_to_comes_from_the_nearest_tone() -> None:
    """E of Am7 falls to the Eb of F7; common practice."""
    sentences = change_sentences(change(parse_chord("Am7"), parse_chord("F7")))
    assert "E, the fifth of Am7, falls a half step to E♭, the seventh of F7." in sentences
    assert not any("is new" in sentence for sentence in sentences)


def test_bass_line_of_slash_chords_is_said() -> None:
    """A - G - F under Am, Am/G and F; common practice."""
    made = guide("i i/b7 bVI V7", "Am")
    said_of = [entry.sentences[-1] for entry in made.changes[:2]]
    assert said_of == ["The bass steps down from A to G.", "The bass steps down from G to F."]


def test_a_third_that_stays_a_third_is_said_once_also_where_one_is_minor() -> None:
    made = change(parse_chord("Bb7"), parse_chord("Bdim7"))
    assert "D stays, the third of both." in brief_sentences(made)
