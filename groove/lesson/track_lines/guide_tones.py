"""Lines of guide tones as notes: two of them through a chorus, a note each for every chord."""

from __future__ import annotations

from dataclasses import replace

from groove.form.model import Form
from groove.instrument.fretboard import Tuning
from groove.instrument.line_places import LineStroke, line_places
from groove.lesson.line import LineNote, NoteLine
from groove.lesson.solo.ground import ground_of
from groove.theory.motion import ChordTone, guide_lines

OCTAVE = 12
MIDDLES = {"treble": 70, "bass": 52}  # MIDI notes around which the lines lie, Bb4 and E3
OVER_NECK = 8  # semitones over the middle of the open strings, where they lie on a neck
REACH = 12  # semitones from the middle, beyond which a line goes on in another octave
APART = 4  # semitones: how far from the middle the two begin


def guide_tone_line(
    form: Form, tuning: Tuning | None, clef: str = "treble", *, number: int = 0
) -> tuple[NoteLine, dict[int, tuple[str, ...]]]:
    """Both lines together as notes, and for each chord's tick the degrees, the highest first.

    Tones are held as long as their chord. number: of the round of the chart. On a neck they have
    places, unless two lie too far apart somewhere.
    """
    ground = ground_of(form, number)
    middle = MIDDLES[clef]
    if tuning:
        middle = (min(tuning.open_strings) + max(tuning.open_strings)) // 2 + OVER_NECK
    first, second = guide_lines([change.chord for change in ground.changes])
    lower, upper = _pitches(first, middle - APART, middle), _pitches(second, middle + APART, middle)
    notes: list[LineNote] = []
    degrees: dict[int, tuple[str, ...]] = {}
    pairs = zip(zip(lower, first, strict=True), zip(upper, second, strict=True), strict=True)
    for change, voices in zip(ground.changes, pairs, strict=True):
        sounding = dict(voices)
        length = change.end - change.start
        notes += [
            LineNote(change.start, length, sounding[pitch].name, pitch)
            for pitch in sorted(sounding)
        ]
        degrees[change.start] = tuple(
            str(sounding[pitch].degree) for pitch in sorted(sounding, reverse=True)
        )
    return NoteLine("", tuple(_placed(notes, tuning)), ground.bars), degrees


def _pitches(tones: tuple[ChordTone, ...], begins: int, middle: int) -> list[int]:
    """MIDI notes for the tones of a line, each near the one before and none far from the middle."""
    found: list[int] = []
    for tone in tones:
        near = found[-1] if found else begins
        pitch = near + (tone.name.pitch_class - near + 5) % OCTAVE - 5
        if pitch > middle + REACH:
            pitch -= OCTAVE
        elif pitch < middle - REACH:
            pitch += OCTAVE
        found.append(pitch)
    return found


def _placed(notes: list[LineNote], tuning: Tuning | None) -> list[LineNote]:
    """The notes with their places, where the neck has them all."""
    if tuning is None:
        return notes
    starts = dict.fromkeys(note.start for note in notes)
    struck = [[note for note in notes if note.start == start] for start in starts]
    found = line_places(tuning, [LineStroke(tuple(n.pitch for n in held)) for held in struck])
    if found is None:
        return notes
    return [
        replace(note, place=place)
        for held, on in zip(struck, found.places, strict=True)
        for note, place in zip(held, on, strict=True)
    ]
