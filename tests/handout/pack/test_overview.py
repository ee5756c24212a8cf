"""The overview of a pack: its sentences on the tracks."""

from __future__ import annotations

import re
from typing import Any

import pytest

import groove
from groove.handout.chart.written import write_chart
from groove.handout.pack.keys import in_keys, read_keys, read_tempos
from groove.handout.pack.overview import Facts, index_html
from groove.handout.pack.plan import plan_pack
from groove.sound.options import wanted
from groove.sound.synth.soundfonts import find_fonts


def _overview(
    keys: str, tempos: str, seconds: float = 60, name: str = "one-chord-vamp", **fields: Any
) -> str:
    form = groove.read_form(name, **fields)
    font = find_fonts(None, {}, [])
    tracks = in_keys(form, read_keys(keys, form.key), read_tempos(tempos, form.tempo))
    plan = plan_pack(form, tracks, wanted("mp3", {}), font)
    return index_html(plan, {piece.path: Facts(1000, seconds) for piece in plan.pieces}, font)


def _headings(page: str) -> list[str]:
    return [
        " ".join(re.sub(r"<[^>]+>", " ", heading).split())
        for heading in re.findall(r"<h3>(.*?)<span class=\"length\">", page)
    ]


def test_slow_tracks_come_first_in_each_key() -> None:
    page = _overview("C,Bb", "120,80", choruses=2)
    assert _headings(page) == ["80 beats a minute", "120 beats a minute"] * 2
    assert page.index("C mixolydian") < page.index("B♭ mixolydian")


def test_a_track_that_gets_faster_and_changes_key_says_so() -> None:
    page = _overview("Gm", "80", choruses=3, tempo_step=6, key_cycle="fourths")
    assert _headings(page) == ["80 to 92 beats a minute Gm, then Cm, Fm"]
    assert "One-chord vamp, G mixolydian at 80 to 92" in page  # the name of the player


@pytest.mark.parametrize(
    ("form", "key"), [("twelve-bar", "Bb"), ("minor-vamp", "Dm"), ("i-v-vi-iv", "Eb")]
)
def test_keys_have_the_names_that_stand_on_the_charts(form: str, key: str) -> None:
    home = write_chart(groove.read_form(form, key=key)).home
    assert f">{home}</h2>" in _overview(key, "80", name=form)


def test_a_title_in_another_script_is_a_link_that_holds() -> None:
    page = _overview("C", "80", title="夜の橋 & <1>")
    assert "<h1>夜の橋 &amp; &lt;1&gt;</h1>" in page
    for link in re.findall(r'(?:href|src)="([^"]*)"', page):
        assert link.isascii()
        assert "<" not in link


def test_a_track_is_as_long_as_its_audio_to_the_nearest_second() -> None:
    page = _overview("C", "80", seconds=83.6, choruses=1)
    assert re.findall(r'class="length">([^<]*)<', page) == ["1:24"]


def test_the_ids_of_keys_begin_with_a_letter_and_are_linked() -> None:
    page = _overview("C,Bb", "80", choruses=1)
    ids = re.findall(r'<section id="([^"]*)"', page)
    assert ids == ["key-01_C", "key-11_B-flat"]
    assert re.findall(r'<li><a href="#([^"]*)"', page) == ids
