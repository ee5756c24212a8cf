"""Makes samples ready for compression: no more frames than sound, loops that are long enough."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tests.bench.soundfont.font import (
    LOOP_END_OFFSETS,
    LOOP_START_OFFSETS,
    LOOPED,
    SAMPLE_MODES,
    Preset,
    Sample,
    Zone,
    instruments_of,
    samples_of,
    signed,
)
from tests.bench.soundfont.sides import attenuate

FULL_SCALE = 32767
SHORTEST_LOOP = 6144
"""Frames; compression spoils the edges of a stream, and of a loop of 300 frames all is edge."""

AFTER_LOOP = 1024
"""Frames of the loop's own beginning after its end: the end is not an edge then, and the loop may
be shifted to where it closes best."""

SILENCE = 10 ** (-66 / 20)
"""Of a sample's peak: what stays below this to its end is cut off, faded out over FADE seconds."""

FADE = 0.01


def trim(presets: Sequence[Preset]) -> None:
    """Shorten or lengthen every sample that presets play, in place. No instrument of theirs has a
    global zone.

    A sample that loops ends with AFTER_LOOP frames after its loop, and its loop is repeated to
    SHORTEST_LOOP frames. Others end where only silence is left.
    """
    own_loops(presets)
    looping = looped(presets)
    for sample in samples_of(list(presets)):
        if sample in looping:
            repeat_loop(sample)
        else:
            end_at_silence(sample)


def fill(presets: Sequence[Preset]) -> None:
    """Bring every sample to full scale, and let the zones that play it take off as much."""
    gains = {}
    for sample in samples_of(list(presets)):
        gain = FULL_SCALE / max(_peak(sample), 1)
        sample.frames = np.rint(sample.frames.astype(float) * gain).astype(np.int16)
        gains[sample] = 20 * np.log10(gain)
    for instrument in instruments_of(list(presets)):
        for zone in instrument.zones:
            if isinstance(zone.target, Sample):
                attenuate(zone, gains[zone.target])


def own_loops(presets: Sequence[Preset]) -> None:
    """Give zones that loop otherwise than their sample a sample of their own."""
    for instrument in instruments_of(list(presets)):
        for zone in instrument.zones:
            starts, ends = (_shift(zone, names) for names in (LOOP_START_OFFSETS, LOOP_END_OFFSETS))
            if isinstance(zone.target, Sample) and (starts or ends):
                start, end = zone.target.loop
                zone.target = replace(zone.target, loop=(start + starts, end + ends))


def looped(presets: Sequence[Preset]) -> set[Sample]:
    """The samples that some zone plays in a loop."""
    return {
        zone.target
        for instrument in instruments_of(list(presets))
        for zone in instrument.zones
        if isinstance(zone.target, Sample) and zone.generators.get(SAMPLE_MODES, 0) & LOOPED
    }


def repeat_loop(sample: Sample) -> None:
    """End a sample after its loop, and make the loop long enough by whole turns."""
    start, end = sample.loop
    turn = sample.frames[start:end]
    turns = -(-SHORTEST_LOOP // len(turn))
    after = np.resize(turn, AFTER_LOOP)
    sample.frames = np.concatenate((sample.frames[:start], *[turn] * turns, after))
    sample.loop = (start, start + turns * len(turn))
    sample.turn = len(turn)


def end_at_silence(sample: Sample) -> None:
    """End a sample that does not loop where it falls below SILENCE for good."""
    loud = np.flatnonzero(np.abs(sample.frames.astype(float)) > SILENCE * _peak(sample))
    fade = round(FADE * sample.rate)
    end = min(int(loud[-1]) + 1 + fade, len(sample.frames)) if len(loud) else fade
    frames = sample.frames[:end].astype(float)
    if end < len(sample.frames):
        frames[-fade:] *= np.linspace(1, 0, fade)
    sample.frames = np.rint(frames).astype(np.int16)
    sample.loop = (0, end)


def _shift(zone: Zone, names: dict[int, int]) -> int:
    """By how many frames a zone moves a point of its loop; it does so no longer."""
    return sum(signed(zone.generators.pop(name, 0)) * unit for name, unit in names.items())


def _peak(sample: Sample) -> float:
    return float(np.abs(sample.frames.astype(float)).max(initial=0))
