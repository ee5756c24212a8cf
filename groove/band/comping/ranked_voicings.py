"""The voicings of a chord on a guitar or on the keys, and their order from another voicing on."""

from __future__ import annotations

from functools import lru_cache

from groove.band.comping.voicing import Voicing, VoicingRules, movement, voicing_degrees
from groove.band.guitar.guitar_voicings import on_guitar
from groove.band.keys.keys_voicings import on_keys
from groove.theory.chords import Chord

REGISTER_PULL = 0.06  # semitones of movement that a semitone off the middle is worth
SPREAD_PULL = 0.05
FRET_PULL, SHIFT = 0.03, 0.08  # the same of a fret up the neck, and of a fret's shift


@lru_cache(maxsize=4096)
def voicings(chord: Chord, rules: VoicingRules, coloured: bool, voices: int) -> tuple[Voicing, ...]:
    """All voicings of a chord in so many voices that can be played in the register.

    May be empty: the chord may have fewer tones, or no shape of it lies there.
    """
    found: dict[Voicing, None] = {}
    for degrees in voicing_degrees(chord.quality, coloured):
        tones = tuple((chord.root + degree).pitch_class for degree in degrees[:voices])
        if rules.kind == "guitar":
            found |= dict.fromkeys(on_guitar(frozenset(tones), voices, rules.low, rules.high))
        elif rules.octave and voices > 2:
            found |= dict.fromkeys(on_keys(tones[: voices - 1], rules))
        elif len(tones) == voices:
            found |= dict.fromkeys(on_keys(tones, rules))
    return tuple(found)


@lru_cache(maxsize=8192)
def ranked(
    before: Voicing | None, chord: Chord, rules: VoicingRules, coloured: bool, voices: int
) -> tuple[tuple[float, Voicing], ...]:
    """The voicings of a chord, the nearest to the one before and to the middle first.

    With each its cost: semitones of movement a voice, and a little for the rest.
    """
    middle = (rules.low + rules.high) / 2

    def cost(voicing: Voicing) -> float:
        pitches = voicing.pitches
        off = abs(sum(pitches) / len(pitches) - middle)
        spread = pitches[-1] - pitches[0]
        reach = REGISTER_PULL * off + SPREAD_PULL * spread + FRET_PULL * voicing.position
        if before is None:
            return reach
        way = abs(voicing.position - before.position)
        return movement(before, voicing) + reach + SHIFT * way

    costs = [(cost(voicing), voicing) for voicing in voicings(chord, rules, coloured, voices)]
    return tuple(sorted(costs, key=lambda pair: pair[0]))
