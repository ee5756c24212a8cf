"""Make the fonts of the handouts: subsets of two open fonts, renamed, and their glyphs as JSON.

``python tests/bench/handout_fonts.py FOLDER`` reads, from FOLDER, the unpacked npm packages
``@fontsource/source-serif-4`` (as ``text/``) and ``@vexflow-fonts/bravura`` (as ``music/``) and
writes ``groove/handout/drawing/fonts/*.ttf``. Needs fonttools with brotli and skia-pathops. Both
fonts are under the SIL Open Font License; their reserved names stay with the originals.

Then, and without FOLDER from the fonts that are there, it writes ``*.json`` beside each: a line
for each character, with its advance, the sides of its box (left, bottom, right, top) and its
outline as SVG path data, in font units, y upwards.
"""

from __future__ import annotations

import json
import sys
from itertools import pairwise
from pathlib import Path

from fontTools.fontBuilder import FontBuilder
from fontTools.misc.transform import Transform
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

OUT = Path(__file__).parents[2] / "groove" / "handout" / "drawing" / "fonts"
EM = 1000
MADE = 3_850_070_400  # the start of 2026 in seconds since 1904; the same files each time
FACES = {"regular": "400-normal", "bold": "600-normal", "italic": "400-italic"}
SUBSETS = ("latin", "latin-ext", "greek", "cyrillic")
TEXT = [
    *range(0x20, 0x7F), *range(0xA0, 0x180), *range(0x386, 0x3CF), *range(0x400, 0x460),
    0x2010, 0x2011, 0x2013, 0x2014, 0x2018, 0x2019, 0x201A, 0x201C, 0x201D, 0x201E, 0x2022,
    0x2026, 0x2032, 0x20AC, 0x2212,
]  # fmt: skip
# Signs of music in the text faces: code point there, glyph of the music font, foot and height.
SIGNS = {0x266D: (0xE260, -15, 735), 0x266E: (0xE261, -85, 840), 0x266F: (0xE262, -85, 840)}
SIGN_BEARING = 36
MUSIC = [
    0xE044, 0xE047, 0xE048, 0xE050, 0xE062, 0xE06D, *range(0xE080, 0xE08A), 0xE08C, 0xE0A2, 0xE0A3,
    0xE0A4, 0xE101, 0xE102, 0xE103, 0xE1D5, 0xE1E7, *range(0xE240, 0xE244), *range(0xE260, 0xE265),
    0xE4A0, 0xE4C0, 0xE4E5, 0xE4E6, 0xE4E7, 0xE4F4, 0xE4F5, 0xE500, 0xE520, 0xE522,
    *range(0xE52A, 0xE52E), 0xE52F, 0xE530, 0xECA3, 0xECA5, 0xECA7, 0xECB7,
]  # fmt: skip


def copied(font: TTFont, code: int, move: Transform | None = None) -> tuple[object, int]:
    """A glyph of a font as one outline without references, moved, and its advance width."""
    glyphs, name = font.getGlyphSet(), font.getBestCmap()[code]
    outline = DecomposingRecordingPen(glyphs)
    glyphs[name].draw(outline)
    pen = TTGlyphPen(None)
    outline.replay(TransformPen(pen, move or Transform()))
    return pen.glyph(), glyphs[name].width


def sign(font: TTFont, code: int, foot: float, height: float) -> tuple[object, int]:
    """A sign of the music font, set to stand ``height`` tall with its foot at ``foot``."""
    glyphs = font.getGlyphSet()
    bounds = BoundsPen(glyphs)
    glyphs[font.getBestCmap()[code]].draw(bounds)
    left, bottom, right, top = bounds.bounds
    scale = height / (top - bottom)
    move = Transform(scale, 0, 0, scale, SIGN_BEARING - left * scale, foot - bottom * scale)
    glyph, _ = copied(font, code, move)
    return glyph, round((right - left) * scale) + 2 * SIGN_BEARING


def arrow() -> tuple[object, int]:
    """An arrow to the right, which the text font lacks."""
    pen = TTGlyphPen(None)
    for points in (
        ((60, 305), (60, 365), (700, 365), (700, 305)),
        ((600, 170), (600, 500), (860, 335)),
    ):
        pen.moveTo(points[0])
        for point in points[1:]:
            pen.lineTo(point)
        pen.closePath()
    return pen.glyph(), 920


def missing() -> tuple[object, int]:
    """The empty box that stands for a character that a face lacks."""
    pen = TTGlyphPen(None)
    for points in (
        ((60, 0), (60, 660), (480, 660), (480, 0)),
        ((110, 50), (430, 50), (430, 610), (110, 610)),
    ):
        pen.moveTo(points[0])
        for point in points[1:]:
            pen.lineTo(point)
        pen.closePath()
    return pen.glyph(), 540


def save(
    family: str, style: str, glyphs: dict[int, tuple[object, int]], source: TTFont, path: Path,
    notice: str,
) -> None:  # fmt: skip
    """Write a face with the tables that a PDF needs, and no more."""
    from fontTools.ttLib.removeOverlaps import removeOverlaps  # needs skia-pathops

    builder = FontBuilder(EM, isTTF=True)
    names = [".notdef", *(f"u{code:04X}" for code in sorted(glyphs))]
    builder.setupGlyphOrder(names)
    builder.setupCharacterMap({code: f"u{code:04X}" for code in glyphs})
    drawn = {".notdef": missing()} | {f"u{code:04X}": glyphs[code] for code in glyphs}
    builder.setupGlyf({name: glyph for name, (glyph, _) in drawn.items()})
    table = builder.font["glyf"]
    builder.setupHorizontalMetrics(
        {name: (width, getattr(table[name], "xMin", 0)) for name, (_, width) in drawn.items()}
    )
    head = source["hhea"]
    builder.setupHorizontalHeader(ascent=head.ascent, descent=head.descent)
    builder.setupNameTable(
        {
            "copyright": notice,
            "familyName": family,
            "styleName": style,
            "uniqueFontIdentifier": f"{family} {style} 1",
            "fullName": f"{family} {style}",
            "psName": f"{family} {style}".replace(" ", "-"),
            "version": "Version 1.000",
            "licenseDescription": "SIL Open Font License, Version 1.1",
        },
        mac=False,
    )
    builder.setupOS2(
        sTypoAscender=head.ascent, sTypoDescender=head.descent, sCapHeight=670, sxHeight=475,
        usWeightClass=600 if style == "Bold" else 400,
    )  # fmt: skip
    builder.setupPost(keepGlyphNames=False, italicAngle=-11 if style == "Italic" else 0)
    removeOverlaps(builder.font)  # two outlines over one another have too dark an edge on a screen
    builder.font["head"].created = builder.font["head"].modified = MADE
    builder.font.recalcTimestamp = False
    builder.save(path)
    print(path.name, len(glyphs), "glyphs", path.stat().st_size, "bytes")


def glyph_data(path: Path) -> str:
    """The glyphs of one of our fonts as JSON."""
    font = TTFont(path)

    def row(name: str) -> str:
        glyph = font["glyf"][name]
        box = (glyph.xMin, glyph.yMin, glyph.xMax, glyph.yMax) if glyph.numberOfContours else ()
        values = [font["hmtx"][name][0], *box, outline(font, name)]
        return json.dumps(values, separators=(",", ":"))

    head = font["hhea"]
    rows = [
        f"{json.dumps(chr(c), ensure_ascii=False)}:{row(n)}"
        for c, n in sorted(font.getBestCmap().items())
    ]
    return (
        f'{{"em":{font["head"].unitsPerEm},"ascent":{head.ascent},"descent":{head.descent},\n'
        f'"missing":{row(".notdef")},\n"glyphs":{{\n' + ",\n".join(rows) + "\n}}\n"
    )


def outline(font: TTFont, name: str) -> str:
    """A glyph as SVG path data."""
    points, ends, flags = font["glyf"][name].getCoordinates(font["glyf"])
    curves = [(x, y, bool(on & 1)) for (x, y), on in zip(points, flags, strict=True)]
    edges = [0, *(end + 1 for end in ends)]
    return "".join(contour(curves[a:b]) for a, b in pairwise(edges))


def contour(given: list[tuple[float, float, bool]]) -> str:
    """A closed curve of points (x, y, on the curve) as SVG path data.

    Between two points off the curve lies one on it, as TrueType has it.
    """
    points: list[tuple[float, float, bool]] = []
    for number, (x, y, on) in enumerate(given):
        before = given[number - 1]
        if not on and not before[2]:
            points.append(((before[0] + x) / 2, (before[1] + y) / 2, True))
        points.append((x, y, on))
    first = next(number for number, point in enumerate(points) if point[2])
    points = points[first:] + points[: first + 1]
    left, foot, _ = points[0]
    path = [f"M{pair(left, foot)}"]
    pairs: list[str] = []
    for right, top, on in points[1:]:  # counted from the last point on the curve: short numbers
        pairs.append(pair(right - left, top - foot))
        if on:
            path.append(("l" if len(pairs) == 1 else "q") + " ".join(pairs).replace(" -", "-"))
            pairs, left, foot = [], right, top
    return "".join(path) + "z"


def pair(x: float, y: float) -> str:
    return f"{x:g} {y:g}".replace(" -", "-")


def make_fonts(folder: Path) -> None:
    """Write the fonts from the packages in a folder."""
    music = TTFont(next(folder.glob("music/package/bravura.woff2")))
    for style, name in FACES.items():
        fonts = [
            TTFont(next(folder.glob(f"text/package/files/source-serif-4-{subset}-{name}.woff2")))
            for subset in SUBSETS
        ]
        glyphs = {}
        for code in TEXT:
            if style == "italic" and 0x180 <= code < 0x2000:
                continue  # titles alone need other alphabets, and they stand upright
            home = next((font for font in fonts if code in font.getBestCmap()), None)
            if home:
                glyphs[code] = copied(home, code)
        glyphs |= {code: sign(music, *how) for code, how in SIGNS.items()}
        glyphs[0x2192] = arrow()
        notice = "Made from fonts that are (c) 2014-2021 Adobe and (c) 2019 Steinberg"
        save(
            "Handout Text", style.capitalize(), glyphs, fonts[0], OUT / f"text-{style}.ttf", notice
        )
    glyphs = {code: copied(music, code) for code in MUSIC}
    notice = "Made from a font that is (c) 2019 Steinberg Media Technologies GmbH"
    save("Handout Music", "Regular", glyphs, music, OUT / "music.ttf", notice)


def main() -> None:
    if len(sys.argv) > 1:
        make_fonts(Path(sys.argv[1]))
    for path in sorted(OUT.glob("*.ttf")):
        path.with_suffix(".json").write_text(glyph_data(path), "utf-8")


if __name__ == "__main__":
    main()
