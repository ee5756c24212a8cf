"""Sentences and short lines of a sheet."""

import pytest

import groove
from groove.handout.sheet.markdown import sheet_markdown
from groove.handout.sheet.neck_words import named
from groove.handout.sheet.sheet import write_sheet
from groove.handout.sheet.words import (
    entries,
    names_of,
    names_words,
    plan_rows,
    section_about,
    section_choices,
    section_title,
    tones_line,
)
from groove.lesson.guide import write_guide
from tests.form.road_material import arranged, example


def test_label_of_a_step_names_its_choruses_where_each_step_has_some() -> None:
    made = write_guide(groove.read_form("twelve-bar", tempo=112, choruses=14))
    labels = [label for label, _ in plan_rows(made)]
    assert labels[:3] == ["Choruses 1–2", "Choruses 3–4", "Choruses 5–6"]


def test_a_track_with_fewer_choruses_than_steps_goes_round_without_labels() -> None:
    made = write_guide(groove.read_form("twelve-bar", choruses=3))
    assert not any(label for label, _ in plan_rows(made))


def test_label_of_a_step_in_an_open_line_has_its_name() -> None:
    form = arranged(
        sections=[{"name": "A", "chords": "I IV V I"}],
        order=[{"play": "A", "as": "solos", "times": 28, "open": True}],
    )
    labels = [label for label, _ in plan_rows(write_guide(form))]
    assert labels[0] == "Solos 1–3"


def test_section_is_told_by_its_bars_key_feel_and_lines() -> None:
    sections = {s.name: s for s in write_guide(example("pop-song").form).sections}
    assert section_title(sections["Bridge"]) == (
        "8 bars of 4/4, in D major; medium straight eighths, half-time feel"
    )
    assert section_about(sections["Chorus"]) == ["Played in line 2, breakdown and up a tone."]


def test_scales_of_a_section_that_has_those_of_another_are_not_told_again() -> None:
    sections = write_guide(example("latin-swing-aaba").form).sections
    told = {s.name: row for s, row in zip(sections, section_choices(sections), strict=True)}
    assert told["Coda"] == ("A", [])
    assert told["B"][0] == ""  # other notes to avoid
    assert [before for _, before in told["B"][1]] == ["Intro", "Intro", "Intro"]


@pytest.mark.parametrize(
    ("form", "key", "said"),
    [
        ("jazz-twelve-bar", "Gb", "named letter by letter: B♭♭ is played as A."),
        ("minor-twelve-bar", "Ebm", "named letter by letter: B♭♭ is played as A."),
        ("twelve-bar", "C", ""),
    ],
)
def test_names_with_two_signs_are_explained_once(form: str, key: str, said: str) -> None:
    made = write_sheet(groove.read_form(form, key=key))
    assert names_words(made.guide).endswith(said)
    assert sheet_markdown(made).count("named letter by letter") == bool(said)


@pytest.mark.parametrize(
    ("chords", "line"),
    [
        ("I V/3 vi vi/b7 IV", "G root, B third in the bass, D fifth"),
        ("I I/b7 IV/3 iv6", "C root, E third, G fifth, B♭ seventh in the bass"),
        ("I IV/2 V7 I", "G root in the bass, C fourth, F seventh, A ninth"),
        ("I I/4 V7 I", "C root, E third, G fifth, F in the bass"),
        ("I IV/5 V7 I", "F root, A third, C fifth in the bass"),
        ("I ii7/5 V7 I", "D root, F third, A fifth in the bass, C seventh"),
    ],
)
def test_note_in_the_bass_is_among_the_tones_of_a_slash_chord(chords: str, line: str) -> None:
    sheet = write_sheet(groove.read_form("twelve-bar", key="C", chords=chords))
    assert line in [tones_line(chord) for chord in sheet.guide.chords]


def spoken_of(chords: str, key: str = "C") -> list[str]:
    made = write_sheet(groove.read_form("twelve-bar", key=key, chords=chords))
    return [names_of(entry) for entry in entries(made.guide.chords)]


def test_chords_on_one_root_with_one_answer_are_spoken_of_together() -> None:
    """Bb6 and Bbmaj7, or E7 and E7b9 in A minor, are played alike; common practice."""
    assert spoken_of("Imaj7 ii7 V7 I6") == ["Cmaj7, C6", "Dm7", "G7"]
    assert spoken_of("i7 V7 i7 V7b9", "Am") == ["Am7", "E7, E7♭9"]


def test_chord_over_another_bass_is_spoken_of_and_drawn_with_its_like() -> None:
    assert spoken_of("i7 i7/b7 iv7 V7", "Am") == ["Am7, Am7/G", "Dm7", "E7"]
    made = write_sheet(groove.read_form("twelve-bar", key="Am", chords="i7 i7/b7 iv7 V7"))
    assert [name for name, _ in named(made)] == ["Am7, Am7/G", "Dm7", "E7"]


def test_chords_with_other_answers_have_entries_of_their_own() -> None:
    """G7b9 asks for a flat ninth that G7 has not; common practice."""
    assert spoken_of("Imaj7 V7 Imaj7 V7b9") == ["Cmaj7", "G7", "G7♭9"]
