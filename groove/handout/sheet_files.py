"""The sheet command's work: a sheet into files."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from groove.errors import GrooveError, nearest
from groove.handout.handout_files import write_contents
from groove.handout.page import PAPERS
from groove.handout.sheet import Sheet

KINDS = (".pdf", ".svg", ".md", ".json")


def write_sheet_files(
    sheet: Sheet,
    names: Sequence[str | Path],
    *,
    paper: str = "a4",
    say: Callable[[str], None] = lambda line: None,
) -> list[Path]:
    """Write a sheet into files whose endings, one of KINDS, say what they are.

    SVG has one file a page: ``sheet.svg`` becomes ``sheet-1.svg``, ``sheet-2.svg``, ...
    say: is told of each file that was there before. Returns the paths written.
    Raises GrooveError; then nothing has been written.
    """
    if paper not in PAPERS:
        raise GrooveError(f"paper: found {paper!r}; {nearest(paper, PAPERS)}")
    contents: dict[Path, bytes] = {}
    for name in names:
        contents |= _contents(sheet, Path(name), paper)
    return write_contents(contents, say)


def _contents(sheet: Sheet, path: Path, paper: str) -> dict[Path, bytes]:
    """What goes into which file."""
    kind = path.suffix.lower()
    if kind == ".md":
        from groove.handout.sheet_markdown import sheet_markdown

        return {path: sheet_markdown(sheet).encode()}
    if kind == ".json":
        from groove.handout.sheet_data import sheet_json

        return {path: sheet_json(sheet).encode()}
    if kind not in KINDS:
        raise GrooveError(f"{path}: a sheet ends in {', '.join(KINDS[:-1])} or {KINDS[-1]}")
    from groove.handout.sheet_pages import sheet_pages

    pages = sheet_pages(sheet, PAPERS[paper])
    if kind == ".pdf":
        from groove.handout.pdf import pdf

        return {path: pdf(pages)}
    from groove.handout.svg import svg

    return {
        path.with_stem(f"{path.stem}-{number}"): svg(page) for number, page in enumerate(pages, 1)
    }
