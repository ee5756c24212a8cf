"""The players' MIDI programs, which may change along the road, their channels and their mix."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence

from groove import library
from groove.band.changes import Changes
from groove.band.figures import owner
from groove.band.lines.written_lines import line_instrument
from groove.band.part import (
    BASS,
    CHORDAL,
    COMPING,
    DRUMS,
    GUITAR,
    KEYS,
    LINES,
    MELODY,
    PERCUSSION,
    RIFF,
    SOLO,
    STRUCK,
    pattern_of,
)
from groove.band.touch.touch import Struck
from groove.form.chart import Bar, Chart
from groove.rhythm.kit import DRUM_CHANNEL, INSTRUMENTS, KITS
from groove.rhythm.patterns import Controllers

CHANNELS = {
    DRUMS: DRUM_CHANNEL, PERCUSSION: DRUM_CHANNEL,
    BASS: 0, COMPING: 1, GUITAR: 1, KEYS: 3, RIFF: 4, MELODY: 5, SOLO: 6,
}  # fmt: skip
"""From 0; channel 2 is the tuning note's."""


def programs_of(
    name: str, struck: Sequence[Struck], chart: Chart, changes: Changes
) -> list[tuple[int, int]]:
    """The programs of a part, each with the tick from which on it plays, the first from 0.

    A change stands at the bar line of the seam, or a little before or after it where the last
    note of the old sound comes late or the first of the new one early.
    """
    found: list[tuple[int, int]] = []
    if name in STRUCK:
        seams = [(bar.start, KITS[bar.setting.kit]) for bar in chart.bars]
    else:
        seams = [
            (bar.start, INSTRUMENTS[instrument].program) for bar, instrument in _by_bar(name, chart)
        ]
    if len({program for _, program in seams}) < 2:
        return [(0, program) for _, program in seams[:1]] or [(0, 0)]
    starts = [
        (owner(chart, changes, note.note.start).start, note.start)
        for note in sorted(struck, key=lambda each: each.note.start)
    ]
    bars = [bar for bar, _ in starts]
    for seam, program in seams:
        if found and program == found[-1][1]:
            continue
        place = bisect_right(bars, seam - 1)
        before = max((start for _, start in starts[max(0, place - 8) : place]), default=-1)
        after = min((start for _, start in starts[place : place + 8]), default=seam)
        found.append((min(max(seam, before + 1), after) if found else 0, program))
    return found


def _by_bar(name: str, chart: Chart) -> Iterator[tuple[Bar, str]]:
    """The bars in which a player plays, each with the instrument."""
    if name == SOLO:
        for bar in chart.bars:
            yield bar, solo_instrument(chart, bar)
        return
    if name in LINES:
        for played in chart.passes:
            line = played.riff if name == RIFF else played.melody
            if line:
                for bar in chart.bars_of(played):
                    yield bar, line_instrument(name, bar, line)
        return
    for bar in chart.bars:
        pattern = pattern_of(name, bar)
        if pattern:
            chosen = dict(bar.setting.instruments)
            own = chosen.get(name)
            if name in CHORDAL:
                own = own or chosen.get(bar.comping[0].voicing if name == COMPING else COMPING)
            yield bar, own or pattern.instrument


def solo_instrument(chart: Chart, bar: Bar) -> str:
    """The instrument of a soloist in a bar: the one chosen for the solo, else the usual one of the
    track's style."""
    table, drums = library.table("lines")[SOLO], chart.bars[0].drums
    family = table["families"].get(drums.family, table["instrument"])
    usual = table["patterns"].get(drums.name, family)
    return dict(bar.setting.instruments).get(SOLO) or str(usual)


def mix_of(name: str, chart: Chart) -> Controllers:
    """A part's place in the mix: its first pattern's, or that of a single line."""
    if name in STRUCK:
        return chart.bars[0].drums.mix
    if name in LINES:
        return Controllers(**library.table("lines")[name]["mix"])
    patterns = (pattern_of(name, bar) for bar in chart.bars)
    return next(pattern.mix for pattern in patterns if pattern)
