"""The options of audio, checked."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypedDict

from groove.band.part import CHORDAL, CLICK, COMPING, PARTS, TRIO
from groove.errors import OptionError, nearest

FORMATS = ("wav", "flac", "mp3", "ogg")
NONE = "none"
BITS = (16, 24)
TARGET = -14.0
"""LUFS, the playback level of large streaming services (common practice)."""
QUIETEST, LOUDEST = -40.0, -10.0
"""LUFS. Above this the limiter would be audible all the time (common practice)."""

RENAMED = {"minus_one": "is now called without-each: a mix without each of the players"}
"""Options by the names that they had before, and the ends of the errors about them."""

Names = str | Iterable[str]


class AudioOptions(TypedDict, total=False):
    """The options of audio by their names; `Wanted` explains them."""

    bits: int
    stems: bool
    without_each: bool
    without: Names
    only: Names
    loudness: float
    apart: bool


@dataclass(frozen=True)
class Wanted:
    """The audio that is asked for.

    formats: one file of the main mix in each of them. bits: 16 or 24 in WAV and FLAC. stems: a file
    for each part. without_each: a mix without each of the players. without, only: parts that all
    files lack, or are made of. loudness: of the whole band's mix, LUFS; all files have its gain.
    apart: drums and bass hard left, comping hard right.
    """

    formats: tuple[str, ...] = ()
    bits: int = 16
    stems: bool = False
    without_each: bool = False
    without: tuple[str, ...] = ()
    only: tuple[str, ...] = ()
    loudness: float = TARGET
    apart: bool = False

    def __post_init__(self) -> None:
        for format_ in self.formats:
            if format_ not in FORMATS:
                raise OptionError(
                    "audio", f"found {format_!r}; {nearest(format_, (*FORMATS, NONE))}"
                )
        for option, parts in (("without", self.without), ("only", self.only)):
            for part in parts:
                if part not in PARTS:
                    raise OptionError(option, f"found {part!r}; {nearest(part, PARTS)}")
        if self.bits not in BITS:
            raise OptionError("bits", f"found {self.bits!r}; 16 and 24 are allowed")
        if not QUIETEST <= self.loudness <= LOUDEST:
            raise OptionError(
                "loudness",
                f"found {self.loudness:g}; {QUIETEST:g} to {LOUDEST:g} LUFS is allowed",
            )


def wanted(audio: Names | None, options: AudioOptions) -> Wanted:
    """The audio that is asked for, checked; names come in a list or with commas between them.

    audio: formats, or "none". None stands for no audio, or for WAV where an option is given that
    chooses files. Raises OptionError for unknown names and values
    out of range.

    >>> wanted("wav,mp3", {"without_each": True}).formats
    ('wav', 'mp3')
    >>> wanted(None, {"only": "drums"}).formats
    ('wav',)
    """
    for name in options.keys() - AudioOptions.__annotations__.keys():
        if name in RENAMED:
            raise OptionError(name, RENAMED[name])
        raise TypeError(
            f"there is no option {name!r}; {nearest(name, AudioOptions.__annotations__)}"
        )
    choosing = [
        option for option in ("stems", "without_each", "without", "only") if options.get(option)
    ]
    formats = _names(audio if audio is not None else "wav" if choosing else NONE)
    if NONE in formats and len(formats) > 1:
        raise OptionError("audio", "none is for no audio at all; leave it or the other formats out")
    if choosing and formats == (NONE,):
        raise OptionError(choosing[0], "needs audio, and none was asked for")
    return Wanted(
        () if formats == (NONE,) else formats,
        bits=options.get("bits", 16),
        stems=options.get("stems", False),
        without_each=options.get("without_each", False),
        without=_names(options.get("without", ())),
        only=_names(options.get("only", ())),
        loudness=options.get("loudness", TARGET),
        apart=options.get("apart", False),
    )


def unheeded(
    asked: Wanted, options: AudioOptions, *, sounds: bool, players: Sequence[str] = TRIO
) -> list[str]:
    """A line for each option that has no effect.

    sounds: whether audio is made at all, if only to report on it. players: who play.

    >>> unheeded(wanted("mp3", {"bits": 24}), {"bits": 24}, sounds=True)
    ['bits are for WAV and FLAC, and neither was asked for']
    """
    lines = []
    shaping = [name for name in ("apart", "loudness") if options.get(name)]
    if not sounds:
        shaping += ["bits"] if options.get("bits") else []
        lines += [f"{name} is for audio, and no audio was asked for" for name in shaping]
    elif options.get("bits") and not {"wav", "flac"} & set(asked.formats):
        lines += ["bits are for WAV and FLAC, and neither was asked for"]
    left = [part for part in players if part not in asked.without]
    if asked.only:
        left = [part for part in left if part in asked.only]
    absent = [part for part in (*asked.without, *asked.only) if part not in _known(players)]
    lines += [f"there is no {part} in this band" for part in dict.fromkeys(absent)]
    if asked.without_each and len(left) == 1:
        lines += ["without-each is for two players or more, and one is left"]
    return lines


def _known(players: Sequence[str]) -> set[str]:
    """The names that may stand for some players."""
    chords = {COMPING} if set(players) & set(CHORDAL) else set()
    return {*players, *chords, CLICK}


def _names(given: Names) -> tuple[str, ...]:
    """Names without repeats, in the order given."""
    texts = [given] if isinstance(given, str) else given
    return tuple(dict.fromkeys(name.strip() for text in texts for name in text.split(",")))
