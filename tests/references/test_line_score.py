"""Lines of notes as MusicXML against the outside: the published schema, and music21.

Sources: the W3C schema of MusicXML 4.0 as the package ``musicxml`` carries it, checked with
``xmlschema``; the general-purpose reference library ``music21``.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import Any
from xml.etree import ElementTree as ET

import music21
import pytest
import xmlschema
from hypothesis import given, settings

from groove.handout.sheet.lines.line_score import lines_musicxml
from groove.handout.sheet.lines.line_words import titled_lines, to_read
from groove.handout.sheet.sheet import Sheet
from groove.lesson.line import NoteLine
from groove.rhythm.meter import TICKS_PER_QUARTER
from tests.examples import examples
from tests.handout.drawing.staff.staff_material import lines, tuning_of
from tests.handout.sheet.sheet_material import sheet
from tests.references.schema_material import schema as published_schema
from tests.references.schema_material import without_head

SHEETS = [
    ("twelve-bar", {}),
    ("twelve-bar", {"instrument": "bass"}),
    ("minor-twelve-bar", {"instrument": "ukulele"}),
    ("rhythm-changes", {"instrument": "keyboard"}),
    ("rhythm-changes", {"reader": "alto-sax"}),
    ("twelve-bar", {"reader": "trombone"}),
    ("eight-bar", {"tuning": "B1 E2 A2 D3 G3 B3 E4"}),
]


@pytest.fixture(scope="module")
def schema() -> xmlschema.XMLSchema:
    return published_schema()


@cache
def score(name: str, asked: tuple[tuple[str, str], ...]) -> tuple[Sheet, bytes]:
    made = sheet(name, **dict(asked))
    return made, lines_musicxml(made)


def with_solo(made: NoteLine) -> Sheet:
    """A sheet whose solo is a line."""
    whole = replace(sheet(), tuning=tuning_of(made), blocks=("solo",))
    whole.__dict__["solo"] = made
    return whole


@pytest.mark.parametrize(("name", "asked"), SHEETS)
def test_scores_of_sheets_are_valid(
    name: str, asked: dict[str, str], schema: xmlschema.XMLSchema
) -> None:
    schema.validate(without_head(score(name, tuple(asked.items()))[1]))


@given(made=lines(2))
@settings(max_examples=examples(12), deadline=None)
def test_score_of_any_line_is_valid_and_its_bars_are_full_on_both_staves(
    made: NoteLine, schema: xmlschema.XMLSchema
) -> None:
    data = lines_musicxml(with_solo(made))
    schema.validate(without_head(data))
    if not made.notes:  # nothing to write but a rest
        return
    bars = list(ET.fromstring(data).iter("measure"))
    assert len(bars) == len(made.bars)
    for bar, measure in zip(made.bars, bars, strict=True):
        for staff in ("1", "2"):
            lengths = [
                int(note.findtext("duration", ""))
                for note in measure.iter("note")
                if note.findtext("staff") == staff and note.find("chord") is None
            ]
            assert sum(lengths) == bar.length


def heard(part: Any) -> list[tuple[Fraction, Fraction, int]]:
    """Start, length in quarters and MIDI note of all that sounds in a part, tied notes as one."""
    found = []
    for note in part.stripTies().flatten().notes:
        if isinstance(note, music21.harmony.Harmony):
            continue
        for pitch in note.pitches:
            found.append((Fraction(note.offset), Fraction(note.quarterLength), pitch.midi))
    return sorted(found)


@pytest.mark.parametrize(("name", "asked"), SHEETS)
def test_music21_reads_the_notes_of_the_lines_from_each_staff(
    name: str, asked: dict[str, str]
) -> None:
    made, data = score(name, tuple(asked.items()))
    read = music21.converter.parseData(data.decode(), format="musicxml")
    wanted, begins = [], 0
    for _, line in titled_lines(made):
        line = to_read(made, line)
        assert min(note.start for note in line.notes) >= 0
        wanted += [
            (
                Fraction(begins + note.start, TICKS_PER_QUARTER),
                Fraction(note.length, TICKS_PER_QUARTER),
                note.pitch,
            )
            for note in line.notes
        ]
        begins += line.bars[-1].end
    assert len(read.parts) == (2 if made.tuning else 1)
    for part in read.parts:
        assert heard(part) == sorted(wanted)


def test_places_bends_and_joins_stand_on_the_strings() -> None:
    made, data = score("twelve-bar", ())
    notes = [note for _, line in titled_lines(made) for note in line.notes]
    root = ET.fromstring(data)
    placed = [
        (note.findtext(".//string"), note.findtext(".//fret"))
        for note in root.iter("note")
        if note.findtext("staff") == "2" and note.find("tie[@type='stop']") is None
        if note.find("rest") is None
    ]
    assert placed == [(str(n.place.string), str(n.place.fret)) for n in notes if n.place]
    bends = [float(bend.text or 0) for bend in root.iter("bend-alter")]
    assert [bend for bend in bends if bend > 0] == [float(n.bend) for n in notes if n.bend]
    for tag, joined in (("hammer-on", "hammer"), ("pull-off", "pull"), ("slide", "slide")):
        stops = [element for element in root.iter(tag) if element.get("type") == "stop"]
        staves = 2 if tag == "slide" else 1
        assert len(stops) == staves * sum(note.joined == joined for note in notes)


def test_strings_are_named_from_the_lowest_line_up() -> None:
    root = ET.fromstring(score("twelve-bar", (("instrument", "bass"),))[1])
    tuned = [
        tuning.findtext("tuning-step", "") + tuning.findtext("tuning-octave", "")
        for tuning in root.iter("staff-tuning")
    ]
    assert tuned == ["E1", "A1", "D2", "G2"]
    assert root.findtext(".//clef/clef-octave-change") == "-1"


def test_transposing_reader_has_a_transposition() -> None:
    root = ET.fromstring(score("rhythm-changes", (("reader", "alto-sax"),))[1])
    assert root.findtext(".//transpose/chromatic") == "-9"
