"""The screen's chart, written and changed by keyboard alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from groove.form.read import read_form
from tests.browser.screen_material import AABA, EMPTY, Desk, served, window


@pytest.fixture
def desk(browser: Any, tmp_path: Path) -> Iterator[Callable[[str], Desk]]:
    """Opens a text as a form: desk(text) -> its window. Nothing may be complained of in it."""
    opened = []

    def opener(text: str) -> Desk:
        file = tmp_path / "ferry.toml"
        opened.append(window(browser, served(file, text), file))
        found.append(opened[-1].__enter__())
        return found[-1]

    found: list[Desk] = []
    yield opener
    for each, opening in zip(found, opened, strict=True):
        assert each.page.complaints == []
        opening.__exit__(None, None, None)


def test_a_blues_is_written_from_an_empty_form_and_undone_to_its_start(
    desk: Callable[[str], Desk],
) -> None:
    here = desk(EMPTY)
    assert not here.page.locator("#mistakes").is_visible()
    here.tab_to(".bar-button")
    assert here.focused.startswith("Write the first chord here")
    here.write(*["C7", "%", "%", "%", "F7", "%", "C7", "%", "G7", "F7", "C7", "G7"])
    here.press("Escape")
    here.settle()
    assert here.text == (
        'key = "C"\nchords = """\n'
        '| C7 | % | % | % |\n| F7 | % | C7 | % |\n| G7 | F7 | C7 | G7 |\n"""\n'
    )
    assert read_form(here.file).bars == 12
    assert here.page.locator("#kept").inner_text() == "Everything is kept in ferry.toml."
    assert here.undo_all() == 12
    assert here.draft.read_text() == EMPTY


def test_a_bar_is_changed_and_all_else_in_the_file_stays(desk: Callable[[str], Desk]) -> None:
    here = desk(AABA)
    here.to_bar(1)
    assert here.focused == "Bar 2 of A: D minor 7"
    here.write("Am7 D7")
    here.settle()
    assert here.text == AABA.replace("Dm7", "Am7 D7")
    assert here.page.evaluate("document.activeElement.value") == "Gm7"
    here.type("Ab")
    here.press("Escape")
    here.settle()
    assert here.text == AABA.replace("Dm7", "Am7 D7")
    assert here.undo_all() == 1
    assert here.text == AABA


def test_keys_insert_empty_and_remove_bars(desk: Callable[[str], Desk]) -> None:
    here = desk(AABA)
    here.to_bar(0)
    here.press("Control+Enter")
    here.type("Bbm6")
    here.press("Escape")  # only the typing is taken back
    here.settle()
    assert "| Fmaj7 | % | Dm7 | Gm7 |\n| C7 |" in here.text
    assert here.focused == "Bar 2 of A: as the bar before"
    here.press("Backspace")
    here.settle()
    assert "| Fmaj7 | Dm7 | Gm7 | C7 |" in here.text
    here.press("ArrowRight", "Delete")
    here.settle()
    assert "| Fmaj7 | % | Gm7 | C7 |" in here.text
    here.press("Control+Shift+Enter")
    here.write("D7")
    here.press("Escape")
    here.settle()
    assert "| Fmaj7 | D7 | Fmaj7 | Gm7 |" in here.text
    assert here.undo_all() == 5
    assert here.text == AABA


def test_several_bars_are_copied_as_text_and_pasted(desk: Callable[[str], Desk]) -> None:
    here = desk(AABA)
    here.to_bar(0)
    here.press("Shift+ArrowRight")
    assert here.page.locator("#said").inner_text() == "2 bars chosen."
    assert here.page.locator(".bar-button[aria-pressed=true]").count() == 2
    here.press("Control+c", "End", "Control+v")  # at the place for a new bar
    here.settle()
    assert "| Cm7 | F7 | Bbmaj7 | % |\n| Fmaj7 | Dm7 |" in here.text
    here.press("Home", "Shift+ArrowRight", "Control+x")
    here.settle()
    assert '"| Gm7 | C7 |"' in here.text
    here.page.evaluate(
        """() => {
          const data = new DataTransfer();
          data.setData("text/plain", "A\\n| Dm7 | G7 |\\nC\\n| Em7 | A7 |");
          document.activeElement.dispatchEvent(
            new ClipboardEvent("paste", { clipboardData: data, bubbles: true }));
        }"""
    )
    here.settle()
    names = here.page.locator(".section-name").all_inner_texts()
    assert names == ["A", "A", "C", "B"]


def test_sections_are_added_named_moved_and_removed(desk: Callable[[str], Desk]) -> None:
    here = desk("# mine\nkey = 'C'\nchords = 'C7:4'\n")
    here.tab_to("#add-section")
    here.press("Enter")
    here.settle()
    assert here.focused == "Bar 1 of B: C7"
    here.tab_to(".quiet", "Shift+Tab")
    here.press("Enter")
    here.tab_to(".section-panel input")
    here.type("Bridge")
    here.tab_to("[data-act=up]")
    here.press("Enter")
    here.settle()
    assert here.page.locator(".section-name").all_inner_texts() == ["Bridge", "A"]
    assert here.focused == "Move down"
    here.tab_to("[data-act=remove]")
    here.press("Enter")
    here.settle()
    assert here.text == "# mine\nkey = 'C'\n\n[[sections]]\nname = \"A\"\nchords = 'C7:4'\n"
    assert here.undo_all() == 4
    assert here.text == "# mine\nkey = 'C'\nchords = 'C7:4'\n"


def test_a_mistake_stands_at_its_bar_while_the_file_keeps_what_was_right(
    desk: Callable[[str], Desk],
) -> None:
    here = desk(AABA)
    here.to_bar(5)
    assert here.focused == "Bar 1 of B: C minor 7"  # after the place for a new bar of A
    here.type("Xm7")
    field = here.page.locator(".bar-field")
    here.page.wait_for_function("() => document.activeElement.ariaInvalid === 'true'")
    words = here.page.locator(f"#{field.get_attribute('aria-describedby')}").inner_text()
    assert words.startswith("chord 1 of 1: numeral 'Xm7' can't be read")
    assert here.text == AABA
    assert "Xm7" in here.draft.read_text()
    assert "a draft" in here.page.locator("#kept").inner_text()
    here.press("Enter", "Escape")
    here.tab_to("#mistake-list a", "Shift+Tab")
    here.press("Enter")
    assert here.focused.startswith("Bar 1 of B")
    assert words in here.page.evaluate(
        "document.getElementById(document.activeElement.getAttribute('aria-describedby')).innerText"
    )
    here.write("Cm7")
    here.settle()
    assert not here.page.locator("#mistakes").is_visible()
    assert not here.draft.exists()


def test_bars_are_chosen_by_mouse_and_the_quick_change_stands_in_its_bar(
    desk: Callable[[str], Desk],
) -> None:
    here = desk('key = "A"\nquick_change = true\nchords = "| I7 | % | % | % | IV7 | V7 |"\n')
    page = here.page
    assert page.locator(".played").all_inner_texts() == ["plays D7"]
    bars = page.locator(".bar-button")
    assert bars.nth(1).get_attribute("aria-label") == "Bar 2: as the bar before, played as D7"
    chosen = "[...document.querySelectorAll('[aria-pressed=true].bar-button')].length"
    bars.nth(1).click()
    bars.nth(3).click(modifiers=["Shift"])
    assert page.evaluate(chosen) == 3
    bars.nth(4).hover()
    page.mouse.down()
    bars.nth(5).hover()
    page.mouse.up()
    assert page.evaluate(chosen) == 2
    assert not page.locator(".bar-field").count()
    page.locator("#remove").click()
    here.settle()
    assert 'chords = "| I7 | % | % | % |"' in here.text
    bars.nth(0).click()  # a press and nothing more writes in the bar
    assert page.locator(".bar-field").count() == 1
    here.press("Escape")
    page.locator("#to-chart").focus()
    here.press("Enter")
    assert here.focused.startswith("Bar 1")
