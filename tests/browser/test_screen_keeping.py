"""What the screen does where another window or program changes the form, or its server is gone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tests.browser.screen_material import AABA, WAIT, served, window


def test_two_windows_change_different_places_and_nothing_is_lost(
    browser: Any, tmp_path: Path
) -> None:
    file = tmp_path / "ferry.toml"
    address = served(file, AABA)
    with window(browser, address, file) as one, window(browser, address, file) as other:
        other.page.context.set_offline(True)  # it does not hear of changes
        one.to_bar(0)
        one.write("F6")
        one.settle()
        assert file.read_text() == AABA.replace("Fmaj7", "F6")
        other.to_bar(1)
        other.write("D7", "G7")
        other.page.context.set_offline(False)
        other.settle()
        assert other.page.locator("#lost").is_hidden()
        changed = AABA.replace("Fmaj7", "F6").replace("Dm7", "D7").replace("Gm7", "G7")
        assert file.read_text() == changed
        other.page.get_by_label("Bar 1 of A: F6", exact=True).wait_for(timeout=WAIT)
        one.page.get_by_label("Bar 3 of A: G7", exact=True).wait_for(timeout=WAIT)


UNTOUCHED = """
async ({ asked, of, value }) => {
  const { isUntouched } = await import(new URL("web/screen/touched.js", location));
  const now = structuredClone(groove.state.now);
  const path = of.split(".");
  const last = path.pop();
  path.reduce((at, name) => at[name], now)[last] = value;
  return isUntouched(asked, groove.state.now, now);
}
"""
BARS = {"section": 0, "bar": 1, "count": 1, "text": "G"}


def test_an_edit_is_made_again_where_its_place_is_untouched(browser: Any, tmp_path: Path) -> None:
    file = tmp_path / "ferry.toml"
    with window(browser, served(file, AABA), file) as here:

        def untouched(do: str, of: str, value: Any, **asked: Any) -> bool:
            change = {"asked": {"do": do, **asked}, "of": of, "value": value}
            return bool(here.page.evaluate(UNTOUCHED, change))

        assert untouched("field", "fields.tempo", 90, name="key")
        assert not untouched("field", "fields.tempo", 90, name="tempo")
        assert untouched("bar", "sections.0.bars.0.text", "G", **BARS)
        assert not untouched("bar", "sections.0.bars.1.text", "G", **BARS)
        assert not untouched("bar", "sections.0.bars.length", 3, **BARS)
        assert not untouched("bar", "sections.1.name", "C", **BARS)
        for do in ("set-bars", "insert-bars", "delete-bars"):
            assert not untouched(do, "sections.0.bars.0.text", "G", **BARS)
            assert untouched(do, "sections.1.bars.0.text", "G", **BARS)
        assert not untouched("order", "order.1", "B", lines=[])
        assert untouched("order", "sections.0.bars.0.text", "G", lines=[])
        assert untouched("section-field", "fields.tempo", 90, section=0, name="letter")
        assert not untouched(
            "section-field", "sections.0.fields.letter", "C", section=0, name="letter"
        )
        for of in ("fields.tempo", "order.0", "sections.0.bars.0.text"):
            assert not untouched("an edit of later days", of, "B")


def test_two_windows_do_not_write_over_each_other_and_what_is_lost_is_shown(
    browser: Any, tmp_path: Path
) -> None:
    file = tmp_path / "ferry.toml"
    address = served(file, AABA)
    phone = {"width": 360, "height": 640}
    with (
        window(browser, address, file) as one,
        window(browser, address, file, viewport=phone) as other,
    ):
        other.page.context.set_offline(True)
        one.to_bar(1)
        one.write("D9")
        one.settle()
        other.to_bar(1)
        other.write("D7", "G7")
        other.page.context.set_offline(False)
        other.settle()
        assert file.read_text() == AABA.replace("Dm7", "D9")
        lost = other.page.locator("#lost-words").inner_text()
        assert "Another window was quicker" in lost
        assert lost.endswith("You had written: D7 – G7")
        top = other.page.locator("#lost").bounding_box()["y"]
        assert 0 < top < 200  # in sight, though the chart is far below
        other.press("Escape")
        other.to_bar(1)
        other.write("D7")
        other.settle()
        assert other.page.locator("#lost").is_visible()  # until it has been read
        assert file.read_text() == AABA.replace("Dm7", "D7")
        other.page.locator("#lost-seen").click()
        assert other.focused == "Undo"
        assert other.page.locator("#lost").is_hidden()


def test_a_file_that_was_changed_outside_is_taken_or_written_over(
    browser: Any, tmp_path: Path
) -> None:
    file = tmp_path / "ferry.toml"
    with window(browser, served(file, AABA), file) as here:
        file.write_text(AABA.replace("Dm7", "D7"))
        here.page.evaluate("dispatchEvent(new Event('focus'))")
        here.page.locator("#take-from-disk").click()
        here.settle()
        assert here.page.get_by_label("Bar 2 of A: D7", exact=True).is_visible()
        assert here.page.locator("#outside").is_hidden()
        file.write_text("title = 'spoilt\n")
        here.to_bar(0)
        here.write("F6")
        here.settle()
        assert here.page.locator("#outside").is_visible()
        assert file.read_text() == "title = 'spoilt\n"
        here.page.locator("#keep-over-disk").click()
        here.settle()
        assert file.read_text() == AABA.replace("Dm7", "D7").replace("Fmaj7", "F6")


def test_what_is_typed_waits_for_a_server_that_is_gone(browser: Any, tmp_path: Path) -> None:
    file = tmp_path / "ferry.toml"
    with window(browser, served(file, AABA), file) as here:
        here.page.context.set_offline(True)
        here.to_bar(0)
        here.write("F6", "D7")
        here.page.locator("#trouble").wait_for(timeout=WAIT)
        assert "does not answer" in here.page.locator("#trouble").inner_text()
        assert file.read_text() == AABA
        here.page.context.set_offline(False)
        here.settle()
        assert file.read_text() == AABA.replace("Fmaj7", "F6").replace("Dm7", "D7")
        assert here.page.locator("#trouble").is_hidden()


def test_what_is_refused_is_shown(browser: Any, tmp_path: Path) -> None:
    file = tmp_path / "ferry.toml"
    with window(browser, served(file, AABA), file) as here:
        here.to_bar(0)
        here.type("F")
        here.page.keyboard.insert_text("6 | " + "x" * 10_001)
        here.press("Enter")
        here.settle()
        words = here.page.locator("#trouble").inner_text()
        assert "That was not done: a text has up to 10,000 characters." in words
        assert "You had written: F6 | xxx" in words
        assert len(words) < 500
        assert file.read_text() == AABA
