"""Rhythms as notes and rests, each a value that can be written.

Common engraving practice: no note or rest hides the beat it goes over, so lengths are cut at the
beats and notes tied; what begins on a beat may fill several, and a note a beat and a half. Rests
don't go over the middle of a bar of four beats or six, nor over a beat in a bar of three. A beat
in thirds is a triplet unless the metre divides its beats so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from groove.rhythm.meter import TICKS_PER_QUARTER, Meter

QUARTER = TICKS_PER_QUARTER
SHORTEST = QUARTER // 4  # of plain notes
PLAIN = {  # ticks: the name as MusicXML has it, and its dots
    QUARTER // 4: ("16th", 0),
    QUARTER * 3 // 8: ("16th", 1),
    QUARTER // 2: ("eighth", 0),
    QUARTER * 3 // 4: ("eighth", 1),
    QUARTER: ("quarter", 0),
    QUARTER * 3 // 2: ("quarter", 1),
    QUARTER * 2: ("half", 0),
    QUARTER * 3: ("half", 1),
    QUARTER * 4: ("whole", 0),
    QUARTER * 6: ("whole", 1),
}
SIXTH = QUARTER // 6
FLAGS = {"eighth": 1, "16th": 2}
THIRDS = {ticks * 2 // 3: name for ticks, (name, dots) in PLAIN.items() if not dots}


@dataclass(frozen=True, slots=True)
class Stroke:
    """A stroke of a rhythm: where it begins and how long it sounds, in ticks of its bar.

    tied: whether it goes on from the bar before. ties: whether it goes on into the next bar.
    """

    start: int
    length: int
    accent: bool = False
    tied: bool = False
    ties: bool = False

    @property
    def end(self) -> int:
        """The tick of the bar at which it ends."""
        return self.start + self.length


@dataclass(frozen=True, slots=True)
class Note:
    """A written note or rest: where it begins and how long it lasts, in ticks of the bar.

    ties, tied: whether it is tied to the next note, and to the one before. triplet: whether it is
    one of three in the time of two. whole_bar: whether it is the rest of a whole bar, which is
    written as a whole rest in any metre.
    """

    start: int
    length: int
    rest: bool
    accent: bool = False
    tied: bool = False
    ties: bool = False
    triplet: bool = False
    whole_bar: bool = False

    @property
    def end(self) -> int:
        """The tick of the bar at which it ends."""
        return self.start + self.length

    @property
    def value(self) -> tuple[str, int]:
        """The name of its value and its dots: ``("quarter", 1)``."""
        if self.whole_bar:
            return "whole", 0
        return (THIRDS[self.length], 0) if self.triplet else PLAIN[self.length]


def notes(strokes: Sequence[Stroke], meter: Meter, *, rests: bool = True) -> tuple[Note, ...]:
    """The strokes of a bar in order as notes, with the rests between them unless they are left out.

    Places between sixteenths, or in a beat in thirds between sixths, are moved to the nearest.
    """
    strokes = _on_values(strokes, meter)
    if rests and not strokes:
        return (Note(0, meter.bar_ticks, rest=True, whole_bar=True),)
    found: list[Note] = []
    at = 0
    for stroke in strokes:
        start = max(stroke.start, at)
        if rests and start > at:
            found += _silence(at, start, strokes, meter)
        found += _sound(stroke, start, min(stroke.end, meter.bar_ticks), strokes, meter)
        at = found[-1].end if found else at
    if rests and at < meter.bar_ticks:
        found += _silence(at, meter.bar_ticks, strokes, meter)
    return tuple(found)


def beamed(rhythm: Sequence[Note], meter: Meter) -> list[list[Note]]:
    """The notes with stems; those that a beam joins, within a beat, are together."""
    groups: list[list[Note]] = []
    for note in rhythm:
        if note.rest or note.value[0] == "whole":
            continue
        before = groups[-1][-1] if groups else None
        joined = (
            before is not None
            and before.end == note.start
            and {before.value[0], note.value[0]} <= FLAGS.keys()
            and meter.beat_at(before.start)[0] == meter.beat_at(note.start)[0]
        )
        if joined:
            groups[-1].append(note)
        else:
            groups.append([note])
    return groups


def _sound(
    stroke: Stroke, start: int, end: int, strokes: Sequence[Stroke], meter: Meter
) -> list[Note]:
    parts = _parts(start, end, strokes, meter, rest=False)
    if not parts:
        return []
    last = len(parts) - 1
    return [
        replace(
            part,
            accent=stroke.accent and number == 0 and not stroke.tied,
            tied=number > 0 or stroke.tied,
            ties=number < last or stroke.ties,
        )
        for number, part in enumerate(parts)
    ]


def _silence(start: int, end: int, strokes: Sequence[Stroke], meter: Meter) -> list[Note]:
    return _parts(start, end, strokes, meter, rest=True)


def _parts(
    start: int, end: int, strokes: Sequence[Stroke], meter: Meter, *, rest: bool
) -> list[Note]:
    """A stretch in values that can be written, from left to right."""
    parts: list[Note] = []
    while start < end:
        triplet = _in_thirds(start, strokes, meter)
        length = _longest(start, end, strokes, meter, rest=rest, triplet=triplet)
        if not length:
            break
        parts.append(Note(start, length, rest, triplet=triplet))
        start += length
    return parts


def _longest(
    start: int, end: int, strokes: Sequence[Stroke], meter: Meter, *, rest: bool, triplet: bool
) -> int:
    """The longest value that may stand at a place; 0 where none is short enough."""
    edges = _edges(meter)
    beat_end = next(edge for edge in edges if edge > start)
    if triplet:
        return max((t for t in THIRDS if start + t <= min(end, beat_end)), default=0)
    on_beat = start in edges
    allowed = {edge for edge in edges if on_beat and edge > start}
    if rest and len(edges) in (5, 7) and start < meter.bar_ticks // 2:
        allowed = {edge for edge in allowed if edge <= meter.bar_ticks // 2}
    elif rest and len(edges) == 4:
        allowed = {beat_end}
    for edge in sorted(allowed):
        if _in_thirds(edge, strokes, meter):
            allowed = {other for other in allowed if other <= edge}
            break
    fitting = [
        ticks
        for ticks in PLAIN
        if start + ticks <= end
        and (
            start + ticks <= beat_end
            or start + ticks in allowed
            or (on_beat and not rest and ticks * 2 == 3 * (beat_end - start))
        )
        and not (rest and PLAIN[ticks][1] and start + ticks <= beat_end and not meter.is_compound)
    ]
    return max(fitting, default=0)


def _on_values(strokes: Sequence[Stroke], meter: Meter) -> list[Stroke]:
    """The strokes at places that can be written, none over the next."""

    def written(tick: int) -> int:
        last = max(edge for edge in _edges(meter) if edge <= tick)
        unit = SIXTH if _in_thirds(tick, strokes, meter) else SHORTEST
        return last + round((tick - last) / unit) * unit

    found: list[Stroke] = []
    for stroke in strokes:
        start, end = written(stroke.start), written(min(stroke.end, meter.bar_ticks))
        if found and found[-1].end > start:
            found[-1] = replace(found[-1], length=start - found[-1].start)
        if start < meter.bar_ticks:
            found.append(replace(stroke, start=start, length=end - start))
    return [stroke for stroke in found if stroke.length > 0]


def _in_thirds(tick: int, strokes: Sequence[Stroke], meter: Meter) -> bool:
    """True if the beat at a tick is a triplet: an edge in it lies on a sixth, off the 16ths."""
    if meter.is_compound or tick >= meter.bar_ticks:
        return False
    edges = _edges(meter)
    last = max(edge for edge in edges if edge <= tick)
    following = next(edge for edge in edges if edge > tick)
    return any(
        last < at < following and (at - last) % SHORTEST and (at - last) % SIXTH == 0
        for stroke in strokes
        for at in (stroke.start, stroke.end)
    )


def _edges(meter: Meter) -> tuple[int, ...]:
    """The beats at which lengths are cut, in ticks, and the end of the bar: quarters in 2/2."""
    if meter.beat_ticks > QUARTER and not meter.is_compound:
        return tuple(range(0, meter.bar_ticks + 1, QUARTER))
    return (*meter.beat_starts, meter.bar_ticks)
