"""The keys that a form goes through.

A major seventh or sixth chord from outside the home key that its own V7 leads to is home for
its bars; so is a major triad that a ii and its V7 lead to. With the V7, the ii before it unless it
is the form's own tonic chord, what leads to that ii in the same scale, and what follows in it, it
makes a key of its own (common practice). A cycle of such chords in thirds goes through three keys;
a iv7 bVII7 bIIImaj7 in major is the ii V I of the key on bIII. A section ends in the key that its
last chords lead to, whatever section brings that chord.
"""

from __future__ import annotations

from collections.abc import Sequence

from groove.theory.chords import Chord
from groove.theory.heard import heard
from groove.theory.keys import FLATTEST, SHARPEST, Key
from groove.theory.motion import above
from groove.theory.pitch import Degree, NoteName
from groove.theory.scales import scale_notes

FIFTH = 7  # semitones


def local_keys(
    chords: Sequence[Chord],
    key: Key,
    home_scale: str,
    *,
    before: Sequence[Chord] = (),
    after: Sequence[Chord] = (),
) -> tuple[Key, ...]:
    """The key in which each chord of a chorus or section stands.

    chords: in their order. key, home_scale: the form's own. before, after: the chords around them,
    where a section stands among others; else the last of them leads to the first.

    >>> from groove.theory.chords import parse_chord
    >>> cycle = [parse_chord(c) for c in "Bmaj7 D7 Gmaj7 Bb7 Ebmaj7 F#7".split()]
    >>> [k.symbol for k in local_keys(cycle, Key.parse("B"), "major")]
    ['B', 'G', 'G', 'Eb', 'Eb', 'B']
    >>> [k.symbol for k in local_keys(cycle[:2], Key.parse("B"), "major", after=cycle[2:])]
    ['B', 'G']
    """
    whole = [heard(chord) for chord in (*before, *chords, *after)]
    home = _pitches(scale_notes(key.tonic, home_scale))
    size = len(whole)
    found: dict[int, Key] = {}
    for place, chord in enumerate(whole):
        led = [] if _pitches(chord.notes) <= home else _led_by(whole, place)
        led = [at for at in led if not _at_home(whole[at], key.tonic, home)]
        twos = [at for at in led if _is_two(whole[at])]
        if led and (_is_tonic(chord) or (twos and _is_triad(chord))):
            found |= dict.fromkeys([*led, place], _key_on(chord.root))
    for start in list(found):
        scale = _pitches(scale_notes(found[start].tonic, "major"))
        on = above(found[start].tonic, whole[start].root) == 0
        for step in range(1, size):
            at = (start + step if on else start - step) % size
            tones = _pitches(whole[at].notes)
            falls = on or above(whole[(at + 1) % size].root, whole[at].root) == FIFTH
            if at in found or not falls or not tones <= scale or tones <= home:
                break
            found[at] = found[start]
    first = len(before)
    return tuple(found.get(place, key) for place in range(first, first + len(chords)))


def _led_by(chords: Sequence[Chord], place: int) -> list[int]:
    """The places of the V7, and of the ii before it, that lead to a chord; empty without a V7."""
    size = len(chords)
    back = [(place - steps) % size for steps in range(1, size)]
    led: list[int] = []
    goal = chords[place].root
    for fits in (_is_five, _is_two):
        here = chords[back[0]] if back else chords[place]
        if above(goal, here.root) != FIFTH or not fits(here):
            break
        goal = here.root
        while back and chords[back[0]].root == goal and not _is_tonic(chords[back[0]]):
            led.append(back.pop(0))
    return led


def _at_home(chord: Chord, tonic: NoteName, home: set[int]) -> bool:
    """True for the form's own tonic chord."""
    return above(tonic, chord.root) == 0 and _pitches(chord.notes) <= home


def _is_tonic(chord: Chord) -> bool:
    """A major seventh or sixth chord, its fifth not raised."""
    degrees = set(chord.quality.degrees)
    foreign = degrees & {Degree(7, -1), Degree(5, 1)}
    return Degree(3) in degrees and bool(degrees & {Degree(7), Degree(6)}) and not foreign


def _is_triad(chord: Chord) -> bool:
    """A major triad."""
    return {Degree(3), Degree(5)} <= set(chord.quality.degrees) and not chord.quality.seventh


def _is_five(chord: Chord) -> bool:
    return chord.quality.is_dominant


def _is_two(chord: Chord) -> bool:
    return chord.quality.is_minor and chord.quality.of_step(7) == Degree(7, -1)


def _key_on(tonic: NoteName) -> Key:
    key = Key(tonic)
    return key if FLATTEST <= key.signature <= SHARPEST else key.respelled()


def _pitches(notes: Sequence[NoteName]) -> set[int]:
    return {note.pitch_class for note in notes}
