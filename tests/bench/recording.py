"""Print how well the practice page finds the latency, and what a long take costs.

Run as ``python -m tests.bench.recording`` from the checkout, with Debian's chromium and playwright.
First a line for each noise and delay: the page hears its own clicks so much later, and the error
of what it finds in milliseconds. Then the same through the browser's own way from a microphone into
the page: what that adds, each time that the microphone is opened. Last a take of ten minutes:
seconds for its files, and the most memory that the page's program holds meanwhile.
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

from groove.form.read import read_form
from groove.handout.practice.make import make_page
from tests.browser.conftest import ARGUMENTS, CHROMIUM
from tests.browser.practice_material import FORM
from tests.browser.recording_material import returning

LATES = (0.02, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3)
NOISES = (0.0, 0.05, 0.3)
OPENINGS = 4
LENGTHEN = """(seconds) => {
  const [take] = practice.recording.takes;
  const times = Math.ceil((seconds * take.rate * 6) / take.blob.size);
  take.blob = new Blob(new Array(times).fill(take.blob));
  take.frames = take.blob.size / 6;
  globalThis.most = 0;
  setInterval(() => (most = Math.max(most, performance.memory.usedJSHeapSize / 1e6)), 50);
}"""


@contextmanager
def opened(path: Path, before: str) -> Iterator[Any]:
    """A practice page with its panel for recording open, and a script that runs first."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=str(CHROMIUM),
            headless=True,
            args=[*ARGUMENTS, "--enable-precise-memory-info"],
        )
        page = browser.new_page()
        page.add_init_script(before)
        page.goto(path.as_uri())
        page.wait_for_function("() => globalThis.practice?.ready")
        page.click("#record .fold")
        page.click("#latency summary")
        yield page
        browser.close()


def found(page: Any) -> float | None:
    """The latency in seconds that the page finds with clicks; None if it refuses to say."""
    page.evaluate("() => { practice.recording.latency.found = null; }")
    page.click("#latency-clicks")
    page.wait_for_function("() => !practice.recording.latency.isBusy", timeout=120_000)
    latency = page.evaluate("practice.recording.latency.found?.seconds ?? null")
    return None if latency is None else float(latency)


def clicks(path: Path) -> None:
    """Print the errors of what clicks tell."""
    for noise in NOISES:
        with opened(path, returning(LATES[0], noise)) as page:
            for late in LATES:
                page.evaluate("(late) => setLate(late)", late)
                latency = found(page)
                error = "none found" if latency is None else f"{1000 * (latency - late):+.2f} ms"
                print(f"noise {noise:4.2f}, {1000 * late:3.0f} ms late: {error}", flush=True)


def openings(path: Path) -> None:
    """Print what the browser's own way adds, for several openings of the microphone."""
    with opened(path, returning(0.1, exact=False)) as page:
        added = [1000 * ((found(page) or 0) - 0.1) for _ in range(OPENINGS)]
    print("the browser adds " + ", ".join(f"{more:.1f}" for more in added) + " ms")


def long_take(path: Path) -> None:
    """Print what a take of ten minutes costs."""
    with opened(path, returning(0.1)) as page:
        page.click("#record-go")
        page.wait_for_function("() => practice.recording.recorder.frames > 200000")
        page.click("#record-go")
        page.locator(".take").wait_for()
        page.evaluate(LENGTHEN, 600)
        for kind in ("WAV", "Opus"):
            start = time.monotonic()
            with page.expect_download(timeout=600_000) as download:
                page.click(f"text=Save as {kind}")
            size = Path(download.value.path()).stat().st_size / 1e6
            seconds, most = time.monotonic() - start, page.evaluate("most")
            print(f"{kind} of ten minutes: {size:.0f} MB in {seconds:.1f} s, {most:.0f} MB held")


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = make_page(read_form("twelve-bar", **FORM), Path(folder) / "page.html")
        clicks(path)
        openings(path)
        long_take(path)


if __name__ == "__main__":
    main()
