"""The chord chart as MusicXML 4.0: harmony over slash notation, for notation programs.

Element names, orders and meanings: the MusicXML 4.0 specification of the W3C Music Notation
Community Group, whose schema the tests validate against.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from textwrap import wrap
from xml.etree import ElementTree as ET

from groove.form.readers import Reader
from groove.handout.chart.bar import WrittenBar, WrittenChord
from groove.handout.chart.musicxml_bars import (
    VALUES,
    begin_bar,
    cue_notes,
    direction_type,
    end_bar,
    key_and_time,
    melody_note,
    on_middle_line,
    said,
    slashes,
    swing,
    tempo_mark,
)
from groove.handout.chart.musicxml_bars import add as _add
from groove.handout.chart.musicxml_harmony import harmony, no_chord
from groove.handout.chart.written import WrittenChart
from groove.lesson.voice import TeacherVoice
from groove.rhythm.meter import TICKS_PER_QUARTER
from groove.theory.keys import Key
from groove.wording import words_of

DOCTYPE = (
    '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)
ROAD_WIDTH = 90  # characters of a line of the road in words
SEMITONES_OF_FIFTH = 7
STEPS_OF_FIFTH = 4
CLEFS = {"treble": ("G", 2), "bass": ("F", 4)}


def musicxml(chart: WrittenChart, *, numerals: bool = False) -> bytes:
    """The chart as a MusicXML file in UTF-8; the same chart gives the same bytes.

    numerals: Roman numerals stand under the chords as words: <harmony> takes either a root or a
    numeral, and programs read the root.
    """
    root = begun_score(chart.title, chart.by, chart.voice)
    if chart.road:
        _credit(root, "title", chart.title)
        for row in wrap(chart.road, ROAD_WIDTH):
            _credit(root, "subtitle", row)
    described = _add(_add(root, "part-list"), "score-part", id="P1")
    _add(described, "part-name", words_of("chart")["marks"]["part"])
    part = _add(root, "part", id="P1")
    bars = chart.bars
    starts_line = {id(line[0]) for line in chart.lines[1:]}
    counted = len({bar.number for bar in bars if bar.number}) == len(bars)
    for index, bar in enumerate(bars):
        number = bar.number if counted else index + 1
        measure = _add(part, "measure", number=str(number))
        if id(bar) in starts_line:
            measure.append(ET.Element("print", {"new-system": "yes"}))
        _bar_line(measure, bar, "left", bars, index)
        before = bars[index - 1] if index else None
        after = bars[index + 1] if index + 1 < len(bars) else None
        if before is None:
            _attributes(measure, chart)
            _directions(measure, chart)
        begin_bar(measure, bar, before)
        if bar.letter and bar.section not in ("", bar.letter):
            said(measure, bar.section, **{"font-weight": "bold"})
        elif bar.section and not bar.letter:
            _rehearsal(measure, bar.section)
        _chords(measure, bar, chart, numerals)
        if bar.rhythm and (bar.melody or not bar.stops):
            cue_notes(measure, bar, chart.reader.clef)
        end_bar(measure, bar, after)
        _bar_line(measure, bar, "right", bars, index)
    return score_bytes(root)


def begun_score(title: str, by: str, voice: TeacherVoice) -> ET.Element:
    """The root of a score with its title, who wrote it, and the teacher's words."""
    root = ET.Element("score-partwise", version="4.0")
    _add(_add(root, "work"), "work-title", title)
    identification = _add(root, "identification")
    if by:
        _add(identification, "creator", by, type="composer")
    _add(_add(identification, "encoding"), "software", "groove")
    _teacher(identification, voice)
    return root


def score_bytes(root: ET.Element) -> bytes:
    """A whole score as a file in UTF-8."""
    ET.indent(root)
    return (DOCTYPE + ET.tostring(root, encoding="unicode") + "\n").encode()


def _teacher(identification: ET.Element, voice: TeacherVoice) -> None:
    """The teacher's words, each in a field of its own: the standard has no names for them."""
    remarks = "\n".join(voice.remarks)
    fields = {"teacher": voice.teacher, "link": voice.link, "remarks": remarks}
    fields = {name: text for name, text in (fields | {"invite": voice.invite}).items() if text}
    if fields:
        miscellaneous = _add(identification, "miscellaneous")
        for name, text in fields.items():
            _add(miscellaneous, "miscellaneous-field", text, name=name)


def _credit(root: ET.Element, kind: str, words: str) -> None:
    """Words over the first system of the score."""
    credit = _add(root, "credit", page="1")
    _add(credit, "credit-type", kind)
    look = {"title": "22", "subtitle": "11"}
    _add(credit, "credit-words", words, justify="center", valign="top", **{"font-size": look[kind]})


def _attributes(measure: ET.Element, chart: WrittenChart) -> None:
    attributes = _add(measure, "attributes")
    _add(attributes, "divisions", TICKS_PER_QUARTER)
    key_and_time(attributes, chart.key, chart.meter)
    sign, line = CLEFS[chart.reader.clef]
    clef = _add(attributes, "clef")
    _add(clef, "sign", sign)
    _add(clef, "line", line)
    transposed(attributes, chart.reader, chart.sounding_key)


def transposed(attributes: ET.Element, reader: Reader, sounding: Key) -> None:
    """Add how far a reader's notes sound from where they are written, if they do."""
    if reader.fifths:
        diatonic, chromatic = transposition(reader, sounding)
        transpose = _add(attributes, "transpose")
        _add(transpose, "diatonic", diatonic)
        _add(transpose, "chromatic", chromatic)


def transposition(reader: Reader, key: Key) -> tuple[int, int]:
    """Steps and semitones from written down to sounding notes."""
    fifths = reader.shift(key)
    return -(fifths * STEPS_OF_FIFTH % 7), -(fifths * SEMITONES_OF_FIFTH % 12)


def _directions(measure: ET.Element, chart: WrittenChart) -> None:
    sound = tempo_mark(measure, chart.tempo, chart.meter)
    swing(sound, chart.swing_ratio, chart.swing_type)
    for words in (*chart.course, chart.feel):
        said(measure, words)


def _rehearsal(measure: ET.Element, name: str) -> None:
    _add(direction_type(measure), "rehearsal", name)


def _chords(measure: ET.Element, bar: WrittenBar, chart: WrittenChart, numerals: bool) -> None:
    """Harmony elements, each before the slash during which it begins; slashes fill the bar."""
    chords = list(bar.chords)
    if bar.rest:
        _end_of_piece(measure, bar, chart, numerals)
        return
    if bar.melody:
        for tune in bar.melody:
            _harmonies(measure, chords, tune.note.start, tune.note.end, numerals)
            melody_note(measure, bar, tune)
        return
    if bar.stops:
        for note in bar.rhythm:
            _harmonies(measure, chords, note.start, note.end, numerals)
            slashes(measure, bar, note, chart.reader.clef)
        return
    for start, end in pairwise((*bar.meter.beat_starts, bar.meter.bar_ticks)):
        _harmonies(measure, chords, start, end, numerals)
        held = bar.fermata is not None and start <= bar.fermata < end
        _slash(measure, chart, end - start, held=held)


def _harmonies(
    measure: ET.Element, chords: list[WrittenChord], start: int, end: int, numerals: bool
) -> None:
    for placed in chords:
        if start <= placed.start < end:
            shown = _said(placed)
            if numerals:
                below = ET.Element("direction", placement="below")
                _add(_add(below, "direction-type"), "words", placed.numeral)
                shown.append(below)
            for element in shown:
                if placed.start > start:
                    _add(element, "offset", placed.start - start)
                measure.append(element)


def _said(placed: WrittenChord) -> list[ET.Element]:
    """The harmony of a chord, and the word for its mark."""
    if placed.silent:
        return [no_chord()]
    push = placed.early and not placed.tied
    word = "push" if push else "root alone" if placed.root_only else ""
    if not word:
        return [harmony(placed.chord)]
    above = ET.Element("direction", placement="above")
    _add(_add(above, "direction-type"), "words", word)
    return [above, harmony(placed.chord)]


def _slash(
    measure: ET.Element,
    chart: WrittenChart,
    ticks: int,
    *,
    ties: Sequence[str] = (),
    held: bool = False,
) -> None:
    """A slash without a stem, on the middle line.

    It is a note of its own: not every program draws rests under <measure-style><slash> as slashes.
    ties: ``start`` and ``stop``, to the notes around it. held: under a fermata.
    """
    note = _add(measure, "note")
    on_middle_line(note, chart.reader.clef)
    _value(note, ticks, ties)
    _add(note, "stem", "none")
    _add(note, "notehead", "slash")
    if ties or held:
        notations = _add(note, "notations")
        for way in ties:
            _add(notations, "tied", type=way)
        if held:
            _add(notations, "fermata")


def _rest(measure: ET.Element, ticks: int) -> None:
    note = _add(measure, "note")
    _add(note, "rest")
    _value(note, ticks)


def _value(note: ET.Element, ticks: int, ties: Sequence[str] = ()) -> None:
    _add(note, "duration", ticks)
    for way in ties:
        _add(note, "tie", type=way)
    _add(note, "voice", 1)
    kind, dotted = VALUES[ticks]
    _add(note, "type", kind)
    if dotted:
        _add(note, "dot")


def _end_of_piece(
    measure: ET.Element, bar: WrittenBar, chart: WrittenChart, numerals: bool
) -> None:
    """The bar after the last chorus: one slash held through, or struck and then silence."""
    _harmonies(measure, list(bar.chords), 0, bar.meter.bar_ticks, numerals)
    held = bar.rest == "ring"
    first = (*bar.meter.beat_starts, bar.meter.bar_ticks)[1]
    ticks = bar.meter.bar_ticks if held else first
    ties: list[str] = []
    while ticks:
        value = max(each for each in VALUES if each <= ticks)
        ticks -= value
        ties = ["stop"] * ("start" in ties) + ["start"] * bool(ticks)
        _slash(measure, chart, value, ties=ties, held=held and not ticks)
    if held:
        return
    starts = (*bar.meter.beat_starts, bar.meter.bar_ticks)
    for start, end in pairwise(starts[1:]):
        _rest(measure, end - start)


def _bar_line(
    measure: ET.Element, bar: WrittenBar, side: str, bars: tuple[WrittenBar, ...], index: int
) -> None:
    """Repeat signs, endings and double bar lines; nothing for a plain bar line."""
    line = ET.Element("barline", location=side)
    if side == "left":
        if bar.opens:
            _add(line, "bar-style", "heavy-light")
        if bar.bracket:
            _ending(line, bar.bracket, "start")
        if bar.opens:
            _add(line, "repeat", direction="forward")
    else:
        after = bars[index + 1] if index + 1 < len(bars) else None
        if bar.closes or bar.last:
            _add(line, "bar-style", "light-heavy")
        elif bar.ends_section:
            _add(line, "bar-style", "light-light")
        ends = after is None or bar.closes or not after.in_bracket or after.bracket
        if bar.in_bracket and ends:
            bracket = next(b.bracket for b in reversed(bars[: index + 1]) if b.bracket)
            _ending(line, bracket, "stop" if bar.closes else "discontinue")
        if bar.closes:
            repeat = _add(line, "repeat", direction="backward")
            if bar.times > 1:
                repeat.set("times", str(bar.times))
    if len(line):
        measure.append(line)


def _ending(line: ET.Element, bracket: str, kind: str) -> None:
    numbers: list[int] = []
    for part in bracket.split(","):
        ends = [int(number) for number in re.findall(r"\d+", part)]
        numbers += range(ends[0], ends[-1] + 1)
    _add(line, "ending", bracket, number=",".join(map(str, numbers)), type=kind)
