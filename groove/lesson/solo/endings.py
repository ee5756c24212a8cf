"""The end of a solo: on home, if the last two bars have it (a turnaround may follow), else on the
last chord of the round."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from groove.lesson.solo.ground import SoloGround
from groove.lesson.solo.ladders import Ladders
from groove.lesson.solo.motifs import Motifs
from groove.lesson.solo.plan import Phrase
from groove.lesson.solo.rhythms import Frame, Strokes, ends, frame, made, rules
from groove.theory.keys import Key

NO_END = 9.0, 0, 0

_Ending = tuple[tuple[float, int, int], Frame, Strokes, tuple[int, ...]]
"""The cost of ending there, the beats, the rhythm and its contour."""


@dataclass(frozen=True)
class Endings:
    """The last phrases that a round may have."""

    ground: SoloGround
    ladders: Ladders
    learner: str

    def choose(
        self, phrase: Phrase, motifs: Motifs, free: int
    ) -> tuple[Frame, Strokes, tuple[int, ...]]:
        """A rhythm whose last note falls where home sounds best, and leaves room; its contour.

        It is a motif that was heard before, if its last note falls there. It may come a bar early,
        with its first notes in the bar before. free: the tick from which it may begin.
        """
        frames = [frame(self.ground, phrase.first, phrase.last, self.learner)]
        if phrase.first and phrase.last - phrase.first <= 2:
            early = frame(self.ground, phrase.first - 1, phrase.first + 1, self.learner)
            frames.append(early)
        key = self.ground.bars[phrase.first].key
        found = self._endings(phrase, motifs, frames, free)
        best = min((each[0] for each in found), default=NO_END)
        if best[0] >= rules()["ends"]["away"]:
            found = self._endings(phrase, motifs, frames, free - frames[0].pulses[0].length)
            best = min((each[0] for each in found), default=NO_END)
        if best[0] > 1:
            beats = frames[0]
            strong = [p.start for p in beats.pulses[1:] if self._is_strong(beats.start + p.start)]
            goals = [(self._home_cost(beats, tick, key), -tick) for tick in strong]
            cost, tick = min(goals, default=(9.0, 0))
            if cost < best[0]:
                return beats, made(beats, motifs.rng, goal=-tick), ()
        if not found:
            return frames[0], made(frames[0], motifs.rng), ()
        _, beats, strokes, contour = motifs.rng.choice([each for each in found if each[0] == best])
        if len(contour) > 1 and abs(contour[-2]) > 2:
            contour = ()
        return beats, strokes, contour

    def _endings(
        self, phrase: Phrase, motifs: Motifs, frames: Sequence[Frame], free: int
    ) -> list[_Ending]:
        """The rhythms that may end a solo, the motifs that were heard twice as often."""
        key = self.ground.bars[phrase.first].key
        found: list[_Ending] = []
        for place, beats in enumerate(frames):
            known = [
                m for m in (motifs.tails.get(phrase.motif), motifs.calls.get(phrase.motif)) if m
            ]
            heard = [(m.strokes, m.contour) for m in known if m.length == beats.length]
            new: list[tuple[Strokes, tuple[int, ...]]] = [
                (strokes, ()) for strokes in ends(beats, self.learner)
            ]
            for strokes, contour in (*heard, *heard, *new):
                start, goal = strokes[0][0], strokes[-1][0]
                if beats.start + start < free or not self._is_strong(beats.start + goal):
                    continue
                poor = 2 * (len(strokes) < rules()["ends"]["fewest"]) + (
                    motifs.are_new and not contour
                )
                rank = self._home_cost(beats, goal, key), place, poor
                found.append((rank, beats, strokes, contour))
        return found

    def _home_cost(self, beats: Frame, tick: int, key: Key) -> float:
        change, bars = self.ground.change_at(beats.start + tick), self.ground.bars
        at_home = change.chord.root.pitch_class == key.tonic.pitch_class
        if at_home and beats.start + tick >= bars[-min(rules()["ends"]["bars"], len(bars))].start:
            return 0
        if change.end >= self.ground.end:
            return 1
        tones = self.ladders.over(change, key).tones
        away: float = rules()["ends"]["away"]
        return 2 if key.tonic.pitch_class in tones else away

    def _is_strong(self, tick: int) -> bool:
        bar = next(b for b in self.ground.bars if b.start <= tick < b.end)
        at = tick - bar.start
        return at == 0 or at in bar.meter.group_starts or at == bar.length // 2
