"""Scales to play over a form and over each of its chords, simplest first.

The choices and every sentence are data: patterns/lesson/scales.toml.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from groove.theory.chords import Chord
from groove.theory.functions import (
    FIFTH,
    FOURTH,
    HOME_SCALES,
    MODAL,
    Area,
    Harmony,
    Vamp,
    within,
)
from groove.theory.heard import heard
from groove.theory.keys import Key
from groove.theory.motion import above
from groove.theory.pitch import Degree, NoteName
from groove.theory.scale_choice import clashes
from groove.theory.scale_spelling import plain_blues
from groove.theory.scales import scale_notes
from groove.theory.symbols import key_words, listed, note, scale_title, symbol
from groove.wording import filled, said, words_of

ARPEGGIO = "arpeggio"
BLUES = ("blues", "minor blues")
RUBBING = ("blues", *MODAL)  # kinds where one scale may rub against a chord: it is their sound
WHOLE = 7  # notes
ROOTS = {"key": Degree(1), "five": Degree(5), "second": Degree(2)}


@dataclass(frozen=True, slots=True)
class Choice:
    """Notes to play, and when.

    scale: a name from theory.scales.SCALES, or ``"arpeggio"``. title: ``A minor pentatonic`` or
    ``A7 arpeggio``, with ♭ and ♯. tag: ``""`` for the plain sound, ``"colour"`` or ``"tension"``
    for a scale that goes beyond it. avoid: the notes not to rest on over the chord. over: for a
    choice for the whole form, the chords it is for, empty for all; watch: the chords over which
    some of its notes are not to rest on. goal: the symbol of the chord that the words lead to, if
    they name it.
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
    goal: str = ""


def form_choices(harmony: Harmony, chords: Sequence[Chord]) -> tuple[Choice, ...]:
    """The scales for the form as a whole, or for one of its sections.

    chords: those of the form or section; a scale is for none but these, whatever else the harmony
    was read from.
    """
    harmony = _heard_here(harmony, chords)
    facts, words = _facts(harmony, chords), form_words(harmony, chords)
    choices: list[Choice] = []
    for entry in words_of("scales")["kinds"][harmony.kind]["scales"]:
        if entry["on"] == "area":
            choices += [_area_choice(area, entry, harmony) for area in harmony.areas]
            continue
        if entry["on"] == "vamp":
            choices += [_vamp_choice(vamp, entry, harmony) for vamp in harmony.vamps]
            continue
        over = tuple(_meant(entry.get("only", ""), harmony, chords))
        needs = entry.get("needs", "").split(" or ")
        if ("only" in entry and not over) or not (needs == [""] or facts & set(needs)):
            continue
        root = harmony.key.tonic + ROOTS[entry["on"]]
        name = harmony.home_scale if entry["scale"] == "home" else entry["scale"]
        notes = plain_blues(root, name)
        over = tuple(chord for chord in over if _bears(chord, notes))
        if entry.get("only") == "home" and len(notes) == WHOLE:
            over = tuple(chord for chord in over if within(chord, notes))
            if not over:
                continue
        over = () if set(over) == set(chords) and entry.get("only") == "inside" else over
        rubs = harmony.kind in RUBBING or name == "blues" or entry.get("tag")
        careful = _away_from_blues(harmony, over or chords) if rubs else over or chords
        watch = _watch(careful, notes)
        if any((c.root, c.scale) == (root, name) for c in choices):
            continue
        choices.append(
            Choice(
                root, name, scale_title(root, name), notes, entry.get("tag", ""),
                filled(entry["words"], words), over=over, watch=watch,
            )
        )  # fmt: skip
    return tuple(choices)


def _heard_here(harmony: Harmony, chords: Sequence[Chord]) -> Harmony:
    """The harmony of a form with the keys and vamps that some of its chords stand in; home where
    they stand in none of the keys."""
    areas = [Area(a.key, tuple(c for c in a.chords if c in chords)) for a in harmony.areas]
    vamps = [Vamp(v.scale, tuple(c for c in v.chords if c in chords)) for v in harmony.vamps]
    here = tuple(area for area in areas if area.chords)
    if areas and not here:
        here = (Area(harmony.key, tuple(chords)),)
    return replace(harmony, areas=here, vamps=tuple(vamp for vamp in vamps if vamp.chords))


def _away_from_blues(harmony: Harmony, chords: Sequence[Chord]) -> tuple[Chord, ...]:
    """The chords of a blues that are not of its sound, so that what rubs against them is no colour:
    a ii or a diminished chord, but no dominant and neither I, IV nor V in major."""
    if harmony.kind != "blues":
        return ()
    return tuple(
        chord
        for chord in chords
        if not chord.quality.is_dominant
        and (above(harmony.key.tonic, chord.root) not in (0, FOURTH, FIFTH)
             or Degree(3, -1) in chord.quality.degrees)
    )  # fmt: skip


def _bears(chord: Chord, notes: Sequence[NoteName]) -> bool:
    """True if a whole scale has the note in the bass of a slash chord; a pentatonic need not."""
    return len(notes) < WHOLE or chord.lowest.pitch_class in {n.pitch_class for n in notes}


def _area_choice(area: Area, entry: Mapping[str, str], harmony: Harmony) -> Choice:
    """A scale for one of the keys that a form goes through, over its chords there."""
    mode = harmony.mode if area.key == harmony.key else "major"
    name = f"{mode} pentatonic" if entry["scale"] == "pentatonic" else HOME_SCALES[mode]
    tonic = area.key.tonic
    notes = scale_notes(tonic, name)
    words = filled(entry["words"], {"key": key_words(Key(tonic, mode))})
    scale = scale_notes(tonic, HOME_SCALES[mode])
    over = tuple(chord for chord in area.chords if within(chord, scale)) or area.chords
    return Choice(
        tonic, name, scale_title(tonic, name), notes, "", words,
        over=over, watch=_watch(over, notes),
    )  # fmt: skip


def _vamp_choice(vamp: Vamp, entry: Mapping[str, str], harmony: Harmony) -> Choice:
    """The mode of a vamp, over its chords."""
    tonic = harmony.key.tonic
    notes = scale_notes(tonic, vamp.scale)
    words = filled(entry["words"], {"vamp": listed([str(symbol(c)) for c in vamp.chords])})
    return Choice(
        tonic, vamp.scale, scale_title(tonic, vamp.scale), notes, "", words,
        over=vamp.chords, watch=_watch(vamp.chords, notes),
    )  # fmt: skip


def _facts(harmony: Harmony, chords: Sequence[Chord]) -> set[str]:
    """The conditions that the ``needs`` of an entry may name."""
    facts = {harmony.mode, harmony.home_scale}
    home = next(_meant("home", harmony, chords), None)
    if home and home.quality.is_dominant:
        facts.add("dominant")
    if not any(chord.quality.of_step(3) for chord in chords):
        facts.add("no third")
    return facts


def _meant(only: str, harmony: Harmony, chords: Sequence[Chord]) -> Iterator[Chord]:
    """The chords that an entry is for: those at home, or on the fifth degree, or inside the
    form's own scale and in no vamp."""
    if only == "inside":
        vamps = {chord for vamp in harmony.vamps for chord in vamp.chords}
        yield from (c for c in chords if within(c, harmony.home_notes) and c not in vamps)
        return
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
    found = ((chord, clashes(heard(chord), notes)) for chord in chords)
    return tuple((chord, avoided) for chord, avoided in found if avoided)


def form_words(harmony: Harmony, chords: Sequence[Chord]) -> dict[str, str]:
    """The names that a sentence about the whole form may use."""
    tonic = harmony.key.tonic
    words = {
        "key": note(tonic),
        "flat": note(tonic + Degree(3, -1)),
        "key_fifth": note(tonic + Degree(5)),
        "keys": listed([key_words(area.key) for area in harmony.areas]),
    }
    for name in ("home", "four", "five"):
        plain = said("scales", f"places.{name}")
        found = list(dict.fromkeys(str(symbol(c)) for c in _meant(name, harmony, chords)))
        words[name] = listed(found) if found else plain
        if name == "home":
            words["tonic"] = found[0] if found else plain
    return words
