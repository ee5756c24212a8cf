"""Makes phrases: a rhythm and a contour become notes under a hand, over the chords of some bars."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from random import Random

from groove import library
from groove.instrument.fretboard import Place
from groove.lesson.solo.ground import Ground
from groove.lesson.solo.hands import Hand
from groove.lesson.solo.ladders import Ladder, Ladders
from groove.lesson.solo.melody import Range, Sung, contour_of, sing
from groove.lesson.solo.plan import CALL, END, PEAK, TAIL, Phrase
from groove.lesson.solo.rhythms import Frame, Strokes, choose, ends, frame, made, rules
from groove.theory.keys import Key
from groove.theory.motion import OCTAVE
from groove.theory.pitch import Degree, NoteName

FEWEST_AT_END = 4  # notes of a last phrase, if there is a choice
FIRM = 2.0  # how much more the contour counts where a motif is moved
MOTIF_NOTES = range(3, 7)
AWAY = 5.0  # the cost of a last note over a chord that has neither root nor third of home
NO_END = 9.0, 0, False

_Ending = tuple[tuple[float, int, bool], Frame, Strokes, tuple[int, ...]]
"""What it costs to end there, the beats, the rhythm and its contour."""
TOPMOST = 0.6  # how often the highest chord tone under the hand is the peak, not the one below


@dataclass(slots=True)
class Note:
    """A note while it is being made. pitch: as it sounds, at the top of a bend."""

    start: int
    length: int
    pitch: int
    ladder: Ladder
    place: Place
    strong: bool = False
    joined: str = ""
    bend: Fraction = Fraction(0)
    release: bool = False
    below: tuple[int, Place] | None = None  # the lower note of a double stop
    name: NoteName | None = None  # where it is not on the ladder

    @property
    def end(self) -> int:
        """The tick at which it ends."""
        return self.start + self.length


@dataclass(slots=True)
class Made:
    """A phrase with its notes, and the hand that plays them."""

    phrase: Phrase
    frame: Frame
    hand: Hand
    notes: list[Note]
    treatment: str = ""


@dataclass(slots=True)
class Motif:
    """A rhythm and a contour, and the pitches of the last time that it was sung."""

    strokes: Strokes
    contour: tuple[int, ...]
    pitches: list[int] = field(default_factory=list)
    length: int = 0
    times: int = 1


class Maker:
    """Makes the phrases of one solo, one after the other."""

    def __init__(
        self,
        ground: Ground,
        ladders: Ladders,
        hands: Mapping[Key, tuple[Hand, ...]],
        learner: str,
        rng: Random,
    ) -> None:
        self.ground, self.ladders, self.hands = ground, ladders, hands
        self.learner, self.rng = learner, rng
        self.calls: dict[int, Motif] = {}
        self.tails: dict[int, Motif] = {}
        self.before: int | None = None
        self.top: int | None = None
        self.free = 0
        self.hand: Hand | None = None
        self.peak_at = -1
        self.shape, self.part, self.count = "", "", MOTIF_NOTES
        self.bright, self.ends_bright = rng.random() < 0.4, rng.random() < 0.6

    def make(self, phrase: Phrase, number: int) -> Made:
        """The next phrase. number: of all before it with its role."""
        beats = frame(self.ground, phrase.first, phrase.last, self.learner)
        key = self.ground.bars[phrase.first].key
        hands = self.hands[key]
        hand = hands[-1] if phrase.height > 0.72 else hands[0]
        if phrase.role == END:
            (beats, strokes, contour), like, treatment = self._end(phrase), None, "home"
            contour = contour or self._contour(len(strokes), closes=True)
        else:
            strokes, contour, like, treatment = self._treated(phrase, beats)
        strokes, contour, like = self._heard(beats, strokes, contour, like)
        if not strokes:
            return Made(phrase, beats, hand, [])
        if self.hand and self.hand in hands and beats.start + strokes[0][0] < self.free:
            hand = self.hand
        self.hand = hand
        bright = self._is_bright(phrase)
        sung = self._sung(beats, strokes, key, bright)
        sung[-1] = self._aimed(sung[-1], phrase, beats, strokes, key)
        span = self._range(phrase, hand, hands, beats, key)
        pitches = sing(
            sung, contour, span, self.rng,
            firm=FIRM if treatment == "sequence" else 1.0, before=self.before,
            guide=rules()["learners"][self.learner]["guide"], like=like,
        )  # fmt: skip
        self.before = pitches[-1]
        self.free = beats.start + strokes[-1][0] + 2 * beats.pulses[0].length
        self._remember(phrase, beats, strokes, contour_of(pitches, sung), pitches)
        places = hand.fingered(pitches)
        notes = [
            Note(beats.start + start, length, pitch, note.ladder, place, note.strong)
            for (start, length), pitch, note, place in zip(
                strokes, pitches, sung, places, strict=True
            )
        ]
        for note, asked in zip(notes, sung, strict=True):
            if asked.held is not None and note.pitch % OCTAVE not in asked.held.tones:
                note.length = self.ground.change_at(note.start).end - note.start
        return Made(phrase, beats, hand, notes, treatment)

    def _treated(
        self, phrase: Phrase, beats: Frame
    ) -> tuple[Strokes, tuple[int, ...], list[int] | None, str]:
        """The motif of a phrase, new or in another shape, and the pitches that it keeps to."""
        known = self.tails if phrase.role == TAIL else self.calls
        motif = known.get(phrase.motif)
        if motif is None or motif.length != beats.length:
            part = self.part or ("tails" if phrase.role == TAIL else "calls")
            strokes = choose(beats, part, self.learner, self.rng, self.count)
            contour = motif.contour if motif else ()
            if len(contour) != len(strokes):
                contour = self._contour(len(strokes), closes=phrase.role == TAIL)
            return strokes, contour, None, "new"
        treatment = self._treatment(phrase)
        strokes, contour, pitches = motif.strokes, motif.contour, motif.pitches
        if treatment == "later":
            shift = beats.pulses[0].length
            if beats.table and strokes[-1][0] + shift < beats.length * 3 // 4:
                moved = tuple((start + shift, length) for start, length in strokes)
                return moved, contour, pitches, "later"
            treatment = "repeat"
        if treatment == "shorter" and len(strokes) > 4:
            return strokes[2:], contour[2:], pitches[2:], "shorter"
        if treatment == "sequence":
            return strokes, contour, None, "sequence"
        return strokes, contour, pitches, "repeat"

    def _treatment(self, phrase: Phrase) -> str:
        if phrase.role == PEAK:
            return "sequence"
        known = self.tails if phrase.role == TAIL else self.calls
        often = known[phrase.motif].times > 1
        kind = "often" if often else "tail" if phrase.role == TAIL else "call"
        weights = rules()["treatments"][kind]
        return str(self.rng.choices(list(weights), list(weights.values()))[0])

    def _contour(self, count: int, *, closes: bool) -> tuple[int, ...]:
        table = library.load("lesson/solo", "contours")
        if count < 2:
            return (0,) * count
        longest = max(int(name) for name in table)
        words = table[str(min(count, longest))]
        shapes = [tuple(int(step) for step in text.split()) for text in words]
        if self.shape:
            shapes = [s for s in shapes if shape_of(s) == self.shape] or shapes
        if closes:
            shapes = [s for s in shapes if abs(s[-2]) == 1] or shapes
        shape = self.rng.choice(shapes)
        lead = tuple(shape[0] for _ in range(count - len(shape)))
        return lead + shape

    def _heard(
        self,
        beats: Frame,
        strokes: Strokes,
        contour: tuple[int, ...],
        like: list[int] | None,
    ) -> tuple[Strokes, tuple[int, ...], list[int] | None]:
        """What of a phrase is played where some bars are silent."""
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

    def _end(self, phrase: Phrase) -> tuple[Frame, Strokes, tuple[int, ...]]:
        """A rhythm whose last note falls where home sounds best, and leaves room; its contour.

        It is a motif that was heard before, if its last note falls there. It may come a bar early,
        with its first notes in the bar before.
        """
        frames = [frame(self.ground, phrase.first, phrase.last, self.learner)]
        if phrase.first and phrase.last - phrase.first <= 2:
            early = frame(self.ground, phrase.first - 1, phrase.first + 1, self.learner)
            frames.append(early)
        key = self.ground.bars[phrase.first].key
        found = self._endings(phrase, frames, self.free)
        best = min((each[0] for each in found), default=NO_END)
        if best[0] >= AWAY:
            found = self._endings(phrase, frames, self.free - frames[0].pulses[0].length)
            best = min((each[0] for each in found), default=NO_END)
        if best[0] > 1:
            beats = frames[0]
            strong = [p.start for p in beats.pulses[1:] if self._is_strong(beats.start + p.start)]
            goals = [(self._home_cost(beats, tick, key), -tick) for tick in strong]
            cost, tick = min(goals, default=(9.0, 0))
            if cost < best[0]:
                return beats, made(beats, self.rng, goal=-tick), ()
        if not found:
            return frames[0], made(frames[0], self.rng), ()
        _, beats, strokes, contour = self.rng.choice([each for each in found if each[0] == best])
        if len(contour) > 1 and abs(contour[-2]) > 2:
            contour = ()
        return beats, strokes, contour

    def _endings(self, phrase: Phrase, frames: Sequence[Frame], free: int) -> list[_Ending]:
        """The rhythms that may end a solo, the motifs that were heard twice as often."""
        key = self.ground.bars[phrase.first].key
        found: list[_Ending] = []
        for place, beats in enumerate(frames):
            known = [m for m in (self.tails.get(phrase.motif), self.calls.get(phrase.motif)) if m]
            heard = [(m.strokes, m.contour) for m in known if m.length == beats.length]
            new: list[tuple[Strokes, tuple[int, ...]]] = [
                (strokes, ()) for strokes in ends(beats, self.learner)
            ]
            for strokes, contour in (*heard, *heard, *new):
                start, goal = strokes[0][0], strokes[-1][0]
                if beats.start + start < free or not self._is_strong(beats.start + goal):
                    continue
                rank = self._home_cost(beats, goal, key), place, len(strokes) < FEWEST_AT_END
                found.append((rank, beats, strokes, contour))
        return found

    def _home_cost(self, beats: Frame, tick: int, key: Key) -> float:
        change = self.ground.change_at(beats.start + tick)
        tones = self.ladders.over(change, key).tones
        home = self.ground.harmonies[key]
        third = key.tonic + Degree(3, -1 if home.mode == "minor" else 0)
        if change.chord.root.pitch_class == key.tonic.pitch_class:
            return 0
        if key.tonic.pitch_class in tones:
            return 1
        return 2 if third.pitch_class in tones else AWAY

    def _is_strong(self, tick: int) -> bool:
        bar = next(b for b in self.ground.bars if b.start <= tick < b.end)
        at = tick - bar.start
        return at == 0 or at in bar.meter.group_starts or at == bar.length // 2

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
        adult = self.learner != "beginner"
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
                    strong=last or (adult and (fresh or downbeat)),
                    on_beat=start in pulses and length * 2 >= pulse,
                    long=length >= pulse,
                    fresh=fresh,
                    held=held,
                )
            )
        return found

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
        """Whether a phrase has the major third of a dominant at home: calls are dark or bright by
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
        if self.learner == "beginner":
            near = frozenset(ladder.names) - ladder.avoid
        tones = [p for p in pitches if p % OCTAVE in near]
        self.top = (tones or pitches)[-1 if self.rng.random() < TOPMOST else -2 :][0]

    def _remember(
        self,
        phrase: Phrase,
        beats: Frame,
        strokes: Strokes,
        contour: tuple[int, ...],
        pitches: list[int],
    ) -> None:
        if phrase.role == END:
            return
        known = self.tails if phrase.role == TAIL else self.calls
        if phrase.motif not in known or known[phrase.motif].length != beats.length:
            known[phrase.motif] = Motif(strokes, contour, pitches, beats.length)
        else:
            known[phrase.motif].times += 1


def _spared(heard: Sequence[Made], answer: Made) -> bool:
    """True if an answer may be left out: no leap over an octave is left in its place."""
    place = next(n for n, phrase in enumerate(heard) if phrase is answer)
    if answer.phrase.role != TAIL or not 0 < place < len(heard) - 1:
        return False
    return abs(heard[place + 1].notes[0].pitch - heard[place - 1].notes[-1].pitch) <= OCTAVE


def _detached(heard: Sequence[Made], most: float) -> None:
    """Halve the longest notes until they fill no more ticks than that."""
    notes = sorted(
        (n for phrase in heard for n in phrase.notes), key=lambda n: (-n.length, n.start)
    )
    total = sum(note.length for note in notes)
    for note in notes:
        if total > most:
            total -= note.length - note.length // 2
            note.length //= 2


def shape_of(contour: Sequence[int]) -> str:
    """Whether a contour falls, rises, is an arch or a valley."""
    high, low, count = contour.index(max(contour)), contour.index(min(contour)), len(contour)
    if 0 < high < count - 1 and max(contour) > max(contour[0], contour[-1]):
        return "arch"
    if 0 < low < count - 1 and min(contour) < min(contour[0], contour[-1]):
        return "valley"
    return "fall" if contour[0] > contour[-1] else "rise"


def shortened(phrases: Sequence[Made], share: float, length: int) -> None:
    """Shorten last notes of phrases, so that a rest follows and the solo leaves room.

    share: most of the whole in which notes may sound; length: of the whole, in ticks.
    """
    heard = [phrase for phrase in phrases if phrase.notes]
    for phrase in heard:
        last, pulse = phrase.notes[-1], phrase.frame.pulses[-1].length
        last.length = max(min(last.end, phrase.frame.end - pulse) - last.start, pulse // 2)
    for number, phrase in enumerate(heard[:-1]):
        last, after = phrase.notes[-1], heard[number + 1].notes[0]
        pulse, room = phrase.frame.pulses[0].length, after.start - last.start
        rest = pulse if room >= 2 * pulse else pulse // 2
        last.length = min(last.length, room - rest if room > rest else room)
    while sum(note.length for phrase in heard for note in phrase.notes) > share * length:
        longest = max(heard, key=lambda phrase: phrase.notes[-1].length)
        pulse = longest.frame.pulses[0].length
        if longest.notes[-1].length > pulse // 2:
            longest.notes[-1].length -= pulse // 2
            continue
        answers = [phrase for phrase in heard if _spared(heard, phrase)]
        if not answers:
            _detached(heard, share * length)
            return
        heard = [phrase for phrase in heard if phrase is not answers[-1]]
        answers[-1].notes.clear()
