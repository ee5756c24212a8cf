"""Errors for people: one line that says where, what was found and what is allowed."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

FAILED, BAD_USAGE = 1, 2  # exit codes


class GrooveError(Exception):
    """Something that the user can put right; its text is one line.

    usage: whether it is the command line that is to be put right, rather than a file.
    """

    usage = False

    def __str__(self) -> str:
        return " ".join(super().__str__().split())


class StopError(GrooveError):
    """The user has stopped the run when all was written."""

    def __init__(self) -> None:
        super().__init__("stopped; what was asked for is written")


class OptionError(GrooveError):
    """An option that holds what it can't: ``loudness: found -5; -40 to -10 LUFS is allowed``."""

    usage = True

    def __init__(self, option: str, text: str) -> None:
        super().__init__(option, text)
        self.option = option
        self.text = " ".join(text.split())

    def __str__(self) -> str:
        return f"{self.option.replace('_', '-')}: {self.text}"


def nearest(found: str, allowed: Iterable[str]) -> str:
    """The end of an error about a name: the nearest right one, or all there are.

    >>> nearest("rhumba", ["rumba", "shuffle"])
    'did you mean rumba?'
    >>> nearest("xyz", ["rumba", "shuffle"])
    'there are: rumba, shuffle'
    """
    names = sorted(allowed)
    near = get_close_matches(found.lower(), names, n=1)
    return f"did you mean {near[0]}?" if near else f"there are: {', '.join(names)}"
