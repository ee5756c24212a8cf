"""Which scales to play over a form and over each of its chords, simplest first.

Which goes with what, and every sentence, is data: patterns/lesson/scales.toml.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from groove import library
from groove.errors import GrooveError
from groove.handout.symbols import note, symbol
from groove.theory.chords import Chord
from groove.theory.functions import (
    FIFTH,
    FOURTH,
    MODAL,
    Harmony,
    Role,
    falls_a_fifth,
    falls_a_half_step,
)
from groove.theory.motion import above
from groove.theory.pitch import Degree, NoteName, degrees
from groove.theory.scale_choice import avoid_notes, clashes, holds, mode_on
from groove.theory.scales import chord_scale, scale_degrees, scale_notes
from groove.theory.spelling import plainly, single

ARPEGGIO = "arpeggio"
BLUES = ("blues", "minor blues")
RUBBING = (*BLUES, *MODAL)  # kinds where one scale may rub against a chord: it is their sound
BLUES_ROLES = ("blues one", "blues four", "blues five")
FREELY_SPELLED = ("whole-half diminished", "whole tone")
READ_AS = {  # the flat ninth on the next letter, the sharp ninth as a minor third
    "altered": "1 b2 b3 3 b5 b6 b7",
    "half-whole diminished": "1 b2 b3 3 b5 5 6 b7",
}
LEADING = ("five", "minor five", "secondary", "secondary to minor")
ROOTS = {"key": Degree(1), "five": Degree(5), "second": Degree(2)}


@dataclass(frozen=True, slots=True)
class Choice:
    """Notes to play, and when.

    scale: a name from theory.scales.SCALES, or ``"arpeggio"``. title: ``A minor pentatonic`` or
    ``A7 arpeggio``, with ♭ and ♯. tag: ``""`` for the plain sound, ``"colour"`` or ``"tension"``
    for what goes beyond it. avoid: the notes not to rest on over the chord. over: for a choice
    for the whole form, the chords it is for, empty for all; watch: the chords over which some
    of its notes are not to rest on.
    """

    root: NoteName
    scale: str
    title: str
    notes: tuple[NoteName, ...]
    tag: str
    words: str
    avoid: tuple[NoteName, ...] = ()
    over: tuple[Chord, ...] = ()
    watch: tuple[tuple[Chord, tuple[NoteName, ...]], ...] = ()


def lesson(name: str) -> dict[str, Any]:
    """A file of patterns/lesson/."""
    return library.load("lesson", name)


def filled(sentence: str, words: Mapping[str, str]) -> str:
    """A sentence of the data with its names put in; GrooveError for an unknown one."""
    try:
        return sentence.format_map(words)
    except (KeyError, ValueError, IndexError):
        allowed = ", ".join(f"{{{word}}}" for word in words)
        raise GrooveError(
            f"patterns/lesson: the sentence {sentence!r} has a name it can't have; "
            f"there are {allowed}"
        ) from None


def form_choices(harmony: Harmony, chords: Sequence[Chord]) -> tuple[Choice, ...]:
    """The scales for the form as a whole."""
    facts, words = _facts(harmony, chords), form_words(harmony, chords)
    choices: list[Choice] = []
    for entry in lesson("scales")["kinds"][harmony.kind]["scales"]:
        over = tuple(_meant(entry.get("only", ""), harmony, chords))
        needs = entry.get("needs", "").split(" or ")
        if ("only" in entry and not over) or not (needs == [""] or facts & set(needs)):
            continue
        root = harmony.key.tonic + ROOTS[entry["on"]]
        name = harmony.home_scale if entry["scale"] == "home" else entry["scale"]
        notes = plain_blues(root, name)
        rubs = harmony.kind in RUBBING or name == "blues" or entry.get("tag")
        watch = () if rubs else _watch(over or chords, notes)
        if any((c.root, c.scale) == (root, name) for c in choices):
            continue
        choices.append(
            Choice(
                root, name, f"{note(root)} {name}", notes, entry.get("tag", ""),
                filled(entry["words"], words), over=over, watch=watch,
            )
        )  # fmt: skip
    return tuple(choices)


def _facts(harmony: Harmony, chords: Sequence[Chord]) -> set[str]:
    """What the ``needs`` of an entry may ask for."""
    facts = {harmony.mode, harmony.home_scale}
    home = next(_meant("home", harmony, chords), None)
    if home and home.quality.is_dominant:
        facts.add("dominant")
    if home and home.quality.of_step(7) != Degree(7, -1):
        facts.add("no seventh")
    if not any(chord.quality.of_step(3) for chord in chords):
        facts.add("no third")
    return facts


def _meant(only: str, harmony: Harmony, chords: Sequence[Chord]) -> Iterator[Chord]:
    """The chords that an entry is for: those at home, or on the fifth degree."""
    places = {"home": 0, "four": FOURTH, "five": FIFTH, "minor five": FIFTH}
    for chord in chords:
        if only not in places or above(harmony.key.tonic, chord.root) != places[only]:
            continue
        if "five" in only and Degree(3) not in chord.quality.degrees:
            continue
        yield chord


def _watch(
    chords: Sequence[Chord], notes: Sequence[NoteName]
) -> tuple[tuple[Chord, tuple[NoteName, ...]], ...]:
    found = ((chord, clashes(chord, notes)) for chord in chords)
    return tuple((chord, avoided) for chord, avoided in found if avoided)


def form_words(harmony: Harmony, chords: Sequence[Chord]) -> dict[str, str]:
    """The names that a sentence about the whole form may use."""
    tonic = harmony.key.tonic
    words = {
        "key": note(tonic),
        "flat": note(tonic + Degree(3, -1)),
        "key_fifth": note(tonic + Degree(5)),
    }
    for name, plain in (("home", "the I"), ("four", "the IV"), ("five", "the V")):
        found = dict.fromkeys(str(symbol(c)) for c in _meant(name, harmony, chords))
        words[name] = " and ".join(found) or plain
    return words


def chord_choices(
    chord: Chord, roles: Sequence[Role], harmony: Harmony, chords: Sequence[Chord]
) -> tuple[Choice, ...]:
    """The scales for one chord in its roles: its arpeggio, pentatonics, modes, colours."""
    words = form_words(harmony, chords)
    when = lesson("scales")["when"][ARPEGGIO]
    shared = [
        _choice(chord, chord.root, ARPEGGIO, when, words, roles[0]),
        *_key_scales(chord, roles[0], harmony, words),
    ]
    own = [(role, choice) for role in roles for choice in _own(chord, role, harmony, words)]
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
    words = choice.words[0].lower() + choice.words[1:]
    return replace(choice, words=f"Before {symbol(role.goal)}: {words}")


def _own(chord: Chord, role: Role, harmony: Harmony, words: Mapping[str, str]) -> Iterator[Choice]:
    """The scales on a chord's own root in one role: pentatonics, the mode, the colours."""
    data = lesson("scales")
    entry = data["roles"][role.name]
    mode = _mode(chord, entry["modes"], harmony)
    mode_notes = {n.pitch_class for n in scale_notes(chord.root, mode)}
    for name in entry.get("pentatonics", ()):
        notes = scale_notes(chord.root, name)
        inside = {n.pitch_class for n in notes} <= mode_notes
        if role.name in BLUES_ROLES or (inside and not avoid_notes(chord, notes)):
            yield _choice(chord, chord.root, name, _when(entry, name), words, role)
    suspended = role.name == "suspended" and mode == "mixolydian"
    when = _when(entry, "suspended mixolydian" if suspended else mode)
    yield _choice(chord, chord.root, mode, when, words, role)
    for name in entry["colours"] if harmony.kind != "loop" else ():
        if name != mode and _may_colour(chord, name) and _resolves(chord, role, name):
            made = _choice(chord, chord.root, name, _when(entry, name), words, role)
            yield replace(made, tag=data["tags"].get(name, "colour"))


def _when(entry: Mapping[str, Any], scale: str) -> str:
    said: str = entry.get("say", {}).get(scale) or lesson("scales")["when"][scale]
    return said


def _mode(chord: Chord, names: Iterable[str], harmony: Harmony) -> str:
    """The first of some modes that holds the chord; over a dominant its fifth may give way."""
    listed = []
    for name in names:
        own = mode_on(chord.root, harmony.home_notes) if name == "home" else name
        listed += [own] if own else []
    if harmony.kind not in MODAL and chord.quality.of_step(6) and not chord.quality.of_step(7):
        listed.sort(key=lambda name: Degree(7, -1) in scale_degrees(name))  # it rubs on the sixth
    for fifth in (True, False) if chord.quality.is_dominant else (True,):
        for name in listed:
            if holds(chord.quality, name, fifth=fifth):
                return name
    return chord_scale(chord.quality)


def _resolves(chord: Chord, role: Role, name: str) -> bool:
    """Whether tensions have a goal to go to; where they have, no colour that just floats."""
    leads = falls_a_fifth(chord, role.goal) or falls_a_half_step(chord, role.goal)
    if name in ("altered", "half-whole diminished"):
        return leads
    return not (name == "lydian augmented" and leads)


def _may_colour(chord: Chord, name: str) -> bool:
    quality = chord.quality
    on_dominant = name in ("altered", "half-whole diminished", "lydian dominant")
    raised = Degree(5, 1) in quality.degrees
    if on_dominant and not ((quality.is_dominant or raised) and quality.of_step(3)):
        return False
    return holds(quality, name, fifth=not quality.is_dominant)


def _key_scales(
    chord: Chord, role: Role, harmony: Harmony, words: Mapping[str, str]
) -> list[Choice]:
    """The key's own pentatonic where it goes with this chord."""
    data = lesson("scales")
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
            when = data["when"][f"key {name}"]
            found.append(_choice(chord, harmony.key.tonic, name, when, words, role, blue=blue))
    return found


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
    title = f"{symbol(chord) if scale == ARPEGGIO else note(root)} {scale}"
    return Choice(root, scale, title, notes, "", filled(when, own), avoid)


def spelled_over(chord: Chord, root: NoteName, scale: str) -> tuple[NoteName, ...]:
    """A scale's notes; where a scale has no one spelling, as the chord and plain reading ask.

    >>> from groove.theory.chords import parse_chord
    >>> f7 = parse_chord("F7")
    >>> [str(n) for n in spelled_over(f7, f7.root, "altered")]
    ['F', 'Gb', 'Ab', 'A', 'B', 'Db', 'Eb']
    """
    if scale in READ_AS:
        flat_fifth = root + Degree(5, -1)
        written = (root + degree for degree in degrees(READ_AS[scale]))
        return tuple(plainly(n) if n == flat_fifth else single(n) for n in written)
    notes = scale_notes(root, scale)
    if scale not in FREELY_SPELLED:
        return notes
    own = {name.pitch_class: name for name in chord.notes}
    return tuple(own.get(name.pitch_class) or plainly(name) for name in notes)


def plain_blues(root: NoteName, scale: str) -> tuple[NoteName, ...]:
    """A scale's notes, the flat fifth of a blues scale as players write it: B in F blues."""
    notes = scale_notes(root, scale)
    if scale != "blues":
        return notes
    fifth = root + Degree(5, -1)
    return tuple(plainly(name) if name == fifth else name for name in notes)


def chord_words(chord: Chord, role: Role) -> dict[str, str]:
    """The names that a sentence about one chord may use as well."""
    third = chord.quality.third
    return {
        "chord": str(symbol(chord)),
        "goal": str(symbol(role.goal)),
        "root": note(chord.root),
        "below": note(chord.root + Degree(4)),
        "step_below": note(chord.root + Degree(7, -1)),
        "second": note(chord.root + Degree(2)),
        "flat_fifth": note(chord.root + Degree(5, -1)),
        "third": note(chord.root + third) if third else note(chord.root),
    }
