"""Print how practice pages do on a slow phone: how long they take to open, and how late notes come.

Run as ``python -m tests.bench.slow_phone [--slower 6] [--seconds 60] [FORM ...]`` from the
checkout; without FORMs a twelve-bar with six players and an arrangement of 213 bars. They are
played quickly, the solo too, and a neck, keys and staff are drawn in turn. Chromium runs so many
times slower, on the screen of a phone. A line for each page: seconds to open; notes handed to the
audio clock after their time and the least that one came ahead of it, in milliseconds; pictures
drawn in a second; and the share of the time that the page's own thread was busy.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from pathlib import Path
from typing import Any

from groove.form.model import Form
from groove.form.read import read_form
from groove.handout.practice.make import make_page
from tests.bench.page_budget import FIVE, LONG
from tests.browser.conftest import ARGUMENTS, CHROMIUM
from tests.browser.practice_material import HEAR

PHONE = {"viewport": {"width": 360, "height": 740}, "device_scale_factor": 2}
VIEWS = ("guitar", "keyboard", "staff")
CHOOSE = """([id, value]) => {
  const choice = document.getElementById(id);
  choice.value = value;
  for (const kind of ["input", "change"]) choice.dispatchEvent(new Event(kind, { bubbles: true }));
}"""
"""Chooses from a list that may lie in the drawer of a phone."""
FIRST_SOLO = "document.getElementById('solo').options[1].value"
COUNTED = """() => {
  window.pictures = 0;
  const next = () => { window.pictures += 1; requestAnimationFrame(next); };
  requestAnimationFrame(next);
}"""


def measured(browser: Any, page_file: Path, slower: float, seconds: float) -> str:
    """What a page does on a phone, in words."""
    context = browser.new_context(**PHONE)
    page = context.new_page()
    tools = context.new_cdp_session(page)
    tools.send("Emulation.setCPUThrottlingRate", {"rate": slower})
    tools.send("Performance.enable")
    begun = time.perf_counter()
    page.goto(f"{page_file.as_uri()}#tempo=220&silent=none&rounds=on")
    page.wait_for_function("() => globalThis.practice?.ready", timeout=300_000)
    opened = time.perf_counter() - begun
    page.evaluate(HEAR)
    page.evaluate(CHOOSE, ["solo", page.evaluate(FIRST_SOLO)])
    page.evaluate(COUNTED)
    page.click("#play")
    before = busy(tools)
    for view in VIEWS:
        page.evaluate(CHOOSE, ["shape", view])
        page.wait_for_timeout(1000 * seconds / len(VIEWS))
    share = (busy(tools) - before) / seconds
    notes = page.evaluate("window.notes.map(({ ahead }) => ahead)")
    pictures = page.evaluate("window.pictures")
    late = sum(ahead < 0 for ahead in notes)
    context.close()
    return (
        f"opens in {opened:.1f} s; {late} late of {len(notes)}, least {1000 * min(notes):.0f} ms "
        f"ahead; {pictures / seconds:.0f} pictures/s; busy {100 * share:.0f} %"
    )


def busy(tools: Any) -> float:
    """Seconds that the page's own thread has worked so far."""
    metrics = tools.send("Performance.getMetrics")["metrics"]
    return float(next(one["value"] for one in metrics if one["name"] == "TaskDuration"))


def main() -> None:
    from playwright.sync_api import sync_playwright

    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--slower", type=float, default=6)
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("forms", nargs="*")
    asked = parser.parse_args()
    forms: dict[str, Form] = {
        "twelve-bar": read_form("twelve-bar", **FIVE),
        Path(LONG).stem: read_form(LONG),
    }
    if asked.forms:
        forms = {Path(form).stem: read_form(form) for form in asked.forms}
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=list(ARGUMENTS))
        for name, form in forms.items():
            page = make_page(form, Path(folder) / f"{name}.html")
            print(f"{name}: {measured(browser, page, asked.slower, asked.seconds)}", flush=True)


if __name__ == "__main__":
    main()
