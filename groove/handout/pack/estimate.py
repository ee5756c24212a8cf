"""Estimates the files, bytes and seconds that a pack will take.

The rates were measured (one core of a current server, `tests/bench/pack_two_cores.py`); another
machine may be twice as fast or as slow, and the progress bar's time left follows from the work done
so far.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from groove.form.unroll import length
from groove.handout.pack.plan import SOUNDING, Piece, Task
from groove.wording import in_figures

TAIL_SECONDS = 2.5
"""About how long a track rings on after its last bar."""
PLAYING = 0.014
"""Seconds of one core for a second of the band, played and mastered."""
WRITING = {"wav": 0.001, "flac": 0.002, "mp3": 0.009, "ogg": 0.007}
"""Seconds of one core for a second of one file of audio."""
BYTES = {"wav": 176_400, "flac": 110_000, "mp3": 24_500, "ogg": 24_500}
"""In a second of audio; of WAV and FLAC at 16 bits."""
OTHERS = {"midi": (0.05, 12_000), "chart": (0.06, 42_000), "sheet": (0.1, 66_000),
          "page": (2.5, 2_100_000)}  # fmt: skip
"""Seconds of one core and bytes of one file."""
POSTED = {"cover": (0.2, 60_000), "post": (0.1, 4_000)}
"""Seconds of one core and bytes of one cover and one text."""
VIDEO = {"wide": (0.14, 52_000), "upright": (0.14, 52_000), "square": (0.09, 42_000)}
"""Seconds of one core and bytes for a second of a video without the playing; 24 kB are sound."""
CARDS, PREVIEW_SECONDS = 9, 30
"""Seconds of a video's cards at both ends, and of a preview."""
CHARTS = {"svg": (0.03, 36_000), "musicxml": (0.02, 24_000)}
"""The same of a chart that is not for paper."""
STARTING = 0.8
"""Seconds until the first job of a core is under way."""
SHARED = 0.8
"""Of its cores' time; where a pack gets less it says so."""
MOST_ZIP = 500e6
"""Bytes of a zip that takes videos in. Above this the user is told: many sites take no more."""
MANY_FILES, MANY_BYTES, MANY_SECONDS = 500, 2e9, 600
"""Above any of these the user is asked first: no lesson needs as much."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """Files to make, their bytes and those of the whole pack's zip, seconds, and cores.

    shared: whether other programs keep the cores busy too.
    """

    files: int
    size: float
    zip_size: float
    seconds: float
    cores: int
    shared: bool

    @property
    def is_huge(self) -> bool:
        """True if a limit of files, bytes or time is exceeded, so that the user is asked."""
        return (
            self.files > MANY_FILES
            or self.size + self.zip_size > MANY_BYTES
            or self.seconds > MANY_SECONDS
        )

    def __str__(self) -> str:
        cores = f"{self.cores} {'core' if self.cores == 1 else 'cores'}"
        are = "is" if self.cores == 1 else "are"
        busy = f", which {are} busy with other things too" if self.shared else ""
        return (
            f"{self.files:,} {'file' if self.files == 1 else 'files'} to make, about "
            f"{amount(self.size)}, and {amount(self.zip_size)} for the zip; about "
            f"{duration(self.seconds)} on {cores}"
            f"{busy} "
            "(from rates measured on one machine)"
        )


def estimate(
    missing: Sequence[Task], whole: Iterable[Task], cores: int, busy: float = 0.0
) -> Estimate:
    """The estimate for making the missing tasks, and then the zip of the whole pack.

    busy: how many cores other programs keep busy, to share with ours.
    """
    used = max(1, min(cores, len(missing)))
    share = min(1.0, cores / (used + busy))
    return Estimate(
        files=sum(len(task.pieces) for task in missing),
        size=sum(_bytes(task) for task in missing),
        zip_size=sum(_bytes(task) for task in whole),
        seconds=STARTING + sum(weight(task) for task in missing) / (used * share),
        cores=used,
        shared=share < SHARED,
    )


def estimate_here(
    missing: Sequence[Task], whole: Iterable[Task], busy: float | None = None
) -> Estimate:
    """The estimate on this machine. busy: as of `estimate`; None: as busy as it is now."""
    from groove.sound.parallel import cores

    return estimate(missing, whole, cores(), os.getloadavg()[0] if busy is None else busy)


def weight(task: Task) -> float:
    """Seconds of one core that a task takes."""
    seconds = length(task.form) + TAIL_SECONDS
    played = PLAYING if any(piece.kind in SOUNDING for piece in task.pieces) else 0
    return seconds * played + sum(_making(piece, seconds) for piece in task.pieces)


def _making(piece: Piece, seconds: float) -> float:
    """Seconds of one core for a file of a track of so many seconds, without the playing."""
    match piece.kind:
        case "audio":
            return WRITING[piece.format] * seconds
        case "video":
            return VIDEO[piece.size][0] * (seconds + CARDS)
        case "preview":
            return WRITING[piece.format] * PREVIEW_SECONDS
    return _other(piece)[0]


def _bytes(task: Task) -> float:
    seconds = length(task.form) + TAIL_SECONDS
    return sum(_size(piece, seconds) for piece in task.pieces)


def _size(piece: Piece, seconds: float) -> float:
    """Bytes of a file of a track of so many seconds."""
    match piece.kind:
        case "audio":
            deep = 1.5 if piece.made_from.get("bits") == "24" else 1.0
            return BYTES[piece.format] * deep * seconds
        case "video":
            return VIDEO[piece.size][1] * (seconds + CARDS)
        case "preview":
            return BYTES[piece.format] * PREVIEW_SECONDS
    return _other(piece)[1]


def _other(piece: Piece) -> tuple[float, int]:
    """Seconds of one core and bytes of a file that is no audio."""
    return CHARTS.get(piece.format, (OTHERS | POSTED)[piece.kind])


def amount(size: float) -> str:
    """Bytes in words.

    >>> amount(12_000), amount(2_015_932), amount(3.1e9)
    ('12 kB', '2.0 MB', '3.1 GB')
    """
    for unit, bytes_ in (("GB", 1e9), ("MB", 1e6)):
        if size >= bytes_:
            count = size / bytes_
            return f"{in_figures(count, '.1f' if count < 10 else ',.0f')} {unit}"
    return f"{size / 1e3:.0f} kB"


def duration(seconds: float) -> str:
    """Seconds in words.

    >>> duration(8), duration(70), duration(700), duration(9000)
    ('8 seconds', '70 seconds', '12 minutes', '2.5 hours')
    """
    if seconds < 90:
        whole = max(1, round(seconds))
        return f"{whole} {'second' if whole == 1 else 'seconds'}"
    if seconds < 5400:
        return f"{seconds / 60:.0f} minutes"
    return f"{seconds / 3600:.1f} hours"
