"""Rhythms drawn: cue notes over the slashes of a bar, or slashes with stems in their place.

Common engraving practice: stems go up, notes within a beat are beamed, ties hang under the heads.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from groove.handout.chart.cells import BEAT, BarCell, Measures, cue_space
from groove.handout.drawing.page import (
    MEDIUM,
    SMALLEST,
    Glyph,
    Line,
    Mark,
    Text,
    glyph_width,
)
from groove.handout.drawing.staff.rhythm import FLAGS, Note, beamed
from groove.handout.drawing.staff.stems import FLAG_NAMES, beams, dots, head_name, tie

STEM, CUE_STEM = 2.6, 3.2  # between two staff lines
AFTER_NOTE = 0.4  # of the space of a staff, the least from a note to a rest
SLASHES = {"half": "half slash", "whole": "whole slash"}


def rhythm_marks(
    cells: Sequence[BarCell], number: int, above: float, beats: float, measures: Measures
) -> list[Mark]:
    """The rhythm of a bar of a line: cue notes with the middle of their heads at ``above``, or
    slashes at ``beats``, both in mm."""
    cell = cells[number]
    stops = cell.bar.stops
    space = BEAT * measures.em / 2 if stops else cue_space(measures)
    y = beats if stops else above
    marks: list[Mark] = []
    groups = list(beamed(cell.bar.rhythm, cell.bar.meter))
    flagged = [group[0] for group in groups if len(group) == 1]
    clear = 0.0  # mm: where the note before a rest ends
    for note in cell.bar.rhythm:
        if note.rest:
            marks.append(_rest(note, cell, y, space, clear))
            clear = 0.0
        else:
            x = _place(note, cell, space, stops)
            marks += _head(note, x, y, space, stops)
            clear = x + glyph_width(_head_name(note, stops), space) + AFTER_NOTE * space
            if note in flagged and FLAGS.get(note.value[0], 0):
                clear += glyph_width("eighth flag", space)
    for group in groups:
        marks += _stems(group, cell, y, space, stops)
    marks += _triplets(cell, y, space, stops)
    marks += _ties(cells, number, y, space)
    return marks


def _rest(note: Note, cell: BarCell, y: float, space: float, clear: float) -> Glyph:
    """A rest at its time, but right of ``clear`` if that leaves it before what follows; in mm."""
    name, _ = note.value
    up = space if name == "whole" else 0.0
    if note.whole_bar:
        return Glyph((cell.first_beat + cell.beats_end) / 2, y - up, "whole rest", space, "middle")
    last = cell.at(note.start + note.length) - glyph_width(f"{name} rest", space)
    x = max(cell.at(note.start), min(clear, last))
    return Glyph(x, y - up, f"{name} rest", space)


def _place(note: Note, cell: BarCell, space: float, stops: bool) -> float:
    """The place of a note, in mm: at its time, but clear of the bar line with its flag."""
    flags = FLAGS.get(note.value[0], 0)
    if not flags:
        return cell.at(note.start)
    room = glyph_width(_head_name(note, stops), space) + glyph_width("eighth flag", space)
    return min(cell.at(note.start), cell.right - room - MEDIUM)


def _head_name(note: Note, stops: bool) -> str:
    name, _ = note.value
    return SLASHES.get(name, "slash") if stops else head_name(name)


def _head(note: Note, x: float, y: float, space: float, stops: bool) -> list[Mark]:
    head = _head_name(note, stops)
    wide = glyph_width(head, space)
    marks: list[Mark] = [Glyph(x, y, head, space)]
    marks += dots(x + wide, y, note.value[1], space, step=0)
    if note.accent:
        high = y - ((STEM if stops else CUE_STEM) + 0.4) * space
        marks.append(Glyph(x + wide / 2, high, "accent", space, "middle"))
    return marks


def _stems(group: list[Note], cell: BarCell, y: float, space: float, stops: bool) -> list[Mark]:
    top = y - (STEM if stops else CUE_STEM) * space
    marks: list[Mark] = []
    places = []
    for note in group:
        head = glyph_width(_head_name(note, stops), space)
        x = _place(note, cell, space, stops) + head - MEDIUM / 2
        places.append(x)
        foot = y - (space if stops else 0.15 * space)
        marks.append(Line(x, foot, x, top, MEDIUM))
    flags = [FLAGS.get(note.value[0], 0) for note in group]
    if len(group) == 1:
        if flags[0]:
            marks.append(Glyph(places[0] - MEDIUM / 2, top, FLAG_NAMES[flags[0]], space))
        return marks
    return marks + beams([(x, top) for x in places], flags, space)


def _triplets(cell: BarCell, y: float, space: float, stops: bool) -> list[Mark]:
    """A 3 over each beat in thirds."""
    meter = cell.bar.meter
    beats = {meter.beat_at(note.start)[0] for note in cell.bar.rhythm if note.triplet}
    edges = (*meter.beat_starts, meter.bar_ticks)
    over = 1.5 if any(note.accent for note in cell.bar.rhythm) else 0.5
    top = y - ((STEM if stops else CUE_STEM) + over) * space
    middles = [(cell.at(edges[b]) + cell.at(edges[b + 1])) / 2 for b in sorted(beats)]
    return [Text(x, top, "3", SMALLEST, "italic", "middle") for x in middles]


def _ties(cells: Sequence[BarCell], number: int, y: float, space: float) -> list[Mark]:
    """The ties that begin in a bar, and one that comes from the line before."""
    cell = cells[number]
    sounding = [note for note in cell.bar.rhythm if not note.rest]
    centre = glyph_width("black notehead", space) / 2
    low = y + 0.8 * space
    marks: list[Mark] = []
    for note, after in pairwise([*sounding, None]):
        if note is None or not note.ties:
            continue
        begin = cell.at(note.start) + centre
        end = cell.right + 1.5
        if after is not None:
            end = cell.at(after.start) + centre
        elif number + 1 < len(cells) and any(n.tied for n in cells[number + 1].bar.rhythm):
            end = cells[number + 1].at(0) + centre
        marks.append(tie(begin, end, low, space))
    if number == 0 and sounding and sounding[0].tied and sounding[0].start == 0:
        end = cell.at(0) + centre
        marks.append(tie(max(cell.left, end - 3 * space), end, low, space))
    return marks
