"""Writes the chart of a form into files."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from groove.form.model import Form
from groove.form.readers import reader_named
from groove.handout import CHARTS
from groove.handout.chart.written import WrittenChart, write_chart
from groove.handout.drawing.page import Page, Paper
from groove.handout.output import Handout, write_handout
from groove.wording import said, worded


def chart(form: Form, reader: str = "concert") -> WrittenChart:
    """The chart of a form for a reader by name. Raises GrooveError for one that is not known."""
    with worded(form.lesson.words):
        return write_chart(form, reader_named(reader))


def write_chart_files(
    written: WrittenChart,
    names: Sequence[str | Path],
    *,
    paper: str = "a4",
    numerals: bool = False,
    say: Callable[[str], None] = lambda line: None,
) -> list[Path]:
    """Write a chart into files with endings of CHARTS, as write_handout does.

    numerals: Roman numerals stand under the chords. Returns the paths written.
    """

    def pages(paper: Paper) -> tuple[Page, ...]:
        from groove.handout.chart.pages import chart_pages

        return chart_pages(written, paper, numerals=numerals)

    def musicxml() -> bytes:
        from groove.handout.chart.musicxml import musicxml

        return musicxml(written, numerals=numerals)

    sections = [bar.section for bar in written.bars]
    with worded(written.words):
        title = said("chart", "file.chart", title=written.title)
        others = {".musicxml": musicxml}
        handout = Handout(
            "chart", CHARTS, written.title, title, sections, pages, others, written.voice.texts
        )
        return write_handout(handout, names, paper, say)
