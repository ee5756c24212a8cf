"""The tuning note: A, then the key's tonic, before the count-in."""

from __future__ import annotations

from groove.band.part import PlayedNote, PlayedPart
from groove.form.chart import Chart
from groove.form.choruses import tuning
from groove.rhythm.kit import INSTRUMENTS
from groove.rhythm.meter import seconds_to_ticks

TUNING_NOTE = "tuning note"
CHANNEL = 2
A4, MIDDLE_C = 69, 60


def tuning_part(chart: Chart) -> PlayedPart:
    """The tuning note of a chart, the tonic in the octave from middle C up."""
    form, figures, setting = chart.form, tuning(), chart.bars[0].setting
    step, sounding = (
        round(seconds_to_ticks(seconds, setting.tempo, setting.meter))
        for seconds in (
            figures["note_seconds"], figures["note_seconds"] - figures["rest_seconds"],
        )
    )  # fmt: skip
    pitches = (A4, MIDDLE_C + form.key.tonic.pitch_class)
    notes = tuple(
        PlayedNote(number * step, sounding, pitch, figures["velocity"])
        for number, pitch in enumerate(pitches)
    )
    mix = figures["mix"]
    program = INSTRUMENTS[figures["instrument"]].program
    return PlayedPart(
        TUNING_NOTE, program, CHANNEL, mix["volume"], mix["pan"], mix["reverb"], notes
    )
