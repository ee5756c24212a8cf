"""The head of a chart on paper: title, clef, key and metre on a short staff, tempo and feel."""

from __future__ import annotations

from groove.handout.chart.written import WrittenChart
from groove.handout.drawing.faces import settable
from groove.handout.drawing.page import (
    POINT,
    THIN,
    Glyph,
    Line,
    Mark,
    Text,
    glyph_width,
    text_width,
)
from groove.handout.drawing.staff.clefs import (
    clef_marks,
    clef_width,
    key_marks,
    key_width,
    time_marks,
    time_width,
)
from groove.handout.teacher import byline_marks, byline_rows
from groove.rhythm.meter import Meter
from groove.wording import in_figures

SPACE = 1.9  # mm between two staff lines
HEAD_GAP = 6.0  # mm under the head
TITLE, LEAST_TITLE = 26.0, 17.0  # points
WORDS = 14.0  # points
COURSE, COURSE_LINE = 11.0, 5.2  # points, mm: the words on changes from chorus to chorus


def head(chart: WrittenChart, width: float, margin: float) -> tuple[float, tuple[Mark, ...]]:
    """The end of the head, in mm from the top of the page, and its marks; width, margin: in mm."""
    marks: list[Mark] = []
    room = width - 2 * margin
    y = margin
    lines, size = _title_lines(chart.title, room)
    for line in lines:
        y += size * POINT * (0.9 if line is lines[0] else 1.15)
        marks.append(Text(margin, y, line, size, "bold"))
    if chart.by:
        y += COURSE_LINE
        marks.append(Text(margin, y, settable(chart.by, "italic"), COURSE, "italic"))
    for named in byline_rows(chart.voice, room, COURSE):
        y += COURSE_LINE
        marks += byline_marks(named, margin, y, COURSE)
    middle = y + 6.5 + 4 * SPACE
    staff_end, staff = _staff(chart, margin, middle)
    marks += staff
    x, baseline = staff_end + 6.0, middle + WORDS * POINT * 0.33
    key = chart.home
    marks.append(Text(x, baseline, key, WORDS, "bold"))
    x += text_width(key, WORDS, "bold") + 7.0
    x, tempo = _tempo(chart, x, baseline)
    marks += tempo
    end, reader = width - margin, chart.reader.words
    marks.append(Text(x, baseline, chart.feel, WORDS, "italic"))
    x += text_width(chart.feel, WORDS, "italic")
    if chart.reader.fifths:
        if x + 5.0 + text_width(reader, WORDS) > end:
            baseline = middle + 4 * SPACE + 2.0
        marks.append(Text(end, baseline, reader, WORDS, "regular", "end"))
    y = max(middle + 4 * SPACE, baseline)  # clear of the clef
    rows = [row for words in chart.head_words for row in _rows(words, room)]
    for row in rows:
        y += COURSE_LINE
        marks.append(Text(margin, y, row, COURSE))
    bottom = y + 1.0 if rows else middle + 2 * SPACE
    return bottom + HEAD_GAP, tuple(marks)


def _rows(words: str, room: float) -> list[str]:
    """A sentence on lines that are not wider than the room."""
    rows = [""]
    for word in words.split():
        longer = f"{rows[-1]} {word}".strip()
        if text_width(longer, COURSE) <= room:
            rows[-1] = longer
        else:
            rows.append(word)
    return rows


def _title_lines(title: str, room: float) -> tuple[list[str], float]:
    """The title on one line in the largest size that fits, else on several in the smallest."""
    title, size = settable(title, "bold"), TITLE
    while size > LEAST_TITLE and text_width(title, size, "bold") > room:
        size -= 1
    lines = [""]
    for word in title.split():
        while text_width(word, size, "bold") > room:  # a word longer than the line
            cut = next(
                n for n in range(len(word), 0, -1) if text_width(word[:n], size, "bold") <= room
            )
            lines, word = [*lines, word[:cut]], word[cut:]
        longer = f"{lines[-1]} {word}".strip()
        if text_width(longer, size, "bold") <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return [line for line in lines if line], size


def _staff(chart: WrittenChart, x: float, middle: float) -> tuple[float, list[Mark]]:
    """The short staff of the chart's head; where it ends."""
    reader, signature = chart.reader, chart.key.signature
    return short_staff(reader.clef, signature, chart.meter, x, middle, SPACE)


def short_staff(
    clef: str, signature: int, meter: Meter, x: float, middle: float, space: float
) -> tuple[float, list[Mark]]:
    """A staff with clef, key signature and time signature; where it ends.

    signature: sharps, flats negative. space: mm between two lines; the middle one is at `middle`.
    """
    part = space / SPACE
    marks: list[Mark] = []
    at = x + 1.6 * part
    marks += clef_marks(at, middle, clef, space)
    at += clef_width(clef, space) + 2.0 * part
    marks += key_marks(at, middle, clef, signature, space, gap=0.3 * part)
    at += key_width(signature, space, gap=0.3 * part) + (2.2 if signature else 0.6) * part
    marks += time_marks(at, middle, meter.numerator, meter.denominator, space)
    end = at + time_width(meter.numerator, meter.denominator, space) + 1.8 * part
    for row in range(-2, 3):
        line = middle + row * space
        marks.append(Line(x, line, end, line, THIN * part))
    return end, marks


def _tempo(chart: WrittenChart, x: float, baseline: float) -> tuple[float, list[Mark]]:
    """The tempo mark at its place in the head."""
    end, marks = tempo_marks(chart.meter, chart.tempo, x, baseline, WORDS)
    return end + 7.0, marks


def tempo_marks(
    meter: Meter, tempo: float, x: float, baseline: float, size: float
) -> tuple[float, list[Mark]]:
    """The tempo mark: the note that is the beat, and how many go to a minute; and where it ends.

    size: of the words, in points.
    """
    part = size / WORDS
    space = 1.55 * part
    note = "tempo half" if meter.denominator == 2 else "tempo quarter"
    marks: list[Mark] = [Glyph(x, baseline - 0.2 * part, note, space)]
    x += glyph_width(note, space) + 0.6 * part
    if meter.is_compound:
        marks.append(Glyph(x, baseline - 0.6 * part, "tempo dot", space))
        x += glyph_width("tempo dot", space) + 0.4 * part
    words = f"= {in_figures(tempo)}"
    marks.append(Text(x + part, baseline, words, size))
    return x + part + text_width(words, size), marks
