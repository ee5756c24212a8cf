"""The teacher's own words as drawn and as HTML; nothing where there are none."""

from __future__ import annotations

from html import escape

from groove.form.lesson_fields import LessonFields
from groove.handout.drawing.faces import settable
from groove.handout.drawing.flow import Block, paragraph
from groove.handout.drawing.page import Mark, Text, fitted, text_width
from groove.lesson.blocks import heading_of
from groove.lesson.voice import TeacherVoice
from groove.wording import said

SIZE, BETWEEN = 11.0, 1.4  # points; mm between two paragraphs
FACE = "italic"
DOT = " · "


def byline_rows(
    voice: TeacherVoice, width: float, size: float = SIZE
) -> list[list[tuple[str, str]]]:
    """Name and address on one line of a width in mm, on two where one is too short: rows of texts,
    each with its link or an empty one. size: in points."""
    name, address = (settable(text, FACE) for text in (voice.byline, voice.shown))
    parts = [(name, ""), (address, voice.link)]
    row = [(text, link) for text, link in parts if text]
    if len(row) == 2 and text_width(f"{name}{DOT}{address}", size, FACE) <= width:
        return [[parts[0], (DOT, ""), parts[1]]]
    return [[(fitted(text, width, size, FACE), link)] for text, link in row]


def byline_marks(
    row: list[tuple[str, str]], x: float, baseline: float, size: float = SIZE
) -> list[Mark]:
    """A row of byline_rows from x on, in mm."""
    marks: list[Mark] = []
    for text, link in row:
        marks.append(Text(x, baseline, text, size, FACE, link=link))
        x += text_width(text, size, FACE)
    return marks


def closing_blocks(
    voice: TeacherVoice, width: float, *, remarks: bool = True, size: float = SIZE
) -> list[Block]:
    """The remarks, if they are asked for, and the last line to the student."""
    told = voice.remarks if remarks else ()
    blocks = [paragraph(words, width, size=size, gap=BETWEEN) for words in told]
    if voice.invite:
        line = [(voice.invite, "bold")]
        blocks.append(paragraph(line, width, size=size, gap=2 * BETWEEN if told else BETWEEN))
    return blocks


def byline_html(voice: TeacherVoice) -> str:
    """A paragraph with name and address, which is a link."""
    name = escape(voice.byline)
    link = voice.link and f'<a href="{escape(voice.link)}">{escape(voice.shown)}</a>'
    if name and link:  # a narrow page breaks the line before the dot, not after it
        link = f' <span class="address">{DOT.lstrip()}{link}</span>'
    return f'\n<p class="teacher">{name}{link}</p>' if name or link else ""


def remarks_html(voice: TeacherVoice) -> str:
    """A section with a paragraph for each remark."""
    told = "".join(f"\n<p>{escape(words)}</p>" for words in voice.remarks)
    title = f'\n<h2 id="remarks-title">{escape(heading_of("remarks"))}</h2>'
    start = '\n<section id="remarks" class="panel" data-open aria-labelledby="remarks-title">'
    return f"{start}{title}{told}\n</section>" if told else ""


ON_PAGE = {
    "chart": ("chart",),
    "plan": ("plan",),
    "hands": ("scales", "necks", "chords", "arpeggios", "grips", "voicings", "positions"),
    "solo": ("solo",),
    "licks": ("licks",),
    "lines": ("lines",),
    "phrases": ("phrases",),
    "cautions": ("cautions",),
}
"""The parts of the sheet that a place on the practice page is about."""


def own_html(lesson: LessonFields) -> dict[str, str]:
    """Paragraphs with the remarks on parts of the sheet, by the places of ON_PAGE. Where a place is
    about several parts, each begins with the heading of its part."""
    return {
        place: "".join(
            f'\n<p class="own">{escape(_about(part, words) if len(parts) > 1 else words)}</p>'
            for part in parts
            for words in lesson.remarks_at(part)
        )
        for place, parts in ON_PAGE.items()
    }


def _about(part: str, words: str) -> str:
    return said("teacher", "remarks.part", part=heading_of(part), remark=words)


def invite_html(voice: TeacherVoice) -> str:
    """A paragraph with the last line to the student, a link where the teacher has an address."""
    words = escape(voice.invite)
    line = f'<a href="{escape(voice.link)}">{words}</a>' if voice.link else words
    return f'\n<p class="invite">{line}</p>' if voice.invite else ""
