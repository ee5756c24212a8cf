"""Sentences about a change of chords: common tones, moving tones and the sizes of their steps."""

from __future__ import annotations

from groove.theory.motion import Change, ChordTone, VoiceStep, guide_tones
from groove.theory.pitch import Degree
from groove.theory.symbols import note, symbol

NUMBERS = {
    1: "root", 2: "second", 3: "third", 4: "fourth", 5: "fifth", 6: "sixth", 7: "seventh",
    9: "ninth", 11: "eleventh", 13: "thirteenth",
}  # fmt: skip
PLAIN = {"b3", "b7"}  # the thirds and sevenths that players call just so
DIMINISHED_SEVENTH = Degree(7, -2)
SIZES = {
    1: "a half step", 2: "a whole step", 3: "a minor third", 4: "a major third",
    5: "a fourth", 6: "a tritone",
}  # fmt: skip


def degree_words(degree: Degree) -> str:
    """A degree as players say it: ``third``, ``flat fifth``, ``sharp ninth``."""
    name = NUMBERS[degree.number]
    if degree == DIMINISHED_SEVENTH:
        return f"diminished {name}"
    if degree.alter == 0 or str(degree) in PLAIN:
        return name
    return f"{'sharp' if degree.alter > 0 else 'flat'} {name}"


def change_sentences(change: Change) -> tuple[str, ...]:
    """Sentences on the tones that stay, the moves of the guide tones, and new guide tones.

    >>> from groove.theory.chords import parse_chord
    >>> from groove.theory.motion import change
    >>> for line in change_sentences(change(parse_chord("D7"), parse_chord("G7"))): print(line)
    D stays: the root of D7, the fifth of G7.
    F♯, the third of D7, falls a half step to F, the seventh of G7.
    C, the seventh of D7, falls a half step to B, the third of G7.
    """
    before, after = str(symbol(change.before)), str(symbol(change.after))
    sentences = [_stay(step, before, after) for step in change.stays]
    if not change.stays:
        sentences.append("No note stays.")
    sentences += [_move(step, before, after) for step in _moves(change)]
    sentences += [
        f"{note(tone.name)}, the {degree_words(tone.degree)} of {after}, is new."
        for tone in _new(change)
    ]
    return (*sentences, *_bass(change))


def brief_sentences(change: Change) -> tuple[str, ...]:
    """The same in few words, for where the two chords are named above.

    >>> from groove.theory.chords import parse_chord
    >>> from groove.theory.motion import change
    >>> for line in brief_sentences(change(parse_chord("D7"), parse_chord("G7"))): print(line)
    D stays: root, then fifth.
    F♯ (third) falls a half step to F (seventh).
    C (seventh) falls a half step to B (third).
    """
    sentences = [_brief_stay(step) for step in change.stays] or ["No note stays."]
    sentences += [_brief_move(step) for step in _moves(change)]
    new = [f"{note(tone.name)} ({degree_words(tone.degree)}) is new." for tone in _new(change)]
    return (*sentences, *new, *_bass(change))


def _moves(change: Change) -> list[VoiceStep]:
    return [step for step in (*change.guides, *change.arrivals) if step.semitones]


def _new(change: Change) -> list[ChordTone]:
    """The guide tones of the next chord to which none of this one leads."""
    reached = {step.end for step in (*change.stays, *change.guides, *change.arrivals)}
    return [tone for tone in guide_tones(change.after) if tone not in reached]


def _brief_stay(step: VoiceStep) -> str:
    start, end = step.start, step.end
    renamed = "" if start.name == end.name else f", written {note(end.name)}"
    if start.degree == end.degree and not renamed:
        return f"{note(start.name)} stays, the {degree_words(start.degree)} of both."
    degrees = f"{degree_words(start.degree)}, then {degree_words(end.degree)}"
    return f"{note(start.name)} stays{renamed}: {degrees}."


def _brief_move(step: VoiceStep) -> str:
    start, end = step.start, step.end
    return (
        f"{note(start.name)} ({degree_words(start.degree)}) {_way(step)} "
        f"to {note(end.name)} ({degree_words(end.degree)})."
    )


def _way(step: VoiceStep) -> str:
    return f"{'rises' if step.semitones > 0 else 'falls'} {SIZES[abs(step.semitones)]}"


def _bass(change: Change) -> tuple[str, ...]:
    """The move of the bass where a chord stands over another note than its root."""
    before, after = change.before.lowest, change.after.lowest
    rise = (after.pitch_class - before.pitch_class) % 12
    if not (change.before.bass or change.after.bass) or not rise:
        return ()
    way = {1: "steps up", 2: "steps up", 10: "steps down", 11: "steps down"}.get(rise, "goes")
    return (f"The bass {way} from {note(before)} to {note(after)}.",)


def _stay(step: VoiceStep, before: str, after: str) -> str:
    start, end = step.start, step.end
    renamed = "" if start.name == end.name else f", written {note(end.name)}"
    if start.degree == end.degree and not renamed:
        return f"{note(start.name)} stays, the {degree_words(start.degree)} of both."
    return f"{note(start.name)} stays{renamed}: {_of(start, before)}, {_of(end, after)}."


def _move(step: VoiceStep, before: str, after: str) -> str:
    return (
        f"{note(step.start.name)}, {_of(step.start, before)}, {_way(step)} "
        f"to {note(step.end.name)}, {_of(step.end, after)}."
    )


def _of(tone: ChordTone, chord: str) -> str:
    return f"the {degree_words(tone.degree)} of {chord}"
