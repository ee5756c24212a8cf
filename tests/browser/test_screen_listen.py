"""Listening on the screen: the form as it stands is heard, a change at the next bar line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.browser.screen_material import Desk, served, window

FORM = """\
title = "Slow water"
key = "C"
tempo = 160
drums = "shuffle"
count_in = 1
choruses = 1
chords = "| C7 | % | % | % |"
"""
READY = 60_000  # ms: the sounds are made
HEARD = """
() => {
  const { listening } = groove.listen;
  globalThis.notes = [];
  listening.heard = (note) => notes.push(note);
}
"""


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    file = tmp_path_factory.mktemp("lessons") / "water.toml"
    return file, served(file, FORM)


@pytest.fixture
def desk(browser: Any, place: tuple[Path, str]) -> Any:
    file, address = place
    with window(browser, address, file, silent=False) as opened:
        ready = "() => document.querySelector('#play').getAttribute('aria-disabled') === 'false'"
        opened.page.wait_for_function(ready, timeout=READY)
        opened.page.evaluate(HEARD)
        yield opened


def in_bar(desk: Desk, bar: int) -> None:
    """Wait until a bar of the first section is heard."""
    desk.page.wait_for_function(
        "(bar) => groove.listen.listening.place()?.bar === bar", arg=bar, timeout=READY
    )


def test_play_marks_the_bar_that_is_heard_and_a_change_comes_at_the_next_bar_line(
    desk: Desk,
) -> None:
    """The bass of C7 has an F only once the bar that is changed to F7 is played."""
    page = desk.page
    page.locator("#play").click()
    assert page.locator("#play").inner_text() == "Stop"
    in_bar(desk, 0)
    assert page.locator(".bar.sounds").count() == 1
    desk.to_bar(1)
    desk.write("F7")
    desk.settle()
    in_bar(desk, 2)
    found = page.evaluate(
        """() => {
          const { player } = groove.listen.listening.stage;
          const { barTicks } = player.track;
          const bass = notes.filter((note) => note.part === "bass");
          const barOf = ({ tick }) => Math.floor((tick + 1) / barTicks);
          return bass.map((note) => [barOf(note), note.pitch % 12, note.at]);
        }"""
    )
    in_first = {pitch for bar, pitch, _ in found if bar == 0}
    in_second = {pitch for bar, pitch, at in found if bar == 1 and at > found[0][2] + 1}
    assert 0 in in_first
    assert 5 in in_second
    desk.press("Control+Space")
    assert page.locator("#play").inner_text() == "Play"
    assert page.locator(".bar.sounds").count() == 0


def test_the_chosen_bars_go_round_and_round(desk: Desk) -> None:
    page = desk.page
    desk.to_bar(2)
    desk.press("Shift+ArrowRight")
    page.locator("#loop").click()
    assert page.locator("#loop").get_attribute("aria-pressed") == "true"
    page.locator("#play").click()
    in_bar(desk, 2)
    in_bar(desk, 3)
    in_bar(desk, 2)
    page.locator("#loop").click()
    in_bar(desk, 0)
    page.locator("#play").click()


def test_while_there_are_mistakes_the_last_good_version_plays_on(desk: Desk) -> None:
    page = desk.page
    before = page.evaluate("groove.listen.listening.stage.settings.track.tempo")
    desk.to_bar(0)
    desk.write("H9")
    desk.settle()
    assert page.locator("#mistakes").is_visible()
    page.locator("#play").click()
    in_bar(desk, 0)
    assert page.evaluate("groove.listen.listening.stage.settings.track.tempo") == before
    page.locator("#play").click()
    page.locator("#undo").click()
    desk.settle()


def test_a_player_can_be_turned_down(desk: Desk) -> None:
    page = desk.page
    page.locator("#mix summary").click()
    page.get_by_label("Drums", exact=True).nth(-1).fill("0")
    assert page.evaluate("groove.listen.listening.stage.settings.loudness('drums')") == 0
