"""A phrase on a sheet as blocks: its places, and the phrase over each chord."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from groove.handout.drawing.flow import Block, heading, paragraph, row, subheading
from groove.handout.sheet.fretboards import TABS_BETWEEN, Cell, tab_cell
from groove.handout.sheet.keyboards import BETWEEN, keyboard_cell
from groove.handout.sheet.sheet import Sheet
from groove.instrument.fingerings import Placement
from groove.instrument.fretboard import Tuning
from groove.instrument.keyboard import KeyboardKey
from groove.instrument.material import arpeggio
from groove.lesson.phrase_guide import MovedPhrase, PhraseGuide
from groove.lesson.phrase_notation import Phrase
from groove.lesson.phrase_words import (
    left_words,
    marked_line,
    moved_title,
    moved_words,
    phrase_words,
    placement_title,
    seat_marks,
)
from groove.rhythm.meter import TICKS_PER_QUARTER, Meter
from groove.theory.symbols import symbol
from groove.wording import said

MOST_OCTAVES = 4  # of a keyboard on a page
C, F = 0, 5  # pitch classes that a keyboard begins with


def phrase_blocks(sheet: Sheet, width: float) -> list[Block]:
    """The blocks of a phrase: its places, then the phrase over each chord; width: in mm."""
    found = sheet.phrase
    if found is None:
        return []
    if sheet.tuning:
        return _on_strings(sheet, found, sheet.tuning, width)
    if sheet.instrument == "keyboard" and _octaves(found)[1] <= MOST_OCTAVES:
        return _on_keys(sheet, found, width)
    lines = [paragraph(marked_line(moved), width, gap=1.0) for moved in found.moved]
    return [*_head(sheet, found, width), *_moved_head(found, width), *lines, *_left(found, width)]


def _head(sheet: Sheet, found: PhraseGuide, width: float) -> list[Block]:
    words = phrase_words(found, sheet.tuning)
    return [
        heading(said("phrases", "phrase.title"), width),
        paragraph(words, width, gap=1.0, keep=True),
    ]


def _moved_head(found: PhraseGuide, width: float) -> list[Block]:
    words = moved_words(found)
    return [
        subheading(said("phrases", "moved.title"), width),
        *([paragraph(words, width, keep=True)] if words else []),
    ]


def _on_strings(sheet: Sheet, found: PhraseGuide, tuning: Tuning, width: float) -> list[Block]:
    """Every place as tablature, then over each chord."""

    def tab(place: Placement, title: str, face: str, moved: MovedPhrase | None = None) -> Cell:
        under = [("", seat_marks(moved))] if moved else []
        columns = [[note] for note in place.places]
        values = note_lengths(found.phrase, sheet.guide.form.meter)
        return tab_cell(tuning, columns, title, width, face=face, lengths=values, under=under)

    written = found.as_written
    cells = [tab(written, said("phrases", "places.written"), "bold")] if written else []
    cells += [tab(place, placement_title(place), "regular") for place in found.places]
    blocks = _head(sheet, found, width)
    blocks += row(cells, width, between=TABS_BETWEEN, gap=3.0) if cells else []
    blocks += _moved_head(found, width)
    placed = [(moved, moved.placement) for moved in found.moved if moved.placement]
    cells = [tab(place, moved_title(moved), "bold", moved) for moved, place in placed]
    blocks += row(cells, width, between=TABS_BETWEEN, gap=3.0) if cells else []
    lacking = [moved for moved in found.moved if moved.placement is None]
    blocks += [paragraph(marked_line(moved), width, gap=1.0) for moved in lacking]
    if not found.left or not found.first:
        return [*blocks, *_left(found, width)]
    under = [(str(symbol(left.chord)), seat_marks(left)) for left in found.left]
    columns = [[note] for note in found.first.places]
    words = "; ".join(marked_line(left) for left in found.left)
    cell = tab_cell(tuning, columns, "", width, under=under, words=words)
    return [*blocks, *_left_head(found, width), *row([cell], width, gap=2.0)]


def _on_keys(sheet: Sheet, found: PhraseGuide, width: float) -> list[Block]:
    """The keys of the phrase over each chord, above them the degree of each note, in order."""
    lowest, octaves = _octaves(found)

    def cell(moved: MovedPhrase) -> Cell:
        played = dict.fromkeys(
            _key(note.name, note.pitch, moved, seat.degree)
            for note, seat in zip(moved.phrase, moved.seats, strict=True)
        )
        return keyboard_cell(
            list(played), marked_line(moved), sheet.label, lowest=lowest, octaves=octaves
        )

    cells = [cell(moved) for moved in found.moved]
    return [
        *_head(sheet, found, width),
        *_moved_head(found, width),
        *row(cells, width, between=BETWEEN, gap=2.5),
        *_left(found, width),
    ]


def _left_head(found: PhraseGuide, width: float) -> list[Block]:
    return [
        subheading(said("phrases", "left.title"), width),
        paragraph(left_words(found), width, keep=True),
    ]


def _left(found: PhraseGuide, width: float) -> list[Block]:
    """The phrase over each chord of a blues as it is, in lines."""
    if not found.left:
        return []
    lines = [paragraph(marked_line(left), width, gap=1.0, keep=True) for left in found.left]
    return [*_left_head(found, width), *lines[:-1], replace(lines[-1], keep=False)]


def _key(name: str, pitch: int, moved: MovedPhrase, degree: str) -> KeyboardKey:
    tone = arpeggio(moved.chord).tone(pitch)
    return KeyboardKey(pitch, name, degree, tone.role if tone else "other")


def _octaves(found: PhraseGuide) -> tuple[int, int]:
    """The lowest key of a keyboard for all of the moved phrases, and its octaves."""
    pitches = [note.pitch for moved in found.moved for note in moved.phrase]
    low = min(pitches)
    lowest = max(n for n in range(low - 11, low + 1) if n % 12 in (C, F))
    return lowest, max((max(pitches) - lowest) // 12 + 1, 2)


def note_lengths(phrase: Phrase, meter: Meter) -> list[Fraction]:
    """The lengths of a phrase in quarter notes; none where every note has one beat."""
    quarters = Fraction(meter.beat_ticks, TICKS_PER_QUARTER)
    beats = [note.beats for note in phrase]
    return [] if set(beats) == {1} else [length * quarters for length in beats]
