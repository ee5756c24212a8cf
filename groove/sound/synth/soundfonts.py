"""Finds the soundfonts of a band: the package's own, or those that were asked for.

The package's own plays unless another is asked for, for the whole band or for single parts. Full
ones that lie on the system are only noted: they play the instruments that others lack, see
`groove.sound.synth.stand_ins`.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path

from groove import library
from groove.band.part import CHORDAL, COMPING, PARTS, STRUCK
from groove.errors import GrooveError, OptionError, quoted
from groove.rhythm.kit import KIT
from groove.sound.synth.soundfont_file import presets, read_info

ENVIRONMENT_VARIABLE = "GROOVE_SOUNDFONT"
DRUM_BANK = 128
"""The bank of a soundfont's drum kits (SoundFont specification 2.01, from memory)."""
PACKAGED = Path(__file__).parent / "font" / "groove.sf3"
LICENCES = PACKAGED.with_name("LICENCE.txt")
"""The package's own soundfont, and the text that has to go with it. Its copyright line begins with
its licences, up to a colon; its comment is the credits."""


@dataclass(frozen=True)
class Soundfont:
    """A soundfont file that has been checked, with its display name and licence, one line each.

    credit: its makers and sources in a line, where it says them. kit: bank and program of its drum
    kit where that is not in the bank of kits. strokes: pairs of a kit's key in General MIDI and the
    key here, where they differ.
    """

    path: Path
    name: str
    licence: str
    credit: str = ""
    kit: tuple[int, int] | None = None
    strokes: tuple[tuple[int, int], ...] = ()

    def __str__(self) -> str:
        return f"{self.name} ({self.licence})"


@dataclass(frozen=True)
class Fonts:
    """The soundfonts that a band plays with.

    main: of all parts but those with one of their own. own: by part; that of comping is also that
    of guitar and keys. spare: full soundfonts on the system, best first, for instruments that
    these lack.
    """

    main: Soundfont
    own: Mapping[str, Soundfont] = field(default_factory=dict)
    spare: tuple[Path, ...] = ()

    def __str__(self) -> str:
        own = (f"; {' and '.join(self.parts(font))}: {font}" for font in self.all[1:])
        return f"{self.main}{''.join(own)}"

    def parts(self, font: Soundfont) -> tuple[str, ...]:
        """The parts whose own soundfont this is."""
        return tuple(part for part, own in self.own.items() if own == font)

    def of(self, part: str) -> Soundfont:
        """The soundfont of a part, such as ``drums``."""
        return self.own.get(part) or self.own.get(COMPING if part in CHORDAL else "", self.main)

    @property
    def all(self) -> tuple[Soundfont, ...]:
        """Every soundfont once, the main one first."""
        return tuple(dict.fromkeys((self.main, *self.own.values())))

    def absolute(self) -> Fonts:
        """The same with paths that hold in any folder."""

        def placed(font: Soundfont) -> Soundfont:
            return replace(font, path=font.path.absolute())

        return replace(
            self,
            main=placed(self.main),
            own={part: placed(font) for part, font in self.own.items()},
        )


Given = str | Path | Iterable[str | Path] | Fonts | None
"""Soundfonts as they are asked for: a file, ``drums=FILE``, or several of these."""


@dataclass(frozen=True)
class Known:
    """A soundfont of patterns/soundfonts.toml: its file names in small letters, and facts."""

    name: str
    licence: str
    files: tuple[str, ...]
    full: bool = False
    credit: str = ""
    kit: tuple[int, int] | None = None
    strokes: tuple[tuple[int, int], ...] = ()


@cache
def known_soundfonts() -> tuple[Known, ...]:
    """The soundfonts that the program knows, best first."""
    return tuple(
        Known(
            name,
            row["licence"],
            tuple(row["files"]),
            row.get("full", False),
            row.get("credit", ""),
            tuple(row["kit"]) if "kit" in row else None,
            tuple((KIT[stroke].note, key) for stroke, key in row.get("strokes", {}).items()),
        )
        for name, row in library.table("soundfonts").items()
    )


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
    given: Given,
    environ: Mapping[str, str],
    folders: Sequence[Path] | None = None,
) -> Fonts:
    """The soundfonts to play with, checked and ready to load.

    A file that is `given` plays the whole band, ``drums=FILE`` that part. For parts for which
    nothing is given the environment variable GROOVE_SOUNDFONT is asked, which holds one or several
    of these as PATH holds folders; then the package's own plays. folders: where full soundfonts may
    lie, by default `places(environ)`. Fonts that were found before are only checked again, as
    another machine may lack the files.

    Raises `GrooveError` where one that is asked for cannot be used, OptionError where it is not
    clear which one plays.
    """
    if isinstance(given, Fonts):
        for font in given.all:
            read_info(font.path)
        return given
    found = {part: soundfont(path) for part, path in _by_part(_listed(given)).items()}
    if "" not in found:
        try:
            found = _named(environ.get(ENVIRONMENT_VARIABLE, "")) | found
        except GrooveError as error:
            words = error.text if isinstance(error, OptionError) else str(error)
            raise GrooveError(f"{ENVIRONMENT_VARIABLE}: {words}") from None
    return Fonts(
        found.get("") or packaged(),
        {
            part: _with_kit(found[part]) if part in STRUCK else found[part]
            for part in PARTS
            if part in found
        },
        full_ones(places(environ) if folders is None else folders),
    )


def packaged() -> Soundfont:
    """The package's own soundfont."""
    info = read_info(PACKAGED)
    licence, _, _ = info.copyright.partition(":")
    return Soundfont(PACKAGED, info.name, licence, info.comment)


def soundfont(path: Path) -> Soundfont:
    """The soundfont at `path`, named by the table or else by the file itself."""
    info = read_info(path)
    if path.samefile(PACKAGED):
        return packaged()
    known = _rank_and_facts(path)
    if known is None:
        return Soundfont(path, info.name or path.stem, info.licence)
    facts = _named_inside(info.name) or known[1]
    return Soundfont(path, facts.name, facts.licence, facts.credit, facts.kit, facts.strokes)


def _with_kit(font: Soundfont) -> Soundfont:
    """A soundfont that was given to a drummer: where no preset is a kit, its first one is."""
    there = presets(font.path)
    if font.kit or any(bank == DRUM_BANK for bank, _ in there):
        return font
    return replace(font, kit=min(there, default=None))


def full_ones(folders: Sequence[Path]) -> tuple[Path, ...]:
    """Every known full soundfont in `folders`, best first, among equals in order of `folders`."""
    found: list[tuple[int, int, str, Path]] = []
    for place, folder in enumerate(folders):
        for path in _listing(folder):
            known = _rank_and_facts(path)
            if known is not None and known[1].full:
                found.append((known[0], place, path.name, path))
    return tuple(path for *_, path in sorted(found))


def _listed(given: str | Path | Iterable[str | Path] | None) -> list[str]:
    if given is None:
        return []
    return [str(each) for each in ([given] if isinstance(given, str | Path) else given)]


def _named(texts: str) -> dict[str, Soundfont]:
    """The soundfonts that the environment variable names, by part."""
    listed = [texts] if _is_file(texts) else [text for text in texts.split(os.pathsep) if text]
    return {part: soundfont(path) for part, path in _by_part(listed).items()}


def _by_part(texts: Sequence[str]) -> dict[str, Path]:
    """The files that are asked for, each under its part, "" for the whole band."""
    found: dict[str, Path] = {}
    for text in texts:
        part, path = _read(text)
        if part in found:
            whose = part or "the whole band"
            raise OptionError(
                "soundfont", f"found {quoted(text)}; {whose} has {quoted(str(found[part]))} already"
            )
        found[part] = path
    return found


def _read(text: str) -> tuple[str, Path]:
    """The part and the file in ``drums=FILE``; "" and the file in what is no more than that."""
    part, equals, path = text.partition("=")
    if not equals or not part.isalpha() or _is_file(text):
        return "", Path(text)
    if part.lower() not in PARTS:
        raise OptionError("soundfont", f"found {quoted(text)}; parts are {', '.join(PARTS)}")
    if not path:
        raise OptionError("soundfont", f"found {quoted(text)}; a file comes after the =")
    return part.lower(), Path(path)


def _is_file(name: str) -> bool:
    try:
        return Path(name).is_file()
    except OSError:  # no possible name
        return False


def _named_inside(name: str) -> Known | None:
    """The table's entry for the name in a file, which differs a little from copy to copy."""
    said = _bare(name)  # "TimGM6mb1.sf2", for one
    return next((each for each in known_soundfonts() if said.startswith(_bare(each.name))), None)


def _bare(name: str) -> str:
    return "".join(sign for sign in name.casefold() if sign.isalnum())


def _rank_and_facts(path: Path) -> tuple[int, Known] | None:
    """The rank and the entry of a file in the table, links followed; None for an unknown one."""
    name = Path(os.path.realpath(path)).name.lower()
    for rank, known in enumerate(known_soundfonts()):
        if name in known.files:
            return rank, known
    return None


def _listing(folder: Path) -> Iterator[Path]:
    """The files of a folder; nothing where there is no such folder or it cannot be listed."""
    try:
        yield from folder.iterdir()
    except OSError:
        return
