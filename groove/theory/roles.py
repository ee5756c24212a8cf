"""The function of each chord in its form, as the chord that follows shows it.

The same symbol asks for other notes where it leads elsewhere. All of it is common practice.
"""

from __future__ import annotations

from dataclasses import dataclass

from groove.theory.chords import Chord
from groove.theory.functions import FIFTH, FLAT_SEVENTH, FOURTH, MODAL, Harmony, within
from groove.theory.heard import heard
from groove.theory.motion import above, is_diminished
from groove.theory.pitch import Degree

ROLES = (
    "home", "blues one", "blues four", "blues five", "five", "minor five", "secondary",
    "secondary to minor", "tritone substitute", "backdoor", "backdoor two", "two",
    "minor two", "borrowed two",
    "half-diminished", "in the key", "borrowed", "borrowed four", "dorian four", "dominant",
    "suspended", "diminished", "common-tone diminished",
    "augmented", "own mode", "local home", "local five", "local chord",
    "no third", "passing",
)  # fmt: skip
AWAY = {"home": "local home", "five": "local five", "in the key": "local chord"}
SECOND = 2  # semitones
HALF_STEPS = (1, 11)  # down and up, in semitones above the goal


@dataclass(frozen=True, slots=True)
class Role:
    """A chord's function in its place: one of ROLES, the chord it leads to, and the harmony."""

    name: str
    goal: Chord
    harmony: Harmony


def falls_a_fifth(chord: Chord, goal: Chord) -> bool:
    """True if the root falls a fifth from chord to goal, as that of every dominant does."""
    return above(heard(goal).root, heard(chord).root) == FIFTH


def falls_a_half_step(chord: Chord, goal: Chord) -> bool:
    """True if the root falls a half step from chord to goal, as that of a tritone substitute."""
    return above(heard(goal).root, heard(chord).root) == 1


def role_of(chord: Chord, goal: Chord, after: Chord, harmony: Harmony) -> Role:
    """The role of a chord before `goal`, the chord that follows it; `after`: the one after that.

    Slash chords count as they are heard, but over the tonic only where they fall a fifth: elsewhere
    the tonic is a pedal.
    """
    whole = heard(chord)
    pedal = whole.root != chord.root and above(harmony.key.tonic, chord.lowest) == 0
    if pedal and not falls_a_fifth(chord, goal):
        whole = chord
    name = _role(whole, heard(goal), heard(after), harmony)
    return Role(AWAY.get(name, name) if harmony.away else name, goal, harmony)


def _role(chord: Chord, goal: Chord, after: Chord, harmony: Harmony) -> str:
    quality = chord.quality
    place = above(harmony.key.tonic, chord.root)
    inside = within(chord, harmony.home_notes)
    if quality.of_step(3) is None:
        if place == 0 and quality.seventh is None:
            return "home"
        if quality.third is None:
            return "in the key" if inside else "no third"
        fits = inside and quality.of_step(7) != Degree(7, -1)
        return "in the key" if fits else "suspended"
    if is_diminished(chord):
        stays = above(goal.root, chord.root) == 0
        return "common-tone diminished" if stays else "diminished"
    if Degree(5, 1) in quality.degrees and not quality.is_dominant:
        return "augmented"
    if is_half_diminished(chord):
        if goal.quality.is_dominant and falls_a_fifth(chord, goal):
            dark = after.quality.is_minor and above(harmony.key.tonic, after.root) == 0
            home = harmony.mode == "major" and place == SECOND and not dark
            return "borrowed two" if home else "minor two"
        return "in the key" if inside else "half-diminished"
    if quality.is_minor:
        return _minor_role(chord, goal, after, harmony, place, inside)
    blues = {0: "blues one", FOURTH: "blues four", FIFTH: "blues five"}
    if harmony.kind == "blues" and place in blues and quality.of_step(7) != Degree(7):
        return blues[place]
    if quality.is_dominant:
        return _dominant_role(chord, goal, harmony, place, inside)
    return _major_role(chord, goal, harmony, place, inside)


def _minor_role(
    chord: Chord, goal: Chord, after: Chord, harmony: Harmony, place: int, inside: bool
) -> str:
    tonic = harmony.key.tonic
    if place == 0:
        return "home"
    if inside:
        return "in the key"
    if goal.quality.is_dominant and falls_a_fifth(chord, goal):
        back = above(tonic, goal.root) == FLAT_SEVENTH and above(tonic, after.root) == 0
        return "backdoor two" if harmony.mode == "major" and back else "two"
    if harmony.mode == "major" and place == FOURTH:
        return "borrowed four"
    slides = goal.quality.is_minor and above(goal.root, chord.root) in HALF_STEPS
    if slides and harmony.kind not in MODAL:
        return "passing"
    return "own mode"


def _dominant_role(chord: Chord, goal: Chord, harmony: Harmony, place: int, inside: bool) -> str:
    if harmony.kind in MODAL and not (place == FOURTH and harmony.mode == "minor"):
        return "home" if place == 0 else "in the key" if inside else "own mode"
    if harmony.kind in MODAL:
        return "dorian four"
    if place == FIFTH:
        return "five" if harmony.mode == "major" else "minor five"
    if falls_a_fifth(chord, goal):
        minor = goal.quality.is_minor
        return "secondary to minor" if minor else "secondary"
    if falls_a_half_step(chord, goal) and not (place == FOURTH and harmony.mode == "major"):
        return "tritone substitute"
    if inside:
        return "in the key"
    comes_home = above(harmony.key.tonic, goal.root) == 0
    if place == FLAT_SEVENTH and harmony.mode == "major" and comes_home:
        return "backdoor"
    if place == FOURTH and harmony.mode == "minor":
        return "dorian four"
    return "dominant"


def _major_role(chord: Chord, goal: Chord, harmony: Harmony, place: int, inside: bool) -> str:
    if place == 0:
        return "home"
    if harmony.mode == "minor" and place == FOURTH:
        return "dorian four"
    if inside:
        return "five" if place == FIFTH and harmony.mode == "major" else "in the key"
    if harmony.mode == "minor" and place == FIFTH:
        return "minor five"
    seventh = chord.quality.of_step(7)
    if seventh is None and falls_a_fifth(chord, goal):
        return "secondary to minor" if goal.quality.is_minor else "secondary"
    if seventh is None and place in (2, 4, 9, 11):
        return "dominant"
    return "borrowed"


def is_half_diminished(chord: Chord) -> bool:
    """True for a chord with minor third, flat fifth and minor seventh."""
    return {Degree(3, -1), Degree(5, -1), Degree(7, -1)} <= set(chord.quality.degrees)
