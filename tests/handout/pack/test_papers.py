"""Charts and sheets of a pack: for other readers too, on an instrument, in every key."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

import groove
from groove.errors import GrooveError
from groove.handout.pack.keys import in_keys, read_keys, usual_keys
from groove.handout.pack.overview import Facts, index_html
from groove.handout.pack.papers import moved_phrase, read_papers
from groove.handout.pack.plan import PackPlan, plan_pack
from groove.instrument.fretboard import read_tuning
from groove.lesson.phrase_notation import read_phrase
from groove.lesson.request import Request
from groove.sound.options import wanted
from groove.sound.synth.soundfonts import find_fonts
from groove.theory.keys import Key
from tests.handout.pack.pack_material import pack_into
from tests.handout.practice.page_material import data_in

FORM = groove.read_form("twelve-bar", key="C", tempo=100)
FONT = find_fonts(None, {}, [])
GUITAR = read_tuning("guitar")


def _plan(readers: str = "", paper: str = "a4", keys: str = "C,Eb", **asked: Any) -> PackPlan:
    papers = read_papers(FORM, readers, paper, Request(**asked))
    tracks = in_keys(FORM, read_keys(keys, FORM.key), [FORM.tempo])
    return plan_pack(FORM, tracks, wanted("none", {}), FONT, papers)


def _fingerprints(*args: Any, **asked: Any) -> dict[str, str]:
    return {piece.path: piece.fingerprint for piece in _plan(*args, **asked).pieces}


def test_every_other_reader_has_a_chart_and_a_sheet_beside_those_in_concert_pitch() -> None:
    papers = [path for path in _fingerprints("Bb", keys="C") if "chart" in path or "sheet" in path]
    assert [path.removeprefix("01_C/twelve-bar-blues_C_") for path in papers] == [
        "chart-Bb.musicxml", "chart-Bb.pdf", "chart-Bb.svg", "chart.musicxml", "chart.pdf",
        "chart.svg", "sheet-Bb.pdf", "sheet.pdf",
    ]  # fmt: skip


def test_the_overview_says_for_whom_each_paper_is() -> None:
    plan = _plan("Bb,bass-clef", keys="C")
    page = index_html(plan, {piece.path: Facts(1000) for piece in plan.pieces}, FONT)
    links = re.findall(r'pdf" data-kind="[a-z]*" data-format="pdf" aria-label="(.*?)">', page)
    assert links == [
        f"{paper}, PDF, C blues{reader}"
        for reader in ("", ", for B♭ instruments", ", bass clef")
        for paper in ("Chord chart", "Lesson sheet")
    ]
    assert re.findall(r'data-for="(.*?)" data-written="(.*?)"', page) == [
        ("C", "C"), ("Bb", "D"), ("bass", "C"),
    ]  # fmt: skip
    assert re.findall(r'<option value="(.*?)">(.*?)<', page) == [
        ("C", "Concert pitch"), ("Bb", "For B♭ instruments"), ("bass", "Bass clef"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("asked", "made_again"),
    [
        ({"instrument": "ukulele"}, r"_sheet\.pdf|practice"),
        ({"tuning": "drop-d"}, r"_sheet\.pdf|practice"),
        ({"left_handed": True}, r"_sheet\.pdf|practice"),
        ({"position": 3}, r"_sheet\.pdf|practice"),
        ({"dots": "names"}, r"_sheet"),
        ({"phrase": "C4 E4 G4"}, r"_sheet"),
        ({"paper": "letter"}, r"\.pdf"),
    ],
)
def test_what_is_asked_of_the_papers_changes_those_that_show_it(
    asked: dict[str, Any], made_again: str
) -> None:
    before, after = _fingerprints("Bb"), _fingerprints("Bb", **asked)
    new = {path for path in after if after[path] != before[path]}
    assert new == {path for path in after if re.search(made_again, path)}


def test_a_player_named_is_the_reader_that_they_are() -> None:
    assert _fingerprints("clarinet, ALTO-SAX") == _fingerprints("Bb,Eb")


@pytest.mark.parametrize(
    ("readers", "paper", "asked", "said"),
    [
        ("kazoo", "a4", {}, "for: found 'kazoo'"),
        ("", "a5", {}, "paper: found 'a5'"),
        ("", "a4", {"instrument": "harp"}, "instrument: found 'harp'"),
        ("", "a4", {"instrument": "keyboard", "position": 3}, "position: only for stringed"),
        ("Bb", "a4", {"phrase": "9f1"}, "phrase: 9f1 is not on this neck"),
    ],
)
def test_what_no_sheet_can_show_is_refused_before_anything_is_made(
    readers: str, paper: str, asked: dict[str, Any], said: str
) -> None:
    with pytest.raises(GrooveError, match=said):
        _plan(readers, paper, **asked)


@pytest.mark.parametrize("key", ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"])
def test_a_phrase_keeps_its_steps_in_every_key(key: str) -> None:
    home, there = Key.parse("C"), Key.parse(key)
    given = read_phrase("4f7 3f5:1/2 Bb3 C4:3/2", GUITAR, home.tonic)
    text = moved_phrase("4f7 3f5:1/2 Bb3 C4:3/2", GUITAR, home, there, None)
    moved = read_phrase(text, None, there.tonic)
    steps = {m.pitch - g.pitch for m, g in zip(moved, given, strict=True)}
    assert len(steps) == 1
    assert (steps.pop() - there.tonic.pitch_class) % 12 == 0
    assert [note.beats for note in moved] == [note.beats for note in given]


def test_a_phrase_on_the_edge_of_the_neck_goes_the_other_way() -> None:
    lowest = moved_phrase("E2", GUITAR, Key.parse("E"), Key.parse("D"), GUITAR)
    assert lowest == "D3:1"  # a step down is below the open string


def test_readers_of_transposing_instruments_get_the_phrase_in_their_key() -> None:
    papers = read_papers(FORM, "Bb", "a4", Request(phrase="5f3 4f2"))
    assert papers.request("Bb", FORM, FORM).phrase == "D3:1 F#3:1"  # written a tone above C, E


def test_a_track_that_goes_through_all_keys_is_packed_once() -> None:
    whole, part = (groove.read_form("one-chord-vamp", key_cycle="fourths", choruses=n, key="G")
                   for n in (12, 5))  # fmt: skip
    assert (usual_keys(whole), usual_keys(part), usual_keys(FORM)) == ("G", "all", "all")


def test_it_is_said_why_a_track_is_packed_once(tmp_path: Path) -> None:
    form = groove.read_form(
        "one-chord-vamp", key_cycle="fourths", choruses=12, chords="I7", key="G"
    )
    asked = {"keys": None, "tempos": (), "audio": "none", "stems": None, "without_each": None}
    packed, said = pack_into(tmp_path / "pack", form=form, **asked)
    assert any("goes through all twelve keys by itself" in line for line in said)
    folders = [path.name for path in packed.folder.iterdir() if path.is_dir()]
    assert folders == ["08_G"]


def test_the_papers_of_a_pack_are_on_the_paper_and_the_page_on_the_neck_that_were_asked_for(
    tmp_path: Path,
) -> None:
    from pypdfium2 import PdfDocument

    asked = {"keys": "C", "tempos": (), "audio": "none", "stems": None, "without_each": None}
    packed, _ = pack_into(
        tmp_path / "pack", readers="Eb", paper="letter", instrument="ukulele", **asked
    )
    papers = [name for name in packed.made if name.endswith(".pdf")]
    assert len(papers) == 4  # and each chart as a picture and as MusicXML
    for name in papers:
        page = PdfDocument(packed.folder / name)[0]
        assert [round(edge) for edge in page.get_size()] == [612, 792]  # points: 8.5 by 11 inches
    page = (packed.folder / "short-way_practice.html").read_text("utf-8")
    track = data_in(page, "track-data")
    assert (track["shape"], track["necks"]["tuning"]) == ("ukulele", "ukulele")
