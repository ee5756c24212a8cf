"""Lines as they are written: full bars, tied notes, accidentals, pick-ups."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings

from groove.handout.drawing.staff.clefs import MIDDLE, altered
from groove.handout.drawing.staff.written import Clef, StaffBar, clef_for, written_line
from groove.instrument.fretboard import read_tuning
from groove.lesson.line import SLIDE, LineNote, NoteLine
from groove.rhythm.meter import METERS
from tests.examples import examples
from tests.handout.drawing.staff.staff_material import QUARTER, bars, line, lines, note, tuning_of

STEPS = (0, 2, 4, 5, 7, 9, 11)  # semitones of C D E F G A B
SHARPS = {"double flat": -2, "flat": -1, "natural": 0, "sharp": 1, "double sharp": 2}


def written(made: NoteLine) -> tuple[StaffBar, ...]:
    return written_line(made, clef_for(tuning_of(made)))


@given(lines())
@settings(max_examples=examples(60), deadline=None)
def test_values_fill_each_bar_one_after_the_other(made: NoteLine) -> None:
    for bar in written(made):
        at = bar.begins
        for column in bar.columns:
            assert column.note.start == at
            at = column.note.end
        assert at == bar.bar.length


@given(lines())
@settings(max_examples=examples(60), deadline=None)
def test_notes_last_as_long_as_the_line_says_from_where_it_says(made: NoteLine) -> None:
    found: dict[LineNote, list[int]] = {}
    for bar in written(made):
        for column in bar.columns:
            for head in column.heads:
                span = found.setdefault(head.note, [bar.start + column.note.start, 0])
                assert head.tied == (span[1] > 0)
                span[1] += column.note.length
    assert {n: tuple(span) for n, span in found.items()} == {
        n: (n.start, n.length) for n in made.notes
    }


@given(lines())
@settings(max_examples=examples(60), deadline=None)
def test_read_from_the_staff_each_head_has_its_pitch(made: NoteLine) -> None:
    clef = clef_for(tuning_of(made))
    tied: dict[int, int] = {}
    for bar in written_line(made, clef):
        held: dict[int, int] = {}
        for column in bar.columns:
            for head in column.heads:
                step = head.step + MIDDLE[clef.name]
                letter = "CDEFGAB"[step % 7]
                plain = altered(bar.bar.key.signature, letter)
                if head.sign:
                    held[step] = SHARPS[head.sign]
                over = head.tied and column.note.start == 0
                sharps = tied[step] if over else held.get(step, plain)
                tied[step] = sharps
                pitch = 12 * (step // 7 + 1 - clef.octaves) + STEPS[step % 7] + sharps
                assert pitch == head.note.pitch


@pytest.mark.parametrize("name", METERS)
def test_bar_of_silence_is_one_rest_in_every_metre(name: str) -> None:
    (bar,) = written_line(line([], bars(1, METERS[name])), Clef("treble"))
    (rest,) = bar.columns
    assert rest.note.whole_bar
    assert not rest.heads


def test_pick_up_stands_before_the_first_bar_without_its_rests() -> None:
    made = line([note(-1.5, 0.5, 3, 5), note(-1, 1, 3, 7), note(0, 4, 3, 5)])
    before, first = written_line(made, Clef("treble"))
    assert [column.note.value[0] for column in before.columns] == ["eighth", "quarter"]
    assert (before.number, before.begins, before.chords) == (0, 2.5 * QUARTER, ())
    assert first.number == 1


def test_accidental_is_written_again_after_a_tie_over_the_bar_line() -> None:
    made = line([note(3, 2, 2, 6), note(5, 1, 2, 6), note(6, 1, 2, 6)], bars(2))  # F natural in A
    heads = [
        head for bar in written_line(made, Clef("treble")) for c in bar.columns for head in c.heads
    ]
    assert [head.sign for head in heads] == ["natural", "", "natural", ""]


def test_notes_after_the_last_bar_have_bars_too() -> None:
    made = line([note(0, 1, 3, 5), note(9, 1, 3, 5)])
    assert [bar.number for bar in written_line(made, Clef("treble"))] == [1, 2, 3]


def test_note_ends_where_the_next_begins() -> None:
    made = line([note(0, 3, 3, 5), note(1, 1, 2, 5)])
    (bar,) = written_line(made, Clef("treble"))
    assert [column.note.length for column in bar.columns] == [QUARTER, QUARTER, 2 * QUARTER]


def test_chord_that_goes_on_is_written_once_in_four_bars() -> None:
    made = written_line(line([], bars(6)), Clef("treble"))
    assert [len(bar.chords) for bar in made] == [1, 0, 0, 0, 1, 0]


@pytest.mark.parametrize(
    ("tuning", "clef"),
    [
        ("guitar", ("treble", 1)), ("guitar-7", ("treble", 1)), ("bass", ("bass", 1)),
        ("bass-5", ("bass", 1)), ("ukulele", ("treble", 0)), ("mandolin", ("treble", 0)),
        ("C2 G2 D3 A3", ("treble", 1)),
    ],
)  # fmt: skip
def test_necks_are_written_in_their_clef(tuning: str, clef: tuple[str, int]) -> None:
    found = clef_for(read_tuning(tuning))
    assert (found.name, found.octaves) == clef


def test_double_stop_has_both_heads_in_one_column_the_lowest_first() -> None:
    made = line([note(0, 1, 1, 5), note(0, 1, 2, 5)])
    (bar,) = written_line(made, Clef("treble"))
    assert [head.note.pitch for head in bar.columns[0].heads] == [64, 69]
    assert Fraction(bar.columns[0].note.length, QUARTER) == 1


def test_double_stop_is_slid_as_a_whole() -> None:
    pair = [note(0, 2, 1, 5), note(0, 2, 2, 5), note(2, 2, 2, 7, joined=SLIDE), note(2, 2, 1, 7)]
    (bar,) = written_line(line(pair), Clef("treble"))
    assert [head.note.joined for head in bar.columns[1].heads] == [SLIDE, SLIDE]
