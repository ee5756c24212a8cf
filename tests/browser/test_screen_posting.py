"""The part of the screen that makes everything to post, in a browser; a stand-in makes it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from groove.screen.posting import job as job_module
from tests.browser.screen_material import CONTRAST, WAIT, Desk, served, window
from tests.handout.pack.pack_material import listed
from tests.screen.posting.stand_in import ENDS, FAILS, WAITS, program

FORM = """\
title = "Short Way"
key = "C"
tempo = 120
choruses = 1
chords = "| I7 | IV7 |"
"""
TOLD = "() => /file/.test(document.getElementById('expected').textContent)"


@pytest.fixture(scope="module")
def lesson(tmp_path_factory: pytest.TempPathFactory, posted_pack: Path) -> tuple[str, Path]:
    """The address of a lesson with all that can be made of it, in two keys; and its file."""
    file = tmp_path_factory.mktemp("lessons") / "ferry.toml"
    shutil.copytree(posted_pack, file.parent / "short-way")
    return served(file, FORM), file


@pytest.fixture(scope="module")
def shared(browser: Any, lesson: tuple[str, Path]) -> Iterator[Desk]:
    address, file = lesson
    with window(browser, f"{address}#posting", file, bypass_csp=True) as desk:
        yield desk


@pytest.fixture
def here(shared: Desk) -> Iterator[Desk]:
    """A window that tests share; each leaves the form as it was, and nothing under way."""
    shared.page.wait_for_function(TOLD, timeout=WAIT)
    yield shared
    assert shared.text == FORM
    assert shared.page.locator("#progress").is_hidden()


@pytest.mark.parametrize(
    ("width", "scheme", "rules"), [(360, "dark", ()), (1440, "light", CONTRAST)]
)
def test_nothing_keeps_anyone_out(
    browser: Any,
    lesson: tuple[str, Path],
    axe: str,
    width: int,
    scheme: str,
    rules: tuple[str, ...],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Checked with axe-core while nothing is made, and while something is."""
    monkeypatch.setattr(job_module, "COMMAND", program(WAITS))
    address, file = lesson
    size = {"width": width, "height": 800}
    options: dict[str, Any] = {"viewport": size, "color_scheme": scheme, "bypass_csp": True}
    with window(browser, f"{address}#posting", file, **options) as here:
        page = here.page
        page.wait_for_function(TOLD, timeout=WAIT)
        page.locator("audio").first.wait_for()
        for state in ("idle", "running"):
            if state == "running":
                page.click("#begin")
                page.locator("#progress").wait_for()
            assert here.troubles(axe, "#part-posting", rules) == []
        page.click("#stop")
        page.locator("#outcome").wait_for()


def test_by_keyboard_alone_it_is_begun_and_stopped_and_outlives_its_window(
    here: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(job_module, "COMMAND", program(WAITS))
    page = here.page
    here.tab_to("#own-key")
    here.press("Enter")
    here.tab_to("#begin")
    page.wait_for_function(TOLD)
    here.press("Enter")
    page.locator("#progress").wait_for()
    assert page.evaluate("document.activeElement.id") == "begin"
    page.reload()
    page.locator("#progress").wait_for()
    page.wait_for_function(
        "() => /left/.test(document.getElementById('progress-words').textContent)"
    )
    keys = page.locator("#wish-keys :checked")
    assert [each.get_attribute("id") for each in keys.all()] == ["wish-keys-0"]
    page.evaluate("groove.state.edit({ do: 'bar', section: 0, bar: 1, text: 'V7' })")
    here.settle()
    assert "| V7 |" in here.text  # the form is edited meanwhile
    here.tab_to("#stop")
    here.press("Enter")
    page.locator("#outcome").wait_for()
    assert page.evaluate("document.activeElement.id") == "begin"
    assert page.inner_text("#outcome").startswith("Stopped.")
    assert "“Make everything”" in page.inner_text("#outcome")
    assert "“Make everything”" in page.inner_text("#said")
    here.press("Control+z")
    here.settle()
    assert here.text == FORM


def test_the_end_of_a_run_is_told(here: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    page = here.page
    for does, words in ((FAILS, "no room"), (ENDS, "3 files were made")):
        monkeypatch.setattr(job_module, "COMMAND", program(does))
        page.wait_for_function("() => document.getElementById('begin').ariaDisabled !== 'true'")
        page.click("#begin")
        page.wait_for_function(
            "(words) => document.getElementById('outcome').textContent.includes(words)", arg=words
        )
        assert words in page.inner_text("#said")


def test_in_another_part_a_sign_tells_that_it_is_done(
    here: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = here.page
    monkeypatch.setattr(job_module, "COMMAND", program(WAITS))
    page.wait_for_function("() => document.getElementById('begin').ariaDisabled !== 'true'")
    page.click("#begin")
    page.locator("#progress").wait_for()
    page.click("#parts a[href='#form']")
    link = "document.querySelector('#parts [href=\"#posting\"]')"
    sign = f"getComputedStyle({link}, '::after').content"
    page.evaluate("groove.parts.context.asked('posting/stop', {})")
    page.wait_for_function(f"() => {sign} === '\"!\"'")
    page.click("#parts a[href='#posting']")
    page.wait_for_function(f"() => {sign} === 'none'")
    page.wait_for_function("() => document.getElementById('outcome').checkVisibility()")


def test_what_can_not_be_made_is_told_before_it_is_begun(here: Desk) -> None:
    page = here.page
    page.fill("#wish-tempos-field", "fast")
    page.wait_for_function("() => /fast/.test(document.getElementById('expected').textContent)")
    assert page.get_attribute("#begin", "aria-disabled") == "true"
    page.fill("#wish-tempos-field", "100, 120")
    page.wait_for_function(TOLD)
    assert page.get_attribute("#begin", "aria-disabled") == "false"
    page.evaluate("groove.state.edit({ do: 'bar', section: 0, bar: 0, text: 'X7' })")
    page.wait_for_function(
        "() => /has mistakes/.test(document.getElementById('expected').textContent)"
    )
    assert page.input_value("#wish-tempos-field") == "100, 120"
    page.evaluate("groove.state.ask('undo')")
    here.settle()
    page.fill("#wish-tempos-field", "")


def test_what_was_made_is_played_shown_and_copied(here: Desk, posted_pack: Path) -> None:
    page = here.page
    page.complaints.clear()  # a browser tells of each refusal
    page.locator("audio").first.wait_for()
    players = "[...document.querySelectorAll('#made-track :is(audio, video)')]"
    sources = f"{players}.map((each) => each.src.split('/').pop())"
    assert page.evaluate(sources) == [
        "short-way_C_120_preview.mp3", "short-way_C_120_wide.mp4", "short-way_C_120_upright.mp4",
    ]  # fmt: skip
    for player in ("audio", "video"):
        place = page.evaluate(
            """async (player) => {
              const media = document.querySelector(`#made-track ${player}`);
              media.preload = "auto";
              media.load();
              await new Promise((on, off) => {
                media.onloadeddata = on;
                media.onerror = off;
              });
              media.currentTime = media.duration / 2;
              await new Promise((on) => (media.onseeked = on));
              return media.currentTime / media.duration;
            }""",
            player,
        )
        assert place == pytest.approx(0.5, abs=0.02)
    for image in page.locator("#made-track img").all():
        image.scroll_into_view_if_needed()
        page.wait_for_function("(image) => image.naturalWidth > 0", arg=image.element_handle())
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    page.locator(".made-texts button").first.click()
    page.wait_for_function("() => document.getElementById('said').textContent.includes('Copied')")
    assert page.evaluate("navigator.clipboard.readText()").startswith("Short Way: ")
    page.select_option("#made-key", "F")
    page.wait_for_function(
        "() => document.querySelector('#made-track video').src.includes('_F_120')"
    )
    counted = page.inner_text(".kinds")
    assert f"{sum(e['kind'] == 'cover' for e in listed(posted_pack).values())} covers" in counted
    page.click("#open-folder")
    page.wait_for_function(
        "() => document.getElementById('made-said').textContent.includes('short-way')"
    )
    assert page.complaints == []
