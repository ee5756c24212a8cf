"""Random keys in the screen's chart: what the page shows is what a page shows that opens anew.

Run as ``python -m tests.bench.screen_keys [KEYS] [SEED]``, 500 keys if left out, in Debian's
Chromium. Keys and commands come without waiting for the one before; after every 25 the window must
show the same bars, names, fields, order and mistakes as a second one that opens then.
"""

from __future__ import annotations

import json
import random
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from playwright.sync_api import sync_playwright

from tests.browser.conftest import ARGUMENTS, CHROMIUM
from tests.browser.screen_material import AABA, Desk, served, window

KEYS = (
    *["Enter"] * 6, "Tab", "Tab", "Shift+Tab", "Escape", "Escape", "ArrowLeft", "ArrowRight",
    "ArrowUp", "ArrowDown", "Home", "End", "Delete", "Backspace", "Backspace", "Control+Enter",
    "Control+Shift+Enter", "Shift+ArrowRight", "Shift+ArrowLeft", "Control+c", "Control+x",
    "Control+v", "Control+z", "Control+z", "Control+y", "Control+a",
)  # fmt: skip
TEXTS = ("C7", "F7", "Am7 D7", "%", "X", "C7 | F7", "G7 |")
COMMANDS = ("#undo", "#redo", "#insert", "#remove", "#add-section", "#paste", "#copy")
SHOWN = """() => {
  const texts = (selector) => [...document.querySelectorAll(selector)].map((each) =>
    [each.getAttribute("aria-label"), each.textContent, each.value, each.placeholder]);
  return JSON.stringify([".bar", ".bar-button", ".section-name", "#whole input", "#whole select",
    "#lines input", "#kept", "#mistake-list", "#facts"].map(texts));
}"""


def step(desk: Desk, rng: random.Random) -> None:
    """One thing that a hand does in the chart."""
    page = desk.page
    if not page.evaluate("Boolean(document.activeElement.closest('.bar'))"):
        places = page.locator(".bar-button")
        places.nth(rng.randrange(places.count())).evaluate("(each) => each.focus()")
    kind = rng.random()
    if kind < 0.35:
        desk.type(rng.choice(TEXTS))
    elif kind < 0.4:
        page.evaluate("(command) => document.querySelector(command).click()", rng.choice(COMMANDS))
    else:
        desk.press(rng.choice(KEYS))
    if rng.random() < 0.1:
        page.wait_for_timeout(rng.choice([30, 120, 200]))


def check(desk: Desk, browser: Any, address: str) -> None:
    """Compare the window with one that opens now."""
    desk.press("Escape")
    desk.page.wait_for_timeout(250)
    desk.settle()
    desk.page.wait_for_timeout(100)
    with window(browser, address, desk.file) as fresh:
        shown = [json.loads(each.page.evaluate(SHOWN)) for each in (desk, fresh)]
    assert shown[0] == shown[1], f"{shown[0]}\n{shown[1]}"
    assert desk.page.complaints == []


def main() -> None:
    keys, seed = ([int(word) for word in sys.argv[1:]] + [500, 1][len(sys.argv) - 1 :])[:2]
    rng = random.Random(seed)
    with TemporaryDirectory() as folder, sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=str(CHROMIUM), args=list(ARGUMENTS))
        file = Path(folder) / "ferry.toml"
        address = served(file, AABA)
        with window(running, address, file) as desk:
            for number in range(1, keys + 1):
                step(desk, rng)
                if number % 25 == 0:
                    check(desk, running, address)
            bars = desk.page.locator(".bar:not(.new)").count()
    print(f"{keys} keys, {bars} bars at the end, all as in a window that opens anew")


if __name__ == "__main__":
    main()
