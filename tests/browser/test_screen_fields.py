"""The screen's fields and its order of play, by keyboard alone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from groove.form.read import read_form
from tests.browser.screen_material import AABA, Desk, served, window


@pytest.fixture
def here(browser: Any, tmp_path: Path) -> Iterator[Desk]:
    file = tmp_path / "ferry.toml"
    with window(browser, served(file, AABA), file) as desk:
        yield desk
        assert desk.page.complaints == []


def test_fields_of_the_form_are_kept_with_their_comments(here: Desk) -> None:
    here.tab_to(".title input")
    here.press("Control+a")
    here.type("Ferry")
    here.press("Tab")
    here.type("B")
    here.press("Tab", "Control+a")
    here.type("92,5")
    here.settle()
    here.page.wait_for_function("() => !groove.state.isBehind")
    assert 'title = "Ferry"  # a working title\nkey = "Bb"\ntempo = 92.5\n' in here.text
    assert read_form(here.file).tempo == 92.5
    here.press("Control+a", "Delete")
    here.settle()
    assert "tempo" not in here.text
    assert here.undo_all() == 3
    assert here.text == AABA


def test_a_mistake_stands_at_its_field(here: Desk) -> None:
    field = here.page.get_by_label("Tempo", exact=True)
    field.fill("20")
    here.settle()
    assert field.get_attribute("aria-invalid") == "true"
    words = here.page.locator(f"#{field.get_attribute('aria-describedby')}").inner_text()
    assert "30 to 320 beats a minute are allowed" in words
    assert here.text == AABA


def test_lines_of_the_order_are_changed_moved_added_and_removed(here: Desk) -> None:
    here.tab_to(".times input")
    here.type("3")
    here.settle()
    assert '    {play = "A, A, B, A", times = 3},  # the tune\n' in here.text
    here.tab_to("[data-act=down]")
    here.press("Enter")
    here.settle()
    assert here.focused == "Up"
    here.tab_to("#add-line")
    here.press("Enter")
    here.settle()
    here.press("Control+a")
    here.type("B")
    here.settle()
    assert [line.times for line in read_form(here.file).order] == [2, 3, 1]
    assert here.text.index("solos") < here.text.index("# the tune")
    here.page.locator("#lines [data-act=remove]").last.focus()
    here.press("Enter")
    here.settle()
    assert len(read_form(here.file).order) == 2
    assert here.undo_all() == 5
    assert here.text == AABA


def test_an_order_begins_with_what_is_played_without_one(browser: Any, tmp_path: Path) -> None:
    file = tmp_path / "ferry.toml"
    with window(browser, served(file, 'chords = "I7:4"\nchoruses = 2\n'), file) as here:
        here.page.locator("#start-order").focus()
        here.press("Enter")
        here.settle()
        assert here.page.evaluate("document.activeElement.value") == "Form"
        here.press("Control+a")
        here.type("Form, Form")
        here.settle()
        assert '{play = "Form, Form", times = 2}' in here.text
        assert "choruses" not in here.text


def test_a_section_keeps_its_new_name_in_the_order(here: Desk) -> None:
    here.page.locator(".quiet").first.click()
    here.page.locator(".section-panel input").first.fill("Verse")
    here.settle()
    assert '"Verse, Verse, B, Verse",  # the tune' in here.text
    assert here.page.locator("#mistakes").is_hidden()
