"""The fret at which a guitarist puts the capo, so that open chords serve the keys of a track."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from groove.band.guitar.grips import Wanted, grips
from groove.band.guitar.shape_library import group
from groove.band.part import GUITAR, pattern_of
from groove.form.chart import Chart
from groove.rhythm.patterns import CompingPattern
from groove.theory.quality import Quality

HIGHEST = 5  # the fret above which a guitar sounds like another instrument
STOPPED = 0.7  # what a chord of the first position without an open string is worth, as F
HIGHER = 0.02  # the share of the time that a fret less is worth


def capo_of(chart: Chart, name: str) -> int:
    """The fret of the capo, 0 for none: where open chords are held for most of the time.

    name: of the guitarist's part. None is used where no pattern of the part asks for it.
    """
    times: Counter[tuple[int, Quality, Wanted]] = Counter()
    for bar in chart.bars:
        pattern = pattern_of(name, bar)
        if not isinstance(pattern, CompingPattern) or pattern.voicing != GUITAR:
            continue
        if pattern.capo:
            fixed = tuple(name for name in pattern.shapes if not group(name).movable)
            wanted = Wanted(fixed, *pattern.register)
            for slot in bar.slots:
                times[slot.chord.root.pitch_class, slot.chord.quality, wanted] += slot.length
    whole = sum(times.values())

    def worth(capo: int) -> float:
        held = 0.0
        for (root, quality, wanted), length in times.items():
            found = grips(root, quality, replace(wanted, capo=capo), False)
            rings = any(capo in grip.voicing.frets for grip in found)
            held += length * (1 if rings else STOPPED if found else 0)
        return held / whole - HIGHER * capo

    return max(range(HIGHEST + 1), key=worth) if whole else 0
