"""The screen on a form in a folder of its own: its server in a thread, its page in a browser."""

from __future__ import annotations

import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from groove.screen.open_form import OpenForm
from groove.screen.serve import serve

EMPTY = 'key = "C"\n'
AABA = """\
# For Thursday's group.
title = "Harbour lights"  # a working title
key = "F"
tempo = 160
feel = "swing"
order = [
    "A, A, B, A",  # the tune
    { play = "A, A, B, A", times = 2, as = "solos" },  # two each
]

[[sections]]
name = "A"
chords = "| Fmaj7 | Dm7 | Gm7 | C7 |"  # the first four

# The bridge.
[[sections]]
name = "B"
chords = "| Cm7 | F7 | Bbmaj7 | % |"
"""
WAIT = 8_000  # ms
SMALLEST = 44  # px, for a hand (WCAG 2.2, 2.5.5)
CONTRAST = ("color-contrast",)
TARGETS = "button, input, select, summary, a, textarea"
TOO_SMALL = """([place, targets, least]) =>
  [...document.querySelectorAll(`${place} :is(${targets})`)]
    .map((each) => (each.type === "checkbox" ? each.labels[0] ?? each : each))
    .filter((each) => each.checkVisibility())
    .map((each) => [each.outerHTML.slice(0, 60), each.getBoundingClientRect()])
    .filter(([, box]) => box.height < least - 0.5 || box.width < least - 0.5)
    .map(([words]) => words)"""
"""The visible targets of a place of the page that are smaller than a hand asks for."""


def served(path: Path, text: str) -> str:
    """The address of the screen of a form file, which runs until all tests are over."""
    path.write_text(text)
    ready = threading.Event()
    found: list[str] = []

    def told(address: str) -> None:
        found.append(address)
        ready.set()

    form = OpenForm.at(path, text)
    threading.Thread(target=serve, args=(form, 0, told), daemon=True).start()
    assert ready.wait(10)
    return found[0]


@dataclass
class Desk:
    """A window of the screen, and the form file that it edits."""

    page: Any
    file: Path

    @property
    def text(self) -> str:
        return self.file.read_text()

    @property
    def draft(self) -> Path:
        return self.file.with_name(f".{self.file.name}.draft")

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)

    def type(self, text: str) -> None:
        self.page.keyboard.type(text)

    def write(self, *bars: str) -> None:
        """Type bars one after the other, Enter after each."""
        for bar in bars:
            self.type(bar)
            self.press("Enter")

    def tab_to(self, selector: str, key: str = "Tab") -> None:
        """Press Tab until an element has the focus."""
        for _ in range(100):
            self.press(key)
            if self.page.evaluate("(s) => document.activeElement.matches(s)", selector):
                return
        raise AssertionError(f"Tab does not lead to {selector}")

    def to_bar(self, place: int) -> None:
        """Go to a bar of the chart by keyboard, counted from 0 with the places for new ones."""
        if not self.page.evaluate("document.activeElement.matches('.bar-button')"):
            self.page.evaluate("document.activeElement.blur()")
            self.tab_to(".bar-button")
        self.press("Home", *["ArrowRight"] * place)

    def settle(self) -> None:
        """Wait until all that was typed is kept and shown."""
        self.page.wait_for_function("() => !groove.state.isBehind", timeout=WAIT)

    @property
    def focused(self) -> str:
        """What has the focus: its label, or its text."""
        here = "document.activeElement"
        script = f"{here}.getAttribute('aria-label') ?? {here}.textContent"
        return str(self.page.evaluate(script))

    def troubles(
        self, axe: str, place: str = "body", rules: Sequence[str] = ()
    ) -> list[tuple[str, str]]:
        """What keeps somebody out of a place of the page: its violations by axe-core (all rules, or
        some), a page that is wider than the window, targets that are too small for a hand."""
        if not self.page.evaluate("Boolean(globalThis.axe)"):
            self.page.evaluate(axe)
        asked = {"runOnly": list(rules)} if rules else {}
        run = "([place, asked]) => axe.run(place, { ...asked, iframes: false })"
        violations = self.page.evaluate(run, [place, asked])["violations"]
        found = [(each["id"], each["nodes"][0]["html"]) for each in violations]
        if self.page.evaluate("document.documentElement.scrollWidth > innerWidth"):
            found.append(("wider", "than the window"))
        small = self.page.evaluate(TOO_SMALL, [place, TARGETS, SMALLEST])
        return found + [("small", each) for each in small]

    def undo_all(self) -> int:
        """Undo to the start; returns the number of steps."""
        steps = 0
        while self.page.locator("#undo").get_attribute("aria-disabled") == "false":
            self.press("Control+z")
            self.settle()
            steps += 1
        return steps


@contextmanager
def window(
    browser: Any, address: str, file: Path, *, silent: bool = True, **options: Any
) -> Iterator[Desk]:
    """A window on an address. silent: without the music, which takes long to make."""
    context = browser.new_context(**options)
    page = context.new_page()
    page.complaints = []
    page.asked = []
    page.on("request", lambda request: page.asked.append(request.url))
    page.on("console", lambda message: page.complaints.append(message.text))
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    if silent:
        page.route("**/music", lambda _route: None)
    page.goto(address)
    page.wait_for_function("() => globalThis.groove?.ready", timeout=WAIT)
    yield Desk(page, file)
    context.close()
