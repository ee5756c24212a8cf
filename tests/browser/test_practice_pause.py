"""Pause and go on in the practice page: in the bar where it stopped, or after a bar of count-in."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.browser.practice_material import HEAR, ON_TIME, go_to

PAUSED = """({ pauses, seconds, change }) => {
  const { track, settings } = practice;
  let notes = [];
  const band = new Proxy({}, { get: (_, name) => (...given) => {
    if (!["takeBack", "silence"].includes(name)) return;
    const [parts, at] = given;
    notes = notes.filter((note) => note.at < at || !parts.includes(note.part));
  } });
  const player = new practice.Player(track, band, settings, (note) => notes.push(note));
  const places = [];
  player.start(0);
  let now = 0;
  const playUntil = (end) => {
    for (; now < end; now += 0.1) player.advance(now + 0.3, now);
    now = end;
  };
  for (const [at, goesOn] of pauses) {
    playUntil(at);
    player.pause(at);
    places.push(player.paused);
    if (change) change.forEach(([name, value]) => { settings[name] = value; });
    now = goesOn;
    player.goOnAt(now);
  }
  playUntil(seconds);
  return { notes, places };
}"""
"""The page's own player without sound, called as live; pauses: seconds of pause and of going on."""


def played(page: Any, seconds: float, *pauses: tuple[float, float], **change: Any) -> Any:
    """The notes of some seconds as (part, pitch, seconds)."""
    wish = {"pauses": pauses, "seconds": seconds, "change": list(change.items())}
    notes = page.evaluate(PAUSED, wish)["notes"]
    return sorted((note["part"], note["pitch"], note["at"], note["tick"]) for note in notes)


def struck(notes: Any, start: float, end: float) -> list[tuple[Any, ...]]:
    """Strokes and clicks that begin between two times."""
    return [
        (part, pitch, at)
        for part, pitch, at, _ in notes
        if part in ("drums", "click") and start < at < end
    ]


def after(notes: Any, start: float, end: float, later: float) -> list[tuple[Any, ...]]:
    """The same, so much later."""
    return [
        (part, pitch, pytest.approx(at + later, abs=ON_TIME))
        for part, pitch, at in struck(notes, start, end)
    ]


def test_without_a_count_in_it_goes_on_in_the_middle_of_the_bar(shared: Any) -> None:
    """Bar 3 begins after four seconds at 120; a pause at its third beat and a bit, of 3 seconds."""
    page = go_to(shared, "#countin=off&silent=none")
    whole = played(page, 12)
    paused = played(page, 15, (5.13, 8.13))
    assert [note for note in paused if note[2] < 5.13] == [n for n in whole if n[2] < 5.13]
    assert struck(paused, 8.13, 14.9) == after(whole, 5.13, 11.9, 3)
    held = [note for note in paused if 8.12 < note[2] < 8.14]
    assert {note[0] for note in held} <= {"bass", "comping"}  # long notes go on


def test_with_a_count_in_a_bar_is_counted_before_the_bar_where_it_stopped(shared: Any) -> None:
    page = go_to(shared, "#countin=on&silent=none")
    whole = played(page, 12)  # two seconds of count-in
    paused = played(page, 17, (7.13, 9.0))
    counted = [at for part, _, at, _ in paused if part == "count-in" and at > 8]
    assert counted == pytest.approx([9, 9.5, 10, 10.5], abs=ON_TIME)
    assert struck(paused, 10.9, 16.9) == after(whole, 5.9, 11.9, 5)


def test_a_pause_in_the_count_in_counts_again(shared: Any) -> None:
    page = go_to(shared, "#countin=on&silent=none")
    paused = played(page, 7, (1.2, 3.0))
    counted = [at for part, _, at, _ in paused if part == "count-in"]
    assert counted == pytest.approx([0, 0.5, 1, 3, 3.5, 4, 4.5], abs=ON_TIME)
    assert min(at for part, _, at, _ in paused if part == "bass") > 4.9
    twice = played(page, 12, (5.2, 6.0), (7.1, 8.0))  # the second time while bar 2 is counted
    counted = [at for part, _, at, _ in twice if part == "count-in" and at >= 6]
    assert counted == pytest.approx([6, 6.5, 7, 8, 8.5, 9, 9.5], abs=ON_TIME)
    ticks = [tick for part, _, at, tick in twice if part == "click" and at > 9]
    assert ticks[0] == 4 * page.evaluate("practice.track.beatTicks")  # bar 2


def test_a_pause_in_the_ending_goes_on_with_the_ending(shared: Any) -> None:
    """One round is over after 24 seconds."""
    page = go_to(shared, "#countin=off&rounds=1&silent=none")
    whole = played(page, 30)
    first = min(at for _, _, at, _ in whole if at > 23.9)
    paused = played(page, 34, (first + 0.05, first + 4.05))
    assert struck(paused, first + 4.05, 33) == after(whole, first + 0.05, 29, 4)


def test_key_and_tempo_that_change_in_a_pause_are_those_that_it_goes_on_with(shared: Any) -> None:
    page = go_to(shared, "#countin=off&silent=none")
    paused = played(page, 12, (5.0, 8.0), key=0, tempo=60)
    clicks = [at for part, _, at, _ in paused if part == "click" and at > 7.9]
    assert clicks[:4] == pytest.approx([8, 9, 10, 11], abs=ON_TIME)
    other = go_to(page, "#countin=off&silent=none&key=C&tempo=60")
    first = 2.6 * page.evaluate("4 * practice.track.beatTicks")  # notes that begin after the pause
    low, same = (
        [(pitch, tick) for part, pitch, _, tick in notes if part == "bass" and tick > first]
        for notes in (paused, played(other, 14))
    )
    assert low
    assert low == same[: len(low)]


def test_a_pause_just_before_the_next_round_steps_once(shared: Any) -> None:
    """The player is a little ahead: it has gone over to the next round, which is not heard yet."""
    page = go_to(shared, "#countin=off&silent=none&faster=10&tempo=120")
    played(page, 30, (23.9, 26.0))
    assert page.evaluate("practice.settings.tempo") == 130


def test_on_a_road_it_goes_on_in_the_metre_of_the_bar(shown: Any, road_page: Path) -> None:
    page = shown("#countin=on&silent=none", path=road_page)
    result = page.evaluate(PAUSED, {"pauses": [[9.3, 11]], "seconds": 16, "change": []})
    place = result["places"][0]
    counted = [n for n in result["notes"] if n["part"] == "count-in" and n["at"] > 10.9]
    clicks = [n for n in result["notes"] if n["part"] == "click" and n["at"] > 10.9]
    assert len(counted) > 1
    first, bar = clicks[0]["tick"], page.evaluate("practice.track.beatTicks * 4")
    assert first <= place["tick"] < first + bar
    assert clicks[0]["at"] > counted[-1]["at"]


def test_the_buttons_pause_go_on_and_stop(shown: Any) -> None:
    page = shown("#tempo=200&silent=none&countin=off")
    page.evaluate(HEAR)
    assert not page.is_visible("#pause")
    page.click("#play")
    page.wait_for_function("() => practice.stage.place()?.tick > 2000")
    page.click("#pause")
    tick = page.evaluate("practice.stage.place().tick")
    assert page.inner_text("#play-word") == "Go on"
    assert page.get_attribute("#pause", "aria-label") == "Stop"
    bar = page.inner_text("#bar-number")
    page.select_option("#key", label="E♭")
    page.fill("#tempo", "180")
    page.press("#tempo", "Enter")
    assert page.inner_text("#bar-number") == bar
    assert page.locator(".bar[aria-current]").count() == 1
    assert page.evaluate("practice.stage.place().tick") == tick
    page.click("#play")
    page.wait_for_function("(tick) => practice.stage.place()?.tick > tick + 100", arg=tick)
    assert page.evaluate("practice.stage.place().tick") < tick + 1920
    assert page.evaluate("practice.stage.place().key") == 3
    page.keyboard.press("p")
    assert page.inner_text("#play-word") == "Go on"
    page.click("#pause")
    assert page.inner_text("#play-word") == "Play"
    assert not page.is_visible("#pause")
    assert page.locator(".bar[aria-current]").count() == 0


def test_other_bars_end_a_pause_outside_them(shown: Any) -> None:
    page = shown("#tempo=200&countin=off")
    page.click("#play")
    page.wait_for_function("() => practice.stage.place()?.tick > 100")
    page.click("#pause")
    page.fill("#to", "9")
    page.press("#to", "Enter")
    assert page.inner_text("#play-word") == "Go on"  # bar 1 is still inside
    page.fill("#from", "5")
    page.press("#from", "Enter")
    assert page.inner_text("#play-word") == "Play"
