"""The lesson on the screen: phrases on a neck, the parts of the sheet, and the teacher's words."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest

from tests.browser.screen_material import CONTRAST, Desk, served, window

BLUES = """\
# For Thursday.
title = "Ferry"
key = "A"
tempo = 120
choruses = 3
chords = "| I7 | % | IV7 | V7 |"  # four bars
"""
PHRASE = """
# The one they like.
[[phrases]]
name  = "answer"
notes = "3f5 h3f7:1/2 -:1/2 2f5^1 3f7+2f5"  # mine
"""
EMPTY = "**/lesson/empty"
LISTEN = """() => {
  globalThis.heard = [];
  const { start } = AudioBufferSourceNode.prototype;
  AudioBufferSourceNode.prototype.start = function (at, ...rest) {
    heard.push([at - this.context.currentTime, this.buffer]);
    return start.call(this, at, ...rest);
  };
}"""
"""Keeps the time from now and the samples of each sound that is struck."""
PITCHES = """() => heard.map(([, buffer]) => {
  const samples = buffer.getChannelData(0).slice(8000, 16000);
  let best = [0, -Infinity];
  for (let lag = 40; lag < 700; lag++) {
    let sum = 0;
    for (let n = 0; n + lag < samples.length; n++) sum += samples[n] * samples[n + lag];
    if (sum > 1.02 * best[1]) best = [lag, sum];
  }
  return Math.round(69 + 12 * Math.log2(buffer.sampleRate / best[0] / 440));
})"""
"""The MIDI note of each sound: its wave's length by autocorrelation."""


@pytest.fixture(scope="module")
def open_window(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """A window on the lesson of a form, for all tests here."""
    file = tmp_path_factory.mktemp("lessons") / "ferry.toml"
    with window(browser, served(file, BLUES), file) as here:
        for slow in (EMPTY, "**/preview/**"):  # what makes whole sheets
            here.page.route(slow, lambda _route: None)
        here.page.evaluate("location.hash = 'lesson'")
        here.page.locator("#blocks li").first.wait_for()
        yield here


@pytest.fixture
def here(open_window: Desk) -> Desk:
    """The window with the lesson of a blues, all folds closed."""
    begin(open_window, BLUES)
    return open_window


def begin(here: Desk, text: str) -> None:
    """Begin with another text, as if another program had written it."""
    close = """() => {
      for (const each of document.querySelectorAll("#part-lesson details")) each.open = false;
      document.querySelector('.phrase [aria-expanded="true"]')?.click();
      document.activeElement.blur();
    }"""
    here.page.evaluate(close)
    here.file.write_text(text)
    here.page.evaluate("groove.state.ask('take-from-disk')")
    settle(here)
    here.page.complaints.clear()


def undo_to(here: Desk, text: str) -> int:
    """Undo until the file has a text; the number of steps."""
    for steps in range(100):
        settle(here)
        if here.text == text:
            return steps
        here.press("Control+z")
    raise AssertionError(here.text)


def settle(here: Desk) -> None:
    """Wait until all is kept, and shown in the lesson."""
    shown = "document.getElementById('part-lesson').dataset.version"
    is_shown = f"() => !groove.state.isBehind && {shown} === String(groove.state.now.version)"
    here.page.wait_for_function(is_shown)


def phrases(here: Desk) -> list[dict[str, str]]:
    settle(here)
    return list(tomllib.loads(here.text).get("phrases", []))


def press(here: Desk, string: int, fret: int) -> None:
    here.page.locator(f'.neck-board [data-string="{string}"][data-fret="{fret}"]').click()


def act(here: Desk, words: str) -> None:
    here.page.locator(".note-acts button").get_by_text(words, exact=True).click()


def test_a_phrase_is_written_by_pressing_a_neck(here: Desk) -> None:
    page = here.page
    page.locator("#add-phrase").click()
    assert page.evaluate("document.activeElement.matches('.phrase .name input')")
    here.type("Reply")
    assert phrases(here) == []  # it begins with its first note
    press(here, 3, 5)
    assert phrases(here) == [{"name": "Reply", "notes": "3f5", "key": "A"}]
    page.locator(".lengths button").get_by_text("1/2", exact=True).click()
    press(here, 3, 7)
    act(here, "Hammer on")
    act(here, "Rest")
    press(here, 2, 5)
    page.locator(".bend-choice select").select_option("1/2")
    act(here, "And down")
    act(here, "Goes with it")
    press(here, 1, 5)
    act(here, "Hold on")
    act(here, "Bar line")
    expected = "3f5:1/2 h3f7:1/2 -:1/2 2f5^1/2v+1f5:1/2 ~:1/2 |"
    assert phrases(here)[0]["notes"] == expected
    page.locator(".note-word").nth(1).click()
    act(here, "Puts it elsewhere")
    press(here, 3, 4)
    page.locator(".lengths button").get_by_text("2", exact=True).click()
    assert phrases(here)[0]["notes"] == expected.replace("3f5:1/2", "3f4:2")
    page.locator(".note-word").nth(2).click()
    act(here, "Remove note")
    assert phrases(here)[0]["notes"] == "3f4:2 -:1/2 2f5^1/2v+1f5:1/2 ~:1/2 |"
    assert undo_to(here, BLUES) > 8
    assert page.locator(".phrase").count() == 0
    assert page.complaints == []


def test_a_phrase_is_written_by_keyboard_alone(here: Desk) -> None:
    here.page.get_by_label("Your name").focus()
    here.tab_to("#add-phrase")
    here.press("Enter")
    here.tab_to(".neck-board button")
    assert here.focused == "E, string 1, open"
    here.press("ArrowDown", "ArrowDown", *["ArrowRight"] * 5)
    assert here.focused == "C, string 3, fret 5"
    here.press("Enter", "ArrowRight", "ArrowRight", "Space")
    assert phrases(here)[0] == {"name": "Phrase 1", "notes": "3f5 3f7", "key": "A"}
    assert here.focused == "D, string 3, fret 7"
    here.tab_to(".note-word")
    assert here.focused == "2 of 2: D, string 3, fret 7, 1 beat"
    here.press("h", "-", "b", "b", "r", "2", "ArrowLeft", "ArrowUp")
    assert phrases(here)[0]["notes"] == "3f5 h3f8^1/2:2/3 -:2"
    here.press("Home", "ArrowRight", "|", "ArrowLeft", "+")
    assert phrases(here)[0]["notes"] == "3f5:3/2 | h3f8^1/2:2/3 -:2"
    here.press("End", "Delete")
    assert phrases(here)[0]["notes"] == "3f5:3/2 | h3f8^1/2:2/3"
    assert here.focused == (
        "3 of 3: D sharp, string 3, fret 8, hammered on, bent up: A half step, 2/3 of a beat"
    )
    assert here.page.complaints == []


def test_notation_is_typed_and_its_mistakes_are_those_of_check(here: Desk) -> None:
    begin(here, BLUES + PHRASE)
    page = here.page
    page.locator(".phrase [data-act=write]").click()
    box = page.locator(".as-text textarea")
    assert box.input_value() == "3f5 h3f7:1/2 -:1/2 2f5^1 3f7+2f5"
    box.focus()
    here.press("End")
    here.type(" 9f9")
    page.locator(".as-text .mistake").wait_for()
    said = "9f9 is not on this neck; strings are 1 to 6, frets 0 to 24"
    assert page.locator(".as-text .mistake").inner_text() == said
    assert page.locator("#mistake-list li").inner_text() == f"Phrase 1: {said}"
    assert here.text == BLUES + PHRASE  # the last version without mistakes
    assert "9f9" in here.draft.read_text()
    assert page.locator(".tab-bar").count() == 1  # what can be read of it
    page.locator("#parts a").first.click()
    page.locator("#mistake-list a").click()
    page.wait_for_function("() => document.activeElement.matches('.as-text textarea')")
    here.press("End", *["Backspace"] * 3)
    here.type("C5:2")
    settle(here)
    page.locator("#mistakes").wait_for(state="hidden")
    assert here.text == BLUES + PHRASE.replace('2f5"', '2f5 C5:2"')
    page.locator(".tab-note").nth(5).wait_for()  # a place is found for C5
    label = page.locator(".note-word").last.get_attribute("aria-label")
    assert label == "6 of 6: C, string 1, fret 8, 2 beats"


def test_a_mistake_that_names_a_phrase_stands_at_it(here: Desk) -> None:
    begin(here, BLUES + PHRASE)
    page = here.page
    page.locator(".phrase [data-act=write]").click()
    page.locator(".phrase .over input").fill("Q7")
    settle(here)
    said = "phrase 'answer': over: chord 1 of 1: chord 'Q7' can't be read"
    assert page.locator(".phrase .name .mistake").inner_text().startswith(said)
    page.locator("#mistake-list a").click()
    page.wait_for_function("() => document.activeElement.matches('.phrase .name input')")
    page.locator(".phrase .over input").fill("V7")
    assert phrases(here)[0]["over"] == "V7"
    assert page.locator(".tab-chord").text_content() == "E7"
    here.page.locator(".phrase .name input").fill("")
    page.locator("#add-phrase").focus()
    assert page.locator(".phrase .name input").input_value() == "answer"  # it keeps its name


def test_a_phrase_in_a_form_of_another_key_is_shown_as_it_is_written(here: Desk) -> None:
    begin(here, BLUES + PHRASE)
    hint = here.page.locator(".phrase > .hint")
    assert not hint.is_visible()
    drawn = here.page.locator(".phrase .tab").inner_html()
    edit = '() => groove.state.edit({ do: "field", name: "key", value: "Eb", step: "" })'
    here.page.evaluate(edit)
    settle(here)
    assert phrases(here)[0]["key"] == "A"
    assert hint.inner_text().startswith("Written in A, as here")
    assert "in E♭" in hint.inner_text()
    assert here.page.locator(".phrase .tab").inner_html() == drawn
    here.page.locator(".phrase [data-act=write]").click()
    dots = """() => [...document.querySelectorAll(".neck-board .fret-dot")].map((dot) => {
      const { left, width } = dot.getBoundingClientRect();
      const isOver = (each) => Math.abs(each.left + each.width / 2 - left - width / 2) < 2;
      return [...document.querySelectorAll(".fret-number")].find((number) =>
        isOver(number.getBoundingClientRect()))?.textContent;
    })"""
    assert here.page.evaluate(dots)[:4] == ["3", "5", "7", "9"]
    places = here.page.locator(".neck-board button[data-string='2'][data-fret='2']")
    assert places.text_content() == "C♯"  # and not D♭
    here.page.evaluate("groove.state.ask('undo')")
    settle(here)
    assert here.text == BLUES + PHRASE
    assert not hint.is_visible()


def test_phrases_are_moved_and_removed_and_the_focus_stays(here: Desk) -> None:
    second = '\n[[phrases]]\nname = "call"\nnotes = "2f5"\n'
    begin(here, BLUES + PHRASE + second)
    page = here.page
    page.locator('.phrase [data-act="up"]').nth(1).click()
    settle(here)
    assert [each["name"] for each in phrases(here)] == ["call", "answer"]
    page.wait_for_function("() => document.activeElement.matches('[data-act=down]')")
    assert here.focused == "Move down: call"
    page.locator('.phrase [data-act="remove"]').nth(0).click()
    settle(here)
    assert here.text == BLUES + PHRASE
    page.wait_for_function("() => document.activeElement.matches('[data-act=remove]')")
    here.press("Enter")
    settle(here)
    page.wait_for_function("() => document.activeElement.id === 'add-phrase'")
    assert here.text == BLUES


def test_a_phrase_is_heard_on_a_string_of_the_page_itself(here: Desk) -> None:
    notes = PHRASE.replace("^1 3f7+2f5", "")
    begin(here, BLUES + notes)
    page = here.page
    page.evaluate(LISTEN)
    page.locator(".phrase [data-act=play]").click()
    page.wait_for_function("() => heard.length === 3", timeout=8000)
    assert page.evaluate(PITCHES) == [60, 62, 64]
    page.locator(".phrase [data-act=play]").click()
    page.evaluate("heard.length = 0")
    page.locator(".phrase [data-act=write]").click()
    press(here, 4, 7)
    page.wait_for_function("() => heard.length === 1", timeout=8000)
    assert page.evaluate(PITCHES) == [57]
    assert page.complaints == []


def test_parts_of_the_sheet_are_ticked_ordered_and_worded(here: Desk) -> None:
    page = here.page
    assert page.locator("#usual-blocks").is_hidden()
    on = page.locator("#blocks li:not(.off)")
    usual = on.count()
    page.locator("#block-plan").focus()
    here.press("Space")
    settle(here)
    blocks = tomllib.loads(here.text)["blocks"]
    assert len(blocks) == usual - 1
    assert "plan" not in blocks
    page.locator(".off #block-plan").wait_for()
    here.press("Space")
    page.locator("li:not(.off) #block-plan").wait_for()
    assert tomllib.loads(here.text)["blocks"].index("plan") == usual - 1
    for _ in range(2):
        here.press("Alt+ArrowUp")
        settle(here)
    settle(here)
    assert tomllib.loads(here.text)["blocks"].index("plan") == usual - 3
    assert page.evaluate("document.activeElement.id") == "block-plan"
    row = page.locator('[data-part="plan"]')
    row.locator('[data-act="down"]').click()
    settle(here)
    assert tomllib.loads(here.text)["blocks"].index("plan") == usual - 2
    row.locator("summary").click()
    row.locator("input[type=text]").fill("This week")
    row.locator("textarea").fill("Two steps a day.\n\nNo more.")
    settle(here)
    found = tomllib.loads(here.text)
    assert found["headings"] == {"plan": "This week"}
    assert found["remarks"] == {"plan": "Two steps a day.\n\nNo more.\n"}
    assert page.evaluate("document.activeElement.value") == "Two steps a day.\n\nNo more."
    page.locator("label[for=block-plan]").get_by_text("This week").wait_for()
    page.unroute(EMPTY)
    page.get_by_label("Your name").fill("Ada Finch")
    page.locator("#block-phrases-note").wait_for()  # a form without phrases
    page.route(EMPTY, lambda _route: None)
    assert page.locator("#block-plan-note").is_hidden()
    page.locator("#usual-blocks").click()
    settle(here)
    assert "blocks" not in tomllib.loads(here.text)
    assert undo_to(here, BLUES) > 5
    assert page.complaints == []


def test_a_part_is_dragged_to_its_place(here: Desk) -> None:
    begin(here, BLUES + 'blocks = ["chart", "plan", "scales"]\n')
    here.page.drag_and_drop("label[for=block-scales]", "label[for=block-chart]")
    settle(here)
    assert tomllib.loads(here.text)["blocks"] == ["scales", "chart", "plan"]


def test_the_teacher_speaks_and_says_for_whom(here: Desk) -> None:
    page = here.page
    page.get_by_label("Your name").fill("Ada Finch")
    page.get_by_label("Your address on the web").fill("ada@lessons")
    settle(here)
    page.locator(".field.wrong").wait_for()
    told = page.locator(".field.wrong .mistake").inner_text()
    assert "an http, https or mailto address is allowed" in told
    page.get_by_label("Your address on the web").fill("lessons.example")
    settle(here)
    assert page.get_by_label("Your address on the web").input_value() == "lessons.example"
    page.get_by_label("Last line to the student").fill("Send me your version.")
    assert page.get_by_label("Your address on the web").input_value() == "https://lessons.example"
    page.get_by_label("To the whole lesson").fill("Sing first.")
    page.get_by_label("To a time round").select_option("2")
    page.get_by_label("What you say to it").fill("Half as many.")
    page.get_by_label("Level", exact=True).select_option("beginner")
    page.get_by_label("Instrument", exact=True).select_option("ukulele")
    page.get_by_label("Solo on the track").select_option("answers")
    page.get_by_label("Language of the sheet").select_option("german")
    settle(here)
    found = tomllib.loads(here.text)
    expected = {
        "teacher": "Ada Finch",
        "link": "https://lessons.example",
        "invite": "Send me your version.",
        "learner": "beginner",
        "plays": "ukulele",
        "solo": "answers",
        "words": "german",
        "remarks": {"lesson": "Sing first.", "chorus 2": "Half as many."},
    }
    assert {name: found.get(name) for name in expected} == expected
    page.locator("label[for=block-plan]").get_by_text("Übeplan").wait_for()
    assert re.search(r"^# For Thursday\.$", here.text, re.M)
    page.locator("#add-phrase").click()
    assert page.locator(".neck-board .string-name").all_inner_texts() == ["A", "E", "C", "G"]
    press(here, 1, 3)
    written = {"name": "Phrase 1", "notes": "1f3", "key": "A", "tuning": "ukulele"}
    assert phrases(here) == [written]


@pytest.mark.parametrize(
    ("width", "scheme", "rules"), [(360, "dark", ()), (1440, "light", CONTRAST)]
)
def test_nothing_of_it_keeps_anyone_out(
    here: Desk, axe: str, width: int, scheme: str, rules: tuple[str, ...]
) -> None:
    """Checked with axe-core: all its rules in dark, those of contrast in light."""
    text = BLUES + 'link = "here"\nblocks = "chart, plan"\n' + PHRASE.replace("3f5 ", "9f5 3f5 ")
    here.page.set_viewport_size({"width": width, "height": 800})
    here.page.emulate_media(color_scheme=scheme)
    begin(here, text)
    page = here.page
    page.locator(".phrase [data-act=write]").click()
    for each in page.locator("#part-lesson summary:visible").all():
        each.click()
    assert here.troubles(axe, "#part-lesson", rules) == []
