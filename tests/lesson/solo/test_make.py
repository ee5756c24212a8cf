"""Solos and answers keep their laws: range, rests, chord tones, bends, motif, box one."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest

from groove.form.model import Form
from groove.form.read import read_form
from groove.instrument.fretboard import read_tuning
from groove.lesson.line import NoteLine
from groove.lesson.solo.ground import ground_of
from groove.lesson.solo.make import answers, example_solo
from groove.lesson.solo.shapes import alike, melody, phrases
from tests.lesson.solo.solo_material import breaches, ends_home

GUITAR = read_tuning("guitar")
LEARNERS = ("beginner", "intermediate", "advanced")
BLUES = read_form("twelve-bar", key="A")
FORMS = (
    ("twelve-bar", "A", "shuffle"),
    ("jazz-twelve-bar", "F", "medium-swing"),
    ("minor-twelve-bar", "Cm", "minor-twelve-eight"),
    ("i-v-vi-iv", "G", "waltz"),
    ("minor-vamp", "Dm", "five-swing"),
    ("one-chord-vamp", "E", "sixteenth-funk"),
    ("rhythm-changes", "Bb", "bossa"),
    ("descending-minor", "Am", "seven-eight"),
)


def solo(name: str, key: str, drums: str, learner: str, seed: int = 0) -> NoteLine:
    return example_solo(read_form(name, key=key, drums=drums, learner=learner, seed=seed), GUITAR)


@pytest.mark.parametrize("learner", LEARNERS)
@pytest.mark.parametrize(("name", "key", "drums"), FORMS)
def test_solos_and_answers_keep_their_laws(name: str, key: str, drums: str, learner: str) -> None:
    form = read_form(name, key=key, drums=drums, learner=learner)
    line = example_solo(form, GUITAR)
    assert line.notes
    assert list(breaches(form, GUITAR, line)) == []
    assert ends_home(ground_of(form, 0), line)
    assert list(breaches(form, GUITAR, answers(form, GUITAR))) == []


@pytest.mark.parametrize("learner", LEARNERS)
def test_the_motif_of_a_blues_comes_back(learner: str) -> None:
    for seed in range(3):
        found = phrases(solo("twelve-bar", "A", "shuffle", learner, seed))
        assert any(alike(a, b) for a, b in combinations(found, 2))


@pytest.mark.parametrize("learner", LEARNERS)
def test_the_highest_note_of_a_blues_stands_in_its_third_line(learner: str) -> None:
    for seed in range(3):
        line = solo("twelve-bar", "A", "shuffle", learner, seed)
        highest = max(note.sounding for note in melody(line))
        at = [note.start for note in melody(line) if note.sounding == highest]
        assert all(line.bars[7].start <= tick < line.bars[10].start for tick in at)


def test_the_same_form_gives_the_same_solo_and_another_seed_another() -> None:
    again = read_form("twelve-bar", key="A")
    assert example_solo(BLUES, GUITAR) == example_solo(again, GUITAR)
    assert example_solo(BLUES, GUITAR) != example_solo(replace(BLUES, seed=BLUES.seed + 1), GUITAR)


@pytest.mark.parametrize("learner", LEARNERS)
def test_movable_keys_have_the_same_solo(learner: str) -> None:
    """From A to C the hand goes up three frets and nothing else changes."""
    low, high = (solo("twelve-bar", key, "shuffle", learner) for key in ("A", "C"))
    assert [n.pitch + 3 for n in low.notes] == [n.pitch for n in high.notes]
    assert [(n.start, n.length, n.joined) for n in low.notes] == [
        (n.start, n.length, n.joined) for n in high.notes
    ]


def test_answers_are_two_bars_played_and_two_bars_of_rest() -> None:
    for learner in LEARNERS:
        form = replace(BLUES, lesson=replace(BLUES.lesson, learner=learner))
        line = answers(form, GUITAR)
        bars = {sum(bar.start <= note.start for bar in line.bars) - 1 for note in line.notes}
        assert {bar // 4 for bar in bars} == {0, 1, 2}
        assert all(bar % 4 < 2 for bar in bars)


def test_the_five_of_a_blues_has_its_major_third_in_the_first_chorus_alone() -> None:
    form = read_form("twelve-bar", key="A", choruses=2)
    over_five = []
    for number in (0, 1):
        line = example_solo(form, GUITAR, round=number)
        over_five.append({str(n.name) for n in line.notes if str(line.chord_at(n.start)) == "E7"})
    assert "G#" in over_five[0]
    assert "G#" not in over_five[1]


def test_without_a_neck_the_melody_is_the_same_in_a_comfortable_octave() -> None:
    on_neck, plain = example_solo(BLUES, GUITAR), example_solo(BLUES, None)
    moves = {b.pitch - int(a.sounding) for a, b in zip(on_neck.notes, plain.notes, strict=True)}
    assert len(moves) == 1
    assert moves.pop() % 12 == 0
    assert all(n.place is None and not n.bend for n in plain.notes)
    assert all(52 <= n.pitch <= 86 for n in plain.notes)


@pytest.mark.parametrize("tuning", ["bass", "ukulele", "mandolin", "dadgad", "E2"])
def test_other_instruments_have_a_line_in_their_range(tuning: str) -> None:
    neck = read_tuning(tuning)
    line = example_solo(BLUES, neck)
    assert line.notes
    assert all(n.place and neck.pitch(n.place) == n.pitch for n in line.notes)


def written(folder: Path, chords: str) -> Form:
    path = folder / "form.toml"
    path.write_text(f'title = "A"\nkey = "A"\nchords = "{chords}"\nchoruses = 1\n')
    return read_form(str(path))


def test_no_chord_is_a_rest(tmp_path: Path) -> None:
    line = example_solo(written(tmp_path, "I7:2 N.C.:2 IV7:2 I7:2"), GUITAR)
    assert line.notes
    assert not any(line.bars[2].start <= n.start < line.bars[3].end for n in line.notes)


@pytest.mark.parametrize("bars", [1, 2, 3, 5, 7, 200])
def test_forms_of_every_length_have_a_solo(bars: int, tmp_path: Path) -> None:
    form = written(tmp_path, f"I7:{bars}")
    line = example_solo(form, GUITAR)
    assert line.notes
    assert list(breaches(form, GUITAR, line)) == []
