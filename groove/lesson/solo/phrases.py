"""Makes phrases: a rhythm and a contour become notes under a hand, over the chords of some bars."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from random import Random

from groove.lesson.solo.endings import Endings
from groove.lesson.solo.entries import entered
from groove.lesson.solo.ground import SoloGround
from groove.lesson.solo.hands import Hand
from groove.lesson.solo.ladders import Ladder, Ladders
from groove.lesson.solo.melody import Range, Sung, contour_of, sing
from groove.lesson.solo.motifs import Motifs
from groove.lesson.solo.notes import MadeLine, SoloNote
from groove.lesson.solo.plan import CALL, END, PEAK, TAIL, Phrase
from groove.lesson.solo.rhythms import Frame, Strokes, frame, rules
from groove.lesson.solo.signs import wanted
from groove.lesson.solo.taste import phrase_fault
from groove.theory.keys import Key
from groove.theory.motion import OCTAVE
from groove.theory.pitch import Degree

NEAR = 1  # semitones from the middle of its range that a phrase may lie lower


@dataclass(frozen=True, slots=True)
class _Attempt:
    """A phrase, how much is wrong with it, and the rhythm, contour and pitches of its motif."""

    made: MadeLine
    fault: float
    motif: tuple[Strokes, tuple[int, ...], list[int]]


class Maker:
    """Makes the phrases of one solo, one after the other.

    low: what each semitone costs that a phrase lies too low; nothing unless it is set.
    """

    def __init__(
        self,
        ground: SoloGround,
        ladders: Ladders,
        hands: Mapping[Key, tuple[Hand, ...]],
        learner: str,
        rng: Random,
    ) -> None:
        self.ground, self.ladders, self.hands = ground, ladders, hands
        self.learner, self.rng = learner, rng
        self.motifs = Motifs(learner, rng)
        self._endings = Endings(ground, ladders, learner)
        self.before: int | None = None
        self.top: int | None = None
        self.free = 0
        self.hand: Hand | None = None
        self.peak_at = -1
        self.heard: list[MadeLine] = []
        self.low = 0.0
        notes, own = rules()["signs"]["notes"], wanted(ground, learner)
        self.colours = "tension" in own
        self.motifs.longest = max((notes.get(sign, 0) for sign in own), default=0)
        self.fault = 0.0
        often = rules()["often"]
        self.bright: bool = rng.random() < often["bright"]
        self.ends_bright: bool = rng.random() < often["ends_bright"]

    def make(self, phrase: Phrase) -> MadeLine:
        """The next phrase: of some attempts the one with which the least is wrong."""
        best: _Attempt | None = None
        for turn in range(rules()["faults"]["attempts"]):
            attempt = self._attempted(phrase, turn)
            if best is None or attempt.fault < best.fault:
                best = attempt
            if best.fault < 1:
                break
        assert best
        self.fault += best.fault
        made = best.made
        if made.notes:
            self.before, self.hand = made.notes[-1].pitch, made.hand
            self.free = made.notes[-1].start + 2 * made.frame.pulses[0].length
            self.motifs.remember(phrase, made.frame, *best.motif)
            self.heard.append(made)
        return made

    def _attempted(self, phrase: Phrase, turn: int) -> _Attempt:
        """A phrase as it may be; turn: how many attempts there were before it."""
        beats = frame(self.ground, phrase.first, phrase.last, self.learner)
        key = self.ground.bars[phrase.first].key
        hands = self.hands[key]
        hand = hands[-1] if phrase.height > rules()["plan"]["upper"] else hands[0]
        if phrase.role == END:
            like, treatment = None, "home"
            beats, strokes, contour = self._endings.choose(phrase, self.motifs, self.free)
            contour = contour or self.motifs.contour(len(strokes), closes=True)
        else:
            strokes, contour, like, treatment = self.motifs.treated(phrase, beats)
        plain = strokes
        room = beats.start - self.free
        strokes, lead, more = entered(phrase.entry, beats, strokes, self.learner, room)
        if lead:
            below = contour[0] - 1
            contour = (*range(below - lead + 1, below + 1), *contour)
            like = [like[0] - 2] * lead + like if like else None
        if more:
            turn_over = self.rng.choice((1, -1))
            steps = [turn_over * n for n in range(more - 1, -1, -1)] if more > 1 else [turn_over]
            contour = (*contour, *(contour[-1] + step for step in steps))
            like = [*like, *(like[-1] + 2 * step for step in steps)] if like else None
        strokes, contour, like = self._heard(beats, strokes, contour, like)
        if strokes:
            start, length = strokes[-1]
            strokes = (*strokes[:-1], (start, max(length, beats.pulses[0].length)))
        else:
            return _Attempt(MadeLine(phrase, beats, hand, []), 0, ((), (), []))
        if self.hand and self.hand in hands and beats.start + strokes[0][0] < self.free:
            hand = self.hand
        bright = self._is_bright(phrase)
        sung = self._sung(beats, strokes, key, bright)
        sung[-1] = self._aimed(sung[-1], phrase, beats, strokes, key)
        span = self._range(phrase, hand, hands, beats, key)
        pitches = sing(
            sung, contour, span, self.rng,
            firm=rules()["costs"]["firm"] if treatment == "sequence" else 1.0, before=self.before,
            guide=rules()["learners"][self.learner]["guide"], like=like,
            other=self._other(treatment, turn, len(strokes), lead),
        )  # fmt: skip
        places = hand.fingered(pitches)
        notes = [
            SoloNote(beats.start + start, length, pitch, note.ladder, place, note.strong)
            for (start, length), pitch, note, place in zip(
                strokes, pitches, sung, places, strict=True
            )
        ]
        for note, asked in zip(notes, sung, strict=True):
            if asked.held is not None and note.pitch % OCTAVE not in asked.held.tones:
                note.length = self.ground.change_at(note.start).end - note.start
        made = MadeLine(phrase, beats, hand, notes, treatment)
        fault = phrase_fault(made, self.ground, self.learner, self.free, self.heard)
        mean = sum(pitches) / len(pitches)
        fault += self.low * max(span.middle - mean - NEAR, 0)
        shape, own = contour_of(pitches, sung)[lead:], pitches[lead:]
        if more and len(plain) == len(shape) - more:
            shape, own = shape[:-more], own[:-more]
        if len(plain) != len(shape):
            plain = strokes[lead:]
        return _Attempt(made, fault, (plain, shape, own))

    def _other(self, treatment: str, turn: int, count: int, lead: int) -> int | None:
        """The note of a motif that comes back which is another than before, if one has to be."""
        copies = rules()["learners"][self.learner]["copies"]
        if treatment == "repeat" and (turn or not copies):
            return self.rng.choice((lead, count - 1))
        return None

    def _heard(
        self,
        beats: Frame,
        strokes: Strokes,
        contour: tuple[int, ...],
        like: list[int] | None,
    ) -> tuple[Strokes, tuple[int, ...], list[int] | None]:
        """The notes of a phrase that are played where some bars are silent."""
        silent = self.ground.is_silent
        keep = [n for n, (start, _) in enumerate(strokes) if not silent(beats.start + start)]
        if len(keep) == len(strokes):
            return strokes, contour, like
        if len(keep) < 2:
            return (), (), None
        return (
            tuple(strokes[n] for n in keep),
            tuple(contour[n] for n in keep),
            [like[n] for n in keep] if like else None,
        )

    def _aimed(self, last: Sung, phrase: Phrase, beats: Frame, strokes: Strokes, key: Key) -> Sung:
        """The last note of a phrase, drawn to the degrees of the chord there that end it."""
        goals = rules()["goals"]
        ladder = last.ladder
        tonic = key.tonic.pitch_class
        missed = float(goals["missed"])
        if phrase.role == END:
            third = key.tonic + Degree(3, -1 if self.ground.harmonies[key].mode == "minor" else 0)
            own = {}
            for name, degree in ((key.tonic, "1"), (third, "3")):
                if name.pitch_class in ladder.tones:
                    own[ladder.degree(name.pitch_class)] = float(goals["home"][degree])
            missed = float(goals["missed_home"]) if own else missed
            return replace(last, aim=own or goals["closed"], missed=missed)
        aims = dict(goals["closed" if phrase.role == TAIL else "open"])
        home = ladder.degree(tonic)
        if phrase.role in (CALL, PEAK):
            aims[home] = max(2.0, aims.get(home, 0))
        if not any(degree in aims for degree in map(ladder.degree, ladder.tones)):
            aims |= {ladder.degree(pc): 0.5 for pc in ladder.tones}
        return replace(last, aim=aims, missed=missed)

    def _ladder_for(self, tick: int, length: int, beats: Frame, key: Key, bright: bool) -> Ladder:
        """The scale for a note: of the next chord, where it comes just before and holds on."""
        here = self.ground.change_at(tick)
        half = beats.pulses[0].length // 2
        if tick + half >= here.end and tick + length > here.end and here.end < self.ground.end:
            return self.ladders.at(here.end, key, bright=bright)
        return self.ladders.over(here, key, bright=bright)

    def _sung(
        self,
        beats: Frame,
        strokes: Strokes,
        key: Key,
        bright: bool,
    ) -> list[Sung]:
        adjusted = rules()["learners"][self.learner]["adjusted"]
        pulses = {pulse.start: pulse.length for pulse in beats.pulses}
        pulse = beats.pulses[0].length
        found = []
        for place, (start, length) in enumerate(strokes):
            tick = beats.start + start
            change = self.ground.change_at(tick)
            early = change.end - tick <= pulse // 2 and tick + length > change.end
            fresh = tick in self.ground.starts or early
            last = place == len(strokes) - 1
            downbeat = any(bar.start == tick for bar in self.ground.bars[beats.first : beats.last])
            end = tick + length
            crosses = change.end < min(end, self.ground.end) and not early
            held = self.ladders.at(change.end, key, bright=bright) if crosses else None
            found.append(
                Sung(
                    self._ladder_for(tick, length, beats, key, bright),
                    strong=last or (adjusted and (fresh or downbeat)),
                    on_beat=start in pulses and length * 2 >= pulse,
                    long=length >= pulse,
                    fresh=fresh,
                    held=held,
                    barred=place > 0 and self._barred(beats.start + strokes[place - 1][0], tick),
                    colour=self.colours and length >= pulse and not last,
                )
            )
        return found

    def _barred(self, before: int, tick: int) -> bool:
        """True if a bar line is between two notes."""
        return any(before < bar.start <= tick for bar in self.ground.bars)

    def _range(
        self, phrase: Phrase, hand: Hand, hands: Sequence[Hand], beats: Frame, key: Key
    ) -> Range:
        pitches = hand.pitches
        top = self._highest(hands, key)
        middle = top - 12 + 8 * phrase.height
        if phrase.role == PEAK:
            return Range([p for p in pitches if p <= top], middle, top)
        low = top - 12 if self.peak_at == phrase.last else 0
        return Range([p for p in pitches if low <= p < top], middle)

    def _is_bright(self, phrase: Phrase) -> bool:
        """True if a phrase has the major third of a dominant at home: calls are dark or bright by
        their motif, answers the other way."""
        if phrase.role == END:
            return self.ends_bright
        return self.bright != ((phrase.role == TAIL) != bool(phrase.motif % 2))

    def _highest(self, hands: Sequence[Hand], key: Key) -> int:
        """The highest note of the solo."""
        return self.top if self.top is not None else hands[-1].pitches[-1]

    def reach_for(self, phrase: Phrase) -> None:
        """Set the highest note of the solo: a chord tone of its peak near the top of the hand,
        for a beginner any note of the box there."""
        self.peak_at = phrase.first
        beats = frame(self.ground, phrase.first, phrase.last, self.learner)
        key = self.ground.bars[phrase.first].key
        middle = beats.start + beats.length // 4
        ladder = self.ladders.at(middle, key, bright=self._is_bright(phrase))
        pitches = self.hands[key][-1].pitches
        near = ladder.tones
        if rules()["learners"][self.learner]["boxed"]:
            near = frozenset(ladder.names) - ladder.avoid
        tones = [p for p in pitches if p % OCTAVE in near]
        self.top = (tones or pitches)[
            -1 if self.rng.random() < rules()["often"]["topmost"] else -2 :
        ][0]
