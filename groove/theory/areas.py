"""The keys that a form goes through.

A major seventh or sixth chord from outside the home key that its own V7 leads to is home for
its bars. With the V7, the ii before it unless that is the form's own tonic, and what follows in
its scale it makes a key of its own (common practice). A cycle of such chords in thirds goes
through three keys; a iv7 bVII7 bIIImaj7 in major is the ii V I of the key on bIII.
"""

from __future__ import annotations

from collections.abc import Sequence

from groove.theory.chords import Chord
from groove.theory.keys import FLATTEST, SHARPEST, Key
from groove.theory.motion import above
from groove.theory.pitch import Degree, NoteName
from groove.theory.scales import scale_notes

FIFTH = 7  # semitones


def local_keys(chords: Sequence[Chord], key: Key, home_scale: str) -> tuple[Key, ...]:
    """The key in which each chord of a chorus stands.

    chords: in their order, the last one leading to the first. key, home_scale: the form's own.

    >>> from groove.theory.chords import parse_chord
    >>> cycle = [parse_chord(c) for c in "Bmaj7 D7 Gmaj7 Bb7 Ebmaj7 F#7".split()]
    >>> [k.symbol for k in local_keys(cycle, Key.parse("B"), "major")]
    ['B', 'G', 'G', 'Eb', 'Eb', 'B']
    """
    home = _pitches(scale_notes(key.tonic, home_scale))
    found: dict[int, Key] = {}
    for place, chord in enumerate(chords):
        if _is_tonic(chord) and not _pitches(chord.notes) <= home:
            led = [at for at in _led_by(chords, place) if not _on(chords[at], key.tonic)]
            found |= dict.fromkeys(led and [*led, place], _key_on(chord.root))
    size = len(chords)
    for start in [place for place in found if _is_tonic(chords[place])]:
        scale = _pitches(scale_notes(found[start].tonic, "major"))
        for place in (at % size for at in range(start + 1, start + size)):
            tones = _pitches(chords[place].notes)
            if place in found or not tones <= scale or tones <= home:
                break
            found[place] = found[start]
    return tuple(found.get(place, key) for place in range(size))


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


def _on(chord: Chord, tonic: NoteName) -> bool:
    return above(tonic, chord.root) == 0


def _is_tonic(chord: Chord) -> bool:
    """A major seventh or sixth chord, its fifth not raised."""
    degrees = set(chord.quality.degrees)
    foreign = degrees & {Degree(7, -1), Degree(5, 1)}
    return Degree(3) in degrees and bool(degrees & {Degree(7), Degree(6)}) and not foreign


def _is_five(chord: Chord) -> bool:
    return chord.quality.is_dominant


def _is_two(chord: Chord) -> bool:
    return chord.quality.is_minor and chord.quality.of_step(7) == Degree(7, -1)


def _key_on(tonic: NoteName) -> Key:
    key = Key(tonic)
    return key if FLATTEST <= key.signature <= SHARPEST else key.respelled()


def _pitches(notes: Sequence[NoteName]) -> set[int]:
    return {note.pitch_class for note in notes}
