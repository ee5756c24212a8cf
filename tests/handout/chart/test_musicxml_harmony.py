"""Chords as MusicXML harmony: their kinds, and the degrees that are printed after them."""

from __future__ import annotations

import pytest

from groove.handout.chart.musicxml_harmony import KINDS, harmony, kind_of, no_chord
from groove.theory.chords import parse_chord
from groove.theory.quality import parse_quality


def printed(symbol: str) -> tuple[str, list[tuple[str | None, str | None, str | None]]]:
    """The text of a chord's kind; type, value and alteration of each degree printed after it."""
    element = harmony(parse_chord(symbol))
    kind = element.find("kind")
    assert kind is not None
    shown = [degree for degree in element.iter("degree") if degree.get("print-object") != "no"]
    words = ("degree-type", "degree-value", "degree-alter")
    return kind.get("text", ""), [
        (degree.findtext(words[0]), degree.findtext(words[1]), degree.findtext(words[2]))
        for degree in shown
    ]


@pytest.mark.parametrize(
    ("suffix", "kind"),
    [("", "major"), ("7", "dominant"), ("13", "dominant-ninth"), ("m7b5", "minor-seventh"),
     ("dim7", "diminished-seventh"), ("6/9", "major-sixth"), ("7sus4", "dominant"),
     ("sus4", "suspended-fourth"), ("5", "power"), ("7alt", "dominant"), ("add9", "major"),
     ("13#11", "dominant-13th"), ("maj13#11", "major-13th")],
)  # fmt: skip
def test_kind_is_one_that_loses_few_of_its_degrees(suffix: str, kind: str) -> None:
    assert kind_of(parse_quality(suffix))[0] == kind


def test_every_kind_is_that_of_its_own_content() -> None:
    sevenths = ("7", "maj7", "m7", "dim7", "7#5", "m(maj7)", "6", "m6")
    larger = ("9", "maj9", "m9", "11", "maj11", "m11", "m13")
    suffixes = ("", "m", "+", "dim", "sus2", "sus4", "5", *sevenths, *larger)
    found = {suffix: kind_of(parse_quality(suffix)) for suffix in suffixes}
    assert not any(changes for _, changes in found.values())
    assert {suffix: KINDS[kind][0] for suffix, (kind, _) in found.items()} == {
        suffix: suffix for suffix in suffixes
    }
    assert {kind for kind, _ in found.values()} == set(KINDS) - {"dominant-13th", "major-13th"}


def test_chord_that_is_a_kind_by_itself_has_its_own_suffix_and_no_degrees() -> None:
    assert printed("Ebm7") == ("m7", [])
    assert printed("Bdim7/D") == ("dim7", [])


def test_degree_is_printed_after_its_kind_and_not_in_the_text_as_well() -> None:
    assert printed("C7b9") == ("7", [("add", "9", "-1")])
    assert printed("C13") == ("9", [("add", "13", "0")])
    assert printed("Cm7b5") == ("m7", [("alter", "5", "-1")])
    assert printed("C13#11") == ("13", [("alter", "11", "1")])


def test_degrees_stand_in_order_and_what_is_left_out_stands_last() -> None:
    assert printed("G7alt") == (
        "7",
        [("add", "9", "-1"), ("add", "9", "1"), ("add", "11", "1"), ("add", "13", "-1"),
         ("subtract", "5", "0")],
    )  # fmt: skip


@pytest.mark.parametrize(
    ("symbol", "words"),
    [("C7b9", [None]), ("C7#9b13", [None, " "]), ("C9sus4", ["sus", " no"]), ("C7(no5)", ["no"])],
)
def test_degrees_are_parted_by_spaces_and_suspended_ones_are_named_so(
    symbol: str, words: list[str | None]
) -> None:
    types = harmony(parse_chord(symbol)).iter("degree-type")
    assert [degree.get("text") for degree in types] == words


def test_no_chord_shows_no_root() -> None:
    element = no_chord()
    assert element.findtext("kind") == "none"
    assert element.find("root/root-step[@text='']") is not None
