"""A pianist's left hand: shells of guide tones, or roots with fifths, octaves and tenths."""

from __future__ import annotations

from functools import lru_cache

from groove import library
from groove.band.comping.voicing import guide_degrees
from groove.band.degrees import chord_degree
from groove.band.keys.keys_voicings import LEAST_LOW_INTERVAL, LOWEST_CLOSE, TENTH
from groove.theory.chords import Chord

SHELL = "shell"
STAYS = 0.15  # semitones of movement that a semitone off the middle is worth

Pitches = tuple[int, ...]


@lru_cache(maxsize=4096)
def shell(chord: Chord, low: int, high: int, floor: int, before: Pitches) -> Pitches:
    """Third and seventh (or what stands for them) in a register, near the hand's notes before.

    floor: the lowest pitch that keeps clear of the bass. Empty where they have no room, or where
    the chord has one of them only.
    """
    tones = [(chord.root + degree).pitch_class for degree in guide_degrees(chord.quality)]
    if len(tones) != 2:
        return ()
    found = []
    for lower, upper in (tones, tones[::-1]):
        for bottom in range(max(low, floor), high + 1):
            top = bottom + (upper - bottom) % 12
            wide = top - bottom >= LEAST_LOW_INTERVAL or bottom >= LOWEST_CLOSE
            if bottom % 12 == lower and bottom < top <= high and wide and top - bottom > 1:
                found.append((bottom, top))
    middle = (low + high) / 2

    def cost(pair: Pitches) -> float:
        off = STAYS * abs(sum(pair) / 2 - middle)
        return off + (sum(abs(a - b) for a, b in zip(before, pair, strict=True)) if before else 0)

    return min(found, key=cost, default=())


@lru_cache(maxsize=4096)
def figure(chord: Chord, tones: str, low: int, high: int, floor: int, before: int) -> Pitches:
    """The notes of a figure in degrees, ``1+5``: its root at the lowest place that is clear.

    The notes that would lie under the floor, above the register or too close to another low one
    are left out. before: the hand's lowest note before, 0 for none. May be empty.
    """
    base = chord.lowest.pitch_class
    roots = [p for p in range(low, high + 1) if p % 12 == base and p >= floor]
    if not roots:
        roots = [p for p in range(low - 11, low + 1) if p % 12 == base]
    root = min(roots, key=lambda pitch: (abs(pitch - before) > TENTH if before else 0, pitch))
    pitches: list[int] = []
    for word in tones.split("+"):
        pitch = root + _interval(chord, int(word))
        if pitches and pitch <= pitches[-1]:
            continue
        clear = max(floor, low) <= pitch <= high
        gap = pitch - pitches[-1] if pitches else LEAST_LOW_INTERVAL
        near = gap < LEAST_LOW_INTERVAL and pitches[-1:] and pitches[-1] < LOWEST_CLOSE
        if clear and not near and pitch - (pitches or [pitch])[0] <= TENTH:
            pitches.append(pitch)
    return tuple(pitches)


def words(style: str, kind: str) -> tuple[str, ...]:
    """The figures of a style of the left hand, one after another. kind: whole or single."""
    return tuple(library.table("keys")["left"][style][kind])


def _interval(chord: Chord, number: int) -> int:
    """Semitones above the bass note of a chord of a degree of it, up to a tenth."""
    octaves, step = divmod(number - 1, 7)
    if not step:
        return 12 * octaves
    degree = chord_degree(chord, step + 1)
    return 12 * octaves + ((chord.root + degree).pitch_class - chord.lowest.pitch_class) % 12
