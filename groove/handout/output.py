"""Writes handouts into files: all of them whole, or none."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from groove.errors import GrooveError, OptionError, nearest
from groove.files import written_together
from groove.handout.drawing.faces import lacking
from groove.handout.drawing.page import PAPERS, Page, Paper


@dataclass(frozen=True)
class Handout:
    """A chart or a sheet, ready to be written.

    name: ``"chart"`` or ``"sheet"``. kinds: the endings of its files. pdf_title: of its PDF.
    sections: the names of the form's sections. pages: draws it on a paper. others: makes the bytes
    of each kind that is not drawn, by ending. teacher: the teacher's own words.
    """

    name: str
    kinds: Sequence[str]
    title: str
    pdf_title: str
    sections: Sequence[str]
    pages: Callable[[Paper], Sequence[Page]]
    others: Mapping[str, Callable[[], bytes]]
    teacher: Sequence[str] = ()


def write_handout(
    handout: Handout, names: Sequence[str | Path], paper: str, say: Callable[[str], None]
) -> list[Path]:
    """Write a handout into files whose endings choose the format. Returns the paths written.

    A PDF has all pages, an SVG one: see numbered_names. paper: one of PAPERS. say: called with a
    note for each file that was there before, for pages left over from an earlier handout of
    another length and for characters that can't be printed.
    Raises GrooveError; then nothing has been written.
    """
    if paper not in PAPERS:
        raise OptionError("paper", f"found {paper!r}; {nearest(paper, PAPERS)}")
    contents: dict[Path, bytes] = {}
    for name in names:
        contents |= _contents(handout, Path(name), PAPERS[paper])
    written = write_contents(contents, say)
    kinds = {path: path.suffix.lower() for path in map(Path, names)}
    if any(kind not in handout.others for kind in kinds.values()):
        say_unprintable(handout.title, handout.sections, say, handout.teacher)
    for path, kind in kinds.items():
        if kind == ".svg":
            say_stale(path, written, say)
    return written


def _contents(handout: Handout, path: Path, paper: Paper) -> dict[Path, bytes]:
    """The bytes of each file that stands for one asked name."""
    kind, kinds = path.suffix.lower(), handout.kinds
    if kind not in kinds:
        allowed = f"{', '.join(kinds[:-1])} or {kinds[-1]}"
        raise GrooveError(f"{path}: a {handout.name} ends in {allowed}")
    if kind in handout.others:
        return {path: handout.others[kind]()}
    pages = handout.pages(paper)
    if kind == ".pdf":
        from groove.handout.drawing.pdf import pdf

        return {path: pdf(pages, handout.pdf_title)}
    from groove.handout.drawing.svg import svg

    names = numbered_names(path, len(pages))
    return {name: svg(page) for name, page in zip(names, pages, strict=True)}


def write_contents(
    contents: Mapping[Path, bytes], say: Callable[[str], None] = lambda line: None
) -> list[Path]:
    """Write files, whose folders may differ. Returns their paths.

    say: called with a note for each file that was there before. Raises GrooveError if one can't
    be written; then none has been.
    """
    targets = list(contents)
    with written_together(targets, say) as staged:
        for path, place in zip(targets, staged, strict=True):
            place.write_bytes(contents[path])
    return targets


def numbered_names(path: Path, pages: int) -> list[Path]:
    """The names of a file for each page, in an order that sorts.

    One page alone keeps the name asked for; ten and more are ``sheet-01.svg``, ``sheet-02.svg``.

    >>> numbered_names(Path("sheet.svg"), 1) == [Path("sheet.svg")]
    True
    >>> [str(p) for p in numbered_names(Path("sheet.svg"), 2)]
    ['sheet-1.svg', 'sheet-2.svg']
    """
    if pages == 1:
        return [path]
    wide = len(str(pages))
    return [path.with_stem(f"{path.stem}-{number:0{wide}}") for number in range(1, pages + 1)]


def say_stale(
    path: Path, written: Iterable[Path], say: Callable[[str], None] = lambda line: None
) -> None:
    """Call `say` with the pages that an earlier handout of another length left beside these."""
    stem, kind = re.escape(path.stem), re.escape(path.suffix)
    names = {new.name for new in written}
    old = [
        found.name
        for found in path.parent.iterdir()
        if re.fullmatch(rf"{stem}(-\d+)?{kind}", found.name) and found.name not in names
    ]
    if old:
        old.sort(key=lambda name: (len(name), name))
        are = f"{old[0]} is" if len(old) == 1 else f"{', '.join(old)} are"
        say(f"note: {are} not of this handout; an earlier one may have had another number of pages")


def say_unprintable(
    title: str,
    sections: Iterable[str],
    say: Callable[[str], None] = lambda line: None,
    teacher: Iterable[str] = (),
) -> None:
    """Call `say` with the characters of title, section names and the teacher's words that the
    faces don't have."""
    texts = {"title": title, "section names": " ".join(sections), "teacher": " ".join(teacher)}
    for name, text in texts.items():
        missing = lacking(text, "bold")
        if missing:
            say(f"note: {name}: the typeface has no {' '.join(missing)}; boxes are printed instead")
