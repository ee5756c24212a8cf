"""The text of a post: true of the track, within what sites take, plain and as Markdown."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from markdown_it import MarkdownIt

import groove
from groove import library
from groove.errors import GrooveError
from groove.form.unroll import unroll
from groove.handout.posting.text import (
    PostingText,
    posting_text,
    title_card_seconds,
    write_text_files,
)
from groove.lesson.request import Request
from groove.sound.synth.licences import credits_of
from groove.sound.synth.soundfonts import Fonts, find_fonts
from tests.command_line import call
from tests.form.road_material import EXAMPLES

LIMITS = library.table("posting")["text"]
COMMON_MARK = MarkdownIt("commonmark")
FORMS: dict[str, tuple[str, dict[str, Any]]] = {
    "usual": ("twelve-bar", {}),
    "keys and tempi": ("twelve-bar", {"key_cycle": "fourths", "tempo_step": 2, "choruses": 4}),
    "long title": ("minor-vamp", {"title": "Slowly " * 14 + "home"}),
    "much to say": ("jazz-twelve-bar", {"remarks": ["Leave room. " * 150] * 3}),
    "many choruses": ("eight-bar", {"chords": "I7 IV7", "choruses": 70, "tempo": 200}),
    "beginner": ("twelve-bar", {"learner": "beginner"}),
    "solo": ("twelve-bar", {"solo": "answers"}),
    "german": ("twelve-bar", {"words": "german", "key": "Bb"}),
} | {"road": (str(EXAMPLES["modal-vamp"]), {})}


@pytest.fixture(scope="module")
def texts() -> dict[str, PostingText]:
    return {
        name: posting_text(groove.read_form(form, **fields), lead_in=3)
        for name, (form, fields) in FORMS.items()
    }


@pytest.mark.parametrize("name", FORMS)
def test_it_keeps_within_what_sites_take(name: str, texts: dict[str, PostingText]) -> None:
    text = texts[name]
    assert len(text.title) < 100
    assert len(text.short) < 160
    assert len(text.long.encode()) <= LIMITS["long"] < 5000
    assert len(",".join(text.tags)) <= LIMITS["tags"]
    assert text.plain().startswith(f"{text.plain().splitlines()[0]}\n{text.title}\n")


@pytest.mark.parametrize("name", FORMS)
def test_credits_chapters_and_key_are_never_left_out(
    name: str, texts: dict[str, PostingText]
) -> None:
    text = texts[name]
    if name != "german":
        fonts = find_fonts(None, {})
        assert credits_of(fonts) in text.long
    assert "creativecommons.org/licenses/by/" in text.long
    assert all(chapter.line in text.long for chapter in text.chapters)


def test_the_title_says_what_it_is() -> None:
    form = groove.read_form("twelve-bar", title="Ferry Landing", key="G", drums="rumba", tempo=112)
    text = posting_text(form)
    assert text.title == "Ferry Landing: backing track in G blues, 112 bpm, medium rumba"
    assert {"blues", "backing track", "G blues", "112 bpm", "rumba blues"} <= set(text.tags)


def test_no_tag_comes_twice_or_names_the_teacher() -> None:
    form = groove.read_form("twelve-bar", teacher="Ada Moss", title="Zebra Crossing")
    tags = posting_text(form).tags
    assert len({tag.casefold() for tag in tags}) == len(tags)
    assert not re.search("ada|moss|zebra|crossing", " ".join(tags).casefold())


def test_only_those_who_play_are_named() -> None:
    form = groove.read_form("twelve-bar", solo="example")
    whole, text = posting_text(form), posting_text(form, without="bass,solo")
    assert "bass (" in whole.long
    assert "An example guitar solo is played over the first chorus." in whole.long
    assert whole.long.startswith("A backing track with an example solo,")
    assert "and an example solo." in whole.short
    assert "and an example solo." in whole.long[whole.long.index("Who plays") :]
    assert "bass (" not in text.long
    assert "example" not in text.long + text.short
    assert "without bass and solo" in text.title
    assert "without bass" in text.tags
    assert "bass" not in text.tags
    alone = posting_text(form, only="drums")
    assert alone.short.endswith("With drums. Sounds: see description.")


def test_players_of_chords_are_named_by_what_they_play_on() -> None:
    for comping, name in {"afro-cuban-jazz-piano": "piano", "shuffle-organ": "organ"}.items():
        text = posting_text(groove.read_form("twelve-bar", comping=comping))
        assert f"With drums, bass and {name}." in text.short
        assert name in text.tags


@pytest.mark.parametrize(
    ("name", "line", "times"),
    [
        ("latin-swing-aaba", "solos", 3),
        ("modal-vamp", "solo", 8),
        ("stop-time-blues", "first solo", 2),
    ],
)
def test_an_example_solo_is_one_place_where_its_notes_lie(name: str, line: str, times: int) -> None:
    form = groove.read_form(EXAMPLES[name], solo="example")
    told = posting_text(form).long
    assert f"is played over the first solo chorus ({line} 1 of {times})." in told
    take = groove.compile_take(form)
    chart, notes = take.chart, next(part.notes for part in take.parts if part.name == "solo")
    starts = [note.start for note in notes]
    time = next(each for each in chart.rounds if each.passes[0].name == line)
    before = time.start - chart.bar_at(time.start - 1).start  # a pick-up has a bar at most
    assert all(time.start - before <= start < time.end for start in starts)
    for played, after in zip(time.passes, [*time.passes[1:], None], strict=True):
        end = after.start if after else time.end
        assert any(played.start <= start < end for start in starts)


def test_of_an_order_it_says_first_how_it_goes_and_not_which_lines_are_open() -> None:
    text = posting_text(groove.read_form(EXAMPLES["latin-swing-aaba"])).long
    begin = (
        "A backing track to practise improvising with: Intro twice; head; solos 3 times; trading"
    )
    assert text.startswith(begin)
    assert "open" not in text.split()
    assert text.index("Last one bar.") < text.index("213 bars in all") < text.index("Chapters")


def test_chords_outside_the_key_have_their_first_scale() -> None:
    def scales(name: str, **fields: Any) -> str:
        text = posting_text(groove.read_form(name, **fields)).long
        return text[text.index("Main scales") : text.index("How to practise")]

    road = scales(str(EXAMPLES["latin-swing-aaba"]))
    assert "D phrygian dominant: D E♭ F♯ G A B♭ C (over D7♭9)" in road
    assert "over Gm7" not in road
    assert "(over B°7)" in scales("jazz-twelve-bar")
    many = scales("twelve-bar", chords="Imaj7 bII7 bIIImaj7 III7 bVmaj7 VI7 bVII7 VII7 iv7 I7")
    assert many.count("(over") <= LIMITS["outside"]
    assert "over" not in scales("i-v-vi-iv")


def test_the_text_names_no_part_of_the_sheet(texts: dict[str, PostingText]) -> None:
    assert "takes a key a chorus: C F" in texts["keys and tempi"].long
    for text in texts.values():
        assert "Key by key" not in text.long


def test_parts_stand_in_the_order_in_which_they_are_wanted() -> None:
    form = groove.read_form("twelve-bar", teacher="Ada Moss", invite="Send it!", remarks="Slow.")
    long = posting_text(form).long
    heads = (
        "A backing track", "Send it!", "Teacher:", "Chapters\n", "Chords\n", "Main scales\n",
        "Slow.", "How to practise it\n", "Who plays:", "Credits and licences\n", "#backingtrack",
    )  # fmt: skip
    places = [long.index(head) for head in heads]
    assert places == sorted(places)


@pytest.mark.parametrize("name", FORMS)
def test_the_last_line_is_of_tags_in_one_word_each(
    name: str, texts: dict[str, PostingText]
) -> None:
    text = texts[name]
    words = text.long.splitlines()[-1].split(" ")
    assert words == list(text.hashtags)
    assert 3 <= len(words) <= LIMITS["hashtags"]
    assert all(re.fullmatch(r"#[^\W\d_]{2,}", word) for word in words)
    assert text.hashtags[-1] not in text.markdown()


def test_the_short_description_has_the_link_and_the_credit_where_they_fit() -> None:
    link = "https://ada.example"
    short = posting_text(groove.read_form("twelve-bar", link=link)).short
    assert short.endswith(f". Sounds: see description. {link}")
    assert short.startswith("To improvise over: 12 bars")
    mail = posting_text(groove.read_form("twelve-bar", link="mailto:ada@lessons.example")).short
    assert mail.endswith(" ada@lessons.example")
    long = f"https://lessons.example/{'b' * 140}"
    assert "https" not in posting_text(groove.read_form("twelve-bar", link=long)).short


def test_a_player_who_is_not_there_is_an_error() -> None:
    with pytest.raises(GrooveError):
        posting_text(groove.read_form("twelve-bar"), only="melody")


def test_length_and_count_in_are_those_of_the_track() -> None:
    form = groove.read_form("twelve-bar", count_in=2, choruses=2)
    chart = unroll(form)
    seconds = chart.seconds(chart.end) - chart.seconds(chart.start)
    text = posting_text(form).long
    minutes, second = re.search(r"about (\d+):(\d\d) of music", text).groups()  # type: ignore[union-attr]
    assert abs(int(minutes) * 60 + int(second) - seconds) <= 2.5
    assert "2 bars of count-in go before." in text
    assert "count-in go before" not in posting_text(form, without="click").long
    assert "count-in go" not in posting_text(groove.read_form("twelve-bar", count_in=0)).long


def with_licence(licence: str) -> Fonts:
    """Groove's own soundfont under another licence."""
    fonts = find_fonts(None, {})
    return replace(fonts, main=replace(fonts.main, licence=licence))


def test_the_licence_says_what_may_be_done_with_the_track() -> None:
    form = groove.read_form("twelve-bar")
    free = "You may pass this track on"
    assert free in posting_text(form).long
    alike = posting_text(form, fonts=with_licence("CC BY-SA 3.0")).long
    assert free not in alike
    assert "The sounds are under CC BY-SA 3.0" in alike
    written = groove.read_form("twelve-bar", by="Ada Moss")
    assert "Words and music belong to those who wrote them" in posting_text(written).long


def test_the_plan_is_the_sheets_own_and_for_its_instrument() -> None:
    form = groove.read_form("twelve-bar")
    keys = posting_text(form, request=Request(instrument="keyboard")).long
    assert "under one hand on the neck" in posting_text(form).long
    assert "under one hand on the keys" in keys
    without_plan = groove.read_form("twelve-bar", blocks="chart, scales")
    assert "under one hand" not in posting_text(without_plan).long


def test_teacher_link_and_invite_stand_in_it() -> None:
    form = groove.read_form(
        "twelve-bar", teacher="Ada Moss", link="https://lessons.example/b", invite="Send it!"
    )
    text = posting_text(form)
    assert "\nSend it!\nTeacher: Ada Moss\nhttps://lessons.example/b\n" in text.long
    assert "<https://lessons.example/b>" in text.markdown()
    assert "Teacher" not in posting_text(groove.read_form("twelve-bar")).long


def shown(markdown: str) -> str:
    """The text of a document as a CommonMark parser reads it, a line a paragraph or item."""
    lines = []
    for token in COMMON_MARK.parse(markdown):
        assert token.type not in ("html_block", "code_block")
        if token.type == "fence":
            lines += token.content.splitlines()
        if token.type == "inline":
            children = token.children or []
            assert {child.type for child in children} <= {
                "text", "text_special", "softbreak", "strong_open", "strong_close",
                "link_open", "link_close",
            }  # fmt: skip
            lines.append("".join(child.content or "\n" * (child.type == "softbreak")
                                 for child in children))  # fmt: skip
    return "\n".join(lines)


@pytest.mark.parametrize("title", ["1. *Slow* <b>blues</b> & [more](x)", "# _one_ `two` ~~three~~"])
def test_markdown_shows_everything_as_it_was_written(title: str) -> None:
    form = groove.read_form(
        "rhythm-changes", title=title, invite="*Now* you!", remarks="- Listen <i>first</i>"
    )
    text = posting_text(form)
    read = shown(text.markdown())
    for line in (text.title, text.short, "*Now* you!", "- Listen <i>first</i>"):
        assert line in read.splitlines()
    for part in text.parts:
        for row in part.rows:
            assert " ".join(row.split()) in read


def test_plain_text_has_no_signs_that_sites_refuse() -> None:
    form = groove.read_form("twelve-bar", title="Up < down > up")
    plain = posting_text(form).plain()
    assert "Up \u2039 down \u203a up" in plain
    assert "<" not in plain
    assert ">" not in plain


ENGLISH = re.compile(r"\b(the|and|with|without|chords|backing|plays|from|count|bars?|for|in)\b")


def test_german_text_is_german(texts: dict[str, PostingText]) -> None:
    text = texts["german"]
    plain = text.plain()
    before_credits = plain[: plain.index("Quellen und Lizenzen")]
    found = ENGLISH.findall(before_credits.replace(" in ", " "))
    assert found == []
    assert text.markdown().startswith("# Zwölftaktiger Blues: Playback, B-Blues")


def test_the_command_prints_it_or_writes_both_kinds(tmp_path: Path) -> None:
    printed = call("text", "twelve-bar", "--video")
    assert printed.code == 0
    assert "0:00 Title, count-in and chorus 1" in printed.out
    names = [tmp_path / "t.txt", tmp_path / "t.md"]
    done = call("text", "twelve-bar", "--video", "-o", str(names[0]), "-o", str(names[1]))
    assert done.code == 0
    assert names[0].read_text("utf-8") == printed.out
    form = groove.read_form("twelve-bar")
    text = posting_text(form, lead_in=title_card_seconds())
    assert names[1].read_text("utf-8") == text.markdown()


def test_another_ending_is_an_error_in_a_line(tmp_path: Path) -> None:
    assert call("text", "twelve-bar", "-o", str(tmp_path / "t.doc")).code == 2
    with pytest.raises(GrooveError, match=r"ends in \.txt or \.md"):
        write_text_files(posting_text(groove.read_form("twelve-bar")), [tmp_path / "t.doc"])
    assert not list(tmp_path.iterdir())
