"""The sheet command's work: a sheet into files."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from groove.errors import GrooveError, OptionError, nearest
from groove.handout.drawing.page import PAPERS
from groove.handout.output import numbered_names, say_stale, say_unprintable, write_contents
from groove.handout.sheet.sheet import Sheet

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
    say: is told of each file that was there before, of pages left over from a longer sheet and of
    characters that can't be printed. Returns the paths written.
    Raises GrooveError; then nothing has been written.
    """
    if paper not in PAPERS:
        raise OptionError("paper", f"found {paper!r}; {nearest(paper, PAPERS)}")
    contents: dict[Path, bytes] = {}
    for name in names:
        contents |= _contents(sheet, Path(name), paper)
    written = write_contents(contents, say)
    printed = [Path(name) for name in names if Path(name).suffix.lower() in (".pdf", ".svg")]
    if printed:
        say_unprintable(sheet.title, (s.name for s in sheet.guide.form.sections), say)
    for path in printed:
        if path.suffix.lower() == ".svg":
            say_stale(path, written, say)
    return written


def _contents(sheet: Sheet, path: Path, paper: str) -> dict[Path, bytes]:
    """What goes into which file."""
    kind = path.suffix.lower()
    if kind == ".md":
        from groove.handout.sheet.markdown import sheet_markdown

        return {path: sheet_markdown(sheet).encode()}
    if kind == ".json":
        from groove.handout.sheet.data import sheet_json

        return {path: sheet_json(sheet).encode()}
    if kind not in KINDS:
        raise GrooveError(f"{path}: a sheet ends in {', '.join(KINDS[:-1])} or {KINDS[-1]}")
    from groove.handout.sheet.pages import sheet_pages

    pages = sheet_pages(sheet, PAPERS[paper])
    if kind == ".pdf":
        from groove.handout.drawing.pdf import pdf

        return {path: pdf(pages, f"{sheet.title}, lesson sheet")}
    from groove.handout.drawing.svg import svg

    names = numbered_names(path, len(pages))
    return {name: svg(page) for name, page in zip(names, pages, strict=True)}
