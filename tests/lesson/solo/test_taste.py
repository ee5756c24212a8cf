"""Example solos as a teacher wants them: what is easy to hold, what is sung, and the style."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from groove.form.read import read_form
from groove.instrument.fretboard import Place, read_tuning
from groove.lesson.line import NoteLine
from groove.lesson.solo.make import example_solo
from groove.lesson.solo.shapes import melody
from groove.theory.pitch import NoteName
from tests.lesson.solo.solo_material import lick_breaches
from tests.lesson.solo.taste_material import copies, seesaws, signs, taste_breaches

GUITAR = read_tuning("guitar")
LEARNERS = ("beginner", "intermediate", "advanced")
FORMS = (
    ("twelve-bar", "A", "shuffle", "beginner"),
    ("twelve-bar", "A", "shuffle", "advanced"),
    ("quick-change-twelve-bar", "E", "texas-shuffle", "intermediate"),
    ("twelve-bar", "G", "linear-funk", "advanced"),
    ("one-chord-vamp", "E", "sixteenth-funk", "intermediate"),
    ("descending-minor", "Am", "bossa", "intermediate"),
    ("i-vi-iv-v", "G", "bossa", "advanced"),
    ("minor-twelve-bar", "Cm", "medium-swing", "advanced"),
    ("i-v-vi-iv", "D", "waltz", "intermediate"),
    ("i-vi-iv-v", "C", "slow-ballad", "beginner"),
    ("eight-bar", "C", "slow-blues", "intermediate"),
)


def solo(name: str, key: str, drums: str, learner: str, seed: int = 0) -> NoteLine:
    return example_solo(read_form(name, key=key, drums=drums, learner=learner, seed=seed), GUITAR)


@pytest.mark.parametrize(("name", "key", "drums", "learner"), FORMS)
def test_a_teacher_would_mend_nothing(name: str, key: str, drums: str, learner: str) -> None:
    form = read_form(name, key=key, drums=drums, learner=learner, seed=7)
    assert list(taste_breaches(form, example_solo(form, GUITAR))) == []


@pytest.mark.parametrize(("key", "fret"), [("E", 12), ("F", 13)])
def test_box_one_at_the_nut_is_for_beginners_and_an_octave_up_for_others(
    key: str, fret: int
) -> None:
    low, *high = (solo("twelve-bar", key, "shuffle", learner) for learner in LEARNERS)
    assert low.position < 3
    assert all(line.position == fret for line in high)
    assert all(n.place and n.place.fret >= fret - 1 for line in high for n in line.notes)
    assert example_solo(read_form("twelve-bar", key=key), read_tuning("bass")).position < 3


def test_low_bends_and_stretches_are_breaches() -> None:
    form = read_form("twelve-bar", key="A", learner="advanced")
    line = example_solo(form, GUITAR)
    first = line.notes[0]
    bent = replace(
        first, pitch=57, name=NoteName.parse("A"), place=Place(3, 2), finger=2, bend=Fraction(2),
        release=True,
    )  # fmt: skip
    found = list(lick_breaches(form, GUITAR, replace(line, notes=(bent, *line.notes[1:]))))
    assert "a full bend at fret 2" in found


def test_a_see_saw_a_copy_and_a_note_struck_over_the_bar_line_are_breaches() -> None:
    form = read_form("twelve-bar", key="A")
    line = example_solo(form, GUITAR)
    a, b = (next(n for n in line.notes if n.pitch % 12 == pc) for pc in (9, 4))
    rocking = [
        replace((a, b)[n % 2], start=480 * n, length=480, bend=Fraction(0)) for n in range(6)
    ]
    over = [
        replace(a, start=3360, length=480, bend=Fraction(0)),
        replace(a, start=3840, length=960),
    ]
    again = [replace(n, start=n.start + 15360) for n in (*rocking, *over)]
    poor = replace(line, notes=(*rocking, *over, *again))
    assert seesaws(poor) == 8
    assert copies(poor) == 1
    found = " ".join(taste_breaches(form, poor))
    assert all(word in found for word in ("see-saws", "copied", "struck again"))


def test_a_flat_key_has_its_own_names() -> None:
    for name, key in (("minor-twelve-bar", "Cm"), ("rhythm-changes", "Bb")):
        for seed in range(2):
            line = solo(name, key, "medium-swing", "advanced", seed)
            assert not {"A#", "D#"} & {str(note.name) for note in line.notes}


def test_advanced_swing_has_runs_and_funk_sixteenths() -> None:
    swing = signs(solo("jazz-twelve-bar", "F", "medium-swing", "advanced"))
    funk = signs(solo("one-chord-vamp", "E", "sixteenth-funk", "intermediate"))
    assert min(swing["run"], swing["approach"], funk["sixteenths"], funk["stab"]) >= 2


def test_the_last_note_stands_over_the_last_chord_or_home() -> None:
    for learner in LEARNERS:
        line = solo("i-vi-iv-v", "C", "slow-ballad", learner)
        last = melody(line)[-1]
        assert str(line.chord_at(last.start)) == "G"
        assert last.name in line.chord_at(last.start).notes  # type: ignore[union-attr]
