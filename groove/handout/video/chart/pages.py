"""Pages of a chart that turns: which rows stand in view together, and when the next ones come."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from groove.handout.video.chart.rows import Row

PAGE, UNFILLED = 1.0, 0.1  # each row left empty, squared
EQUAL = 1e-9  # of equal ways, the one with the full pages first
MID_ROUND, MID_SECTION, MID_PHRASE = 2.0, 4.0, 8.0  # begins within
TOP_WITHIN, TWICE = 2.5, 3.0  # holds another round of several rows, the same one of one row again


def paged(rows: Sequence[Row], most: int) -> list[range]:
    """The rows of each page, at most so many, where the breaks disturb least.

    A page of one row comes only at the end, or before the same row again: the next row has to be in
    view before its time.
    """
    long = {row.round for row in rows if not row.top}
    costs = [0.0] + [float("inf")] * len(rows)
    begins = [0] * (len(rows) + 1)
    for end in range(1, len(rows) + 1):
        for start in range(max(0, end - most), end):
            if end - start == 1 and end < len(rows) and not _alike(rows[start], rows[end]):
                continue
            cost = costs[start] + PAGE + UNFILLED * (most - end + start) ** 2
            cost += _break(rows[start])
            for at in range(start + 1, end):
                if rows[at].top and rows[at].round in long:
                    cost += TOP_WITHIN
                elif rows[at].top and _alike(rows[at - 1], rows[at]):
                    cost += TWICE
            if cost < costs[end] + EQUAL:
                costs[end], begins[end] = cost, start
    found = []
    end = len(rows)
    while end:
        found.append(range(begins[end], end))
        end = begins[end]
    return found[::-1]


def _break(first: Row) -> float:
    """The cost of a page that begins with a row."""
    if first.top:
        return 0.0
    return MID_ROUND if first.section else MID_SECTION if first.phrase else MID_PHRASE


def _alike(row: Row, other: Row) -> bool:
    return row.line == other.line and row.across == other.across


@dataclass(frozen=True)
class Pages:
    """The pages of a chart, each a range of rows."""

    pages: tuple[range, ...]

    @property
    def slots(self) -> int:
        """The rows of the fullest page."""
        return max(map(len, self.pages))

    def first(self, row: int) -> int:
        """The first row of the page on which a row stands."""
        return self.pages[self._number(row)].start

    def _number(self, row: int) -> int:
        return bisect_right(self.pages, row, key=lambda page: page.start) - 1

    def shown(self, row: int) -> tuple[int | None, ...]:
        """The row in each place from the top while a row sounds, None where none stands.

        In a page's last row the places above it show what comes next.
        """
        number = self._number(row)
        page = self.pages[number]
        found: list[int | None] = [None] * self.slots
        place = row - page.start
        found[: len(page)] = page
        if row == page[-1] and number + 1 < len(self.pages):
            after = self.pages[number + 1]
            for above in range(place):
                found[above] = after[above] if above < len(after) else None
        return tuple(found)
