"""The lines of a sheet as MusicXML 4.0, one after the other, as staff and tablature.

Element names, orders and meanings: the MusicXML 4.0 specification of the W3C Music Notation
Community Group, whose schema the tests validate against. Notes stand at the pitch at which they
sound, or at a transposing reader's; a clef with an 8 says that they are read an octave higher.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from xml.etree import ElementTree as ET

from groove.handout.chart.musicxml import CLEFS, begun_score, score_bytes, transposed
from groove.handout.chart.musicxml_bars import (
    add,
    beams,
    key_and_time,
    pitched,
    rest,
    said,
    sounding,
    swing,
    tempo_mark,
    tied_and_tuplet,
    valued,
)
from groove.handout.chart.musicxml_harmony import harmony
from groove.handout.drawing.staff.written import (
    Clef,
    Head,
    NoteColumn,
    StaffBar,
    joined_from,
    written_line,
)
from groove.handout.sheet.lines.line_words import clef_of, titled_lines, to_read
from groove.handout.sheet.sheet import Sheet
from groove.instrument.fretboard import Tuning
from groove.lesson.line import HAMMER, PULL, SLIDE
from groove.lesson.voice import voice_of
from groove.rhythm.meter import TICKS_PER_QUARTER
from groove.theory.pitch import NoteName, octave, spelled
from groove.wording import said as sentence
from groove.wording import worded, words_of

STAFF_VOICE, TAB_VOICE = 1, 2
JOIN_TAGS = {HAMMER: "hammer-on", PULL: "pull-off"}


@dataclass(frozen=True, slots=True)
class _Joins:
    """The heads that begin or end a hammer-on, pull-off or slide: the kind and a number for each,
    by the identity of the head."""

    begins: dict[int, tuple[str, int]]
    ends: dict[int, tuple[str, int]]


def lines_musicxml(sheet: Sheet) -> bytes:
    """All lines of notes that a sheet shows as one MusicXML file in UTF-8."""
    form = sheet.guide.form
    with worded(form.lesson.words):
        root = begun_score(form.title, form.by, voice_of(form.lesson))
        described = add(add(root, "part-list"), "score-part", id="P1")
        add(described, "part-name", sentence("staff", "score.part"))
        part = add(root, "part", id="P1")
        number = 0
        before: StaffBar | None = None
        clef = clef_of(sheet)
        for title, line in titled_lines(sheet):
            bars = written_line(to_read(sheet, line), clef)
            joins = _joins(bars)
            for index, bar in enumerate(bars):
                number += bar.number > 0
                measure = add(part, "measure", number=str(number) if bar.number > 0 else "0")
                if bar.number <= 0:
                    measure.set("implicit", "yes")
                if index == 0 and before is not None:
                    measure.append(ET.Element("print", {"new-system": "yes"}))
                _attributes(measure, bar, before, sheet, clef)
                if before is None:
                    chart = sheet.chart
                    sound = tempo_mark(measure, chart.tempo, chart.meter)
                    swing(sound, chart.swing_ratio, chart.swing_type)
                if index == 0:
                    said(measure, title, **{"font-weight": "bold"})
                _measure(measure, bar, sheet.tuning, joins)
                if bar is bars[-1]:
                    add(add(measure, "barline", location="right"), "bar-style", "light-heavy")
                before = bar
        if before is None:
            _silent(part)
        return score_bytes(root)


def _silent(part: ET.Element) -> None:
    """A measure of rest, for a sheet without lines: a part is never empty."""
    measure = add(part, "measure", number="1")
    add(add(measure, "attributes"), "divisions", TICKS_PER_QUARTER)
    note = add(measure, "note")
    add(note, "rest", measure="yes")
    add(note, "duration", TICKS_PER_QUARTER)


def _attributes(
    measure: ET.Element, bar: StaffBar, before: StaffBar | None, sheet: Sheet, clef: Clef
) -> None:
    """The attributes of the first bar, or those that change."""
    old = before.bar if before else None
    key = None if old and old.key == bar.bar.key else bar.bar.key
    meter = None if old and str(old.meter) == str(bar.bar.meter) else bar.bar.meter
    if key is None and meter is None:
        return
    attributes = add(measure, "attributes")
    if before is None:
        add(attributes, "divisions", TICKS_PER_QUARTER)
    key_and_time(attributes, key, meter)
    if before is not None:
        return
    tuning = sheet.tuning
    if tuning:
        add(attributes, "staves", 2)
    sign, line = CLEFS[clef.name]
    element = add(attributes, "clef", **({"number": "1"} if tuning else {}))
    add(element, "sign", sign)
    add(element, "line", line)
    if clef.octaves:
        add(element, "clef-octave-change", -clef.octaves)
    if tuning:
        element = add(attributes, "clef", number="2")
        add(element, "sign", "TAB")
        add(element, "line", (len(tuning.open_strings) + 1) // 2 + 2)
        _strings(attributes, tuning)
    transposed(attributes, sheet.guide.reader, sheet.chart.sounding_key)


def _strings(attributes: ET.Element, tuning: Tuning) -> None:
    """The lines of the tablature, the lowest line first, with the notes of the open strings."""
    details = add(attributes, "staff-details", number="2")
    add(details, "staff-lines", len(tuning.open_strings))
    for number, pitch in enumerate(tuning.open_strings, 1):
        name = spelled(pitch, NoteName(0))
        tuned = add(details, "staff-tuning", line=str(number))
        add(tuned, "tuning-step", name.letter)
        if name.sharps:
            add(tuned, "tuning-alter", name.sharps)
        add(tuned, "tuning-octave", octave(name, pitch))


def _measure(measure: ET.Element, bar: StaffBar, tuning: Tuning | None, joins: _Joins) -> None:
    """The notes of a bar on the staff, and again as tablature."""
    rhythm = [column.note for column in bar.columns]
    chords = list(bar.chords)
    for column in bar.columns:
        for at, chord in chords:
            if column.note.start <= at < column.note.end:
                element = harmony(chord)
                if at > column.note.start:
                    add(element, "offset", at - column.note.start)
                measure.append(element)
        for note, head in _notes(measure, column, STAFF_VOICE, 1 if tuning else 0):
            if head and head is column.heads[0]:
                beams(note, rhythm, bar.bar.meter, column.note)
            notations = ET.Element("notations")
            _ties(notations, bar, column, head)
            if head:
                _on_staff(notations, head, joins)
            if len(notations):
                note.append(notations)
    if tuning is None:
        return
    length = sum(note.length for note in rhythm)
    add(add(measure, "backup"), "duration", length)
    for column in bar.columns:
        for note, head in _notes(measure, column, TAB_VOICE, 2):
            notations = ET.Element("notations")
            _ties(notations, bar, column, head)
            if head:
                _on_strings(notations, head, joins)
            if len(notations):
                note.append(notations)


def _ties(notations: ET.Element, bar: StaffBar, column: NoteColumn, head: Head | None) -> None:
    """Ties for each head, the bracket of a triplet once."""
    if head is None or head is column.heads[0]:
        tied_and_tuplet(notations, bar.bar.meter, column.note)
    else:
        for way, here in (("stop", column.note.tied), ("start", column.note.ties)):
            if here:
                add(notations, "tied", type=way)


def _notes(
    measure: ET.Element, column: NoteColumn, voice: int, staff: int
) -> Iterator[tuple[ET.Element, Head | None]]:
    """The notes of a column, up to their staff, each with its head; None with a rest."""
    for head in column.heads or [None]:
        note = add(measure, "note")
        if head is None:
            rest(note, column.note)
        else:
            if head is not column.heads[0]:
                add(note, "chord")
            name = head.note.name
            pitched(note, name, octave(name, head.note.pitch))
        sounding(note, column.note)
        add(note, "voice", voice)
        valued(note, column.note)
        if staff:
            add(note, "staff", staff)
        yield note, head


def _joins(bars: Sequence[StaffBar]) -> _Joins:
    """The heads that are joined, through a whole line."""
    begins: dict[int, tuple[str, int]] = {}
    ends: dict[int, tuple[str, int]] = {}
    columns = [column for bar in bars for column in bar.columns]
    for before, column in pairwise(columns):
        for number, head in enumerate(column.heads, 1):
            other = joined_from(head, before)
            if head.note.joined and not head.tied and other and id(other) not in begins:
                begins[id(other)] = ends[id(head)] = head.note.joined, number
    return _Joins(begins, ends)


def _ways(head: Head, joins: _Joins) -> list[tuple[str, str, int]]:
    """The joins at a head: ``stop`` before ``start``, its kind, and its number."""
    found = []
    for way, known in (("stop", joins.ends), ("start", joins.begins)):
        if id(head) in known:
            found.append((way, *known[id(head)]))
    return found


def _on_staff(notations: ET.Element, head: Head, joins: _Joins) -> None:
    """Slurs and slides."""
    for way, kind, number in _ways(head, joins):
        tag = "slide" if kind == SLIDE else "slur"
        line = {"line-type": "solid"} if kind == SLIDE else {}
        add(notations, tag, type=way, number=str(number), **line)


def _on_strings(notations: ET.Element, head: Head, joins: _Joins) -> None:
    """String and fret, hammer-ons, pull-offs, slides and bends."""
    place = head.note.place
    ways = _ways(head, joins)
    for way, kind, number in ways:
        if kind == SLIDE:
            add(notations, "slide", type=way, number=str(number), **{"line-type": "solid"})
    if place is None:
        return
    technical = add(notations, "technical")
    if head.note.finger and not head.tied:
        add(technical, "fingering", head.note.finger)
    add(technical, "string", place.string)
    add(technical, "fret", place.fret)
    letters = words_of("staff")["letters"]
    for way, kind, number in ways:
        if kind in JOIN_TAGS:
            text = letters[kind] if way == "start" else None
            add(technical, JOIN_TAGS[kind], text, type=way, number=str(number))
    if head.note.bend and not head.tied:
        add(add(technical, "bend"), "bend-alter", f"{float(head.note.bend):g}")
        if head.note.release:
            released = add(technical, "bend")
            add(released, "bend-alter", f"{-float(head.note.bend):g}")
            add(released, "release")
