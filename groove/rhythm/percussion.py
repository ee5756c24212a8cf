"""Chooses the rhythm of a percussion instrument that fits what the drummer plays."""

from __future__ import annotations

from groove.rhythm.patterns import DrumPattern, PercussionPattern
from groove.rhythm.pulse import DOUBLE, paced
from groove.rhythm.regroup import in_meter

EIGHTHS = 2  # lines to a beat


def rhythm_for(
    instrument: PercussionPattern, drums: DrumPattern, *, tempo: float, swung: bool, pulse: str = ""
) -> PercussionPattern:
    """The instrument's rhythm beside a drum pattern, cut to its metre and at its pulse.

    tempo: felt beats a minute. swung: whether notes of the drums' grid are uneven: beside eighths
    that swing, and drums in eighths, nothing is in sixteenths. Where a file has no rhythm that fits
    in all, it fits in the division of the beat first, then in clave, metre and tempo.
    """

    def fit(rhythm: PercussionPattern) -> tuple[bool, ...]:
        own, other = rhythm.grid, drums.grid
        divided = own.meter.is_compound, own.is_triplet
        line = other.line_ticks * (2 if pulse == DOUBLE else 1)
        eighths = line * EIGHTHS >= other.meter.beat_ticks or (swung and drums.swings == 8)
        pace = tempo * other.meter.beat_ticks * other.rate / own.meter.beat_ticks
        return (
            divided == (other.meter.is_compound, other.is_triplet),
            not eighths or own.is_triplet or own.lines_per_beat <= EIGHTHS,
            not drums.clave or (rhythm.clave, own.line_ticks) == (drums.clave, line),
            str(other.meter) in (str(own.meter), *rhythm.also),
            pace <= rhythm.fastest,
        )

    chosen = max(instrument.rhythms, key=fit)
    played: PercussionPattern = paced(in_meter(chosen, drums.grid.meter), pulse)
    return played
