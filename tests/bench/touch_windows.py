"""Figures of the drums' touch for every pattern, one line each, worst first.

Run as ``python -m tests.bench.touch_windows`` from the checkout; needs no file of figures. Each
pattern is played several times, with seeds and tempi of its range, and heard in windows of four
bars. People's figures: human takes of the Groove MIDI Dataset (Gillick et al., ICML 2019, CC BY
4.0) that none of the profiles was made from, in windows of four bars.

- spread: the SD of all velocities in a window. People: 21 to 41.
- depth: of the voice that keeps time (hat or ride) the distance in velocity between the loudest
  and the softest place in the beat, the median over windows. People: 32 on straight grids, 38 on
  triplets.
- order: the correlation of its neighbouring velocities. People: -0.3.
- jump: the RMS difference of its neighbouring deviations from the swung grid, in ms. People: 13 to
  15.
- apart: the ninth decile of the spread of strokes on one grid line, in ms. People: 36 to 78.
- kick: how far the farthest kick lies off the grid, in ms; far: the strokes more than 40 ms off.

Then how players lie on the beat in medium swing, beside the medians of 34 jazz trios (Jazz Trio
Database, Cheston et al., TISMIR 2024, MIT).
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise
from math import sqrt
from statistics import fmean, median, pstdev, quantiles
from typing import NamedTuple

from groove import library
from groove.band.plan.planner import planned
from groove.band.take import play, record
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.rhythm.meter import ticks_to_seconds
from groove.rhythm.patterns import DrumPattern, drum_pattern
from tests.bench.touch import Hit, correlation, hits

TAKES = 12
BARS = 4  # of a window
FEWEST = 16  # strokes of the hand in a window
HANDS = "hat_closed", "ride", "ride_bell"
SPREAD, JUMP, APART = (21, 41), (13, 15), (36, 78)  # people's
DEPTH = {4: 32, 3: 38, 6: 38}  # by lines to a beat
ORDER = -0.3
ON_BEAT = 60.0  # ms from a beat, within which a stroke is one on it
TRIOS = {
    "bass after drums": (4, 21),
    "comping after drums": (10, 28),
    "comping after bass": (10, 31),
}


class Window(NamedTuple):
    """Four bars of a take: the spread of weights, and depth, order and jump of the hand."""

    spread: float
    depth: float | None
    order: float | None
    jump: float | None


class Figures(NamedTuple):
    """The figures of some takes, as the module's head says."""

    spread: float
    depth: float
    order: float
    jump: float
    apart: float
    kick: float
    far: float


def lines_of(drums: DrumPattern) -> int:
    """Lines to a beat on which a pattern's strokes are heard."""
    if drums.grid.meter.is_compound:
        return 6
    return 3 if drums.grid.is_triplet else 4


def window(heard: Sequence[Hit]) -> Window:
    """The figures of some bars."""
    spread = pstdev([hit.velocity for hit in heard])
    voices = {v: [hit for hit in heard if hit.voice == v] for v in HANDS}
    hand = max(voices.values(), key=len)
    if len(hand) < FEWEST:
        return Window(spread, None, None, None)
    places: dict[int, list[int]] = defaultdict(list)
    for hit in hand:
        places[hit.place].append(hit.velocity)
    means = [fmean(v) for v in places.values() if len(v) > 2]
    depth = max(means) - min(means) if len(means) > 1 else None
    order = correlation(pairwise([float(hit.velocity) for hit in hand]))
    steps = [(b.off - a.off) ** 2 for a, b in pairwise(hand)]
    return Window(spread, depth, order, sqrt(fmean(steps)))


def windows(take: Sequence[Hit], bar_lines: int) -> list[Window]:
    """The windows of a take."""
    by_window: dict[int, list[Hit]] = defaultdict(list)
    for hit in take:
        by_window[hit.line // (BARS * bar_lines)].append(hit)
    return [window(heard) for heard in by_window.values() if len(heard) >= FEWEST]


def figures(takes: Sequence[Sequence[Hit]], bar_lines: int) -> Figures:
    """The figures of some takes of one pattern."""
    heard = [w for take in takes for w in windows(take, bar_lines)]
    apart = []
    for take in takes:
        together: dict[int, list[float]] = defaultdict(list)
        for hit in take:
            together[hit.line].append(hit.late)
        apart += [max(late) - min(late) for late in together.values() if len(late) > 1]
    late = [abs(hit.off) for take in takes for hit in take]
    kicks = [abs(hit.off) for take in takes for hit in take if hit.voice == "kick"]
    return Figures(
        median(w.spread for w in heard),
        _median([w.depth for w in heard]),
        _median([w.order for w in heard]),
        _median([w.jump for w in heard]),
        quantiles(apart, n=10)[8] if len(apart) > 1 else float("nan"),
        max(kicks, default=float("nan")),
        fmean(ms > 40 for ms in late),
    )


def _median(values: Sequence[float | None]) -> float:
    found = [value for value in values if value is not None]
    return median(found) if found else float("nan")


def of_pattern(drums: DrumPattern, count: int = TAKES) -> Figures:
    """The figures of a pattern, at tempi over its range."""
    lines, (slow, fast) = lines_of(drums), drums.tempo
    takes = [
        hits(drums.name, round(slow + (fast - slow) * (n + 0.5) / count), n, lines)
        for n in range(count)
    ]
    meter = drums.grid.meter
    return figures(takes, lines * meter.bar_ticks // meter.beat_ticks)


def distance(found: Figures, lines: int) -> float:
    """How far figures lie from people's: the mean over figures, each in its own measure."""
    away = [
        _outside(found.spread, *SPREAD) / 10,
        _outside(found.depth, DEPTH[lines] - 8, DEPTH[lines] + 30) / 10,
        _outside(found.order, -0.6, 0.0) / 0.2,
        _outside(found.jump, *JUMP) / 3,
        _outside(found.apart, *APART) / 15,
        _outside(found.kick, 0, 45) / 10,
    ]
    return fmean(away)


def _outside(value: float, low: float, high: float) -> float:
    return max(low - value, value - high, 0.0) if value == value else 0.0


def main() -> None:
    """Print a line for each pattern, then the medians of straight and triplet patterns."""
    rows = []
    for name in library.names("drums"):
        drums = drum_pattern(name)
        found = of_pattern(drums)
        lines = lines_of(drums)
        rows.append((distance(found, lines), name, lines, found))
    rows.sort(reverse=True)
    write = sys.stdout.write
    write(f"{'pattern':22}" + "".join(f"{key:>8}" for key in Figures._fields) + "\n")
    for _, name, _, found in rows:
        write(f"{name:22}{_row(found)}\n")
    for title, lines in (("straight", 4), ("triplet", 3), ("compound", 6)):
        chosen = [found for _, _, grid, found in rows if grid == lines]
        middle = Figures(*(median(v for v in c if v == v) for c in zip(*chosen, strict=True)))
        write(f"{title + ', median':22}{_row(middle)}\n")
        people = f"21-41{DEPTH[lines]:8}{ORDER:8.2f}{'13-15':>8}{'36-78':>8}{'45':>8}"
        write(f"{title + ', people':22}{'':3}{people}\n")
    for pair, (after, spread) in apart_on_beats("medium-swing").items():
        told, wide = TRIOS[pair]
        write(f"medium swing, {pair}: {after:.0f} ms, SD {spread:.0f} (trios {told}, SD {wide})\n")


def apart_on_beats(drums: str, takes: int = TAKES) -> dict[str, tuple[float, float]]:
    """By two players, how many ms the first comes after the other on the beat, the median of takes'
    medians, and the mean SD within a take. Of several strokes the first counts."""
    found: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for seed in range(takes):
        form = read_form("twelve-bar", drums=drums, seed=seed, count_in=0)
        plan = planned(unroll(form))
        beat = form.meter.beat_ticks
        ms = 1000 * ticks_to_seconds(1, form.tempo, form.meter)
        first: dict[str, dict[int, float]] = defaultdict(dict)
        for part in record(plan, play(plan)).parts:
            for note in reversed(part.notes):
                late = (note.start - round(note.start / beat) * beat) * ms
                if abs(late) < ON_BEAT:
                    first[part.name][round(note.start / beat)] = late
        for one, other in (("bass", "drums"), ("comping", "drums"), ("comping", "bass")):
            both = first[one].keys() & first[other].keys()
            late = [first[one][at] - first[other][at] for at in both]
            if len(late) > 1:
                found[f"{one} after {other}"].append((median(late), pstdev(late)))
    return {
        pair: (median(m for m, _ in takes), fmean(sd for _, sd in takes))
        for pair, takes in found.items()
    }


def _row(found: Figures) -> str:
    return "".join(
        f"{v:8.2f}" if k in ("order", "far") else f"{v:8.1f}"
        for k, v in zip(Figures._fields, found, strict=True)
    )


if __name__ == "__main__":
    main()
