"""The overview of a pack: this week's work, what can be chosen, and the list of files."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

import groove
from groove.form.model import Form
from groove.handout.chart.written import write_chart
from groove.handout.pack.keys import in_keys, read_keys, read_tempos
from groove.handout.pack.overview import Facts, index_html
from groove.handout.pack.papers import read_papers
from groove.handout.pack.plan import plan_pack
from groove.handout.practice.inline import words_html
from groove.handout.sheet.sheet import write_sheet
from groove.handout.teacher import remarks_html
from groove.lesson.blocks import heading_of
from groove.lesson.request import Request
from groove.lesson.voice import voice_of
from groove.sound.options import wanted
from groove.sound.synth.soundfonts import find_fonts
from groove.wording import worded
from tests.lesson.voice_material import ON_PLAN, SECOND, WHOLE, hostile, taught


def _overview(
    keys: str, tempos: str, seconds: float = 60, name: str = "one-chord-vamp", **fields: Any
) -> str:
    return _page_of(groove.read_form(name, **fields), keys, tempos, seconds)


def _page_of(
    form: Form, keys: str = "C", tempos: str = "80", seconds: float = 60, readers: str = ""
) -> str:
    font = find_fonts(None, {}, [])
    tracks = in_keys(form, read_keys(keys, form.key), read_tempos(tempos, form.tempo))
    papers = read_papers(form, readers, "a4", Request())
    plan = plan_pack(form, tracks, wanted("mp3", {}), font, papers)
    with worded(form.lesson.words):
        return index_html(plan, {piece.path: Facts(1000, seconds) for piece in plan.pieces}, font)


def _headings(page: str) -> list[str]:
    return [
        " ".join(re.sub(r"<[^>]+>", " ", heading).split())
        for heading in re.findall(r"<h3>(.*?)<span class=\"length\">", page)
    ]


def _field(page: str, name: str) -> list[str]:
    """The choices of a field for key or tempo."""
    return re.findall(rf'name="{name}" value="([^"]*)"', page)


def test_slow_tracks_come_first_in_each_key() -> None:
    page = _overview("C,Bb", "120,80", choruses=2)
    assert _headings(page) == ["80 beats a minute", "120 beats a minute"] * 2
    assert page.index("C mixolydian") < page.index("B♭ mixolydian")


def test_a_track_that_gets_faster_and_changes_key_says_so() -> None:
    page = _overview("Gm", "80", choruses=3, tempo_step=6, key_cycle="fourths")
    assert _headings(page) == ["80 to 92 beats a minute Gm, then Cm, Fm"]
    assert 'aria-label="G mixolydian at 80 to 92"></audio>' in page


@pytest.mark.parametrize(
    ("form", "key"), [("twelve-bar", "Bb"), ("minor-vamp", "Dm"), ("i-v-vi-iv", "Eb")]
)
def test_keys_have_the_names_that_stand_on_the_charts(form: str, key: str) -> None:
    home = write_chart(groove.read_form(form, key=key)).home
    assert f"<summary>{home}</summary>" in _overview(key, "80", name=form)


def test_a_title_in_another_script_is_a_link_that_holds() -> None:
    page = _overview("C", "80", title="夜の橋 & <1>")
    assert "<h1>夜の橋 &amp; &lt;1&gt;</h1>" in page
    for link in re.findall(r'(?:href|src)="([^"]*)"', page):
        assert link.isascii()
        assert "<" not in link


def test_a_track_is_as_long_as_its_audio_to_the_nearest_second() -> None:
    page = _overview("C", "80", seconds=83.6, choruses=1)
    assert re.findall(r'class="length">([^<]*)<', page) == ["1:24"]


def test_keys_and_tempi_can_be_chosen_where_there_are_several() -> None:
    page = _overview("C,Bb", "120,80", choruses=1)
    assert _field(page, "key") == ["01_C", "11_B-flat"]
    assert re.findall(r'<details id="key-([^"]*)"', page) == ["01_C", "11_B-flat"]
    assert _field(page, "tempo") == ["80", "120"]
    alone = _overview("C", "80", choruses=1)
    assert (_field(alone, "key"), _field(alone, "tempo"), "<select" in alone) == ([], [], False)


def test_the_page_opens_in_the_key_and_at_the_tempo_of_the_form() -> None:
    page = _overview("C,D,Bb", "90,110,130", choruses=1, key="D", tempo=110)
    assert re.findall(r'value="([^"]*)" aria-label="[^"]*" checked', page) == ["03_D", "110"]
    assert re.search(r'<audio [^>]*src="([^"]*)"', page)[1] == "03_D/one-chord-vamp_D_110.mp3"
    assert 'href="one-chord-vamp_practice.html#key=D&amp;tempo=110" aria-describedby' in page
    assert '<span id="opens">It opens in D at 110.</span>' in page


def test_twelve_keys_at_three_tempi_are_one_player_and_one_folded_list() -> None:
    page = _overview("all", "80,100,120", choruses=1)
    before, _, files = page.partition('<details id="all">')
    assert before.count("<audio") == 1
    assert len(re.findall(r"<li><a ", before)) == 5  # of one key and tempo
    assert len(re.findall(r"<li><a ", files)) == 12 * (4 + 3 * 2)
    assert len(page.encode()) < 100_000


# What to do this week


def _week(page: str) -> str:
    return re.search(r'<section id="week".*?</section>', page, re.DOTALL)[0]


def test_the_week_has_the_remarks_and_the_plan_with_its_minutes(tmp_path: Path) -> None:
    week = _week(_page_of(taught(tmp_path)))
    plan = write_sheet(taught(tmp_path)).guide.plan
    for said in (WHOLE, SECOND, ON_PLAN):
        assert f"<p>{said}</p>" in week or f": {said}</p>" in week
    steps = re.findall(r'"minutes">(\d+) min</span> <div><strong>(.*?)\.</strong>', week)
    assert steps == [(str(step.minutes), step.title) for step in plan.steps]


@pytest.mark.parametrize("language", ["english", "german"])
def test_remarks_and_plan_have_the_names_of_sheet_and_practice_page(
    tmp_path: Path, language: str
) -> None:
    form = taught(tmp_path)
    if language == "german":
        form = groove.read_form(tmp_path / "taught.toml", words=language)
    week = _week(_page_of(form))
    with worded(form.lesson.words):
        remarks, plan = heading_of("remarks"), heading_of("plan")
        assert words_html()["words.practise.title"] == plan
        assert f">{remarks}</h2>" in remarks_html(voice_of(form.lesson))
    assert f"<h3>{remarks}</h3>" in week
    assert f"<summary>{plan}: " in week


def test_the_tempi_of_the_plan_are_links_to_the_practice_page(tmp_path: Path) -> None:
    form = taught(tmp_path)
    rungs = re.findall(
        r'<a href="taught_practice.html#key=A&amp;tempo=(\d+)" '
        r'aria-label="Play at (\d+)">(\d+)</a>',
        _week(_page_of(form, keys="A", tempos=f"{form.tempo:g}")),
    )
    assert rungs == [(str(tempo),) * 3 for tempo in write_sheet(form).guide.plan.ladder]


def test_the_plan_is_that_of_the_learner_and_left_out_where_the_sheet_has_none() -> None:
    assert "Chord tones only." not in _overview("C", "80", learner="beginner")
    assert '<section id="week"' not in _overview("C", "80", blocks=["chart", "scales"])


def test_every_key_and_reader_has_a_plan_in_its_own_notes() -> None:
    form = groove.read_form("twelve-bar", key="C", tempo=100)
    page = _page_of(form, keys="C,D", readers="Bb")
    data = json.loads(re.search(r'id="data">(.*?)</script>', page)[1])
    said = {
        name: " ".join(data["sentences"][step[2]] for step in plan["steps"])
        for name, plan in data["plans"].items()
    }
    assert said.keys() == {"01_C C", "01_C Bb", "03_D C", "03_D Bb"}
    assert "C7 (C E G B♭)" in said["01_C C"]
    assert "D7 (D F♯ A C)" in said["01_C Bb"]
    assert "D7 (D F♯ A C)" in said["03_D C"]


def test_words_of_a_hostile_teacher_are_words(tmp_path: Path) -> None:
    page = _page_of(hostile(tmp_path))
    assert "<script>alert" not in page
    assert page.count("<script") == page.count("</script>") == 3
    assert _week(page).count("&lt;script&gt;alert(1)&lt;/script&gt;") == 3


def test_it_is_written_in_german_too() -> None:
    page = _overview("C,D", "80,100", words="german")
    assert '<html lang="de">' in page
    for words in ("Das übst du diese Woche", "Zur Übungsseite", "Ganze Band", "Alle Dateien"):
        assert words in page
    for words in ("What to do", "Whole band", "Again and again", "All files", "Take it"):
        assert words not in page
