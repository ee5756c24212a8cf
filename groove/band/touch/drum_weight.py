"""The weight of drum strokes: marks, the metre, this take's own accents, and chance.

A mark of box notation stands for a velocity; from there a stroke leans to what people of the
family play on its voice at its place of the bar. The hand that keeps time accents the beat more
than the rest of it, in each take by another depth. Much of what looks like chance is slow: where a
bar was struck hard, so is the next, and the accents change over many bars.
"""

from __future__ import annotations

from math import exp, sqrt
from random import Random
from statistics import fmean
from typing import Any, NamedTuple

from groove.band.part import GridNote
from groove.band.touch.profile import Profile
from groove.band.touch.touch import Wander, drawn_in, marked
from groove.rhythm.box_notation import ACCENT, STROKE

HALF = 0.5


class Place(NamedTuple):
    """A time of the bar: ticks from its start, the line of the profile's rows, part of the beat."""

    bar: int
    line: int
    part: float


class DrumWeight:
    """The weights of one take of a drummer or percussionist; rng is the player's own."""

    def __init__(self, figures: dict[str, Any], profile: Profile, rng: Random) -> None:
        self.figures, self.rng = figures, rng
        self.profile = profile
        self._memory = figures["weight_memory"]
        self._push = Wander(self._memory, rng)
        self._common = 0.0
        self.weak = figures["weak_hand"] * exp(0.4 * rng.gauss(0, 1))
        hand = figures["hand"]
        self._pulse = hand["pulse"] * exp(hand["pulse_spread"] * rng.gauss(0, 1))
        self._depth = figures["depth"] * exp(figures["depth_spread"] * rng.gauss(0, 1))
        self._own: dict[str, Wander] = {}
        self._slow: dict[tuple[str, int], Wander] = {}
        self._habits: dict[str, float] = {}
        self._leans: dict[tuple[str, int], float] = {}

    def strike(self) -> None:
        """Go on to the next time at which something is struck."""
        self._common = self._push.next()

    def weigh_by(self, profile: Profile) -> None:
        """Weigh by another profile from here on."""
        self.profile = profile
        self._leans.clear()

    def mark(self, row: str, weight: float) -> float:
        """The velocity that the weight of a mark stands for on a voice."""
        hand = self.figures["hand"]
        return marked(weight, (hand if row in hand["rows"] else self.figures)["marks"])

    def touch(self, note: GridNote, place: Place) -> float:
        """The velocities by which a stroke differs from its mark."""
        lean = self._leans.get((note.row, place.bar))
        if lean is None:
            lean = self._leans[note.row, place.bar] = self._lean(note.row, place)
        figures = self.figures
        if note.weight >= ACCENT and lean > 0:
            lean *= figures["accent_leans"]
        full = min(1.0, note.weight / STROKE)
        share: float = figures["on_beat_share" if place.part == 0 else "weight_share"]
        if note.weight >= ACCENT:
            share *= figures["accents_firm"]
        elif full == 1 and note.row not in figures["hand"]["rows"]:
            share *= figures["firm"]
        spread = share * self.profile.voice(note.row).weight_sd * (0.4 + 0.6 * full)
        here = note.row, place.bar
        if here not in self._slow:
            self._slow[here] = Wander(figures["weight_stays"], self.rng)
        if note.row not in self._own:
            self._own[note.row] = Wander(self._memory, self.rng)
        in_common, slow = figures["weight_together"], figures["weight_slow"]
        chance = (
            sqrt(in_common) * self._common
            + sqrt(slow) * self._slow[here].next()
            + sqrt(1 - in_common - slow) * self._own[note.row].next()
        )
        return lean * full + drawn_in(spread * chance, figures["farthest_weight"])

    def _lean(self, row: str, place: Place) -> float:
        """The distance of a plain stroke from its mark: the family's, and this take's own."""
        figures, weights = self.figures, self.profile.voice(row).weights
        middle = fmean(weights)
        lean: float = figures["lean"] * (middle - figures["middle"])
        depth = self._depth * (figures["hand"]["depth"] if row in figures["hand"]["rows"] else 1.0)
        lean += depth * (weights[place.line] - middle)
        if row in figures["hand"]["rows"]:
            on_beat, on_half, between = figures["hand"]["parts"]
            part = on_beat if place.part == 0 else on_half if place.part >= HALF else between
            lean += self._pulse * self.profile.pulse * part
        names = str(place.bar), row, f"{row} {place.bar}"
        for name, spread in zip(names, figures["weight_habits"], strict=True):
            if name not in self._habits:
                self._habits[name] = max(-2.0, min(2.0, self.rng.gauss(0, 1)))
            lean += spread * self._habits[name]
        return lean
