"""Handouts into files: all of them whole, or none."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from groove.files import written_together
from groove.handout.drawing.faces import lacking


def write_contents(
    contents: Mapping[Path, bytes], say: Callable[[str], None] = lambda line: None
) -> list[Path]:
    """Write files, in whatever folders they are. Returns their paths.

    say: is told of each file that was there before. Raises GrooveError where one can't be
    written; then none has been.
    """
    targets = list(contents)
    with written_together(targets, say) as staged:
        for path, place in zip(targets, staged, strict=True):
            place.write_bytes(contents[path])
    return targets


def numbered_names(path: Path, pages: int) -> list[Path]:
    """A file a page, in names that sort: ``sheet-1.svg``, or ``sheet-01.svg`` of ten and more.

    >>> [str(p) for p in numbered_names(Path("sheet.svg"), 2)]
    ['sheet-1.svg', 'sheet-2.svg']
    """
    wide = len(str(pages))
    return [path.with_stem(f"{path.stem}-{number:0{wide}}") for number in range(1, pages + 1)]


def say_stale(
    path: Path, written: Iterable[Path], say: Callable[[str], None] = lambda line: None
) -> None:
    """Tell of the pages that an earlier, longer handout of the same name left beside these."""
    stem, kind = re.escape(path.stem), re.escape(path.suffix)
    names = {new.name for new in written}
    old = [
        found.name
        for found in path.parent.iterdir()
        if re.fullmatch(rf"{stem}-\d+{kind}", found.name) and found.name not in names
    ]
    if old:
        old.sort(key=lambda name: int(re.findall(r"\d+", name)[-1]))
        are = f"{old[0]} is" if len(old) == 1 else f"{', '.join(old)} are"
        say(f"note: {are} not of this handout; an earlier one may have had more pages")


def say_unprintable(
    title: str, sections: Iterable[str], say: Callable[[str], None] = lambda line: None
) -> None:
    """Tell which characters of a form's names the faces don't have."""
    for name, text in (("title", title), ("section names", " ".join(sections))):
        missing = lacking(text, "bold")
        if missing:
            say(f"note: {name}: the typeface has no {' '.join(missing)}; boxes are printed instead")
