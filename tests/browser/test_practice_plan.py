"""The practice plan in the page: steps and tempi to tick, which stay on the device."""

from __future__ import annotations

from typing import Any

from groove.form.read import read_form
from groove.lesson.guide import write_guide
from tests.browser.practice_material import FORM, print_preview

BLOCKED = """Object.defineProperty(window, 'localStorage', { get() {
  throw new DOMException('not allowed', 'SecurityError'); } });"""
FULL = (
    "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };"
)


def test_each_step_says_how_long_it_takes_and_what_to_listen_for(opened: Any) -> None:
    plan = write_guide(read_form("twelve-bar", **FORM)).plan
    page = opened()
    steps = page.locator("#steps li")
    assert steps.count() == len(plan.steps)
    for number, step in enumerate(plan.steps):
        said = steps.nth(number).inner_text()
        assert f"{step.title}, {step.minutes} min" in said
        assert step.listen in said
    assert page.locator("#ladder button").all_inner_texts() == [str(rung) for rung in plan.ladder]
    print_preview(page)
    sheet = page.inner_text("#sheet")
    assert all(step.listen in sheet for step in plan.steps)
    assert " · ".join(map(str, plan.ladder)) in sheet


def test_a_rung_of_the_ladder_sets_the_tempo(opened: Any) -> None:
    page = opened()
    rungs = page.locator("#ladder button")
    assert rungs.last.get_attribute("aria-pressed") == "true"
    rungs.first.click()
    assert page.input_value("#tempo") == rungs.first.inner_text()
    assert rungs.first.get_attribute("aria-pressed") == "true"
    page.fill("#tempo", "97")
    page.press("#tempo", "Enter")
    assert page.locator("#ladder [aria-pressed=true]").count() == 0


def test_ticks_stay_on_the_device_until_they_are_cleared(opened: Any) -> None:
    page = opened()
    assert not page.is_visible("#clear-ticks")
    assert page.evaluate("localStorage.length") == 0  # nothing is kept that nobody asked for
    page.locator("#steps input").nth(1).check()
    page.locator("#ladder input").first.check()
    page.select_option("#key", "0")  # in every key, for every instrument
    page.select_option("#shape", label="keyboard")
    page.reload()
    page.wait_for_function("() => globalThis.practice?.ready")
    assert page.locator("#practise input:checked").count() == 2
    assert page.locator("#steps input").nth(1).is_checked()
    page.click("#clear-ticks")
    assert page.locator("#practise input:checked").count() == 0
    assert not page.evaluate("Object.keys(localStorage).some((name) => name.includes('ticks'))")


def test_another_form_or_version_has_ticks_of_its_own(opened: Any) -> None:
    page = opened()
    page.evaluate("localStorage.setItem('groove ticks \"Other\" 1', '[\"step 0\"]')")
    page.evaluate(
        "localStorage.setItem(`groove ticks ${JSON.stringify(practice.track.title)} old`, '[]')"
    )
    page.reload()
    page.wait_for_function("() => globalThis.practice?.ready")
    assert page.locator("#practise input:checked").count() == 0


def test_ticks_hold_for_the_visit_where_nothing_may_be_kept(opened: Any) -> None:
    for before in (BLOCKED, FULL):
        page = opened(before=before)
        page.locator("#steps input").first.check()
        page.select_option("#key", "0")
        assert page.locator("#steps input").first.is_checked()
        assert "until the page is closed" in page.inner_text("#kept-about")
        page.click("#clear-ticks")
        assert not page.locator("#steps input").first.is_checked()
        assert page.seen.complaints == []
