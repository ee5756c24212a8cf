"""The chart as MusicXML: the file read as plain XML."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings

from groove.form.model import Form
from groove.form.readers import READERS
from groove.handout.chart.musicxml import musicxml
from groove.handout.chart.musicxml_bars import swing_parts
from groove.handout.chart.written import write_chart
from tests.examples import examples
from tests.form.road_material import EXAMPLES, example
from tests.handout.chart.chart_material import form, forms, shipped
from tests.handout.chart.marked_material import marked_chart


def parsed(made: Form, reader: str = "concert") -> ET.Element:
    return ET.fromstring(musicxml(write_chart(made, READERS[reader])))


@given(forms())
@settings(max_examples=examples(25))
def test_every_bar_is_full(made: Form) -> None:
    for measure in parsed(made).iter("measure"):
        durations = [int(note.findtext("duration", "")) for note in measure.iter("note")]
        assert sum(durations) == made.meter.bar_ticks


@pytest.mark.parametrize(
    ("ratio", "parts"), [(2.0, (2, 1)), (1.5, (3, 2)), (1.7, (17, 10)), (3.0, (3, 1))]
)
def test_swing_in_whole_numbers(ratio: float, parts: tuple[int, int]) -> None:
    assert swing_parts(ratio) == parts


def test_sixteenths_swing_where_the_drummer_swings_them() -> None:
    root = parsed(form(chords="I7:4", drums="sixteenth-funk", swing_ratio=1.5))
    assert root.findtext(".//swing/swing-type") == "16th"


def test_tempo_of_a_compound_metre_counts_dotted_quarters() -> None:
    root = parsed(form(chords="I7:4", meter="12/8", tempo=60))
    assert root.find(".//metronome/beat-unit-dot") is not None
    sound = root.find(".//sound[@tempo]")
    assert sound is not None
    assert sound.get("tempo") == "90"


def test_what_changes_from_chorus_to_chorus_stands_over_the_first_bar() -> None:
    made = shipped("twelve-bar", key_cycle="fourths", tempo_step=6, choruses=3, turnaround=True)
    root = parsed(made)
    words = [said.text for said in root.findall(".//measure[1]/direction//words")]
    assert tuple(words[:-1]) == write_chart(made).course
    assert len(words) == 4


def test_harmony_of_a_key_cycle_is_that_of_its_first_chorus_and_its_end() -> None:
    cycle, plain = (
        parsed(shipped("twelve-bar", key="C", choruses=3, **more))
        for more in ({"key_cycle": "fourths"}, {})
    )
    *chorus, end = cycle.iter("harmony")
    assert [ET.tostring(e).strip() for e in chorus] == [
        ET.tostring(e).strip() for e in list(plain.iter("harmony"))[:-1]
    ]
    assert (end.findtext(".//root-step"), end.findtext(".//root-alter")) == ("B", "-1")


def test_every_beat_of_a_chorus_is_a_slash_without_a_stem() -> None:
    root = parsed(shipped("twelve-bar"))
    *chorus, _ = root.iter("measure")
    notes = [note for measure in chorus for note in measure.iter("note")]
    assert len(notes) == 12 * 4
    for note in notes:
        assert note.find("unpitched") is not None
        assert note.findtext("notehead") == "slash"
        assert note.findtext("stem") == "none"
    assert root.find(".//measure-style") is None


def test_bass_clef_is_written_where_asked_for() -> None:
    assert parsed(shipped("twelve-bar"), "bass-clef").findtext(".//clef/sign") == "F"


def test_road_stands_under_the_title_and_not_among_the_notes() -> None:
    root = ET.fromstring(musicxml(marked_chart()))
    said = [(c.findtext("credit-type"), c.findtext("credit-words")) for c in root.iter("credit")]
    assert said == [
        ("title", "Every Sign"),
        ("subtitle", "Intro 4 times, head, solos 3 times, D.S. al Coda, seven, slow."),
    ]
    assert not any(w.text and "Intro 4" in w.text for w in root.iter("words"))


def test_jumps_say_where_they_lead() -> None:
    sounds = [
        {name: value for name, value in sound.attrib.items() if name != "tempo"}
        for sound in ET.fromstring(musicxml(marked_chart())).iter("sound")
    ]
    assert [sound for sound in sounds if sound] == [
        {"segno": "segno"},
        {"tocoda": "coda"},
        {"dalsegno": "segno"},
        {"coda": "coda"},
    ]


def filled(measure: ET.Element) -> int:
    """The ticks that the notes of a measure fill, each voice from its beginning."""
    signs = {"note": 1, "forward": 1, "backup": -1}
    return sum(signs[e.tag] * int(e.findtext("duration", "")) for e in measure if e.tag in signs)


@pytest.mark.parametrize("name", ["marked", *EXAMPLES])
def test_every_bar_of_an_arrangement_is_full_in_each_voice(name: str) -> None:
    chart = marked_chart() if name == "marked" else write_chart(example(name).form)
    measures = ET.fromstring(musicxml(chart)).iter("measure")
    for bar, measure in zip(chart.bars, measures, strict=True):
        assert filled(measure) == bar.meter.bar_ticks


def test_melody_stands_as_notes_with_their_pitches() -> None:
    root = ET.fromstring(musicxml(write_chart(example("pop-song").form)))
    pitches = [
        "".join(pitch.findtext(part, "") for part in ("step", "alter", "octave"))
        for pitch in root.iter("pitch")
    ]
    assert pitches[:6] == ["F14", "E4", "E4", "D4", "B3", "D4"]
