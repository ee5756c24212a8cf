"""Where the music data lies: forms, patterns and touch as TOML files shipped with groove."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

KINDS = ("forms", "drums", "bass", "comping", "touch")


@cache
def data_folder() -> Path:
    """The folder ``patterns``: inside an installed package, or beside it in a checkout."""
    package = Path(__file__).parent
    inside = package / "patterns"
    return inside if inside.is_dir() else package.parent / "patterns"


@cache
def names(kind: str) -> tuple[str, ...]:
    """The names of all shipped files of a kind, one of KINDS, in order."""
    return tuple(sorted(path.stem for path in (data_folder() / kind).glob("*.toml")))


def path_of(kind: str, name: str) -> Path:
    """The file behind a name; it exists if the name is one of ``names(kind)``."""
    return data_folder() / kind / f"{name}.toml"


@cache
def load(kind: str, name: str) -> dict[str, Any]:
    """The parsed content of a shipped file."""
    with path_of(kind, name).open("rb") as file:
        return tomllib.load(file)


@cache
def defaults() -> dict[str, Any]:
    """Which drum pattern plays where a form names none: metre, then feel."""
    with (data_folder() / "defaults.toml").open("rb") as file:
        return tomllib.load(file)


def lesson(name: str) -> dict[str, Any]:
    """A file of patterns/lesson/."""
    return load("lesson", name)
