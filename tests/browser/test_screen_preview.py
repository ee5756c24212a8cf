"""What the student gets, on the screen: pages of paper, and the practice page in its frame."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.browser.screen_material import CONTRAST, WAIT, Desk, served, window

LESSON = """\
title = "Harbour lights"
key = "F"
chords = "| Fmaj7 | Dm7 | Gm7 | C7 | Cm7 | F7 | Bbmaj7 | % |"
"""
THERE = "document.querySelectorAll('.paper-sheets li:not(.waits) img').length"


@pytest.fixture(scope="module")
def here(
    browser: Any, asking_page: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Desk]:
    """A window on the lesson; its practice page is one that other tests have made."""
    file = tmp_path_factory.mktemp("lessons") / "ferry.toml"
    text = asking_page.read_text("utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("groove.handout.practice.make.page_text", lambda *_, **__: text)
        address = f"{served(file, LESSON)}#lesson"
        with window(browser, address, file, viewport={"width": 1000, "height": 700}) as desk:
            until(desk, "document.querySelector('#printed')")
            yield desk


def until(here: Desk, script: str) -> None:
    """Wait until an expression in the page is true."""
    for _ in range(WAIT // 20):
        if here.page.evaluate(f"Boolean({script})"):
            return
        here.page.wait_for_timeout(20)
    raise AssertionError(script)


def asked(here: Desk) -> list[str]:
    """The addresses of previews that the page has asked for."""
    return [url.split(".toml/")[1] for url in here.page.asked if "/preview/" in url]


def test_pages_come_when_they_are_looked_at_and_follow_the_edits(here: Desk) -> None:
    page = here.page
    page.wait_for_timeout(400)  # longer than the rest after an edit
    assert asked(here) == []  # they lie below the window
    page.get_by_role("button", name="See what the student gets").press("Enter")
    assert here.focused == "What the student gets"
    until(here, f"{THERE} > 0")
    count = page.locator(".paper-sheets li").count()
    assert page.locator("#printed [role=status]").inner_text() == f"{count} pages."
    first = page.locator(".paper-sheets img").first
    assert first.get_attribute("alt") == "Harbour lights, lesson sheet, page 1"
    pages = [each for each in asked(here) if each.startswith("preview/pages/")]
    assert 0 < len(pages) < count  # the others are below the window
    page.evaluate("scrollBy(0, 150)")
    place, before = page.evaluate("scrollY"), first.get_attribute("src")
    page.evaluate("groove.state.edit({ do: 'field', name: 'title', value: 'Ferry' })")
    until(here, "document.querySelector('.paper-sheets img').alt.startsWith('Ferry')")
    assert page.locator(".paper-sheets img").first.get_attribute("src") != before
    assert page.evaluate("scrollY") == place
    assert page.locator(".paper-sheets li").count() == count


def test_a_form_with_a_mistake_shows_its_last_pages_and_says_so(here: Desk) -> None:
    page = here.page
    page.evaluate("document.querySelector('#printed').scrollIntoView()")
    until(here, f"{THERE} > 0")
    bar = "{ do: 'bar', section: 0, bar: 1, text: '%s' }"
    page.evaluate(f"groove.state.edit({bar % 'Xm7'})")
    until(here, "document.querySelector('#printed [role=status]').textContent.includes('mistakes')")
    page.evaluate(f"groove.state.edit({bar % 'D7'})")
    until(
        here,
        "/^[0-9]+ pages?[.]$/.test(document.querySelector('#printed [role=status]').textContent)",
    )


def test_the_text_of_the_pages_follows_the_edits_wherever_one_looks(here: Desk) -> None:
    page = here.page
    page.evaluate("document.querySelector('#printed').scrollIntoView()")
    until(here, f"{THERE} > 0")
    words = "document.querySelector('.paper-words').textContent"
    page.evaluate("groove.state.edit({ do: 'field', name: 'title', value: 'Ferry' })")
    page.locator("#printed summary").click()
    until(here, f"{words}.includes('Ferry')")
    page.evaluate("scrollTo(0, 0)")
    page.wait_for_function("document.querySelector('#printed').getBoundingClientRect().top > 700")
    page.evaluate("groove.state.edit({ do: 'field', name: 'title', value: 'Quay' })")
    until(here, f"{words}.includes('Quay') && !{words}.includes('Ferry')")
    page.evaluate("location.hash = 'form'")
    page.evaluate("groove.state.edit({ do: 'field', name: 'title', value: 'Ferry' })")
    page.evaluate("location.hash = 'lesson'")
    until(here, f"{words}.includes('Ferry') && !{words}.includes('Quay')")
    page.evaluate("document.querySelector('#printed details').open = false")


def test_pages_that_could_not_be_fetched_come_later(here: Desk) -> None:
    page = here.page
    page.evaluate("document.querySelector('#printed').scrollIntoView()")
    until(here, f"{THERE} > 0")
    said = "document.querySelector('#printed [role=status]').textContent"
    page.route("**/preview/pages?**", lambda route: route.abort(), times=1)
    page.get_by_label("Paper", exact=True).select_option("letter")
    until(here, f"{said}.includes('failed')")
    assert page.locator(".paper-sheets").is_hidden()
    page.route("**/preview/pages/*/1", lambda route: route.abort(), times=1)
    page.evaluate("groove.state.refresh()")
    until(here, f"{THERE} > 0 && /^[0-9]+ pages[.]/.test({said})")
    until(here, "!document.querySelector('.paper-sheets li').classList.contains('waits')")


def test_pages_can_be_large_be_read_as_text_and_be_those_of_the_chart(here: Desk) -> None:
    page = here.page
    page.evaluate("document.querySelector('#printed').scrollIntoView()")
    until(here, f"{THERE} > 0")
    wide = "document.querySelector('.paper-sheets li').getBoundingClientRect().width"
    small = page.evaluate(wide)
    large = page.get_by_role("button", name="Large pages")
    large.press("Enter")
    assert large.get_attribute("aria-pressed") == "true"
    assert page.evaluate(wide) == page.evaluate(
        "document.querySelector('#printed').getBoundingClientRect().width"
    )
    page.locator(".paper-page").first.click()
    assert page.evaluate(wide) == small
    page.get_by_label("Show").select_option("chart")
    page.get_by_label("For", exact=True).select_option("Eb")
    until(here, "document.querySelectorAll('.paper-sheets li').length === 1")
    page.get_by_text("Read the pages as text").click()
    until(here, "document.querySelector('.paper-words pre')?.textContent.includes('D major')")
    with page.expect_download() as saved:
        page.get_by_role("link", name="Save as PDF").press("Enter")
    assert saved.value.suggested_filename.endswith("-chart-eb.pdf")
    assert Path(saved.value.path()).read_bytes()[:5] == b"%PDF-"


def test_the_practice_page_plays_in_its_frame_and_reaches_nothing_else(here: Desk) -> None:
    page = here.page
    page.get_by_role("button", name="Make the page").press("Enter")
    until(here, "document.querySelector('#practice iframe')")
    page.locator("#practice iframe").scroll_into_view_if_needed()
    assert " MB" in page.locator("#practice-said").inner_text()
    frame = next(each for each in page.frames if "preview/practice/page" in each.url)
    frame.wait_for_selector("#play:not([disabled])", timeout=WAIT)
    page.evaluate(
        """() => {
          Object.defineProperty(groove.listen.listening, "playing", { value: true });
          groove.listen.playOrStop = () => (globalThis.stops = (globalThis.stops ?? 0) + 1);
        }"""
    )
    frame.click("#play")
    frame.wait_for_selector("#play-word:text('Stop')", timeout=WAIT)
    until(here, "globalThis.stops === 1")  # the band of the screen
    frame.click("#play")
    tried = """async () => {
      const attempts = {
        parent: () => parent.document.title,
        storage: () => localStorage.length,
        fetched: () => fetch("../../state").then((answer) => answer.text()),
        posted: () => fetch("../../edit", { method: "POST", body: "{}" }),
        opened: () => open("../../state").document.title,
      };
      const found = { origin: self.origin };
      for (const [name, attempt] of Object.entries(attempts)) {
        found[name] = await Promise.resolve().then(attempt).then(() => "reached", () => "refused");
      }
      return found;
    }"""
    refused = dict.fromkeys(("parent", "storage", "fetched", "posted", "opened"), "refused")
    assert frame.evaluate(tried) == {"origin": "null"} | refused
    with page.expect_response("**/state") as answer:
        frame.evaluate("() => void (location.href = '../../state')")
    assert answer.value.status == 403
    page.evaluate("groove.state.edit({ do: 'field', name: 'tempo', value: 99 })")
    until(here, "document.querySelector('#practice-said').textContent.includes('before your last')")
    with page.expect_popup() as opened:
        page.get_by_role("link", name="Open it in a tab").press("Enter")
    opened.value.wait_for_selector("#play:not([disabled])", timeout=WAIT)
    assert opened.value.evaluate("[self.origin, opener]") == ["null", None]
    opened.value.close()
    page.evaluate("location.hash = 'form'")  # its band could not be stopped from there
    until(here, "!document.querySelector('#practice iframe')")
    page.evaluate("location.hash = 'lesson'")
    until(here, "document.querySelector('#practice iframe')")


@pytest.mark.parametrize(("width", "scheme"), [(360, "dark"), (1000, "light")])
def test_nothing_in_it_keeps_anyone_out(here: Desk, axe: str, width: int, scheme: str) -> None:
    page = here.page
    page.set_viewport_size({"width": width, "height": 700})
    page.emulate_media(color_scheme=scheme)
    page.evaluate("document.querySelector('#printed').scrollIntoView()")
    until(here, f"{THERE} > 0")
    rules = CONTRAST if scheme == "light" else ()
    assert here.troubles(axe, "#preview", rules) == []
