"""The chart command's work: a form in, chart files out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from groove.errors import GrooveError, OptionError, nearest
from groove.form.model import Form
from groove.form.readers import reader_named
from groove.handout.chart.written import WrittenChart, write_chart
from groove.handout.drawing.page import PAPERS
from groove.handout.output import say_stale, say_unprintable, write_contents

KINDS = (".svg", ".pdf", ".musicxml")


def chart(form: Form, reader: str = "concert") -> WrittenChart:
    """The chart of a form for a reader by name. Raises GrooveError for one that is not known."""
    return write_chart(form, reader_named(reader))


def write_chart_files(
    written: WrittenChart,
    names: Sequence[str | Path],
    *,
    paper: str = "a4",
    numerals: bool = False,
    say: Callable[[str], None] = lambda line: None,
) -> list[Path]:
    """Write a chart into files whose endings, one of KINDS, say what they are.

    A chart of several pages fills one PDF, and as many SVG files, the second of which ends in
    ``-2.svg``. say: is told of each file that was there before, of pages left over from a longer
    chart and of characters that can't be printed. Returns the paths written.
    Raises GrooveError; then nothing has been written.
    """
    if paper not in PAPERS:
        raise OptionError("paper", f"found {paper!r}; {nearest(paper, PAPERS)}")
    contents: dict[Path, bytes] = {}
    for name in names:
        contents |= _contents(written, Path(name), paper, numerals)
    made = write_contents(contents, say)
    printed = [Path(name) for name in names if Path(name).suffix.lower() in (".pdf", ".svg")]
    if printed:
        say_unprintable(written.title, (bar.section for bar in written.bars), say)
    for path in printed:
        if path.suffix.lower() == ".svg":
            say_stale(path, made, say)
    return made


def _contents(written: WrittenChart, path: Path, paper: str, numerals: bool) -> dict[Path, bytes]:
    """What goes into which file."""
    kind = path.suffix.lower()
    if kind not in KINDS:
        raise GrooveError(f"{path}: a chart ends in {', '.join(KINDS[:-1])} or {KINDS[-1]}")
    if kind == ".musicxml":
        from groove.handout.chart.musicxml import musicxml

        return {path: musicxml(written, numerals=numerals)}
    from groove.handout.chart.pages import chart_pages

    pages = chart_pages(written, PAPERS[paper], numerals=numerals)
    if kind == ".pdf":
        from groove.handout.drawing.pdf import pdf

        return {path: pdf(pages, f"{written.title}, chord chart")}
    from groove.handout.drawing.svg import svg

    names = [path, *(path.with_stem(f"{path.stem}-{n}") for n in range(2, len(pages) + 1))]
    return {name: svg(page) for name, page in zip(names, pages, strict=True)}
