"""A lick for each position of a pentatonic: two bars over the chord at home.

Each shows another technique and lies wholly in its position; it ends on a chord tone. The ideas
are data, patterns/lesson/solo/licks.toml.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from random import Random

from groove import library
from groove.form.model import Form
from groove.form.written_chords import home_chord
from groove.instrument.fretboard import Tuning
from groove.instrument.positions import Position
from groove.lesson.line import HAMMER, PULL, SLIDE
from groove.lesson.solo.ground import ChordChange, SoloGround
from groove.lesson.solo.hands import all_boxes, bends_strings, hand_of
from groove.lesson.solo.ladders import Ladders
from groove.lesson.solo.notes import MadeLine
from groove.lesson.solo.phrases import Maker
from groove.lesson.solo.plan import TAIL, Phrase
from groove.lesson.solo.rhythms import idiom_of, rules
from groove.lesson.solo.room import shortened
from groove.lesson.solo.touches import blue_third, how_joined, one_bend, one_stop, span
from groove.theory.chords import Chord

BARS = 2


@dataclass(frozen=True, slots=True)
class Lick:
    """A lick as it was made. technique: that it shows, empty where none could be had."""

    position: Position
    technique: str
    made: MadeLine


def made_licks(
    form: Form, ground: SoloGround, tuning: Tuning
) -> tuple[SoloGround, tuple[Lick, ...]]:
    """The licks of a form over two bars of home, and these bars."""
    home = over_home(form, ground)
    learner = form.lesson.learner
    ladders = Ladders(home, learner, major_five=True)
    ideas = library.load("lesson/solo", "licks")
    found: list[Lick] = []
    boxes = all_boxes(tuning, home.key.tonic, ladders.scale(home.key))
    for position, idea in zip(boxes, ideas[learner], strict=False):
        had = {lick.technique for lick in found}
        others = [word for word in ideas["instead"] if word != idea["technique"]]
        wanted = sorted([idea["technique"], *others], key=lambda word: word in had)
        found.append(_lick(form, home, ladders, tuning, position, wanted, idea, found))
    return home, tuple(found)


def over_home(form: Form, ground: SoloGround) -> SoloGround:
    """Two bars as the first of a form, over the chord at home."""
    key, first, played = ground.key, ground.bars[0], ground.played[0]
    tonic = key.tonic.pitch_class
    chord: Chord = next(
        (c.chord for c in ground.changes if c.chord.root.pitch_class == tonic), home_chord(form)
    )
    bars = tuple(
        replace(first, start=number * first.length, chords=((0, chord),)) for number in range(BARS)
    )
    harmony = ground.harmonies[key]
    change = ChordChange(0, BARS * first.length, chord, harmony)
    return SoloGround(bars, (played,) * BARS, (change,), (), {key: harmony})


def _lick(
    form: Form,
    home: SoloGround,
    ladders: Ladders,
    tuning: Tuning,
    position: Position,
    techniques: Sequence[str],
    idea: dict[str, str],
    others: Sequence[Lick],
) -> Lick:
    learner = form.lesson.learner
    hand = hand_of(tuning, position, boxed=rules()["learners"][learner]["boxed"], reaches=False)
    idiom = idiom_of(home, 0)
    rhythms = {_rhythm(lick.made) for lick in others}
    best: tuple[int, Lick] | None = None
    bent = bends_strings(tuning) and idiom in rules()["bends"]["idioms"]
    possible = [word for word in techniques if word != "bend" or bent]
    figures = rules()["licks"]
    tries, fewest, most = figures["tries"], figures["fewest"], figures["most"]
    for turn in range(4 * tries):
        rng = Random(f"{form.seed} lick {position.number} {turn}")
        maker = Maker(home, ladders, {home.key: (hand,)}, learner, rng)
        motifs = maker.motifs
        motifs.part, motifs.count = rng.choice(("calls", "tails")), range(fewest, most + 1)
        motifs.shape = idea["shape"] if turn < tries // 2 else ""
        height = rng.random() * 0.3 + 0.5
        if turn >= tries:
            maker.top = hand.pitches[-1] - rng.randrange(figures["lower"])
        phrase = Phrase(0, BARS, TAIL, position.number, height)
        made = maker.make(phrase)
        shortened([made], 1, home.end)
        fits = fewest <= len(made.notes) <= most and _rhythm(made) not in rhythms
        words = (n for n, word in enumerate(possible) if _shown(made, word, learner, rng))
        rank = next(words, len(possible)) + len(possible) * 2 * (not fits)
        if best is None or rank < best[0]:
            best = rank, Lick(position, [*possible, ""][rank % (len(possible) * 2)], made)
        if not rank or (turn >= tries and rank < len(possible)):
            break
    assert best
    return best[1]


def _rhythm(made: MadeLine) -> tuple[int, ...]:
    return tuple(note.start for note in made.notes)


def _shown(made: MadeLine, technique: str, learner: str, rng: Random) -> bool:
    """Write a technique into a lick; False where it has no place for it."""
    if technique == "bend":
        return one_bend(made, rng)
    if technique == "blue":
        return blue_third(made, rng)
    if technique == "stop":
        return one_stop(made, rng)
    pulse = made.frame.pulses[0].length
    widest = span(made.hand, learner)
    pairs = [(a, b, how_joined(a, b, pulse, widest)) for a, b in pairwise(made.notes)]
    if technique == "turn":
        for (a, b, _), (_, c, _) in pairwise(pairs):
            string, fret = a.place.string, a.place.fret
            back = (c.place.string, c.place.fret) == (string, fret)
            near = b.place.string == string and fret < b.place.fret <= fret + widest
            quick = c.start - a.start <= 2 * pulse and a.end == b.start and b.end == c.start
            if back and near and quick:
                b.joined, c.joined = HAMMER, PULL
                return True
        return False
    fitting = [b for _, b, how in pairs if how == technique]
    if technique in (HAMMER, PULL):
        fitting += [
            b
            for a, b, how in pairs
            if how == SLIDE and (b.place.fret > a.place.fret) == (technique == HAMMER)
        ]
    if not fitting:
        return False
    rng.choice(fitting).joined = technique
    return True
