"""The motifs of a solo: how they begin, and in what shapes they come back.

A motif is a rhythm and a contour. It comes back as it was as far as the chords let it, a step of
the scale higher, a beat later or without its first notes; how often is data
(patterns/lesson/solo/rules.toml, `treatments`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from random import Random

from groove import library
from groove.lesson.solo.plan import END, PEAK, TAIL, Phrase
from groove.lesson.solo.rhythms import Frame, Strokes, choose, rules


@dataclass(slots=True)
class Motif:
    """A rhythm and a contour, and the pitches of the last time that it was sung."""

    strokes: Strokes
    contour: tuple[int, ...]
    pitches: list[int] = field(default_factory=list)
    length: int = 0
    times: int = 1


class Motifs:
    """The motifs of one solo, of calls and of answers.

    shape, part, count: the contour (fall, rise, arch, valley), the part of the rhythms and the
    number of notes that new ones have, if they are asked for. longest: the most notes of a call, if
    it may have more.
    """

    def __init__(self, learner: str, rng: Random) -> None:
        self.learner, self.rng = learner, rng
        self.calls: dict[int, Motif] = {}
        self.tails: dict[int, Motif] = {}
        figures = rules()["motifs"]
        self.shape, self.part = "", ""
        self.count = range(figures["fewest"], figures["most"] + 1)
        self.longest = 0

    @property
    def are_new(self) -> bool:
        """True if none of the motifs has come back more than once."""
        return all(motif.times <= 2 for motif in (*self.calls.values(), *self.tails.values()))

    def of(self, phrase: Phrase) -> dict[int, Motif]:
        """The motifs that a phrase draws on, by their numbers."""
        return self.tails if phrase.role == TAIL else self.calls

    def treated(
        self, phrase: Phrase, beats: Frame
    ) -> tuple[Strokes, tuple[int, ...], list[int] | None, str]:
        """The motif of a phrase, new or in another shape, and the pitches that it keeps to."""
        known = self.of(phrase)
        motif = known.get(phrase.motif)
        if motif is None or motif.length != beats.length:
            part = self.part or ("tails" if phrase.role == TAIL else "calls")
            count = self.count
            if self.longest and phrase.role != TAIL:
                count = range(count.start, self.longest + 1)
            strokes = choose(beats, part, self.learner, self.rng, count)
            contour = motif.contour if motif else ()
            if len(contour) != len(strokes):
                contour = self.contour(len(strokes), closes=phrase.role == TAIL)
            return strokes, contour, None, "new"
        treatment = self._treatment(phrase)
        strokes, contour, pitches = motif.strokes, motif.contour, motif.pitches
        figures = rules()["motifs"]
        if treatment == "later":
            shift = beats.pulses[0].length
            if beats.table and strokes[-1][0] + shift < beats.length * figures["latest"]:
                moved = tuple((start + shift, length) for start, length in strokes)
                return moved, contour, pitches, "later"
            treatment = "repeat"
        if treatment == "shorter" and len(strokes) > 2 * figures["shortened"]:
            cut = slice(figures["shortened"], None)
            return strokes[cut], contour[cut], pitches[cut], "shorter"
        if treatment == "sequence":
            return strokes, contour, None, "sequence"
        return strokes, contour, pitches, "repeat"

    def _treatment(self, phrase: Phrase) -> str:
        if phrase.role == PEAK:
            return "sequence"
        known = self.of(phrase)
        often = known[phrase.motif].times > 1
        kind = "often" if often else "tail" if phrase.role == TAIL else "call"
        weights = rules()["treatments"][kind]
        return str(self.rng.choices(list(weights), list(weights.values()))[0])

    def contour(self, count: int, *, closes: bool) -> tuple[int, ...]:
        """A contour for so many notes; closes: whether it goes to its last note by step."""
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

    def remember(
        self,
        phrase: Phrase,
        beats: Frame,
        strokes: Strokes,
        contour: tuple[int, ...],
        pitches: list[int],
    ) -> None:
        """Keep a phrase as its motif, or count that it came back."""
        if phrase.role == END:
            return
        known = self.of(phrase)
        if phrase.motif not in known or known[phrase.motif].length != beats.length:
            known[phrase.motif] = Motif(strokes, contour, pitches, beats.length)
        else:
            known[phrase.motif].times += 1


def shape_of(contour: Sequence[int]) -> str:
    """The kind of a contour: falling, rising, an arch or a valley."""
    high, low, count = contour.index(max(contour)), contour.index(min(contour)), len(contour)
    if 0 < high < count - 1 and max(contour) > max(contour[0], contour[-1]):
        return "arch"
    if 0 < low < count - 1 and min(contour) < min(contour[0], contour[-1]):
        return "valley"
    return "fall" if contour[0] > contour[-1] else "rise"
