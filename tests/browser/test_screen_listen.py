"""Listening on the screen: the form as it stands is heard, a change at the next bar line."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
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
F_OF_THE_BASS = """notes.filter(({ part, pitch }) => part === "bass" && pitch % 12 === 5)
  .map(({ at }) => at)"""
READY = 60_000  # ms: the sounds are made
STAGE = "groove.listen.listening.stage"
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


@contextmanager
def _opened(browser: Any, place: tuple[Path, str]) -> Iterator[Desk]:
    file, address = place
    with window(browser, address, file, silent=False) as opened:
        ready = "() => document.querySelector('#play').getAttribute('aria-disabled') === 'false'"
        opened.page.wait_for_function(ready, timeout=READY)
        opened.page.evaluate(HEARD)
        yield opened


@pytest.fixture
def desk(browser: Any, place: tuple[Path, str]) -> Iterator[Desk]:
    with _opened(browser, place) as opened:
        yield opened


@pytest.fixture(scope="module")
def own(browser: Any, place: tuple[Path, str]) -> Iterator[Desk]:
    """A window that tests hand on, each with the form as it was at first."""
    with _opened(browser, place) as opened:
        opened.undo_all()
        yield opened
        assert opened.page.complaints == []


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
    page.evaluate(f"globalThis.player = {STAGE}.player")
    desk.to_bar(1)
    desk.write("F7")
    begin, now, bar = page.evaluate(
        """async () => {
          const { stage } = groove.listen.listening;
          const { context } = stage;
          const next = () => new Promise(requestAnimationFrame);
          while (stage.player === player) await next();
          return [stage.player.floor, context.currentTime, (4 * 60) / stage.settings.tempo];
        }"""
    )
    assert 0 < begin - now < bar
    page.wait_for_function(
        f"(begin) => {F_OF_THE_BASS}.some((at) => at >= begin)",
        arg=begin - 0.1,
        timeout=READY,
    )
    assert not page.evaluate(
        f"(begin) => {F_OF_THE_BASS}.some((at) => at < begin)",
        begin - 0.1,
    )
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


def test_levels_and_places_are_heard_at_once_and_written_into_the_form(desk: Desk) -> None:
    page, before = desk.page, desk.text
    page.evaluate("location.hash = 'band'")
    sounds = page.evaluate("groove.listen.listening.music.sounds")
    bass = page.get_by_role("group", name="Bass")
    level, place = page.get_by_label("Level: Bass"), page.get_by_label("Left to right: Bass")
    assert level.get_attribute("aria-valuetext") == "as in the mix"
    assert place.get_attribute("aria-valuetext") == "as in the mix: middle"
    level.focus()
    desk.press(*["ArrowRight"] * 3)
    assert page.evaluate(f"{STAGE}.settings.loudness('bass') ** 2") == pytest.approx(10 ** (3 / 20))
    desk.settle()
    place.fill("-30")
    desk.settle()
    assert "levels = {bass = 3}\n" in desk.text
    assert 'places = {bass = "left 30"}\n' in desk.text
    waits(desk, "groove.listen.listening.mix.bass.place === -30")
    assert page.evaluate("groove.listen.listening.mix.bass.level") == 3
    assert page.evaluate(f"{STAGE}.settings.loudness('bass')") == 1
    assert page.evaluate("groove.listen.listening.music.sounds") == sounds
    assert bass.inner_text().splitlines()[1:5] == [
        "Level",
        "3 dB louder",
        "Left to right",
        "left 30",
    ]
    desk.press("Control+z")
    desk.settle()
    assert "places" not in desk.text
    assert "levels = {bass = 3}" in desk.text
    assert place.get_attribute("aria-valuetext") == "as in the mix: middle"
    page.get_by_label("Level: Drums").fill("-4")
    desk.settle()
    bass.get_by_role("button").click()
    waits(desk, "document.activeElement.id === 'level-bass'")
    desk.settle()
    assert "levels = {drums = -4}\n" in desk.text
    page.locator("#levels-back").click()
    desk.settle()
    assert desk.text == before


def test_a_player_is_left_out_of_the_form(desk: Desk) -> None:
    page = desk.page
    page.evaluate("location.hash = 'band'")
    bass = page.get_by_role("group", name="Bass").get_by_role("checkbox")
    bass.uncheck()
    desk.settle()
    assert 'tacet = "bass"' in desk.text
    waits(desk, f"{STAGE}.settings.track.road !== undefined")
    bass.check()
    desk.settle()
    assert "tacet" not in desk.text


def waits(desk: Desk, condition: str) -> None:
    desk.page.wait_for_function(f"() => {condition}", timeout=READY)


def test_tempo_is_heard_at_once_and_key_from_the_next_bar_line(own: Desk) -> None:
    page = own.page
    page.locator("#play").click()
    in_bar(own, 0)
    page.locator("#heard-tempo-slider").focus()
    own.press("ArrowRight", "ArrowRight")
    assert page.evaluate(f"{STAGE}.player.wishes.tempo") == 162
    assert page.locator("#heard-tempo").input_value() == "162"
    page.locator("#heard-key").select_option("Eb")
    waits(own, f"{STAGE}.settings.key === 3")
    waits(own, "notes.some((note) => note.part === 'bass' && note.pitch % 12 === 3)")
    assert page.evaluate(f"{STAGE}.settings.tempo") == 162
    assert "160, C major" in page.locator("#heard-words").inner_text()
    assert own.text == FORM


def test_back_leads_to_the_form_s_own(own: Desk) -> None:
    page = own.page
    waits(own, f"{STAGE} !== null")
    page.locator("#heard-tempo").fill("162")
    page.locator("#heard-key").select_option("Eb")
    page.locator("#heard-back").click()
    waits(own, f"{STAGE}.settings.key === 0")
    assert page.evaluate(f"{STAGE}.settings.tempo") == 160
    assert page.locator("#heard-back").is_hidden()
    assert page.evaluate("document.activeElement.id") == "heard-tempo"


def test_what_is_heard_is_written_into_the_form_in_one_step(own: Desk) -> None:
    page = own.page
    page.locator("#heard-tempo").fill("140")
    own.press("Enter")
    page.locator("#heard-key").select_option("F")
    page.locator("#heard-keep").click()
    own.settle()
    waits(own, "document.querySelector('#said').textContent === 'It is written into the form.'")
    assert own.text == FORM.replace("160", "140").replace('"C"', '"F"').replace("C7", "F7")
    waits(own, f"{STAGE}.settings.track.tempo === 140")
    assert page.locator("#heard-keep").is_hidden()
    assert page.evaluate(f"{STAGE}.settings.key") == 5
    page.locator("#undo").click()
    own.settle()
    assert own.text == FORM


def test_a_form_with_mistakes_does_not_take_what_is_heard(own: Desk) -> None:
    page = own.page
    waits(own, f"{STAGE}.settings.track.home === 0")
    page.locator("#heard-key").select_option("F")
    own.to_bar(0)
    own.write("H9")
    own.settle()
    page.locator("#heard-keep").click()
    own.settle()
    assert "mend them first" in page.locator("#trouble").inner_text()
    assert "422" in page.complaints.pop()  # the browser's word for the refusal
    assert page.locator("#heard-keep").is_visible()
    page.locator("#heard-back").click()
    page.locator("#undo").click()
    own.settle()
    assert own.text == FORM


def test_another_tempo_of_the_form_itself_is_heard_while_it_plays(own: Desk) -> None:
    page = own.page
    if not page.evaluate(f"{STAGE}.playing"):  # where the tests before were not run here
        page.locator("#play").click()
    page.locator("#heard-tempo").fill("100")
    own.press("Enter")
    assert page.evaluate(f"{STAGE}.settings.tempo") == 100
    page.get_by_label("Tempo", exact=True).fill("180")
    waits(own, f"{STAGE}.settings.tempo === 180")
    assert page.locator("#heard-tempo").input_value() == "180"
    assert page.locator("#heard-back").is_hidden()
    assert page.evaluate(f"{STAGE}.playing")
    page.locator("#play").click()
    page.locator("#undo").click()


def test_lines_that_are_played_several_times_are_heard_in_their_order(own: Desk) -> None:
    page = own.page
    lines = '[{ play: "Form", times: 2, as: "solos" }, "Form"]'
    page.evaluate("groove.state.edit({ do: 'start-order' })")
    page.evaluate(f"groove.state.edit({{ do: 'order', lines: {lines} }})")
    own.settle()
    waits(own, "groove.listen.listening.places.length === 12")
    assert page.evaluate(f"{STAGE}.settings.track.road.rounds.length") == 3
    page.locator("#undo").click()
