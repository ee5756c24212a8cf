"""Limits of the figures that the scripts here print."""

from __future__ import annotations


def in_words(low: float | None, high: float | None, form: str) -> str:
    """Two limits in words, None where there is none; form: of the numbers.

    >>> in_words(0.4, 0.7, "{:.0%}"), in_words(None, 3, "{:.1f}"), in_words(None, None, "{}")
    ('40% to 70%', 'to 3.0', '')
    """
    lowest, highest = (None if at is None else form.format(at) for at in (low, high))
    if lowest and highest:
        return f"{lowest} to {highest}"
    return f"from {lowest}" if lowest else f"to {highest}" if highest else ""
