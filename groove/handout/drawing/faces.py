"""The faces of the handouts: widths, extents and outlines of their glyphs.

Three cuts of one text face, which hold the signs of music (♭ ♮ ♯) as plain characters, and one
music face. They are TrueType files beside this module, reduced to what handouts need; their
licences (SIL Open Font License 1.1) lie with them. The reader below takes just the tables that
these files have, as the OpenType specification (ISO/IEC 14496-22) lays them out: simple
outlines, a character map of format 4.
"""

from __future__ import annotations

import struct
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, pairwise
from pathlib import Path

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
    "treble clef": 0xE050,
    "bass clef": 0xE062,
    "tab clef": 0xE06D,
    "whole notehead": 0xE0A2,
    "half notehead": 0xE0A3,
    "black notehead": 0xE0A4,
    "slash": 0xE101,
    "quarter note": 0xE1D5,
    "dot": 0xE1E7,
    "flat": 0xE260,
    "natural": 0xE261,
    "sharp": 0xE262,
    "double sharp": 0xE263,
    "double flat": 0xE264,
    "fermata": 0xE4C0,
    "repeat bar": 0xE500,
    "tempo half": 0xECA3,
    "tempo quarter": 0xECA5,
    "tempo dot": 0xECB7,
} | {f"time {digit}": 0xE080 + digit for digit in range(10)}

Contour = tuple[tuple[int, int, bool], ...]


@dataclass(frozen=True, slots=True)
class GlyphShape:
    """One glyph in font units, y upwards.

    advance: how far the next glyph stands. box: left, bottom, right and top of what is inked,
    None for a space. contours: closed curves of points (x, y, on the curve); between two points
    off the curve lies one on it, as TrueType has it.
    """

    advance: int
    box: tuple[int, int, int, int] | None
    contours: tuple[Contour, ...]


class Face:
    """A face: its glyphs by character. ``em``, ``ascent``, ``descent`` are in font units."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._data = path.read_bytes()
        count = struct.unpack_from(">H", self._data, 4)[0]
        self._tables: dict[str, int] = {}
        for index in range(count):
            tag, _, offset, _ = struct.unpack_from(">4sLLL", self._data, 12 + 16 * index)
            self._tables[tag.decode("ascii")] = offset
        self.em: int = struct.unpack_from(">H", self._data, self._tables["head"] + 18)[0]
        self._long = struct.unpack_from(">h", self._data, self._tables["head"] + 50)[0]
        self.ascent: int
        self.descent: int
        self.ascent, self.descent = struct.unpack_from(">hh", self._data, self._tables["hhea"] + 4)
        self._metrics: int = struct.unpack_from(">H", self._data, self._tables["hhea"] + 34)[0]
        self.characters = self._character_map()
        self._shapes: dict[int, GlyphShape] = {}

    def glyph(self, character: str) -> GlyphShape:
        """The glyph of a character; an empty box stands for one that the face lacks."""
        index = self.characters.get(ord(character), 0)
        if index not in self._shapes:
            self._shapes[index] = self._read(index)
        return self._shapes[index]

    def _character_map(self) -> dict[int, int]:
        start = self._tables["cmap"]
        offset = start + struct.unpack_from(">L", self._data, start + 8)[0]
        segments = struct.unpack_from(">H", self._data, offset + 6)[0] // 2
        columns = []
        for column in range(4):  # ends, starts, deltas, offsets; a pad stands after the ends
            place = offset + 14 + 2 * segments * column + (2 if column else 0)
            columns.append(struct.unpack_from(f">{segments}H", self._data, place))
        found = {}
        offsets_at = offset + 16 + 6 * segments
        for number, (end, first, delta, shift) in enumerate(zip(*columns, strict=True)):
            for code in range(first, min(end, 0xFFFE) + 1):
                glyph = code
                if shift:
                    place = offsets_at + 2 * number + shift + 2 * (code - first)
                    glyph = struct.unpack_from(">H", self._data, place)[0]
                found[code] = (glyph + delta) & 0xFFFF
        return found

    def _read(self, index: int) -> GlyphShape:
        metric = self._tables["hmtx"] + 4 * min(index, self._metrics - 1)
        advance: int = struct.unpack_from(">H", self._data, metric)[0]
        if self._long:
            start, end = struct.unpack_from(">LL", self._data, self._tables["loca"] + 4 * index)
        else:
            start, end = struct.unpack_from(">HH", self._data, self._tables["loca"] + 2 * index)
            start, end = 2 * start, 2 * end
        if start == end:
            return GlyphShape(advance, None, ())
        place = self._tables["glyf"] + start
        count, *box = struct.unpack_from(">hhhhh", self._data, place)
        return GlyphShape(advance, (box[0], box[1], box[2], box[3]), self._contours(place, count))

    def _contours(self, place: int, count: int) -> tuple[Contour, ...]:
        ends = struct.unpack_from(f">{count}H", self._data, place + 10)
        place += 10 + 2 * count
        place += 2 + struct.unpack_from(">H", self._data, place)[0]
        flags: list[int] = []
        while len(flags) <= ends[-1]:
            flag, place = self._data[place], place + 1
            flags.append(flag)
            if flag & 8:
                flags += [flag] * self._data[place]
                place += 1
        columns = []
        for short, same in ((2, 16), (4, 32)):
            steps = []
            for flag in flags:
                step = 0
                if flag & short:
                    step = self._data[place] if flag & same else -self._data[place]
                    place += 1
                elif not flag & same:
                    step = struct.unpack_from(">h", self._data, place)[0]
                    place += 2
                steps.append(step)
            columns.append(list(accumulate(steps)))
        points = [(x, y, bool(f & 1)) for x, y, f in zip(*columns, flags, strict=True)]
        edges = [0, *(end + 1 for end in ends)]
        return tuple(tuple(points[a:b]) for a, b in pairwise(edges))


@lru_cache(maxsize=len(FILES))
def face(name: str) -> Face:
    """A face by its name: ``"regular"``, ``"bold"``, ``"italic"`` or ``"music"``."""
    return Face(FOLDER / FILES[name])


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
        kept.append(next((o for o in options if all(ord(c) in has for c in o)), "□"))
    return "".join(kept)


def lacking(text: str, name: str = "regular") -> str:
    """The characters of a text for which an empty box stands, each once.

    >>> lacking("夜のバス 7")
    '夜のバス'
    """
    missing = (c for c in unicodedata.normalize("NFC", text) if settable(c, name) == "□" != c)
    return "".join(dict.fromkeys(missing))
