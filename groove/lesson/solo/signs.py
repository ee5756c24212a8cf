"""The signs of a style: counted in a solo, and the flat third that goes to the third written in.

Which signs belong to a style is data (rules.toml, `signs`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise
from random import Random

from groove.instrument.fretboard import Place
from groove.lesson.line import HAMMER
from groove.lesson.solo.ground import SoloGround
from groove.lesson.solo.notes import MadeLine, SoloNote
from groove.lesson.solo.rhythms import half_time, rules, table_of
from groove.rhythm.meter import TICKS_PER_QUARTER
from groove.theory.motion import OCTAVE

RUN = 8  # notes, a bar of eighths
SLOWEST = 0.999  # of the learner's fastest notes
NEAR = 7  # semitones


def wanted(ground: SoloGround, learner: str) -> tuple[str, ...]:
    """The signs of a style that a learner plays; blue ones where home is a dominant,
    sixteenths where the tempo lets them play so fast."""
    home = ground.harmonies[ground.key]
    blue = home.kind in rules()["blue"]["kinds"] and home.mode == "major"
    own = rules()["signs"].get(learner, {}).get(table_of(ground, 0), ())
    quarter = ground.seconds(0) * TICKS_PER_QUARTER
    quick = quarter / 4 * rules()["learners"][learner]["fastest"] >= SLOWEST
    possible = {"blue": blue, "sixteenths": quick, "run": not half_time(ground, 0, learner)}
    return tuple(sign for sign in own if possible.get(sign, True))


def missing(phrases: Sequence[MadeLine], ground: SoloGround, learner: str) -> int:
    """The number of signs that are missing from a solo."""
    own = wanted(ground, learner)
    if not own:
        return 0
    found = Counter(sign for made in phrases for sign in signs(made, ground))
    short = rules()["signs"]["count"]
    return sum(max(short - found[sign], 0) for sign in own)


def signs(made: MadeLine, ground: SoloGround) -> Iterator[str]:
    """The signs in a phrase, each as often as it is there."""
    notes, pulse = made.notes, made.frame.pulses[0].length
    half, start, run = pulse // 2, made.frame.start, 1
    yield from ("stop" for note in notes if note.below)
    for a, b in pairwise(notes):
        gap = b.start - a.start
        run = run + 1 if gap == half else 1
        if run == RUN:
            yield "run"
        if gap == pulse // 4 and a.length == gap:
            yield "sixteenths"
        if (a.start - start) % pulse == half and b.start - a.end >= half:
            yield "stab"
        up = b.pitch - a.pitch == 1 and a.end == b.start
        if up and a.pitch % OCTAVE == b.ladder.blue and b.pitch % OCTAVE == b.ladder.third:
            yield "blue"
        elif up and a.name is not None and b.pitch % OCTAVE in b.ladder.tones:
            yield "approach"
    for note in notes:
        if note.bend and note.bend < 1:
            yield "blue"
        outside = note.pitch % OCTAVE not in note.ladder.tones | note.ladder.avoid
        if note.length >= pulse and outside:
            yield "tension"
        line = next((bar.start for bar in ground.bars if bar.start > note.start), ground.end)
        if line - half <= note.start and note.end > line:
            yield "early"


def blued(phrases: Sequence[MadeLine], ground: SoloGround, most: int, rng: Random) -> None:
    """Put flat thirds before thirds of a dominant at home, in the half beat before them, or in
    their own first half where no chord begins."""
    places = [(made, note) for made in phrases for note in made.notes]
    rng.shuffle(places)
    used: list[MadeLine] = []
    for made, note in places:
        if len(used) == most:
            return
        if not any(made is other for other in used) and _blued(made, note, ground):
            used.append(made)


def _blued(made: MadeLine, note: SoloNote, ground: SoloGround) -> bool:
    half, index = made.frame.pulses[0].length // 2, made.notes.index(note)
    third = note.ladder.blue is not None and note.pitch % OCTAVE == note.ladder.third
    place = Place(note.place.string, note.place.fret - 1)
    if not third or note.joined or half < made.frame.fastest or place.fret < 1:
        return False
    if place.fret < made.hand.frets[0]:
        return False
    before = made.notes[index - 1] if index else None
    last = note is made.notes[-1]
    flat = SoloNote(note.start - half, half, note.pitch - 1, note.ladder, place)
    if before is not None and before.length >= 2 * half and before.end == note.start:
        if before.pitch == flat.pitch or abs(before.pitch - flat.pitch) > NEAR or before.bend:
            return False
        before.length -= half
    elif note.length >= half * (4 if last else 2) and note.start not in ground.starts:
        if before is not None and before.pitch == flat.pitch:
            return False
        flat.start = note.start
        note.start, note.length = note.start + half, note.length - half
    else:
        return False
    note.joined = HAMMER
    made.notes.insert(index, flat)
    return True
