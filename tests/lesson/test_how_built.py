"""A form's construction in the words of a bandleader (common practice)."""

import pytest

import groove
from groove.handout.sheet.sheet import write_sheet
from groove.handout.sheet.words import form_line
from groove.lesson.guide import write_guide
from groove.lesson.how_built import built, section_scales
from groove.lesson.request import Request
from tests.handout.chart.chart_material import form


def said(name: str, **asked: object) -> str:
    return built(write_guide(groove.read_form(name, **asked)))  # type: ignore[arg-type]


@pytest.mark.parametrize("key", ["Bb", "E"])
def test_form_with_a_bridge_names_its_sections_and_what_the_bridge_is(key: str) -> None:
    bridge = {"Bb": "D7 – G7 – C7 – F7", "E": "G♯7 – C♯7 – F♯7 – B7"}[key]
    assert said("rhythm-changes", key=key) == (
        f"A A B A, eight bars each. The bridge is {bridge}, two bars each, "
        "every one the V of the next."
    )


@pytest.mark.parametrize(
    ("form", "words"),
    [
        ("twelve-bar", "Three lines of four bars: home; IV and back; V, IV, home."),
        (
            "quick-change-twelve-bar",
            "Three lines of four bars: home, IV, home; IV and back; V, IV, home.",
        ),
        ("minor-twelve-bar", "Three lines of four bars: home; iv and back; ♭VI, V, home."),
    ],
)
def test_blues_is_lines_of_four_bars_by_what_they_do(form: str, words: str) -> None:
    assert said(form, turnaround=False) == words


def test_loop_is_four_bars_played_again() -> None:
    assert said("i-vi-iv-v", key="G") == "Four bars, played twice: G – Em – C – D."


def test_nothing_is_said_of_bars_that_make_no_lines() -> None:
    assert said("twelve-bar", chords="I7:4 IV7:3") == ""
    assert said("one-chord-vamp") == ""


def test_blues_is_in_its_key_neither_major_nor_minor() -> None:
    assert "a blues in G;" in form_line(
        write_sheet(groove.read_form("twelve-bar", key="G"), Request())
    )
    assert "in A dorian;" in form_line(
        write_sheet(groove.read_form("minor-vamp", key="Am"), Request())
    )


def test_sections_with_other_scales_are_named_with_theirs() -> None:
    """Dorian for the vamp, natural minor for the changes; common practice."""
    sections = [
        {"name": "Vamp", "chords": "i7:1/2 IV7:1/2 " * 4},
        {"name": "Bridge", "chords": "iv7 bVII7 bIIImaj7 V7"},
    ]
    made = write_guide(form(key="Dm", sections=sections))
    shown = [
        (name, [(title, [str(chord) for chord in chords]) for title, chords in pairs])
        for name, pairs in section_scales(made)
    ]
    assert shown == [
        ("Vamp", [("D dorian", ["Dm7", "G7"])]),
        ("Bridge", [("D natural minor", ["Gm7", "C7", "Fmaj7"]), ("D harmonic minor", ["A7"])]),
    ]


@pytest.mark.parametrize("name", ["rhythm-changes", "twelve-bar"])
def test_sections_with_one_answer_are_not_told_apart(name: str) -> None:
    assert section_scales(write_guide(groove.read_form(name))) == []
