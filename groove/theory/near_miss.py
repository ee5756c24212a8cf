"""The chord that somebody meant who wrote one that can't be read."""

from __future__ import annotations

from difflib import get_close_matches

SUFFIXES = (
    "m", "7", "m7", "maj7", "6", "m6", "6/9", "9", "m9", "maj9", "11", "m11", "13", "m13", "maj13",
    "dim", "dim7", "m7b5", "ø7", "+", "aug", "7#5", "sus2", "sus4", "7sus4", "9sus4", "add9",
    "madd9", "7b9", "7#9", "7#11", "7b13", "7alt", "maj7#11", "m(maj7)", "min7", "m7", "-7",
)  # fmt: skip


def meant(suffix: str) -> str | None:
    """The nearest of the usual qualities as they are written after a root; None where none is near.

    >>> meant("mja7"), meant("xyz")
    ('maj7', None)
    """
    found = get_close_matches(suffix, SUFFIXES, n=1)
    return found[0] if found else None
