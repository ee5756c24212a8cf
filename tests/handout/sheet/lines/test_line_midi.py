"""The lines of a sheet as a MIDI file."""

from __future__ import annotations

from io import BytesIO

import mido

from groove.handout.sheet.lines.line_midi import lines_midi
from groove.handout.sheet.lines.line_words import titled_lines
from tests.handout.sheet.sheet_material import sheet


def test_notes_stand_where_they_are_written_one_line_after_the_other() -> None:
    made = sheet()
    file = mido.MidiFile(file=BytesIO(lines_midi(made)))
    heard, now = [], 0
    for message in file.tracks[1]:
        now += message.time
        if message.type == "note_on":
            heard.append((now, message.note))
    wanted, begin = [], 0
    for _, line in titled_lines(made):
        wanted += [(begin + note.start, note.pitch) for note in line.notes]
        begin += line.end
    assert sorted(heard) == sorted(wanted)
    assert sum(message.time for message in file.tracks[0]) == begin
    titles = [message.text for message in file.tracks[0] if message.type == "marker"]
    assert titles == [title for title, _ in titled_lines(made)]


def test_sheet_in_bytes_is_the_same_each_time() -> None:
    assert lines_midi(sheet()) == lines_midi(sheet())
