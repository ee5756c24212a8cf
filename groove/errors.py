"""Errors for people: one line with the place, the value found and the values allowed."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

FAILED, BAD_USAGE = 1, 2  # exit codes
LONGEST_LINE = 600  # characters of an error or a message
LONGEST_QUOTE = 60  # characters of a value in it


def one_line(text: str, longest: int = LONGEST_LINE) -> str:
    """The text on one line of printable characters; beyond `longest` its middle is left out.

    >>> one_line("key:\\n found 'G\\x07'")
    "key: found 'G?'"
    >>> one_line("abcdefghij", 9)
    'ab ... ij'
    """
    line = "".join(c if c.isprintable() else "?" for c in " ".join(text.split()))
    if len(line) <= longest:
        return line
    half = (longest - 5) // 2
    return f"{line[:half]} ... {line[-half:]}"


def quoted(value: object) -> str:
    """A found value as it stands in an error: in quotes, printable, and cut to LONGEST_QUOTE.

    >>> quoted("I7 H7"), quoted(7), quoted("x" * 1_000_000) == quoted("x" * 60 + "y")
    ("'I7 H7'", "'7'", True)
    """
    try:
        text = value if isinstance(value, str) else repr(value)
    except (RecursionError, ValueError):  # nested without end, or thousands of digits
        text = "something huge"
    if len(text) > LONGEST_QUOTE:
        text = text[: LONGEST_QUOTE - 3] + "..."
    return repr("".join(c if c.isprintable() else "?" for c in text))


class GrooveError(Exception):
    """An error that the user can put right; its text is one line.

    usage: whether it is the command line that is to be put right, rather than a file.
    """

    usage = False

    def __str__(self) -> str:
        return one_line(super().__str__())


class StopError(GrooveError):
    """The user has stopped the run when all was written."""

    def __init__(self) -> None:
        super().__init__("stopped; what was asked for is written")


class OptionError(GrooveError):
    """An option with a value it can't have: ``loudness: found -5; -40 to -10 LUFS is allowed``."""

    usage = True

    def __init__(self, option: str, text: str) -> None:
        super().__init__(option, text)
        self.option = option
        self.text = one_line(text)

    def __str__(self) -> str:
        return f"{self.option.replace('_', '-')}: {self.text}"


def nearest(found: str, allowed: Iterable[str]) -> str:
    """The end of an error about the name `found`: the nearest of `allowed`, or all of them.

    >>> nearest("rhumba", ["rumba", "shuffle"])
    'did you mean rumba?'
    >>> nearest("xyz", ["rumba", "shuffle"])
    'there are: rumba, shuffle'
    """
    names = sorted(allowed)
    near = get_close_matches(found[:LONGEST_QUOTE].lower(), names, n=1)
    return f"did you mean {near[0]}?" if near else f"there are: {', '.join(names)}"
