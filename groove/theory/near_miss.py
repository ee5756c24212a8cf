"""Suggests the chord that a misspelt one was probably meant to be."""

from __future__ import annotations

from difflib import get_close_matches

SUFFIXES = (
    "m", "7", "m7", "maj7", "6", "m6", "6/9", "9", "m9", "maj9", "11", "m11", "13", "m13", "maj13",
    "dim", "dim7", "m7b5", "ø7", "+", "aug", "7#5", "sus2", "sus4", "7sus4", "9sus4", "add9",
    "madd9", "7b9", "7#9", "7#11", "7b13", "7alt", "maj7#11", "m(maj7)", "min7", "m7", "-7",
)  # fmt: skip


def meant(suffix: str) -> str | None:
    """The usual quality that is nearest to a suffix; None if none is near.

    >>> meant("mja7"), meant("xyz"), meant("7^")
    ('maj7', None, 'maj7')
    """
    figure = suffix.rstrip("^Δ△")
    if figure != suffix and figure in ("7", "9", "11", "13"):
        return f"maj{figure}"  # a triangle stands before its figure
    found = get_close_matches(suffix, SUFFIXES, n=1)
    return found[0] if found else None
