"""Measure the time of lesson sheets: a form in twelve keys, to PDF and JSON, in a running process.

Run as ``python -m tests.bench.lesson_sheets`` from the checkout.
Asserts nothing; prints for each shipped form the seconds for twelve keys, as PDF and as JSON.
"""

from __future__ import annotations

import time

import groove
from groove import library
from groove.handout.drawing.page import PAPERS
from groove.handout.drawing.pdf import pdf
from groove.handout.sheet.data import sheet_json
from groove.handout.sheet.pages import sheet_pages
from groove.handout.sheet.sheet import write_sheet

KEYS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
MINOR_KEYS = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B")


def main() -> None:
    for name in library.names("forms"):
        laid_out = data = 0.0
        minor = groove.read_form(name).key.mode == "minor"
        for key in MINOR_KEYS if minor else KEYS:
            form = groove.read_form(name, key=key)
            start = time.perf_counter()
            sheet = write_sheet(form)
            pdf(sheet_pages(sheet, PAPERS["a4"]))
            middle = time.perf_counter()
            sheet_json(sheet)
            laid_out += middle - start
            data += time.perf_counter() - middle
        print(f"{name:26} twelve keys: PDF {laid_out:.2f} s, JSON {data:.2f} s more")


if __name__ == "__main__":
    main()
