"""The screen's page as a whole: for everyone, on every size, and from this machine alone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.browser.screen_material import AABA, CONTRAST, served, window

SPOILT = AABA.replace("Dm7", "Xm7").replace("160", "16")


@pytest.mark.parametrize(
    ("width", "scheme", "rules"), [(360, "dark", ()), (1440, "light", CONTRAST)]
)
def test_nothing_keeps_anyone_out(
    browser: Any, tmp_path: Path, axe: str, width: int, scheme: str, rules: tuple[str, ...]
) -> None:
    """Checked with axe-core: all its rules in dark, those of contrast in light."""
    file = tmp_path / "ferry.toml"
    size = {"width": width, "height": 800}
    with window(browser, served(file, SPOILT), file, viewport=size, color_scheme=scheme) as here:
        page = here.page
        page.locator(".quiet").first.click()
        page.locator("#several").click()
        assert page.locator("#several-hint").is_visible()
        for each in page.locator("summary:visible").all():
            each.click()
        assert here.troubles(axe, rules=rules) == []
        assert {url.split("/")[2] for url in page.asked} == {page.url.split("/")[2]}
        words = page.locator("#help").inner_text()
        assert words.count(". ") + words.endswith(".") == 3  # first use in three sentences


def test_every_command_is_reached_by_tab_and_focus_stays_where_it_is(
    browser: Any, tmp_path: Path
) -> None:
    file = tmp_path / "ferry.toml"
    with window(browser, served(file, AABA), file) as here:
        for name in ("undo", "redo", "insert", "remove", "copy", "paste", "several"):
            here.tab_to(f"#{name}")
        here.to_bar(2)
        here.page.evaluate("groove.state.edit({ do: 'bar', section: 1, bar: 0, text: 'C7' })")
        here.settle()
        assert here.focused == "Bar 3 of A: G minor 7"
        here.type("Gm")
        here.settle()
        here.press("ArrowLeft")
        here.type("b")
        here.settle()
        script = "[document.activeElement.value, document.activeElement.selectionStart]"
        assert here.page.evaluate(script) == ["Gbm", 2]
        here.press("Escape")
        here.settle()
        assert file.read_text() == AABA.replace("Cm7", "C7")


def test_one_part_of_the_page_is_shown_and_the_address_names_it(
    browser: Any, tmp_path: Path
) -> None:
    file = tmp_path / "ferry.toml"
    with window(browser, served(file, SPOILT), file, bypass_csp=True) as here:
        page = here.page
        shown = "[...document.querySelectorAll('.part:not([hidden])')].map((each) => each.id)"
        assert page.evaluate(shown) == ["part-form"]
        for link in page.locator("#parts a").all():
            link.click()
            name = link.get_attribute("href")[1:]
            page.wait_for_function("(name) => groove.parts.open === name", arg=name)
            assert page.evaluate(shown) == [f"part-{name}"]
            assert page.locator("#parts [aria-current]").inner_text() == link.inner_text()
            assert page.locator("#bar-commands").is_visible() == (name == "form")
        page.go_back()
        page.wait_for_function("groove.parts.open === 'posting'")
        page.locator("#mistake-list a").first.click()  # a mistake leads to its place in the form
        assert page.evaluate(shown) == ["part-form"]
        assert page.complaints == []
