"""Blocks of words and drawings set one under another on as many pages as they need.

A block knows its height and draws itself at a place. A heading stays with the next block, so
none stands alone at the foot of a page. Other blocks that are kept together go on to the next
page together, unless too much of this one would stay empty.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from groove.handout.drawing.faces import settable
from groove.handout.drawing.page import POINT, Mark, Page, Paper, Text, fitted, text_width
from groove.wording import said

MARGIN = 17.0  # mm, as on the chart
BODY, HEADING, SUBHEADING, SMALL = 10.5, 17.0, 12.0, 9.5  # points
LEADING = 1.36  # line to line, of the type size
HEAD_SIZE, HEAD_ROOM, FOOT_ROOM = 9.5, 10.0, 6.0  # points; mm
FOOT = MARGIN + FOOT_ROOM  # mm under the last line of a page
FULL = 0.7  # of a page: blocks that are kept together leave no less of it filled
STRAY = 15.0  # mm: less than that of blocks that belong together never begins a page
ASCENT = 0.74  # of the type size, from the top of a line to its baseline

Run = tuple[str, str]  # text, face


@dataclass(frozen=True, slots=True)
class Block:
    """Something to set.

    height, gap: in mm, gap the space above it unless it begins a page. draw: its marks with its top
    left corner at (x, y). words: its text for a screen reader. keep: stays on one page with the
    next block. heads: is a heading, never the last on a page. legend: what explains its signs, for
    the end of a page on which it is the last.
    """

    height: float
    draw: Callable[[float, float], list[Mark]]
    words: str = ""
    gap: float = 0.0
    keep: bool = False
    heads: bool = False
    legend: Block | None = None

    @property
    def reserve(self) -> float:
        """The room of its legend, in mm."""
        return self.legend.gap + self.legend.height if self.legend else 0.0


def explained(blocks: Sequence[Block], *legend: Block) -> list[Block]:
    """Blocks under a heading with what explains their signs under the last of them, and on every
    page before under the last one there."""
    head = next((n for n, b in enumerate(blocks) if not (b.heads or b.keep)), 0)
    under = replace(stacked(legend), gap=legend[0].gap)
    *others, last = blocks
    shown = [
        replace(block, legend=under) if number >= head else block
        for number, block in enumerate(others)
    ]
    return [*shown, replace(stacked([last, *legend]), gap=last.gap)]


def paragraph(
    runs: Sequence[Run] | str,
    width: float,
    *,
    size: float = BODY,
    indent: float = 0.0,
    gap: float = 0.0,
    keep: bool = False,
    leading: float = LEADING,
) -> Block:
    """Words broken into lines of a width in mm; runs: stretches of one face each. leading: from
    line to line, of the size."""
    given = [(runs, "regular")] if isinstance(runs, str) else list(runs)
    lines = broken(given, width - indent, size)
    step = size * POINT * leading

    def draw(x: float, y: float) -> list[Mark]:
        marks: list[Mark] = []
        for number, line in enumerate(lines):
            at, baseline = x + indent, y + number * step + size * POINT * ASCENT
            for text, face in line:
                marks.append(Text(at, baseline, text.rstrip(), size, face))
                at += text_width(text, size, face)
        return marks

    words = "".join(text for text, _ in given)
    return Block(len(lines) * step, draw, words, gap, keep)


def broken(runs: Sequence[Run], width: float, size: float) -> list[list[Run]]:
    """The lines of some runs; a word longer than a line is cut with dots."""
    lines: list[list[Run]] = [[]]
    used = 0.0
    for text, face in runs:
        for piece in settable(text, face).split(" "):
            word = fitted(piece, width, size, face)
            wide = text_width(word, size, face)
            if lines[-1] and used + wide > width:
                lines.append([])
                used = 0.0
            if not word and not lines[-1]:
                continue
            lines[-1].append((f"{word} ", face))
            used += wide + text_width(" ", size, face)
    return [_joined(line) for line in lines if line]


def _joined(line: list[Run]) -> list[Run]:
    """Neighbours in one face as one run."""
    runs: list[Run] = []
    for text, face in line:
        if runs and runs[-1][1] == face:
            runs[-1] = (runs[-1][0] + text, face)
        else:
            runs.append((text, face))
    return runs


def heading(text: str, width: float) -> Block:
    """The heading of a part, in lines of a width in mm."""
    block = paragraph([(text, "bold")], width, size=HEADING, gap=9.0, keep=True)
    return replace(block, heads=True)


def subheading(text: str, width: float, *, gap: float = 4.5) -> Block:
    """The heading of a section of a part, in lines of a width in mm."""
    block = paragraph([(text, "bold")], width, size=SUBHEADING, gap=gap, keep=True)
    return replace(block, heads=True)


def beside(left: Block, right: Sequence[Block], column: float, *, gap: float) -> list[Block]:
    """A block at the left of the first of some others, which are moved right by a column in mm.

    If it is higher than the first of them, it goes on beside the next ones.
    """
    moved = [
        replace(block, draw=lambda x, y, block=block: block.draw(x + column, y))  # type: ignore[misc]
        for block in right
    ]
    first = moved[0]

    def draw(x: float, y: float) -> list[Mark]:
        return [*left.draw(x, y), *first.draw(x, y)]

    words = f"{left.words} {first.words}"
    short = max(left.height - sum(b.height + b.gap for b in moved[1:]) - first.height, 0.0)
    return [
        replace(first, draw=draw, words=words, gap=gap, keep=True, height=first.height + short),
        *moved[1:],
    ]


def stacked(blocks: Sequence[Block]) -> Block:
    """Blocks one under another as one that is not broken."""
    tops, height = [], 0.0
    for number, block in enumerate(blocks):
        height += block.gap if number else 0.0
        tops.append(height)
        height += block.height

    def draw(x: float, y: float) -> list[Mark]:
        placed = zip(blocks, tops, strict=True)
        return [mark for block, top in placed for mark in block.draw(x, y + top)]

    return Block(height, draw, " ".join(block.words for block in blocks if block.words))


def row(
    cells: Sequence[tuple[float, float, Callable[[float, float], Sequence[Mark]], str]],
    width: float,
    *,
    between: float = 6.0,
    gap: float = 3.0,
) -> list[Block]:
    """Drawings side by side in as many rows as they need: width, height, drawing, words each."""
    rows: list[list[tuple[float, float, Callable[[float, float], Sequence[Mark]], str]]] = [[]]
    used = 0.0
    for cell in cells:
        if rows[-1] and used + cell[0] > width + 1e-6:
            rows.append([])
            used = 0.0
        rows[-1].append(cell)
        used += cell[0] + between
    return [_row(line, between, gap) for line in rows if line]


def _row(
    line: Sequence[tuple[float, float, Callable[[float, float], Sequence[Mark]], str]],
    between: float,
    gap: float,
) -> Block:
    def draw(x: float, y: float) -> list[Mark]:
        marks: list[Mark] = []
        for wide, _, drawing, _ in line:
            marks += drawing(x, y)
            x += wide + between
        return marks

    words = "; ".join(said for *_, said in line if said)
    return Block(max(high for _, high, *_ in line), draw, words, gap)


def pages(
    blocks: Sequence[Block],
    paper: Paper,
    title: str,
    begun: tuple[float, Sequence[Mark], str] | None = None,
) -> list[Page]:
    """The blocks on pages, each with the title at its head; numbers come later.

    begun: a first page that has something on it already: where that ends in mm, its marks and
    words. It has no title at its head.
    """
    made = []
    for number, placed in enumerate(placed_on_pages(blocks, paper, begun and begun[0])):
        marks: list[Mark] = [_head(title, paper)]
        said: list[str] = []
        if begun and not number:
            marks, said = list(begun[1]), [begun[2]]
        for y, block in placed:
            marks += block.draw(MARGIN, y)
            said += [block.words] if block.words else []
        made.append(Page(paper, tuple(marks), title, "\n".join(said)))
    return made


def placed_on_pages(
    blocks: Sequence[Block], paper: Paper, begun: float | None = None
) -> list[list[tuple[float, Block]]]:
    """For each page its blocks and where they stand, in mm from the top.

    begun: where something ends that is on the first page already.
    """
    top, foot = MARGIN + HEAD_ROOM, paper.height - FOOT
    made: list[list[tuple[float, Block]]] = [[]]
    y = top if begun is None else begun
    fresh = begun is None
    for group in _kept_together(blocks):
        height = sum(b.height + b.gap for b in group) + group[-1].reserve
        breaks = -1  # the number of the block that begins the next page
        if not fresh and y + height > foot:
            breaks = _break(group, foot - y) if y < top + FULL * (foot - top) else 0
        for number, block in enumerate(group):
            full = not fresh and y + block.gap + block.height + block.reserve > foot
            if full or number == breaks:
                before = made[-1][-1][1] if made[-1] else None
                if before and before.legend:
                    made[-1].append((y + before.legend.gap, before.legend))
                made.append([])
                y, fresh = top, True
            y += 0.0 if fresh else block.gap
            made[-1].append((y, block))
            y += block.height
            fresh = False
    return made


def _break(group: Sequence[Block], room: float) -> int:
    """The number of blocks of a group that fit in a room in mm, 0 where none can be set alone."""
    rest = sum(block.height + block.gap for block in group)
    found, used = 0, 0.0
    for number, block in enumerate(group, 1):
        used += block.gap + block.height
        rest -= block.gap + block.height
        if used + block.reserve > room:
            break
        if not block.heads and rest >= STRAY:
            found = number
    return found


def _kept_together(blocks: Sequence[Block]) -> list[list[Block]]:
    """Each block with those before it that stay with it."""
    groups: list[list[Block]] = []
    open_group = False
    for block in blocks:
        if open_group:
            groups[-1].append(block)
        else:
            groups.append([block])
        open_group = block.keep
    return groups


def _head(title: str, paper: Paper) -> Text:
    shown = fitted(title, paper.width - 2 * MARGIN, HEAD_SIZE, "italic")
    return Text(MARGIN, MARGIN + 3.0, shown, HEAD_SIZE, "italic")


def numbered(sheets: Sequence[Page], foot: float) -> tuple[Page, ...]:
    """The pages with their numbers, foot mm above the lower edge."""
    found = []
    for number, page in enumerate(sheets, 1):
        y = page.paper.height - foot
        kept = tuple(m for m in page.marks if not (isinstance(m, Text) and abs(m.y - y) < 0.01))
        words = said("chart", "file.of", number=number, pages=len(sheets))
        title = said("chart", "file.page", title=page.title, number=number)
        mark = Text(page.paper.width / 2, y, words, 10.0, anchor="middle")
        found.append(replace(page, marks=(*kept, mark), title=title))
    return tuple(found)
