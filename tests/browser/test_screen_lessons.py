"""The lessons of the folder on the screen: found, opened, copied, and begun."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from groove.form.read import read_form
from tests.browser.screen_material import AABA, CONTRAST, EMPTY, WAIT, served, window

NAMES = (
    "Winter vamp", "Ferry Landing", "Slow blues", "Late bus", "Café blues", "Two lakes", "Old mill",
    "Paper boats", "Small steps", "Third street", "Grey heron", "Long way",
)  # fmt: skip


def kept(folder: Path, title: str, age: int) -> Path:
    path = folder / f"{title.lower().replace(' ', '-')}.toml"
    path.write_text(f'# {title}.\ntitle = "{title}"\nkey = "G"\nchords = "I7 IV7"\n')
    os.utime(path, (1_700_000_000 - age,) * 2)
    return path


def to_lessons(here: Any) -> None:
    here.page.locator("#parts a[href='#lessons']").click()
    here.page.locator("#shipped li").first.wait_for(timeout=WAIT)
    here.page.locator("#lesson-list li").first.wait_for(timeout=WAIT)


def titles(here: Any) -> list[str]:
    return list(here.page.locator("#lesson-list a").all_inner_texts())


def is_at(here: Any, name: str) -> None:
    """Wait until the page of a lesson is there."""
    here.page.wait_for_url(f"**/{name}/**", timeout=WAIT)
    here.page.wait_for_function("() => globalThis.groove?.ready", timeout=WAIT)


def test_lessons_are_found_opened_and_copied_by_keyboard(browser: Any, tmp_path: Path) -> None:
    for age, title in enumerate(NAMES):
        kept(tmp_path, title, age)
    file = tmp_path / "grey-heron.toml"
    with window(browser, served(file, file.read_text()), file) as here:
        to_lessons(here)
        assert titles(here)[:3] == ["Grey heron", "Winter vamp", "Ferry Landing"]
        assert len(titles(here)) == 10
        here.tab_to("#more-lessons")
        here.press("Enter")
        assert len(titles(here)) == len(NAMES)
        assert here.focused == titles(here)[10]  # the first that was not there before
        here.tab_to("#lesson-search-words", "Shift+Tab")
        here.type("blues CAFE")
        assert titles(here) == ["Café blues"]
        assert here.page.locator("#lesson-count").inner_text() == "1 lesson"
        here.press("Control+a")
        here.type("bossa nova")
        assert "No lesson has these words" in here.page.locator("#lesson-count").inner_text()
        here.press("Control+a")
        here.type("ferry")
        here.tab_to("[data-control=copy]")
        assert here.focused == "Duplicate Ferry Landing"
        here.press("Enter")
        assert here.page.locator("#copy-title").input_value() == "Ferry Landing 2"
        here.press("Escape")
        assert here.focused == "Duplicate Ferry Landing"
        here.press("Enter")
        here.type("Ferry again")
        here.press("Enter")
        is_at(here, "ferry-again.toml")
        text = (tmp_path / "ferry-again.toml").read_text()
        assert text == '# Ferry Landing.\ntitle = "Ferry again"\nkey = "G"\nchords = "I7 IV7"\n'
        assert here.page.locator(".title input").input_value() == "Ferry again"
        here.to_bar(0)
        here.write("V7")
        to_lessons(here)
        assert (
            "open now" in here.page.locator("#lesson-list li", has_text="Ferry again").inner_text()
        )
        here.page.locator("#lesson-list a", has_text="Winter vamp").click()
        is_at(here, "winter-vamp.toml")
        assert "V7" in (tmp_path / "ferry-again.toml").read_text()  # kept on the way
        assert here.page.complaints == []


def test_a_lesson_begins_with_a_shipped_form_with_nothing_and_with_a_file(
    browser: Any, tmp_path: Path
) -> None:
    file, own = tmp_path / "ferry.toml", tmp_path / "elsewhere" / "Brücke.toml"
    own.parent.mkdir()
    own.write_bytes(AABA.replace("Harbour", "Brücke").replace("Dm7", "Xm7").encode("cp1252"))
    large = own.with_name("large.toml")
    large.write_bytes(b"#" * 150_000)
    with window(browser, served(file, EMPTY), file) as here:
        here.page.locator("#start-from a").click()
        here.page.locator("#shipped li").first.wait_for(timeout=WAIT)
        here.tab_to("#new-title")
        here.type("Monday's blues")
        here.tab_to("[aria-label='Start with Twelve-bar blues']")
        here.press("Enter")
        is_at(here, "mondays-blues.toml")
        assert read_form(tmp_path / "mondays-blues.toml").title == "Monday's blues"
        assert here.page.locator("#start-from").is_hidden()
        to_lessons(here)
        here.page.get_by_label("Start with An empty form").click()
        is_at(here, "new-form.toml")
        assert here.page.locator("#start-from").is_visible()
        to_lessons(here)
        choose(here, large)
        here.page.locator("#lessons-trouble").wait_for(timeout=WAIT)
        assert "a form is a short file" in here.page.locator("#lessons-trouble").inner_text()
        choose(here, own)
        is_at(here, "brucke.toml")
        assert "Xm7" in here.page.locator("#mistake-list").inner_text()
        here.to_bar(1)
        here.write("Dm7")
        here.settle()
        assert (tmp_path / "brucke.toml").read_text() == AABA.replace("Harbour", "Brücke")


def test_the_file_of_a_lesson_gets_the_name_of_its_title_by_keyboard(
    browser: Any, tmp_path: Path
) -> None:
    file = tmp_path / "new-form.toml"
    (tmp_path / "new-form-2.toml").write_text(AABA.replace("Harbour lights", "Old mill"))
    with window(browser, served(file, AABA), file) as here:
        here.to_bar(0)
        here.write("Am7")
        here.settle()
        changed = here.text
        to_lessons(here)
        asked = "groove.parts.context.asked('lessons/rename', { name })"
        ask = f"(name) => {asked}.catch((error) => error.message)"
        for wrong in ("../new-form.toml", "none.toml", "", None, 5, ["new-form.toml"]):
            assert "has a name of its own" in here.page.evaluate(ask, wrong)
        here.page.complaints.clear()  # a browser tells of each refusal
        mill, harbour = "old-mill.toml", "harbour-lights.toml"
        for name, then in (("new-form-2.toml", mill), (file.name, harbour)):
            here.page.locator(f"[data-name='{name}'] .rename").focus()
            here.press("Enter")
            here.page.locator(f"[data-name='{then}']").wait_for(timeout=WAIT)
        is_at(here, "harbour-lights.toml")
        here.page.locator("#lesson-list li").first.wait_for(timeout=WAIT)
        assert here.page.locator(".rename").count() == 0
        assert sorted(path.name for path in tmp_path.iterdir()) == [
            "harbour-lights.toml", "old-mill.toml",
        ]  # fmt: skip
        assert (tmp_path / "harbour-lights.toml").read_text() == changed
        here.press("Control+z")
        here.settle()
        assert (tmp_path / "harbour-lights.toml").read_text() == AABA
        assert here.page.complaints == []


def choose(here: Any, file: Path) -> None:
    """Choose a file of one's own to start with."""
    with here.page.expect_file_chooser() as chosen:
        here.page.get_by_label("Choose a file: A form file of yours").click()
    chosen.value.set_files(file)


def test_the_lessons_keep_nobody_out(browser: Any, tmp_path: Path, axe: str) -> None:
    """Checked with axe-core: all its rules in dark, those of contrast in light."""
    for age, title in enumerate(NAMES):
        kept(tmp_path, title, age)
    (tmp_path / ".late-bus.toml.draft").write_text('chords = "Xm7"\n')
    with (tmp_path / "two-lakes.toml").open("a") as lakes:
        lakes.write('teacher = "Ada K."\ninvite = "Send me yours"\n')
    file = tmp_path / "ferry.toml"
    size = {"width": 360, "height": 800}
    with window(browser, served(file, AABA), file, viewport=size, color_scheme="dark") as here:
        to_lessons(here)
        said = here.page.locator("#start-voice").inner_text()
        assert "Two lakes what it says of you: Ada K.; Send me yours." in said
        here.page.locator("[data-control=copy]").nth(1).click()
        assert here.troubles(axe) == []
        here.page.set_viewport_size({"width": 1440, "height": 800})
        here.page.emulate_media(color_scheme="light")
        assert here.troubles(axe, rules=CONTRAST) == []
