"""Left-hand voicings for a pianist's solo: shells, or voicings without the root.

A shell is the root with the guide tones over it, seventh and third in the order that moves least
from the chord before; a chord without a seventh is a triad. Where a form is jazz, three or four
notes without the root: the guide tones, the ninth and the fifth or the thirteenth, close around
middle C. A slash chord has its written bass below everywhere, and over it what tells the chord;
then the triads around it have their roots below, so that the bass line is heard. All of it is
common practice, and the shapes come from the voicings that the band's keyboards play.

>>> from groove.theory.chords import parse_chord
>>> two_five_one = [parse_chord(chord) for chord in ("Dm7", "G7", "Cmaj7")]
>>> from groove.theory.keys import Key
>>> for hand in left_hands(two_five_one, Key.parse("C"), rootless=False):
...     print(hand)
D3 1, C4 b7, F4 b3
G3 1, B3 3, F4 b7
C3 1, B3 7, E4 3
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from groove.band.comping.ranked_voicings import ranked
from groove.band.comping.voicing import (
    Voicing,
    VoicingRules,
    colour_degrees,
    movement,
    voicing_degrees,
)
from groove.band.degrees import fits_key
from groove.band.keys.keys_voicings import TENTH
from groove.instrument.keyboard import KeyboardKey
from groove.instrument.material import arpeggio
from groove.theory.chords import Chord
from groove.theory.heard import heard
from groove.theory.keys import Key
from groove.theory.motion import ChordTone, guide_tones, tones
from groove.theory.spelling import degree_over

GUIDES = VoicingRules("keys", 52, 70, 2)  # E3 to Bb4
FULL = VoicingRules("keys", 50, 69, 4)  # D3 to A4
LOWEST_ROOT = 48  # C3, from which even a third over the root is clear
HIGHEST = 72  # C5
FALLING_FIFTH = 5  # semitones that the next root lies higher
LEAST_OVER_BASS = 3  # semitones
SPREAD = 0.1  # semitones of movement that a semitone of spread is worth


@dataclass(frozen=True, slots=True)
class LeftHand:
    """The keys of the left hand for a chord. rootless: whether the root is left to the bass; never
    that of a slash chord."""

    chord: Chord
    rootless: bool
    keys: tuple[KeyboardKey, ...]

    def __str__(self) -> str:
        return ", ".join(f"{key.full_name} {key.degree}" for key in self.keys)


def left_hands(chords: Sequence[Chord], key: Key, *, rootless: bool) -> tuple[LeftHand, ...]:
    """The left hand's voicing for each of some chords, each near the one before.

    key: in which they stand, for the ninths that they take.
    """
    found = []
    before: Voicing | None = None
    stepping = any(chord.bass for chord in chords)
    for number, chord in enumerate(chords):
        after = chords[(number + 1) % len(chords)]
        triad = chord.quality.seventh is None
        if chord.bass is not None or (stepping and triad and not rootless):
            before = _over_bass(before, chord)
            pitches = before.pitches
        elif rootless:
            before = _full(before, chord, key, after)
            pitches = before.pitches
        else:
            before, pitches = _shell(before, chord)
        without = rootless and chord.bass is None
        found.append(LeftHand(chord, without, tuple(voiced_key(chord, p) for p in pitches)))
    return tuple(found)


def is_jazz(chords: Sequence[Chord], feel: str) -> bool:
    """True if a form asks for rootless voicings: its feel swings, every chord has a seventh."""
    return feel == "swing" and all(heard(chord).quality.seventh for chord in chords)


def _full(before: Voicing | None, chord: Chord, key: Key, after: Chord) -> Voicing:
    """The nearest voicing in four notes, or in three where no ninth belongs to the chord."""
    return _nearest(before, chord, coloured=takes_colour(chord, key, after), root=False)


def takes_colour(chord: Chord, key: Key, after: Chord) -> bool:
    """True if a chord takes a ninth or thirteenth that it does not name: one of the key, and not
    where a dominant leads to a minor chord."""
    up = (after.root.pitch_class - chord.root.pitch_class) % 12
    to_minor = chord.quality.is_dominant and after.quality.is_minor and up == FALLING_FIFTH
    return bool(colour_degrees(chord.quality)) and fits_key(chord, 9, key) and not to_minor


def _nearest(before: Voicing | None, chord: Chord, *, coloured: bool, root: bool) -> Voicing:
    """The nearest voicing in as many notes as can be, up to four; root: whether it may have it,
    which it also may where the chord has nothing else."""
    for avoided in (set() if root else {chord.root.pitch_class}, set()):
        for voices in range(FULL.voices, 0, -1):
            for _, voicing in ranked(before, chord, FULL, coloured, voices):
                sounding = {pitch % 12 for pitch in voicing.pitches}
                if len(sounding) == voices and not avoided & sounding:
                    return voicing
    raise ValueError(f"{chord} has no voicing around middle C")


def _shell(before: Voicing | None, chord: Chord) -> tuple[Voicing, tuple[int, ...]]:
    """The nearest pair of guide tones that has room for the root below, and the pair with it.

    A chord without a seventh is held as a triad.
    """
    if chord.quality.seventh is None:
        triad = _nearest(before, chord, coloured=False, root=True)
        return triad, triad.pitches
    near = [pair for _, pair in ranked(before, chord, GUIDES, False, GUIDES.voices)]
    for pair in near:
        low, high = pair.pitches
        root = low - (low - chord.root.pitch_class) % 12
        if LOWEST_ROOT <= root < low and high - root <= TENTH:
            return pair, (root, low, high)
    return near[0], near[0].pitches


def _over_bass(before: Voicing | None, chord: Chord) -> Voicing:
    """The nearest voicing over the written bass: a triad's tones, of others the guide tones, and
    the root where it stands over one of these."""
    low = chord.lowest.pitch_class
    whole = heard(chord)
    chosen = _classes(tones(chord) if whole.quality.seventh is None else guide_tones(chord))
    if low in chosen or low not in _classes(tones(chord)):
        chosen.add(whole.root.pitch_class)
    bass = LOWEST_ROOT + (low - LOWEST_ROOT) % 12
    found: list[Voicing] = []
    for least in (LEAST_OVER_BASS, 1):
        room = range(bass + least, min(bass + TENTH, HIGHEST) + 1)
        ways = product(*([p for p in room if p % 12 == tone] for tone in chosen - {low}))
        found = found or [Voicing((bass, *sorted(way))) for way in ways]

    def cost(voicing: Voicing) -> float:
        moved = movement(before, voicing) if before else 0.0
        return moved + SPREAD * (voicing.pitches[-1] - voicing.pitches[0])

    return min(found, key=cost)


def _classes(found: Sequence[ChordTone]) -> set[int]:
    return {tone.name.pitch_class for tone in found}


def voiced_key(chord: Chord, pitch: int) -> KeyboardKey:
    """A key by its part in a chord, which its symbol need not name: a ninth, a thirteenth, a bass
    from outside."""
    tone = arpeggio(chord).tone(pitch)
    if tone:
        return KeyboardKey(pitch, tone.name, tone.degree, tone.role)
    if chord.bass is not None and chord.bass.pitch_class == pitch % 12:
        degree = degree_over(chord, chord.bass)
        return KeyboardKey(pitch, str(chord.bass), str(degree), "other")
    added = (degree for degrees in voicing_degrees(chord.quality, True) for degree in degrees)
    degree = next(d for d in added if (chord.root + d).pitch_class == pitch % 12)
    return KeyboardKey(pitch, str(chord.root + degree), str(degree), "other")
