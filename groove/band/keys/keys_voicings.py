"""The voicings of a set of tones under one hand on the keys: within a tenth, clear below."""

from __future__ import annotations

from itertools import pairwise

from groove.band.comping.voicing import Voicing, VoicingRules

TENTH = 16  # semitones
LOWEST_CLOSE = 52  # below E3 ...
LEAST_LOW_INTERVAL = 5  # ... neighbouring voices stand at least so many semitones apart


def on_keys(tones: tuple[int, ...], rules: VoicingRules) -> list[Voicing]:
    """Close and dropped positions in one hand, every inversion in the register."""
    found = set()
    for lowest in range(rules.low, rules.high + 1):
        if lowest % 12 not in tones:
            continue
        close = sorted(lowest + (tone - lowest) % 12 for tone in tones)
        shapes = [[*close, lowest + 12]] if rules.octave else [close]
        if len(close) > 3 and not rules.octave:
            shapes.append(sorted([*close[:-2], close[-2] - 12, close[-1]]))
        for shape in shapes:
            if rules.low <= shape[0] and shape[-1] <= rules.high and keys_can_play(shape):
                found.add(tuple(shape))
    return [Voicing(shape) for shape in sorted(found)]


def keys_can_play(pitches: list[int]) -> bool:
    """Within a tenth, low intervals wide, no semitone on top."""
    gaps = [high - low for low, high in pairwise(pitches)]
    wide = all(
        gap >= LEAST_LOW_INTERVAL
        for low, gap in zip(pitches, gaps, strict=False)
        if low < LOWEST_CLOSE
    )
    return pitches[-1] - pitches[0] <= TENTH and wide and gaps[-1:] != [1]
