"""The chord chart as MusicXML 4.0: harmony over slash notation, for notation programs.

Element names, orders and meanings: the MusicXML 4.0 specification of the W3C Music Notation
Community Group, whose schema the tests validate against.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from xml.etree import ElementTree as ET

from groove.form.readers import Reader
from groove.handout.chart.musicxml_harmony import harmony, no_chord
from groove.handout.chart.written import WrittenBar, WrittenChart, WrittenChord
from groove.rhythm.meter import TICKS_PER_QUARTER
from groove.theory.keys import Key

DOCTYPE = (
    '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)
VALUES = {  # notes by their ticks: the name, and whether dotted
    TICKS_PER_QUARTER // 2: ("eighth", False),
    TICKS_PER_QUARTER: ("quarter", False),
    TICKS_PER_QUARTER * 3 // 2: ("quarter", True),
    TICKS_PER_QUARTER * 2: ("half", False),
    TICKS_PER_QUARTER * 3: ("half", True),
    TICKS_PER_QUARTER * 4: ("whole", False),
    TICKS_PER_QUARTER * 6: ("whole", True),
}
SEMITONES_OF_FIFTH = 7
STEPS_OF_FIFTH = 4


def musicxml(chart: WrittenChart, *, numerals: bool = False) -> bytes:
    """The chart as a MusicXML file in UTF-8; the same chart gives the same bytes.

    numerals: Roman numerals stand under the chords as words: <harmony> takes either a root or a
    numeral, and programs read the root.
    """
    root = ET.Element("score-partwise", version="4.0")
    _add(_add(root, "work"), "work-title", chart.title)
    _add(_add(_add(root, "identification"), "encoding"), "software", "groove")
    described = _add(_add(root, "part-list"), "score-part", id="P1")
    _add(described, "part-name", "Chords")
    part = _add(root, "part", id="P1")
    bars = chart.bars
    starts_line = {id(line[0]) for line in chart.lines[1:]}
    for number, bar in enumerate(bars, 1):
        measure = _add(part, "measure", number=str(number))
        if id(bar) in starts_line:
            measure.append(ET.Element("print", {"new-system": "yes"}))
        _bar_line(measure, bar, "left", bars, number - 1)
        if number == 1:
            _attributes(measure, chart)
            _directions(measure, chart)
        if bar.section:
            _rehearsal(measure, bar.section)
        _chords(measure, bar, chart, numerals)
        _bar_line(measure, bar, "right", bars, number - 1)
    ET.indent(root)
    return (DOCTYPE + ET.tostring(root, encoding="unicode") + "\n").encode()


def _add(parent: ET.Element, tag: str, text: object = None, **attributes: str) -> ET.Element:
    child = ET.SubElement(parent, tag, attributes)
    if text is not None:
        child.text = str(text)
    return child


def _attributes(measure: ET.Element, chart: WrittenChart) -> None:
    attributes = _add(measure, "attributes")
    _add(attributes, "divisions", TICKS_PER_QUARTER)
    key = _add(attributes, "key")
    _add(key, "fifths", chart.key.signature)
    _add(key, "mode", chart.key.mode)
    time = _add(attributes, "time")
    _add(time, "beats", chart.meter.numerator)
    _add(time, "beat-type", chart.meter.denominator)
    sign, line = {"treble": ("G", 2), "bass": ("F", 4)}[chart.reader.clef]
    clef = _add(attributes, "clef")
    _add(clef, "sign", sign)
    _add(clef, "line", line)
    if chart.reader.fifths:
        diatonic, chromatic = transposition(chart.reader, chart.sounding_key)
        transpose = _add(attributes, "transpose")
        _add(transpose, "diatonic", diatonic)
        _add(transpose, "chromatic", chromatic)


def transposition(reader: Reader, key: Key) -> tuple[int, int]:
    """Steps and semitones from written down to sounding notes."""
    fifths = reader.shift(key)
    return -(fifths * STEPS_OF_FIFTH % 7), -(fifths * SEMITONES_OF_FIFTH % 12)


def _directions(measure: ET.Element, chart: WrittenChart) -> None:
    tempo = _add(measure, "direction", placement="above")
    metronome = _add(_add(tempo, "direction-type"), "metronome")
    kind, dotted = VALUES[chart.meter.beat_ticks]
    _add(metronome, "beat-unit", kind)
    if dotted:
        _add(metronome, "beat-unit-dot")
    _add(metronome, "per-minute", f"{chart.tempo:g}")
    quarters = chart.tempo * chart.meter.beat_ticks / TICKS_PER_QUARTER
    sound = _add(tempo, "sound", tempo=f"{quarters:g}")
    _swing(_add(sound, "swing"), chart)
    for words in (*chart.course, chart.feel):
        said = _add(measure, "direction", placement="above")
        _add(_add(said, "direction-type"), "words", words)


def _swing(swing: ET.Element, chart: WrittenChart) -> None:
    if chart.swing_ratio == 1:
        _add(swing, "straight")
        return
    long, short = swing_parts(chart.swing_ratio)
    _add(swing, "first", long)
    _add(swing, "second", short)
    _add(swing, "swing-type", chart.swing_type)


def swing_parts(ratio: float) -> tuple[int, int]:
    """A swing ratio as two whole numbers, near enough: 2 is (2, 1), 1.7 is (17, 10)."""
    short = next((n for n in (1, 2, 3) if abs(ratio * n - round(ratio * n)) < 1e-6), 10)
    return round(ratio * short), short


def _rehearsal(measure: ET.Element, name: str) -> None:
    direction = _add(measure, "direction", placement="above")
    _add(_add(direction, "direction-type"), "rehearsal", name)


def _chords(measure: ET.Element, bar: WrittenBar, chart: WrittenChart, numerals: bool) -> None:
    """Harmony elements, each before the slash during which it begins; slashes fill the bar."""
    chords = list(bar.chords)
    if bar.rest:
        _end_of_piece(measure, bar, chart, numerals)
        return
    meter = chart.meter
    for start, end in pairwise((*meter.beat_starts, meter.bar_ticks)):
        _harmonies(measure, chords, start, end, numerals)
        _slash(measure, chart, end - start)


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
    word = "push" if placed.pushed else "root alone" if placed.root_only else ""
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
    middle = _add(note, "unpitched")
    step, octave = {"treble": ("B", 4), "bass": ("D", 3)}[chart.reader.clef]
    _add(middle, "display-step", step)
    _add(middle, "display-octave", octave)
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
    _harmonies(measure, list(bar.chords), 0, chart.meter.bar_ticks, numerals)
    held = bar.rest == "ring"
    first = (*chart.meter.beat_starts, chart.meter.bar_ticks)[1]
    ticks = chart.meter.bar_ticks if held else first
    ties: list[str] = []
    while ticks:
        value = max(each for each in VALUES if each <= ticks)
        ticks -= value
        ties = ["stop"] * ("start" in ties) + ["start"] * bool(ticks)
        _slash(measure, chart, value, ties=ties, held=held and not ticks)
    if held:
        return
    starts = (*chart.meter.beat_starts, chart.meter.bar_ticks)
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
        if bar.in_bracket and (after is None or bar.closes):
            bracket = next(b.bracket for b in reversed(bars[: index + 1]) if b.bracket)
            _ending(line, bracket, "stop" if bar.closes else "discontinue")
        if bar.closes:
            repeat = _add(line, "repeat", direction="backward")
            if bar.times > 1:
                repeat.set("times", str(bar.times))
    if len(line):
        measure.append(line)


def _ending(line: ET.Element, bracket: str, kind: str) -> None:
    first, last = (int(number) for number in (re.findall(r"\d+", bracket) * 2)[:2])
    numbers = range(first, max(first, last) + 1)
    _add(line, "ending", bracket, number=",".join(map(str, numbers)), type=kind)
