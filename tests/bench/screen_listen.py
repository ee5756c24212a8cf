"""How soon the screen is there, plays, and goes over to an edit.

Run as ``python -m tests.bench.screen_listen [FORM]`` on a machine with nothing else to do;
rhythm-changes if left out. The screen is opened with the command, in Debian's Chromium. Printed
are, with the processor time of the server where it works:

- from the command to its address, and to the page that is ready to be typed in;
- from the command to the sounds, after which Play is ready;
- from the last key of an edit to the first sound after Play was pressed at once;
- while the band plays, from an edit, a take, a key to the bar line at which it is heard, beside the
  time that was left to the next bar line.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any

from playwright.sync_api import sync_playwright

from groove import library
from tests.browser.conftest import ARGUMENTS, CHROMIUM

TIMES = 10
READY = 120_000  # ms
CHORDS = ("ii7", "V7", "vi7", "IV7", "iii7")
LISTEN = """() => {
  const { listening } = groove.listen;
  const sounds = () => {
    const { context } = listening.stage;
    return performance.now() - 1000 * context.currentTime;
  };
  globalThis.first = null;
  listening.heard = ({ at }) => (globalThis.first ??= sounds() + 1000 * at);
  document.addEventListener("keydown", () => (globalThis.pressed = performance.now()), true);
}"""
GO_OVER = """async (ask) => {
  const { stage } = groove.listen.listening;
  const { context } = stage;
  const wait = () => new Promise((over) => setTimeout(over, 2));
  const place = () => stage.player.placeAt(context.currentTime);
  while (place()?.stage !== "playing") await wait();
  const { player } = stage;
  const begun = context.currentTime;
  const { tick } = place();
  const { barTicks } = player.track;
  const left = player.seconds(tick, barTicks - (tick % barTicks));
  (0, eval)(ask);
  while (stage.player === player) {
    if (context.currentTime - begun > 20) throw new Error("the change does not come");
    await wait();
  }
  return [stage.player.floor - begun, left, context.currentTime - begun];
}"""


def processor_seconds(pid: int) -> float:
    """The processor time of a process so far."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


class Measured:
    """A page of the screen, and its server's processor time."""

    def __init__(self, page: Any, pid: int) -> None:
        self.page, self.pid = page, pid

    def ready(self) -> None:
        self.page.wait_for_function(
            "() => document.querySelector('#play').getAttribute('aria-disabled') === 'false'"
            " && !groove.state.isBehind && !groove.listen.listening.asking",
            timeout=READY,
        )

    def press_after_edit(self, chord: str) -> tuple[float, float]:
        """Milliseconds from the last key of an edit to the first sound, and processor time."""
        page = self.page
        page.locator(".bar-button").first.focus()
        before = processor_seconds(self.pid)
        page.evaluate("globalThis.first = null")
        page.keyboard.type(chord)
        page.keyboard.press("Enter")
        page.evaluate("document.querySelector('#play').click()")
        page.wait_for_function("() => globalThis.first !== null", timeout=READY)
        wall = page.evaluate("globalThis.first - globalThis.pressed")
        page.evaluate("document.querySelector('#play').click()")
        self.ready()
        return wall, 1000 * (processor_seconds(self.pid) - before)

    def change(self, asked: str) -> tuple[float, float, float, float]:
        """Of a change while the band plays: seconds to the bar line at which it is heard, to the
        next bar line, to the new music, and processor time."""
        before = processor_seconds(self.pid)
        going = f"({GO_OVER})()"
        heard, left, came = self.page.evaluate(
            f"() => {{ const it = {going}; {asked}; return it; }}"
        )
        self.ready()
        return heard, left, came, processor_seconds(self.pid) - before


def main() -> None:
    form = sys.argv[1] if len(sys.argv) > 1 else "rhythm-changes"
    with TemporaryDirectory() as folder, sync_playwright() as playwright:
        file = Path(folder) / "form.toml"
        file.write_text(f"count_in = 0\n{library.path_of('forms', form).read_text()}")
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=list(ARGUMENTS))
        page = browser.new_context(bypass_csp=True).new_page()
        begun = time.perf_counter()
        command = [sys.executable, "-m", "groove", "open", str(file), "--no-browser", "--port", "0"]
        server = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        )
        try:
            assert server.stdout
            address = server.stdout.readline().strip()
            told = time.perf_counter() - begun
            started = processor_seconds(server.pid)
            page.goto(address)
            page.wait_for_function("() => globalThis.groove?.ready", timeout=READY)
            opened = time.perf_counter() - begun
            print(f"address {told:.2f} s, page ready {opened:.2f} s", end=", ")
            works = processor_seconds(server.pid)
            print(f"server's processor time {started:.2f} s, then {works - started:.2f} s")
            desk = Measured(page, server.pid)
            desk.ready()
            heard = time.perf_counter() - begun
            print(f"sounds {heard:.1f} s, processor time {processor_seconds(server.pid):.1f} s")
            page.evaluate(LISTEN)
            presses = [desk.press_after_edit(CHORDS[n % len(CHORDS)]) for n in range(TIMES)]
            walls, spent = zip(*presses, strict=True)
            print(f"edit, then Play at once: first sound after {median(walls):.0f} ms", end=", ")
            print(f"at most {max(walls):.0f}; server works {median(spent):.0f} ms")
            page.evaluate("document.querySelector('#play').click()")
            page.wait_for_function("() => globalThis.first !== null", timeout=READY)
            page.wait_for_timeout(1000)
            for name, asked in changes().items():
                found = [desk.change(each) for each in asked]
                tell(name, found)
        finally:
            server.terminate()
            server.wait()


def changes() -> dict[str, list[str]]:
    """Scripts that change what is heard, by what they change."""
    bars = [f"{{ do: 'bar', section: 0, bar: 0, text: '{CHORDS[n % 5]}' }}" for n in range(TIMES)]
    seeds = [f"{{ do: 'field', name: 'seed', value: {n + 2} }}" for n in range(TIMES)]
    keys = [f"groove.listen.listening.chooseKey({(5 * n + 3) % 12})" for n in range(TIMES)]
    return {
        "edit": [f"groove.state.edit({each})" for each in bars],
        "another take": [f"groove.state.edit({each})" for each in seeds],
        "key": keys,
    }


def tell(name: str, found: list[tuple[float, float, float, float]]) -> None:
    """Print how often a change came at the next bar line, and how long its music takes."""
    missed = [left for heard, left, _, _ in found if heard > left + 0.05]
    came = [each[2] for each in found]
    works = [each[3] for each in found]
    print(
        f"{name}: {len(found) - len(missed)} of {len(found)} at the next bar line; the music comes "
        f"after {median(came):.2f} s, at most {max(came):.2f}; server works {median(works):.2f} s"
    )
    if missed:
        left = ", ".join(f"{each:.2f}" for each in missed)
        print(f"  missed with so many seconds left to the bar line: {left}")


if __name__ == "__main__":
    main()
