"""Reads the data that ships with groove: forms, patterns, touch and lessons as TOML files."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

KINDS = ("forms", "drums", "bass", "comping", "percussion", "endings", "touch")


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
    """The path of a file by its name; it exists if the name is one of ``names(kind)``."""
    return data_folder() / kind / f"{name}.toml"


@cache
def load(kind: str, name: str) -> dict[str, Any]:
    """The parsed content of a shipped file, ``patterns/KIND/NAME.toml``.

    kind: one of KINDS, ``"guitar"`` or ``"lesson"``. Raises FileNotFoundError where there is no
    such file.
    """
    return _parsed(path_of(kind, name))


@cache
def table(name: str) -> dict[str, Any]:
    """The parsed content of a shipped file of its own, ``patterns/NAME.toml``.

    Raises FileNotFoundError where there is no such file.

    >>> table("defaults")["4/4"]["shuffle"]
    'shuffle'
    """
    return _parsed(data_folder() / f"{name}.toml")


def _parsed(path: Path) -> dict[str, Any]:
    with path.open("rb") as file:
        return tomllib.load(file)
