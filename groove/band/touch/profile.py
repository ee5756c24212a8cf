"""Touch profiles: how drummers of a family place and weigh their strokes.

The figures are data, ``patterns/touch/``: a file for each family, and ``profiles.toml``, which
says which of them plays which drum pattern.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from groove import library
from groove.rhythm.box_notation import Grid
from groove.rhythm.meter import Meter
from groove.rhythm.patterns import DrumPattern

ANY = "any"  # the voice whose figures are the mean of all
IN_THREE = (0, 1, 1)  # in a row of two beats, a bar's three: the first, and two like the second


@dataclass(frozen=True, slots=True)
class VoiceTouch:
    """One voice: its place in ms (+ is late), SD of its jitter in ms and of its weight.

    places: ms to add line by line. weights: the mean velocity line by line.
    """

    place_ms: float
    jitter_ms: float
    weight_sd: float
    places: tuple[float, ...]
    weights: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Profile:
    """The touch of a family of drummers.

    lines: grid lines to a beat of all rows. drift_sd_ms: SD of the slow drift. habit_sd_ms: SD
    from take to take. memory: of neighbouring deviations. together: part of their deviation
    that strokes struck together share. pulse: the velocity by which the hand that keeps time leans
    into the beat. metre_ms: how late all voices are, line by line.
    """

    name: str
    lines: int
    drift_sd_ms: float
    habit_sd_ms: float
    memory: float
    together: float
    pulse: float
    metre_ms: tuple[float, ...]
    voices: dict[str, VoiceTouch]

    def voice(self, row: str) -> VoiceTouch:
        """The touch of a voice of the kit, or of the measured voice most like it."""
        like = library.load("touch", "profiles")["voices"].get(row, row)
        return self.voices.get(like, self.voices[ANY])

    def line(self, tick: int, grid: Grid) -> int:
        """The place in the profile's rows of a tick counted from the start of a bar.

        A short note is the same whether written in triplets or in halves of the beat.
        """
        meter = grid.meter
        beat, part = meter.beat_at(tick)
        fraction = part / meter.beat_ticks
        if not meter.is_compound and grid.is_triplet != (self.lines == 3):
            fraction = _as_halves(fraction) if grid.is_triplet else _as_triplet(fraction)
        beats = len(self.metre_ms) // self.lines
        place = _place(beat, meter, beats)
        return min(place * self.lines + round(fraction * self.lines), len(self.metre_ms) - 1)


def _place(beat: int, meter: Meter, beats: int) -> int:
    """The beat of a profile's rows, of ``beats``, that a beat of a bar is weighed like.

    In fives and sevens each group begins like a half of the bar and goes on like a weak beat.
    """
    if meter.beats == 3 and beats == 2:
        return IN_THREE[beat]
    if meter.beats > beats and meter.beats % beats:
        start = meter.beat_starts[beat]
        if start in meter.group_starts:
            return 0 if start == 0 else beats // 2
        return 1 % beats
    return beat % beats


def _as_triplet(fraction: float) -> float:
    """A part of a beat, 0 to 1, whose half is moved to two thirds."""
    return fraction * 4 / 3 if fraction <= 1 / 2 else 2 / 3 + (fraction - 1 / 2) * 2 / 3


def _as_halves(fraction: float) -> float:
    """A part of a beat, 0 to 1, whose two thirds are moved to a half."""
    return fraction * 3 / 4 if fraction <= 2 / 3 else 1 / 2 + (fraction - 2 / 3) * 3 / 2


def profile_for(drums: DrumPattern) -> Profile:
    """The profile that plays a drum pattern: by its name, its family, else its grid."""
    choice = library.load("touch", "profiles")
    name = choice["names"].get(drums.name) or choice["families"].get(drums.family)
    return _profile(name or choice["grids"][_kind(drums.grid)])


def _kind(grid: Grid) -> str:
    if grid.meter.is_compound:
        return "compound"
    if grid.is_triplet:
        return "swing" if grid.feel == "swing" else "triplet"
    return "three" if grid.meter.beats == 3 else "straight"


@cache
def _profile(name: str) -> Profile:
    content: dict[str, Any] = library.load("touch", name)
    metre = tuple(content["metre_ms"])
    voices = {
        voice: VoiceTouch(
            table["place_ms"],
            table["jitter_ms"],
            table["weight_sd"],
            tuple(table.get("places", (0.0,) * len(metre))),
            tuple(table["weights"]),
        )
        for voice, table in content["voices"].items()
    }
    return Profile(
        name,
        content["lines"],
        content["drift_sd_ms"],
        content["habit_sd_ms"],
        content["memory"],
        content["together"],
        content["pulse"],
        metre,
        voices,
    )
