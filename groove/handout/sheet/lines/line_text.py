"""Lines of notes on a sheet as Markdown: tablature with the lengths of the notes, or note names."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from groove.handout.drawing.staff.tab_marks import bend_label
from groove.handout.drawing.staff.written import NoteColumn, StaffBar, written_line
from groove.handout.sheet.lines.line_words import (
    clef_of,
    lick_title,
    licks_words,
    lines_of,
    over_title,
    solo_words,
    stiff_words,
    to_read,
)
from groove.handout.sheet.phrase_text import fenced
from groove.handout.sheet.sheet import Sheet
from groove.instrument.fretboard import Place, Tuning
from groove.instrument.tablature import tablature
from groove.lesson.blocks import heading_of
from groove.lesson.line import NoteLine
from groove.rhythm.meter import TICKS_PER_QUARTER
from groove.theory.pitch import octave
from groove.theory.symbols import note as note_words
from groove.theory.symbols import symbol
from groove.wording import said, words_of

SYSTEM, MOST_COLUMNS = 4, 20  # bars of a tablature, notes and rests in it


def solo_text(sheet: Sheet) -> list[list[str]]:
    """The paragraphs on the example solo."""
    return _whole(sheet, "solo", solo_words(sheet), sheet.solo)


def answers_text(sheet: Sheet) -> list[list[str]]:
    """The paragraphs on call and response."""
    return _whole(sheet, "answers", said("staff", "answers.words"), sheet.answers)


def bass_text(sheet: Sheet) -> list[list[str]]:
    """The paragraphs on the bass line of the track."""
    return _whole(sheet, "bass", said("staff", "bass.words"), sheet.bass)


def guide_tones_text(sheet: Sheet) -> list[list[str]]:
    """The paragraphs on the lines of guide tones."""
    words = said("staff", "guide_tones.in_text")
    return _whole(sheet, "lines", words, sheet.guide_tones[0])


def _whole(sheet: Sheet, name: str, words: str, line: NoteLine) -> list[list[str]]:
    if not line.notes:
        return []
    return [
        [f"## {heading_of(name)}", "", words, *how_to_read(sheet, name)],
        *line_text(sheet, line),
    ]


def licks_text(sheet: Sheet) -> list[list[str]]:
    """The paragraphs on the licks."""
    lines = sheet.licks
    if not lines:
        return []
    parts = [[f"## {heading_of('licks')}", "", licks_words(sheet), *how_to_read(sheet, "licks")]]
    for number, line in enumerate(lines, 1):
        parts += [[f"### {lick_title(sheet, number, line)}"], *line_text(sheet, line)]
    return parts


def teacher_phrases_text(sheet: Sheet) -> list[list[str]]:
    """The paragraphs on the teacher's own phrases."""
    if not sheet.phrases:
        return []
    parts = [[f"## {heading_of('phrases')}", *how_to_read(sheet, "phrases")]]
    for phrase in sheet.phrases:
        parts.append([f"### {phrase.name}"])
        parts += [[words] for words in (phrase.words, stiff_words(phrase)) if words]
        for over in (phrase.written, *phrase.moved):
            parts += [[over_title(over)], *line_text(sheet, over.line)]
    return parts


def how_to_read(sheet: Sheet, part: str) -> list[str]:
    """The words on how lines are written as text, unless an earlier part of the sheet says it."""
    at = sheet.blocks.index(part) if part in sheet.blocks else 0
    if any(line.notes for before in sheet.blocks[:at] for line in lines_of(sheet, before)):
        return []
    return ["", said("staff", "text.tab" if sheet.tuning else "text.names")]


def line_text(sheet: Sheet, line: NoteLine) -> list[list[str]]:
    """A line as tablature of four bars at a time, without strings as the notes of each bar."""
    tabs = _tabs(sheet, line)
    if tabs:
        return [fenced(tab) for tab in tabs]
    bars = written_line(to_read(sheet, line), clef_of(sheet))
    return [[f"- {_named(bar)}" for bar in bars]]


def line_tab(sheet: Sheet, line: NoteLine) -> list[str]:
    """The rows of a line's tablature, system by system; none without strings."""
    return [row for tab in _tabs(sheet, line) for row in tab.split("\n")]


def _tabs(sheet: Sheet, line: NoteLine) -> list[str]:
    """A line as tablature of four bars at a time; none without strings."""
    if sheet.tuning is None or not any(note.place for note in line.notes):
        return []
    bars = written_line(to_read(sheet, line), clef_of(sheet))
    groups: list[list[StaffBar]] = [[]]
    for bar in bars:
        if groups[-1] and bar.number > 1 and bar.number % SYSTEM == 1:
            groups.append([])
        groups[-1].append(bar)
    groups = [part for group in groups for part in _narrow(group)]
    return [_tab(group, sheet.tuning) for group in groups]


def _narrow(group: list[StaffBar]) -> list[list[StaffBar]]:
    """Bars in two parts where they have too many columns for a line of text."""
    if len(group) == 1 or sum(len(bar.columns) for bar in group) <= MOST_COLUMNS:
        return [group]
    half = (len(group) + 1) // 2
    return [*_narrow(group[:half]), *_narrow(group[half:])]


def _tab(group: Sequence[StaffBar], tuning: Tuning) -> str:
    columns = [(bar, column) for bar in group for column in bar.columns]
    first = [n for n, (bar, column) in enumerate(columns) if column is bar.columns[0]]

    def word(number: int, place: Place) -> str:
        column = columns[number][1]
        head = next(head for head in column.heads if head.note.place == place)
        if head.tied:
            return f"({place.fret})"
        before = words_of("staff")["text"]["joined"].get(head.note.joined, "")
        bend = f"^{bend_label(head.note.bend)}" if head.note.bend else ""
        return f"{before}{place.fret}{bend}{'v' if head.note.release else ''}"

    places = [
        [head.note.place for head in column.heads if head.note.place] for _, column in columns
    ]
    chords = [_chord(bar, column) for bar, column in columns]
    return tablature(
        tuning,
        places,
        over=[_length(column) for _, column in columns],
        under=[("", chords)] if any(chords) else [],
        word=word,
        bars=first[1:],
    )


def _chord(bar: StaffBar, column: NoteColumn) -> str:
    """The chord that begins with a column or during it."""
    note = column.note
    return " ".join(str(symbol(chord)) for at, chord in bar.chords if note.start <= at < note.end)


def _length(column: NoteColumn) -> str:
    """The length in quarter notes, a rest in brackets; a note that goes on has a sign before it."""
    length = str(Fraction(column.note.length, TICKS_PER_QUARTER))
    if not column.heads:
        return f"[{length}]"
    return f"~{length}" if column.note.tied else length


def _named(bar: StaffBar) -> str:
    """A bar as its chords, and its notes with their octaves and lengths."""
    words = []
    for column in bar.columns:
        names = "+".join(
            f"{note_words(h.note.name)}{octave(h.note.name, h.note.pitch)}" for h in column.heads
        )
        words.append(f"{names} {_length(column)}".strip())
    shown = {
        "number": bar.number,
        "chords": " ".join(str(symbol(chord)) for _, chord in bar.bar.chords),
        "notes": ", ".join(words),
    }
    return said("staff", "spoken.bar" if bar.bar.chords else "spoken.bar_alone", **shown)
