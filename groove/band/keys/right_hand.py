"""Tables of the voicings under each top note of a right hand, by chord and register."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import combinations, pairwise
from typing import NamedTuple

from groove.band.comping.voicing import VoicingRules, colour_degrees, guide_degrees
from groove.band.keys.keys_voicings import on_keys
from groove.theory.chords import Chord
from groove.theory.pitch import Degree
from groove.theory.quality import Quality
from groove.theory.scales import chord_scale, scale_degrees

FEWER = 1.5  # the cost of each voice less than the pattern asks for,
UNCOLOURED = 0.5  # of a seventh chord without ninth and thirteenth where they may sound,
ROOT_ON_TOP = 0.3  # of a seventh chord's root as its highest note,
DOUBLED = 0.4  # of a guide tone that the left hand has,
ROOT_WITHIN = 0.6  # of the root inside a chord whose shell is in the left hand,
FEWER_OVER_SHELL = 0.2  # of a voice less over it,
CLUSTER = 0.4  # of each second in a hand but the first,
SEMITONE = 0.2  # of each semitone in a hand,
PASSING = 0.7  # of a tone that is not of the chord,
LOW_VOICE = 1.0  # of a voice too near the bass to sound,
MOVEMENT = 0.5  # and of a semitone that the voices below the top move on average
MOST = 8  # voicings that are looked at under one top note
SPAN = 12  # semitones of a right hand above another hand's chord
FOURTH, SIXTH, NINTH = Degree(4), Degree(6), Degree(9)

Pitches = tuple[int, ...]
Table = dict[int, tuple[tuple[float, Pitches], ...]]
"""For each top note the voicings under it with their costs, the cheapest first."""


class Ask(NamedTuple):
    """The demands on a right hand.

    low, high: the register. voices: at most. coloured: whether a ninth or thirteenth may sound that
    the symbol does not name. octave: whether the top note sounds an octave lower too. guided:
    whether the guide tones are this hand's. floor: the lowest pitch that keeps clear of the bass.
    scale: the pitch classes of the key, for passing tones, or None.
    """

    chord: Chord
    low: int
    high: int
    voices: int
    coloured: bool
    octave: bool = False
    guided: bool = True
    floor: int = 0
    scale: frozenset[int] | None = None


@lru_cache(maxsize=4096)
def table(ask: Ask) -> Table:
    """All voicings that a right hand can play; empty where there is none.

    The guide tones, where they are the hand's, lie above the floor.
    """
    found: dict[int, dict[Pitches, float]] = {}
    for cost, pitches in _voicings(ask):
        low = sum(pitch < ask.floor for pitch in pitches)
        clear = {pitch % 12 for pitch in pitches if pitch >= ask.floor}
        if ask.guided and not _guides(ask.chord) <= clear:
            continue
        if low == len(pitches):
            continue
        under = found.setdefault(pitches[-1], {})
        cost += LOW_VOICE * low
        under[pitches] = min(cost, under.get(pitches, cost))
    return {
        top: tuple(sorted((cost, pitches) for pitches, cost in under.items())[:MOST])
        for top, under in sorted(found.items())
    }


@lru_cache(maxsize=4096)
def candidates(ask: Ask) -> tuple[tuple[int, float], ...]:
    """The top notes that a right hand can have, each with its least cost."""
    return tuple((top, under[0][0]) for top, under in table(ask).items())


@lru_cache(maxsize=4096)
def passing_tones(ask: Ask) -> tuple[tuple[int, float], ...]:
    """Top notes between those of the chord, on steps of its scale that the key has, each with
    its cost; they want to be left by step."""
    return tuple((top, under[0][0] + PASSING) for top, under in passing_table(ask).items())


@lru_cache(maxsize=4096)
def passing_table(ask: Ask) -> Table:
    """The voicings under a passing tone.

    Under the fourth or sixth of a major chord those of the chord on its fourth, over the root;
    else the guide tones that are no semitone below it.
    """
    if ask.scale is None or ask.octave:
        return {}
    chord, root = ask.chord, ask.chord.root.pitch_class
    own = {top % 12 for top in table(ask)} | {note.pitch_class for note in chord.notes}
    scale = {(chord.root + degree).pitch_class for degree in scale_degrees(_scale(chord))}
    rules = VoicingRules("keys", ask.low, ask.high, ask.voices)
    found: dict[int, dict[Pitches, float]] = {}
    for tone in (scale & ask.scale) - own:
        above = (tone - root) % 12
        if chord.quality.is_dominant and not ask.coloured and above in (2, 9):
            continue  # on the way to a minor chord, or altered
        if above in (5, 9) and chord.quality.third == Degree(3):
            sets = [(root, (root + 5) % 12, (root + 9) % 12), (root, (root + 5) % 12)]
        else:
            guides = sorted(g for g in _guides(chord) if (tone - g) % 12 != 1)
            sets = [(*guides, tone)]
        for tones in sets:
            if tone in tones and len(set(tones)) == len(tones):
                for voicing in on_keys(tones, rules):
                    if voicing.pitches[-1] % 12 == tone and voicing.pitches[0] >= ask.floor:
                        fewer = FEWER * max(0, 3 - len(tones))
                        found.setdefault(voicing.pitches[-1], {})[voicing.pitches] = fewer
    return {
        top: tuple(sorted((cost, pitches) for pitches, cost in under.items()))
        for top, under in sorted(found.items())
    }


@lru_cache(maxsize=16384)
def under(ask: Ask, top: int, before: Pitches) -> Pitches:
    """The voicing under a top note whose other voices move least from those before."""
    ways = table(ask).get(top) or passing_table(ask)[top]
    return min(ways, key=lambda way: way[0] + MOVEMENT * moved(before[:-1], way[1][:-1]))[1]


def moved(before: Pitches, after: Pitches) -> float:
    """Semitones that voices move, on average, each from the nearest before."""
    if not before or not after:
        return 0.0
    if len(before) == len(after):
        return sum(abs(a - b) for a, b in zip(before, after, strict=True)) / len(after)
    return sum(min(abs(p - q) for q in before) for p in after) / len(after)


def keys_colours(quality: Quality, coloured: bool) -> tuple[Degree, ...]:
    """The ninth and thirteenth that a keys player adds; a plain triad takes the ninth."""
    if not coloured:
        return ()
    if quality.seventh is None and [d.number for d in quality.degrees] == [1, 3, 5]:
        return (NINTH,) if quality.fifth == Degree(5) else ()
    return colour_degrees(quality)


def _voicings(ask: Ask) -> Iterator[tuple[float, Pitches]]:
    rules = VoicingRules("keys", ask.low, ask.high, ask.voices, ask.octave)
    quality, root = ask.chord.quality, ask.chord.root
    seventh = quality.seventh is not None
    colours = set(keys_colours(quality, ask.coloured)) if seventh else set()
    for degrees in _degree_sets(ask):
        cost = UNCOLOURED if colours and not colours & set(degrees) else 0.0
        fewer = FEWER if ask.guided else FEWER_OVER_SHELL
        cost += fewer * (ask.voices - len(degrees) - ask.octave)
        if not ask.guided:
            cost += DOUBLED * sum(degree in guide_degrees(quality) for degree in degrees)
        tones = tuple((root + degree).pitch_class for degree in degrees)
        for voicing in on_keys(tones, rules):
            pitches = voicing.pitches
            if not ask.guided and pitches[-1] - pitches[0] > SPAN:
                continue
            yield cost + _shape_cost(ask, pitches, seventh), pitches


def _shape_cost(ask: Ask, pitches: Pitches, seventh: bool) -> float:
    """The cost of how a voicing lies: where its root is, and its seconds."""
    root = ask.chord.root.pitch_class
    cost = 0.0
    if seventh and pitches[-1] % 12 == root:
        cost += ROOT_ON_TOP
    if not ask.guided and root in {pitch % 12 for pitch in pitches[:-1]}:
        cost += ROOT_WITHIN
    seconds = sum(high - low <= 2 for low, high in pairwise(pitches))
    semitones = sum(high - low == 1 for low, high in pairwise(pitches))
    return cost + CLUSTER * max(0, seconds - 1) + SEMITONE * semitones


def _degree_sets(ask: Ask) -> Iterator[tuple[Degree, ...]]:
    """The sets of degrees that a hand may strike: its guide tones and some of the rest."""
    quality = ask.chord.quality
    guides = guide_degrees(quality)
    named = [d for d in quality.degrees if d.number > 7 or (d.number == 5 and d.alter)]
    if quality.third == Degree(3):
        named = [degree for degree in named if degree != Degree(11)]
    if quality.suffix.endswith("alt"):
        named = [Degree(9, 1), Degree(13, -1)]
    fifth = quality.of_step(5)
    natural = [fifth] if fifth and fifth not in named else []
    rest = [*keys_colours(quality, ask.coloured), *natural, Degree(1)]
    rest = [degree for degree in rest if degree not in (*guides, *named)]
    hand = ask.voices - ask.octave
    kept = guides if ask.guided else ()
    free = [degree for degree in (*named, *rest) if degree not in kept]
    if not ask.guided:
        free += guides
    for voices in range(hand, 0, -1):
        count = voices - len(kept)
        if count < 0 or count > len(free):
            continue
        for chosen in combinations(free, count):
            degrees = (*kept, *chosen)
            if len({degree.semitones % 12 for degree in degrees}) < len(degrees):
                continue
            lacking = [d for d in named if d not in degrees and d.alter]
            if ask.guided and lacking and count >= len(lacking):
                continue  # what the symbol alters or adds comes before fifth and root
            yield degrees


@lru_cache(maxsize=1024)
def _guides(chord: Chord) -> frozenset[int]:
    return frozenset((chord.root + d).pitch_class for d in guide_degrees(chord.quality))


def _scale(chord: Chord) -> str:
    return chord_scale(chord.quality)
