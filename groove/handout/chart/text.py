"""The chord chart in a terminal: plain Unicode, bar lines under each other, 80 columns."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from groove.handout.chart.bar import WrittenBar
from groove.handout.chart.text_rows import beat_sign, figure, melody, rows_under, words_rows
from groove.handout.chart.written import WrittenChart
from groove.wording import in_figures, said

WIDTH = 80  # columns
SIMILE = "%"


def chart_text(chart: WrittenChart, *, numerals: bool = False, closed: bool = True) -> str:
    """The chart as lines of text without a newline at the end. closed: with the teacher's remarks
    and last line below it."""
    if numerals:
        chart = chart.with_numerals_explained()
    tempo = f"{beat_sign(chart.meter)} = {in_figures(chart.tempo)}"
    facts = [chart.home, str(chart.meter), tempo, chart.feel]
    if chart.reader.fifths:
        facts.append(chart.reader.words)
    course = [row for words in chart.head_words for row in wrap(words, WIDTH)]
    head = (chart.title, chart.by, chart.voice.line)
    rows = [*filter(None, head), " · ".join(facts), *course, ""]
    per_row = next((n for n in (4, 2) if _fits(chart, n, numerals)), 1)
    for line in chart.lines:
        for at in range(0, len(line), per_row):
            rows += _rows(line[at : at + per_row], per_row, numerals)
    rows += _in_other_keys(chart)
    for words in (*chart.voice.remarks, chart.voice.invite) if closed else ():
        rows += ["", *wrap(words, WIDTH)] if words else []
    return "\n".join(row.rstrip() for row in rows)


def _in_other_keys(chart: WrittenChart) -> list[str]:
    """A short form in the keys that follow, a row or more for each."""
    if not chart.others:
        return []
    label = max(len(row.key) for row in chart.others) + 2
    per_row, width = next(
        (n, room)
        for n, room in ((n, (WIDTH - label) // n - 2) for n in (4, 2, 1))
        if n == 1 or all(len(_cells(bar, room, False)[0]) <= room
                         for row in chart.others for line in row.lines for bar in line)
    )  # fmt: skip
    rows = ["", said("chart", "marks.other_keys")]
    for row in chart.others:
        name = row.key
        for line in row.lines:
            for at in range(0, len(line), per_row):
                bars = line[at : at + per_row]
                cells = [_cells(bar, width, False)[0].ljust(width) for bar in bars]
                rows.append(name.ljust(label) + "| ".join(cells))
                name = ""
    return rows


def _cell_width(per_row: int) -> int:
    """Columns between two bar lines."""
    return (WIDTH - 2) // per_row - 3


def _fits(chart: WrittenChart, per_row: int, numerals: bool) -> bool:
    width = _cell_width(per_row)
    return all(
        len(cell) <= width
        for bar in chart.bars
        for cell in (*_cells(bar, width, numerals), figure(bar), melody(bar))
    )


def _cells(bar: WrittenBar, width: int, numerals: bool) -> tuple[str, ...]:
    """The content of a bar, chords on their beats, and its numerals if asked for."""
    if bar.same:
        return (SIMILE, "") if numerals else (SIMILE,)
    names = [f"{bar.meter} " if bar.change.meter else "", ""]
    for placed in bar.chords:
        column = placed.start * width // bar.meter.bar_ticks
        column = max(column, *(len(name) + 1 if name else 0 for name in names))
        names = [
            name.ljust(column) + word
            for name, word in zip(names, (str(placed.shown), placed.numeral), strict=True)
        ]
    return tuple(names) if numerals else (names[0],)


def _rows(bars: Sequence[WrittenBar], per_row: int, numerals: bool) -> list[str]:
    width = _cell_width(per_row)
    above = _above(bars, width)
    contents = ["", ""] if numerals else [""]
    for number, bar in enumerate(bars):
        left = "‖:" if bar.opens else "| " if number == 0 else "  "
        right = ":‖" if bar.closes else " ‖" if bar.last or bar.ends_section else " |"
        cells = _cells(bar, width, numerals)
        for row, cell in enumerate(cells):
            line_left = left if number == 0 else (left[1] if left != "‖:" else ":")
            if row:
                line_left, ending = " " * len(line_left), "  "
            else:
                ending = right
            contents[row] += line_left + cell.ljust(width) + ending
    words = words_rows(bars, width + 3, WIDTH)
    under = rows_under(bars, width)
    return [*words, *([above] if above.strip() else []), *contents, *under]


def _above(bars: Sequence[WrittenBar], width: int) -> str:
    """The labels, each over the first beat of its bar: long names are cut where the next begins."""
    row, end = "", WIDTH
    for number, bar in reversed(list(enumerate(bars))):
        before, after = _signs_before(bar), _signs(bar)
        signs = " ".join(word for word in (before, after) if word)
        name = "" if bar.section == bar.letter else bar.section
        if not name and not signs:
            continue
        column = min(2 + number * (width + 3), end - len(signs))
        name = _cut(name, end - column - (len(signs) + 1 if signs else 0))
        label = " ".join(word for word in (before, name, after) if word)
        row = label.ljust(end - column) + " " + row
        end = column - 1
    return " " * (end + 1) + row


def _cut(name: str, room: int) -> str:
    """A name in at most so many columns, with dots where it is longer.

    >>> _cut("Second chorus", 8), _cut("Bridge", 8)
    ('Second…', 'Bridge')
    """
    return name if len(name) <= room else name[: room - 1].rstrip() + "…" if room > 1 else ""


def _signs_before(bar: WrittenBar) -> str:
    """The signs over a bar before the name of its section."""
    coda = said("road", "way.coda_sign")
    coda = f"({coda})" if bar.coda and bar.section != coda else ""
    segno = f"({said('road', 'way.segno')})" if bar.segno else ""
    words = [segno, coda, f"[{bar.letter}]" if bar.letter else ""]
    return " ".join(word for word in words if word)


def _signs(bar: WrittenBar) -> str:
    """The words over a bar after the name of its section."""
    words = [bar.bracket]
    if bar.closes and bar.times > 1:
        key = "twice" if bar.times == 2 else "times"
        words.append(f"({said('chart', f'marks.{key}', number=bar.times)})")
    words.append(said("road", "way.to_coda") if bar.to_coda else "")
    words.append(said("chart", "marks.finish") if bar.finish and not bar.in_bracket else "")
    words.append(said("chart", "marks.ring") if bar.rest == "ring" else "")
    words.append(said("chart", "marks.hold") if bar.fermata is not None else "")
    return " ".join(word for word in words if word)
