"""The marks of a bar as MusicXML 4.0: signatures, signs, words, loudness and rhythms.

Element names, orders and meanings: the MusicXML 4.0 specification of the W3C Music Notation
Community Group.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from xml.etree import ElementTree as ET

from groove.handout.chart.bar import MelodyNote, WrittenBar
from groove.handout.drawing.staff.rhythm import FLAGS, Note, beamed
from groove.rhythm.meter import TICKS_PER_QUARTER, Meter
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from groove.wording import said as sentence

VALUES = {  # notes by their ticks: the name, and whether dotted
    TICKS_PER_QUARTER // 4: ("16th", False),
    TICKS_PER_QUARTER // 2: ("eighth", False),
    TICKS_PER_QUARTER: ("quarter", False),
    TICKS_PER_QUARTER * 3 // 2: ("quarter", True),
    TICKS_PER_QUARTER * 2: ("half", False),
    TICKS_PER_QUARTER * 3: ("half", True),
    TICKS_PER_QUARTER * 4: ("whole", False),
    TICKS_PER_QUARTER * 6: ("whole", True),
}
MIDDLE = {"treble": ("B", 4), "bass": ("D", 3)}
CUE_PLACE = {"treble": ("G", 5), "bass": ("B", 3)}  # over the staff
SPANS = ("rit", "pedal")


def add(parent: ET.Element, tag: str, text: object = None, **attributes: str) -> ET.Element:
    """A new child of an element, with its text."""
    child = ET.SubElement(parent, tag, attributes)
    if text is not None:
        child.text = str(text)
    return child


def direction_type(measure: ET.Element, placement: str = "above") -> ET.Element:
    """The direction-type of a new direction in a measure."""
    return add(add(measure, "direction", placement=placement), "direction-type")


def said(measure: ET.Element, words: str, placement: str = "above", **look: str) -> None:
    """Words over or under a measure."""
    add(direction_type(measure, placement), "words", words, **look)


def tempo_mark(measure: ET.Element, tempo: float, meter: Meter) -> ET.Element:
    """A metronome mark, and its sound element, to which more can be added."""
    direction = add(measure, "direction", placement="above")
    metronome = add(add(direction, "direction-type"), "metronome")
    _beat_unit(metronome, meter.beat_ticks)
    add(metronome, "per-minute", f"{tempo:g}")
    quarters = tempo * meter.beat_ticks / TICKS_PER_QUARTER
    return add(direction, "sound", tempo=f"{quarters:g}")


def _beat_unit(metronome: ET.Element, ticks: int) -> None:
    kind, dotted = VALUES[ticks]
    add(metronome, "beat-unit", kind)
    if dotted:
        add(metronome, "beat-unit-dot")


def swing(sound: ET.Element, ratio: float, kind: str) -> None:
    """Add how the notes of a kind swing to a sound element."""
    element = add(sound, "swing")
    if ratio == 1:
        add(element, "straight")
        return
    long, short = swing_parts(ratio)
    add(element, "first", long)
    add(element, "second", short)
    add(element, "swing-type", kind)


def swing_parts(ratio: float) -> tuple[int, int]:
    """A swing ratio as two whole numbers, near enough: 2 is (2, 1), 1.7 is (17, 10)."""
    short = next((n for n in (1, 2, 3) if abs(ratio * n - round(ratio * n)) < 1e-6), 10)
    return round(ratio * short), short


def begin_bar(measure: ET.Element, bar: WrittenBar, before: WrittenBar | None) -> None:
    """Add the marks with which a bar begins, before its notes."""
    _changes(measure, bar)
    for name, here in (("segno", bar.segno), ("coda", bar.coda)):
        if here:
            direction = add(measure, "direction", placement="above")
            add(add(direction, "direction-type"), name)
            add(direction, "sound", **{name: name})
    if bar.letter:
        add(direction_type(measure), "rehearsal", bar.letter)
    for words in bar.words:
        said(measure, words, **{"font-style": "italic"})
    for number, words in enumerate(SPANS, 1):
        value = getattr(bar, words)
        if value and (before is None or getattr(before, words) != value):
            place = "above" if words == "rit" else "below"
            said(measure, value, place, **{"font-style": "italic"})
            add(direction_type(measure, place), "dashes", type="start", number=str(number))
    for row in bar.lyrics:
        said(measure, row, "below")
    sign = bar.dynamic or (before.dynamic_after if before else "")
    if sign:
        add(add(direction_type(measure, "below"), "dynamics"), sign)
    if bar.hairpin and (before is None or before.hairpin != bar.hairpin):
        kind = "crescendo" if bar.hairpin == "<" else "diminuendo"
        add(direction_type(measure, "below"), "wedge", type=kind)


def _changes(measure: ET.Element, bar: WrittenBar) -> None:
    change = bar.change
    if change.key is not None or change.meter:
        attributes = add(measure, "attributes")
        key_and_time(attributes, change.key, bar.meter if change.meter else None)
    if change.beat:
        metronome = add(direction_type(measure), "metronome")
        for ticks in change.beat:
            _beat_unit(metronome, ticks)
    if change.tempo is not None:
        tempo_mark(measure, change.tempo, bar.meter)
    if change.feel:
        direction = add(measure, "direction", placement="above")
        add(add(direction, "direction-type"), "words", change.feel, **{"font-weight": "bold"})
        swing(add(direction, "sound"), change.swing_ratio, change.swing_type)


def key_and_time(attributes: ET.Element, key: Key | None, meter: Meter | None) -> None:
    """Add a key signature and a time signature to the attributes of a measure, those given."""
    if key is not None:
        signature = add(attributes, "key")
        add(signature, "fifths", key.signature)
        add(signature, "mode", key.mode)
    if meter is not None:
        time = add(attributes, "time")
        add(time, "beats", meter.numerator)
        add(time, "beat-type", meter.denominator)


def end_bar(measure: ET.Element, bar: WrittenBar, after: WrittenBar | None) -> None:
    """Add the marks with which a bar ends, after its notes."""
    if bar.hairpin and (after is None or after.hairpin != bar.hairpin):
        add(direction_type(measure, "below"), "wedge", type="stop")
    if bar.dynamic_after and after is None:
        add(add(direction_type(measure, "below"), "dynamics"), bar.dynamic_after)
    for number, words in enumerate(SPANS, 1):
        value = getattr(bar, words)
        if value and (after is None or getattr(after, words) != value):
            place = "above" if words == "rit" else "below"
            add(direction_type(measure, place), "dashes", type="stop", number=str(number))
    jump, *how = bar.jump.split(", ")
    for words, sound, to in (
        (sentence("road", "way.to_coda") if bar.to_coda else "", "tocoda", "coda"),
        (sentence("road", "way.fine_sign") if bar.fine else "", "fine", "yes"),
        (bar.again, "", ""),
        (jump, "dalsegno", "segno"),
        (", ".join(how), "", ""),
    ):
        if words:
            direction = add(measure, "direction", placement="above")
            look = {"font-weight": "bold", "justify": "right"}
            add(add(direction, "direction-type"), "words", words, **look)
            add(direction, "offset", -(bar.meter.bar_ticks - bar.meter.beat_starts[-1]))
            if sound:
                add(direction, "sound", **{sound: to})


def on_middle_line(note: ET.Element, clef: str) -> None:
    """Place a note without pitch on the middle line of the staff."""
    _unpitched(note, *MIDDLE[clef])


def _unpitched(note: ET.Element, step: str, octave: int) -> None:
    place = add(note, "unpitched")
    add(place, "display-step", step)
    add(place, "display-octave", octave)


def slashes(measure: ET.Element, bar: WrittenBar, note: Note, clef: str) -> None:
    """A note of stops as a slash with a stem, or a rest."""
    element = add(measure, "note")
    if note.rest:
        rest(element, note)
    else:
        on_middle_line(element, clef)
    sounding(element, note)
    _rest_of_note(element, bar, note, 1)


def melody_note(measure: ET.Element, bar: WrittenBar, tune: MelodyNote) -> None:
    """A note or a rest of a melody."""
    element = add(measure, "note")
    note = tune.note
    if note.rest:
        rest(element, note)
    else:
        pitched(element, tune.name, tune.octave)
    sounding(element, note)
    _rest_of_note(element, replace(bar, rhythm=tuple(t.note for t in bar.melody)), note, 0)


def cue_notes(measure: ET.Element, bar: WrittenBar, clef: str) -> None:
    """The rhythm of a bar in a second voice of cue-size notes over the staff."""
    add(add(measure, "backup"), "duration", bar.meter.bar_ticks)
    at = 0
    for note in bar.rhythm:
        if note.start > at:
            add(add(measure, "forward"), "duration", note.start - at)
        element = add(measure, "note")
        add(element, "cue")
        if note.rest:
            silence = add(element, "rest")
            step, octave = CUE_PLACE[clef]
            add(silence, "display-step", step)
            add(silence, "display-octave", octave)
        else:
            _unpitched(element, *CUE_PLACE[clef])
        add(element, "duration", note.length)
        _rest_of_note(element, bar, note, 2)
        at = note.end
    if at < bar.meter.bar_ticks:
        add(add(measure, "forward"), "duration", bar.meter.bar_ticks - at)


def _rest_of_note(element: ET.Element, bar: WrittenBar, note: Note, voice: int) -> None:
    """The elements after the duration of a note: voice, value, stem, head, beams, ties and signs.

    voice: 1 for slashes, 2 for cue notes, 0 for a melody, which is in voice 1 as well.
    """
    add(element, "voice", max(1, voice))
    valued(element, note, **({"size": "cue"} if voice == 2 else {}))
    if not note.rest:
        if voice:
            add(element, "stem", "up")
        if voice == 1:
            add(element, "notehead", "slash")
        beams(element, bar.rhythm, bar.meter, note)
    notations = ET.Element("notations")
    tied_and_tuplet(notations, bar.meter, note)
    if note.accent:
        add(add(notations, "articulations"), "accent")
    held = voice < 2 and bar.fermata is not None and note.start <= bar.fermata < note.end
    if held:
        add(notations, "fermata")
    if len(notations):
        element.append(notations)


def pitched(element: ET.Element, name: NoteName, octave: int) -> None:
    """Add the pitch of a note."""
    pitch = add(element, "pitch")
    add(pitch, "step", name.letter)
    if name.sharps:
        add(pitch, "alter", name.sharps)
    add(pitch, "octave", octave)


def rest(element: ET.Element, note: Note) -> None:
    """Add a rest, that of a whole bar as such."""
    add(element, "rest", **({"measure": "yes"} if note.whole_bar else {}))


def sounding(element: ET.Element, note: Note) -> None:
    """Add the duration of a note and its ties."""
    add(element, "duration", note.length)
    for way, here in (("stop", note.tied), ("start", note.ties)):
        if here:
            add(element, "tie", type=way)


def valued(element: ET.Element, note: Note, **look: str) -> None:
    """Add the value of a note: type, dots and the proportion of a triplet."""
    name, dots = note.value
    if not note.whole_bar:
        add(element, "type", name, **look)
        for _ in range(dots):
            add(element, "dot")
    if note.triplet:
        triplet = add(element, "time-modification")
        add(triplet, "actual-notes", 3)
        add(triplet, "normal-notes", 2)


def tied_and_tuplet(notations: ET.Element, meter: Meter, note: Note) -> None:
    """Add the ties of a note, and the bracket of a triplet that begins or ends with it."""
    for way, here in (("stop", note.tied), ("start", note.ties)):
        if here:
            add(notations, "tied", type=way)
    for way in _tuplet(meter, note):
        add(notations, "tuplet", type=way)


def beams(element: ET.Element, rhythm: Sequence[Note], meter: Meter, note: Note) -> None:
    """Add the beams of a note from the outermost in: ``begin``, ``continue``, ``end`` or a hook."""
    for level, beam in enumerate(_beams(rhythm, meter, note), 1):
        add(element, "beam", beam, number=str(level))


def _beams(rhythm: Sequence[Note], meter: Meter, note: Note) -> list[str]:
    group = next((g for g in beamed(rhythm, meter) if note in g), [])
    if len(group) < 2:
        return []
    at = group.index(note)
    beams = []
    for level in range(1, FLAGS[note.value[0]] + 1):
        before = at > 0 and FLAGS[group[at - 1].value[0]] >= level
        after = at + 1 < len(group) and FLAGS[group[at + 1].value[0]] >= level
        kinds = {(True, True): "continue", (True, False): "end", (False, True): "begin"}
        alone = "forward hook" if at == 0 else "backward hook"
        beams.append(kinds.get((before, after), alone))
    return beams


def _tuplet(meter: Meter, note: Note) -> list[str]:
    """Whether a triplet starts or stops with a note; each fills a beat."""
    if not note.triplet:
        return []
    beat = meter.beat_at(note.start)[0]
    edges = (*meter.beat_starts, meter.bar_ticks)
    ways = {"start": note.start == edges[beat], "stop": note.end == edges[beat + 1]}
    return [way for way, here in ways.items() if here]
