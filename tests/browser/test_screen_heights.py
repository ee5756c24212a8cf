"""The band's part of the screen: heights for the intensity, another take, who is silent."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from groove.form.read import read_form
from tests.browser.screen_material import AABA, Desk, served, window

CHORUSES = 'tempo = 120  # as on Thursday\nchoruses = 4\nchords = "| I | IV | V7 | I |"\n'


@pytest.fixture(scope="module")
def desk(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    file = tmp_path_factory.mktemp("lessons") / "ferry.toml"
    with window(browser, f"{served(file, CHORUSES)}#band", file) as opened:
        opened.page.locator(".height").first.wait_for()
        yield opened
        assert opened.page.complaints == []


@pytest.fixture
def here(desk: Desk) -> Iterator[Desk]:
    """With the form as it was at first."""
    yield desk
    desk.undo_all()
    assert desk.text == CHORUSES


def test_arrow_keys_set_a_height_and_its_name_is_read(here: Desk) -> None:
    sliders = here.page.locator(".height")
    assert [each.get_attribute("aria-label") for each in sliders.all()][:2] == [
        "Chorus 1",
        "Chorus 2",
    ]
    assert sliders.first.get_attribute("aria-valuetext") == "about sparse, as usual"
    here.tab_to("[aria-label='Chorus 2']")
    here.press("End")
    here.settle()
    assert sliders.nth(1).get_attribute("aria-valuetext") == "flat out"
    here.press("ArrowDown", "ArrowLeft")
    here.settle()
    assert sliders.nth(1).get_attribute("aria-valuenow") == "2"
    before, after = here.text.split("intensity = ")
    assert before == CHORUSES
    levels = [float(word) for word in after.strip().strip('"').split()]
    assert levels[1] == 2
    assert here.undo_all() == 1  # all keys at one height are one step


def test_heights_are_drawn_with_the_mouse_in_one_step(here: Desk) -> None:
    page = here.page
    page.locator("#intensity").scroll_into_view_if_needed()
    boxes = [each.bounding_box() for each in page.locator(".height").all()]
    middles = [box["x"] + box["width"] / 2 for box in boxes]
    top, height = boxes[0]["y"], boxes[0]["height"]
    page.mouse.move(middles[0], top + 0.9 * height)
    page.mouse.down()
    page.mouse.move(middles[3], top + 0.1 * height)  # in one leap
    page.mouse.up()
    here.settle()
    assert 'intensity = "1 1.5 2.5 3"' in here.text
    page.locator("#height-slopes").click()
    here.settle()
    assert 'intensity = "1-1.5 1.5-2.5 2.5-3 3"' in here.text
    assert page.locator("#height-slopes").get_attribute("aria-pressed") == "true"
    page.locator("#height-usual").click()
    here.settle()
    assert here.text == CHORUSES
    assert here.undo_all() == 3


def test_heights_and_the_notation_lead_to_each_other(here: Desk) -> None:
    """Each text of heights is plain, and the form that has it plays those heights."""
    found = here.page.evaluate(
        """async () => {
          const { isPlain, textOf } = await import("./web/screen/band/heights.js");
          const made = [[1, 2, 3], [2, 2, 2], [3, 1, 1], [1.5], [1, 2, 1]];
          const texts = made.flatMap((each) => [textOf(each, false), textOf(each, true)]);
          const plain = texts.map((text, n) => isPlain(text, made[n >> 1].length));
          const others = ["1:8 2", "1-3", "1 2-3", "1.25 2", "1 1 1 1", ""];
          return [texts, plain, others.map((text) => isPlain(text, 3))];
        }"""
    )
    texts, plain, others = found
    assert texts == [
        "1 2 3",
        "1-2 2-3 3",
        "2",
        "2",
        "3 1",
        "3-1 1",
        "1.5",
        "1.5",
        "1 2 1",
        "1-2 2-1 1",
    ]
    assert all(plain)
    assert not any(others)


def test_another_take_and_the_one_before(here: Desk) -> None:
    page = here.page
    back = page.locator("#take-back")
    assert back.get_attribute("aria-disabled") == "true"
    page.locator("#take-more").click()
    page.locator("#take-more").click()
    here.settle()
    assert read_form(here.file).seed == 3
    back.click()
    here.settle()
    assert read_form(here.file).seed == 2
    page.locator("#take-more").click()
    here.settle()
    assert read_form(here.file).seed == 4  # one that was not heard yet
    back.focus()
    here.press("Enter", "Enter")
    here.settle()
    assert read_form(here.file).seed == 1
    assert here.focused == "Another take"


def test_a_line_of_the_order_keeps_an_intensity_of_its_own(browser: Any, tmp_path: Path) -> None:
    file = tmp_path / "ferry.toml"
    text = AABA.replace(' as = "solos" }', ' as = "solos", intensity = "3" }')
    with window(browser, f"{served(file, text)}#band", file) as here:
        sliders = here.page.locator(".height")
        sliders.first.wait_for()
        assert [each.get_attribute("aria-label") for each in sliders.all()] == [
            "Line 1, A A B A",
            "Line 2, solos, time 1 of 2",
            "Line 2, solos, time 2 of 2",
        ]
        assert sliders.nth(1).get_attribute("aria-disabled") == "true"
        assert "line 2 of the order" in str(sliders.nth(1).get_attribute("aria-valuetext"))
        sliders.nth(1).focus()
        here.press("Home")
        here.settle()
        assert here.text == text
        sliders.first.focus()
        here.press("End")
        here.settle()
        assert here.text.count('\nintensity = "3"\n') == 1  # of the whole form


def test_a_finger_draws_across_and_presses_but_up_and_down_it_scrolls(
    browser: Any, tmp_path: Path
) -> None:
    file = tmp_path / "ferry.toml"
    size = {"width": 360, "height": 640}
    address = f"{served(file, CHORUSES)}#band"
    with window(browser, address, file, viewport=size, has_touch=True) as here:
        page = here.page
        heights = page.locator(".height")
        heights.first.wait_for()
        page.locator("#who-list .pattern-title").first.wait_for()
        heights.first.evaluate("(each) => each.scrollIntoView({ block: 'center' })")
        hand = page.context.new_cdp_session(page)

        def finger(*places: tuple[float, float]) -> None:
            for n, (x, y) in enumerate(places):
                kind = "touchMove" if n else "touchStart"
                points = [{"x": x, "y": y}]
                hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
            hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
            page.wait_for_timeout(50)
            here.settle()

        boxes = [each.bounding_box() for each in heights.all()]
        middles = [box["x"] + box["width"] / 2 for box in boxes]
        top = boxes[0]["y"]
        finger((middles[2], top + 12))
        assert heights.nth(2).get_attribute("aria-valuetext") == "flat out"
        assert here.undo_all() == 1
        finger(*((middles[0] + n * 10, top + 115) for n in range(1 + int(middles[3] - 60) // 10)))
        told = [each.get_attribute("aria-valuetext") for each in heights.all()]
        assert told[:3] == ["sparse"] * 3
        assert here.undo_all() == 1
        before = page.evaluate("scrollY")
        finger(*((middles[1], top + 110 - 15 * n) for n in range(8)))
        assert here.text == CHORUSES
        assert page.evaluate("scrollY") > before


def test_who_is_silent_in_the_form_is_read_and_written(here: Desk) -> None:
    found = here.page.evaluate(
        """async () => {
          const { silentIn, tacetOf } = await import("./web/screen/band/tacet.js");
          const texts = ["drums, bass", "all but bass, comping", "all", "none", { bass: "1" }, "x"];
          const silent = texts.map((text) => silentIn(text));
          return silent.map((each) => each && tacetOf(each));
        }"""
    )
    assert found == [
        "drums, bass",
        "drums, guitar, keys, percussion, riff, melody, solo",
        "drums, bass, comping, guitar, keys, percussion, riff, melody, solo",
        None,
        None,
        None,
    ]


@pytest.mark.parametrize("width", [360, 1440])
def test_heights_and_takes_keep_nobody_out(desk: Desk, axe: str, width: int) -> None:
    page = desk.page
    page.set_viewport_size({"width": width, "height": 800})
    page.emulate_media(color_scheme="dark" if width == 360 else "light")
    for place in ("#intensity", "#take", "#band-parts", "#commands"):
        assert desk.troubles(axe, place) == []
    for each in page.locator(".height").all():
        assert each.bounding_box()["width"] >= 44
