"""Notes of melodies and riffs as text."""

from __future__ import annotations

from fractions import Fraction

import pytest

from groove.rhythm.meter import Meter
from groove.rhythm.note_line import (
    in_bars,
    parse_notes,
    read_instrument,
    read_melody,
    read_riffs,
)

FOUR, SEVEN, SIX = (Meter.parse(name) for name in ("4/4", "7/8", "6/8"))


def written(text: str) -> list[tuple[str, Fraction]]:
    return [
        (str(note.name or note.degree or "-") + ("," * note.down), note.beats)
        for note in parse_notes(text)
    ]


def test_a_colon_is_beats_and_one_is_usual() -> None:
    assert written("1:3/2 b3:1/2 3 -") == [
        ("1", Fraction(3, 2)), ("b3", Fraction(1, 2)), ("3", Fraction(1)), ("-", Fraction(1)),
    ]  # fmt: skip
    assert written("F#4:2 Bb3:.5 -:4") == [("F#", 2), ("Bb", Fraction(1, 2)), ("-", 4)]


def test_a_name_has_its_pitch_and_its_spelling() -> None:
    notes = parse_notes("C4 F#4 Bb3 Cb5")
    assert [note.pitch for note in notes] == [60, 66, 58, 71]


def test_a_dash_below_is_an_octave_down() -> None:
    assert written("_5 _b7 __1") == [("5,", 1), ("b7,", 1), ("1,,", 1)]


def test_b3_is_a_degree_and_capital_b3_a_note() -> None:
    degree, name = parse_notes("b3 B3")
    assert str(degree.degree) == "b3"
    assert name.pitch == 59


@pytest.mark.parametrize(
    ("text", "meters"),
    [
        ("| F#4:2 E4:2 | E4:4 |", [FOUR, FOUR]),
        ("F4:6 E4:2", [FOUR, FOUR]),  # a note may last over a bar line
        ("| F4:7/2 | E4:4 |", [SEVEN, FOUR]),
        ("| F4 E4:1/3 E4:1/3 E4:1/3 |", [SIX, SIX]),  # beats are dotted quarters
        ("F4:4", [FOUR, FOUR]),  # a melody may end before its section
    ],
)
def test_notes_that_fill_whole_bars_are_right(text: str, meters: list[Meter]) -> None:
    in_bars(parse_notes(text), meters)


def test_a_note_begins_in_its_bar_and_may_go_on_over_the_bar_line() -> None:
    first, second = in_bars(parse_notes("F4 G4:7/2 A4:2 B4:1"), [FOUR, SEVEN])
    assert [(n.at, n.length) for n in first] == [(0, 960), (960, 3360)]
    assert [(n.at, n.length) for n in second] == [(480, 1920), (2400, 960)]


def test_a_riff_goes_round_in_whole_bars() -> None:
    in_bars(parse_notes("| 1:4 | 5:4 |"), [FOUR], around=True)
    with pytest.raises(ValueError, match="bar 2 has 3 of the 4 beats of 4/4; add 1"):
        in_bars(parse_notes("| 1:4 | 5:3 |"), [FOUR], around=True)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("| F4:3 | E4:4 |", "bar 1 has 3 of the 4 beats of 4/4; add 1, as -:1"),
        ("F4:5 | E4:3 |", "bar 2 has 1 of the 4 beats of 4/4; take 1 away or add 3"),
        ("F4:7/2", "bar 1 has 3 1/2 of the 4 beats of 4/4; add 1/2, as -:1/2"),
        ("F4:12", "longer than the 2 bars"),
    ],
)
def test_a_bar_that_is_not_full_is_named_with_what_it_lacks(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        in_bars(parse_notes(text), [FOUR, FOUR])


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "no notes"),
        ("| |", "no notes"),
        ("F#", "note 1, 'F#': a note name needs its octave, as in F#4"),
        ("C4 f#4", "note 2, 'f#4': note names begin with a capital, F#4"),
        ("H4", "German H is B here"),
        ("X4", "no note; notes look like"),
        ("14", "degrees go from 1 to 13"),
        ("0", "degrees go from 1 to 13"),
        ("1:", "'' is no number of beats"),
        ("1:0", "0 beats"),
        ("1:1/7", "1/7 beats; write beats"),
        ("1:1/0", "'1/0' is no number of beats"),
        ("1:9999", "9999 beats"),
        ("C12", "MIDI has notes from"),
        ("1 " * 20_001, "more than 20,000 notes"),
    ],
)
def test_a_word_that_is_no_note_is_named_with_the_remedy(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        parse_notes(text)


def test_an_instrument_is_found_in_any_case_with_hyphens_or_spaces() -> None:
    assert {read_instrument(t) for t in ("tenor sax", "Tenor-Sax", "TENOR SAX")} == {"tenor sax"}
    with pytest.raises(ValueError, match="did you mean tenor sax"):
        read_instrument("tenor saxx")
    with pytest.raises(ValueError, match="its name in General MIDI"):
        read_instrument("qqqqq")


def test_a_melody_is_text_or_a_table() -> None:
    plain = read_melody("| C4:4 |")
    full = read_melody({"notes": "| 1:4 |", "instrument": "Flute", "from": "key"})
    assert (plain.instrument, plain.from_key) == ("", False)
    assert (full.instrument, full.from_key, full.beats) == ("flute", True, 4)


def test_a_riff_has_name_instrument_and_notes() -> None:
    (riff,) = read_riffs(
        [{"name": "tenor", "instrument": "tenor sax", "notes": "1:3/2 b3:1/2 3 -"}]
    )
    assert riff.name == "tenor"
    assert riff.instrument == "tenor sax"
    assert riff.beats == 4


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ("tenor", r"write each as \[\[riffs\]\]"),
        ([{"notes": "1"}], "riff 1 has no name"),
        ([{"name": "a", "notes": "1"}, {"name": "a", "notes": "1"}], "two riffs are named 'a'"),
        ([{"name": "a"}], "riff 'a': no notes"),
        ([{"name": "a", "notes": 1}], "riff 'a': notes: found '1', which is no text"),
        ([{"name": "a", "notes": "1", "form": "key"}], "unknown field 'form'; did you mean from"),
        ([{"name": "a", "notes": "1", "from": "keys"}], "from: found 'keys'; did you mean key"),
    ],
)
def test_a_fault_in_a_riff_names_it(value: object, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        read_riffs(value)
