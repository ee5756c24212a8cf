"""The settings of the practice page, and the link that opens it with them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.browser.practice_material import HEAR, ON_TIME, beats, go_to


def test_a_link_opens_key_tempo_and_bars(opened: Any) -> None:
    page = opened("#key=Eb&tempo=84&bars=9-12")
    assert page.evaluate("[practice.settings.key, practice.settings.tempo]") == [3, 84]
    assert [page.input_value(f"#{name}") for name in ("from", "to", "tempo")] == ["9", "12", "84"]
    assert page.inner_text("#stand-title") == "The chords in E♭ blues"


@pytest.mark.parametrize(
    ("name", "number"), [("eb", 3), ("E♭", 3), ("bb", 10), ("b", 11), ("d#", 3), ("a", 9)]
)
def test_a_key_in_a_link_is_read_in_any_spelling(shared: Any, name: str, number: int) -> None:
    assert (
        go_to(shared, f"#key={name.replace('#', '%23')}").evaluate("practice.settings.key")
        == number
    )


def test_the_position_is_that_of_one_hand_until_the_student_sets_one(shown: Any) -> None:
    page = shown("#show=guitar")
    for key in range(12):
        page.select_option("#key", str(key))
        usual = page.evaluate("(key) => practice.settings.positionAt('usual', key)", key)
        assert page.input_value("#fret") == str(usual)
    page.fill("#fret", "9")
    page.press("#fret", "Enter")
    page.select_option("#key", "0")
    assert page.input_value("#fret") == "9"


def test_nonsense_in_a_link_changes_nothing(shown: Any) -> None:
    page = shown("#key=H&tempo=fast&bars=x-y&fret=-3&next=sideways&rounds=0&show=tuba")
    assert page.evaluate("practice.settings.toFragment()") == (
        "key=A&tempo=120&show=guitar&silent=click"
    )
    assert page.seen.complaints == []


@pytest.mark.parametrize("name", ["toString", "constructor", "__proto__"])
def test_names_that_every_object_has_are_nonsense_too(shown: Any, name: str) -> None:
    page = shown(f"#next={name}&show={name}&for={name}&told={name}")
    assert page.evaluate("practice.settings.toFragment()") == (
        "key=A&tempo=120&show=guitar&silent=click"
    )
    page.evaluate("practice.settings.roundOver()")
    assert page.evaluate("practice.settings.key") == 9


def test_what_is_set_stands_in_the_address(shown: Any) -> None:
    page = shown()
    page.select_option("#key", "10")
    page.fill("#tempo", "96")
    page.press("#tempo", "Enter")
    page.wait_for_function("() => location.hash.includes('tempo=96')")
    assert page.evaluate("location.hash").startswith("#key=Bb&tempo=96&")


VALUES = """() => [...document.querySelectorAll('input, select, .bar')].map((field) =>
  [field.id || field.getAttribute('aria-label') || field.parentElement.textContent,
   field.type === 'checkbox' ? field.checked : field.value || field.ariaPressed])"""


def _set_everything(page: Any) -> None:
    """Change every control of the page."""
    page.click("#machines-title button")
    page.click("#own-machine summary")
    chosen = {
        "key": "B♭", "written": "E♭ instruments", "shape": "bass", "next-key": "a semitone up",
        "told": "each new round",
    }  # fmt: skip
    for name, choice in chosen.items():
        page.select_option(f"#{name}", label=choice)
    typed = {"tempo": "92.5", "from": "3", "to": "7", "fret": "2", "faster": "-3", "rounds": "6"}
    for name, number in typed.items():
        page.fill(f"#{name}", number)
        page.press(f"#{name}", "Tab")
    page.uncheck("#count-in")
    page.check("[data-part=click] [type=checkbox]")
    page.uncheck("[data-part=bass] [type=checkbox]")
    for part, presses in (("drums", 4), ("bass", 1)):
        for _ in range(presses):
            page.press(f"[data-part={part}] [type=range]", "ArrowLeft")


def test_everything_that_is_set_comes_back_with_the_link(opened: Any) -> None:
    page = opened()
    before = page.evaluate(VALUES)
    _set_everything(page)
    here = page.evaluate(VALUES)
    assert sum(one != other for one, other in zip(before, here, strict=True)) > 16
    assert opened(f"#{page.evaluate('practice.settings.toFragment()')}").evaluate(VALUES) == here
    page.uncheck("#for-ever")
    assert not page.is_visible("#rounds")  # a file has as many as are played
    page.fill("#stop-after", "9")
    page.press("#stop-after", "Enter")
    again = opened(f"#{page.evaluate('practice.settings.toFragment()')}")
    assert (again.is_checked("#for-ever"), again.input_value("#stop-after")) == (False, "9")


def test_another_link_in_the_same_window_leaves_nothing_of_the_one_before(opened: Any) -> None:
    page = opened("#key=Eb&tempo=84&bars=9-12&silent=drums&volume=bass:40")
    page.evaluate("() => { location.hash = '#key=C'; }")
    page.wait_for_function("() => practice.settings.key === 0")
    assert page.evaluate(VALUES) == opened("#key=C").evaluate(VALUES)


LATER = """const usual = window.setTimeout;
window.setTimeout = (act, ms, ...more) => usual((window.later = act), ms, ...more);"""
"""Keeps what the page does last by a timer."""


def test_a_link_is_followed_though_a_change_is_about_to_be_written_into_the_address(
    opened: Any,
) -> None:
    page = opened(before=LATER)
    page.evaluate("practice.settings.setTempo(90)")
    page.select_option("#key", "10")
    page.evaluate("() => { location.hash = '#key=C&tempo=70'; window.later(); }")
    page.wait_for_function("() => practice.settings.tempo === 70")
    assert page.evaluate("practice.settings.key") == 0
    page.wait_for_function("() => location.hash.startsWith('#key=C&tempo=70&')")


def test_the_page_begins_as_the_form_says(opened: Any, crowded_page: Path) -> None:
    page = opened(path=crowded_page)
    fields = ("rounds", "faster", "next-key")
    assert [page.input_value(f"#{name}") for name in fields] == ["5", "-2", "up"]
    assert not page.is_checked("#count-in")
    assert page.inner_text("#take-about").startswith(
        "5 rounds, 0:34, from D♭ at 126 to F at 118"
    )  # 5 rounds of 12 beats, the last bar, and what rings on


def test_the_page_plays_all_that_the_form_asks_for_before_the_first_bar(
    opened: Any, asking_page: Path
) -> None:
    """At 300 beats a minute a bar lasts 0.8 seconds; the tuning note's 7 seconds take nine bars.
    Two bars are counted "1 - 2 - | 1 2 3 4"."""
    page = opened(path=asking_page)
    page.evaluate(HEAR)
    assert page.input_value("#tempo") == "300"
    page.click("#play")
    page.wait_for_function(
        "() => document.getElementById('bar-number').innerText === 'Tuning note'"
    )
    page.wait_for_function("() => document.getElementById('bar-number').innerText === 'Count-in'")
    page.wait_for_selector(".bar[aria-current]")
    notes = page.evaluate("window.notes")
    start = notes[0]["at"]
    tuned = [(note["pitch"], note["at"] - start) for note in notes if note["part"] == "tuning note"]
    assert tuned == [(69, pytest.approx(0)), (63, pytest.approx(3))]
    counted = [time - start for time in beats(notes, "count-in")]
    assert counted == pytest.approx([9 * 0.8 + 0.2 * n for n in (0, 2, 4, 5, 6, 7)], abs=ON_TIME)
    page.click("#play")
    page.click("#machines-title button")
    page.uncheck("#tuning-note")
    assert "tuning=off" in page.evaluate("practice.settings.toFragment()")


def test_a_link_is_copied_and_where_that_is_not_allowed_it_is_shown(opened: Any) -> None:
    page = opened(
        "#key=Eb",
        before="""Object.defineProperty(navigator, 'clipboard', { value: undefined });
        window.prompt = (words, link) => { window.shown = link; };""",
    )  # a browser has no clipboard for a page that came without encryption
    page.click("#copy")
    page.wait_for_function("() => window.shown")
    assert "#key=Eb&" in page.evaluate("window.shown")
    assert "only on this device" in page.text_content("#take-said")
    assert page.seen.complaints == []
