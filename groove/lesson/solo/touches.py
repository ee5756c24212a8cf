"""Techniques of the left hand: bends, hammer-ons, pull-offs, slides and double stops.

A bend goes up a whole step from a tone of the scale to a chord tone, on the highest strings; the
next note is its goal, or one step lower, or it is released. A quarter tone is bent on the flat
third.
Hammer-ons, pull-offs and slides stay on a string. A double stop has a chord tone a third or a
sixth below the melody.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from random import Random

from groove.instrument.fretboard import Place, Tuning
from groove.lesson.line import HAMMER, PULL, SLIDE
from groove.lesson.solo.ground import SoloGround
from groove.lesson.solo.hands import Hand, bends_strings
from groove.lesson.solo.notes import MadeLine, SoloNote
from groove.lesson.solo.plan import END
from groove.lesson.solo.rhythms import rules
from groove.lesson.solo.signs import blued, signs, wanted
from groove.theory.motion import OCTAVE

WHOLE, QUARTER = Fraction(2), Fraction(1, 2)
ENCLOSED = 3  # notes before a goal, the first of which goes over to an enclosure
NEAR = 7  # semitones
STEP = 3  # semitones from a tone of a pentatonic to the next
THIRDS, SIXTHS = (3, 4), (8, 9)
LOWEST_STRING = 4  # of double stops
BAR_COUNT = 12  # for which the figures of the data are


def touched(
    made: Sequence[MadeLine],
    ground: SoloGround,
    tuning: Tuning,
    learner: str,
    idiom: str,
    rng: Random,
) -> None:
    """Write techniques into the notes of a solo."""
    figures = rules()["learners"][learner]
    rate = len(ground.bars) / BAR_COUNT
    phrases = [phrase for phrase in made if phrase.notes]
    if figures["blue"]:
        _blue(phrases, max(1, round(figures["blue"] * rate)), rng)
    own, count = wanted(ground, learner), rules()["signs"]["count"]
    if "blue" in own:
        heard = sum(sign == "blue" for phrase in phrases for sign in signs(phrase, ground))
        blued(phrases, ground, max(count - heard, 0), rng)
    most = round(figures["approaches"] * rate)
    _approach(phrases, max(most, count) if "approach" in own else most, rng)
    if bends_strings(tuning) and figures["bends"] and idiom in rules()["bends"]["idioms"]:
        most = max(1, round(figures["bends"] * rate))
        _bend(phrases, most, rng, quarters=count if "blue" in own else 0)
    stops = round(figures["stops"] * rate)
    _stops(phrases, max(stops, count) if "stop" in own else stops, rng)
    _join(phrases, max(1, round(figures["joins"] * rate)), learner, rng)


def _blue(phrases: Sequence[MadeLine], most: int, rng: Random) -> None:
    """Let the major third of a dominant at home come from its flat third on the same string."""
    found: list[tuple[float, int, MadeLine, int]] = []
    ends: int | None = None
    for phrase in phrases:
        pulse, start = phrase.frame.pulses[0].length, ends
        ends = phrase.notes[-1].pitch
        for place in range(1, len(phrase.notes)):
            before, note = phrase.notes[place - 1 : place + 1]
            third = note.ladder.blue is not None and note.pitch % OCTAVE == note.ladder.third
            short = before.length < pulse and before.end == note.start and not before.strong
            fret = note.place.fret - 1
            if third and short and note.length >= before.length and fret > 0:
                earlier = phrase.notes[place - 2].pitch if place > 1 else start
                near = earlier is None or abs(earlier - note.pitch) <= 7
                if near and fret >= phrase.hand.frets[0]:
                    found.append((rng.random(), len(found), phrase, place))
    used: list[MadeLine] = []
    for _, _, phrase, place in sorted(found, key=lambda f: f[:2]):
        if any(phrase is other for other in used) or len(used) == most:
            continue
        used.append(phrase)
        before, note = phrase.notes[place - 1 : place + 1]
        before.pitch, before.ladder = note.pitch - 1, note.ladder
        before.place = Place(note.place.string, note.place.fret - 1)
        note.joined = HAMMER


def _approach(phrases: Sequence[MadeLine], most: int, rng: Random) -> None:
    """Let strong chord tones come from the half step below."""
    found: list[tuple[float, int, MadeLine, int, Place]] = []
    for phrase in phrases:
        pulse = phrase.frame.pulses[0].length
        for place in range(1, len(phrase.notes)):
            before, note = phrase.notes[place - 1 : place + 1]
            fits = note.strong and not note.joined and not before.strong and not before.joined
            if place < 2 or not fits or before.length >= pulse or before.end != note.start:
                continue
            spots = phrase.hand.places(note.pitch - 1)
            earlier = phrase.notes[place - 2].pitch
            if spots and 0 < abs(earlier - note.pitch + 1) <= 5:
                near = min(spots, key=lambda spot: abs(spot.string - note.place.string))
                found.append((rng.random(), len(found), phrase, place, near))
    used: list[MadeLine] = []
    for _, _, phrase, place, near in sorted(found, key=lambda f: f[:2]):
        if len(used) == most or any(phrase is other for other in used):
            continue
        used.append(phrase)
        before, note = phrase.notes[place - 1 : place + 1]
        before.pitch, before.place = note.pitch - 1, near
        before.name = note.ladder.name_below(note.pitch)
        _enclose(phrase, place)


def _enclose(phrase: MadeLine, place: int) -> None:
    """Let the note before an approach be the one above its goal, where it is free to be."""
    first, before, note = phrase.notes[place - 2 : place + 1]
    scale = note.ladder.names
    above = next((p for p in (note.pitch + 1, note.pitch + 2) if p % OCTAVE in scale), None)
    if (
        place < ENCLOSED
        or above is None
        or first.strong
        or first.joined
        or first.end != before.start
    ):
        return
    spots = phrase.hand.places(above)
    if not spots or not 0 < abs(phrase.notes[place - ENCLOSED].pitch - above) <= NEAR:
        return
    first.pitch, first.ladder, first.name = above, note.ladder, None
    first.place = min(spots, key=lambda spot: abs(spot.string - before.place.string))


def _bend(phrases: Sequence[MadeLine], most: int, rng: Random, *, quarters: int = 0) -> None:
    """Bends; quarters: how many of a quarter tone are better than the others."""
    found: list[tuple[float, int, MadeLine, SoloNote, SoloNote | None, tuple[Fraction, Place]]] = []
    for phrase in phrases:
        for place, note in enumerate(phrase.notes):
            after = phrase.notes[place + 1] if place + 1 < len(phrase.notes) else None
            if note.joined or (after and after.joined):
                continue
            for way, value in _ways(phrase, note, after):
                if way[0] == QUARTER and quarters:
                    value, quarters = value + rules()["bends"]["better"], quarters - 1
                found.append((value + rng.random(), len(found), phrase, note, after, way))
    used: list[MadeLine] = []
    for _, _, phrase, note, after, (bend, at) in sorted(found, key=lambda f: (-f[0], f[1])):
        if len(used) >= most or any(phrase is other for other in used):
            continue
        used.append(phrase)
        note.place, note.bend = at, bend
        if bend == WHOLE and (after is None or after.pitch not in _resolutions(note)):
            note.release = True
        if bend == QUARTER:
            note.pitch = phrase.hand.tuning.pitch(at)


def one_bend(made: MadeLine, rng: Random) -> bool:
    """Bend one note of a phrase by a whole step; False where none can be."""
    _bend([made], 1, rng)
    return any(note.bend == WHOLE for note in made.notes)


def blue_third(made: MadeLine, rng: Random) -> bool:
    """Let a third of a phrase come from the flat third; False where it has none."""
    before = [note.joined for note in made.notes]
    _blue([made], 1, rng)
    return before != [note.joined for note in made.notes]


def one_stop(made: MadeLine, rng: Random) -> bool:
    """Write a double stop into a phrase; False where none can be."""
    _stops([made], 1, rng)
    return any(note.below for note in made.notes)


def _resolutions(note: SoloNote) -> range:
    return range(note.pitch - STEP, note.pitch + 1)


def _ways(
    phrase: MadeLine, note: SoloNote, after: SoloNote | None
) -> Iterator[tuple[tuple[Fraction, Place], float]]:
    """The bends that a note can be, and how well each suits."""
    hand = phrase.hand
    pulse = phrase.frame.pulses[0].length
    slow = note.length >= min(pulse, rules()["bends"]["slow"] * phrase.frame.fastest)
    names = note.ladder.names
    strings, lowest = rules()["bends"]["strings"], rules()["reach"]["lowest"]
    resolves = after is not None and after.pitch in _resolutions(note)
    start = note.pitch - 2
    back = (
        after is None
        and phrase.phrase.role != END
        and start % OCTAVE in note.ladder.tones
        and note.length >= 2 * pulse
    )
    chord = note.pitch % OCTAVE in note.ladder.tones
    if chord and start % OCTAVE in names and (resolves or back) and slow:
        for place in hand.places(start):
            if place.string <= strings and place.fret > hand.fret and place.fret >= lowest:
                high = phrase.phrase.height > 0.9
                yield (WHOLE, place), 2.0 + resolves + high
    if note.pitch % OCTAVE == note.ladder.blue and after is not None and note.place.fret:
        near = note.place.string <= strings
        if near and note.length * 2 >= pulse and 0 < note.pitch - after.pitch <= STEP:
            yield (QUARTER, note.place), 1.5


def _stops(phrases: Sequence[MadeLine], most: int, rng: Random) -> None:
    """Chord tones below long notes of the melody."""
    found: list[tuple[float, int, SoloNote, tuple[int, Place]]] = []
    for phrase in phrases:
        pulse = phrase.frame.pulses[0].length
        for note in phrase.notes:
            below = _below(phrase.hand, note) if note.length >= pulse and not note.bend else None
            if below and note.pitch % OCTAVE in note.ladder.tones:
                last = note is phrase.notes[-1]
                found.append((rng.random() + last, len(found), note, below))
    for _, _, note, below in sorted(found, key=lambda f: (-f[0], f[1]))[:most]:
        note.below = below


def _below(hand: Hand, note: SoloNote) -> tuple[int, Place] | None:
    for size in (*THIRDS, *SIXTHS):
        pitch = note.pitch - size
        if pitch % OCTAVE not in note.ladder.tones:
            continue
        strings = 1 if size in THIRDS else 2
        for place in hand.places(pitch):
            apart = abs(place.string - note.place.string)
            near = apart == strings and abs(place.fret - note.place.fret) <= 2
            if near and pitch >= hand.pitches[0] and place.string <= LOWEST_STRING:
                return pitch, place
    return None


def _join(phrases: Sequence[MadeLine], most: int, learner: str, rng: Random) -> None:
    """Hammer-ons, pull-offs and slides, spread over the solo."""
    found: list[tuple[float, int, MadeLine, SoloNote, SoloNote, str]] = []
    for phrase in phrases:
        pulse = phrase.frame.pulses[0].length
        for a, b in pairwise(phrase.notes):
            how = how_joined(a, b, pulse, span(phrase.hand, learner))
            if how:
                value = int((b.start - phrase.frame.start) % pulse != 0)
                value -= how == PULL and b.start - a.start == pulse
                found.append((rng.random() + value * 0.5, len(found), phrase, a, b, how))
    count: dict[int, int] = {}
    done = 0
    for _, _, phrase, a, b, how in sorted(found, key=lambda f: (-f[0], f[1])):
        if done >= most:
            return
        if a.joined or count.get(id(phrase), 0) >= max(1, len(phrase.notes) // 3):
            continue
        following = phrase.notes[phrase.notes.index(b) + 1 :][:1]
        if following and following[0].joined:
            continue
        b.joined = how
        count[id(phrase)] = count.get(id(phrase), 0) + 1
        done += 1


def span(hand: Hand, learner: str) -> int:
    """The frets that hammer-ons and pull-offs of a learner can span under a hand."""
    widest = int(rules()["learners"][learner]["widest"])
    return widest if hand.fret >= rules()["reach"]["lowest"] else min(widest, 2)


def how_joined(a: SoloNote, b: SoloNote, pulse: int, widest: int) -> str:
    """The join with which a note can follow another without a stroke; empty if it can't. widest:
    the frets that the player spans."""
    apart = b.place.fret - a.place.fret
    if a.place.string != b.place.string or not 1 <= abs(apart) <= widest:
        return ""
    if (
        b.joined
        or a.bend
        or b.bend
        or a.below
        or b.below
        or b.start - a.start > pulse
        or a.end < b.start
    ):
        return ""
    if a.place.fret and b.place.fret and abs(apart) <= 2 and b.length >= pulse:
        return SLIDE
    if apart > 0:
        return HAMMER
    return PULL if a.place.fret else ""
