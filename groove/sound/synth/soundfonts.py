"""Finds the soundfonts of a band: those that were asked for, or the best free one on the system.

A soundfont is picked up by itself only when it is known to be a General MIDI soundfont that is
free to use and to pass on. Any other is used only when it is asked for by name.
"""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import dataclass, field, replace
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from groove.errors import GrooveError
from groove.sound.synth.soundfont_file import read_info

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

ENVIRONMENT_VARIABLE = "GROOVE_SOUNDFONT"
BUNDLED_FILE = "TimGM6mb.sf2"


@dataclass(frozen=True)
class Soundfont:
    """A soundfont file that has been checked, with its display name and licence, one line each."""

    path: Path
    name: str
    licence: str

    def __str__(self) -> str:
        return f"{self.name} ({self.licence})"


@dataclass(frozen=True)
class Fonts:
    """The soundfonts that a band plays with. main: of all parts but those with one of their own.
    own: by part."""

    main: Soundfont
    own: Mapping[str, Soundfont] = field(default_factory=dict)

    def __str__(self) -> str:
        return "; ".join(str(font) for font in self.all)

    def of(self, part: str) -> Soundfont:
        """The soundfont of a part, such as ``drums``."""
        return self.own.get(part, self.main)

    def absolute(self) -> Fonts:
        """The same with paths that hold in any folder."""

        def placed(font: Soundfont) -> Soundfont:
            return replace(font, path=font.path.absolute())

        return Fonts(placed(self.main), {part: placed(font) for part, font in self.own.items()})

    @property
    def all(self) -> tuple[Soundfont, ...]:
        """Every soundfont once, the main one first."""
        return tuple(dict.fromkeys((self.main, *self.own.values())))


@dataclass(frozen=True)
class Known:
    """A free General MIDI soundfont: its file names in lower case, and the facts about it."""

    files: tuple[str, ...]
    name: str
    licence: str


KNOWN = (
    Known(("fluidr3_gm.sf2", "fluidr3_gm.sf3"), "Fluid R3 GM", "MIT licence"),
    Known(
        (
            "musescore_general.sf2",
            "musescore_general.sf3",
            "musescore_general_full.sf2",
            "musescore_general_full.sf3",
            "musescore_general_hq.sf2",
            "musescore_general_hq.sf3",
            "musescore_general_lite.sf3",
        ),
        "MuseScore General",
        "MIT licence",
    ),
    Known(("fluidr3mono_gm.sf2", "fluidr3mono_gm.sf3"), "Fluid R3 Mono GM", "MIT licence"),
    Known(("timgm6mb.sf2",), "TimGM6mb", "GNU General Public License, version 2"),
)
"""Best first. The licences are from the copyright files of the Debian packages
fluid-soundfont-gm, musescore-general-soundfont (which also states that of Fluid R3 Mono; parts
are public domain or CC0) and timgm6mb-soundfont. The ranking is by size and detail of sampling
and by ear (common practice)."""


def places(environ: Mapping[str, str]) -> tuple[Path, ...]:
    """The folders in which systems keep soundfonts, the user's own first.

    The names are those of the distributions and of Homebrew (from memory, those of Debian seen).
    """
    home = Path(environ["HOME"]) if environ.get("HOME") else None
    data = Path(environ["XDG_DATA_HOME"]) if environ.get("XDG_DATA_HOME") else None
    if data is None and home is not None:
        data = home / ".local" / "share"
    shares = [data] if data is not None else []
    shares += [Path("/usr/local/share"), Path("/usr/share"), Path("/opt/homebrew/share")]
    if environ.get("HOMEBREW_PREFIX"):
        shares.append(Path(environ["HOMEBREW_PREFIX"]) / "share")
    kept = ("soundfonts", "sounds/sf2", "sounds/sf3")
    folders = [share / folder for share in shares for folder in kept]
    if home is not None:
        folders.append(home / "Library" / "Audio" / "Sounds" / "Banks")
    return tuple(dict.fromkeys(folders))


def find_fonts(
    given: str | Path | Fonts | None,
    environ: Mapping[str, str],
    folders: Sequence[Path] | None = None,
) -> Fonts:
    """The soundfonts to play with, checked and ready to load.

    `given` wins, then the file that the environment variable GROOVE_SOUNDFONT names, then the
    best known one in `folders` (by default `places(environ)`), then the small one that comes
    with the Python dependencies. Raises `GrooveError` where the one asked for cannot be used,
    or where there is none at all.
    """
    if isinstance(given, Fonts):
        for font in given.all:
            read_info(font.path)
        return given
    if given is not None:
        return Fonts(_asked_for(Path(given)))
    named = environ.get(ENVIRONMENT_VARIABLE, "")
    if named:
        try:
            return Fonts(_asked_for(Path(named)))
        except GrooveError as error:
            raise GrooveError(f"{ENVIRONMENT_VARIABLE}: {error}") from None
    searched = places(environ) if folders is None else folders
    for candidate in (*_known_in(searched), *_bundled()):
        with suppress(GrooveError):
            return Fonts(_asked_for(candidate))
    raise GrooveError(
        "no free General MIDI soundfont found; install one "
        "(Debian: sudo apt-get install fluid-soundfont-gm) or name one with --soundfont FILE"
    )


def _asked_for(path: Path) -> Soundfont:
    """The soundfont at `path`, named by the table or else by the file itself."""
    info = read_info(path)
    known = _rank_and_facts(path)
    if known is None:
        return Soundfont(path, info.name or path.stem, info.licence)
    facts = _named_inside(info.name) or known[1]
    return Soundfont(path, facts.name, facts.licence)


def _named_inside(name: str) -> Known | None:
    """The table's entry for the name in a file, which differs a little from copy to copy."""
    said = _bare(name)  # "TimGM6mb1.sf2", for one
    return next((known for known in KNOWN if said.startswith(_bare(known.name))), None)


def _bare(name: str) -> str:
    return "".join(sign for sign in name.casefold() if sign.isalnum())


def _rank_and_facts(path: Path) -> tuple[int, Known] | None:
    """The rank and the entry of a file in the table, links followed; None for an unknown one."""
    name = Path(os.path.realpath(path)).name.lower()
    for rank, known in enumerate(KNOWN):
        if name in known.files:
            return rank, known
    return None


def _known_in(folders: Sequence[Path]) -> list[Path]:
    """Every known soundfont in `folders`, best first; among equals the earlier folder first."""
    found: list[tuple[int, int, str, Path]] = []
    for place, folder in enumerate(folders):
        for path in _listing(folder):
            known = _rank_and_facts(path)
            if known is not None:
                found.append((known[0], place, path.name, path))
    return [path for *_, path in sorted(found)]


def _listing(folder: Path) -> Iterator[Path]:
    """The files of a folder; nothing where there is no such folder or it cannot be listed."""
    try:
        yield from folder.iterdir()
    except OSError:
        return


def _bundled() -> Iterator[Path]:
    """The soundfont inside the pretty_midi wheel, found without the cost of importing that."""
    spec = find_spec("pretty_midi")
    for folder in (spec.submodule_search_locations or ()) if spec else ():
        path = Path(folder) / BUNDLED_FILE
        if path.is_file():
            yield path
