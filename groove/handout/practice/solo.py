"""The solo of the practice page: an example, and two bars in turn, in each key beside the band.

Both are in every page, so that the student may choose; they are notes as those of any part, and
what the left hand does is written beside them, because the page bends each note by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from groove.band.part import PLAIN, Part, PlayedNote
from groove.form.chart import Chart
from groove.form.lesson_fields import SOLOS
from groove.form.model import Form
from groove.lesson.line import JOINS
from groove.lesson.solo.part import solo_part

NONE, *CHOICES = SOLOS
"""The solos of the page: an example, again and again, or two bars in turn."""
OFF = "off"
"""The page's name for no solo."""


def asked(form: Form) -> str:
    """The solo with which a form's page opens."""
    return form.lesson.solo if form.lesson.solo in CHOICES else OFF


def with_solo(form: Form) -> Form:
    """The form with a solo, if it asks for none that of two bars in turn."""
    if form.lesson.solo in CHOICES:
        return form
    return replace(form, lesson=replace(form.lesson, solo=CHOICES[-1]))


def page_solos(chart: Chart, *, every: bool = True) -> dict[str, Part]:
    """The solos of a chart, by what they are; unless every one is wanted, the form's own alone."""
    wanted = [what for what in CHOICES if every or what == chart.form.lesson.solo]
    found = {what: solo_part(chart, what, again=True) for what in wanted}
    return {what: part for what, part in found.items() if part}


def room_for(chart: Chart, solos: dict[str, Part]) -> Part | None:
    """The solo that the band leaves room for: the one that the form asks for."""
    return solos.get(chart.form.lesson.solo)


STRINGS, PLACES = 8, 256
"""A place on the neck is a number: STRINGS times its fret, and its string; and PLACES times the
number of how it is joined to the note before it, 0 for a stroke, else from 1 on as in JOINS."""


def places(notes: list[PlayedNote]) -> Iterator[int]:
    """The place of each note on a guitar, and how it is joined to the one before, as numbers."""
    for note in notes:
        joined = ("", *JOINS).index(note.gesture.joined)
        yield PLACES * joined + STRINGS * note.fret + note.string


def gestures(notes: list[PlayedNote]) -> Iterator[int]:
    """The moves of the left hand, as numbers: notes to the next one that has a gesture, half
    semitones of its bend, whether that is released, semitones from which it comes and to which it
    goes, and whether it is shaken."""
    before = 0
    for place, note in enumerate(notes):
        found = replace(note.gesture, joined="")
        if found != PLAIN:
            bend = round(2 * found.bend)
            yield from (place - before, bend, found.release, found.comes, found.goes, found.shaken)
            before = place
