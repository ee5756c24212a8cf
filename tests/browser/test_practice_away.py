"""The practice page on devices as they are: out of sight, interrupted, at other sample rates."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.browser.practice_material import HEAR, ON_TIME, beats, go_to, sound_of, wait_for_beats

OUT_OF_SIGHT = """() => {
  Object.defineProperty(document, 'hidden', { get: () => true });
  document.dispatchEvent(new Event('visibilitychange'));
}"""

_AUDIO = """const Usual = window.AudioContext;
window.AudioContext = class extends Usual { constructor(wish) { %s } };"""

SLOW_CLOCK = """
const quick = window.setInterval;
window.Worker = class { // calls back once a second, as a hidden page's own timers do
  postMessage(on) {
    clearInterval(this.timer);
    if (on) this.timer = quick(() => this.onmessage(), 1000);
  }
};
"""


def test_the_beat_holds_while_the_page_is_out_of_sight(opened: Any) -> None:
    """With the clock at its slowest: browsers call a hidden page once a second at least."""
    page = opened("#tempo=200&silent=none&countin=off", before=SLOW_CLOCK)
    page.evaluate(HEAR)
    page.evaluate(OUT_OF_SIGHT)
    page.click("#play")
    wait_for_beats(page, 12)
    notes = page.evaluate("window.notes")
    gaps = [after - before for before, after in pairwise(beats(notes))]
    assert gaps == pytest.approx([0.3] * len(gaps), abs=ON_TIME)
    assert min(note["ahead"] for note in notes) > 0


BUSY = "() => { const end = performance.now() + 500; while (performance.now() < end); }"
"""Holds the page up for half a second."""


def test_after_a_late_call_the_page_looks_further_ahead(opened: Any) -> None:
    page = opened("#tempo=200&silent=none&countin=off")
    page.evaluate(HEAR)
    page.click("#play")
    wait_for_beats(page, 3)
    page.evaluate(BUSY)
    wait_for_beats(page, 9)
    page.evaluate("() => { window.notes = []; }")
    page.evaluate(BUSY)
    wait_for_beats(page, 4)
    assert min(note["ahead"] for note in page.evaluate("window.notes")) > 0


def test_after_the_device_took_the_sound_away_it_goes_on_where_it_was(opened: Any) -> None:
    page = opened("#tempo=200&silent=none&countin=off")
    page.evaluate(HEAR)
    page.click("#play")
    page.wait_for_selector(".bar[aria-current]")
    page.evaluate("practice.stage.context.suspend()")  # as a telephone call does
    page.wait_for_function("() => document.getElementById('play-word').textContent === 'Go on'")
    assert "Press Go on" in page.inner_text("#said")
    page.click("#play")
    page.wait_for_function("() => document.getElementById('play-word').textContent === 'Stop'")
    wait_for_beats(page, len(beats(page.evaluate("window.notes"))) + 2)
    gaps = [after - before for before, after in pairwise(beats(page.evaluate("window.notes")))]
    assert gaps == pytest.approx([0.3] * len(gaps), abs=ON_TIME)


GONE = """() => {
  const { context } = practice.stage;
  const stands = context.currentTime;
  Object.defineProperty(context, 'currentTime', { get: () => stands, configurable: true });
}"""
"""The sound's clock stands still, as of a device that was unplugged."""


def test_after_the_device_was_unplugged_the_music_waits_and_the_page_says_so(opened: Any) -> None:
    page = opened("#tempo=200&silent=none&countin=off")
    page.evaluate(HEAR)
    page.click("#play")
    wait_for_beats(page, 8)  # of which four are handed on at once
    page.evaluate(GONE)
    page.wait_for_selector("#trouble:not([hidden])")
    assert "device is gone" in page.inner_text("#trouble")
    assert page.inner_text("#play-word") == "Go on"
    page.evaluate("() => { delete practice.stage.context.currentTime; window.notes = []; }")
    page.click("#play")
    assert page.is_hidden("#trouble")
    wait_for_beats(page, 2)
    assert page.evaluate("window.notes[0].tick") > 0


SLEPT = """() => {
  const { context } = practice.stage;
  const clock = Object.getOwnPropertyDescriptor(BaseAudioContext.prototype, 'currentTime');
  Object.defineProperty(context, 'currentTime', { get() { return clock.get.call(this) + 600; } });
}"""
"""The sound's clock has gone on for ten minutes, and the page did nothing meanwhile."""


def test_after_the_device_slept_the_music_waits_where_it_was(opened: Any) -> None:
    page = opened("#tempo=200&silent=none&countin=off")
    page.evaluate(HEAR)
    page.click("#play")
    wait_for_beats(page, 4)
    page.evaluate(SLEPT)
    page.wait_for_function("() => document.getElementById('play-word').textContent === 'Go on'")
    assert "Press Go on" in page.inner_text("#said")
    last = page.evaluate("Math.max(...window.notes.map(({ tick }) => tick))")
    assert last < 3840 * 4  # it hasn't run through ten minutes of music
    page.evaluate("() => { window.notes = []; }")
    page.click("#play")
    wait_for_beats(page, 4)
    assert last <= page.evaluate("window.notes[0].tick") < last + 960


@pytest.mark.parametrize("rate", [24000, 48000, 96000])
def test_it_sounds_the_same_at_other_sample_rates(shared: Any, rate: int) -> None:
    page = go_to(shared, "#tempo=120&countin=off")
    usual, other = (sound_of(page, 4, rate=each) for each in (44100, rate))
    assert len(other) == 4 * rate
    hundredths = [
        np.sqrt((sound.reshape(400, -1) ** 2).mean(axis=1)) for sound in (usual, other)
    ]  # level of every hundredth of a second
    assert np.corrcoef(*hundredths)[0, 1] > 0.98
    assert hundredths[1].mean() == pytest.approx(hundredths[0].mean(), rel=0.06)


def test_it_plays_on_a_device_at_48_kilohertz(opened: Any) -> None:
    page = opened(
        "#countin=off",
        before=_AUDIO % "super({ ...wish, sampleRate: 48000 });",
    )
    page.click("#play")
    page.wait_for_selector(".bar[aria-current]")
    assert page.evaluate("practice.stage.context.sampleRate") == 48000
    assert page.seen.complaints == []


def test_sound_that_is_locked_until_a_press_begins_with_the_first_one(opened: Any) -> None:
    page = opened("#countin=off", before=_AUDIO % "super(wish); this.suspend();")
    page.wait_for_function("() => practice.stage.context.state === 'suspended'")
    page.evaluate(HEAR)
    page.keyboard.press("Space")
    page.wait_for_selector(".bar[aria-current]")
    assert page.evaluate("practice.stage.context.state") == "running"
    assert 0 < page.evaluate("window.notes[0].ahead") < 0.25  # from the first note on


def test_a_browser_that_makes_no_sound_says_so(opened: Any, practice_page: Any) -> None:
    page = opened(before="0")
    page.add_init_script(
        "window.AudioContext = class { constructor() { throw new Error('none'); } };"
    )
    page.goto(f"{practice_page.as_uri()}?again")
    page.wait_for_selector("#trouble:not([hidden])")
    assert "could not prepare the sounds" in page.inner_text("#trouble")
    assert page.is_disabled("#play")


def test_without_an_audio_device_it_stops_and_says_so(opened: Any) -> None:
    """The clock of an audio context without a device stands still."""
    page = opened(before=_AUDIO % "super(wish); } get currentTime() { return 0;")
    page.click("#play")
    page.wait_for_selector("#trouble:not([hidden])")
    assert "no audio device" in page.inner_text("#trouble")
    assert page.inner_text("#play-word") == "Play"


@pytest.mark.parametrize(
    "old", ["Array.prototype.findLast", "window.AudioContext", "window.DecompressionStream"]
)
def test_a_browser_that_lacks_something_says_that_it_is_too_old(
    browser: Any, practice_page: Path, old: str
) -> None:
    page = browser.new_page()
    page.add_init_script(f"delete {old}")
    _says_too_old(page, practice_page)


def test_a_browser_that_can_not_read_the_program_says_that_it_is_too_old(
    browser: Any, practice_page: Path, tmp_path: Path
) -> None:
    """As if it knew no modules, as browsers before 2018: it takes such a script for data."""
    old = tmp_path / "old.html"
    source = practice_page.read_text("utf-8")
    old.write_text(source.replace('<script type="module">', '<script type="unknown">'), "utf-8")
    _says_too_old(browser.new_page(), old)


def test_a_page_of_which_a_part_is_missing_says_so(
    browser: Any, practice_page: Path, tmp_path: Path
) -> None:
    source = practice_page.read_text("utf-8")
    begins = source.index('id="sound-data">')
    (tmp_path / "damaged.html").write_text(
        source[: begins + 9_000] + source[begins + 9_002 :], "utf-8"
    )
    page = browser.new_page()
    page.goto((tmp_path / "damaged.html").as_uri())
    page.wait_for_selector("#trouble:not([hidden])")
    assert "Download the file again" in page.inner_text("#trouble")
    assert page.inner_text("#play-word") == "No sound"
    page.close()


def _says_too_old(page: Any, path: Path) -> None:
    page.goto(path.as_uri())
    page.wait_for_selector("#trouble:not([hidden])")
    assert "too old to play this page" in page.inner_text("#trouble")
    assert page.inner_text("#play-word") == "Too old"
    assert page.is_disabled("#play")
    page.close()


def test_the_screen_stays_on_while_it_plays(opened: Any) -> None:
    page = opened(
        before="""window.held = 0;
        Object.defineProperty(navigator, 'wakeLock', { value: { request: async () => {
          window.held += 1;
          const lock = new EventTarget();
          lock.release = async () => {
            window.held -= 1;
            lock.dispatchEvent(new Event('release'));
          };
          return lock;
        } } });"""
    )
    page.click("#play")
    page.wait_for_function("() => window.held === 1")
    page.click("#play")
    page.wait_for_function("() => window.held === 0")
    page.click("#play")
    page.click("#play")
    page.wait_for_function("() => window.held === 0")


def test_a_telephone_on_silent_plays_too(opened: Any) -> None:
    """On devices that sort sounds by purpose (W3C Audio Session, a draft; from memory)."""
    page = opened(
        before="Object.defineProperty(navigator, 'audioSession', { value: { type: 'auto' } });"
    )
    assert page.evaluate("navigator.audioSession.type") == "playback"
