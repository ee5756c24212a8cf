"""The keys of the practice page: each listed one does what it says, all controls are in reach."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.browser.practice_material import HEAR

TEMPO = "practice.settings.tempo"
PLAYS = "practice.stage.playing"
LISTED = """() => [...document.querySelectorAll('#key-list div')].map((line) =>
  [line.querySelector('kbd').textContent, line.querySelector('dd').textContent])"""
MUTED = "[...practice.settings.muted].sort().join()"
VIEW = "document.documentElement.dataset.view"
MACHINE = "document.querySelector('[data-ready][aria-pressed=true]').dataset.ready"

DONE: dict[str, tuple[str, Any]] = {
    "Space": (PLAYS, True),
    "p": ("practice.stage.paused", True),
    "+": (TEMPO, 121),
    "\u2212": (TEMPO, 119),
    "f": (TEMPO, 125),
    "s": (TEMPO, 115),
    "u": ("practice.settings.key", 10),
    "d": ("practice.settings.key", 8),
    "w": ("practice.settings.wholeForm", True),
    "q": ("practice.settings.forEver", False),
    "k": ("practice.settings.countIn", False),
    "i": ("practice.settings.shape", "bass"),
    "a": ("practice.settings.scale === practice.settings.usualScale", False),
    "e": ("practice.settings.place", "1"),
    "l": ("practice.settings.leftHanded", True),
    "y": ("practice.settings.solo === 'off'", False),
    "1": (MUTED, "click,drums"),
    "2": (MUTED, "bass,click"),
    "3": (MUTED, "click,comping"),
    "0": (MUTED, ""),
    "v": (VIEW, "play"),
    "m": (MACHINE, "breathe"),
    "h": ("practice.audition.playing", True),
    "?": ("document.getElementById('keys-dialog').open", True),
}
"""What each key of a form that goes round changes: an expression, and its value afterwards."""
FROM_PLAYING = {"p"}
"""Keys that do something while the band plays."""
ELSEWHERE = {",", "b", "r", "t"}
"""Keys with a test of their own below."""


def listed(page: Any) -> dict[str, str]:
    """The keys of the list with their words."""
    page.evaluate("document.getElementById('show-keys').click()")
    lines = page.evaluate(LISTED)
    page.keyboard.press("Escape")
    assert len({key for key, _ in lines}) == len(lines)  # no two share one
    assert len({words for _, words in lines}) == len(lines)
    return dict(lines)


def press(page: Any, key: str) -> None:
    page.keyboard.press({"\u2212": "-"}.get(key, key))


def test_each_listed_key_does_what_it_says(opened: Any) -> None:
    page = opened("#bars=1-8&countin=on")
    keys = listed(page)
    assert keys.keys() == DONE.keys() | ELSEWHERE
    came = page.evaluate("location.hash")
    for key, (seen, value) in DONE.items():
        page.evaluate("(hash) => { location.hash = hash; }", "#tempo=120")
        page.evaluate("(hash) => { location.hash = hash; }", came)
        if key == "w":
            page.evaluate("(hash) => { location.hash = hash; }", "#bars=2-3")
        page.wait_for_function("() => practice.settings.tempo === 120")
        if page.evaluate(PLAYS) != (key in FROM_PLAYING):
            page.keyboard.press("Space")
            page.wait_for_function("(on) => practice.stage.playing === on", arg=key in FROM_PLAYING)
        before = page.evaluate(seen)
        assert before != value
        press(page, key)
        page.wait_for_function(f"(before) => ({seen}) !== before", arg=before)
        assert page.evaluate(seen) == value, keys[key]
        if key == "h":
            press(page, key)
            assert page.evaluate(seen) is False
        if key in ("?", "p"):
            page.keyboard.press("Escape")
            page.evaluate("practice.stage.paused && document.getElementById('pause').click()")
    assert page.seen.complaints == []


MICROPHONE = """
navigator.mediaDevices.getUserMedia = async (wish) => {
  window.wish = wish;
  return new AudioContext().createMediaStreamDestination().stream;
};
addEventListener("click", ({ target, timeStamp }) => {
  if (target.id === "tap") (window.taps ??= []).push(timeStamp);
}, true);
"""
"""A silent microphone that is always allowed; the times at which the tempo is tapped."""


def test_keys_of_the_road_the_drawer_and_the_microphone_do_what_they_say(
    opened: Any, road_page: Path
) -> None:
    page = opened("#tempo=320&countin=off&bars=5-23", road_page, MICROPHONE)
    page.keyboard.press("b")
    page.wait_for_timeout(250)
    page.keyboard.press("b")
    one, two = page.evaluate("window.taps")
    assert page.evaluate(TEMPO) == min(320, round(60_000 / (two - one)))
    page.evaluate("practice.settings.setTempo(320)")

    page.keyboard.press("Space")
    page.wait_for_selector("#go-on:visible")
    for asked in (True, False):  # the press is taken back by another
        page.keyboard.press("g")
        assert page.evaluate("practice.stage.player.goesOn !== null") is asked
        assert page.get_attribute("#go-on", "aria-pressed") == str(asked).lower()
    first = page.evaluate("practice.stage.player.stretch[0]")
    since = "(first) => practice.stage.place().tick - first"
    page.wait_for_function(f"{since} > 3840", arg=first)
    page.keyboard.press(",")
    page.wait_for_function(f"{since} < 3840", arg=first)
    page.keyboard.press("Space")

    for listens in (True, False):
        page.keyboard.press("t")
        page.wait_for_function("(on) => practice.tuner.listener.listens === on", arg=listens)
        assert page.is_visible("#tuner-body")  # it is unfolded, and stays so
    assert page.evaluate("'audio' in window.wish")

    page.keyboard.press("r")
    page.wait_for_function("() => practice.recording.recorder.isOn")
    page.wait_for_function("() => practice.stage.playing")
    page.keyboard.press("r")
    page.wait_for_function("() => practice.recording.recorder.state === 'off'")
    assert not page.evaluate(PLAYS)

    page.set_viewport_size({"width": 360, "height": 740})
    page.wait_for_function(f"() => {VIEW} === 'play'")
    for is_open in (True, False):
        page.keyboard.press("o")
        assert page.is_visible("#drawer") is is_open
    assert page.seen.complaints == []


CONTROLS = "button, input, select, textarea, summary, a[href]"
REACHED = f"""() => {{
  for (const body of document.querySelectorAll('.panel-body')) body.hidden = false;
  const seen = (one) => one.checkVisibility({{ visibilityProperty: true }}) && !one.disabled;
  const all = [...document.querySelectorAll('{CONTROLS}')].filter(seen);
  return all.filter((one) => one.tabIndex < 0 && !one.closest('#chart'))
    .map((one) => one.id || one.textContent);
}}"""
"""Controls that the Tab key doesn't come to; of the chart's bars it comes to one."""


def test_every_control_is_reached_by_tab(opened: Any, road_page: Path, asking_page: Path) -> None:
    for path in ({}, {"path": road_page}, {"path": asking_page}):
        page = opened(**path)
        assert page.evaluate(REACHED) == []
        assert page.locator(".bar[tabindex='0']").count() == 1
    page.set_viewport_size({"width": 360, "height": 740})
    page.keyboard.press("o")  # the drawer holds all that the play view has no room for
    assert page.evaluate(REACHED) == []


def test_keys_belong_to_the_field_in_focus(shown: Any) -> None:
    page = shown()
    page.focus("#tempo")
    page.keyboard.press("f")
    page.keyboard.press("+")
    page.focus("#key")
    page.keyboard.press("d")
    page.keyboard.press("d")
    assert page.evaluate(TEMPO) == 120
    assert page.evaluate("practice.settings.key") in (2, 9)  # as the browser's choice has it
    page.focus("#tempo-slider")
    page.keyboard.press("ArrowRight")
    assert page.evaluate(TEMPO) == 121
    page.keyboard.press("f")  # which no slider needs
    assert page.evaluate(TEMPO) == 126


def test_keys_of_the_browser_and_of_a_dialog_are_not_taken(shown: Any) -> None:
    page = shown()
    for combination in ("Control+f", "Alt+f", "Meta+f", "Shift+F"):
        page.keyboard.press(combination)
    page.keyboard.press("?")
    page.keyboard.press("f")
    page.keyboard.press("u")
    assert page.evaluate(TEMPO) == 120
    page.keyboard.press("Escape")
    page.keyboard.press("f")
    assert page.evaluate(TEMPO) == 125


DISPATCHED = """(given) => document.body.dispatchEvent(
  new KeyboardEvent('keydown', { bubbles: true, ...given }))"""


def test_a_key_is_found_with_caps_lock_and_in_another_script(shown: Any) -> None:
    page = shown()
    page.evaluate(DISPATCHED, {"key": "F", "code": "KeyF"})
    assert page.evaluate(TEMPO) == 125
    page.evaluate(DISPATCHED, {"key": "\u0444", "code": "KeyF"})  # Russian, on the same key
    assert page.evaluate(TEMPO) == 130
    page.evaluate(DISPATCHED, {"key": "ß", "code": "Minus"})
    page.evaluate(DISPATCHED, {"key": "f", "code": "KeyF", "isComposing": True})
    assert page.evaluate(TEMPO) == 130


def test_keys_with_a_sign_can_be_switched_off_on_this_device(opened: Any) -> None:
    page = opened()
    page.keyboard.press("?")
    page.uncheck("#single-keys")
    page.click("#keys-dialog .close")
    for key in ("f", "+", "?", "1"):
        page.keyboard.press(key)
    assert page.evaluate(TEMPO) == 120
    assert not page.is_visible("#keys-dialog")
    page.reload()
    page.wait_for_function("() => globalThis.practice?.ready")
    page.keyboard.press("f")
    assert page.evaluate(TEMPO) == 120
    page.evaluate(HEAR)
    page.keyboard.press("Space")  # writes no letter, figure or sign
    page.wait_for_function("() => practice.stage.playing")
    page.evaluate("document.getElementById('show-keys').click()")
    assert not page.is_checked("#single-keys")
    page.check("#single-keys")
    page.keyboard.press("Escape")
    page.keyboard.press("f")
    assert page.evaluate(TEMPO) == 125


def test_the_list_of_keys_is_accessible_and_comes_back_to_its_button(opened: Any, axe: str) -> None:
    for scheme in ("light", "dark"):
        page = opened(color_scheme=scheme)
        page.evaluate(axe)
        page.click("#keys-title button")
        page.click("#show-keys")
        found = page.evaluate("async () => (await axe.run('#keys-dialog')).violations")
        assert [one["id"] for one in found] == []
        page.keyboard.press("Escape")
        assert page.evaluate("document.activeElement.id") == "show-keys"


def test_the_next_section_is_a_key_away_on_a_road(shown: Any, road_page: Path) -> None:
    page = shown(path=road_page)
    assert {".", ",", "g"} <= listed(page).keys()
    second = page.evaluate(
        "practice.track.road.passes[1].first ?? practice.track.road.passes[1][0]"
    )
    page.keyboard.press(".")
    assert page.evaluate("practice.settings.from") == second + 1


LOCK_SCREEN = """
window.acts = {}; window.positions = [];
navigator.mediaSession.setActionHandler = (name, act) => { window.acts[name] = act; };
const set = navigator.mediaSession.setPositionState.bind(navigator.mediaSession);
navigator.mediaSession.setPositionState = (state) => { window.positions.push(state); set(state); };
const Usual = window.Audio;
window.Audio = class extends Usual {
  constructor(...given) { super(...given); window.silence = this; }
};
"""


def test_media_keys_and_lock_screen_do_what_the_buttons_do(opened: Any) -> None:
    page = opened("#key=Eb&tempo=200&countin=off&silent=none", before=LOCK_SCREEN)
    session = "navigator.mediaSession"
    assert page.evaluate(f"{session}.playbackState") == "none"  # not before a press
    page.click("#play")
    page.wait_for_function("() => window.silence && !window.silence.paused")
    told = page.evaluate(f"['title', 'artist', 'album'].map((name) => {session}.metadata[name])")
    assert told == ["Ferry Landing", "Round 1", "E♭ blues, 200 beats a minute"]
    assert page.evaluate(f"{session}.playbackState") == "playing"
    position = page.evaluate("window.positions.at(-1)")
    assert position["duration"] == pytest.approx(12 * 4 * 0.3)
    assert 0 <= position["position"] < 3
    page.wait_for_function("() => practice.stage.place()?.tick > 100")
    page.evaluate("window.acts.pause()")
    assert page.inner_text("#play-word") == "Go on"
    assert page.evaluate(f"{session}.playbackState") == "paused"
    assert page.evaluate("window.silence.paused")
    page.evaluate("window.acts.play()")
    assert page.inner_text("#play-word") == "Stop"
    page.evaluate("window.acts.play()")  # it plays already
    assert page.inner_text("#play-word") == "Stop"
    page.wait_for_function("() => practice.stage.place()?.tick > 4000")
    page.evaluate("window.acts.previoustrack()")
    page.wait_for_function("() => practice.stage.place().tick < 2000")
    assert page.evaluate("'nexttrack' in window.acts") is False  # it has no sections
    page.wait_for_function("() => !window.silence.paused")
    page.evaluate("window.silence.pause()")  # as when a headphone is pulled out
    page.wait_for_function("() => practice.stage.paused")
    page.evaluate("window.acts.stop()")
    assert page.inner_text("#play-word") == "Play"
    page.evaluate("window.acts.play()")
    assert page.inner_text("#play-word") == "Stop"
    assert page.seen.complaints == []


def test_a_browser_without_media_session_plays(opened: Any) -> None:
    page = opened(
        "#countin=off",
        before="Object.defineProperty(navigator, 'mediaSession', { value: undefined });",
    )
    page.click("#play")
    page.wait_for_selector(".bar[aria-current]")
    assert page.seen.complaints == []
