"""The teacher's phrases in the data and the HTML of the practice page."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from groove.form.choruses import in_key
from groove.form.lesson_fields import NamedPhrase
from groove.form.model import Form
from groove.form.read import read_form
from groove.handout.practice.phrases import BENDS, RELEASES, STRINGS, page_phrases, phrases_html
from groove.handout.practice.streams import unpacked
from groove.instrument.fretboard import read_tuning
from groove.lesson.guide import write_guide
from groove.lesson.line import JOINS, LineNote
from groove.lesson.request import USUAL, Request
from groove.lesson.teacher_phrases import teacher_phrases
from groove.theory.keys import twelve_keys
from groove.theory.symbols import symbol

PHRASES = (
    NamedPhrase("Up & down", "3f5:1/2 -:1/2 | 3f7^1v 2f5:1/2 h2f8:1/2 p2f5 s2f7", "Let it <sing>."),
    NamedPhrase("two", "2f5+1f5:2 s2f7+1f7:2", over="IV7"),
)


def with_phrases(form: Form) -> Form:
    return replace(form, lesson=replace(form.lesson, phrases=PHRASES))


def numbers_of(note: LineNote, low: int) -> tuple[int, int]:
    """Place and gesture of a note in the data."""
    place = STRINGS * (note.place.fret - low) + note.place.string if note.place else -note.pitch
    return place, ("", *JOINS).index(note.joined) + BENDS * int(
        note.bend / Fraction(1, 2)
    ) + RELEASES * note.release


@pytest.mark.parametrize(("asked", "tuning"), [(USUAL, "guitar"), (Request(tuning="bass"), "bass")])
def test_every_key_has_the_phrases_over_every_chord(asked: Request, tuning: str) -> None:
    asked = replace(asked, instrument=tuning)
    form = with_phrases(read_form("twelve-bar", key="A"))
    keys = twelve_keys(form.key)
    data = page_phrases(form, keys, asked)["phrases"]
    assert data["tuning"] == tuning
    assert data["bars"] == [1, 1]
    for number in (0, 3, 10):
        guide = write_guide(in_key(form, keys[number]))
        for which, phrase in enumerate(teacher_phrases(guide, read_tuning(tuning))):
            every = (phrase.written, *phrase.moved)
            assert len(every) == len(guide.chords) == 3
            times = list(unpacked(data["times"][which]))
            for over, at in zip(every, range(3), strict=True):
                low, tab = data["placed"][number][which][at]
                found = list(unpacked(data["tabs"][tab]))
                notes = over.line.notes
                pairs = list(zip(found[::2], found[1::2], strict=True))
                assert pairs == [numbers_of(note, low) for note in notes]
                assert times[1::2] == [note.length for note in notes]
                chord, names = data["read"][keys[number].symbol][which][at]
                assert chord == str(symbol(over.chord))
                tonic = keys[number].tonic.fifths
                spelled = [tonic + step for step in unpacked(data["names"][names])]
                assert spelled == [note.name.fifths for note in notes]


def test_names_are_there_for_the_readers_of_other_keys() -> None:
    form = with_phrases(read_form("twelve-bar", key="A"))
    keys = twelve_keys(form.key)
    data = page_phrases(form, keys, Request(instrument="keyboard"))["phrases"]
    assert data["tuning"] == "guitar"  # without strings the first tuning
    assert [chord for chord, _ in data["read"]["B"][0]] == ["B7", "E7", "F♯7"]


def test_a_form_without_phrases_has_no_trace_of_them() -> None:
    form = read_form("twelve-bar")
    assert page_phrases(form, twelve_keys(form.key), USUAL) == {}
    assert phrases_html(form) == ""


def test_names_and_remarks_stand_in_the_page() -> None:
    html = phrases_html(with_phrases(read_form("twelve-bar")))
    assert "Up &amp; down</h3>\n<p>Let it &lt;sing&gt;.</p>" in html
    assert html.count("<button") == html.count("<select") == 2
