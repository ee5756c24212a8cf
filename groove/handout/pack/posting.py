"""Videos, covers, preview and texts of a pack: the choice, its check, and the files."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict

from groove import library
from groove.errors import GrooveError, OptionError, nearest
from groove.handout import NO_SHOW, SIZES, THEMES
from groove.handout.drawing.raster import EXTRA
from groove.handout.video.look import look_of

if TYPE_CHECKING:
    from groove.form.model import Form
    from groove.lesson.request import Request
    from groove.sound.options import Names

COVERS = ("wide", "square")
"""The sizes of covers that there always are."""
VIDEO_MEMORY = 500_000_000
"""Bytes that a process which makes videos may take."""


class PostingOptions(TypedDict, total=False):
    """Options of what is posted with the tracks.

    video: sizes of video, in a list or with commas between them; True for a wide one. theme, show:
    of all videos, the theme of covers too, as of make_video. cover: a wide and a square picture,
    and one in the shape of each video. preview: half a minute of sound, once, in the form's own
    key. text: title and description.
    """

    video: Names | bool | None
    cover: bool
    preview: bool
    text: bool
    theme: str
    show: str


@dataclass(frozen=True, slots=True)
class Posting:
    """The options of PostingOptions, checked. videos: their sizes."""

    videos: tuple[str, ...] = ()
    cover: bool = False
    preview: bool = False
    text: bool = False
    theme: str = THEMES[0]
    show: str = NO_SHOW

    @property
    def covers(self) -> tuple[str, ...]:
        """The sizes of the covers: COVERS, and that of each video."""
        sizes = (*COVERS, *self.videos) if self.cover else ()
        return tuple(dict.fromkeys(sizes))

    @property
    def lead_in(self) -> int:
        """Seconds before the music in what the text describes: a video's title card."""
        return library.table("video")["title_seconds"] if self.videos else 0


NOTHING = Posting()


def read_posting(options: PostingOptions) -> Posting:
    """The choice that is asked for. Raises OptionError for an unknown name, and GrooveError where a
    package of the extra ``video`` is missing."""
    asked = Posting(
        _sizes(options.get("video")),
        options.get("cover", False),
        options.get("preview", False),
        options.get("text", False),
        options.get("theme", THEMES[0]),
        options.get("show", NO_SHOW),
    )
    look_of(SIZES[0], asked.theme, asked.show)
    for needs, what, packages in (
        (asked.videos, "a video", ("av", "pypdfium2")),
        (asked.covers, "a cover", ("pypdfium2", "PIL")),
    ):
        if needs:
            _check_packages(what, packages)
    return asked


def _sizes(video: Names | bool | None) -> tuple[str, ...]:
    if not video:
        return ()
    given: Iterable[str] = (SIZES[0],) if video is True else video
    texts = [given] if isinstance(given, str) else given
    names = [name.strip().lower() for text in texts for name in text.split(",")]
    allowed = tuple(library.table("video")["sizes"])
    for name in names:
        if name not in allowed:
            raise OptionError("video", f"found {name!r}; {nearest(name, allowed)}")
    return tuple(size for size in allowed if size in names)


def _check_packages(what: str, packages: Iterable[str]) -> None:
    for name in packages:
        try:
            import_module(name)
        except ImportError:
            raise GrooveError(f"{what} {EXTRA}") from None


def unheeded(asked: Posting) -> list[str]:
    """A line for each option that has no effect."""
    lines = []
    if asked.show != NO_SHOW and not asked.videos:
        lines.append("show is for videos, and none was asked for")
    if asked.theme != THEMES[0] and not (asked.videos or asked.cover):
        lines.append("theme is for videos and covers, and none was asked for")
    return lines


def try_video(form: Form, asked: Posting, request: Request) -> None:
    """Raise GrooveError where a form can't be shown in the way that is asked for."""
    if asked.videos and asked.show != NO_SHOW:
        from groove.handout.video.shown.shown_view import check_shown

        check_shown(asked.show, form, request)


def videos_at_once(cores: int, free: int | None) -> int:
    """The processes that make videos side by side: one for each core, where there is memory.

    free: bytes of memory that programs may take; None if that is not known.

    >>> videos_at_once(8, 2_000_000_000), videos_at_once(8, 100), videos_at_once(2, None)
    (4, 1, 2)
    """
    return cores if free is None else max(1, min(cores, free // VIDEO_MEMORY))


def free_memory() -> int | None:
    """Bytes of memory that programs may take without others being moved to disk, as Linux says."""
    try:
        lines = Path("/proc/meminfo").read_text("ascii").splitlines()
        found = dict(line.split(":", 1) for line in lines)
        return int(found["MemAvailable"].split()[0]) * 1024
    except (OSError, LookupError, ValueError):
        return None
