"""The scales of a sheet on the neck: drawn, as text and as data for JSON."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from groove.form.lesson_fields import BEGINNER
from groove.handout.drawing.flow import (
    BODY,
    LEADING,
    Block,
    broken,
    explained,
    heading,
    paragraph,
    row,
    stacked,
    subheading,
)
from groove.handout.drawing.fretboard import (
    CAP,
    LEGEND_LINE,
    draw_dot,
    draw_fretboard,
    fretboard_size,
)
from groove.handout.drawing.page import POINT, SMALLEST, Mark, Text, text_width
from groove.handout.sheet.fretboards import (
    BETWEEN,
    FRET_WIDTH,
    Cell,
    fitting_lines,
    widest_fret,
)
from groove.handout.sheet.neck_words import position_title
from groove.handout.sheet.sheet import Sheet
from groove.instrument.fretboard import Tuning
from groove.instrument.positions import Dot, Position, as_data
from groove.lesson.blocks import heading_of
from groove.lesson.form_scales import Choice
from groove.lesson.neck_scales import LOOKS, PASSING, ROOT, NeckScale, home_scale, neck_scales
from groove.theory.chords import Chord
from groove.theory.symbols import listed, noted, signs, symbol
from groove.wording import said

TITLE, OVER, BESIDE = 10.0, 9.0, 8.0  # points, points, mm
NARROW = 50.0  # mm: less room for words beside a diagram is none
AFTER_SIGN, APART = 1.2, 4.5  # mm: between a sign of a legend and its word, from one to the next

Entry = tuple[float, str, Callable[[float, float], list[Mark]]]
"""A sign of a legend: its width in mm, its meaning, and its marks round a middle."""

SAMPLES = {ROOT: "1", "chord": "5", "scale": "4", PASSING: "b5"}


@dataclass(frozen=True, slots=True)
class Neck:
    """A diagram: its position, the lines over it (text and face) and the look of its dots."""

    position: Position
    over: tuple[tuple[str, str], ...]
    look: Callable[[Dot], str]


def home_line(sheet: Sheet) -> str:
    """The key's home position with its fret in a sentence; empty without strings."""
    tuning = sheet.tuning
    if tuning is None:
        return ""
    title, home = home_scale(sheet.guide, tuning)
    root = next(dot for dot in home.dots if dot.role == "root")
    kind = "fretted"
    if home.frets[0] == 0:
        kind = "at_nut" if root.fret else "open_root"
    return said(
        "neck",
        f"home.{kind}",
        scale=title,
        fret=home.lowest,
        last=home.highest,
        root=noted(root.name),
        root_fret=root.fret,
        string=root.string,
    )


def scale_necks(sheet: Sheet, width: float) -> list[Block]:
    """Every scale in the home position, then those of the key in their other positions."""
    tuning = sheet.tuning
    if tuning is None:
        return []
    scales = neck_scales(sheet.guide, tuning)
    if len(scales) == 1 and not scales[0].five:
        return [heading(heading_of("necks"), width), *_alone(sheet, scales[0], width)]
    blocks = [
        heading(heading_of("necks"), width),
        subheading(home_title(scales), width, gap=1.5),
    ]
    blocks += _rows(sheet, [Neck(s.home, _over(s), s.look) for s in scales], width, gap=1.5)
    for shown in scales:
        others = [place for place in shown.five if place.number != 1]
        if sheet.learner == BEGINNER:
            others = []
        necks = [Neck(p, ((position_title(p), "bold"),), shown.look) for p in others]
        if necks:
            words = said("neck", "scales.five", scale=full_title(shown))
            blocks.append(subheading(words, width, gap=3.0))
            blocks += _rows(sheet, necks, width, gap=1.5)
    same = same_words(scales)
    looks = {s.look(dot) for s in scales for p in (s.home, *s.five) for dot in p.dots}
    end = [*([paragraph(same, width, size=OVER, gap=1.5)] if same else []), _legend(looks, width)]
    return explained(blocks, *end)


def scale_necks_data(sheet: Sheet) -> dict[str, Any] | None:
    """The same for JSON: the home position, and each scale with its positions."""
    tuning = sheet.tuning
    if tuning is None:
        return None
    title, home = home_scale(sheet.guide, tuning)
    return {
        "home": {"scale": title, "position": as_data(home), "words": home_line(sheet)},
        "scales": [_data(shown) for shown in neck_scales(sheet.guide, tuning)],
    }


def _data(shown: NeckScale) -> dict[str, Any]:
    return {
        "title": shown.choice.title,
        "root": str(shown.choice.root),
        "scale": shown.choice.scale,
        "with": shown.blues.scale if shown.blues else None,
        "over": str(shown.chord),
        "pass_through": [t.name for t in shown.material.tones if t.pitch_class in shown.passing],
        "same_notes": [{"title": c.title, "over": str(chord)} for c, chord in shown.also],
        "home": as_data(shown.home),
        "positions": [as_data(place) for place in shown.five],
    }


def home_title(scales: Sequence[NeckScale]) -> str:
    """``In the home position, at fret 5``."""
    home = scales[0].home
    if home.frets[0] == 0:
        return said("neck", "scales.home_at_nut")
    return said("neck", "scales.home", fret=home.fret)


def full_title(shown: NeckScale) -> str:
    """The name of a scale, with that of its blues scale."""
    return listed([c.title for c in (shown.choice, shown.blues) if c])


def same_words(scales: Sequence[NeckScale]) -> str:
    """The scales that have the notes of one that is drawn; empty where none has."""
    return " ".join(
        said("neck", "scales.same_title", scale=shown.choice.title, others=listed(
            [_scale_over(choice, chord) for choice, chord in shown.also]))
        for shown in scales
        if shown.also
    )  # fmt: skip


def _scale_over(choice: Choice, chord: Chord) -> str:
    return said("neck", "scales.same_over", scale=choice.title, chord=symbol(chord))


def over_lines(shown: NeckScale) -> list[str]:
    """The lines over a scale: its name, the blues scale that it shows too, and its chord."""
    lines = [shown.choice.title]
    if shown.blues:
        own = {name.pitch_class for name in shown.choice.notes}
        (degree,) = (t.degree for t in shown.material.tones if t.pitch_class not in own)
        lines.append(said("neck", "scales.blues", degree=signs(degree), scale=shown.blues.title))
    return [*lines, said("neck", "scales.over", chord=symbol(shown.chord))]


def _over(shown: NeckScale) -> tuple[tuple[str, str], ...]:
    """The same, each with its face."""
    first, *more = over_lines(shown)
    return ((first, "bold"), *((line, "italic") for line in more))


def _rows(sheet: Sheet, necks: Sequence[Neck], width: float, *, gap: float) -> list[Block]:
    """Diagrams side by side, their frets as wide as that allows, the lines over them aligned."""
    places = [neck.position for neck in necks]
    lines = fitting_lines(sheet, places, width)
    fret_width = min(FRET_WIDTH, *(widest_fret(sheet, places[line], width) for line in lines))
    blocks: list[Block] = []
    for line in lines:
        heads = [_head(sheet, neck, fret_width) for neck in necks[line]]
        high = max(map(len, heads))
        cells = [
            _cell(sheet, neck, head, high, fret_width)
            for neck, head in zip(necks[line], heads, strict=True)
        ]
        blocks += row(cells, width, between=BETWEEN, gap=gap)
        gap = 3.0
    return blocks


def _head(sheet: Sheet, neck: Neck, fret_width: float) -> list[tuple[str, str]]:
    """The lines over a diagram, broken to its width, each with its face."""
    assert sheet.tuning is not None  # or there would be no fretboards
    wide, _ = fretboard_size(sheet.tuning, neck.position, fret_width=fret_width)
    lines = []
    for text, face in neck.over:
        for runs in broken([(text, face)], wide, TITLE if face == "bold" else OVER):
            lines.append(("".join(piece for piece, _ in runs).rstrip(), face))
    return lines


def _cell(
    sheet: Sheet, neck: Neck, head: Sequence[tuple[str, str]], lines: int, fret_width: float
) -> Cell:
    tuning: Tuning | None = sheet.tuning
    assert tuning is not None  # or there would be no fretboards
    wide, high = fretboard_size(tuning, neck.position, fret_width=fret_width)
    step = TITLE * POINT * LEADING * 0.9
    above = lines * step + 1.0

    def draw(x: float, y: float) -> Sequence[Mark]:
        first = y + (lines - len(head)) * step + TITLE * POINT * 0.74
        marks: list[Mark] = [
            Text(x, first + at * step, text, TITLE if face == "bold" else OVER, face)
            for at, (text, face) in enumerate(head)
        ]
        marks += draw_fretboard(
            tuning, neck.position, x=x, y=y + above, label=sheet.label,
            left_handed=sheet.left_handed, fret_width=fret_width, look=neck.look,
        )  # fmt: skip
        return marks

    title = " ".join(text for text, _ in neck.over)
    first, last = neck.position.frets
    return wide, above + high, draw, f"{title}, {first}–{last}"


def _alone(sheet: Sheet, shown: NeckScale, width: float) -> list[Block]:
    """One scale alone, what it is and the meaning of the shapes beside it, in a narrow column over
    and under it."""
    neck = Neck(shown.home, (), shown.look)
    wide, high, drawn, _ = _cell(sheet, neck, (), 0, FRET_WIDTH)
    name, *more = over_lines(shown)
    looks = {shown.look(dot) for dot in shown.home.dots}
    narrow = width - wide - BESIDE < NARROW
    words = paragraph(
        [
            (f"{name}, ", "bold"),
            (f"{', '.join(more)}. ", "italic"),
            (home_title([shown]), "regular"),
        ],
        width if narrow else width - wide - BESIDE,
        size=OVER if narrow else BODY,
    )
    if narrow:
        under = _legend(looks, width)
        whole = stacked([words, Block(high, lambda x, y: list(drawn(x, y)), name, 1.0), under])
        return [replace(whole, gap=1.5)]
    legends = [replace(_legend({look}, width), gap=0.0) for look in LOOKS if look in looks]
    beside = stacked([words, *legends])
    cells: list[Cell] = [
        (wide, high, drawn, name),
        (width - wide - BESIDE, beside.height, beside.draw, beside.words),
    ]
    return row(cells, width, between=BESIDE, gap=1.5)


def _legend(looks: set[str], width: float) -> Block:
    """The meaning of the shapes, in as many lines as a width in mm asks for."""
    entries: list[Entry] = []
    for look in LOOKS:
        if look in looks:

            def draw(x: float, y: float, look: str = look) -> list[Mark]:
                return list(draw_dot(x, y, look, signs(SAMPLES[look])))

            entries.append((6.2, said("neck", f"legend.{look}"), draw))
    return legend(entries, width)


def legend(entries: Sequence[Entry], width: float) -> Block:
    """Signs with their meanings, in as many lines as a width in mm asks for."""
    placed: list[tuple[float, int, Entry]] = []
    at, line = 0.0, 0
    for entry in entries:
        wide, word, _ = entry
        needed = wide + AFTER_SIGN + text_width(word, SMALLEST)
        if at and at + needed > width:
            at, line = 0.0, line + 1
        placed.append((at, line, entry))
        at += needed + APART

    def draw(x: float, y: float) -> list[Mark]:
        marks: list[Mark] = []
        for at, line, (wide, word, sign) in placed:
            middle = y + (line + 0.5) * LEGEND_LINE
            marks += sign(x + at + wide / 2, middle)
            text = x + at + wide + AFTER_SIGN
            marks.append(Text(text, middle + CAP * SMALLEST * POINT, word, SMALLEST))
        return marks

    return Block((line + 1) * LEGEND_LINE, draw, gap=1.5)
