"""The layouts of the practice page: play view, music stand and whole page, and the drawer."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

PHONES = [(360, 640), (360, 740), (740, 360)]
BEYOND = """(places) => places.filter((place) => {
  const all = [...document.querySelectorAll(place)].map((each) => each.getBoundingClientRect());
  return !all.length || all.some(({ left, top, right, bottom, width, height }) =>
    !width || !height || left < 0 || top < 0 || right > innerWidth || bottom > innerHeight);
})"""
"""Those of some places of the page that are missing, or reach beyond the screen."""
PLAYED_FROM = (
    "#chord-now", "#chord-next", "#drawing svg", "#drawn-name", "#hear-it", "#bar-number",
    "#beats i", "#play", "#key", ".step", "#tempo", "#more", ".bar[aria-current]",
)  # fmt: skip
WHOLE = "[document.documentElement.scrollWidth, document.documentElement.scrollHeight]"
SHOWN = "document.documentElement.dataset.view"


def sized(page: Any, width: int, height: int) -> None:
    page.set_viewport_size({"width": width, "height": height})
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => setTimeout(done)))")


def test_all_that_is_played_from_is_in_one_screen_of_a_phone(
    shown: Any, road_page: Path, crowded_page: Path, practice_page: Path
) -> None:
    for path in (practice_page, crowded_page, road_page):
        page = shown("#countin=off", path, viewport={"width": 360, "height": 640})
        page.click("#play")
        page.wait_for_selector(".bar[aria-current]")
        for width, height in PHONES:
            sized(page, width, height)
            assert page.evaluate(SHOWN) == "play"
            assert page.evaluate(BEYOND, PLAYED_FROM) == []
            assert page.evaluate(WHOLE) == [width, height]
            low = "[...document.querySelectorAll('#controls button')].map((e) => e.offsetHeight)"
            assert min(size for size in page.evaluate(low) if size) >= 44
            wide = "[...document.querySelectorAll('.step')].map((e) => e.offsetWidth)"
            assert min(page.evaluate(wide)) >= 44
        page.evaluate("practice.view.tell('take', 'Take 2 runs')")
        assert page.evaluate(BEYOND, [*PLAYED_FROM, "#states"]) == []
        page.evaluate("practice.view.tell('take', '')")
        assert page.is_hidden("#states")


def test_the_tempo_goes_in_steps_and_the_section_is_named(opened: Any, crowded_page: Path) -> None:
    page = opened("#tempo=100", crowded_page, viewport={"width": 360, "height": 740})
    for name, tempo in (("\N{MINUS SIGN}5", 95), ("\N{MINUS SIGN}1", 94), ("+1", 95), ("+5", 100)):
        page.click(f".step >> text={name}")
        assert page.evaluate("practice.settings.tempo") == tempo
    page.evaluate("() => { practice.track.sections = [['Bridge', 3]]; practice.view.refresh(); }")
    assert page.text_content("#section-now") == ""
    page.evaluate("() => { practice.settings.setBars(4, 4); practice.view.refresh(); }")
    assert page.inner_text("#section-now") == "Bridge"
    page.select_option("#shape", "off", force=True)
    assert page.locator("#drawing svg").count() == 0


HIT = """() => {
  const { left, top, width, height } = document.getElementById("hear-it").getBoundingClientRect();
  const at = (x, y) => document.elementFromPoint(left + x, top + y)?.closest("button, .bar")?.id;
  const [middle, half] = [width / 2, height / 2];
  const edges = [at(1, half), at(width - 1, half), at(middle, 1), at(middle, height - 1)];
  return [width, height, edges, at(width / 2, height + 2)];
}"""
"""The size of the button beside the scale's name, what a finger meets at its edges, and below."""


def test_the_scale_is_heard_by_a_press_beside_its_name_in_the_play_view(
    shown: Any, axe: str
) -> None:
    page = shown("#show=guitar", viewport={"width": 360, "height": 640})
    for width, height in PHONES:
        sized(page, width, height)
        *size, edges, below = page.evaluate(HIT)
        assert min(size) >= 44
        assert edges == ["hear-it"] * 4
        assert below != "hear-it"  # it takes nothing from the bars of the chart
    sounds = "[practice.audition.playing, document.getElementById('hear-it').ariaPressed]"
    for press in (lambda: page.click("#hear-it"), lambda: page.keyboard.press("h")):
        press()
        assert page.evaluate(sounds) == [True, "true"]
        assert page.inner_text("#states") == "You hear: A minor pentatonic"
        page.click("#hear-it")
        assert page.evaluate(sounds) == [False, "false"]
    assert page.get_attribute("#hear-it", "aria-label") == "Hear A minor pentatonic"
    page.focus("#hear-it")
    page.evaluate("() => { practice.settings.setBars(5, 5); practice.view.refresh(); }")  # D7
    assert page.inner_text("#chord-now") == "D7"
    assert page.evaluate("document.activeElement.id") == "hear-it"
    page.evaluate(axe)
    found = "axe.run('#drawing').then(({ violations }) => violations.map(({ id }) => id))"
    assert page.evaluate(found) == []
    page.select_option("#shape", "off", force=True)
    assert page.is_hidden("#hear-it")


def test_the_drawer_opens_over_the_chart_and_gives_the_focus_back(opened: Any, axe: str) -> None:
    page = opened(viewport={"width": 360, "height": 740})
    focus = "document.activeElement.id || document.activeElement.closest('section').id"
    page.focus("#more")
    page.keyboard.press("Enter")
    assert page.get_attribute("#more", "aria-expanded") == "true"
    assert page.evaluate(focus) == "drawer"
    page.keyboard.press("Tab")
    assert page.evaluate(focus) == "stretch"
    page.keyboard.press("Enter")
    assert page.is_visible("#from")
    assert page.is_hidden("#chart")
    assert page.locator(".card.now").count() == 1
    page.evaluate(axe)
    found = (
        "axe.run().then((found) => found.violations.map((rule) => [rule.id, rule.nodes[0].html]))"
    )
    assert page.evaluate(found) == []
    page.click("#play")  # it stays in reach
    assert page.evaluate("practice.stage.playing")
    page.focus("#from")
    page.keyboard.press("Escape")
    assert page.evaluate(focus) == "more"
    assert page.is_hidden("#from")
    assert page.is_visible("#chart")
    assert page.evaluate(found) == []
    page.evaluate("practice.layout.choose('stand')")
    assert page.evaluate(found) == []


def test_the_screen_sets_the_layout_unless_a_link_or_a_key_does(shown: Any) -> None:
    page = shown()
    for width, height, view in ((360, 740, "play"), (768, 1024, "stand"), (1440, 900, "page")):
        sized(page, width, height)
        assert page.evaluate(SHOWN) == view
    seen = []
    for _ in range(3):
        page.keyboard.press("v")
        seen.append(
            (page.evaluate(SHOWN), "view=" in page.evaluate("practice.settings.toFragment()"))
        )
    assert seen == [("play", True), ("stand", True), ("page", False)]
    page.evaluate("() => { location.hash = '#view=stand'; }")
    page.wait_for_function("() => practice.settings.view === 'stand'")
    sized(page, 360, 740)
    assert page.evaluate(SHOWN) == "stand"
    page.click("#more")
    page.select_option("#view", "page")
    assert page.is_visible("#hands")
    assert page.evaluate("document.querySelector('header #facts') !== null")
    assert page.seen.complaints == []


WALK = """() => {
  const { view, track, settings } = practice;
  const { bars } = track;
  const chart = document.getElementById("chart");
  const isSeen = (bar) => {
    const [own, all] = [bar, chart].map((each) => each.getBoundingClientRect());
    return own.top >= all.top - 1 && own.bottom <= all.bottom + 1;
  };
  const even = Array.from({ length: bars }, (_, n) => n * track.barTicks);
  const starts = track.road?.lineTicks ?? even;
  const missed = [];
  let isHigh = false;
  for (let bar = settings.from; bar <= settings.to; bar++) {
    const tick = starts[bar - 1];
    view.follow({ stage: "playing", tick, round: 0, key: settings.key, tempo: 90 });
    isHigh ||= chart.scrollHeight > chart.clientHeight;
    const sounding = chart.querySelector(".bar[aria-current]");
    const all = [...chart.querySelectorAll(".bar")];
    const next = all[all.indexOf(sounding) + 1];
    if (!isSeen(sounding) || (next ? !isSeen(next) : bar < bars)) missed.push(bar);
  }
  return [missed, isHigh];
}"""
"""The bars at which they or the next ones are not in view; whether the chart is higher than its
place."""


def test_the_chart_turns_by_itself_before_the_last_line_in_view_ends(
    opened: Any, crowded_page: Path, road_page: Path
) -> None:
    for path, bars in ((crowded_page, (1, 4)), (road_page, (1, 23))):
        page = opened("", path, viewport={"width": 360, "height": 640}, reduced_motion="reduce")
        page.evaluate("(bars) => practice.settings.setBars(...bars)", bars)
        missed, is_turned = page.evaluate(WALK)
        assert missed == []
        assert is_turned
        sized(page, 768, 640)
        page.evaluate("practice.layout.choose('stand')")
        assert page.evaluate(WALK)[0] == []


def test_a_button_goes_back_from_some_bars_to_all(shown: Any) -> None:
    page = shown("#countin=off", viewport={"width": 360, "height": 640})
    assert page.is_hidden("#all-bars")
    page.click(".bar >> nth=8")
    page.click(".bar >> nth=11")
    back = page.get_by_role("button", name="Bars 9 to 12: go back to all bars")
    assert back.inner_text() == "Bars 9 to 12 \N{MULTIPLICATION X}"
    assert min(back.bounding_box()[side] for side in ("width", "height")) >= 44
    page.click("#play")
    page.wait_for_selector(".bar[aria-current]")
    for width, height in PHONES:
        sized(page, width, height)
        assert page.evaluate(BEYOND, [*PLAYED_FROM, "#all-bars"]) == []
        assert page.evaluate(WHOLE) == [width, height]
    assert page.inner_text("#bar-number").startswith("Bar 9, round")
    back.click()
    assert page.evaluate("practice.settings.wholeForm")
    assert page.is_hidden("#all-bars")


def test_a_number_typed_into_a_bar_field_replaces_the_old_one(shown: Any) -> None:
    page = shown()
    for field, number, bars in (("#from", "9", [9, 12]), ("#to", "4", [4, 9])):
        page.click(field)
        page.evaluate("() => new Promise((done) => setTimeout(done))")
        page.keyboard.type(number)
        page.keyboard.press("Tab")
        assert page.evaluate("[practice.settings.from, practice.settings.to]") == bars
    page.click("#whole-form")
    assert page.inner_text("#whole-form") == "All 12 bars"
    assert page.evaluate("practice.settings.wholeForm")


def test_a_music_stand_has_the_whole_chart_as_large_as_it_fits(shown: Any) -> None:
    page = shown(viewport={"width": 768, "height": 1024})
    assert page.evaluate(BEYOND, [".bar", "#chord-now", "#play"]) == []
    size = "parseFloat(getComputedStyle(document.querySelector('.chords')).fontSize)"
    lines = "[...document.querySelectorAll('.number')].filter((n) => n.offsetParent).length"
    assert page.evaluate(size) >= 60  # CSS pixels: a thumb's breadth on a tablet, read from 1.5 m
    assert page.evaluate(lines) == 3
    for hidden in ("#hands", "#drawing", "#practise", "#facts"):
        assert page.is_hidden(hidden)
    sized(page, 1440, 900)
    assert page.evaluate(BEYOND, [".bar"]) == []


@pytest.mark.parametrize(("width", "height"), [(720, 450), (640, 512), (320, 256)])
def test_a_page_that_is_enlarged_keeps_everything_in_reach(
    opened: Any, width: int, height: int
) -> None:
    """Screens of 1440 by 900 and 1280 by 1024 CSS pixels at 200 and 400 percent."""
    page = opened(viewport={"width": width, "height": height})
    for place in ("#play", "#more", "#key", ".bar >> nth=0", "#chord-now"):
        page.locator(place).scroll_into_view_if_needed()
        assert page.evaluate(BEYOND, [place.split(" ")[0]]) == [] or place.startswith(".bar")
    assert page.evaluate("document.documentElement.scrollWidth") == width
    page.click("#more")
    page.click("#players h2")
    page.locator("#solo").scroll_into_view_if_needed()
    page.select_option("#solo", "example")
    assert page.evaluate("practice.settings.solo") == "example"


IN_VIEW = """(bar) => {
  const { chart } = practice.view;
  const place = chart.place.getBoundingClientRect();
  const { top, bottom } = chart.buttons[bar - 1].getBoundingClientRect();
  return place.top - 1 <= top && bottom <= place.bottom + 1;
}"""


def test_before_it_plays_the_chart_shows_the_first_bar_to_be_played(
    shown: Any, crowded_page: Path
) -> None:
    page = shown(
        "#bars=2", crowded_page, viewport={"width": 360, "height": 640}, reduced_motion="reduce"
    )
    page.evaluate("practice.view.chart.place.scrollTop = 10_000")
    page.evaluate("practice.settings.setBars(1, 1); practice.view.refresh()")
    page.wait_for_function(IN_VIEW, arg=1, timeout=5000)
