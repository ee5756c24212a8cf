"""Words on a frame, in as large a type as their room allows."""

from __future__ import annotations

from groove.handout.drawing.faces import settable
from groove.handout.drawing.page import fitted, text_width

LEAST_SHARE = 0.75  # of the usual type size: words that are longer still are cut


def in_room(
    words: str, room: float, size: float, face: str = "regular", least: float = LEAST_SHARE
) -> tuple[str, float]:
    """Words in characters of a face and their type size in points, so that they fit in a width.

    room: the width in mm. size: the usual type size. least: its share below which the words are
    cut with dots instead; the text is empty where not even those fit.
    """
    if not words or room <= 0:
        return "", size
    text = settable(words, face)
    wide = text_width(text, size, face)
    if wide > room:
        size *= max(least, room / wide)
    return (text if wide <= room else fitted(text, room + 1e-6, size, face)), size
