"""A phrase on the sheet: as it was written first, its lengths, and the notes that clash."""

from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import groove
from groove.form.model import Form
from groove.form.readers import READERS
from groove.handout.drawing.page import PAPERS, Glyph, Text
from groove.handout.sheet.data import sheet_data
from groove.handout.sheet.markdown import sheet_markdown
from groove.handout.sheet.pages import sheet_pages
from groove.handout.sheet.phrase_blocks import note_lengths
from groove.handout.sheet.sheet import write_sheet
from groove.instrument.fingerings import Placement, placements
from groove.instrument.fretboard import Place, Tuning, read_tuning
from groove.lesson.guide import Guide, write_guide
from groove.lesson.phrase_guide import PhraseGuide, find_phrase
from groove.lesson.phrase_words import left_words, lengths, phrase_words, seat_marks
from groove.lesson.request import Request
from groove.rhythm.meter import METERS
from tests.examples import examples
from tests.handout.sheet.sheet_material import PHRASE, sheet

GUITAR, UKULELE = read_tuning("guitar"), read_tuning("ukulele")
LICK = "3f5 3f7 2f5 2f8:1/2 2f5:1/2 3f7"
MINOR = {"key": "Am", "chords": "i7:4 iv7:2 i7:2 bVI7 V7 i7:2"}


@cache
def guide(form: str = "twelve-bar", key: str = "A") -> Guide:
    return write_guide(groove.read_form(form, key=key), READERS["concert"])


def minor_blues() -> Form:
    return groove.read_form("minor-twelve-bar", **MINOR)


@st.composite
def fingered(draw: st.DrawFn) -> tuple[Tuning, list[Place]]:
    tuning = draw(st.sampled_from([GUITAR, UKULELE]))
    strings, frets = st.integers(1, len(tuning.names)), st.integers(0, tuning.frets)
    return tuning, draw(st.lists(st.builds(Place, strings, frets), min_size=1, max_size=6))


def written(places: list[Place]) -> str:
    return " ".join(f"{place.string}f{place.fret}" for place in places)


@settings(max_examples=examples(60))
@given(fingered())
def test_phrase_in_strings_and_frets_stands_first_as_it_was_written(
    phrase: tuple[Tuning, list[Place]],
) -> None:
    tuning, places = phrase
    found = find_phrase(guide(), tuning, written(places))
    assert found.as_written
    assert found.first == found.as_written
    assert list(found.as_written.places) == places
    assert found.as_written.octaves == 0
    assert found.as_written not in found.places
    assert found.moved[0].placement == found.as_written


@settings(max_examples=examples(8))
@given(fingered())
def test_phrase_as_written_is_marked_so_and_first_in_text_and_in_data(
    phrase: tuple[Tuning, list[Place]],
) -> None:
    tuning, places = phrase
    form = groove.read_form("twelve-bar", key="A")
    made = write_sheet(form, Request(instrument=tuning.title, phrase=written(places)))
    first, *others = sheet_data(made)["phrase"]["places"]
    assert first["as_written"]
    assert [Place(**place) for place in first["places"]] == places
    assert not any(place["as_written"] for place in others)
    text = sheet_markdown(made).split("## The phrase")[1]
    head, tab = text.split("```")[:2]
    assert head.strip().splitlines()[-1].startswith("as written: string")
    lines = [line.split("|")[1] for line in tab.strip("\n").splitlines() if "|" in line]
    for string, line in enumerate(lines, 1):
        frets = [int(word) for word in line.split("-") if word]
        assert frets == [place.fret for place in places if place.string == string]


def test_phrase_given_by_name_is_nowhere_as_written() -> None:
    found = find_phrase(guide(), GUITAR, "A3 C4 3f7")
    assert found.as_written is None
    assert found.first == found.places[0]


@pytest.mark.parametrize("phrase", [LICK, "3f7 2f5 2f8 1f5", "4f7 3f5 3f7 2f5"])
def test_places_besides_come_in_their_own_octave_first_and_none_above_the_fifteenth_fret(
    phrase: str,
) -> None:
    found = find_phrase(guide(), GUITAR, phrase)
    octaves = [place.octaves == 0 for place in found.places]
    assert octaves == sorted(octaves, reverse=True)
    assert all(place.fret <= 15 for p in found.places for place in p.places)


def test_place_whose_cheapest_fingering_lies_above_the_fifteenth_fret_is_found_below_it() -> None:
    """From string 5, fret 15, on to fret 17 is cheaper than back to string 4, fret 12."""
    found = find_phrase(guide(), GUITAR, "3f5 3f7 2f5 2f8 2f5 3f7")
    assert found.starts == 7
    assert Place(5, 15) in [place.places[0] for place in found.places]


def test_phrase_that_lies_only_above_the_fifteenth_fret_is_found_there() -> None:
    found = find_phrase(guide(), GUITAR, "E2 B5")
    assert [place.places for place in found.places] == [(Place(6, 0), Place(2, 24))]
    assert "can be begun at 1 place on the neck" in phrase_words(found, GUITAR)


@settings(max_examples=examples(30))
@given(st.lists(st.builds(Place, st.integers(1, 6), st.integers(3, 9)), min_size=2, max_size=4))
def test_moved_phrase_lies_as_near_to_home_as_any_way_to_play_it(places: list[Place]) -> None:
    """Under the same hand or a stretch away, then without open strings if it had none."""
    found = find_phrase(guide(), GUITAR, written(places))
    home = found.as_written
    assert home

    def touch(place: Placement) -> tuple[bool, bool]:
        open_strings = any(not at.fret for at in place.places)
        at_home = any(not at.fret for at in home.places)
        return abs(place.fret - home.fret) > GUITAR.reach, open_strings and not at_home

    for moved in found.moved[1:]:
        every = list(placements(GUITAR, [note.pitch for note in moved.phrase]))
        own = [place for place in every if not place.octaves] or every
        if own:
            assert moved.placement
            assert touch(moved.placement) == min(map(touch, own))


def test_lengths_are_said_only_where_some_note_is_not_one_beat_long() -> None:
    assert lengths(find_phrase(guide(), GUITAR, LICK).phrase) == ["1", "1", "1", "1/2", "1/2", "1"]
    assert lengths(find_phrase(guide(), GUITAR, "3f5 3f7:1").phrase) == []


def test_lengths_are_drawn_as_notes_of_the_metre() -> None:
    phrase = find_phrase(guide(), GUITAR, "3f5 3f7:1/3 3f5:2/3").phrase
    in_four, in_twelve = (note_lengths(phrase, METERS[meter]) for meter in ("4/4", "12/8"))
    assert in_four == [1, Fraction(1, 3), Fraction(2, 3)]
    assert in_twelve == [Fraction(3, 2), Fraction(1, 2), 1]


def test_sheet_draws_a_head_over_every_note_of_a_phrase_with_lengths() -> None:
    form = groove.read_form("twelve-bar", key="A", blocks="phrases")

    def heads(phrase: str) -> int:
        pages = sheet_pages(write_sheet(form, Request(phrase=phrase)), PAPERS["a4"])
        marks = [mark for page in pages for mark in page.marks if isinstance(mark, Glyph)]
        return sum("notehead" in mark.name for mark in marks)

    found = find_phrase(guide(), GUITAR, LICK)
    tabs = 1 + len(found.places) + sum(m.placement is not None for m in found.moved)
    assert heads(LICK) == 6 * tabs
    assert heads("3f5 3f7 2f5") == 0


def clashes(found: PhraseGuide) -> dict[str, set[str]]:
    """For each chord the notes of the phrase, left where it is, that clash."""
    return {
        str(left.chord): {
            note.name for note, seat in zip(left.phrase, left.seats, strict=True) if seat.clash
        }
        for left in found.left
    }


def test_notes_that_rub_on_a_minor_blues_are_marked_where_the_phrase_is_left() -> None:
    """Common practice: E against the flat seventh of F7, G against the third of E7."""
    made = write_sheet(minor_blues(), Request(phrase=LICK))
    assert made.phrase
    assert clashes(made.phrase) == {"Am7": set(), "Dm7": set(), "F7": {"E"}, "E7": {"G"}}
    marks = {str(left.chord): seat_marks(left) for left in made.phrase.left}
    assert marks["F7"] == ["5", "6", "7!", "2", "7!", "6"]
    assert left_words(made.phrase).endswith("Only in passing: E over F7; G over E7.")
    left = {entry["chord"]: entry for entry in sheet_data(made)["phrase"]["left"]}
    assert [seat["clash"] for seat in left["E7"]["seats"]] == [0, 0, 0, 1, 0, 0]
    text = sheet_markdown(made).split("left where they are")[1]
    assert "7!" in text
    assert "Only in passing: E over F7; G over E7." in text


def test_marks_of_clashes_stand_on_the_page_in_signs_and_in_words() -> None:
    pages = sheet_pages(write_sheet(minor_blues(), Request(phrase=LICK)), PAPERS["a4"])
    texts = [mark.text for page in pages for mark in page.marks if isinstance(mark, Text)]
    assert {"7!", "♭3!"} <= set(texts)
    assert any("Only in passing: E over F7; G over E7." in text for text in texts)


def test_in_a_blues_only_a_half_step_over_root_or_fifth_clashes_of_the_notes_of_its_scale() -> None:
    """Common practice: the flat ninth over the IV, the flat sixth over the V."""
    found = find_phrase(guide(), GUITAR, "A3 C4 D4 Eb4 E4 G4")
    assert clashes(found) == {"A7": set(), "D7": {"Eb"}, "E7": {"C"}}
    assert left_words(found).endswith("Only in passing: E♭ over D7; C over E7.")


def test_phrase_of_which_no_note_clashes_says_so() -> None:
    assert left_words(find_phrase(guide(), GUITAR, "A3 D4 E4 G4")).endswith("None of them clashes.")


def test_phrase_of_the_first_chord_is_moved_to_each_other() -> None:
    found = sheet("twelve-bar", phrase="G3 C4 E4").phrase
    assert found
    moved = {str(m.chord): [n.full_name for n in m.phrase] for m in found.moved}
    assert moved["F7"] == ["C4", "F4", "A4"]


def test_moved_phrase_keeps_to_the_key_where_the_chord_is_of_the_key() -> None:
    """Over the vi of G the second degree of the phrase's scale is F#, and no C# comes in."""
    found = sheet("i-v-vi-iv", phrase="G3 A3 B3 C4 D4 E4 F#4").phrase
    assert found
    moved = {str(m.chord): {n.name for n in m.phrase} for m in found.moved}
    assert moved["Em"] == {"E", "F#", "G", "A", "B", "C", "D"}


def test_moved_phrase_has_no_open_strings_where_the_fingering_has_none() -> None:
    form = groove.read_form("twelve-bar", key="A")
    found = write_sheet(form, Request(phrase=PHRASE)).phrase
    assert found
    placed = [moved.placement for moved in found.moved if moved.placement]
    assert len(placed) == 3
    assert all(place.fret for p in placed for place in p.places)


def test_phrase_in_a_blues_is_left_where_it_is_too_and_its_flat_sixth_over_the_five_marked() -> (
    None
):
    """C over E7 lies a half step over its fifth; common practice."""
    form = groove.read_form("twelve-bar", key="A")
    made = write_sheet(form, Request(phrase=PHRASE))
    assert made.phrase
    marked = {
        (str(moved.chord), note.name)
        for moved in (*made.phrase.moved, *made.phrase.left)
        for note, seat in zip(moved.phrase, moved.seats, strict=True)
        if seat.clash
    }
    assert marked == {("E7", "C")}
    left = {str(m.chord): [str(seat.degree) for seat in m.seats] for m in made.phrase.left}
    assert left == {"A7": ["1", "b3", "4", "5"], "D7": ["5", "b7", "1", "2"],
                    "E7": ["4", "b6", "b7", "1"]}  # fmt: skip
    assert "left where they are" in sheet_markdown(made)
