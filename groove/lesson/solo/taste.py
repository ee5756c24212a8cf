"""The faults of a solo's phrases; the weights are data (rules.toml, `faults`)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from groove.lesson.solo.entries import runs_over
from groove.lesson.solo.ground import SoloGround
from groove.lesson.solo.ladders import Ladder
from groove.lesson.solo.notes import MadeLine, SoloNote
from groove.lesson.solo.plan import CALL, PEAK
from groove.lesson.solo.rhythms import rules
from groove.lesson.solo.signs import missing
from groove.theory.motion import OCTAVE

CLOSED = ("1", "3", "b3", "5")
OPEN = ("7", "b7", "bb7", "6")
Shape = tuple[tuple[int, int], ...]
"""Starts from the bar line before the first note and pitches of a phrase."""


def seesaws(notes: Sequence[SoloNote]) -> int:
    """The number of times that a phrase rocks, x-y-x-y."""
    pitches = [note.pitch for note in notes]
    fours = zip(pitches, pitches[1:], pitches[2:], pitches[3:], strict=False)
    return sum(a == c and b == d and a != b for a, b, c, d in fours)


def struck_over(notes: Sequence[SoloNote], ground: SoloGround) -> int:
    """The number of times that a note is struck again after a bar line."""
    lines = [bar.start for bar in ground.bars]
    return sum(
        a.pitch == b.pitch and any(a.start < line <= b.start for line in lines)
        for a, b in pairwise(notes)
    )


def jumps(notes: Sequence[SoloNote], seconds: float) -> int:
    """The number of times that quick notes go to and fro over too many frets."""
    most, found = rules()["reach"]["jump"], 0
    for a, b, c in zip(notes, notes[1:], notes[2:], strict=False):
        frets = [note.place.fret for note in (a, b, c)]
        out, back = frets[1] - frets[0], frets[2] - frets[1]
        quick = max(b.start - a.start, c.start - b.start) * seconds < rules()["reach"]["quick"]
        found += (
            quick
            and all(frets)
            and min(abs(out), abs(back)) >= most
            and out * back < 0
            and (max(abs(out), abs(back)) > most)
        )
    return found


def ends_well(note: SoloNote, ladder: Ladder, role: str) -> bool:
    """True if a phrase ends on root, third or fifth, a call on the seventh too; also where the
    scale over the chord has none of them."""
    good = CLOSED + (OPEN[:3] if role in (CALL, PEAK) else ())
    near = [pc for pc in ladder.names if ladder.degree(pc) in good]
    return ladder.degree(note.pitch) in good or not near


def poor_avoided(notes: Sequence[SoloNote], pulse: int, start: int) -> int:
    """The number of notes to pass over that stand on a beat or are struck twice."""
    found = 0
    for note, after in zip(notes, [*notes[1:], None], strict=True):
        if note.pitch % OCTAVE in note.ladder.avoid:
            on_beat = (note.start - start) % pulse == 0 and note.length * 2 > pulse
            found += on_beat or (after is not None and after.pitch == note.pitch)
    return found


def shape(made: MadeLine) -> Shape:
    """A phrase as it is compared with others."""
    bar = made.frame.length // (made.frame.last - made.frame.first)
    line = made.notes[0].start // bar * bar
    return tuple((note.start - line, note.pitch) for note in made.notes)


def phrase_fault(
    made: MadeLine, ground: SoloGround, learner: str, free: int, heard: Sequence[MadeLine]
) -> float:
    """The weighted faults of a phrase after those that were heard."""
    cost, notes, pulse = rules()["faults"], made.notes, made.frame.pulses[0].length
    if not notes:
        return 0
    fault = cost["early"] * (notes[0].start < free)
    if heard and abs(notes[0].pitch - heard[-1].notes[-1].pitch) > OCTAVE:
        fault += cost["leap"]
    rocks = seesaws(notes)
    fault += cost["seesaw"] * max(rocks - (not any(seesaws(m.notes) for m in heard)), 0) + rocks
    fault += cost["struck"] * struck_over(notes, ground)
    fault += cost["doubled"] * (len(notes) > 1 and notes[-1].pitch == notes[-2].pitch)
    fault += cost["end"] * (not ends_well(notes[-1], notes[-1].ladder, made.phrase.role))
    fault += cost["jump"] * jumps(notes, ground.seconds(made.phrase.first))
    fault += cost["avoid"] * poor_avoided(notes, pulse, made.frame.start)
    fault += cost["same"] * (2 * Counter(n.pitch for n in notes).most_common(1)[0][1] > len(notes))
    fault += cost["short"] * (notes[-1].length < pulse)
    fault += cost["scrap"] * (len(notes) < cost["fewest"])
    strokes = tuple((n.start - made.frame.start, n.length) for n in notes)
    fault += cost["entry"] * (bool(made.phrase.entry) and not runs_over(made.frame, strokes))
    if shape(made) in map(shape, heard):
        allowed = int(rules()["learners"][learner]["copies"])
        fault += cost["copy"] * (copies([*heard, made]) > allowed)
    return float(fault)


def solo_fault(phrases: Sequence[MadeLine], ground: SoloGround, learner: str) -> float:
    """The weighted faults of a whole solo, with its techniques."""
    cost = rules()["faults"]
    heard = [made for made in phrases if made.notes]
    fault = cost["seesaw"] * max(sum(seesaws(made.notes) for made in heard) - 1, 0)
    over = 0
    for made in heard:
        notes, pulse = made.notes, made.frame.pulses[0].length
        strokes = tuple((n.start - made.frame.start, n.length) for n in notes)
        over += runs_over(made.frame, strokes)
        fault += cost["struck"] * struck_over(notes, ground)
        fault += cost["jump"] * jumps(notes, ground.seconds(made.phrase.first))
        fault += cost["short"] * (notes[-1].length < pulse)
        fault += cost["avoid"] * poor_avoided(notes, pulse, made.frame.start)
        fault += cost["end"] * (not ends_well(notes[-1], notes[-1].ladder, made.phrase.role))
    allowed = int(rules()["learners"][learner]["copies"])
    fault += cost["copy"] * max(copies(heard) - allowed, 0)
    fault += cost["even"] * max(len(phrases) // rules()["entries"]["every"] - over, 0)
    fault += cost["dropped"] * (len(phrases) - len(heard))
    return float(fault + cost["sign"] * missing(heard, ground, learner))


def copies(phrases: Sequence[MadeLine]) -> int:
    """The number of phrases that are as an earlier one was, note for note."""
    shapes = Counter(shape(made) for made in phrases if made.notes)
    return sum(shapes.values()) - len(shapes)
