"""The music of an open form for the screen's player."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from groove import read_form
from groove.form.model import Form
from groove.form.unroll import unroll
from groove.handout.practice.data import page_data
from groove.handout.practice.takes import on_the_road
from groove.screen.live import Live, _Kept


@pytest.fixture(scope="module")
def live() -> Live:
    """With the sounds of one band, which stand for those of any other."""
    made = Live()
    made.music(read_form("one-chord-vamp", drums="shuffle"))
    first = made._kept
    assert first

    def others(_data: Any, form: Form, wanted: Any, _settings: Any) -> _Kept:
        assert made._kept
        number = made._kept.number + 1
        return replace(first, drums=form.drums.name, wanted=tuple(wanted), number=number)

    made._recorded = others  # type: ignore[method-assign]
    return made


def music_of(live: Live, form: str | Path, **fields: Any) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(live.music(read_form(form, **fields)))
    return found


def test_sounds_stay_while_the_chords_change_and_are_new_with_a_new_band(live: Live) -> None:
    first = music_of(live, "one-chord-vamp", drums="shuffle")
    sounds = json.loads(live.sounds(first["sounds"]) or b"")
    assert sounds.keys() == {"drums", "bass", "comping", "room"}
    changed = music_of(live, "twelve-bar", key="E", drums="shuffle", choruses=1)
    assert changed["sounds"] == first["sounds"]
    band = music_of(live, "one-chord-vamp", drums="slow-blues")
    assert band["sounds"] == first["sounds"] + 1
    assert live.sounds(first["sounds"]) is None


def test_the_notes_are_those_of_the_practice_page(live: Live) -> None:
    form = read_form("one-chord-vamp", drums="shuffle")
    track, page = music_of(live, "one-chord-vamp", drums="shuffle")["track"], page_data(form)
    home = page["home"]
    for part in ("drums", "bass", "comping"):
        here, there = (data["keys"][home]["round"][part] for data in (track, page))
        assert track["streams"][here] == page["streams"][there]


def test_levels_and_places_of_the_form_are_heard_with_the_sounds_that_are_there(live: Live) -> None:
    band = {"form": "one-chord-vamp", "drums": "shuffle"}
    before = music_of(live, **band)
    asked = {"levels": {"bass": 6}, "places": {"bass": "left", "comping": 0}}
    after = music_of(live, **band, **asked)
    assert after["sounds"] == before["sounds"]
    was, now = (
        {part["name"]: part for part in music["track"]["parts"]} for music in (before, after)
    )
    louder = now["bass"]["gain"] / was["bass"]["gain"]
    others = now["drums"]["gain"] / was["drums"]["gain"]
    assert louder / others == pytest.approx(10 ** (6 / 20), rel=1e-3)
    assert others < 1  # the whole stays about as loud
    assert now["bass"]["sides"] == pytest.approx([1.4142, 0], abs=1e-4)
    assert now["comping"]["sides"] == [1, 1]
    assert "sides" not in now["drums"]


def test_a_bar_of_the_track_knows_its_place_in_the_form(live: Live) -> None:
    path = Path(__file__).parents[1] / "arrangements" / "pop-song.toml"
    form = read_form(path)
    music = music_of(live, path)
    names = [section.name for section in form.sections]
    chart = unroll(on_the_road(form))
    expected = [
        (played.section.name, bar.in_section)
        for played in chart.passes
        for bar in chart.bars_of(played)
    ]
    assert [(names[section], bar + 1) for section, bar in music["places"]] == expected
    assert len(music["places"]) == music["track"]["bars"]


def test_an_intensity_that_is_drawn_over_many_choruses_is_heard_in_all_of_them(live: Live) -> None:
    drawn = {"drums": "shuffle", "choruses": 6, "intensity": "1 1 1 1 3 3", "tempo_step": 2}
    music = music_of(live, "one-chord-vamp", **drawn)
    form = read_form("one-chord-vamp", **drawn)
    assert len(music["places"]) == 6 * form.bars
    road = music["track"]["road"]
    assert [line["times"] for line in road["lines"]] == [6]
    assert len(road["course"]) == 6  # each chorus is faster
    few = music_of(live, "one-chord-vamp", **(drawn | {"choruses": 2}))
    assert "road" not in few["track"]


def test_another_key_has_its_own_notes_beside_those_of_home(live: Live) -> None:
    form = read_form("one-chord-vamp", drums="shuffle", key="C")
    track = json.loads(live.music(form, 3))["track"]
    bass = [key["round"]["bass"] for key in track["keys"]]
    assert {n for n, number in enumerate(bass) if number != bass[track["home"]]} == {3}
