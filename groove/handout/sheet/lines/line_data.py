"""Lines of notes on a sheet as data for JSON; the fields of a LINE stand in data.py's docstring."""

from __future__ import annotations

from typing import Any

from groove.handout.sheet.lines.line_text import line_tab
from groove.handout.sheet.lines.line_words import line_names
from groove.handout.sheet.sheet import Sheet
from groove.lesson.line import NoteLine
from groove.theory.pitch import plain_signs


def line_data(line: NoteLine) -> dict[str, Any]:
    """A line with its bars and notes, in ticks of which a quarter note has 960."""
    return {
        "name": line.name,
        "position": line.position,
        "bars": [
            {
                "start": bar.start,
                "length": bar.length,
                "meter": str(bar.meter),
                "key": bar.key.symbol,
                "straight": bar.straight,
                "chords": [{"at": at, "chord": str(chord)} for at, chord in bar.chords],
            }
            for bar in line.bars
        ],
        "notes": [
            {
                "start": note.start,
                "length": note.length,
                "name": str(note.name),
                "pitch": note.pitch,
                "string": note.place.string if note.place else None,
                "fret": note.place.fret if note.place else None,
                "finger": note.finger,
                "joined": note.joined,
                "bend": float(note.bend),
                "release": note.release,
            }
            for note in line.notes
        ],
    }


def solo_data(sheet: Sheet) -> dict[str, Any]:
    """The example solo."""
    return {"solo": line_data(sheet.solo)}


def answers_data(sheet: Sheet) -> dict[str, Any]:
    """Call and response."""
    return {"answers": line_data(sheet.answers)}


def bass_data(sheet: Sheet) -> dict[str, Any]:
    """The bass line."""
    return {"bass": line_data(sheet.bass)}


def licks_data(sheet: Sheet) -> dict[str, Any]:
    """The licks."""
    return {"licks": [line_data(line) for line in sheet.licks]}


def teacher_phrases_data(sheet: Sheet) -> dict[str, Any]:
    """The teacher's phrases, each over its chord and over the others."""
    return {
        "phrases": [
            {
                "name": phrase.name,
                "words": phrase.words,
                "over": [
                    {
                        "chord": str(over.chord),
                        "names": plain_signs(line_names(over.line)),
                        "tab": line_tab(sheet, over.line),
                        "line": line_data(over.line),
                    }
                    for over in (phrase.written, *phrase.moved)
                ],
            }
            for phrase in sheet.phrases
        ]
    }
