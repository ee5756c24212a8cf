"""Makes the files of a set list: a book of charts for each reader, and numbered tracks."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Unpack

from groove.errors import GrooveError, OptionError, nearest
from groove.files import try_targets, workplace, written_together
from groove.form.file_names import file_stem, title_stem
from groove.handout.drawing.page import PAPERS
from groove.handout.drawing.pdf import pdf
from groove.handout.output import say_unprintable
from groove.handout.set_list.book import book_pages
from groove.handout.set_list.read import CONCERT, SetList
from groove.lesson.voice import voice_of
from groove.sound.options import AudioOptions, Names
from groove.track import make
from groove.wording import said, worded

if TYPE_CHECKING:
    from groove.sound.synth.soundfonts import Given

TRACKS = "tracks"


def make_set(
    set_list: SetList,
    folder: str | Path | None = None,
    *,
    audio: Names | None = None,
    soundfont: Given = None,
    paper: str = "a4",
    straight_notes: bool = False,
    say: Callable[[str], None] = lambda line: None,
    progress: Callable[[float], None] | None = None,
    **options: Unpack[AudioOptions],
) -> list[Path]:
    """Write the books and tracks of a set list.

    folder: one named after the title if left out; the tracks are in its folder TRACKS, numbered in
    the order of the set. audio, soundfont, straight_notes, options: as in groove.track.make. say:
    called with the soundfonts that play, and with notes, each after the number and title of its
    tune. progress: called with the share that is done, 0 to 1.

    Returns the paths written, books first. Raises GrooveError; then nothing has been written.
    """
    if paper not in PAPERS:
        raise OptionError("paper", f"found {paper!r}; {nearest(paper, PAPERS)}")
    stem = title_stem(set_list.title)
    out = Path(stem) if folder is None else Path(folder)
    books = {out / f"{stem}{_suffix(name)}.pdf": name for name in set_list.readers}
    tracks, total = out / TRACKS, len(set_list.tunes)
    wide = max(2, len(str(total)))
    numbers = [f"{number:0{wide}}" for number in range(1, total + 1)]
    midi = [
        tracks / f"{number}_{file_stem(form)}.mid"
        for number, form in zip(numbers, set_list.tunes, strict=True)
    ]
    try_targets([*books, *midi])
    contents = {path: _book(set_list, name, paper) for path, name in books.items()}
    made: dict[Path, Path] = {}
    said: set[str] = set()
    with workplace(out) as work:
        for at, (number, form) in enumerate(zip(numbers, set_list.tunes, strict=True)):

            def tell(line: str, number: str = number, title: str = form.title) -> None:
                if not line.startswith("soundfont:"):
                    say(f"{number} {title}: {line}")
                elif line not in said:
                    said.add(line)
                    say(line)

            def share(done: float, at: int = at) -> None:
                if progress:
                    progress((at + done) / total)

            try:
                paths = make(
                    form, work / number, audio=audio, soundfont=soundfont,
                    straight_notes=straight_notes, say=tell, progress=share, **options,
                )  # fmt: skip
            except GrooveError as error:
                words = str(error).replace(f"{work / number}", f"{tracks}")
                if words == str(error):
                    raise
                raise GrooveError(words) from None
            made |= {tracks / f"{number}_{path.name}": path for path in paths}
        targets = [*contents, *made]
        with written_together(targets, say) as staged:
            for target, place in zip(targets, staged, strict=True):
                if target in contents:
                    place.write_bytes(contents[target])
                else:
                    made[target].replace(place)
    for form in set_list.tunes:
        names = [section.name for section in form.sections]
        say_unprintable(form.title, names, say, voice_of(form.lesson).texts)
    return targets


def _suffix(name: str) -> str:
    return "" if name == CONCERT else f"_{name}"


def _book(set_list: SetList, name: str, paper: str) -> bytes:
    with worded(set_list.tunes[0].lesson.words):
        pages = book_pages(set_list, name, PAPERS[paper])
        return pdf(pages, said("chart", "book.charts", title=set_list.title))
