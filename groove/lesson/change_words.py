"""Sentences about a change of chords: common tones, moving tones and the sizes of their steps.

Every sentence is data: patterns/lesson/changes.toml.
"""

from __future__ import annotations

from collections.abc import Mapping

from groove.theory.heard import heard
from groove.theory.motion import Change, ChordTone, VoiceStep, guide_tones
from groove.theory.pitch import Degree
from groove.theory.symbols import note, symbol
from groove.wording import filled, said, words_of

STEPS = {1: "up", 2: "up", 10: "down", 11: "down"}  # semitones upwards that the bass goes by step


def degree_words(degree: Degree) -> str:
    """A degree as players say it: ``third``, ``flat fifth``, ``sharp ninth``."""
    names = words_of("changes")["degrees"]
    if str(degree) in names:
        return str(names[str(degree)])
    sign = names["sharp" if degree.alter > 0 else "flat"]
    return filled(sign, {"degree": names[str(degree.number)]})


def change_sentences(change: Change) -> tuple[str, ...]:
    """Sentences on the tones that stay, the moves of the guide tones, and new guide tones.

    Before and after a diminished chord the step of the root is among them.

    >>> from groove.theory.chords import parse_chord
    >>> from groove.theory.motion import change
    >>> for line in change_sentences(change(parse_chord("D7"), parse_chord("G7"))): print(line)
    D stays: the root of D7, the fifth of G7.
    F♯, the third of D7, falls a half step to F, the seventh of G7.
    C, the seventh of D7, falls a half step to B, the third of G7.
    """
    return _sentences(change, words_of("changes")["long"])


def brief_sentences(change: Change) -> tuple[str, ...]:
    """The same in few words, for where the two chords are named above.

    >>> from groove.theory.chords import parse_chord
    >>> from groove.theory.motion import change
    >>> for line in brief_sentences(change(parse_chord("D7"), parse_chord("G7"))): print(line)
    D stays: root, then fifth.
    F♯ (third) falls a half step to F (seventh).
    C (seventh) falls a half step to B (third).
    """
    return _sentences(change, words_of("changes")["brief"])


def _sentences(change: Change, forms: Mapping[str, str]) -> tuple[str, ...]:
    chords = {
        "before": str(symbol(heard(change.before))),
        "after": str(symbol(heard(change.after))),
    }
    if _all_stay(change):
        return (forms["all"], *_bass(change))
    sentences = [filled(forms[_staying(step)], _names(step) | chords) for step in change.stays]
    sentences += [] if change.stays else [forms["none"]]
    for step in _moves(change):
        way = "rises" if step.semitones > 0 else "falls"
        sentences.append(filled(forms[way], _names(step) | chords))
    for tone in _new(change):
        names = {"other": note(tone.name), "other_degree": degree_words(tone.degree)}
        sentences.append(filled(forms["new"], names | chords))
    return (*sentences, *_bass(change))


def _names(step: VoiceStep) -> dict[str, str]:
    """The names that a sentence about a step may use."""
    size = words_of("changes")["sizes"].get(str(abs(step.semitones)), "")
    return {
        "note": note(step.start.name),
        "degree": degree_words(step.start.degree),
        "other": note(step.end.name),
        "other_degree": degree_words(step.end.degree),
        "size": size,
    }


def _staying(step: VoiceStep) -> str:
    if step.start.name != step.end.name:
        return "stays_written"
    same = degree_words(step.start.degree) == degree_words(step.end.degree)  # also of b3 and 3
    return "stays_of_both" if same else "stays"


def _all_stay(change: Change) -> bool:
    before, after = heard(change.before), heard(change.after)
    return (before.root, before.quality) == (after.root, after.quality)


def _moves(change: Change) -> list[VoiceStep]:
    """The step of the root, unless the sentence on the bass says it, and those of guide tones."""
    root = change.root
    low = (change.before.lowest, change.after.lowest)
    told = root and _bass(change) and (root.start.name, root.end.name) == low
    roots = [root] if root and not told else []
    return [step for step in (*roots, *change.guides, *change.arrivals) if step.semitones]


def _new(change: Change) -> list[ChordTone]:
    """The guide tones of the next chord to which none of this one leads."""
    steps = (
        *change.stays,
        *change.guides,
        *change.arrivals,
        *([change.root] if change.root else []),
    )
    reached = {step.end for step in steps}
    return [tone for tone in guide_tones(change.after) if tone not in reached]


def _bass(change: Change) -> tuple[str, ...]:
    """The move of the bass where a chord stands over another note than its root."""
    before, after = change.before.lowest, change.after.lowest
    rise = (after.pitch_class - before.pitch_class) % 12
    if not (change.before.bass or change.after.bass) or not rise:
        return ()
    way = STEPS.get(rise, "goes")
    return (said("changes", f"bass.{way}", note=note(before), other=note(after)),)
