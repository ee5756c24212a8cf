"""Compare our drummers with people: the same statistics of both, side by side.

Run as ``python -m tests.bench.touch FIGURES.json`` from the checkout. FIGURES.json holds statistics
of the Groove MIDI Dataset (Gillick et al., ICML 2019, CC BY 4.0) by family of drumming. For each
family the script plays its patterns at tempi from its range, each with a seed of its own, and
measures the strokes after the count-in as the figures' ``terms`` say: offsets from the nearest grid
line less the take's median; slow drift: the running median over a bar before and a bar after;
jitter: the SD at one position of one voice when that drift is taken out. Neighbours are strokes in
the order they sound; the spread of strokes on one grid line is from the first to the last. The
terms don't say how takes are pooled: here SDs and correlations are taken take by take and their
mean is printed.
"""

from __future__ import annotations

import json
import sys
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import sqrt
from pathlib import Path
from random import Random
from statistics import fmean, median, pstdev, quantiles
from typing import Any

from groove import library
from groove.band.drummer import play_drums
from groove.band.part import PlayedNote
from groove.band.plan.planner import planned
from groove.band.take import record
from groove.band.touch.profile import profile_for
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.rhythm.kit import KIT
from groove.rhythm.meter import ticks_to_seconds
from groove.rhythm.patterns import drum_pattern

TAKES = 24
FEWEST = 8  # strokes of one voice at one position in a take, for an SD
VOICES = {
    "hat": "hat_closed", "hat-open": "hat_open", "hat-foot": "hat_pedal", "bell": "ride_bell",
    "side-stick": "side_stick", "tom-low": "tom", "tom-mid": "tom", "tom-high": "tom",
}  # fmt: skip
VOICE_OF_NOTE = {voice.note: VOICES.get(row, row) for row, voice in KIT.items()}
CYMBALS = ("ride", "hat_closed")


@dataclass(frozen=True, slots=True)
class Hit:
    """A stroke: its time in ms, voice, grid line from the start and in the bar, ms that it is
    late against the line less the take's median, velocity, ms late from the bare grid, swung,
    and grid line in the beat.
    """

    ms: float
    voice: str
    line: int
    position: int
    late: float
    velocity: int
    off: float
    place: int


def hits(drums: str, tempo: float, seed: int, lines: int, **fields: Any) -> list[Hit]:
    """The strokes of a take of ours, the median of their offsets taken out."""
    form = read_form("twelve-bar", drums=drums, tempo=tempo, seed=seed, ending="loop", **fields)
    chart = unroll(form)
    plan = planned(chart)
    part = play_drums(plan, Random(f"{seed} drums"))
    (played,) = record(plan, (part,)).parts
    (bare,) = record(plan.with_form(replace(form, tightness=1.0)), (part,)).parts
    ms = 1000 * ticks_to_seconds(1, tempo, form.meter)
    line_ticks = form.meter.beat_ticks / lines
    found = []
    for note, on_grid in zip(_by_voice(played.notes), _by_voice(bare.notes), strict=True):
        line = round((note.start - chart.start) / line_ticks)
        late = (note.start - chart.start - line * line_ticks) * ms
        if line >= 0 and note.start > chart.start - line_ticks / 2:
            position = line % round(form.meter.bar_ticks / line_ticks)
            place = round(form.meter.beat_at(round(position * line_ticks))[1] / line_ticks)
            voice, off = VOICE_OF_NOTE[note.pitch], (note.start - on_grid.start) * ms
            found.append(
                Hit(note.start * ms, voice, line, position, late, note.velocity, off, place)
            )
    if chart.start:  # the count-in's last click lies before the first line
        found = [hit for hit in found if hit.ms > chart.start * ms - line_ticks * ms / 2]
    middle = median(hit.late for hit in found)
    return [replace(h, late=h.late - middle) for h in sorted(found, key=lambda h: h.ms)]


def _by_voice(notes: Sequence[PlayedNote]) -> list[PlayedNote]:
    """The notes voice by voice, each voice's in the order of time, which touch leaves alone."""
    return sorted(notes, key=lambda note: (note.pitch, note.start))


def drift(take: Sequence[Hit], bar_lines: int) -> list[float]:
    """For each stroke, the median offset of all within a bar before and a bar after."""
    lines = sorted(range(len(take)), key=lambda i: take[i].line)
    order = [take[i].line for i in lines]
    by_line: dict[int, float] = {}
    for line in set(order):
        first = bisect_left(order, line - bar_lines)
        past = bisect_right(order, line + bar_lines)
        by_line[line] = median(take[i].late for i in lines[first:past])
    return [by_line[hit.line] for hit in take]


def correlation(pairs: Iterable[tuple[float, float]], weights: Iterable[float] = ()) -> float:
    """Pearson's correlation, each pair with its weight (1 if left out); 0 if not defined."""
    pairs = list(pairs)
    weights = list(weights) or [1.0] * len(pairs)
    one = weighted([(a, w) for (a, _), w in zip(pairs, weights, strict=True)])
    two = weighted([(b, w) for (_, b), w in zip(pairs, weights, strict=True)])
    away = [(a - one, b - two, w) for (a, b), w in zip(pairs, weights, strict=True)]
    spread = sqrt(sum(w * a * a for a, _, w in away) * sum(w * b * b for _, b, w in away))
    return sum(w * a * b for a, b, w in away) / spread if spread else 0.0


def weighted(values: Sequence[tuple[float, float]]) -> float:
    """The mean of values, each (value, weight)."""
    return sum(v * w for v, w in values) / sum(w for _, w in values)


def measured(takes: Sequence[Sequence[Hit]], bar_lines: int) -> dict[str, Any]:
    """The figures of some takes, named as in human_drums.json."""
    drifts, neighbours, spreads = [], [], []
    jitter: dict[str, list[tuple[float, float]]] = defaultdict(list)
    weights: dict[str, list[tuple[float, float]]] = defaultdict(list)
    cells: dict[tuple[str, int], list[Hit]] = defaultdict(list)
    for take in takes:
        slow = drift(take, bar_lines)
        drifts.append(pstdev(slow))
        late = [hit.late for hit in take]
        neighbours.append(correlation(pairwise(late)))
        together: dict[int, list[float]] = defaultdict(list)
        here: dict[tuple[str, int], list[tuple[float, int]]] = defaultdict(list)
        for hit, moved in zip(take, slow, strict=True):
            together[hit.line].append(hit.late)
            here[hit.voice, hit.position].append((hit.late - moved, hit.velocity))
            cells[hit.voice, hit.position].append(hit)
        spreads += [max(group) - min(group) for group in together.values() if len(group) > 1]
        for (voice, _), strokes in here.items():
            if len(strokes) >= FEWEST:
                jitter[voice].append((pstdev([s[0] for s in strokes]), len(strokes)))
                weights[voice].append((pstdev([s[1] for s in strokes]), len(strokes)))
    return {
        "slow_drift_sd_ms": fmean(drifts),
        "lag1_correlation_of_offsets": fmean(neighbours),
        "median": median(spreads),
        "p90": quantiles(spreads, n=10)[8],
        "jitter": {voice: weighted(values) for voice, values in jitter.items()},
        "weight_sd": {voice: weighted(values) for voice, values in weights.items()},
        "cells": {
            cell: (len(h), fmean(x.late for x in h), fmean(x.velocity for x in h))
            for cell, h in cells.items()
        },
    }


def long_short(take: Sequence[Hit], lines: int) -> float | None:
    """The median ratio of long to short of the cymbals' offbeats; None without any."""
    by_voice: dict[str, dict[int, float]] = defaultdict(dict)
    for hit in take:
        by_voice[hit.voice][hit.line] = hit.ms
    ratios = []
    for voice in CYMBALS:
        times = by_voice[voice]
        for line, ms in times.items():
            if line % lines == lines - 1 and line - lines + 1 in times and line + 1 in times:
                ratios.append((ms - times[line - lines + 1]) / (times[line + 1] - ms))
    return median(ratios) if ratios else None


def like_people(ours: dict[str, Any], family: dict[str, Any], field: str, index: int) -> float:
    """The correlation over voices and positions of our means with people's, those the heavier
    of which both have many strokes."""
    pairs, weights = [], []
    for (voice, position), cell in ours["cells"].items():
        figures = family["voices"].get(voice, {"positions": {}})["positions"].get(str(position))
        if figures:
            pairs.append((cell[index], float(figures[field])))
            weights.append(float(min(cell[0], figures["n"])))
    return correlation(pairs, weights)


def players(name: str, lines: int) -> list[str]:
    """The drum patterns in 4/4, on the grid that a family was measured on, that its profile
    plays; or the one of the family's own name."""
    if name in library.names("drums") and drum_pattern(name).grid.lines_per_beat == lines:
        return [name]
    profile = name.replace("_", "-")
    shipped = [drum_pattern(drums) for drums in library.names("drums")]
    return [
        drums.name
        for drums in shipped
        if profile_for(drums).name == profile
        and str(drums.grid.meter) == "4/4"
        and drums.grid.is_triplet == (lines == 3)
    ]


def takes_of(name: str, family: dict[str, Any], count: int = TAKES) -> list[list[Hit]]:
    """Takes of ours for a family, at tempi spread over its range."""
    lines = family["grid_lines_per_beat"]
    played = players(name, lines)
    takes = []
    for seed in range(count):
        drums = played[seed % len(played)]
        slow, fast = drum_pattern(drums).tempo
        low, high = max(family["tempo_range"][0], slow), min(family["tempo_range"][1], fast)
        tempo = round(low + (high - low) * (seed + 0.5) / count) if low < high else low
        takes.append(hits(drums, tempo, seed, lines))
    return takes


def report(name: str, family: dict[str, Any]) -> str:
    """A family's figures, ours beside people's."""
    takes = takes_of(name, family)
    lines = family["grid_lines_per_beat"]
    ours = measured(takes, 4 * lines)
    people = family["spread_of_strokes_struck_together_ms"]
    rows = [
        (key, ours[key], family[key], 2)
        for key in ("slow_drift_sd_ms", "lag1_correlation_of_offsets")
    ]
    rows += [(f"spread together, {key}, ms", ours[key], people[key], 1) for key in people]
    for key, title, field in (
        ("jitter", "jitter in a take, ms", "jitter_within_a_take_ms"),
        ("weight_sd", "velocity SD in a take", "velocity_sd_within_a_take"),
    ):
        for voice, value in sorted(ours[key].items()):
            if voice in family["voices"]:
                rows.append((f"{title}: {voice}", value, family["voices"][voice][field], 1))
    text = f"\n{name} ({len(takes)} takes of ours)\n{'':40}{'ours':>8}{'people':>8}\n"
    for title, mine, theirs, digits in rows:
        text += f"{title:40}{mine:8.{digits}f}{theirs:8.{digits}f}\n"
    for title, field, index in (("offset", "offset_ms", 1), ("velocity", "velocity", 2)):
        value = like_people(ours, family, field, index)
        text += f"{title + ' by voice and position: r':40}{value:8.2f}\n"
    if lines == 3:
        ratios = [r for r in (long_short(take, lines) for take in takes) if r]
        told = [ratio for _, ratio in family["cymbal_long_short_ratio_by_take"]]
        text += f"{'cymbals, long to short: mean':40}{fmean(ratios):8.2f}{fmean(told):8.2f}\n"
        text += f"{'cymbals, long to short: least':40}{min(ratios):8.2f}{min(told):8.2f}\n"
        text += f"{'cymbals, long to short: most':40}{max(ratios):8.2f}{max(told):8.2f}\n"
    return text


def main() -> None:
    if len(sys.argv) != 2:
        sys.exit("python -m tests.bench.touch FIGURES.json")
    for name, family in json.loads(Path(sys.argv[1]).read_text())["families"].items():
        if players(name, family["grid_lines_per_beat"]):
            sys.stdout.write(report(name, family))
        else:
            sys.stdout.write(f"\n{name}: no pattern plays it\n")


if __name__ == "__main__":
    main()
