"""Sentences and short lines about a phrase, for pages and text."""

from __future__ import annotations

from groove.instrument.fingerings import Placement
from groove.instrument.fretboard import Tuning
from groove.lesson.phrase_guide import LAST_FRET, MovedPhrase, PhraseGuide
from groove.lesson.phrase_notation import Phrase
from groove.theory.symbols import listed, noted, signs, symbol


def placement_words(placement: Placement) -> str:
    """``string 4, fret 7, an octave up``."""
    first = placement.places[0]
    fret = f"fret {first.fret}" if first.fret else "open"
    return f"string {first.string}, {fret}{_octaves(placement)}"


def placement_title(placement: Placement) -> str:
    """The same over a tablature, which shows the fret: ``string 4, an octave up``."""
    return f"string {placement.places[0].string}{_octaves(placement)}"


def _octaves(placement: Placement) -> str:
    octaves = abs(placement.octaves)
    size = "an octave" if octaves == 1 else f"{octaves} octaves"
    where = "up" if placement.octaves > 0 else "down"
    return f", {size} {where}" if octaves else ""


WRITTEN = "as written"


def phrase_words(found: PhraseGuide, tuning: Tuning | None) -> str:
    """The number of places of the phrase, and their order."""
    names = " ".join(noted(n.full_name) for n in found.phrase)
    if tuning is None:
        return f"The phrase: {names}."
    first = ", first as it was written" if found.as_written else ""
    if not found.starts:
        wide = "is too wide for one hand anywhere on this neck"
        return f"The phrase {names}{first}; it {wide}." if first else f"The phrase {names} {wide}."
    others = len(found.places)
    if not others:
        return f"The phrase {names}{first}; there is no other place for it on this neck."
    places = "place" if found.starts == 1 else "places"
    highest = max(place.fret for found_at in found.places for place in found_at.places)
    where = f"up to fret {LAST_FRET}" if highest <= LAST_FRET else "on the neck"
    follow = "in its own octave, then in others, the most comfortable first"
    begun = f"can be begun at {found.starts} {places} {where}"
    if first:
        return f"The phrase {names}{first}. It {begun}; the others follow {follow}."
    shown = "" if found.starts == others else f" The first {others} of them:"
    return f"The phrase {names} {begun}: {follow}.{shown}"


def lengths(phrase: Phrase) -> list[str]:
    """The notes' lengths in beats, ``1``, ``1/2``, ``3/2``; none where all are of one beat."""
    beats = [note.beats for note in phrase]
    return [] if set(beats) == {1} else [str(length) for length in beats]


BEATS = "Over the strings stand the lengths in beats."
MARKED = "An exclamation mark stands by a note that clashes there: pass through it quickly."


def moved_words(found: PhraseGuide) -> str:
    """The meaning of the exclamation mark; empty where there is none."""
    every = (*found.moved, *found.left)
    return MARKED if any(seat.clash for m in every for seat in m.seats) else ""


def seat_marks(moved: MovedPhrase) -> list[str]:
    """Under each note its degree, with an exclamation mark where it clashes."""
    return [signs(seat.degree) + ("!" if seat.clash else "") for seat in moved.seats]


def moved_line(moved: MovedPhrase) -> str:
    """``F7: C4 F4 G4 A4``."""
    return f"{symbol(moved.chord)}: {' '.join(noted(n.full_name) for n in moved.phrase)}"


def moved_title(moved: MovedPhrase) -> str:
    """The same over a tablature, which shows the octaves: ``F7: C F G A``."""
    return f"{symbol(moved.chord)}: {' '.join(noted(n.name) for n in moved.phrase)}"


def marked_line(moved: MovedPhrase) -> str:
    """``D7: A4 5, C5 ♭7``: each note and its degree over the chord."""
    marks = zip(moved.phrase, seat_marks(moved), strict=True)
    return (
        f"{symbol(moved.chord)}: {', '.join(f'{noted(n.full_name)} {mark}' for n, mark in marks)}"
    )


LEFT = "The same notes, left where they are"


def left_words(found: PhraseGuide) -> str:
    """The notes that clash with each chord if the phrase is left as it is."""
    clashes = [f"{names} over {symbol(m.chord)}" for m in found.left if (names := clashing(m))]
    if not clashes:
        return "What each note is over each chord. None of them clashes."
    return f"What each note is over each chord. Only in passing: {'; '.join(clashes)}."


def clashing(moved: MovedPhrase) -> str:
    """The notes of a phrase that clash, ``E and G``; empty where none does."""
    pairs = zip(moved.phrase, moved.seats, strict=True)
    names = list(dict.fromkeys(noted(n.name) for n, seat in pairs if seat.clash))
    return listed(names) if names else ""


def clash_words(moved: MovedPhrase) -> str:
    """``E and G only in passing``; empty where no note clashes."""
    names = clashing(moved)
    return f"{names} only in passing" if names else ""
