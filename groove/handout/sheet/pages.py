"""The lesson sheet on paper: its parts in turn, a chart at the head of the page that it begins."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from groove.form.lesson_fields import BEGINNER
from groove.handout.chart.pages import FOOT
from groove.handout.chart.pages import MARGIN as CHART_MARGIN
from groove.handout.drawing.flow import (
    BODY,
    FULL,
    MARGIN,
    SMALL,
    Block,
    heading,
    numbered,
    pages,
    paragraph,
    placed_on_pages,
    stacked,
    subheading,
)
from groove.handout.drawing.flow import FOOT as PAGE_FOOT
from groove.handout.drawing.page import SMALLEST, Page, Paper
from groove.handout.sheet.along_blocks import along_blocks
from groove.handout.sheet.first_page import (
    AFTER_CHART,
    ESSENTIALS,
    FirstPage,
    essential,
    first_page,
)
from groove.handout.sheet.fretboards import (
    chord_diagrams,
    in_five_positions,
    stops,
)
from groove.handout.sheet.grip_blocks import grip_blocks
from groove.handout.sheet.guide_blocks import (
    change_blocks,
    chord_blocks,
    key_blocks,
    section_blocks,
)
from groove.handout.sheet.keyboards import chord_keyboards, scale_keyboards
from groove.handout.sheet.lines.line_blocks import (
    answer_blocks,
    bass_blocks,
    guide_tone_blocks,
    lick_blocks,
    solo_blocks,
    teacher_phrase_blocks,
)
from groove.handout.sheet.phrase_blocks import phrase_blocks
from groove.handout.sheet.plan_blocks import GAP, LEADING
from groove.handout.sheet.remark_blocks import begun as titled
from groove.handout.sheet.remark_blocks import invite_blocks, title_block, with_remarks
from groove.handout.sheet.scale_necks import scale_necks
from groove.handout.sheet.sheet import Sheet
from groove.handout.sheet.two_pages import (
    BOX,
    lick_column,
    on_fewest_pages,
    side_by_side,
    two_pages,
    with_small_heading,
)
from groove.lesson.blocks import heading_of
from groove.wording import said

GAPS = (1.0, 0.9, 0.8, 0.7)  # of the gaps, so that pages are well filled
NEARLY = 0.01  # of a page: the last line's ink ends so much higher than its block

Drawn = Callable[[Sheet, float], list[Block]]


def _cautions(sheet: Sheet, width: float) -> list[Block]:
    words = sheet.guide.cautions
    if _is_short(sheet):
        title = subheading(heading_of("cautions"), width)
        said = [paragraph(" ".join(words), width, size=SMALLEST, leading=LEADING)]
    else:
        title = heading(heading_of("cautions"), width)
        said = [paragraph(each, width, size=SMALL, gap=1.0) for each in words]
    return [replace(stacked([title, *said]), gap=title.gap)]


PARTS: dict[str, Drawn] = {
    **{name: essential(name) for name in ESSENTIALS},
    "keys": key_blocks,
    "sections": section_blocks,
    "necks": lambda sheet, width: [*scale_necks(sheet, width), *scale_keyboards(sheet, width)],
    "chords": chord_blocks,
    "arpeggios": chord_diagrams,
    "grips": grip_blocks,
    "voicings": chord_keyboards,
    "changes": change_blocks,
    "stops": lambda sheet, width: [*stops(sheet, width), *along_blocks(sheet, width)],
    "licks": lick_blocks,
    "solo": solo_blocks,
    "answers": answer_blocks,
    "bass": bass_blocks,
    "lines": guide_tone_blocks,
    "phrases": lambda sheet, w: [*phrase_blocks(sheet, w), *teacher_phrase_blocks(sheet, w)],
    "positions": in_five_positions,
    "cautions": _cautions,
}
"""The functions that draw each part but the chart, in a width in mm; no blocks where a sheet has
nothing of it. A beginner's sheet (``sheet.learner``) has the smallest form of each."""


def sheet_pages(sheet: Sheet, paper: Paper) -> tuple[Page, ...]:
    """The pages of a sheet, numbered from the first on."""
    made: list[Page] = []
    if _is_short(sheet):
        made = _beginners(sheet, paper)
    stretches = [] if made else _stretches(sheet.blocks)
    for number, names in enumerate(stretches, 1):
        made += _pages(sheet, names, paper, not made, number == len(stretches))
    title = said("sheet", "file.sheet", title=sheet.title)
    return numbered([replace(page, title=title) for page in made], CHART_MARGIN - FOOT)


def _is_short(sheet: Sheet) -> bool:
    """True if it is a beginner's usual sheet, which stands on two pages."""
    named = sheet.guide.form.lesson.blocks
    return sheet.learner == BEGINNER and not named and sheet.blocks[0] == "chart"


def _beginners(sheet: Sheet, paper: Paper) -> list[Page]:
    """The pages of a beginner's sheet: two, and after them those of the phrases."""
    width = paper.width - 2 * MARGIN
    blocks, led = _small(sheet, width)
    phrases = PARTS["phrases"](sheet, width) if "phrases" in sheet.blocks else []
    phrases = with_remarks(sheet, "phrases", phrases, width, BODY)
    invite = invite_blocks(sheet, width)
    if not phrases:
        return two_pages(sheet, _closed(blocks, invite), paper, led)
    phrases = with_small_heading(heading_of("phrases"), phrases, width)
    phrases = on_fewest_pages(_closed(phrases, invite), paper)
    return [*two_pages(sheet, blocks, paper, led), *pages(phrases, paper, sheet.title)]


def _small(sheet: Sheet, width: float) -> tuple[list[Block], int]:
    """The blocks of a beginner's sheet between the chart and the phrases, and the number of those
    that are best on the chart's page: up to the home position and the lick."""
    blocks = with_remarks(sheet, "chart", (), width, BODY)
    names, led = [name for name in sheet.blocks if name != "phrases"], 0
    while names:
        name = names.pop(0)
        beside = sheet.tuning and name == "necks" and names[:1] == ["licks"]
        made = _part(sheet, name, BOX if beside else width)
        if beside and made:
            lick = _part(sheet, names.pop(0), lick_column(width))
            made = [side_by_side(made, lick, width)] if lick else made
            led = len(blocks) + 1
        if blocks and made and not made[0].gap:
            made[0] = replace(made[0], gap=GAP)  # words without a heading after the teacher's
        blocks += made
    return blocks, led


def _part(sheet: Sheet, name: str, width: float) -> list[Block]:
    """A part of a beginner's sheet with the teacher's remarks on it, under a small heading."""
    if name in ESSENTIALS:
        made = ESSENTIALS[name](sheet, width, SMALLEST)
    else:
        made = PARTS[name](sheet, width) if name in PARTS else []
    made = with_small_heading(heading_of(name), made, width)
    return with_remarks(sheet, name, made, width, SMALLEST)


def _stretches(names: Sequence[str]) -> list[list[str]]:
    """The parts before the chart, and the chart with those after it."""
    at = names.index("chart") if "chart" in names else 0
    return [list(part) for part in (names[:at], names[at:]) if part]


def _pages(
    sheet: Sheet, names: Sequence[str], paper: Paper, begins: bool, ends: bool
) -> list[Page]:
    """Some parts on pages of their own. begins, ends: whether they are the first and the last."""
    width = paper.width - 2 * MARGIN
    first = FirstPage((), None, ())
    if names[0] == "chart":
        others = names[1:]
        led = next((n for n, name in enumerate(others) if name not in ESSENTIALS), len(others))
        first, names = first_page(sheet, paper, width, others[:led]), others[led:]
    blocks = [*first.essentials]
    for name in names:
        if name in PARTS:
            blocks += with_remarks(sheet, name, PARTS[name](sheet, width), width, BODY)
    blocks = _closed(blocks, invite_blocks(sheet, width)) if ends else blocks
    above, begun = first.above, None
    if above:
        begun = above.end + AFTER_CHART, above.marks, above.words
    elif begins and not first.alone:
        begun = titled(title_block(sheet, width))
    if names:
        blocks = _well_filled(blocks, paper, begun and begun[0], names[-1] == "cautions")
    alone = list(first.alone)
    return [*alone, *pages(blocks, paper, sheet.title, begun)] if blocks or begun else alone


def _closed(blocks: Sequence[Block], invite: Sequence[Block]) -> list[Block]:
    """The blocks with the last line to the student in the last of them."""
    if not blocks or not invite:
        return [*blocks, *invite]
    *others, last = blocks
    return [*others, replace(stacked([last, *invite]), gap=last.gap)]


def _well_filled(
    blocks: Sequence[Block], paper: Paper, begun: float | None, ends_alone: bool
) -> list[Block]:
    """The blocks on pages that are well filled: gaps give way a little where a page would stay
    empty below, and the last block brings the one before it along where it would have a page of its
    own. ends_alone: whether that is the cautions."""
    tried: list[tuple[bool, int, int, list[Block]]] = []
    for gaps in GAPS if len(blocks) > 1 else ():
        *others, before, last = (replace(block, gap=gaps * block.gap) for block in blocks)
        ends = [[before, last]]
        if ends_alone:
            whole = replace(stacked([before, last]), gap=before.gap)
            ends += [[replace(before, keep=True), last], [whole]]
        for end in ends:
            made = [*others, *end]
            placed = placed_on_pages(made, paper, begun)
            stray = ends_alone and len(placed[-1]) == 1 and end[-1] is last
            empty = sum(not _is_full(page, paper) for page in placed[:-1])
            if not stray and not empty:
                return made
            tried.append((stray, empty, len(tried), made))
    return min(tried)[-1] if tried else list(blocks)


def _is_full(page: Sequence[tuple[float, Block]], paper: Paper) -> bool:
    """True if the blocks of a page reach down far enough."""
    if not page:
        return True
    y, block = page[-1]
    return y + block.height - MARGIN > (FULL + NEARLY) * (paper.height - MARGIN - PAGE_FOOT)
