"""Keyboards on a sheet."""

from groove.handout.drawing.page import PAPERS
from groove.handout.sheet.data import sheet_data
from groove.handout.sheet.markdown import sheet_markdown
from groove.handout.sheet.pages import sheet_pages
from groove.theory.symbols import symbol
from tests.handout.sheet.sheet_material import sheet


def test_keyboard_has_a_left_hand_for_each_chord_and_the_scales_of_the_key() -> None:
    made = sheet("minor-twelve-bar", instrument="keyboard")
    assert [hand.chord for hand in made.left_hands] == [c.chord for c in made.guide.chords]
    words = "\n".join(page.words for page in sheet_pages(made, PAPERS["a4"]))
    for hand in made.left_hands:
        assert f"{symbol(hand.chord)}, left hand" in words
        assert f"- {symbol(hand.chord)}: " in sheet_markdown(made)
    assert {"minor pentatonic", "blues"} <= {choice.scale for choice, *_ in made.scales}
    assert all(chord["left_hand"] for chord in sheet_data(made)["chords"])


def test_phrase_on_a_keyboard_is_drawn_over_each_chord() -> None:
    made = sheet("twelve-bar", instrument="keyboard", phrase="C4 Eb4 G4")
    words = "\n".join(page.words for page in sheet_pages(made, PAPERS["a4"]))
    assert "C7: C4 1, E♭4 ♭3, G4 5: C E♭ G" in words


def test_voicings_for_both_hands_stand_on_paper_as_text_and_as_data() -> None:
    made = sheet("rhythm-changes", instrument="keyboard")
    words = "\n".join(page.words for page in sheet_pages(made, PAPERS["a4"]))
    text, data = sheet_markdown(made), sheet_data(made)
    assert text.count(" | ") >= len(made.both_hands)
    assert [hands["chord"] for hands in data["both_hands"]] == [
        str(entry.chord) for entry in made.guide.chords
    ]
    for hands in made.both_hands:
        name = symbol(hands.chord)
        assert f"{name}, right hand: " in words
        assert f"{name}, left hand: " in words
