"""The solo as tablature under the chart: the bars that sound, and their notes lit."""

from __future__ import annotations

from typing import Any

from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.handout.practice.takes import looped
from groove.lesson.solo.part import solo_part
from tests.browser.practice_material import FORM

SHOWN = """() => [...document.querySelectorAll('#tab .tab-bar')].flatMap((bar) =>
  [...bar.querySelectorAll('.tab-note rect + text')].map((text) =>
    [Math.round((text.getAttribute('y') - 44) / 15) + 1, Number(text.textContent)]))"""


def test_the_tab_is_that_of_the_solo_four_bars_at_a_time(shown: Any) -> None:
    chart = unroll(looped(read_form("twelve-bar", **FORM)))
    solo = solo_part(chart, "example", again=True)
    assert solo
    page = shown("#solo=example")
    for first in (1, 5, 9):
        page.evaluate("(bar) => { location.hash = `#solo=example&bars=${bar}`; }", first + 1)
        page.wait_for_function("(bar) => practice.settings.from === bar", arg=first + 1)
        start, end = chart.bars[chart.rounds[0].first + first - 1].start, first + 3
        last = chart.bars[chart.rounds[0].first + end - 1].end
        notes = [note for note in solo.notes if start <= note.start < last]
        expected = sorted((note.start, note.pitch, note.string, note.fret) for note in notes)
        assert page.evaluate(SHOWN) == [[string, fret] for _, _, string, fret in expected]


def test_the_tab_is_there_where_there_is_a_solo_and_its_neck(shown: Any) -> None:
    page = shown()
    assert not page.is_visible("#tab")
    page.select_option("#solo", "example")
    assert page.is_visible("#tab")
    page.select_option("#strings", "drop-d")
    assert not page.is_visible("#tab")  # its strings are others
    page.select_option("#strings", "guitar")
    page.select_option("#key", "2")
    assert (
        page.locator("#tab .tab-bar").first.get_attribute("aria-label").startswith("Bar 1: string ")
    )
    assert page.seen.complaints == []


def test_the_notes_that_sound_are_lit(shown: Any) -> None:
    page = shown(
        "#solo=answers&countin=off&tempo=200&view=page", viewport={"width": 360, "height": 740}
    )
    assert page.locator("#tab .tab-note.lit").count() == 0
    page.click("#play")
    page.wait_for_selector("#tab .tab-note.lit")
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    page.click("#play")
    page.wait_for_function("() => !document.querySelector('#tab .tab-note.lit')")
