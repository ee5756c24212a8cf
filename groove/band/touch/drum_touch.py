"""The touch of drummer and percussionists: places, habits and hands of a kit.

Each take is another drummer: the profile of the family, and habits of this one's own, drawn
from how much the takes of different drummers differ. The hand that keeps time is the smoothest:
its deviations follow each other closely, as people's do.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import exp, sqrt
from random import Random

from groove.band.part import GridNote, Part
from groove.band.touch.drum_weight import DrumWeight, Place
from groove.band.touch.feel import BandFeel
from groove.band.touch.graces import with_graces
from groove.band.touch.profile import profile_for
from groove.band.touch.touch import (
    ROOM_FOR_JITTER,
    PartTiming,
    Struck,
    Wander,
    shrunk,
    velocity,
)
from groove.rhythm.box_notation import GHOST
from groove.rhythm.kit import HAND, KIT, TIMEKEEPERS
from groove.rhythm.patterns import DrumPattern

ROOM_FOR_PLACES = 450.0  # ms to a beat, under which the places of voices shrink
RUN = 200.0  # ms from one stroke to the next, under which the hands take turns
KICK = "kick"


def touched_drums(part: Part, feel: BandFeel, rng: Random) -> tuple[list[Struck], dict[int, float]]:
    """The strokes of a drum or percussion part as played, and the kick's deviations in ms, without
    the band's drift, by time on the grid, for the bassist; rng is the player's own."""
    drummer = _DrumTouch(part, feel, rng)
    return list(with_graces(drummer.play(), feel, Random(rng.random()))), drummer.kick


class _DrumTouch:
    def __init__(self, part: Part, feel: BandFeel, rng: Random) -> None:
        self.part, self.feel, self.rng = part, feel, rng
        self.pattern = self._pattern_at(0)
        self.profile = profile_for(self.pattern)
        self.figures = figures = feel.figures[part.name]
        self.share = figures["share"]
        self.timing = PartTiming(part, feel)
        self.kick: dict[int, float] = {}
        self.loose = exp(figures["looseness"] * rng.gauss(0, 1))
        self.clock = Wander(figures["clock_memory"], rng)
        self.weight = DrumWeight(figures, self.profile, rng)
        self.strays: dict[str, Wander] = {}
        self.habits: dict[str, float] = {}
        self.places: dict[tuple[str, int, bool], float] = {}

    def _pattern_at(self, tick: int) -> DrumPattern:
        return self.feel.chart.bar_at(tick).drums

    def play(self) -> Iterator[Struck]:
        hand_at, weak = -1, False
        fills = iter(self.part.fills)
        fill = next(fills, (0, 0))
        for start, group in self.timing.groups():
            if self.timing.strict(group[0]):
                yield from map(self.timing.strictly, group)
                continue
            pattern = self._pattern_at(start)
            if pattern != self.pattern:
                self.pattern, self.profile = pattern, profile_for(pattern)
                self.places.clear()
                self.weight.weigh_by(self.profile)
            hands = sum(KIT[note.row].limb == HAND for note in group)
            if hands:
                run = hand_at >= 0 and self._ms(start, start - hand_at) < RUN
                weak = run and hands == 1 and not weak
                hand_at = start
            while fill and start >= fill[1] and fill != (0, 0):
                fill = next(fills, (0, 0))
            yield from self._struck(start, group, weak and hands == 1, self._rise(start, fill))

    def _ms(self, start: int, ticks: int) -> float:
        """The milliseconds that ticks last at a time."""
        return ticks / self.feel.ticks_per_ms(start)

    def _rise(self, start: int, fill: tuple[int, int]) -> float:
        """The velocity that a stroke gains by its place in a fill."""
        begin, end = fill
        if not begin <= start < end:
            return 0.0
        low, high = self.figures["fill_rises"]
        return float(low + (high - low) * (start - begin) / (end - begin))

    def _struck(
        self, start: int, group: list[GridNote], weak: bool, rise: float
    ) -> Iterator[Struck]:
        together, feel = self.profile.together, self.feel
        in_common, own = sqrt(together), sqrt(1 - together)
        clock = self.clock.next()
        self.weight.strike()
        level = feel.level(start, self.figures["level"])
        rise += feel.loudness_at(start)
        pace = shrunk(self._ms(start, feel.beat), ROOM_FOR_PLACES)
        played = feel.chart.bar_at(start)
        bar = (start - played.start) % played.length
        line = self.profile.line(bar, self.pattern.grid)
        place = Place(bar, line, feel.beat_part(start))
        even = feel.ratio(start) == 1
        for note in group:
            voice = self.profile.voice(note.row)
            size = voice.jitter_ms * self.loose * shrunk(self.timing.room(note), ROOM_FOR_JITTER)
            stray = self._stray(note.row).next()
            if note.weight <= GHOST:
                stray *= self.figures["ghost_looser"]
            elif note.row not in TIMEKEEPERS:
                stray *= self.figures["others_looser"]
            here = self.places.get((note.row, bar, even))
            if here is None:
                here = self.places[note.row, bar, even] = self._place(note.row, place, even)
            late = self.share * (pace * here + size * (in_common * clock + own * stray))
            touch = rise + self.weight.touch(note, place)
            if weak and KIT[note.row].limb == HAND:
                touch += self.weight.weak
                late += self.figures["weak_hand_ms"]
            if note.row == KICK:
                self.kick[start] = late
            hard = self.weight.mark(note.row, note.weight) + level + self.timing.looseness * touch
            yield Struck(
                note,
                self.timing.start(note, late),
                max(1, round(self.timing.length(note))),
                velocity(hard),
                self.timing.grid(note),
            )

    def _stray(self, row: str) -> Wander:
        """The deviations of one voice's own."""
        if row not in self.strays:
            if row in TIMEKEEPERS:
                self.strays[row] = Wander(self.figures["hand_memory"], self.rng)
            else:
                self.strays[row] = Wander(self.profile.memory, self.rng, self.figures["far"])
        return self.strays[row]

    def _habit(self, of: str, size: float) -> float:
        """This take's own place in ms of a voice or a part of the beat."""
        if of not in self.habits:
            self.habits[of] = max(-2.0, min(2.0, self.rng.gauss(0, 1)))
        return self.habits[of] * size

    def _place(self, row: str, place: Place, even: bool) -> float:
        """The lateness of a voice at a time of the bar, in ms: the family's, and this take's own.

        even: whether nothing swings.
        """
        profile, voice = self.profile, self.profile.voice(row)
        late = voice.place_ms + voice.places[place.line]
        if even or place.line % profile.lines == 0:
            late += profile.metre_ms[place.line]  # else the swing ratio says where the offbeat lies
        names = f"{place.part:.3f}", row, f"{row} {place.part:.3f}"
        for name, share in zip(names, self.figures["habits"], strict=True):
            late += self._habit(name, share * profile.habit_sd_ms)
        return late
