"""Prepares a pack: what is asked for, planned, and compared with what is there."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Unpack, cast

from groove.form.model import Form
from groove.form.read import read_form
from groove.handout.pack.about import ABOUT
from groove.handout.pack.folder import Earlier, Made, check_ours, earlier, in_words, still_good
from groove.handout.pack.keys import ALL, in_keys, read_keys, read_tempos, usual_keys
from groove.handout.pack.papers import read_papers
from groove.handout.pack.plan import PackPlan, Task, plan_pack
from groove.handout.pack.posting import PostingOptions, read_posting, try_video
from groove.lesson.request import Request
from groove.sound.options import AudioOptions, Names, Wanted, wanted

if TYPE_CHECKING:
    from groove.sound.synth.covering import Covering
    from groove.sound.synth.soundfonts import Given

ON_PAPER = ("instrument", "tuning", "left_handed", "position", "dots", "phrase")


class PackOptions(AudioOptions, PostingOptions, total=False):
    """Options of the tracks, as of groove.make; of what is posted with them, see PostingOptions;
    and of the sheets and the practice page, as of the lesson sheet in concert pitch: see
    groove.lesson.request.Request."""

    instrument: str | None
    tuning: str | None
    left_handed: bool
    position: int | None
    dots: str
    phrase: str | None


@dataclass(frozen=True, slots=True)
class Prepared:
    """A pack that can be made. place: its folder. names: of all its files. known: what earlier
    runs left there; unknown: the names at which other files stand. good: the files that are there
    as they should be, by path; missing: what is to be made."""

    plan: PackPlan
    place: Path
    names: tuple[str, ...]
    asked: Wanted
    covering: Covering
    known: Earlier
    unknown: frozenset[str]
    good: dict[str, Made]
    missing: list[Task]

    @property
    def stale(self) -> list[str]:
        """The names of an earlier pack that this one does not have."""
        return sorted(self.known.names - set(self.names))

    @property
    def going(self) -> list[str]:
        """The files of an earlier pack that this one does not have, and that are removed."""
        return [name for name in self.stale if os.path.lexists(self.place / name)]


def prepare(
    form: Form | str | Path,
    folder: str | Path | None = None,
    *,
    keys: str | Iterable[str] | None = None,
    tempos: str | float | Iterable[str | float] = (),
    audio: Names | None = "mp3",
    readers: str | Iterable[str] = (),
    paper: str = "a4",
    soundfont: Given = None,
    say: Callable[[str], None] = lambda line: None,
    quickly: bool = False,
    **options: Unpack[PackOptions],
) -> Prepared:
    """A pack as groove.pack makes it of the same arguments, prepared; nothing is written.

    quickly: files that are there are known by their size, so that they are not read. Raises
    GrooveError.
    """
    from groove.sound.synth.covering import covered, played_in
    from groove.sound.synth.soundfonts import find_fonts
    from groove.track import compile_take

    given: dict[str, Any] = dict(options)
    on_paper = {name: given.pop(name) for name in ON_PAPER if name in given}
    posted = {name: given.pop(name) for name in PostingOptions.__annotations__ if name in given}
    asked = wanted(audio, cast("AudioOptions", given))
    posting = read_posting(cast("PostingOptions", posted))
    if not isinstance(form, Form):
        form = read_form(form)
    papers = read_papers(form, readers, paper, Request(**on_paper))
    if keys is None:
        keys = usual_keys(form)
        if keys != ALL:
            say(
                f"note: the track goes through all twelve keys by itself, so it is packed as it "
                f"begins, in {keys}; say all for each of the twelve to begin in"
            )
    tracks = in_keys(form, read_keys(keys, form.key), read_tempos(tempos, form.tempo))
    covering = covered(find_fonts(soundfont, os.environ), played_in(compile_take(form)))
    plan = plan_pack(form, tracks, asked, covering.fonts, papers, posting)
    try_video(form, posting, papers.requests[0])
    place = Path(plan.stem if folder is None else folder)
    names = (*(piece.path for piece in plan.pieces), *ABOUT, plan.zip_name)
    with in_words(place):
        known = earlier(place)
        unknown = check_ours(place, names, known, plan.stem)
        fingerprints = {piece.path: piece.fingerprint for piece in plan.pieces}
        good = still_good(place, fingerprints, known, quickly=quickly)
    missing = [
        left
        for task in plan.tasks
        if (left := task.only(p for p in task.pieces if p.path not in good)).pieces
    ]
    return Prepared(plan, place, names, asked, covering, known, unknown, good, missing)
