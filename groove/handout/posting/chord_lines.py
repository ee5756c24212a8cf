"""The written chart as short rows of bars, for places that show text in any width and typeface.

In the form file's own notation: ``|: C7 | % | F7 . . G7 :|x3``, a full stop for each beat on which
a chord goes on where the chords of a bar don't share it evenly.
"""

from __future__ import annotations

from groove.handout.chart.bar import WrittenBar
from groove.handout.chart.written import WrittenChart
from groove.wording import said

SIMILE = "%"


def chord_rows(chart: WrittenChart) -> list[str]:
    """The chart in rows of up to four bars, each with the signs that stand over it."""
    return [_row(line) for line in chart.lines]


def _row(line: tuple[WrittenBar, ...]) -> str:
    first, last = line[0], line[-1]
    row = "|: " if first.opens else "| "
    for number, bar in enumerate(line):
        if number:
            before = line[number - 1]
            row += _between(before, bar)
        signs = [*_signs_before(bar), f"{bar.meter}" if bar.change.meter else "", bar_words(bar)]
        row += " ".join(word for word in (*signs, *_signs_after(bar)) if word)
    row += _end(last)
    name = first.section or first.letter
    return said("posting", "chords.named", name=name, line=row) if name else row


def _between(before: WrittenBar, bar: WrittenBar) -> str:
    closed = _end(before) if before.closes else ""
    opened = " |: " if bar.opens else " "
    name = bar.section or bar.letter
    start = f"[{name}] " if name else ""
    line = closed or (" ||" if before.ends_section else " |" if not bar.opens else "")
    return f"{line}{opened}{start}"


def _end(bar: WrittenBar) -> str:
    if bar.closes:
        return " :|" + (f"x{bar.times}" if bar.times > 2 else "")
    return " ||" if bar.ends_section or bar.last else " |"


def bar_words(bar: WrittenBar) -> str:
    """The chords of a bar, ``F7 . . G7`` where they are of unequal length.

    A bar whose chords begin off the felt beats has them in their order alone.
    """
    if bar.same:
        return SIMILE
    starts = list(bar.meter.beat_starts)
    chords = {placed.start: str(placed.shown) for placed in bar.chords}
    names = list(chords.values())
    even = len({placed.length for placed in bar.chords}) == 1
    if even or not set(chords) <= set(starts):
        return " ".join(names)
    return " ".join(chords.get(start, ".") for start in starts)


def _signs_before(bar: WrittenBar) -> list[str]:
    segno = f"({said('road', 'way.segno')})" if bar.segno else ""
    coda = f"({said('road', 'way.coda_sign')})" if bar.coda else ""
    bracket = f"[{bar.bracket}]" if bar.bracket else ""
    finish = bar.finish and not bar.in_bracket
    return [segno, coda, bracket, f"({said('chart', 'marks.finish')})" if finish else ""]


def _signs_after(bar: WrittenBar) -> list[str]:
    fine = f"({said('road', 'way.fine_sign')})" if bar.fine else ""
    to_coda = f"({said('road', 'way.to_coda')})" if bar.to_coda else ""
    jump = f"({bar.jump})" if bar.jump else ""
    return [to_coda, fine, jump, f"({bar.again})" if bar.again else ""]
