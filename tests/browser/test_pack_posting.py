"""The overview of a pack with all that is posted: video, text to copy, cover and preview."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from groove.handout.pack.folder import INDEX
from tests.browser.practice_material import Seen

SIZES = [(320, 640), (360, 740), (768, 1024), (1440, 900)]
LARGE = {"width": 1440, "height": 900}
PHONE = {"width": 360, "height": 740}
NO_CLIPBOARD = "Object.defineProperty(navigator, 'clipboard', { value: undefined });"
NO_COPY = "document.execCommand = () => false;"


@pytest.fixture
def opened(browser: Any, posted_pack: Path) -> Iterator[Any]:
    """Opens the overview: opened(path, before, **context options) -> page; before: a script."""
    contexts = []

    def opener(path: Path = posted_pack / INDEX, before: str = "", **options: Any) -> Any:
        contexts.append(browser.new_context(**{"viewport": LARGE} | options))
        page = contexts[-1].new_page()
        page.add_init_script(before)
        page.seen = Seen()
        page.on("request", lambda request: page.seen.requests.append(request.url))
        page.on("console", lambda message: page.seen.complaints.append(message.text))
        page.on("pageerror", lambda error: page.seen.complaints.append(str(error)))
        page.goto(path.as_uri())
        return page

    yield opener
    for context in contexts:
        context.close()


def _name(page: Any, expression: str) -> str:
    return Path(page.evaluate(expression)).name


def _choose(page: Any, key: str) -> None:
    page.check(f"[name=key][value='{key}']", force=True)


# The video


def test_nothing_of_a_video_is_loaded_before_it_is_started_but_its_cover(opened: Any) -> None:
    page = opened()
    page.wait_for_load_state("networkidle")
    names = {Path(address).name for address in page.seen.requests}
    assert names == {INDEX, "short-way_C_chart.svg", "short-way_C_120_cover-wide.png"}
    assert page.seen.complaints == []


@pytest.mark.parametrize("viewport", [LARGE, PHONE])
def test_it_plays_and_keeps_the_room_that_it_had_before(
    opened: Any, viewport: dict[str, int]
) -> None:
    page = opened(viewport=viewport)
    before = page.locator("#video").bounding_box()
    page.evaluate("video.play()")
    page.wait_for_function("() => video.readyState >= 2 && video.currentTime > 0.05")
    assert page.locator("#video").bounding_box() == before
    assert before["height"] <= viewport["height"]


def test_a_phone_held_upright_has_the_upright_one(opened: Any) -> None:
    page = opened(viewport=PHONE)
    assert _name(page, "video.src") == "short-way_C_120_upright.mp4"
    assert _name(page, "video.poster") == "short-way_C_120_cover-upright.png"
    assert _name(opened(), "video.src") == "short-way_C_120_wide.mp4"


def test_another_key_has_another_video_with_its_cover_and_name(opened: Any) -> None:
    page = opened()
    _choose(page, "06_F")
    assert _name(page, "video.src") == "short-way_F_120_wide.mp4"
    assert _name(page, "video.poster") == "short-way_F_120_cover-wide.png"
    assert page.get_attribute("#video", "aria-label") == "Video: F blues, 120 beats a minute"


def test_without_its_program_the_video_of_the_first_key_is_there(
    browser: Any, posted_pack: Path
) -> None:
    context = browser.new_context(java_script_enabled=False, viewport=LARGE)
    page = context.new_page()
    page.goto((posted_pack / INDEX).as_uri())
    assert page.get_attribute("#video", "src") == "01_C/short-way_C_120_wide.mp4"
    page.click("#post > summary")
    assert page.is_visible("#post-long")
    assert page.locator(".copy:visible").count() == 0
    context.close()


def test_a_video_that_is_missing_is_told_in_a_sentence(
    opened: Any, posted_pack: Path, tmp_path: Path
) -> None:
    part = shutil.copytree(posted_pack, tmp_path / "part", ignore=shutil.ignore_patterns("*.mp4"))
    page = opened(part / INDEX)
    page.evaluate("video.play().catch(() => {})")
    page.wait_for_selector("#trouble:visible")
    assert "short-way_C_120_wide.mp4 is missing" in page.inner_text("#trouble")


def test_the_practice_page_comes_first_and_the_video_after_the_player(opened: Any) -> None:
    page = opened(viewport=PHONE)
    tops = [page.locator(each).bounding_box()["y"] for each in ("#practise", "#watch", "#chart")]
    assert tops == sorted(tops)


def test_of_track_video_and_preview_one_sounds_at_a_time(opened: Any) -> None:
    page = opened()
    page.evaluate("document.getElementById('post').open = true")
    for one, other in (("preview", "video"), ("video", "preview"), ("preview", "video")):
        page.evaluate(f"document.getElementById('{one}').play()")
        page.wait_for_function(f"() => document.getElementById('{other}').paused")
        assert not page.evaluate(f"document.getElementById('{one}').paused")


# The text


@pytest.mark.parametrize(("before", "how"), [("", "clipboard"), (NO_CLIPBOARD, "command")])
def test_a_button_copies_what_is_posted_from_a_file(opened: Any, before: str, how: str) -> None:
    """By the clipboard's interface, and by the older command where a browser lacks that."""
    page = opened(before=before)
    page.click("#post > summary")
    _choose(page, "06_F")
    wanted = page.text_content("#post-long")
    assert "F7" in wanted
    assert "\n\n" in wanted
    page.evaluate("document.querySelector('#post').open = true")
    page.click("text=Copy the description")
    page.wait_for_function("() => document.getElementById('copy-said').textContent")
    assert page.inner_text("#copy-said") == "Copied. Paste it where you post."
    page.evaluate("document.body.append(document.createElement('textarea'))")
    page.focus("textarea")
    page.keyboard.press("Control+V")
    assert page.input_value("textarea").strip() == wanted
    assert page.seen.complaints == []


def test_where_a_browser_copies_nothing_it_says_so_and_marks_the_text(opened: Any) -> None:
    page = opened(before=NO_CLIPBOARD + NO_COPY)
    page.click("#post > summary")
    page.click("text=Copy the title")
    page.wait_for_function("() => document.getElementById('copy-said').textContent")
    assert page.inner_text("#copy-said").startswith("This browser lets no page copy.")
    assert page.evaluate("`${getSelection()}`") == page.text_content("#post-title")


@pytest.mark.parametrize("key", ["01_C", "06_F"])
def test_text_covers_and_files_are_those_of_the_key(
    opened: Any, posted_pack: Path, key: str
) -> None:
    page = opened()
    _choose(page, key)
    page.click("#post > summary")
    (written,) = (posted_pack / key).glob("*_text.txt")
    whole = written.read_text("utf-8")
    shown = [page.text_content(f"#post-{part}") for part in ("title", "long", "tags")]
    assert [f"\n{part}\n" in whole for part in shown] == [True] * 3
    assert len(whole) - sum(map(len, shown)) < 400  # heads and the short description
    covers = page.evaluate("[...document.querySelectorAll('.cover')].map((each) => each.src)")
    links = page.evaluate("[...document.querySelectorAll('#posted a')].map((each) => each.href)")
    assert {Path(each).parent.name for each in (*covers, *links)} == {key}
    assert len(links) == 5 + (key == "01_C")  # the preview is in one key


# All of it


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_it_fits_and_everything_to_press_is_big_enough(
    opened: Any, width: int, height: int
) -> None:
    page = opened(viewport={"width": width, "height": height})
    page.evaluate("for (const more of document.querySelectorAll('details')) more.open = true")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    low = page.evaluate(
        """[...document.querySelectorAll("#watch *, #post a, #post summary, #post button")]
        .filter((each) => each.matches("a, summary, button, video") && each.checkVisibility())
        .filter((each) => each.getBoundingClientRect().height < 44)
        .map((each) => each.outerHTML)"""
    )
    assert low == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_an_accessibility_checker_finds_nothing(opened: Any, axe: str, scheme: str) -> None:
    page = opened(color_scheme=scheme)
    page.evaluate("for (const more of document.querySelectorAll('details')) more.open = true")
    page.evaluate(axe)
    found = page.evaluate("axe.run().then((r) => r.violations.map((v) => [v.id, v.nodes[0].html]))")
    assert found == []


def test_print_leaves_it_out(opened: Any) -> None:
    page = opened()
    page.emulate_media(media="print")
    assert page.is_hidden("#watch")
    assert page.is_hidden("#post")
