"""Writes a lesson sheet into files."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from groove.form.lesson_fields import LessonFields
from groove.handout import SHEETS
from groove.handout.drawing.page import Page, Paper
from groove.handout.output import Handout, write_handout
from groove.handout.sheet.sheet import Sheet
from groove.lesson.voice import voice_of
from groove.wording import said, worded


def write_sheet_files(
    sheet: Sheet,
    names: Sequence[str | Path],
    *,
    paper: str = "a4",
    say: Callable[[str], None] = lambda line: None,
) -> list[Path]:
    """Write a sheet into files with endings of SHEETS, as write_handout does.

    Returns the paths written.
    """

    def pages(paper: Paper) -> tuple[Page, ...]:
        from groove.handout.sheet.pages import sheet_pages

        return sheet_pages(sheet, paper)

    def markdown() -> bytes:
        from groove.handout.sheet.markdown import sheet_markdown

        return sheet_markdown(sheet).encode()

    def data() -> bytes:
        from groove.handout.sheet.data import sheet_json

        return sheet_json(sheet).encode()

    def score() -> bytes:
        from groove.handout.sheet.lines.line_score import lines_musicxml

        return lines_musicxml(sheet)

    def midi() -> bytes:
        from groove.handout.sheet.lines.line_midi import lines_midi

        return lines_midi(sheet)

    form = sheet.guide.form
    sections = [section.name for section in form.sections]
    sections += [line.name for line in form.order]
    others = {".md": markdown, ".json": data, ".musicxml": score, ".mid": midi}
    with worded(form.lesson.words):
        title = said("sheet", "file.sheet", title=sheet.title)
        handout = Handout(
            "sheet", SHEETS, sheet.title, title, sections, pages, others, _by_teacher(form.lesson)
        )
        say_left_out(sheet, say)
        return write_handout(handout, names, paper, say)


def say_left_out(sheet: Sheet, say: Callable[[str], None]) -> None:
    """Call `say` with the parts that the form names and the sheet has nothing of."""
    empty = left_out(sheet)
    if empty:
        say(f"note: blocks: there is nothing for {', '.join(empty)} on this sheet")


def left_out(sheet: Sheet) -> list[str]:
    """The parts that the form names and the sheet has nothing of, as voicings for a guitar."""
    from groove.handout.sheet.markdown import PARTS

    return [name for name in sheet.guide.form.lesson.blocks if not PARTS[name](sheet)]


def _by_teacher(lesson: LessonFields) -> list[str]:
    """The teacher's own words, for the note on characters that can't be printed."""
    return [*voice_of(lesson).texts, *(remark.words for remark in lesson.remarks if remark.place)]
