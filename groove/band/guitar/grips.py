"""Grips: shapes of the library placed on the fretboard for a chord, and their order.

A shape serves a chord if it sounds its guide tones and nothing that is foreign to it; a ninth or
thirteenth that the symbol does not name only where the player may add one.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from groove.band.comping.voicing import (
    Voicing,
    colour_degrees,
    guide_degrees,
    movement,
    voicing_degrees,
)
from groove.band.guitar.guitar_shapes import LAST_FRET
from groove.band.guitar.shape_library import OPEN_PITCHES, STRINGS, Shape, group
from groove.theory.pitch import Degree
from groove.theory.quality import Quality

ROOT, NATURAL_FIFTH, MAJOR_THIRD, FOURTH = Degree(1), Degree(5), 4, 5
LEAST = 2  # strings of a grip within the register
MOST_ALTERED = 2  # altered tones of a chord that a grip has to sound

# Costs of a grip, in frets that the hand moves.
LATER_GROUP = 2.0  # of each group that stands before its own in the pattern's list
MISSING = 6.0  # of a tone that the symbol names and the grip does not sound
NO_FIFTH = 0.8  # of a triad without its fifth
FARTHEST, TOO_FAR = 4, 6.0  # frets that a hand moves at ease, and the cost of more
TOP, TOP_LEAP = 0.5, 1.0  # of each semitone that the top note moves, and of one over a third
THIRD = 4  # semitones
VOICES = 0.8  # of each semitone that a voice moves on average
HOME, NUT = 4, 1  # the fret around which a hand stays, and that of one that plays open chords
FROM_HOME, FROM_NUT = 0.25, 0.6  # of each fret off either
OFF_MIDDLE = 0.08  # of each semitone off the middle of the register
LOWEST_TONE = {1: 0.0, 5: 0.5, 3: 1.0, 4: 1.0}  # of the lowest tone on a bass string ...
OTHER_LOWEST = 3.0  # ... and of a seventh or a colour there
BASS_STRING = 5
PLAIN = 2.5  # of a grip without a colour where one is wanted


@dataclass(frozen=True, slots=True)
class Grip:
    """A placed shape. tones: the degree of each of its strings. position: the lowest fret that
    is pressed, of a capo or the nut where none is. order: the place of its group in the pattern's
    list."""

    voicing: Voicing
    tones: tuple[Degree, ...]
    position: int
    order: int
    group: str

    @property
    def places(self) -> tuple[tuple[int, int], ...]:
        """String and fret of each note."""
        return tuple(zip(self.voicing.strings, self.voicing.frets, strict=True))


@dataclass(frozen=True, slots=True)
class Wanted:
    """The grips that suit a pattern: groups of the library, the first the most; MIDI notes that no
    voice leaves; whether altered tones have to sound; the fret of the capo."""

    groups: tuple[str, ...]
    low: int
    high: int
    whole: bool = True
    capo: int = 0


@lru_cache(maxsize=4096)
def grips(root: int, quality: Quality, wanted: Wanted, coloured: bool) -> tuple[Grip, ...]:
    """All grips of a chord, given by the pitch class of its root and its quality."""
    altered = {d.semitones % 12 for d in quality.degrees if d.alter and d.number not in (3, 7)}
    found = []
    for order, name in enumerate(wanted.groups):
        for shape in group(name).shapes:
            sounds = {degree.semitones % 12 for degree in shape.degrees}
            if wanted.whole and len(altered & sounds) < min(MOST_ALTERED, len(altered)):
                continue
            if serves(shape, quality, coloured):
                found += _placed(shape, root, quality, wanted, order, name)
    return tuple(dict.fromkeys(found))


def serves(shape: Shape, quality: Quality, coloured: bool) -> bool:
    """True if a shape sounds the guide tones of a quality and nothing foreign to it."""
    sounds = {degree.semitones % 12 for degree in shape.degrees}
    own = {degree.semitones % 12 for degree in quality.degrees}
    if coloured:
        own |= {degree.semitones % 12 for degree in colour_degrees(quality)}
    if {MAJOR_THIRD, FOURTH} <= sounds:
        return False  # the fourth lies a ninth above the third
    return sounds <= own and {d.semitones % 12 for d in guide_degrees(quality)} <= sounds


def _placed(
    shape: Shape, root: int, quality: Quality, wanted: Wanted, order: int, name: str
) -> list[Grip]:
    """A shape at every place where it sounds a root within the register.

    Strings outside the register are left out where the guide tones are within it.
    """
    guides = {degree.semitones % 12 for degree in guide_degrees(quality)}
    up = (root - shape.root) % 12
    if shape.movable:
        places = [at for at in (up, up + 12) if min(shape.frets) + at > wanted.capo]
    else:
        places = [wanted.capo] if up == wanted.capo else []
    found = []
    for at in places:
        kept = [
            (OPEN_PITCHES[STRINGS - string] + fret + at, string, fret + at, degree)
            for string, fret, degree in zip(shape.strings, shape.frets, shape.degrees, strict=True)
        ]
        if max(fret for _, _, fret, _ in kept) > LAST_FRET:
            continue
        kept = [note for note in kept if wanted.low <= note[0] <= wanted.high]
        if len(kept) < LEAST or not guides <= {note[3].semitones % 12 for note in kept}:
            continue
        pitches, strings, frets, tones = zip(*kept, strict=True)
        pressed = [fret for fret in frets if shape.movable or fret > wanted.capo]
        found.append(
            Grip(
                Voicing(tuple(pitches), tuple(strings), tuple(frets)),
                tuple(tones),
                min(pressed, default=wanted.capo),
                order,
                name,
            )
        )
    return found


@lru_cache(maxsize=8192)
def ranked_grips(
    before: Grip | None,
    root: int,
    quality: Quality,
    wanted: Wanted,
    coloured: bool,
) -> tuple[tuple[float, Grip], ...]:
    """The grips of a chord with their costs, the nearest to the one before first."""
    colours = {degree.semitones % 12 for degree in colour_degrees(quality)} if coloured else set()
    named = {d.semitones % 12 for d in voicing_degrees(quality, False)[0][:4]}
    named -= {ROOT.semitones, NATURAL_FIFTH.semitones}
    triad = quality.seventh is None and NATURAL_FIFTH in quality.degrees
    middle = (wanted.low + wanted.high) / 2
    movable = all(group(name).movable for name in wanted.groups)
    home, from_home = (HOME, FROM_HOME) if movable else (NUT, FROM_NUT)

    def cost(grip: Grip) -> float:
        pitches = grip.voicing.pitches
        sounds = {degree.semitones % 12 for degree in grip.tones}
        whole = LATER_GROUP * grip.order + MISSING * len(named - sounds)
        whole += OFF_MIDDLE * abs(sum(pitches) / len(pitches) - middle)
        whole += from_home * abs(grip.position - wanted.capo - home)
        if triad and NATURAL_FIFTH.semitones not in sounds:
            whole += NO_FIFTH
        if grip.voicing.strings[0] >= BASS_STRING:
            whole += LOWEST_TONE.get(grip.tones[0].number, OTHER_LOWEST)
        if colours and not colours & sounds:
            whole += PLAIN
        if before is not None:
            far = abs(grip.position - before.position)
            top = abs(pitches[-1] - before.voicing.pitches[-1])
            whole += far + (TOO_FAR if far > FARTHEST else 0.0) + TOP * top
            whole += TOP_LEAP * max(0, top - THIRD) + VOICES * movement(
                before.voicing, grip.voicing
            )
        return whole

    costs = [(cost(grip), grip) for grip in grips(root, quality, wanted, coloured)]
    return tuple(sorted(costs, key=lambda pair: pair[0]))
