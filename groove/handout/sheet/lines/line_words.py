"""Words about lines of notes on a sheet: what to do with them, and what their signs mean."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from groove.handout.drawing.staff.written import Clef, clef_for
from groove.handout.sheet.sheet import Sheet
from groove.lesson.blocks import heading_of
from groove.lesson.line import JOINS, LineNote, NoteLine
from groove.lesson.teacher_phrases import OverChord, TeacherPhrase
from groove.theory.symbols import listed, symbol
from groove.theory.symbols import note as note_words
from groove.wording import said

OCTAVE = 12
STIFF = 2  # the highest fret that is so near the nut that a string is hard to bend
BASS_MIDDLE = 52  # MIDI note around which a line in the bass clef lies, E3


def solo_words(sheet: Sheet) -> str:
    """The use of the example solo, by learner, and what to look for in it."""
    return " ".join((said("staff", f"solo.{sheet.learner}"), *sheet.solo_looks))


def lick_title(sheet: Sheet, number: int, line: NoteLine) -> str:
    """The name of a lick: its position on strings, else its number."""
    return line.name if sheet.tuning else said("staff", "licks.numbered", number=number)


def licks_words(sheet: Sheet) -> str:
    """The use of the licks."""
    several = "many" if sheet.tuning else "plain"
    return said("staff", f"licks.{'one' if len(sheet.licks) == 1 else several}")


def over_title(over: OverChord) -> str:
    """The chord that a phrase is played over, and its notes: ``Over D7: D F♯ A``."""
    chord = said("staff", "phrases.over", chord=str(symbol(over.chord)))
    return f"{chord}: {line_names(over.line)}"


def stiff_words(phrase: TeacherPhrase) -> str:
    """The chords over which a bend lies on a fret where a string is stiff; empty for none."""
    stiff = [
        str(symbol(over.chord))
        for over in (phrase.written, *phrase.moved)
        if any(each.bend and each.place and each.place.fret <= STIFF for each in over.line.notes)
    ]
    return said("staff", "phrases.stiff", chords=listed(stiff)) if stiff else ""


def line_names(line: NoteLine) -> str:
    """The names of the notes of a line in their order, with a plus between those that start
    together."""
    strokes = groupby(line.notes, key=lambda note: note.start)
    return " ".join("+".join(note_words(note.name) for note in notes) for _, notes in strokes)


def to_read(sheet: Sheet, line: NoteLine) -> NoteLine:
    """A line in the octave of its reader's clef: without strings lower in the bass clef."""
    if sheet.tuning or sheet.guide.reader.clef != "bass" or not line.notes:
        return line
    pitches = [note.pitch for note in line.notes]
    down = round(((min(pitches) + max(pitches)) / 2 - BASS_MIDDLE) / OCTAVE) * OCTAVE
    return replace(line, notes=tuple(_lower(note, down) for note in line.notes))


def _lower(note: LineNote, down: int) -> LineNote:
    return replace(note, pitch=note.pitch - down)


def clef_of(sheet: Sheet) -> Clef:
    """The clef of the lines of a sheet: that of its neck, else its reader's."""
    return clef_for(sheet.tuning, sheet.guide.reader.clef)


def bass_clef_of(sheet: Sheet) -> Clef:
    """The clef of the bass line: that of the bass, whoever reads it."""
    return clef_of(sheet) if sheet.instrument == "bass" else Clef("bass", 1)


def titled_lines(sheet: Sheet) -> Iterator[tuple[str, NoteLine]]:
    """The lines of notes that a sheet shows, in the order of its parts, each with its title."""
    for part in sheet.blocks:
        match part:
            case "bass" if sheet.instrument != "bass":
                pass  # it has another clef and other strings
            case "licks":
                for number, line in enumerate(sheet.licks, 1):
                    yield lick_title(sheet, number, line), line
            case "phrases":
                for phrase in sheet.phrases:
                    for over in (phrase.written, *phrase.moved):
                        yield f"{phrase.name}: {over_title(over)}", over.line
            case _:
                for line in lines_of(sheet, part):
                    if line.notes:
                        yield heading_of(part), line


def signs_words(sheet: Sheet, part: str) -> str:
    """The meaning of the signs that the lines of a part have, each in a sentence, but for those
    that an earlier part of the sheet has."""
    found = _signs(sheet, lines_of(sheet, part))
    if part in sheet.blocks:
        for before in sheet.blocks[: sheet.blocks.index(part)]:
            known = _signs(sheet, lines_of(sheet, before))
            found = [name for name in found if name not in known]
    return " ".join(said("staff", f"signs.{name}") for name in found)


def lines_of(sheet: Sheet, part: str) -> Sequence[NoteLine]:
    """The lines of notes that a part of the sheet shows; none of other parts."""
    match part:
        case "solo":
            return [sheet.solo]
        case "answers":
            return [sheet.answers]
        case "licks":
            return sheet.licks
        case "bass":
            return [sheet.bass]
        case "lines":
            return [sheet.guide_tones[0]]
        case "phrases":
            return [
                over.line for phrase in sheet.phrases for over in (phrase.written, *phrase.moved)
            ]
    return []


def _signs(sheet: Sheet, lines: Sequence[NoteLine]) -> list[str]:
    """The names of the signs that some lines have."""
    notes = [note for line in lines for note in line.notes]
    found: list[str] = []
    if sheet.tuning:
        found = [joined for joined in JOINS if any(note.joined == joined for note in notes)]
        found += ["bend"] * any(note.bend for note in notes)
        found += ["release"] * any(note.release for note in notes)
    if notes and clef_of(sheet).octaves:
        found.append("octave")
    return found
