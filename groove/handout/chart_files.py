"""The chart command's work: a form in, chart files out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from groove.errors import GrooveError, nearest
from groove.form.model import Form
from groove.handout.chart import WrittenChart, write_chart
from groove.handout.handout_files import write_contents
from groove.handout.page import PAPERS
from groove.handout.readers import READERS

KINDS = (".svg", ".pdf", ".musicxml")


def chart(form: Form, reader: str = "concert") -> WrittenChart:
    """The chart of a form for a reader named in READERS. Raises GrooveError for other names."""
    if reader not in READERS:
        raise GrooveError(f"for: found {reader!r}; {nearest(reader, READERS)}")
    return write_chart(form, READERS[reader])


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
    ``-2.svg``. say: is told of each file that was there before. Returns the paths written.
    Raises GrooveError; then nothing has been written.
    """
    if paper not in PAPERS:
        raise GrooveError(f"paper: found {paper!r}; {nearest(paper, PAPERS)}")
    contents: dict[Path, bytes] = {}
    for name in names:
        contents |= _contents(written, Path(name), paper, numerals)
    return write_contents(contents, say)


def _contents(written: WrittenChart, path: Path, paper: str, numerals: bool) -> dict[Path, bytes]:
    """What goes into which file."""
    kind = path.suffix.lower()
    if kind not in KINDS:
        raise GrooveError(f"{path}: a chart ends in {', '.join(KINDS[:-1])} or {KINDS[-1]}")
    if kind == ".musicxml":
        from groove.handout.musicxml import musicxml

        return {path: musicxml(written, numerals=numerals)}
    from groove.handout.chart_page import chart_pages

    pages = chart_pages(written, PAPERS[paper], numerals=numerals)
    if kind == ".pdf":
        from groove.handout.pdf import pdf

        return {path: pdf(pages)}
    from groove.handout.svg import svg

    names = [path, *(path.with_stem(f"{path.stem}-{n}") for n in range(2, len(pages) + 1))]
    return {name: svg(page) for name, page in zip(names, pages, strict=True)}
