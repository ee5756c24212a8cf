"""A whole lesson on the screen: from an empty form to a pack, by keyboard, no file touched."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pypdfium2 import PdfDocument

from tests.browser.screen_material import EMPTY, Desk, served, window

FORM = """\
key = "G"
title = "Ferry Landing"
chords = "| I7 | IV7 | I7 V7 | I7 |"
drums = "rumba"
teacher = "Ada Finch"
learner = "beginner"
"""
MADE = 120_000  # ms


def _turn_to(desk: Desk, part: str, shown: str) -> None:
    desk.page.evaluate("document.activeElement.blur()")
    desk.tab_to(f"#parts a[href='#{part}']")
    desk.press("Enter")
    desk.page.wait_for_selector(shown)


def test_a_lesson_is_made_from_an_empty_form_to_a_pack(browser: Any, tmp_path: Path) -> None:
    file = tmp_path / "ferry.toml"
    with window(browser, served(file, EMPTY), file, bypass_csp=True) as here:
        here.tab_to("#title-line input")
        here.type("Ferry Landing")
        here.tab_to("#fields select")
        here.type("G maj")
        here.to_bar(0)
        here.write("I7", "IV7", "I7 V7", "I7")
        here.press("Escape")
        here.settle()

        _turn_to(here, "band", "#who-list button")
        here.tab_to("#who-list [aria-expanded]")
        here.press("Enter")
        here.tab_to("#finder-fields input")
        here.type("rumba")
        here.page.wait_for_function("document.querySelectorAll('#finder-lists li').length < 9")
        here.tab_to("button.choose[aria-label*='Rumba']")
        here.press("Enter")
        here.settle()

        _turn_to(here, "lesson", "#voice input")
        here.tab_to("#voice input")
        here.type("Ada Finch")
        here.tab_to("#learner select")
        here.type("Beg")
        here.settle()

        _turn_to(here, "posting", "#wish input")
        here.tab_to("#wish-audio-mp3")
        here.press("Space")
        here.tab_to("#own-key")
        here.press("Enter")
        here.tab_to("#begin")
        here.press("Enter")
        here.page.locator("#made-what", has_text="It is being made").wait_for(timeout=MADE)
        here.page.wait_for_selector("#open-folder", timeout=MADE)
        assert here.page.locator("#outcome").inner_text().startswith("Done.")
        with here.page.expect_download() as saved:
            here.page.locator("#zip").press("Enter")
        assert saved.value.suggested_filename == "ferry-landing.zip"
        made = here.page.locator("#made").inner_text()
        assert here.page.complaints == []
    assert here.text == FORM
    pack = tmp_path / "ferry-landing"
    assert str(pack) in made
    manifest = json.loads((pack / "manifest.json").read_text("utf-8"))
    assert {each["path"] for each in manifest["files"]} <= {
        path.relative_to(pack).as_posix() for path in pack.rglob("*")
    }
    (sheet,) = pack.glob("*/*_sheet.pdf")
    words = "".join(page.get_textpage().get_text_range() for page in PdfDocument(sheet))
    assert "Ferry Landing" in words
    assert "Ada Finch" in words
