"""The lines of a sheet as a Standard MIDI File, one after the other, each note as it is written.

Without swing and touch, as notation programs read it best; a marker names each line. A bent note
has the pitch that is fretted.
"""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO

import mido

from groove.handout.sheet.lines.line_words import titled_lines, to_read
from groove.handout.sheet.sheet import Sheet
from groove.lesson.line import NoteLine
from groove.rhythm.meter import TICKS_PER_QUARTER
from groove.sound.midi import META, OFF, ON, Timed, tempo_microseconds, time_signature, timed_track
from groove.wording import worded

VELOCITY = 80
CHANNEL = 0


def lines_midi(sheet: Sheet) -> bytes:
    """All lines of notes that a sheet shows as one MIDI file of format 1: one track for tempo,
    signatures and markers, one for the notes. A pick-up has a bar to stand in."""
    with worded(sheet.guide.form.lesson.words):
        marks: list[Timed] = [
            (0, META, mido.MetaMessage("track_name", name=sheet.title)),
            (0, META, _tempo(sheet)),
        ]
        notes: list[Timed] = []
        begin = 0
        for title, line in titled_lines(sheet):
            line = to_read(sheet, line)
            begin += _pick_up(line)
            marks += _marks(title, line, begin)
            notes += _notes(line, begin)
            begin += line.end
    file = mido.MidiFile(type=1, ticks_per_beat=TICKS_PER_QUARTER, charset="utf-8")
    file.tracks += [timed_track(marks, begin), timed_track(notes, begin)]
    out = BytesIO()
    file.save(file=out)
    return out.getvalue()


def _tempo(sheet: Sheet) -> mido.MetaMessage:
    chart = sheet.chart
    return mido.MetaMessage(
        "set_tempo", tempo=tempo_microseconds(chart.tempo, chart.meter.beat_ticks)
    )


def _pick_up(line: NoteLine) -> int:
    """The ticks of whole bars before the first, 0 without a pick-up."""
    first = min((note.start for note in line.notes), default=0)
    bar = line.bars[0].length if line.bars else 4 * TICKS_PER_QUARTER
    return -(first // bar) * bar if first < 0 else 0


def _marks(title: str, line: NoteLine, begin: int) -> Iterator[Timed]:
    """The name of a line, and its signatures where they change."""
    yield begin, META, mido.MetaMessage("marker", text=title)
    before = None
    for bar in line.bars:
        if before is None or str(bar.meter) != str(before.meter):
            yield begin + bar.start, META, time_signature(bar.meter)
        if before is None or bar.key != before.key:
            key = mido.MetaMessage("key_signature", key=bar.key.symbol)
            yield begin + bar.start, META, key
        before = bar


def _notes(line: NoteLine, begin: int) -> Iterator[Timed]:
    for note in line.notes:
        start = mido.Message("note_on", channel=CHANNEL, note=note.pitch, velocity=VELOCITY)
        yield begin + note.start, ON, start
        end = mido.Message("note_off", channel=CHANNEL, note=note.pitch, velocity=0)
        yield begin + note.end, OFF, end
