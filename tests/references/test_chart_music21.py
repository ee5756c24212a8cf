"""Charts as MusicXML, read by music21: keys, transpositions, chords, bars and repeats.

Source: general-purpose reference library ``music21``; the circle of fifths in
``music21.key``; the instruments' transpositions in ``music21.instrument``.
"""

from __future__ import annotations

from contextlib import suppress
from itertools import product
from typing import Any

import music21
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from music21.musicxml.xmlToM21 import MeasureParser

from groove.form.model import Form
from groove.form.readers import READERS
from groove.form.unroll import unroll
from groove.handout.chart.musicxml import musicxml, transposition
from groove.handout.chart.musicxml_harmony import harmony
from groove.handout.chart.written import write_chart
from groove.theory.chords import Chord, parse_chord
from groove.theory.pitch import NoteName
from groove.theory.quality import Quality, parse_quality
from tests.examples import examples
from tests.handout.chart.chart_material import FORMS, form, forms, shipped
from tests.handout.chart.marked_material import marked_chart
from tests.theory.key_material import KEYS

INSTRUMENTS = {
    "Bb": music21.instrument.Trumpet,
    "Eb": music21.instrument.AltoSaxophone,
    "F": music21.instrument.Horn,
}
TRIADS = ["", "m", "dim", "+", "m7b5", "sus2", "sus4"]
EXTENSIONS = ["", "6", "7", "maj7", "9", "maj9", "11", "13", "6/9", "(maj7)", "7sus4", "9sus4"]
CHANGES = ["", "b5", "#5", "b9", "#9", "#11", "b13", "b9#11", "add9", "add11", "no3", "no5", "alt"]


def theirs(name: str) -> str:
    return name.replace("b", "-")


def read(made: Form, reader: str = "concert", *, numerals: bool = False) -> music21.stream.Part:
    data = musicxml(write_chart(made, READERS[reader]), numerals=numerals).decode()
    score = music21.converter.parseData(data, format="musicxml")
    return score.parts[0]


def names(symbol: Any) -> set[str]:
    return {pitch.name for pitch in symbol.pitches}


def of(chord: Chord) -> set[str]:
    return {theirs(str(note)) for note in chord.notes} | {theirs(str(chord.lowest))}


def parsed_qualities() -> list[Quality]:
    found = []
    for words in product(TRIADS, EXTENSIONS, CHANGES):
        with suppress(ValueError):
            found.append(parse_quality("".join(words)))
    assert len(found) > 200
    return found


@given(st.sampled_from(parsed_qualities()), st.integers(-8, 12))
@settings(max_examples=examples(300))
def test_harmony_of_any_quality_has_the_chord_tones(quality: Quality, root: int) -> None:
    chord = Chord(NoteName(root), quality)
    found = MeasureParser().xmlToChordSymbol(harmony(chord))
    assert names(found) == of(chord)


@pytest.mark.parametrize("symbol", ["A/C#", "C7/Bb", "Dm7/G", "Ebmaj7/D", "F#m7b5/C"])
def test_bass_of_a_slash_chord_is_the_lowest_note(symbol: str) -> None:
    chord = parse_chord(symbol)
    found = MeasureParser().xmlToChordSymbol(harmony(chord))
    assert found.bass().name == theirs(str(chord.lowest))


@pytest.mark.parametrize("name", FORMS)
def test_repeats_expand_to_the_bars_of_the_track(name: str) -> None:
    made = shipped(name)
    played = read(made).expandRepeats().getElementsByClass("Measure")
    found = [[names(s) for s in bar.getElementsByClass("ChordSymbol")] for bar in played]
    assert found == [[of(slot.chord) for slot in bar.slots] for bar in unroll(made).bars]


@given(forms(most_bars=14))
@settings(max_examples=examples(10))
def test_chords_of_any_form_stand_at_their_place_in_the_bar(made: Form) -> None:
    bars = read(made).expandRepeats().getElementsByClass("Measure")
    quarters = made.meter.bar_ticks / 960 / made.meter.bar_ticks
    for bar, ours in zip(bars, unroll(made).bars, strict=True):
        found = [float(s.offset) for s in bar.getElementsByClass("ChordSymbol")]
        assert found == [(slot.start - ours.start) * quarters for slot in ours.slots]


def test_numerals_stand_as_words_at_the_place_of_their_chords_which_are_read_as_before() -> None:
    made = shipped("rhythm-changes", key="Bb")
    plain, numbered = (
        read(made, numerals=numerals).getElementsByClass("Measure") for numerals in (False, True)
    )
    placed = iter(p for bar in write_chart(made).bars for p in bar.chords)
    for bar, other in zip(plain, numbered, strict=True):
        symbols = other.getElementsByClass("ChordSymbol")
        assert [names(s) for s in symbols] == [
            names(s) for s in bar.getElementsByClass("ChordSymbol")
        ]
        said = other.getElementsByClass("TextExpression")
        below = [(w.offset, w.content) for w in said if w.placement == "below"]
        assert below == [(s.offset, next(placed).numeral) for s in symbols]


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_key_signature_is_that_of_music21(key: Any) -> None:
    found = read(form(chords="I7:4", key=key.symbol)).recurse().getElementsByClass("Key").first()
    name = theirs(str(key.tonic))
    theirs_ = music21.key.Key(name if key.mode == "major" else name.lower())
    assert (found.sharps, found.mode) == (theirs_.sharps, theirs_.mode)
    assert found.tonic.name == name


@pytest.mark.parametrize("reader", INSTRUMENTS)
def test_transposition_is_that_of_the_instrument(reader: str) -> None:
    interval = INSTRUMENTS[reader]().transposition
    key = form(chords="I").key
    _, semitones = transposition(READERS[reader], key)
    assert semitones == interval.semitones
    assert transposition(READERS[reader], key)[0] == interval.generic.staffDistance


@pytest.mark.parametrize("key", KEYS, ids=str)
@pytest.mark.parametrize("reader", INSTRUMENTS)
def test_written_chords_sound_as_in_concert(reader: str, key: Any) -> None:
    made = form(chords="I7 bVI7 iim7b5 V7", key=key.symbol, choruses=1, ending="loop")
    part = read(made, reader)
    part.atSoundingPitch = False
    sounding = part.toSoundingPitch()
    found = [
        {p.pitchClass for p in s.pitches}
        for s in sounding.recurse().getElementsByClass("ChordSymbol")
    ]
    wanted = [{n.pitch_class for n in bar.slots[0].chord.notes} for bar in unroll(made).bars]
    assert found == wanted


def test_tempo_is_read() -> None:
    found = read(form(chords="I7:4", meter="6/8", tempo=70)).recurse()
    mark = found.getElementsByClass("MetronomeMark").first()
    assert (mark.number, mark.referent.quarterLength) == (70, 1.5)


def test_marks_of_an_arrangement_are_read() -> None:
    part = music21.converter.parseData(musicxml(marked_chart()).decode(), format="musicxml").parts[
        0
    ]
    bars = part.getElementsByClass("Measure")
    found = part.recurse()
    assert [bar.duration.quarterLength for bar in bars[23:27]] == [3.5, 3.5, 2, 4]
    assert [key.sharps for key in found.getElementsByClass("KeySignature")] == [-1, 1]
    metronomes = found.getElementsByClass("MetronomeMark")
    assert [mark.number for mark in metronomes] == [172, 132, 52]
    assert [sign.measureNumber for sign in found.getElementsByClass("Segno")] == [5]
    assert [sign.measureNumber for sign in found.getElementsByClass("DalSegnoAlCoda")] == [22]
    assert [mark.content for mark in found.getElementsByClass("RehearsalMark")] == [
        "Intro", "A", "B", "Coda", "Seven", "Slow",
    ]  # fmt: skip
    signs = [mark.value for mark in found.getElementsByClass("Dynamic")]
    assert signs == ["p", "mf", "f", "pp"]
    kicks = bars[15].voices[1].notes
    assert [(n.offset, n.quarterLength) for n in kicks] == [(0, 0.5), (1.5, 0.5), (2, 2)]
