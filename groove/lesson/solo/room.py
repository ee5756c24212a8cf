"""Makes room in a solo: rests after phrases, and a limit to how much of the time notes sound."""

from __future__ import annotations

from collections.abc import Sequence

from groove.lesson.solo.notes import MadeLine
from groove.lesson.solo.plan import TAIL
from groove.lesson.solo.rhythms import rules
from groove.theory.motion import OCTAVE


def shortened(phrases: Sequence[MadeLine], share: float, length: int) -> None:
    """Shorten last notes of phrases, so that a rest follows and the solo leaves room.

    share: of the whole, in which notes should sound at most; length: of the whole, in ticks.
    """
    heard = [phrase for phrase in phrases if phrase.notes]
    fullest = rules()["room"]["fullest"] * length
    for phrase in heard:
        last, pulse = phrase.notes[-1], phrase.frame.pulses[-1].length
        last.length = max(min(last.end, phrase.frame.end - pulse) - last.start, pulse)
    for number, phrase in enumerate(heard[:-1]):
        last, after = phrase.notes[-1], heard[number + 1].notes[0]
        pulse, room = phrase.frame.pulses[0].length, after.start - last.start
        rest = pulse if room >= 2 * pulse else pulse // 2
        last.length = min(last.length, room - rest if room > rest else room)
    total = sum(note.length for phrase in heard for note in phrase.notes)
    total -= _cut(heard, total - share * length, 2)
    if total > fullest:
        total -= _detached(heard, total - fullest)
    while total > fullest:
        answers = [phrase for phrase in heard if _spared(heard, phrase)]
        if not answers:
            break
        heard = [phrase for phrase in heard if phrase is not answers[-1]]
        total -= sum(note.length for note in answers[-1].notes)
        answers[-1].notes.clear()
    if total > fullest:
        total -= _cut(heard, total - fullest, 1)
        _halved(heard, fullest)


def _cut(heard: Sequence[MadeLine], ticks: float, halves: int) -> int:
    """Take ticks from the longest last notes, half a beat at a time, down to so many halves of a
    beat, that of the solo to twice as many; how many were taken."""
    taken = 0
    while taken < ticks:
        spare = [
            phrase
            for phrase in heard
            if phrase.notes[-1].length
            > phrase.frame.pulses[0].length // 2 * halves * (2 if phrase is heard[-1] else 1)
        ]
        if not spare:
            break
        longest = max(spare, key=lambda phrase: phrase.notes[-1].length)
        half = longest.frame.pulses[0].length // 2
        longest.notes[-1].length -= half
        taken += half
    return taken


def _spared(heard: Sequence[MadeLine], answer: MadeLine) -> bool:
    """True if an answer may be left out: no leap over an octave is left in its place."""
    place = next(n for n, phrase in enumerate(heard) if phrase is answer)
    if answer.phrase.role != TAIL or not 0 < place < len(heard) - 1:
        return False
    return abs(heard[place + 1].notes[0].pitch - heard[place - 1].notes[-1].pitch) <= OCTAVE


def _detached(heard: Sequence[MadeLine], ticks: float) -> int:
    """Halve the longest notes within phrases, down to half a beat, until so many ticks are taken;
    how many were."""
    inner = [(n, p.frame.pulses[0].length) for p in heard for n in p.notes[:-1]]
    taken = 0
    for note, pulse in sorted(inner, key=lambda each: (-each[0].length, each[0].start)):
        if taken >= ticks or note.length < pulse:
            break
        taken += note.length - note.length // 2
        note.length //= 2
    return taken


def _halved(heard: Sequence[MadeLine], most: float) -> None:
    """Halve the longest notes until they fill no more ticks than that."""
    notes = sorted(
        (n for phrase in heard for n in phrase.notes), key=lambda n: (-n.length, n.start)
    )
    total = sum(note.length for note in notes)
    for note in notes:
        if total > most:
            total -= note.length - note.length // 2
            note.length //= 2
