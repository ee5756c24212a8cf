"""All that charts and sheets say is data: another language leaves nothing English on them."""

from __future__ import annotations

import json
import pickle
import re
from pathlib import Path
from typing import Any

import pytest

import groove
from groove import library
from groove.form.model import Form
from groove.handout.chart.files import chart, write_chart_files
from groove.handout.chart.pages import chart_pages
from groove.handout.chart.text import chart_text
from groove.handout.chart.written import write_chart
from groove.handout.drawing.page import PAPERS, Text
from groove.handout.sheet.data import sheet_json
from groove.handout.sheet.markdown import sheet_markdown
from groove.handout.sheet.pages import sheet_pages
from groove.handout.sheet.sheet import write_sheet
from groove.instrument.fretboard import Place, read_tuning
from groove.instrument.tablature import tablature
from groove.lesson.request import Request
from groove.theory.chords import parse_chord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from groove.theory.symbols import key_names, key_symbol, key_words, listed, note, noted, symbol
from groove.wording import SHIPPED, TITLES, Wording, in_figures, worded
from groove.wording.file import TITLED, _is_chosen, word_files

WORD = re.compile(r"[^\W\d_]+")
ARRANGED = """
title = "Q"
key = "F"
drums = "mambo"
order = [{ play = "A, B, A", as = "q" }, { play = "A x2", trade = 4, as = "w", tacet = "bass" }]
[[sections]]
name = "A"
chords = "Imaj7 vi7 ii7 V7"
[[sections]]
name = "B"
key = "Ab"
drums = "medium-swing"
chords = "Imaj7 IV7 Imaj7/3 V7"
"""
CASES: dict[str, tuple[str, dict[str, Any], dict[str, Any]]] = {
    "blues on a guitar": ("twelve-bar", {"key": "A", "turnaround": True}, {"phrase": "4f7 3f5"}),
    "beginner": ("twelve-bar", {"key": "E", "learner": "beginner"}, {}),
    "minor on keys": ("minor-twelve-bar", {"key": "Bbm"}, {"instrument": "keyboard"}),
    "jazz, advanced": ("jazz-twelve-bar", {"key": "F", "learner": "advanced"}, {}),
    "horn in B flat": ("rhythm-changes", {"key": "B"}, {"reader": "Bb", "instrument": "none"}),
    "keys in turn": ("minor-vamp", {"key_cycle": "up", "choruses": 3, "tempo_step": 2}, {}),
    "arrangement": ("", {}, {}),
}


def plain(form: Form, request: dict[str, Any]) -> str:
    """The chart and the sheet of a form as text."""
    with worded(form.lesson.words):
        sheet = write_sheet(form, Request(**request))
        return f"{chart_text(write_chart(form))}\n{sheet_markdown(sheet)}"


def texts(form: Form, request: dict[str, Any]) -> str:
    """All that stands on a form's chart and sheet, as text and on paper."""
    with worded(form.lesson.words):
        chart, sheet = write_chart(form), write_sheet(form, Request(**request))
        pages = [*chart_pages(chart, PAPERS["a4"]), *sheet_pages(sheet, PAPERS["a4"])]
        drawn = [mark.text for page in pages for mark in page.marks if isinstance(mark, Text)]
        said = [text for page in pages for text in (page.title, page.words)]
        return "\n".join([chart_text(chart), sheet_markdown(sheet), *drawn, *said])


def form_of(case: str, tmp_path: Path, **words: Any) -> tuple[Form, dict[str, Any]]:
    name, fields, request = CASES[case]
    if not name:
        (tmp_path / "q.toml").write_text(ARRANGED)
        name = str(tmp_path / "q.toml")
    return groove.read_form(name, **fields, **words), request


def masked(value: Any, at: tuple[str, ...]) -> Any:
    """The shipped words with a sign of another alphabet for each of them, names in braces kept."""
    if isinstance(value, dict):
        return {
            key: masked(each, (*at, key))
            for key, each in value.items()
            if not _is_chosen(each, (*at, key))
        }
    if isinstance(value, list):
        return [masked(each, at) for each in value]
    if not isinstance(value, str):
        return value
    parts = re.split(r"(\{\w+\})", value)
    return "".join(part if part.startswith("{") else WORD.sub("ж", part) for part in parts)


@pytest.fixture(scope="module")
def strange() -> Wording:
    own = {name: masked(SHIPPED.whole(name), (name,)) for name in word_files()}
    own[TITLES] = {kind: dict.fromkeys(library.names(kind), "ж") for kind in TITLED}
    return Wording(own)


@pytest.mark.parametrize("case", ["blues on a guitar", "minor on keys", "arrangement"])
def test_every_word_is_replaced_by_a_file_of_words(
    case: str, strange: Wording, tmp_path: Path
) -> None:
    form, request = form_of(case, tmp_path, words=strange)
    found = set(re.findall(r"[A-Za-z]{3,}", texts(form, request)))
    numerals = {word for word in found if re.fullmatch(r"[IViv]+(maj|sus|dim|alt|add)?", word)}
    symbols = {word for word in found if re.fullmatch(r"[A-G]?m?(maj|sus|dim|alt|add)", word)}
    assert found - numerals - symbols - {"xxxx"} == set()


ENGLISH = frozenset(
    WORD.findall(
        """the and of to with chord chords scale scales bar bars beat beats over then their which
        that this from for at each every it its is are be by not only where what when play plays
        played first last next second third fifth seventh root key keys string strings fret
        frets major minor line lines step above below under up down half whole
        slow medium fast bright straight page sheet chart practise practice listen minutes you
        your hands teacher instruments pitch"""
    )
)
"""English words that no German text has."""
SAME = frozenset(
    WORD.findall(
        """blues shuffle swing bass tempo tempi solo riff lick licks mambo stop vamp drop hammer
        pull slide chorus coda rhythm changes arpeggio box finger turnaround segno form band
        track montuno niosh itu xxxx guide tone tones shell tensions position loop fall hand phrase
        moment rest dominant fine trading note notes"""
    )
)
"""Words of four letters and more that both languages have: terms, names of styles, standards."""


@pytest.mark.parametrize("case", CASES)
def test_english_and_german_share_no_words(case: str, tmp_path: Path) -> None:
    english, request = form_of(case, tmp_path)
    german, _ = form_of(case, tmp_path, words="german")
    first, second = (
        {word.lower() for word in WORD.findall(text)}
        for text in (plain(english, request), texts(german, request))
    )
    assert second & ENGLISH == set()
    shared = {word for word in first & second if len(word) > 3}
    assert {word for word in shared if not word.endswith("maj")} - SAME == set()


def test_notes_chords_keys_and_numbers_are_german() -> None:
    with worded(Wording(library.load("words", "german"))):
        names = [note(NoteName.parse(name)) for name in ("B", "Bb", "F#", "Eb", "Ab")]
        assert names == ["H", "B", "Fis", "Es", "As"]
        chords = ("B7", "Bb7", "F#m7", "Eb7/Bb")
        assert [str(symbol(parse_chord(chord))) for chord in chords] == [
            "H7", "B7", "F♯m7", "E♭7/B",
        ]  # fmt: skip
        assert [key_words(Key.parse(key)) for key in ("Bb", "Bm")] == ["B-Dur", "h-Moll"]
        assert key_symbol(Key.parse("F#m")) == "F♯m"
        assert key_names(map(Key.parse, ("Eb", "G#m", "Eb"))) == "Es, gis-Moll"
        assert "\nH |" in tablature(read_tuning("guitar"), [[Place(2, 3)]])
        assert [noted("B3"), noted("b7")] == ["H3", "♭7"]
        assert listed(["C", "D", "E"]) == "C, D und E"
        assert [in_figures(92.5), in_figures(12_345, ",.0f")] == ["92,5", "12.345"]


def test_a_sheet_for_other_programs_has_the_same_notes_in_every_language() -> None:
    def notes_of(**words: Any) -> list[Any]:
        form = groove.read_form("minor-vamp", key="Bm", key_cycle="fourths", choruses=3, **words)
        with worded(form.lesson.words):
            data = json.loads(sheet_json(write_sheet(form, Request())))
        chords = [chord["chord"] for chord in data["chords"]]
        return [data["key"], chords, [key["key"] for key in data["keys"]]]

    assert notes_of(words="german") == notes_of()


def test_a_file_replaces_a_single_sentence_in_english(tmp_path: Path) -> None:
    path = tmp_path / "my.toml"
    path.write_text('[guide.intro]\nsimple_first = "Begin with the first one."\n')
    before = texts(groove.read_form("twelve-bar"), {})
    after = texts(groove.read_form("twelve-bar", words=str(path)), {})
    assert "From the simplest to the most colourful." in before
    assert (
        before.replace("From the simplest to the most colourful.", "Begin with the first one.")
        == after
    )


def test_a_pdf_says_its_language_and_has_its_title_in_it(tmp_path: Path) -> None:
    form = groove.read_form("twelve-bar", words="german")
    (path,) = write_chart_files(chart(form), [tmp_path / "chart.pdf"])
    content = path.read_bytes()
    assert b"/Lang (de)" in content
    assert b"lftaktiger Blues, Akkordblatt)" in content


def test_a_form_in_other_words_is_another_form_whose_files_are_made_again() -> None:
    shipped, german = (groove.read_form("twelve-bar", **w) for w in ({}, {"words": "german"}))
    assert repr(shipped.lesson.words) != repr(german.lesson.words)
    assert pickle.loads(pickle.dumps(german)) == german
