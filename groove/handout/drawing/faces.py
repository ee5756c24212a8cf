"""The faces of the handouts: widths, extents and outlines of their glyphs.

Three cuts of one text face, which hold the signs of music (♭ ♮ ♯) as plain characters, and one
music face. ``fonts/`` holds each as a TrueType file, reduced to what handouts need, and its
glyphs as JSON, which ``tests/bench/handout_fonts.py`` writes from that file. The licences (SIL
Open Font License 1.1) lie with them.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

FOLDER = Path(__file__).parent / "fonts"
FILES = {
    "regular": "text-regular.ttf",
    "bold": "text-bold.ttf",
    "italic": "text-italic.ttf",
    "music": "music.ttf",
}
# Names of the music face's glyphs; code points as the SMuFL standard gives them.
SYMBOLS = {
    "repeat dot": 0xE044,
    "segno": 0xE047,
    "coda": 0xE048,
    "treble clef": 0xE050,
    "bass clef": 0xE062,
    "tab clef": 0xE06D,
    "whole notehead": 0xE0A2,
    "half notehead": 0xE0A3,
    "black notehead": 0xE0A4,
    "slash": 0xE101,
    "whole slash": 0xE102,
    "half slash": 0xE103,
    "quarter note": 0xE1D5,
    "dot": 0xE1E7,
    "eighth flag": 0xE240,
    "eighth flag down": 0xE241,
    "16th flag": 0xE242,
    "16th flag down": 0xE243,
    "flat": 0xE260,
    "natural": 0xE261,
    "sharp": 0xE262,
    "double sharp": 0xE263,
    "double flat": 0xE264,
    "accent": 0xE4A0,
    "fermata": 0xE4C0,
    "quarter rest": 0xE4E5,
    "eighth rest": 0xE4E6,
    "16th rest": 0xE4E7,
    "whole rest": 0xE4F4,
    "half rest": 0xE4F5,
    "repeat bar": 0xE500,
    "p": 0xE520,
    "f": 0xE522,
    "ppp": 0xE52A,
    "pp": 0xE52B,
    "mp": 0xE52C,
    "mf": 0xE52D,
    "ff": 0xE52F,
    "fff": 0xE530,
    "time plus": 0xE08C,
    "tempo half": 0xECA3,
    "tempo quarter": 0xECA5,
    "tempo eighth": 0xECA7,
    "tempo dot": 0xECB7,
} | {f"time {digit}": 0xE080 + digit for digit in range(10)}


class GlyphShape(NamedTuple):
    """One glyph in font units, y upwards.

    advance: how far the next glyph stands. box: left, bottom, right and top of what is inked,
    None for a space. outline: SVG path data, empty for a space.
    """

    advance: int
    box: tuple[int, int, int, int] | None
    outline: str


class Face:
    """The glyphs of a face by character.

    ``em``, ``ascent`` and ``descent`` are in font units, a descent under the baseline negative;
    ``characters`` are those for which it has a glyph.
    """

    def __init__(self, path: Path) -> None:
        data = json.loads(path.read_text("utf-8"))
        self.em: int = data["em"]
        self.ascent: int = data["ascent"]
        self.descent: int = data["descent"]
        self._missing = _shape(data["missing"])
        self._shapes = {character: _shape(row) for character, row in data["glyphs"].items()}
        self.characters = self._shapes.keys()

    def glyph(self, character: str) -> GlyphShape:
        """The glyph of a character; an empty box for one that the face lacks."""
        return self._shapes.get(character, self._missing)


def _shape(row: Sequence[Any]) -> GlyphShape:
    """A glyph from its row in the data: the advance, the four sides of the box, the outline."""
    advance, *box, outline = row
    return GlyphShape(advance, tuple(box) if box else None, outline)


@lru_cache(maxsize=len(FILES))
def face(name: str) -> Face:
    """A face by its name: ``"regular"``, ``"bold"``, ``"italic"`` or ``"music"``."""
    return Face((FOLDER / FILES[name]).with_suffix(".json"))


@lru_cache(maxsize=8192)
def settable(text: str, name: str = "regular") -> str:
    """The text in characters that a face has: a letter stands without the marks that it lacks.

    >>> settable("Ƒado de Ǎveiro")
    '□ado de Aveiro'
    """
    has = face(name).characters
    kept = []
    for character in unicodedata.normalize("NFC", text):
        plain = unicodedata.normalize("NFKD", character)
        options = (character, plain, plain[:1])
        kept.append(next((o for o in options if all(c in has for c in o)), "□"))
    return "".join(kept)


def lacking(text: str, name: str = "regular") -> str:
    """The characters of a text for which an empty box stands, each once.

    >>> lacking("夜のバス 7")
    '夜のバス'
    """
    missing = (c for c in unicodedata.normalize("NFC", text) if settable(c, name) == "□" != c)
    return "".join(dict.fromkeys(missing))
