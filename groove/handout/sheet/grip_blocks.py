"""The chord grips of a sheet: drawn, as text and as data for JSON."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, replace
from typing import Any

from groove.handout.drawing.chord_symbol import chord_marks, chord_width
from groove.handout.drawing.flow import Block, explained, heading, paragraph, row
from groove.handout.drawing.fretboard import ascent_of
from groove.handout.drawing.grip import (
    NUMBER_WIDTH,
    RADIUS,
    barre_mark,
    draw_grip,
    draw_grip_dot,
    grip_size,
    small_cross,
)
from groove.handout.drawing.page import SMALLEST, Mark, Text, fitted
from groove.handout.sheet.fretboards import Cell
from groove.handout.sheet.phrase_text import fenced
from groove.handout.sheet.scale_necks import legend
from groove.handout.sheet.sheet import Sheet
from groove.handout.sheet.words import same_tones
from groove.instrument.fretboard import Tuning
from groove.instrument.grips.choose import chosen
from groove.instrument.grips.grip import ChordGrip
from groove.instrument.positions import Dot, as_data
from groove.lesson.blocks import heading_of
from groove.lesson.neck_scales import home_fret
from groove.theory.chords import Chord
from groove.theory.symbols import noted, signs, symbol
from groove.wording import said

MOST = 18  # grips on a sheet; a form of many chords has fewer of each
NAME_SIZE, NAME_HEIGHT, KIND_HEIGHT = 14.0, 5.6, 3.8  # points, mm, mm
BETWEEN = 2.0  # mm
SQUARES = 4.8  # mm, between the two squares of the legend


def sheet_grips(sheet: Sheet) -> list[tuple[Chord, tuple[ChordGrip, ...]]]:
    """Each chord of the form with its grips, those with the same tones over another bass once."""
    tuning = sheet.tuning
    if tuning is None:
        return []
    fret = home_fret(sheet.guide, tuning)
    chords = dict(zip(same_tones(sheet.guide.chords), sheet.guide.chords, strict=True)).values()
    found = [(c.chord, chosen(tuning, c.chord, sheet.learner, fret)) for c in chords]
    each = max(MOST // max(len(found), 1), 1)
    return [(chord, grips[:each]) for chord, grips in found if grips]


def grip_blocks(sheet: Sheet, width: float) -> list[Block]:
    """The grips side by side, chord by chord."""
    tuning = sheet.tuning
    found = sheet_grips(sheet)
    if tuning is None or not found:
        return []
    every = [grip for _, grips in found for grip in grips]
    kinds = any(map(kind_words, every))
    cells = [_cell(sheet, tuning, grip, kinds=kinds) for grip in every]
    blocks = [
        heading(heading_of("grips"), width),
        paragraph(said("neck", "grips.intro"), width, gap=1.0, keep=True),
        *row(cells, width, between=BETWEEN, gap=2.5),
    ]
    return explained(blocks, _legend(every, width))


def grips_text(sheet: Sheet) -> list[list[str]]:
    """The same as text: for each grip its frets, fingers and steps, string by string."""
    tuning = sheet.tuning
    found = sheet_grips(sheet)
    if tuning is None or not found:
        return []
    parts = [[f"## {heading_of('grips')}", "", said("neck", "grips.intro")]]
    labels = [said("neck", f"grips.{name}") for name in ("frets", "fingers", "steps")]
    names = [noted(name) for name in tuning.names]
    for chord, grips in found:
        lines: list[str] = []
        for grip in grips:
            on = {dot.string: dot for dot in grip.dots}
            dots = [on.get(string) for string in tuning.strings]
            texts = (
                [str(dot.fret) if dot else "x" for dot in dots],
                [str(dot.finger) if dot and dot.finger else "." for dot in dots],
                [signs(dot.degree) if dot else "." for dot in dots],
            )
            title = ", ".join(filter(None, [kind_words(grip), inside_words(grip)]))
            wide = max(map(len, labels)) + 2
            lines += [""] if lines else []
            lines += [title] if title else []
            rows = zip(["", *labels], [names, *texts], strict=True)
            lines += [
                label.ljust(wide) + " ".join(text.rjust(3) for text in row_).rstrip()
                for label, row_ in rows
            ]
        parts.append([f"{symbol(chord)}:", "", *fenced("\n".join(lines))])
    return parts


def grips_data(sheet: Sheet) -> list[dict[str, Any]] | None:
    """The same for JSON; None without strings."""
    if sheet.tuning is None:
        return None
    return [_data(grip) for _, grips in sheet_grips(sheet) for grip in grips]


def _data(grip: ChordGrip) -> dict[str, Any]:
    return {
        "chord": str(grip.chord),
        "kind": grip.kind,
        "dots": [as_data(dot) for dot in grip.dots],
        "muted": list(grip.muted),
        "barres": [asdict(barre) for barre in grip.barres],
        "double_stop": grip.inside
        and {"interval": grip.inside.interval, "strings": list(grip.inside.strings)},
    }


def kind_words(grip: ChordGrip) -> str:
    """``barre``, ``drop two``, ...; empty for a shape that was looked for."""
    return said("neck", f"grips.kinds.{grip.kind}")


def inside_words(grip: ChordGrip) -> str:
    """``sixth on strings 3 and 1``; empty where there is none."""
    if grip.inside is None:
        return ""
    interval = said("neck", f"intervals.{grip.inside.interval}")
    low, high = grip.inside.strings
    return said("neck", "grips.inside", interval=interval, low=low, high=high)


def _cell(sheet: Sheet, tuning: Tuning, grip: ChordGrip, *, kinds: bool) -> Cell:
    """A grip under the symbol of its chord. kinds: whether there is a line for the kind of grip."""
    wide, high = grip_size(tuning, grip)
    name, kind = symbol(grip.chord), kind_words(grip)
    room = wide - NUMBER_WIDTH + RADIUS
    large = chord_width(name, NAME_SIZE) <= room
    above, below = NAME_HEIGHT + kinds * KIND_HEIGHT, NAME_HEIGHT + ascent_of(SMALLEST) - 0.2

    def draw(x: float, y: float) -> Sequence[Mark]:
        at = x if sheet.left_handed else x + NUMBER_WIDTH - RADIUS
        marks: list[Mark] = [
            *(
                chord_marks(name, at, y + ascent_of(NAME_SIZE), NAME_SIZE)
                if large
                else [_small(str(name), at, y + ascent_of(NAME_SIZE), room)]
            ),
            *([Text(at, y + below, kind, SMALLEST, "italic")] if kind else []),
            *draw_grip(tuning, grip, x=x, y=y + above, left_handed=sheet.left_handed),
        ]
        return marks

    frets = " ".join(
        str(fret.fret) if (fret := _on(grip, string)) else "x" for string in tuning.strings
    )
    return wide, above + high, draw, f"{name} {kind}: {frets}"


def _small(name: str, x: float, y: float, room: float) -> Text:
    """A long symbol on one line."""
    return Text(x, y, fitted(name, room, SMALLEST, "bold"), SMALLEST, "bold")


def _on(grip: ChordGrip, string: int) -> Dot | None:
    return next((dot for dot in grip.dots if dot.string == string), None)


def _legend(grips: Sequence[ChordGrip], width: float) -> Block:
    """The meaning of the marks that some grips have."""
    dots = [dot for grip in grips for dot in grip.dots]
    pressed = next((dot for dot in dots if dot.fret), dots[0])

    roots_inside = any(
        dot.role == "root" and grip.inside and dot.string in grip.inside.strings
        for grip in grips
        for dot in grip.dots
    )
    apart = SQUARES / 2 if roots_inside else 0.0
    tenths = any(grip.inside and grip.inside.interval == "tenth" for grip in grips)

    def root(x: float, y: float) -> list[Mark]:
        square = replace(pressed, role="root")
        marks = list(draw_grip_dot(x - apart, y, square, filled=False))
        return marks + (list(draw_grip_dot(x + apart, y, square, filled=True)) if apart else [])

    def inside(x: float, y: float) -> list[Mark]:
        return list(draw_grip_dot(x, y, replace(pressed, role="other"), filled=True))

    def barre(x: float, y: float) -> list[Mark]:
        return [barre_mark(x - 1.2, x + 1.2, y)]

    def open_(x: float, y: float) -> list[Mark]:
        return list(draw_grip_dot(x, y, replace(pressed, role="other", fret=0), filled=False))

    signs_: list[tuple[bool, str, float, Callable[[float, float], list[Mark]]]] = [
        (True, "root", 4.6 + 2 * apart, root),
        (any(grip.inside for grip in grips), "tenth" if tenths else "inside", 4.6, inside),
        (any(grip.barres for grip in grips), "barre", 8.0, barre),
        (any(not dot.fret for dot in dots), "open", 3.6, open_),
        (any(grip.muted for grip in grips), "muted", 3.6, small_cross),
    ]
    return legend(
        [
            (wide, said("neck", f"grips.legend_{n}"), draw)
            for there, n, wide, draw in signs_
            if there
        ],
        width,
    )
