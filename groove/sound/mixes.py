"""The mixes of the stems that are asked for, and the names of their files."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from groove.band.part import CHORDAL, CLICK, COMPING
from groove.errors import OptionError
from groove.wording import said, words_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from groove.sound.options import Wanted


@dataclass(frozen=True)
class Mix:
    """A mix of some parts. suffix: the end of its file's name.

    mastered: whether it goes through the limiter; a stem does not, so that the stems sum.
    """

    suffix: str
    parts: tuple[str, ...]
    mastered: bool = True

    @property
    def label(self) -> str:
        """Its name in words: mix, without bass, only drums; drums is a stem."""
        head, _, parts = self.suffix.lstrip("_").partition("-")
        if head in ("without", "only") and parts:
            names = ", ".join(part_words(part) for part in parts.split("-"))
            return said("pack", f"mixes.{head}", players=names)
        return part_words(self.suffix.lstrip("_")) if self.suffix else said("pack", "mixes.all")


def part_words(part: str) -> str:
    """The name of a part for people, ``drums``."""
    names = words_of("road")["players"]["names"] | words_of("pack")["mixes"]["names"]
    return str(names.get(part, part.replace("-", ", ")))


def mixes(
    parts: Sequence[str],
    *,
    stems: bool = False,
    without_each: bool = False,
    without: Iterable[str] = (),
    only: Iterable[str] = (),
) -> tuple[Mix, ...]:
    """The mixes of a track with these `parts`: the main one, then one without each player, then
    the stems.

    `only` and `without` name the players for all of them. The click of the count-in stays with
    any choice of players unless it is left out by name. Raises OptionError if no player is left.

    >>> parts = ("drums", "bass", "comping", "click")
    >>> [mix.suffix for mix in mixes(parts, without_each=True)]
    ['', '_without-drums', '_without-bass', '_without-comping']
    >>> [(mix.suffix, mix.parts) for mix in mixes(parts, only=["drums"], stems=True)]
    [('_only-drums', ('drums', 'click')), ('_drums', ('drums',)), ('_click', ('click',))]
    """
    left_out, kept = _named(without), _named(only)
    included = [
        part
        for part in parts
        if part not in left_out and (part in kept or part == CLICK or not kept)
    ]
    players = [part for part in included if part != CLICK]
    if (left_out or kept) and not players:
        raise OptionError("only" if kept else "without", "that leaves no player")
    chosen = [_chosen(parts, included)]
    if without_each and len(players) > 1:
        chosen += [_chosen(parts, [p for p in included if p != player]) for player in players]
    singles = [Mix(f"_{_plain(part)}", (part,), mastered=False) for part in included]
    return tuple(chosen + (singles if stems else []))


def _named(names: Iterable[str]) -> set[str]:
    """The parts that names stand for: comping is guitar and keys as well."""
    found = set(names)
    return found | set(CHORDAL) if COMPING in found else found


def _chosen(parts: Sequence[str], included: Sequence[str]) -> Mix:
    """A mix named by the parts that are left out, or by its player if there is only one."""
    missing = [part for part in parts if part not in included]
    players = [part for part in included if part != CLICK]
    if not missing:
        suffix = ""
    elif len(players) == 1 and CLICK not in missing:
        suffix = f"_only-{_plain(players[0])}"
    else:
        suffix = "_without-" + "-".join(map(_plain, missing))
    return Mix(suffix, tuple(included))


def _plain(part: str) -> str:
    return part.replace(" ", "-")


@dataclass(frozen=True)
class AudioFile:
    """A file to write: its mix, its format and its path."""

    mix: Mix
    format: str
    path: Path


def audio_files(prefix: Path, parts: Sequence[str], asked: Wanted) -> list[AudioFile]:
    """The files that are asked for of a track with these `parts`; their names begin with `prefix`.

    Mix by mix, each in all its formats.
    """
    chosen = mixes(
        parts,
        stems=asked.stems,
        without_each=asked.without_each,
        without=asked.without,
        only=asked.only,
    )
    return [
        AudioFile(mix, format_, Path(f"{prefix}{mix.suffix}.{format_}"))
        for mix in chosen
        for format_ in asked.formats
    ]
