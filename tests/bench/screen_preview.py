"""What a preview on the screen takes after an edit: to the new page 1 of chart and sheet.

python -m tests.bench.screen_preview [FORM.toml ...], the shipped forms if left out. For each form:
processor seconds from the edit's new form to page 1 as SVG, of the chart and of a sheet for guitar
and for keyboard (the least of three edits), its pages, what the laid-out pages hold in memory in
MB; and at the end the most memory of the process. ``--page``: processor seconds of the practice
page of the first form too, and how long an edit takes meanwhile and before, in milliseconds.
"""

from __future__ import annotations

import resource
import sys
import threading
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from groove import library
from groove.form.model import Form
from groove.form.read import read_form
from groove.screen.edits import edit_of
from groove.screen.open_form import OpenForm
from groove.screen.preview.choice import Choice
from groove.screen.preview.handouts import Handouts
from groove.screen.preview.practice import PracticePages
from groove.screen.sections import state_of

CHOICES = {
    "chart": Choice("chart"),
    "guitar": Choice("sheet", "guitar"),
    "keyboard": Choice("sheet", "keyboard"),
}
EDITS = 3
MEGABYTE = 1e6


def seconds(handouts: Handouts, form: Form, choice: Choice) -> float:
    """Processor seconds to page 1 of a form that has just changed."""
    start = time.process_time()
    handouts.laid_out(replace(form), choice).svg(1)
    return time.process_time() - start


def held(form: Form, choice: Choice) -> float:
    """The memory of laid-out pages in MB."""
    handouts = Handouts()
    tracemalloc.start()
    before = tracemalloc.get_traced_memory()[0]
    handouts.laid_out(form, choice)
    found = tracemalloc.get_traced_memory()[0] - before
    tracemalloc.stop()
    return found / MEGABYTE


def milliseconds(act: Callable[[], object]) -> float:
    """How long an act takes."""
    start = time.perf_counter()
    act()
    return 1000 * (time.perf_counter() - start)


def page(name: str) -> None:
    """Make a practice page while edits go on."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "form.toml"
        opened = OpenForm.at(path, library.path_of("forms", name).read_text("utf-8"))
        assert opened.form
        tempi = iter(range(60, 100_000))

        def edit() -> None:
            tempo = 60 + next(tempi) % 100
            change = edit_of({"do": "field", "name": "tempo", "value": tempo})
            opened.edit(change, opened.version)
            state_of(opened)

        def edits(until: Callable[[], bool]) -> list[float]:
            found = []
            while not until() or len(found) < 20:
                found.append(milliseconds(edit))
                time.sleep(0.1)
            return sorted(found)

        alone = edits(lambda: True)
        taken: list[float] = []

        def make(form: Form) -> None:
            start = time.thread_time()
            PracticePages().page(form, "guitar", lambda *_: None)
            taken.append(time.thread_time() - start)

        making = threading.Thread(target=make, args=(opened.form,))
        making.start()
        meanwhile = edits(lambda: not making.is_alive())
    print(f"practice page of {name}: {taken[0]:.1f} s of its thread's processor time")
    for title, found in (("before", alone), ("meanwhile", meanwhile)):
        middle, last = found[len(found) // 2], found[int(0.95 * len(found))]
        print(f"  an edit {title}: {middle:.0f} ms, 1 of 20 takes more than {last:.0f} ms")


def main() -> None:
    asked = sys.argv[1:]
    names = [name for name in asked if not name.startswith("--")] or library.names("forms")
    for name in names:
        form = read_form(name)
        for title, choice in CHOICES.items():
            handouts = Handouts()
            least = min(seconds(handouts, form, choice) for _ in range(EDITS))
            pages = len(handouts.laid_out(form, choice).pages)
            print(f"{name} {title}: {least:.3f} s, {pages} pages, {held(form, choice):.2f} MB")
    if "--page" in asked:
        page(names[0])
    print(f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB at most")


if __name__ == "__main__":
    main()
