"""Write the touch profiles in ``patterns/touch/`` from statistics of human drummers.

Run as ``python -m tests.bench.touch_profiles FIGURES.json`` from the checkout. FIGURES.json holds
statistics of the Groove MIDI Dataset (Gillick et al., ICML 2019, CC BY 4.0) by family of drumming.
The bars' two halves are pooled, so that a row holds two beats, and each cell is drawn towards its
voice's or the metre's mean the more, the fewer strokes it was seen in.
"""

from __future__ import annotations

import json
import math
import sys
from pathlib import Path
from typing import Any

from groove import library

STROKES_OF_DOUBT = 60  # a cell seen this often counts half, its voice or the metre the rest
FEWEST_STROKES = 100  # a voice seen less often has no rows of its own
LEAST_PLACE = 1.5  # ms; rows that move nothing further than this are left out
VOICES = {
    "kick": "kick", "snare": "snare", "side_stick": "side-stick", "tom": "tom", "crash": "crash",
    "hat_closed": "hat", "hat_open": "hat-open", "hat_pedal": "hat-foot", "ride": "ride",
    "ride_bell": "bell",
}  # fmt: skip
TITLES = {
    "straight_rock": "Straight rock and pop", "straight_soul_funk": "Soul and funk",
    "latin": "Latin", "second_line": "Second line", "shuffle": "Shuffle",
    "swing": "Swing", "slow_twelve_eight": "Slow twelve-eight, derived from straight rock",
    "waltz": "Waltz, derived from straight rock",
}  # fmt: skip
# Figures that no closed form gives: found by making takes and measuring them (tests.bench.touch and
# touch_windows) until neighbours correlate, strokes struck together spread, and the hand that keeps
# time accents, as in the figures.
# memory: of a stroke for the one of its voice before it; together: part of a deviation that strokes
# struck together share; both 0 to 1.
# drift: the part of the drift that is there which a running median over two bars shows.
# pulse: the velocity by which that hand leans into the beat beyond what the rows say, which are
# means over takes that accent differently.
FITTED = {  # memory, together, drift, pulse
    "straight_rock": (0.5, 0.45, 0.85, 1.0), "straight_soul_funk": (0.4, 0.35, 0.83, 3.0),
    "latin": (0.0, 0.05, 0.75, 4.0), "second_line": (0.05, 0.1, 0.74, 4.0),
    "shuffle": (0.1, 0.42, 0.83, 10.0), "swing": (0.05, 0.42, 0.78, 10.0),
    "slow_twelve_eight": (0.5, 0.45, 0.85, 1.0), "waltz": (0.5, 0.45, 0.85, 1.0),
}  # fmt: skip
ROW_BEATS = {"waltz": 3}  # a bar of three is not halved; else 2
LEAST_HABIT = 7.0  # ms
ONE_TAKE = ("rumba",)  # families seen in a single take, which is no law: Latin's profile plays them
CREDIT = """\
# {title}: how drummers place and weigh their strokes.
# Made by tests/bench/touch_profiles.py from the Groove MIDI Dataset (Gillick, Roberts, Engel,
# Eck, Bamman: Learning to Groove with Inverse Sequence Transformations, ICML 2019), CC BY 4.0:
# {takes} takes by {drummers} drummers at {low} to {high} beats a minute, smoothed.
# Times in ms, + is late; weights as MIDI velocities. Rows: {lines} lines to a beat, {beats} beats.
"""


class Cell:
    """Strokes of one voice on one line: how many, how late, how hard."""

    def __init__(self) -> None:
        self.n, self.late, self.hard = 0, 0.0, 0.0

    def add(self, n: int, late: float, hard: float) -> None:
        total = self.n + n
        self.late += (late - self.late) * n / total
        self.hard += (hard - self.hard) * n / total
        self.n = total


def pooled(cells: list[Cell]) -> Cell:
    whole = Cell()
    for cell in cells:
        if cell.n:
            whole.add(cell.n, cell.late, cell.hard)
    return whole


def profile(name: str, family: dict[str, Any]) -> str:
    """The text of a profile file."""
    lines = family["grid_lines_per_beat"]
    beats = ROW_BEATS.get(name, 2)
    size = lines * beats
    rows: dict[str, list[Cell]] = {}
    for voice, figures in family["voices"].items():
        row = rows[VOICES[voice]] = [Cell() for _ in range(size)]
        for position, cell in figures["positions"].items():
            row[int(position) % size].add(cell["n"], cell["offset_ms"], cell["velocity"])
    means = {voice: pooled(row) for voice, row in rows.items()}
    metre = [metre_place(line, rows, means) for line in range(size)]
    if lines == 3:  # the feel's ratio covers it already
        metre = [place if line % 3 == 0 else 0.0 for line, place in enumerate(metre)]
    low, high = family["tempo_range"]
    text = CREDIT.format(title=TITLES[name], lines=lines, beats=beats, low=low, high=high, **family)
    memory, together, shows, pulse = FITTED[name]
    text += f"lines = {lines}\n"
    text += f"drift_sd_ms = {family['slow_drift_sd_ms'] / shows:.1f}\n"
    text += (
        f"habit_sd_ms = {habits(family):.1f}      # from take to take, at one line of one voice\n"
    )
    text += f"memory = {memory}         # of neighbouring strokes for each other\n"
    text += f"together = {together}      # part of a deviation that strokes at one time share\n"
    text += (
        f"pulse = {pulse}         # velocity by which the timekeeping hand leans into the beat\n"
    )
    text += f"metre_ms = {shown(metre, 1)}\n"
    for voice, figures in family["voices"].items():
        kit = VOICES[voice]
        if means[kit].n >= FEWEST_STROKES:
            text += voice_table(kit, figures, rows[kit], means[kit], metre, lines)
    whole = pooled(list(means.values()))
    shares = [(v["strokes"], v) for v in family["voices"].values()]
    text += "\n[voices.any]        # the mean of all, for a voice that is not here\n"
    text += f"place_ms = {whole.late:.1f}\n"
    for key, field in (("jitter_ms", "jitter_within_a_take_ms"), ("weight_sd", WEIGHT_FIELD)):
        mean = sum(n * v[field] for n, v in shares) / sum(n for n, _ in shares)
        text += f"{key} = {mean:.1f}\n"
    text += f"weights = {shown([metre_weight(line, rows, whole) for line in range(size)], 0)}\n"
    return text


WEIGHT_FIELD = "velocity_sd_within_a_take"


def metre_place(line: int, rows: dict[str, list[Cell]], means: dict[str, Cell]) -> float:
    """The lateness of all voices on a line, against their own means."""
    seen = [(row[line].n, row[line].late - means[v].late) for v, row in rows.items()]
    total = sum(n for n, _ in seen)
    return sum(n * late for n, late in seen) / (total + STROKES_OF_DOUBT)


def metre_weight(line: int, rows: dict[str, list[Cell]], whole: Cell) -> float:
    cell = pooled([row[line] for row in rows.values()])
    return drawn(cell.hard, whole.hard, cell.n)


def drawn(value: float, to: float, n: int) -> float:
    """A value drawn to another the more, the fewer strokes it comes from."""
    return to + (value - to) * n / (n + STROKES_OF_DOUBT)


def voice_table(
    kit: str, figures: dict[str, Any], row: list[Cell], mean: Cell, metre: list[float], lines: int
) -> str:
    text = f"\n[voices.{kit}]\n"
    text += f"place_ms = {mean.late:.1f}\n"
    text += f"jitter_ms = {figures['jitter_within_a_take_ms']}\n"
    text += f"weight_sd = {figures[WEIGHT_FIELD]}\n"
    own = [
        drawn(cell.late - mean.late - there, 0.0, cell.n) if lines == 4 or line % 3 == 0 else 0.0
        for line, (cell, there) in enumerate(zip(row, metre, strict=True))
    ]
    if max(map(abs, own)) >= LEAST_PLACE:
        text += f"places = {shown(own, 1)}\n"
    return text + f"weights = {shown([drawn(c.hard, mean.hard, c.n) for c in row], 0)}\n"


def habits(family: dict[str, Any]) -> float:
    """The SD in ms of where different takes have a stroke on their mean: what is left of the
    whole spread at one position when drift and jitter are taken out."""
    drift = family["slow_drift_sd_ms"]
    total, n = 0.0, 0
    for voice in family["voices"].values():
        for cell in voice["positions"].values():
            within = drift**2 + voice["jitter_within_a_take_ms"] ** 2
            total += cell["n"] * (cell["offset_sd_ms"] ** 2 - within)
            n += cell["n"]
    return max(LEAST_HABIT, math.sqrt(max(0.0, total / n)))


def derived(rock: dict[str, Any], lines: int, places: dict[int, tuple[int, ...]]) -> dict[str, Any]:
    """A family that was not recorded: rock's strokes, at each line those of other positions."""
    voices = {}
    for voice, figures in rock["voices"].items():
        row = {k: Cell() for k in places}
        for line, positions in places.items():
            for position in map(str, positions):
                if position in figures["positions"]:
                    cell = figures["positions"][position]
                    row[line].add(cell["n"], cell["offset_ms"], cell["velocity"])
        voices[voice] = figures | {
            "positions": {
                str(line): {
                    "n": c.n, "offset_ms": c.late, "velocity": c.hard, "offset_sd_ms": SPREAD,
                }
                for line, c in row.items() if c.n
            }
        }  # fmt: skip
    return rock | {"voices": voices, "grid_lines_per_beat": lines}


# In slow twelve-eight both eighths between the beats are placed and weighed as rock's one; in a
# waltz the second and third beat lie between rock's first and second.
TWELVE_EIGHT = {
    beat * 3 + line: tuple(beat * 4 + part + half for half in (0, 8))
    for beat in (0, 1)
    for line, part in enumerate((0, 2, 2))
}
WALTZ = {
    line: tuple(
        p + half for p in ((line,) if line < 4 else (line % 4, line % 4 + 4)) for half in (0, 8)
    )
    for line in range(12)
}
SPREAD = 19.6  # ms, about what rock's positions show


def shown(row: list[float], digits: int) -> str:
    return "[" + ", ".join(f"{value + 0.0:.{digits}f}" for value in row) + "]"


def main() -> None:
    if len(sys.argv) != 2:
        sys.exit("python -m tests.bench.touch_profiles FIGURES.json")
    families = json.loads(Path(sys.argv[1]).read_text())["families"]
    families["slow_twelve_eight"] = derived(families["straight_rock"], 3, TWELVE_EIGHT)
    families["waltz"] = derived(families["straight_rock"], 4, WALTZ)
    for name, family in families.items():
        if name in ONE_TAKE:
            continue
        target = library.path_of("touch", name.replace("_", "-"))
        target.write_text(profile(name, family))
        sys.stdout.write(f"{target.name}\n")


if __name__ == "__main__":
    main()
