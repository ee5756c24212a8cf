"""The touch of drummer and percussionists: places, habits, hands and weights of a kit.

Each take is another drummer: the profile of the family, and habits of this one's own, drawn
from how much the takes of different drummers differ.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import exp, sqrt
from random import Random

from groove.band.part import GridNote, Part
from groove.band.touch.feel import BandFeel
from groove.band.touch.graces import with_graces
from groove.band.touch.profile import profile_for
from groove.band.touch.touch import (
    LOUDEST,
    ROOM_FOR_JITTER,
    PartTiming,
    Struck,
    Wander,
    shrunk,
    velocity,
)
from groove.rhythm.box_notation import GHOST, STROKE
from groove.rhythm.kit import HAND, KIT
from groove.rhythm.patterns import DrumPattern

ROOM_FOR_PLACES = 450.0  # ms to a beat, under which the places of voices shrink
RUN = 200.0  # ms from one stroke to the next, under which the hands take turns
GHOST_LOOSER = 1.2
KICK = "kick"


def touched_drums(part: Part, feel: BandFeel, rng: Random) -> tuple[list[Struck], dict[int, float]]:
    """The strokes of a drum or percussion part as played, and the kick's deviations in ms, without
    the band's drift, by time on the grid, for the bassist; rng is the player's own."""
    drummer = _DrumTouch(part, feel, rng)
    return list(with_graces(drummer.play(), feel)), drummer.kick


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
        self.clock = Wander(self.profile.memory, rng)
        self.push = Wander(figures["weight_memory"], rng)
        self.weak = figures["weak_hand"] * exp(0.4 * rng.gauss(0, 1))
        self.wanders: dict[str, tuple[Wander, Wander]] = {}
        self.habits: dict[str, tuple[float, float]] = {}
        self.manners: dict[tuple[str, int, bool], tuple[float, float]] = {}

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
                self.manners.clear()
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
        together, by_weight = self.profile.together, self.figures["weight_together"]
        in_common, own = sqrt(together), sqrt(1 - together)
        louder, own_weight = sqrt(by_weight), sqrt(1 - by_weight)
        clock, push = self.clock.next(), self.push.next()
        level = self.feel.level(start, self.figures["level"])
        rise += self.feel.loudness_at(start)
        on_beat = self.feel.beat_part(start) == 0
        share = self.figures["on_beat_share" if on_beat else "weight_share"]
        pace = shrunk(self._ms(start, self.feel.beat), ROOM_FOR_PLACES)
        even = self.feel.ratio(start) == 1
        played = self.feel.chart.bar_at(start)
        bar = (start - played.start) % played.length
        for note in group:
            voice = self.profile.voice(note.row)
            place, lean = self.manners.get((note.row, bar, even)) or self._manner(
                note.row, bar, even
            )
            jitter, weight = self.wanders.get(note.row) or self._wanders(note.row)
            size = voice.jitter_ms * self.loose * shrunk(self.timing.room(note), ROOM_FOR_JITTER)
            ghost = note.weight <= GHOST
            stray = jitter.next() * (GHOST_LOOSER if ghost else 1.0)
            late = self.share * (pace * place + size * (in_common * clock + own * stray))
            marked = min(1.0, note.weight / STROKE)
            spread = share * voice.weight_sd * (0.4 + 0.6 * marked)
            touch = lean * marked + spread * (louder * push + own_weight * weight.next()) + rise
            if weak and KIT[note.row].limb == HAND:
                touch += self.weak
                late += self.figures["weak_hand_ms"]
            if note.row == KICK:
                self.kick[start] = late
            yield Struck(
                note,
                self.timing.start(note, late),
                max(1, round(self.timing.length(note))),
                velocity(LOUDEST * note.weight + level + self.timing.looseness * touch),
            )

    def _wanders(self, row: str) -> tuple[Wander, Wander]:
        self.wanders[row] = (
            Wander(self.profile.memory, self.rng),
            Wander(self.figures["weight_memory"], self.rng),
        )
        return self.wanders[row]

    def _habit(self, of: str, size: float, weight: float) -> tuple[float, float]:
        """This take's own place in ms and weight in velocities of a voice or a line."""
        if of not in self.habits:
            place, force = (max(-2.0, min(2.0, self.rng.gauss(0, 1))) for _ in range(2))
            self.habits[of] = size * place, weight * force
        return self.habits[of]

    def _manner(self, row: str, bar: int, even: bool) -> tuple[float, float]:
        """The lateness of a voice at a time of the bar, in ms, and the distance of a plain stroke
        there from its mark, in velocities: the family's, and this take's own.

        even: whether nothing swings.
        """
        profile, figures = self.profile, self.figures
        voice, line = profile.voice(row), profile.line(bar, self.pattern.grid)
        place = voice.place_ms + voice.places[line]
        if even or line % profile.lines == 0:
            place += profile.metre_ms[line]  # else the swing ratio says where the offbeat lies
        weight = figures["lean"] * (voice.weights[line] - figures["middle"])
        names = str(bar), row, f"{row} {bar}"
        for name, share, spread in zip(
            names, figures["habits"], figures["weight_habits"], strict=True
        ):
            moved, weighed = self._habit(name, share * profile.habit_sd_ms, spread)
            place, weight = place + moved, weight + weighed
        self.manners[row, bar, even] = place, weight
        return place, weight
