"""The memory of the practice page: settings, the student's own instrument, minutes, tempi."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.browser.practice_material import go_to
from tests.browser.test_practice_plan import BLOCKED, FULL

KEPT = "() => Object.keys(localStorage).filter((name) => name.startsWith('groove '))"


def again(page: Any, fragment: str = "", path: Path | None = None) -> Any:
    """The page opened anew on the same device: in the same browser, without its last address."""
    page.wait_for_timeout(250)  # until the last change is kept
    address = path.as_uri() if path else page.evaluate("location.href.split('#')[0]")
    page.goto("about:blank")
    page.goto(f"{address}{fragment}")
    page.wait_for_function("() => globalThis.practice?.ready")
    return page


def settings(page: Any) -> dict[str, Any]:
    """The settings of a page, by the names of the link's."""
    pairs = page.evaluate("practice.settings.toFragment()").split("&")
    return dict(pair.split("=") for pair in pairs)


def set_tempo(page: Any, tempo: int) -> None:
    page.fill("#tempo", str(tempo))
    page.press("#tempo", "Enter")


def test_without_a_link_the_page_opens_as_the_student_left_it(opened: Any) -> None:
    page = opened()
    assert not page.is_visible("#opened")
    page.select_option("#key", label="E♭")
    set_tempo(page, 93)
    page.uncheck("[data-part=bass] [type=checkbox]")
    left = settings(page)
    again(page)
    assert settings(page) == left
    assert page.inner_text("#opened-words") == "This page is as you left it."


def test_one_press_puts_it_back_to_how_it_came_and_another_forth_again(opened: Any) -> None:
    page = opened()
    came = settings(page)
    set_tempo(page, 93)
    left = settings(again(page))
    page.click("#opened-button")
    assert settings(page) == came
    assert page.input_value("#tempo") == "120"
    page.click("#opened-button")
    assert settings(page) == left
    page.click("#opened-button")
    assert settings(again(page)) == came
    assert not page.is_visible("#opened")


def test_a_link_opens_as_the_teacher_set_it(opened: Any) -> None:
    """Whatever is kept, and after a reload of what the student made of it, it can be put back."""
    fresh = settings(opened("#key=C&tempo=70"))
    page = opened()
    page.select_option("#key", label="E♭")
    page.select_option("#shape", label="keyboard")
    page.select_option("#written", label="bass clef readers")
    again(page, "#key=C&tempo=70")
    assert settings(page) == fresh
    set_tempo(page, 77)
    page.wait_for_function("() => location.hash.includes('tempo=77')")
    page.reload()
    page.wait_for_function("() => globalThis.practice?.ready")
    assert settings(page)["tempo"] == "77"
    page.click("#opened-button")
    assert settings(page) == fresh


def test_the_students_instrument_hand_and_reader_go_over_all_pages(
    opened: Any, crowded_page: Path
) -> None:
    page = opened()
    page.select_option("#shape", label="bass")
    page.select_option("#strings", label="five strings")
    page.check("#left-handed")
    page.select_option("#written", label="bass clef readers")
    set_tempo(page, 93)
    other = settings(again(page, path=crowded_page))
    own = {"show": "bass", "strings": "bass-5", "hand": "left", "for": "bass"}
    assert {name: other.get(name) for name in own} == own
    assert other["tempo"] == "126"  # which goes with its page
    again(page, "#show=guitar", path=crowded_page)
    assert "strings" not in settings(page)
    assert "not for your own instrument" in page.inner_text("#opened-words")
    page.click("#opened-button")
    assert {name: settings(page).get(name) for name in own} == own
    assert not page.is_visible("#opened")


def test_all_is_forgotten_after_one_question(opened: Any, crowded_page: Path) -> None:
    page = opened()
    came = settings(page)
    page.evaluate("localStorage.setItem('of another page', 'stays')")
    set_tempo(page, 93)
    page.locator("#steps input").first.check()
    page.select_option("#shape", label="keyboard")
    page.evaluate("practice.minutes.add(120)")
    page.wait_for_timeout(250)
    assert len(page.evaluate(KEPT)) > 3
    page.click("#kept-title button")
    page.click("#forget")
    page.click("#forget-no")
    assert len(page.evaluate(KEPT)) > 3
    page.click("#forget")
    page.click("#forget-yes")
    assert page.inner_text("#kept-said").startswith("Everything is forgotten, and the page is as")
    page.wait_for_timeout(250)
    assert page.evaluate("Object.keys(localStorage)") == ["of another page"]
    assert settings(page) == came
    assert page.input_value("#tempo") == "120"
    assert page.evaluate("location.hash") == ""
    assert page.is_disabled("#put-back")
    assert not page.locator("#steps input").first.is_checked()
    assert "is counted here" in page.text_content("#minutes")
    assert settings(again(page, path=crowded_page))["show"] == "guitar"


def test_after_forgetting_a_link_stands_as_it_came_and_what_is_changed_then_is_kept(
    opened: Any,
) -> None:
    page = opened("#key=C&tempo=70")
    set_tempo(page, 77)
    page.wait_for_function("() => location.hash.includes('tempo=77')")
    page.evaluate("document.getElementById('forget').click()")
    page.click("#forget-yes")
    page.wait_for_timeout(250)
    assert page.evaluate(KEPT) == []
    assert page.evaluate("location.hash") == "#key=C&tempo=70"
    assert settings(page)["tempo"] == "70"
    page.reload()
    page.wait_for_function("() => globalThis.practice?.ready")
    assert settings(page)["tempo"] == "70"
    assert not page.is_visible("#opened")
    set_tempo(page, 78)
    assert settings(again(page))["tempo"] == "78"


STEPS = "() => { for (let round = 0; round < 3; round++) practice.settings.roundOver(); }"


def test_what_a_machine_makes_of_tempo_and_key_is_not_kept(opened: Any) -> None:
    """The page opens tomorrow where the student, or the link, began tonight."""
    page = opened("#faster=4&next=up")
    page.evaluate(STEPS)
    page.uncheck("[data-part=bass] [type=checkbox]")
    assert (settings(page)["key"], settings(page)["tempo"]) == ("C", "132")  # as it is seen
    page.wait_for_function("() => location.hash.includes('bass')")
    assert page.evaluate("location.hash").startswith("#key=A&tempo=120&")
    again(page)
    assert (settings(page)["key"], settings(page)["tempo"]) == ("A", "120")
    assert "bass" in settings(page)["silent"]
    page.evaluate(STEPS)
    set_tempo(page, 100)  # in C, to which no student has gone
    page.evaluate(STEPS)
    page.uncheck("[data-part=drums] [type=checkbox]")
    again(page)
    assert (settings(page)["key"], settings(page)["tempo"]) == ("A", "100")


def test_nonsense_in_the_store_changes_nothing(opened: Any) -> None:
    page = opened()
    came = settings(page)
    for name in ("settings", "ticks", "reached", "minutes-x"):
        for value in ('"key=H&tempo=fast"', "{", "[1, {}]", '{"a": {"b": "c"}}'):
            page.evaluate(
                """([name, value]) => localStorage.setItem(
                  [`groove ${name}`, JSON.stringify(practice.track.title), practice.track.version]
                    .join(" "), value)""",
                [name, value],
            )
    for name in ("shape", "tunings", "leftHanded", "written", "single keys"):
        page.evaluate(f"localStorage.setItem('groove {name} device', '[\"toString\"]')")
    assert settings(again(page)) == came
    assert page.seen.complaints == []


@pytest.mark.parametrize("before", [BLOCKED, FULL])
def test_where_nothing_may_be_kept_the_page_works_and_says_so_once(
    opened: Any, before: str
) -> None:
    page = opened(before=before)
    page.select_option("#shape", label="bass")
    page.evaluate("practice.minutes.add(120)")
    assert "2 min today" in page.text_content("#minutes")
    page.click("#kept-title button")
    assert page.inner_text("body").count("keeps nothing") == 1
    page.click("#forget")
    page.click("#forget-yes")
    assert "is counted here" in page.text_content("#minutes")
    assert page.seen.complaints == []


AT = """const Real = Date; let at = new Real(%s).getTime();
window.Date = class extends Real {
  constructor(...given) { given.length ? super(...given) : super(at); }
  static now() { return at; }
};
window.setNow = (...when) => { at = new Real(...when).getTime(); };"""
"""The device's clock stands at a time that the test sets; months from 0."""

SUMS = "() => Object.values(practice.minutes.sums()).map(Math.round)"


def test_minutes_fall_on_their_days_round_midnight(opened: Any) -> None:
    """In New York on the day after its clocks went back, an hour more than 24 hours."""
    page = opened(before=AT % "2031, 10, 3, 0, 2, 0", timezone_id="America/New_York")
    page.evaluate("practice.minutes.add(300)")  # of which three minutes were yesterday
    assert page.evaluate(SUMS) == [120, 300]
    page.evaluate("setNow(2031, 10, 8, 23, 59, 59)")
    assert page.evaluate(SUMS) == [0, 300]
    page.evaluate("setNow(2031, 10, 9, 0, 0, 1)")
    assert page.evaluate(SUMS) == [0, 120]
    page.evaluate("setNow(2031, 10, 10, 0, 0, 1)")
    assert page.evaluate(SUMS) == [0, 0]


def test_a_clock_that_is_set_back_loses_no_minutes(opened: Any) -> None:
    page = opened(before=AT % "2031, 4, 9, 12, 0, 0")
    page.evaluate("practice.minutes.add(600)")
    page.evaluate("setNow(2031, 3, 2, 12, 0, 0)")
    page.evaluate("practice.minutes.add(60)")
    assert page.evaluate(SUMS) == [60, 660]
    page.evaluate("setNow(2031, 4, 9, 12, 0, 0)")
    assert page.evaluate(SUMS) == [600, 600]


def test_two_open_pages_take_no_minutes_from_each_other(opened: Any, practice_page: Path) -> None:
    page = opened()
    other = page.context.new_page()
    other.goto(practice_page.as_uri())
    other.wait_for_function("() => globalThis.practice?.ready")
    for each, seconds in ((page, 60), (other, 90), (page, 30), (other, 20)):
        each.evaluate("(seconds) => practice.minutes.add(seconds)", seconds)
    for each in (page, other):
        each.wait_for_function("() => practice.minutes.sums().today === 200")
        each.wait_for_function(
            "() => document.getElementById('minutes').textContent.includes('3 min')"
        )


def test_time_counts_while_the_band_plays_and_no_longer(opened: Any) -> None:
    page = opened("#tempo=300&countin=off")
    assert "is counted here" in page.text_content("#minutes")
    page.wait_for_timeout(200)
    page.click("#play")
    page.wait_for_function("() => practice.stage.context.currentTime > 0.2")
    started = page.evaluate("practice.minutes.from")
    page.wait_for_timeout(400)
    page.click("#play")
    stopped = page.evaluate("practice.stage.context.currentTime")
    seconds = page.evaluate("practice.minutes.sums().today")
    assert 0.3 < seconds <= stopped - started + 0.01
    page.wait_for_timeout(200)
    page.evaluate("practice.minutes.settle()")
    assert page.evaluate("practice.minutes.sums().today") == seconds


FOLLOW = """({ seconds, change, at }) => {
  const { track, settings } = practice;
  const silent = new Proxy({}, { get: () => () => {} });
  const player = new practice.Player(track, silent, settings);
  player.start(0);
  for (let time = 0; time < seconds; time += 0.5) {
    if (change && time === at) {
      settings[change[0]](...change.slice(1));
      if (change[0] === "setTempo") player.retime(time);
      if (change[0] === "setBars") player.restretch(time);
    }
    player.advance(time + 0.5, time);
    practice.reached.follow(time, (when) => player.placeAt(when), settings);
  }
  return [...practice.reached.all];
}"""
"""A player without sound, followed as live. A round of the form lasts 24 seconds at 120."""


@pytest.mark.parametrize(
    ("fragment", "change", "at", "found"),
    [
        ("#countin=off", None, 0, [[9, 120]]),
        ("#countin=on&key=C&rounds=1", None, 0, [[0, 120]]),
        ("#countin=off", ["setTempo", 140], 4, [[9, 120]]),  # at first slower
        ("#countin=off", ["setTempo", 100], 20, [[9, 100]]),  # the end slower
        ("#countin=off&bars=1-8", None, 0, []),
        ("#countin=off", ["setBars", 2, 12], 4, []),
        ("#countin=off&next=up&tempo=240&faster=10", None, 0, [[9, 240], [10, 250]]),
    ],
)
def test_the_tempo_reached_is_that_of_whole_rounds(
    shared: Any, fragment: str, change: list[Any] | None, at: float, found: list[list[int]]
) -> None:
    page = go_to(shared, fragment)
    page.evaluate("practice.reached.store.set('reached', {})")
    page.evaluate("practice.reached.reset()")
    assert page.evaluate(FOLLOW, {"seconds": 29, "change": change, "at": at}) == found


def test_the_tempo_reached_stands_by_the_ladder_for_each_key(opened: Any) -> None:
    page = opened()
    assert not page.is_visible("#reached")
    page.evaluate(
        "practice.reached.store.set('reached', { 9: 96, 0: 120, 3: 84.5 })",
    )
    page.select_option("#key", label="C")
    assert page.inner_text("#reached") == (
        "Played through in C: up to 120. In other keys: E♭ 84.5, A 96."
    )
    page.select_option("#key", label="D")
    assert page.inner_text("#reached") == "In other keys: C 120, E♭ 84.5, A 96."


def test_firefox_keeps_it_too(in_firefox: Any, practice_page: Path) -> None:
    page = in_firefox()
    page.evaluate(
        """() => { const key = document.getElementById('key'); key.value = 3;
        key.dispatchEvent(new Event('change')); practice.minutes.add(120); }"""
    )
    page.wait_for("location.hash.includes('key=Eb')")
    page = in_firefox()
    assert page.evaluate("practice.settings.key") == 3
    assert "2 min today" in page.evaluate("document.getElementById('minutes').textContent")
    page.click("#opened-button")
    assert page.evaluate("practice.settings.key") == 9
    page.evaluate("document.getElementById('forget').click()")
    page.click("#forget-yes")
    assert page.evaluate("localStorage.length") == 0
    assert page.complaints == []
