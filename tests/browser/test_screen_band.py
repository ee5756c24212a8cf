"""The band on the screen: patterns are found, heard and chosen, and players get instruments."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.browser.screen_material import WAIT, Desk, served, window

FORM = """\
# Thursday.
key = "F"
tempo = 160
feel = "swing"  # as ever
chords = "| F7 | Bb7 | F7 | C7 |"
"""
HEARD = """() => {
const { start } = AudioBufferSourceNode.prototype;
globalThis.heard = [];
AudioBufferSourceNode.prototype.start = function (...when) {
  globalThis.heard.push(this.buffer);
  return start.apply(this, when);
};
}"""
PLAYING = """(value) => {
  const { listening } = groove.listen;  // as if the form were played
  for (const [name, told] of [["playing", true], ["place", () => null]]) {
    if (value) Object.defineProperty(listening, name, { value: told, configurable: true });
    else delete listening[name];
  }
}"""


@pytest.fixture(scope="module")
def desk(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """A window of the band with its policy as it is; fetched music is left out."""
    file = tmp_path_factory.mktemp("lessons") / "ferry.toml"
    with window(browser, served(file, FORM), file, viewport={"width": 360, "height": 740}) as here:
        here.page.evaluate(HEARD)
        here.page.locator("#parts a[href='#band']").click()
        here.page.locator("#who-list .hear").first.wait_for(timeout=WAIT)
        yield here
        assert here.page.complaints == []


@pytest.fixture(autouse=True)
def as_before(desk: Desk) -> Iterator[None]:
    yield
    desk.undo_all()
    assert desk.text == FORM


def change(desk: Desk, place: int) -> None:
    """Open the list of a player's patterns."""
    button = desk.page.locator("#who-list [aria-expanded]").nth(place)
    if button.get_attribute("aria-expanded") == "false":
        button.click()


def row(desk: Desk, title: str) -> Any:
    named = desk.page.locator(".pattern-title").filter(has_text=title)
    return desk.page.locator("#finder-lists li").filter(has=named).first


def wait_for(desk: Desk, script: str) -> None:
    for _ in range(WAIT // 50):  # the page's policy forbids a function that waits in it
        if desk.page.evaluate(script):
            return
        desk.page.wait_for_timeout(50)
    raise AssertionError((script, desk.page.locator("#band-told").inner_text()))


def test_a_pattern_is_found_by_words_and_style_and_chosen_by_keyboard(desk: Desk) -> None:
    page = desk.page
    change(desk, 0)
    page.locator("#find-search").fill("clave")
    page.locator("#find-style").select_option("latin")
    assert page.locator("#finder-count").inner_text().endswith("patterns found.")
    desk.tab_to("#finder-lists .hear")
    first = desk.focused
    desk.press("ArrowDown", "ArrowDown", "ArrowUp")
    assert desk.focused != first
    desk.press("ArrowUp")
    assert desk.focused == first
    desk.press("Tab")
    title = desk.focused.removeprefix("Choose ")
    desk.press("Enter")
    desk.settle()
    wait_for(desk, "document.querySelector('#finder-lists .chosen') !== null")
    chosen = page.locator("#finder-lists .chosen")
    assert title in chosen.inner_text()
    assert "✓ Chosen" in chosen.inner_text()
    assert desk.focused == f"{title}, chosen"
    assert page.locator("#who-list li").first.inner_text().split("\n")[2] == title
    assert desk.text.startswith(FORM)
    assert 'drums = "' in desk.text
    page.locator("#finder-close").click()
    assert not page.locator("#finder").is_visible()
    assert desk.focused == "Change: Drums"


def test_what_does_not_fit_stays_in_the_list_and_says_why(desk: Desk) -> None:
    page = desk.page
    change(desk, 1)
    page.locator("#find-search").fill("waltz-walk")
    found = row(desk, "Waltz")
    assert "this form is in 4/4: choose drums in 3/4 first" in found.inner_text()
    choose = found.locator(".choose")
    assert choose.get_attribute("aria-disabled") == "true"
    choose.click(force=True)
    desk.settle()
    assert desk.text == FORM
    page.locator("#find-search").fill("no such words")
    assert "Nothing has these words" in page.locator("#finder-lists").inner_text()


def test_drums_that_change_the_form_say_so_and_are_one_step(desk: Desk) -> None:
    page = desk.page
    change(desk, 0)
    page.locator("#find-style").select_option("")
    page.locator("#find-search").fill("slow-blues")
    found = row(desk, "Slow")
    assert "It is in 12/8, and this form is in 4/4" in found.inner_text()
    found.locator(".choose").click()
    desk.settle()
    assert 'drums = "slow-blues"' in desk.text
    assert "feel" not in desk.text
    assert desk.undo_all() == 1


def test_guitar_and_keys_play_together_and_percussion_comes_and_goes(desk: Desk) -> None:
    page = desk.page
    change(desk, 2)
    page.locator("#find-search").fill("quarter")
    row(desk, "Quarter").locator(".add").click()
    desk.settle()
    wait_for(desk, "document.querySelectorAll('#finder-lists .chosen').length > 0")
    assert 'comping = "charleston-piano, quarter-chops"' in desk.text
    page.get_by_role("button", name="Take what the drums bring").click()
    desk.settle()
    assert "comping" not in desk.text
    change(desk, 3)
    row(desk, "Shaker").locator(".choose").click()
    desk.settle()
    assert 'percussion = "shaker"' in desk.text
    wait_for(desk, "document.querySelectorAll('#finder-lists .chosen').length === 1")
    row(desk, "Shaker").locator(".choose").click()
    desk.settle()
    assert 'percussion = "none"' in desk.text


def test_a_list_opens_with_its_head_on_top_and_the_way_out_stays_in_sight(desk: Desk) -> None:
    page = desk.page
    if page.locator("#finder").is_visible():
        page.locator("#finder-close").click()
    page.evaluate("scrollTo(0, 0)")
    change(desk, 1)
    close = page.locator("#finder-close")
    assert desk.focused == "Patterns: Bass"
    top = page.locator("#finder-title").bounding_box()["y"]
    assert 50 < top < 120
    page.locator("#finder-lists .cannot li").last.scroll_into_view_if_needed()
    assert 50 < close.bounding_box()["y"] < 120
    close.click()
    assert desk.focused == "Change: Bass"
    assert page.locator("#who-list [aria-expanded]").nth(1).bounding_box()["y"] > 50


def test_who_plays_is_shown_before_the_patterns_are_told(desk: Desk) -> None:
    file = desk.file.with_name("other.toml")
    with window(desk.page.context.browser, served(file, FORM), file) as here:
        here.page.route("**/band/patterns", lambda _route: None)
        here.page.locator("#parts a[href='#band']").click()
        titles = here.page.locator("#who-list .pattern-title")
        titles.first.wait_for()
        found = ["Medium swing", "Walking in four", "Charleston piano", "No percussion"]
        assert titles.all_inner_texts() == found


def test_what_was_found_is_no_longer_said_in_the_list_of_another_player(desk: Desk) -> None:
    page = desk.page
    change(desk, 1)
    page.locator("#find-search").fill("octaves")
    assert page.locator("#finder-count").inner_text() != ""
    change(desk, 2)
    assert page.locator("#find-search").input_value() == ""
    assert page.locator("#finder-count").inner_text() == ""
    page.locator("#find-feel").select_option("swing")
    assert page.locator("#finder-count").inner_text().endswith("patterns found.")
    page.locator("#find-feel").select_option("")
    assert page.locator("#finder-count").inner_text() == ""


def test_drums_are_found_by_the_words_of_the_sheet_and_of_their_descriptions(desk: Desk) -> None:
    page = desk.page
    change(desk, 0)
    titles = page.locator("#finder-lists .pattern-title")
    page.locator("#find-search").fill("medium shuffle")
    assert "Shuffle" in [title.strip() for title in titles.all_inner_texts()]
    page.locator("#find-search").fill("BAIAO drums")
    assert [title.strip() for title in titles.all_inner_texts()] == ["Baião"]
    page.locator("#find-search").fill("swings backbeat drums")
    assert page.locator("#finder-lists li").count() == 0
    page.locator("#find-search").fill("")


def test_a_list_begins_with_what_is_of_the_drums_style_and_shows_all_when_asked(
    desk: Desk,
) -> None:
    page = desk.page
    change(desk, 0)
    page.locator("#find-search").fill("songo")
    row(desk, "Songo").locator(".choose").click()
    desk.settle()
    usual = "document.querySelector('#who-list .pattern-title').textContent === 'Songo'"
    wait_for(desk, usual)
    page.locator("#find-search").fill("")
    change(desk, 1)
    rows = page.locator("#finder-lists .fits li")
    begun = rows.count()
    assert begun == 3
    page.locator("#finder-lists .quiet").first.click()
    assert rows.count() > begun
    assert rows.nth(begun).locator(":focus").count() == 1


def test_a_row_that_is_chosen_stays_under_the_finger_until_the_list_is_opened_anew(
    desk: Desk,
) -> None:
    page = desk.page
    change(desk, 0)
    page.locator("#find-search").fill("")
    titles = page.locator("#finder-lists .pattern-title")
    chosen = page.locator("#finder-lists .cannot li").nth(1)  # with it others come to fit
    name = chosen.locator(".pattern-title").inner_text()
    before = [title.split(" ✓")[0] for title in titles.all_inner_texts()]
    choose = chosen.locator(".choose")
    choose.evaluate("(each) => each.scrollIntoView({ block: 'center' })")
    place = choose.bounding_box()
    page.mouse.click(place["x"] + 20, place["y"] + 20)
    desk.settle()
    wait_for(desk, "document.querySelector('#finder-lists .cannot .chosen') !== null")
    assert "feel" not in desk.text
    assert [title.split(" ✓")[0] for title in titles.all_inner_texts()] == before
    page.wait_for_timeout(50)  # the browser's own scrolling comes with the next frame
    assert abs(chosen.locator(".choose").bounding_box()["y"] - place["y"]) < 2
    page.get_by_role("button", name="Sort anew").click()
    assert titles.first.inner_text().startswith(name)
    assert not page.get_by_role("button", name="Sort anew").is_visible()
    desk.undo_all()
    usual = "document.querySelector('#who-list .pattern-title').textContent === 'Medium swing'"
    wait_for(desk, usual)
    assert titles.first.inner_text() == name  # all keep their places
    page.locator("#finder-close").click()
    change(desk, 0)
    assert titles.first.inner_text().startswith("Medium swing")


def test_a_player_gets_another_instrument(desk: Desk) -> None:
    page = desk.page
    bass = page.locator("#instrument-bass")
    assert bass.locator("option").first.inner_text() == "acoustic bass (as usual)"
    bass.select_option("fretless bass")
    desk.settle()
    assert 'instrument = {bass = "fretless bass"}' in desk.text
    bass.select_option("")
    desk.settle()
    assert "instrument" not in desk.text


def test_two_bars_are_heard_and_stop_at_the_next_press(desk: Desk) -> None:
    page = desk.page
    change(desk, 1)
    page.locator("#find-search").fill("walking in four")
    hear = row(desk, "Walking in four").locator(".hear")
    hear.click()
    wait_for(desk, "globalThis.heard.length === 1")
    assert hear.inner_text() == "Stop"
    assert hear.get_attribute("aria-label") == "Stop Walking in four"
    script = """(() => {
      const [buffer] = heard;
      const loud = buffer.getChannelData(0).reduce((most, each) => Math.max(most, each));
      return [buffer.duration, loud];
    })()"""
    seconds, loud = page.evaluate(script)
    assert 2 * 4 * 60 / 160 < seconds < 2 * 4 * 60 / 160 + 1.5
    assert loud > 0.05
    hear.click()
    assert hear.inner_text() == "Hear"
    hear.click()
    wait_for(desk, "globalThis.heard.length === 2")
    page.evaluate(PLAYING, True)  # the form makes the two bars stop
    wait_for(desk, "document.querySelector('.hear.sounds') === null")
    page.evaluate(PLAYING, False)
    hear.click()
    wait_for(desk, "globalThis.heard.length === 3")
    page.locator("#parts a[href='#form']").click()
    page.locator("#parts a[href='#band']").click()
    assert hear.inner_text() == "Hear"


def test_nothing_of_the_band_keeps_anyone_out(desk: Desk, axe: str) -> None:
    """With the list that has all kinds of rows: chosen, to be added, and not to be chosen."""
    page = desk.page
    change(desk, 2)
    page.locator("#find-search").fill("")
    for group in ("fits", "changes", "cannot"):
        assert page.locator(f"#finder-lists .{group} li").count() > 0
    assert desk.troubles(axe) == []
