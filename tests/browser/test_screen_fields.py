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


def test_endings_are_written_in_a_field_for_each_time(here: Desk) -> None:
    page = here.page
    page.locator(".quiet").first.click()
    page.locator(".section .more summary").first.click()
    page.get_by_label("After these bars, time 1").fill("| F6 |")
    here.settle()
    page.get_by_label("After these bars, time 2").fill("| F6 | C7 |")
    here.settle()
    assert 'time_bars = ["| F6 |", "| F6 | C7 |"]' in here.text
    page.get_by_label("After these bars, time 3").fill("| X |")
    here.settle()
    mistake = page.locator(".time-bars .mistake").inner_text()
    assert "X" in mistake
    page.locator("#mistake-list a").first.click()
    assert page.evaluate("document.activeElement.value") == "| X |"
    here.press("Control+a", "Delete", "Tab")  # emptied and left
    here.settle()
    first = page.get_by_label("After these bars, time 1")
    first.focus()
    here.press("Control+a", "Delete")
    here.type("| C7 |")
    here.settle()
    assert 'time_bars = ["| C7 |", "| F6 | C7 |"]' in here.text
    here.undo_all()
    assert here.text == AABA


def test_a_line_says_what_happens_in_its_bars(here: Desk) -> None:
    page = here.page
    line = page.locator("#lines li").nth(1)
    line.locator("summary").click()
    line.get_by_label("Kicks").fill("6:x..x\n 2-3 : X...")
    here.settle()
    assert line.get_by_label("Kicks").input_value() == "6:x..x\n 2-3 : X..."
    line.get_by_label("Who is silent").fill("drums: all\ncomping: 1-4")
    line.get_by_label("Key", exact=True).fill("+2")
    line.get_by_label("Goes on as long as the band wants").select_option("true")
    line.get_by_label("Pulse").select_option("half")
    here.settle()
    own = read_form(here.file).order[1]
    assert own.is_open
    assert {"kicks", "tacet", "key", "pulse"} == {name for name, _ in own.own.fields}
    assert line.locator("summary").inner_text() == (
        "More fields; written: Goes on as long as the band wants, Key, Pulse, Kicks, Who is silent"
    )
    line.get_by_label("Kicks").fill("6: x.")
    here.settle()
    assert line.get_by_label("Kicks").get_attribute("aria-invalid") == "true"
    here.undo_all()
    assert here.text == AABA


def test_a_fold_opens_where_a_field_in_it_has_a_mistake(browser: Any, tmp_path: Path) -> None:
    file = tmp_path / "ferry.toml"
    text = AABA.replace('name = "B"', 'name = "B"\npulse = "slow"')
    with window(browser, served(file, text), file) as here:
        field = here.page.locator(".section").nth(1).get_by_label("Pulse")
        assert field.is_visible()
        assert field.get_attribute("aria-invalid") == "true"
        assert field.input_value() == "slow"
        here.page.locator("#mistake-list a").click()
        assert here.page.evaluate("document.activeElement.value") == "slow"
