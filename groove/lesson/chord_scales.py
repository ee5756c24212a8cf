"""Scales to play over a single chord, simplest first.

The choices for each role of a chord and every sentence are data: patterns/lesson/scales.toml.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from groove.lesson.form_scales import ARPEGGIO, Choice, form_words
from groove.theory.chords import Chord
from groove.theory.functions import MODAL, Harmony, within
from groove.theory.heard import heard
from groove.theory.motion import above
from groove.theory.pitch import Degree, NoteName
from groove.theory.roles import Role, falls_a_fifth, falls_a_half_step
from groove.theory.scale_choice import avoid_notes, clashes, holds, mode_on
from groove.theory.scale_spelling import spelled_over
from groove.theory.scales import chord_scale, scale_degrees, scale_notes
from groove.theory.symbols import arpeggio_title, listed, note, scale_title, symbol
from groove.wording import filled, inside, said, words_of

AT_HOME = ("home", "blues one", "local home")
BLUES_ROLES = ("blues one", "blues four", "blues five")
TENSE = ("altered", "half-whole diminished")
SEVENTH = 7
LEADING = ("five", "minor five", "secondary", "secondary to minor")


def chord_choices(
    chord: Chord, roles: Sequence[Role], chords: Sequence[Chord]
) -> tuple[Choice, ...]:
    """The scales for one chord in its roles: its arpeggio, pentatonics, modes, colours.

    Those for a slash chord are for the chord that it is heard as.
    """
    words = form_words(roles[0].harmony, chords)
    when = words_of("scales")["when"][ARPEGGIO]
    shared = [_choice(chord, chord.root, ARPEGGIO, when, words, roles[0])]
    chord = heard(chord)
    shared += _key_scales(chord, roles[0], words)
    own = [(role, choice) for role in roles for choice in _own(chord, role, chords)]
    own.sort(key=lambda pair: (pair[1].tag != "", "pentatonic" not in pair[1].scale))
    distinct = {(choice.root, choice.scale): choice for choice in shared}
    for role, choice in own:
        place = choice.root, choice.scale
        if place not in distinct:
            alone = sum((c.root, c.scale) == place for _, c in own) < len(roles)
            distinct[place] = _before(choice, role) if alone else choice
    return tuple(distinct.values())


def _before(choice: Choice, role: Role) -> Choice:
    """A choice that is right only where the chord leads to one of its goals."""
    goal = goal_symbol(role.goal)
    words = said("scales", "goals.before", chord=goal, words=inside(choice.words))
    return replace(choice, words=words, goal=goal)


def _own(chord: Chord, role: Role, chords: Sequence[Chord]) -> Iterator[Choice]:
    """The scales on a chord's own root in one role: pentatonics, the mode, the colours."""
    data = words_of("scales")
    entry = data["roles"][role.name]
    words = form_words(role.harmony, chords)
    mode = _mode(chord, entry["modes"], role.harmony)
    mode_notes = {n.pitch_class for n in scale_notes(chord.root, mode)}
    for name in entry.get("pentatonics", ()):
        notes = scale_notes(chord.root, name)
        inside = {n.pitch_class for n in notes} <= mode_notes
        if role.name in BLUES_ROLES or (inside and not avoid_notes(chord, notes)):
            yield _choice(chord, chord.root, name, _when(entry, name), words, role)
    suspended = role.name == "suspended" and mode == "mixolydian"
    plain = "suspended mixolydian" if suspended else mode
    when = data["when"][plain] if mode in TENSE else _when(entry, plain)
    yield _choice(chord, chord.root, mode, when, words, role)
    for name in entry["colours"] if role.harmony.kind != "loop" else ():
        fits = _may_colour(chord, name) and _resolves(chord, role, name)
        fits = fits and not _denies(role.harmony, chords, scale_notes(chord.root, name))
        if name != mode and fits and (role.name != "home" or _same_seventh(name, mode)):
            made = _choice(chord, chord.root, name, _when(entry, name), words, role)
            yield replace(made, tag=data["tags"].get(name, "colour"))


def _when(entry: Mapping[str, Any], scale: str) -> str:
    said: str = entry.get("say", {}).get(scale) or words_of("scales")["when"][scale]
    return said


def _mode(chord: Chord, names: Iterable[str], harmony: Harmony) -> str:
    """The first of some modes that holds the chord, and its bass if one does both; over a
    dominant its fifth may give way."""
    listed = []
    for name in names:
        own = mode_on(chord.root, harmony.home_notes) if name == "home" else name
        listed += [own] if own else []
    if harmony.kind not in MODAL and chord.quality.of_step(6) and not chord.quality.of_step(7):
        listed.sort(key=lambda name: Degree(7, -1) in scale_degrees(name))  # it rubs on the sixth
    for fifth in (True, False) if chord.quality.is_dominant else (True,):
        found = [name for name in listed if holds(chord.quality, name, fifth=fifth)]
        if found:
            return min(found, key=lambda name: not _under(chord, name))
    return chord_scale(chord.quality)


def _under(chord: Chord, name: str) -> bool:
    """True if a scale on the chord's root has the note in its bass."""
    places = {degree.semitones for degree in scale_degrees(name)}
    return above(chord.root, chord.lowest) in places


def _denies(harmony: Harmony, chords: Sequence[Chord], notes: Sequence[NoteName]) -> bool:
    """True if a scale lacks a tone of some chord of a vamp, which holds all of them in one mode."""
    vamp = harmony.vamps[0].chords if harmony.vamps else chords
    return harmony.kind == "vamp" and not all(within(chord, notes) for chord in vamp)


def _same_seventh(name: str, other: str) -> bool:
    """True if two scales have the same seventh: a home without one takes that of its mode."""
    sevenths = (
        {degree for degree in scale_degrees(scale) if degree.number == SEVENTH}
        for scale in (name, other)
    )
    return next(sevenths) == next(sevenths)


def _resolves(chord: Chord, role: Role, name: str) -> bool:
    """True if tensions have a goal to go to; where they have, no colour that just floats."""
    leads = falls_a_fifth(chord, role.goal) or falls_a_half_step(chord, role.goal)
    if name in TENSE:
        return leads
    return not (name == "lydian augmented" and leads)


def _may_colour(chord: Chord, name: str) -> bool:
    quality = chord.quality
    if chord.bass and not _under(chord, name):
        return False
    on_dominant = name in ("altered", "half-whole diminished", "lydian dominant")
    raised = Degree(5, 1) in quality.degrees
    if on_dominant and not ((quality.is_dominant or raised) and quality.of_step(3)):
        return False
    return holds(quality, name, fifth=not quality.is_dominant)


def _key_scales(chord: Chord, role: Role, words: Mapping[str, str]) -> list[Choice]:
    """The key's own pentatonic where it goes with this chord."""
    data, harmony = words_of("scales"), role.harmony
    found = []
    for name in data["kinds"][harmony.kind]["key_scales"]:
        if not name.startswith(harmony.mode) and harmony.kind not in ("blues", "minor blues"):
            continue
        notes = scale_notes(harmony.key.tonic, name)
        blue = role.name in BLUES_ROLES or harmony.kind in MODAL
        entry = data["roles"][role.name]
        mode = scale_notes(chord.root, _mode(chord, entry["modes"], harmony))
        inside = {n.pitch_class for n in notes} <= {n.pitch_class for n in mode}
        fits = inside and not clashes(chord, notes)
        if fits or (blue and (role.name in BLUES_ROLES or inside)):
            at_home = ", at home" if role.name in AT_HOME else ""
            when = data["when"][f"key {name}{at_home}"]
            found.append(_choice(chord, harmony.key.tonic, name, when, words, role, blue=blue))
        elif harmony.kind == "minor blues":
            rubbing = clashes(chord, notes)
            told = {**words, "rubs": _rubs(rubbing, chord)}
            when = data["when"][f"key {name}, rubbing"]
            made = _choice(chord, harmony.key.tonic, name, when, told, role)
            found.append(replace(made, avoid=rubbing))
    return found


def _rubs(names: Sequence[NoteName], chord: Chord) -> str:
    """``E rubs against E♭``: notes, and the chord's own next to each."""
    against: dict[NoteName, list[str]] = {}
    for name in names:
        apart = {tone: min(above(tone, name), above(name, tone)) for tone in chord.notes}
        near = min(apart, key=lambda tone: (apart[tone], tone.letter != name.letter))
        against.setdefault(near, []).append(note(name))
    return listed([
        said("scales", "rubs.many" if len(own) > 1 else "rubs.one",
             notes=listed(own), note=note(tone))
        for tone, own in against.items()
    ])  # fmt: skip


def _choice(
    chord: Chord,
    root: NoteName,
    scale: str,
    when: str,
    words: Mapping[str, str],
    role: Role,
    *,
    blue: bool = False,
) -> Choice:
    """A plain choice. blue: a scale of the blues, whose rubbing notes are its sound."""
    notes = chord.notes if scale == ARPEGGIO else spelled_over(chord, root, scale)
    leads = role.name in LEADING
    avoid = () if blue or "pentatonic" in scale else avoid_notes(chord, notes, leads=leads)
    own = {**words, **chord_words(chord, role)}
    title = arpeggio_title(chord) if scale == ARPEGGIO else scale_title(root, scale)
    goal = own["goal"] if "{goal}" in when else ""
    return Choice(root, scale, title, notes, "", filled(when, own), avoid, goal=goal)


def goal_symbol(goal: Chord) -> str:
    """The symbol of a chord that another leads to, with the root that it is heard on."""
    whole = heard(goal)
    return str(symbol(goal)) + (f" ({symbol(whole)})" if whole.root != goal.root else "")


def chord_words(chord: Chord, role: Role) -> dict[str, str]:
    """The names that a sentence about one chord may use as well."""
    third = chord.quality.third
    return {
        "chord": str(symbol(chord)),
        "goal": goal_symbol(role.goal),
        "root": note(chord.root),
        "below": note(chord.root + Degree(4)),
        "step_below": note(chord.root + Degree(7, -1)),
        "second": note(chord.root + Degree(2)),
        "flat_fifth": note(chord.root + Degree(5, -1)),
        "third": note(chord.root + third) if third else note(chord.root),
    }
