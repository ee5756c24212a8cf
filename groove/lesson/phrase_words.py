"""Sentences and short lines about a phrase, for pages and text."""

from __future__ import annotations

from groove.instrument.fingerings import Placement
from groove.instrument.fretboard import Tuning
from groove.lesson.phrase_guide import LAST_FRET, MovedPhrase, PhraseGuide
from groove.lesson.phrase_notation import Phrase
from groove.theory.symbols import listed, noted, signs, symbol
from groove.wording import said


def placement_words(placement: Placement) -> str:
    """``string 4, fret 7, an octave up``."""
    first = placement.places[0]
    way = "fretted" if first.fret else "open"
    place = said("phrases", f"places.{way}", string=first.string, fret=first.fret)
    return _octaves(place, placement)


def placement_title(placement: Placement) -> str:
    """The same over a tablature, which shows the fret: ``string 4, an octave up``."""
    place = said("phrases", "places.string", string=placement.places[0].string)
    return _octaves(place, placement)


def _octaves(place: str, placement: Placement) -> str:
    octaves = abs(placement.octaves)
    if not octaves:
        return place
    way = f"{'octave' if octaves == 1 else 'octaves'}_{'up' if placement.octaves > 0 else 'down'}"
    return said("phrases", f"places.{way}", place=place, number=octaves)


def phrase_words(found: PhraseGuide, tuning: Tuning | None) -> str:
    """The number of places of the phrase, and their order."""
    notes = " ".join(noted(n.full_name) for n in found.phrase)
    if tuning is None:
        return said("phrases", "phrase.notes", notes=notes)
    first = "first_" if found.as_written else ""
    others = len(found.places)
    if not found.starts or not others:
        way = "only" if found.starts else "too_wide"
        return said("phrases", f"phrase.{first}{way}", notes=notes)
    highest = max(place.fret for found_at in found.places for place in found_at.places)
    way = ("one" if found.starts == 1 else "many") + ("_to_fret" if highest <= LAST_FRET else "")
    where = said("phrases", f"phrase.where.{way}", places=found.starts, fret=LAST_FRET)
    words = said("phrases", f"phrase.{first}begun", notes=notes, where=where)
    if first or found.starts == others:
        return words
    return f"{words} {said('phrases', 'phrase.some', number=others)}"


def lengths(phrase: Phrase) -> list[str]:
    """The notes' lengths in beats, ``1``, ``1/2``, ``3/2``; none where all are of one beat."""
    beats = [note.beats for note in phrase]
    return [] if set(beats) == {1} else [str(length) for length in beats]


def moved_words(found: PhraseGuide) -> str:
    """The meaning of the exclamation mark; empty where there is none."""
    every = (*found.moved, *found.left)
    clashes = any(seat.clash for m in every for seat in m.seats)
    return said("phrases", "moved.marked") if clashes else ""


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


def left_words(found: PhraseGuide) -> str:
    """The notes that clash with each chord if the phrase is left as it is."""
    clashes = [
        said("phrases", "left.clash", notes=names, chord=symbol(m.chord))
        for m in found.left
        if (names := clashing(m))
    ]
    if not clashes:
        return said("phrases", "left.clean")
    return said("phrases", "left.clashing", clashes="; ".join(clashes))


def clashing(moved: MovedPhrase) -> str:
    """The notes of a phrase that clash, ``E and G``; empty where none does."""
    pairs = zip(moved.phrase, moved.seats, strict=True)
    names = list(dict.fromkeys(noted(n.name) for n, seat in pairs if seat.clash))
    return listed(names) if names else ""


def clash_words(moved: MovedPhrase) -> str:
    """``E and G only in passing``; empty where no note clashes."""
    names = clashing(moved)
    return said("phrases", "moved.passing", notes=names) if names else ""
