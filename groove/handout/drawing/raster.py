"""Marks as pixels: a page goes through its PDF, which pypdfium2 draws.

Ink is a number for each pixel, 0 where the paper shows and 255 where it is black; colours come
afterwards, so that the same drawing serves light and dark frames.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from groove.errors import GrooveError
from groove.handout.drawing.page import Mark, Page, Paper
from groove.handout.drawing.pdf import POINTS_PER_MM, pdf

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Pixels = NDArray[np.uint8]

EXTRA = "needs more packages; run: pip install 'groove[video]'"
"""The end of the error where a package of the extra is missing."""


def coverage(marks: Sequence[Mark], width: float, height: float, pixels: tuple[int, int]) -> Pixels:
    """The ink of some marks on a sheet of width x height mm: an array of shape (rows, columns).

    pixels: columns and rows. Raises GrooveError where the extra ``video`` is missing.
    """
    import numpy as np

    pypdfium2 = load_pdfium()
    wide, high = pixels
    found = np.zeros((high, wide), np.uint8)
    if not marks:
        return found
    document = pypdfium2.PdfDocument(pdf([Page(Paper("frame", width, height), tuple(marks), "")]))
    try:
        scale = wide / (width * POINTS_PER_MM)
        drawn = document[0].render(scale=scale, grayscale=True).to_numpy()
    finally:
        document.close()
    drawn = drawn[:high, :wide].reshape(min(high, drawn.shape[0]), -1)
    found[: drawn.shape[0], : drawn.shape[1]] = 255 - drawn
    return found


def load_pdfium() -> Any:
    """The package that draws pages; GrooveError where the extra ``video`` is missing."""
    try:
        import pypdfium2
    except ImportError:
        raise GrooveError(f"a picture {EXTRA}") from None
    return pypdfium2


def write_png(path: Path, rgb: Pixels) -> None:
    """Write an array of shape (rows, columns, 3) as a PNG; the same array gives the same bytes.

    Raises GrooveError where the extra ``video`` is missing.
    """
    try:
        from PIL import Image
    except ImportError:
        raise GrooveError(f"a picture {EXTRA}") from None
    Image.fromarray(rgb).save(path, format="PNG", optimize=True)
