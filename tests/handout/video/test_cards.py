"""The cards before and after the music."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from groove.handout.drawing.page import Box, Text, ink_box
from groove.handout.video import views
from groove.handout.video.cards import Card, end_card, title_card
from groove.sound.mixes import Mix
from groove.sound.synth.licences import credits_of
from groove.sound.synth.soundfonts import Fonts, Soundfont, find_fonts
from groove.wording import said
from tests.handout.video.video_material import FORMS, LONG, SIZES, course, look, made

FONTS = find_fonts(None, {})
TEACHER = {
    "teacher": "Ada Example",
    "link": "https://lessons.example/ada",
    "invite": "Send me your recording.",
}


def texts(card: Card) -> list[str]:
    """The lines of a card from the top."""
    return [mark.text for mark in card.marks("card") if isinstance(mark, Text)]


def boxes(card: Card) -> list[Box]:
    return [box for mark in card.marks("card") if (box := ink_box(mark))]


def title(size: str = "wide", **values: Any) -> Card:
    return title_card(made(**({"chords": "C:4"} | values)).chart, look(size))


def end(size: str = "wide", fonts: Fonts = FONTS, **values: Any) -> Card:
    return end_card(made(**({"chords": "C:4"} | values)).chart, look(size), fonts)


def test_the_title_card_says_what_is_to_come() -> None:
    card = title(title="Night Bus", chords="I7:4 IV7:2 I7:2 V7 IV7 I7:2", key="A", tempo=118,
                 feel="shuffle", choruses=4, by="words and music: us", **TEACHER)  # fmt: skip
    assert texts(card) == [
        "Backing track", "Night Bus", "words and music: us", "A blues", "= 118", "Medium shuffle",
        "12 bars in 4/4, 4 choruses", "Teacher: Ada Example", "lessons.example/ada",
    ]  # fmt: skip


def test_who_plays_stands_on_the_title_card() -> None:
    chart = made(chords="C:4").chart
    mix = Mix("_without-bass", ("drums", "comping"))
    (card,), (whole,) = (views.title_card(chart, look("wide"), each) for each in (mix, Mix("", ())))
    assert isinstance(card, Card)
    assert isinstance(whole, Card)
    assert set(texts(card)) - set(texts(whole)) == {"without bass"}


def test_a_road_is_told_by_its_size() -> None:
    found = course(next(path for path in FORMS if path.endswith("latin-swing-aaba.toml")))
    assert "213 bars in all, in 4/4" in texts(title_card(found.chart, look("wide")))


def test_the_end_card_says_whose_it_is() -> None:
    lines = texts(end(title="Night Bus", **TEACHER))
    assert lines[:4] == [
        "Night Bus", "Teacher: Ada Example", "lessons.example/ada", "Send me your recording.",
    ]  # fmt: skip
    assert " ".join(lines[4:]) == f"{said('video', 'end.licence')} {credits_of(FONTS)}"


@pytest.mark.parametrize("missing", [*TEACHER, "all"])
@pytest.mark.parametrize("size", SIZES)
def test_an_empty_field_leaves_no_trace(size: str, missing: str) -> None:
    given = {name: value for name, value in TEACHER.items() if missing not in (name, "all")}
    for make in (title, end):
        whole, card = make(size, **TEACHER), make(size, **given)
        words = {"teacher": "Ada Example", "link": "lessons.example", "invite": "Send me"}
        for name, word in words.items():
            there = any(word in text for text in texts(card))
            before = any(word in text for text in texts(whole))
            assert there == (before and name in given)
        assert all(text.strip() for text in texts(card))
        found = boxes(card)
        over = min(box.top for box in found)
        under = look(size).height - max(box.bottom for box in found)
        assert abs(over - under) < 0.05 * look(size).height
        bottoms = sorted((box.top, box.bottom) for box in found)
        gaps = [after[0] - before[1] for before, after in pairwise(bottoms)]
        assert max(gaps) < 0.11 * look(size).height


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    "values",
    [
        {"title": LONG},
        {"title": "Donaudampfschifffahrtsgesellschaftskapitänskajütenfenstervorhangstangenhalter"},
        {"title": "夜のバス 7"},
        {"title": "X"},
        {"key": "C#", "chords": "I:64", "meter": "12/8", "by": LONG},
        {
            "teacher": "A" * 60,
            "link": f"https://lessons.example/{'ada/' * 15}",
            "invite": LONG + LONG[:40],
        },
    ],
    ids=lambda values: next(iter(values)),
)
def test_everything_lies_inside_the_margins(size: str, values: dict[str, Any]) -> None:
    shape = look(size)
    for card in (title(size, **values), end(size, **values)):
        found = boxes(card)
        edge = 0.06 * min(shape.width, shape.height)
        assert min(box.left for box in found) >= edge
        assert min(box.top for box in found) >= edge
        assert max(box.right for box in found) <= shape.width - edge
        assert max(box.bottom for box in found) <= shape.height - edge


@pytest.mark.parametrize("size", SIZES)
def test_a_long_title_is_whole(size: str) -> None:
    for card in (title(size, title=LONG), end(size, title=LONG)):
        assert LONG in " ".join(texts(card))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    ("given", "link", "whole"),
    [
        ("Marta Linde", "martalinde.example/lessons", True),
        ("Marta Linde", "improvisation-with-marta-linde.example/lessons/first-steps", False),
        ("Marta-Sophie Lindenbergersdottir-Hohenwaldensteiner", "lessons.example", False),
    ],
)
def test_an_address_and_a_name_are_whole(size: str, given: str, link: str, whole: bool) -> None:
    values = {"teacher": given, "link": f"https://{link}", "invite": f"Write to {link}"}
    for card in (title(size, **values), end(size, **values)):
        lines = texts(card)
        for words in (given, link):
            assert words.replace(" ", "") in "".join(lines).replace(" ", "")
        assert not any("…" in line for line in lines)
        assert link in lines or not whole


@pytest.mark.parametrize("size", SIZES)
def test_the_smallest_words_can_be_read(size: str) -> None:
    # 1/30 of the smaller side is 12 of 360 pixels
    shape = look(size)
    for card in (title(size, **TEACHER), end(size, **TEACHER)):
        sizes = [mark.size for mark in card.marks("card") if isinstance(mark, Text)]
        assert min(sizes) * 25.4 / 72 >= min(shape.width, shape.height) / 30


@pytest.mark.parametrize(
    ("licence", "stands"),
    [("CC BY 4.0", True), ("MIT", True), ("CC BY-SA 4.0", False), ("GPL 2", False),
     ("CC BY-NC 4.0", False), ("", False)],
)  # fmt: skip
def test_posting_is_allowed_where_the_sounds_ask_for_a_credit_at_most(
    licence: str, stands: bool
) -> None:
    fonts = Fonts(Soundfont(Path("other.sf2"), "Other sounds", licence, "their makers"))
    lines = " ".join(texts(end(fonts=fonts)))
    assert (said("video", "end.licence") in lines) == stands
    assert credits_of(fonts) in lines


def test_words_and_a_melody_stay_with_their_authors() -> None:
    section = {"name": "A", "chords": "C:2", "melody": "| C4:4 | D4:4 |"}
    for found in (made(chords="C:4", by="words and music: us"), made(sections=[section])):
        lines = " ".join(texts(end_card(found.chart, look("wide"), FONTS)))
        assert said("video", "end.authors") in lines
        assert said("video", "end.licence") not in lines
