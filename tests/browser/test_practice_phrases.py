"""The teacher's phrases on the page: as tab, as note names, in the key that sounds, and heard."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from groove.form.lesson_fields import NamedPhrase
from groove.form.read import read_form
from groove.handout.practice.inline import page_html
from groove.handout.practice.phrases import page_phrases, phrases_html
from groove.lesson.request import USUAL
from groove.theory.keys import twelve_keys
from groove.wording import words_of
from tests.browser.practice_material import FORM, TEXTS
from tests.handout.practice.page_material import data_in

PHRASE = NamedPhrase(
    "Up", "3f5:1/2 3f5:1/2 | 3f7^1 2f5:1/2 h2f8:1/2 p2f5:1/2 s2f7:1/2 4f7", "Sing it."
)


def test_phrases_are_read_and_heard(
    opened: Any, practice_page: Path, tmp_path: Path, axe: str
) -> None:
    plain = read_form("twelve-bar", **FORM)
    form = replace(plain, lesson=replace(plain.lesson, phrases=(PHRASE,)))
    made = practice_page.read_text("utf-8")
    assert "phrases" not in made
    data = {name: data_in(made, f"{name}-data") for name in ("track", "sound")}
    data["track"] |= page_phrases(form, twelve_keys(form.key), USUAL)
    data["track"]["words"]["phrases"] = words_of("page")["phrases"]
    path = tmp_path / "page.html"
    sounds = {"track": data["track"], "sounds": data["sound"]}
    path.write_text(page_html(TEXTS | {"phrases": phrases_html(form)}, sounds), "utf-8")
    page = opened("#view=page", path, viewport={"width": 360, "height": 740})
    frets = "[...document.querySelectorAll('.phrase rect + text')].map((each) => each.textContent)"
    letters = "[...document.querySelectorAll('.phrase .bend')].map((each) => each.textContent)"
    assert page.evaluate(frets) == ["2", "2", "4", "2", "5", "2", "4", "4"]  # in A, written in C
    assert page.evaluate(letters) == ["↑full", "H", "P"]
    label = page.locator(".phrase .tab-bar").nth(1).get_attribute("aria-label")
    assert "hammered on to string 2 fret 5, pulled off to string 2 fret 2, slid to" in label
    page.select_option("#key", "0")
    assert page.evaluate(frets) == ["5", "5", "7", "5", "8", "5", "7", "7"]
    assert page.inner_text(".phrase select").split("\n")[0] == "C7, as written"
    page.focus(".phrase select")
    page.keyboard.press("ArrowDown")  # over the chord on the fourth degree
    assert page.evaluate(frets) != ["5", "5", "7", "5", "8", "5", "7", "7"]
    page.select_option("#written", "Bb")
    page.select_option("#shape", "staff")
    assert page.locator(".phrase .tab-bar").first.is_hidden()
    assert page.inner_text(".phrase-notes [aria-hidden]").startswith("G G | A↑full ")
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    page.evaluate("() => { practice.heard = (note) => (globalThis.notes ??= []).push(note); }")
    page.focus(".phrase button")
    page.keyboard.press("Enter")
    page.wait_for_function("() => practice.stage.context.state === 'running'")
    page.wait_for_function("() => notes.length >= 3")
    heard = page.evaluate("notes.filter(({ part }) => part === 'audition solo')")
    assert [note["tick"] for note in heard][:3] == [-960, -480, 0]
    assert page.evaluate("practice.stage.band.voices.size") > 0
    page.evaluate(axe)
    found = page.evaluate("axe.run('#phrases')")
    assert [each["id"] for each in found["violations"]] == []
    assert page.seen.complaints == []
