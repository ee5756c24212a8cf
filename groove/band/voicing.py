"""Voicings: which tones of a chord sound, and in what shapes hands can play them.

A voicing holds the guide tones of its chord first (the third and the seventh, or the sixth),
then what the symbol alters or adds, then fifth and root. Keyboard voicings keep low
intervals wide and lie within a tenth; guitar voicings are shapes found on the fretboard.
Both rules: common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, pairwise, product

from groove.theory.chords import Chord, Quality
from groove.theory.pitch import Degree

GUITAR_STRINGS = (64, 59, 55, 50, 45, 40)  # open strings from the highest, E4 to E2
TENTH = 16  # semitones
LOWEST_CLOSE = 52  # below E3 ...
LEAST_LOW_INTERVAL = 5  # ... neighbouring voices stand at least so many semitones apart
LAST_FRET = 14
SEVENTH_FRET = 7
COLOURS = {"dominant": (Degree(9), Degree(13)), "minor": (Degree(9),), "major": (Degree(9),)}


@dataclass(frozen=True, slots=True)
class Voicing:
    """Pitches from the lowest up and, on a guitar, the string (1 the highest) and fret of each."""

    pitches: tuple[int, ...]
    strings: tuple[int, ...] = ()
    frets: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Hand:
    """What voicings an idiom asks for.

    kind: ``"guitar"`` or ``"keys"``; low, high: the register, MIDI notes; voices: how many
    at most; colours: whether a ninth or thirteenth may be added where the chord allows it.
    """

    kind: str
    low: int
    high: int
    voices: int
    colours: bool


def guide_degrees(quality: Quality) -> tuple[Degree, ...]:
    """What every voicing of the quality must sound: third and seventh, or the root without."""
    return quality.guide_tones or (Degree(1),)


def voicing_degrees(quality: Quality, colours: bool) -> tuple[Degree, ...]:
    """The degrees for a voicing in the order of their weight.

    A natural fifth or the root gives way to what tells more. A natural eleventh over a major
    third is left out, for it stands a ninth above the third.
    """
    chosen = list(guide_degrees(quality))
    root, fifth = Degree(1), quality.of_step(5)
    told = [d for d in quality.degrees if d.number > 7 or (d.number == 5 and d.alter)]
    if quality.third == Degree(3):
        told = [degree for degree in told if degree != Degree(11)]
    if str(quality.suffix).endswith("alt"):
        told = [Degree(9, 1), Degree(13, -1)]
    chosen += [degree for degree in told if degree not in chosen]
    natural = [fifth] if fifth and fifth not in chosen else []
    has_seventh = quality.of_step(7) is not None
    if colours and has_seventh and not told and quality.of_step(3):
        family = "minor" if quality.is_minor else "dominant" if quality.is_dominant else "major"
        return (*chosen, COLOURS[family][0], *natural, root)
    if has_seventh or quality.of_step(6):
        return (*chosen, *natural, root)
    return (*chosen, root, *natural)


@lru_cache(maxsize=2048)
def voicings(chord: Chord, hand: Hand) -> tuple[Voicing, ...]:
    """All voicings of a chord that a hand can play in the idiom's register; never empty."""
    degrees = voicing_degrees(chord.quality, hand.colours)
    on_instrument = _on_guitar if hand.kind == "guitar" else _on_keys
    for voices in range(hand.voices, 0, -1):
        tones = tuple((chord.root + degree).pitch_class for degree in degrees[:voices])
        if voices > len(tones) and hand.kind == "keys":
            continue  # only a guitar doubles a tone, on another string
        found = on_instrument(tones, voices, hand)
        if found:
            return found
    raise ValueError(f"{chord} has no voicing between {hand.low} and {hand.high}")


def _on_keys(tones: tuple[int, ...], _voices: int, hand: Hand) -> tuple[Voicing, ...]:
    """Close and dropped positions in one hand, every inversion in the register."""
    found = set()
    for lowest in range(hand.low, hand.high + 1):
        if lowest % 12 not in tones:
            continue
        close = sorted(lowest + (tone - lowest) % 12 for tone in tones)
        shapes = [close]
        if len(close) > 3:
            shapes.append(sorted([*close[:-2], close[-2] - 12, close[-1]]))
        for shape in shapes:
            if hand.low <= shape[0] and shape[-1] <= hand.high and keys_can_play(shape):
                found.add(tuple(shape))
    return tuple(Voicing(shape) for shape in sorted(found))


def keys_can_play(pitches: list[int]) -> bool:
    """Within a tenth, low intervals wide, no semitone on top."""
    gaps = [high - low for low, high in pairwise(pitches)]
    wide = all(
        gap >= LEAST_LOW_INTERVAL
        for low, gap in zip(pitches, gaps, strict=False)
        if low < LOWEST_CLOSE
    )
    return pitches[-1] - pitches[0] <= TENTH and wide and gaps[-1:] != [1]


def _on_guitar(tones: tuple[int, ...], count: int, hand: Hand) -> tuple[Voicing, ...]:
    """Shapes of ``count`` neighbouring strings that hold every tone."""
    found = []
    for strings in combinations(range(6), count):
        if strings[-1] - strings[0] > count:  # at most one string is damped between
            continue
        choices = [
            [
                fret
                for fret in range(1, LAST_FRET + 1)
                if (GUITAR_STRINGS[string] + fret) % 12 in tones
                and hand.low <= GUITAR_STRINGS[string] + fret <= hand.high
            ]
            for string in strings
        ]
        for frets in product(*choices):
            pitches = [GUITAR_STRINGS[s] + f for s, f in zip(strings, frets, strict=True)]
            if (
                hand_spans(frets)
                and {p % 12 for p in pitches} == set(tones)
                and all(high > low for high, low in pairwise(pitches))
            ):
                found.append(
                    Voicing(
                        tuple(pitches[::-1]),
                        tuple(string + 1 for string in reversed(strings)),
                        frets[::-1],
                    )
                )
    return tuple(found)


def hand_spans(frets: tuple[int, ...]) -> bool:
    """Whether stopped frets lie within four, or within five above the seventh."""
    lowest, highest = min(frets), max(frets)
    return highest - lowest <= (4 if lowest > SEVENTH_FRET else 3)


def movement(before: Voicing, after: Voicing) -> float:
    """Semitones that the voices move, on average, each to the nearest note."""
    if len(before.pitches) == len(after.pitches):
        pairs = zip(before.pitches, after.pitches, strict=True)
        return sum(abs(a - b) for a, b in pairs) / len(after.pitches)
    return sum(min(abs(p - q) for q in before.pitches) for p in after.pitches) / len(after.pitches)
