"""The panel of the practice machines, what is told beside the transport, links and files."""

from __future__ import annotations

import io
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import mido
import numpy as np
import pytest

from groove.library import data_folder
from tests.browser.practice_material import RATE, downloaded, wav_of

READY = tomllib.loads((data_folder() / "machines.toml").read_text("utf-8"))["ready"]
PRESSED = (
    "[...document.querySelectorAll('[data-ready][aria-pressed=true]')].map((b) => b.dataset.ready)"
)
SET = "(said) => { practice.settings.readFragment(said); }"


@pytest.fixture(scope="module")
def ferry(browser: Any, practice_page: Path) -> Iterator[Any]:
    """The page of the form in A, one for all tests; each sets what it needs."""
    context = browser.new_context(accept_downloads=True)
    page = context.new_page()
    page.goto(practice_page.as_uri())
    page.wait_for_function("() => globalThis.practice?.ready")
    page.click("#machines-title button")  # it is folded while no machine is set
    page.click("#own-machine summary")
    yield page
    context.close()


@pytest.mark.parametrize("name", [machine["name"] for machine in READY])
def test_a_ready_machine_is_set_by_a_press_kept_in_the_link_and_taken_back_by_another(
    ferry: Any, name: str
) -> None:
    ferry.evaluate("practice.settings.reset()")
    plain = ferry.evaluate("practice.settings.toFragment()")
    ferry.click(f"[data-ready={name}]")
    assert ferry.evaluate(PRESSED) == [name]
    link = ferry.evaluate("practice.settings.toFragment()")
    assert (link == plain) == (name == "plain")
    ferry.click("[data-ready=keep_time]")
    ferry.click("[data-ready=plain]")
    assert ferry.evaluate("practice.settings.toFragment()") == plain
    ferry.evaluate(SET, link)
    assert ferry.evaluate("practice.settings.toFragment()") == link


def test_the_panel_is_folded_as_the_page_opens_unless_a_machine_is_set(
    opened: Any,
) -> None:
    unfolded = "document.querySelector('#machines-title button').ariaExpanded === 'true'"
    assert not opened().evaluate(unfolded)
    assert opened("#turns=4-4-band").evaluate(unfolded)


def test_every_figure_of_a_machine_comes_back_with_its_link(ferry: Any) -> None:
    link = "rest=3-click&recount=on&turns=8-3-pitched-click&clean=4-asked&beats=one&alone=on"
    ferry.evaluate(SET, link)
    again = ferry.evaluate("practice.settings.toFragment()")
    assert all(pair in again.split("&") for pair in link.split("&"))
    ferry.evaluate(SET, "turns=0-4-band&rest=x&clean=-1&beats=seven&turns=4")
    assert ferry.evaluate("practice.settings.toFragment()").startswith("key=A&tempo=120&show=")
    ferry.evaluate(SET, "turns=999-999-nobody&rest=999&clean=999")
    assert "rest=16&turns=32-32-band&clean=20" in ferry.evaluate("practice.settings.toFragment()")


def test_figures_that_mean_nothing_are_hidden_and_what_does_not_go_together_is_said(
    ferry: Any,
) -> None:
    ferry.click("[data-ready=plain]")
    assert not ferry.is_visible("[data-machine=band]")
    ferry.check("[data-machine=turns]")
    assert ferry.is_visible("[data-machine=band]")
    ferry.select_option("[data-machine=silent]", "solo")
    assert "Choose a solo" in ferry.inner_text("#machine-said")
    assert ferry.evaluate(PRESSED) == []
    ferry.check("[data-machine=alone]")
    assert "the click stops" in ferry.inner_text("#machine-said")
    assert not ferry.is_visible("[data-machine=silent]")
    ferry.click("[data-ready=plain]")
    ferry.fill("[data-machine=clean]", "3")
    ferry.press("[data-machine=clean]", "Tab")
    assert "changes nothing" in ferry.inner_text("#machine-said")
    ferry.select_option("[data-machine=beats]", "backbeats")
    assert "can't be heard" in ferry.inner_text("#machine-said")
    ferry.click("[data-ready=breathe]")
    ferry.uncheck("#for-ever")
    ferry.fill("#stop-after", "1")
    ferry.press("#stop-after", "Tab")
    assert "played once" in ferry.inner_text("#machine-said")
    ferry.check("#for-ever")
    ferry.click("[data-ready=plain]")
    assert ferry.inner_text("#machine-said") == ""


@pytest.mark.parametrize(
    ("path", "words"),
    [("practice_page", "2 and 4"), ("crowded_page", "2 and 3"),
     ("road_page", "2 and 4 in 4/4, 2 in 2/4, 2 and 3 in 3/4, 2 in 6/8")],
)  # fmt: skip
def test_the_backbeats_of_the_metre_are_said(
    shown: Any, path: str, words: str, request: pytest.FixtureRequest
) -> None:
    page = shown("", request.getfixturevalue(path))
    assert page.inner_text("[data-ready=backbeats] b") == f"Click on {words}"
    assert words in page.text_content("[data-machine=beats] [value=backbeats]")


WATCH = """() => { window.said = []; window.shown = [];
  const watch = (id, list) => new MutationObserver(() =>
    list.push(document.getElementById(id).textContent))
    .observe(document.getElementById(id), { childList: true, subtree: true });
  watch('said', window.said); watch('states', window.shown); }"""


def test_the_screen_counts_the_bars_and_a_screen_reader_hears_each_turn_once(opened: Any) -> None:
    page = opened("#tempo=300&countin=off&turns=2-1-band")
    page.evaluate(WATCH)
    assert page.inner_text("#states") == "Machine: your own figures"
    page.click("#play")
    page.wait_for_function("() => window.shown.length > 3")
    page.click("#play")
    turn = ["Band: 2 bars", "Band: 1 bar", "Band rests: 1 bar"]
    assert page.evaluate("window.shown")[:4] == [*turn, turn[0]]
    said = ["Band: 2 bars. A7.", "Band rests: 1 bar.", "Band: 2 bars."]
    assert page.evaluate("window.said")[:3] == said  # the turn before the chord, in one region
    assert page.inner_text("#states") == "Machine: your own figures"
    page.keyboard.press("m")
    assert page.is_hidden("#states")
    assert page.seen.complaints == []


def test_the_last_clean_round_is_counted_with_its_step_for_a_bar(opened: Any) -> None:
    page = opened("#tempo=300&bars=1-2&countin=off&faster=4&clean=2")
    page.evaluate(WATCH)
    page.click("#play")
    page.wait_for_function("() => window.shown.length > 4")
    page.click("#play")
    counts = [f"Clean: {count} of 2" for count in ("0", "1")]
    assert page.evaluate("window.shown")[:5] == [
        *counts, "Clean: 2 of 2, faster by 4", *counts
    ]  # fmt: skip


def test_not_clean_is_pressed_by_button_or_key_and_takes_the_step_back(opened: Any) -> None:
    page = opened("#tempo=300&bars=1-2&countin=off&faster=10")
    assert page.is_hidden("#judge")
    page.click("#play")
    page.wait_for_function("() => practice.stage.place()?.number === 1")
    assert page.is_hidden("#clean")
    page.keyboard.press("n")
    page.wait_for_function(
        "() => document.getElementById('states').textContent === 'Not clean: once more'"
    )
    assert page.get_attribute("#not-clean", "aria-pressed") == "true"
    page.wait_for_function("() => practice.stage.place().round === 1")
    assert page.input_value("#tempo") == "300"
    page.wait_for_function("() => practice.stage.place().round === 2")
    assert page.input_value("#tempo") == "310"
    page.click("#not-clean")
    assert page.input_value("#tempo") == "300"
    page.wait_for_function("() => location.hash.includes('tempo=300')")
    assert page.evaluate("practice.settings.moved.before") == {"tempo": 300, "key": 9}
    page.click("#play")
    assert page.is_hidden("#judge")


def test_a_key_switches_the_machine_on_and_off_while_it_plays(shown: Any) -> None:
    page = shown("#tempo=300&countin=off&turns=1-1-band")
    page.click("#play")
    page.wait_for_function("() => practice.stage.place()?.machine?.name === 'out'")
    page.keyboard.press("m")
    assert page.evaluate("practice.settings.machine.turns") is False
    page.wait_for_function("() => practice.stage.place().machine === null")
    page.keyboard.press("m")
    page.wait_for_function("() => practice.stage.place().machine?.name === 'band'")
    page.click("#play")
    assert page.seen.complaints == []


def test_midi_and_wav_have_the_machine_and_are_as_long_as_is_said(ferry: Any) -> None:
    """Two rounds of two bars, at 240 one second a bar, with two bars of rest and one to count in
    between; in each the band is silent in the second bar. The drums, which ring on, are off."""
    ferry.evaluate(
        "() => { location.hash ="
        " '#tempo=240&bars=1-2&files=2&countin=off&rest=2&recount=on&turns=1-1-band"
        "&silent=drums,click'; }"
    )
    ferry.wait_for_function(
        "() => practice.settings.rounds === 2 && practice.settings.tempo === 240"
    )
    assert "0:10" in ferry.inner_text("#take-about")  # 7 seconds and what rings on
    midi = mido.MidiFile(file=io.BytesIO(downloaded(ferry, "#get-midi").read_bytes()))
    now, markers = 0, []
    for message in midi.tracks[0]:
        now += message.time
        if message.type == "marker":
            markers.append((now / 3840, message.text))
    assert markers == [(0, "Chorus 1"), (2, "Rest"), (4, "Count-in"), (5, "Chorus 2")]
    for track in midi.tracks[1:]:
        now, bars = 0, set()
        for message in track:
            now += message.time
            if message.type == "note_on":
                bars.add((now + 100) // 3840)
        assert bars <= ({4} if track.name == "click" else {0, 5})
        assert bars
    sound = np.abs(wav_of(ferry)).max(axis=1)
    assert len(sound) / RATE == pytest.approx(7 + 2.5, abs=0.01)
    bar = [sound[n * RATE : (n + 1) * RATE] for n in range(9)]
    loud = [bool(part[RATE // 2 : -RATE // 20].max() > 0.2) for part in bar]
    assert loud == [n in (0, 4, 5) for n in range(9)]
    assert max(part.max() for part in (bar[2], bar[3][: -RATE // 20])) < 1e-3


def test_no_rule_of_accessibility_is_broken_by_a_running_machine(opened: Any, axe: str) -> None:
    page = opened("#faster=4&clean=2-asked&turns=4-2-band&countin=off")
    page.click("#own-machine summary")
    page.click("#play")
    page.wait_for_selector("#judge:visible")
    page.evaluate(axe)
    found = page.evaluate("axe.run().then((found) => found.violations.map((rule) => rule.id))")
    assert found == []
