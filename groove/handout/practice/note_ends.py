"""The end of a recorded note: cut where it falls silent, or looped where it still rings.

Sound is of shape (frames,) or (sides, frames).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from groove.sound.samples import SAMPLE_RATE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Mono = NDArray[np.float32]
    Sound = NDArray[np.float32]

SLICE = SAMPLE_RATE // 10
"""Frames in which a level is measured."""
END_SECONDS = 2.0
"""The end of a note, in which its decay is measured; longer than the period of a slow tremolo."""
SUSTAINED = 0.8
"""A note whose end comes up to this share of its highest level before doesn't decay."""
MOST_SWELL_DB = 2.5
"""The depth of a held note's tremolo, at most; the equaliser of its part may deepen it."""
ATTACK_SLICES = 2
"""Slices in which a held note begins to sound."""
LOOP_SECONDS, CROSSFADE_SECONDS = (0.8, 1.2), 0.35
"""The shortest and the longest loop; the best match between them is taken."""
FADE_SECONDS = 0.012
AFTER, GRACE = 2205, 551
"""Frames of the loop that stand after its end again, and of a cut sound after its last peak."""

Loop = tuple[int, int, float]
"""First and last frame, and decay in nepers a second."""


def trimmed(sound: Sound, floor: float) -> Sound:
    """A sound up to the frame after which it stays below a floor, its end faded out."""
    import numpy as np

    frames = sound.shape[-1]
    loud = np.nonzero(np.abs(sound) > floor)[-1]
    end = min(frames, int(loud.max()) + 1 + GRACE)
    fade = min(end, int(FADE_SECONDS * SAMPLE_RATE))
    if end == frames:  # still ringing where the recording stops: a long fade
        fade = end // 4
    kept = sound[..., :end].copy()
    kept[..., end - fade :] *= np.linspace(1, 0, fade, dtype=np.float32)
    return kept


def looped(sound: Sound, *, sustained: bool = False) -> tuple[Sound, Loop]:
    """A note that rings on, with a loop at its end that neither decays nor clicks; and the loop.

    sustained: the instrument holds its notes, so that a level that falls
    at the end is a slow tremolo and no decay. The end is blended into the sound before the loop's
    first frame, at constant power.
    """
    import numpy as np

    decay = 0.0 if sustained else _decay(_middle(sound))
    if sustained:
        sound = sound * _levelling(_middle(sound))
    blend, end = int(CROSSFADE_SECONDS * SAMPLE_RATE), sound.shape[-1]
    start, alike = _loop_start(_middle(sound), blend)
    kept = sound.astype(float)
    later = (np.arange(start - blend, end) - start) / SAMPLE_RATE
    kept[..., start - blend :] *= np.exp(decay * later)
    rise = np.linspace(0, np.pi / 2, blend)
    power = np.sqrt(1 + 2 * alike * np.cos(rise) * np.sin(rise))
    kept[..., end - blend :] = (
        kept[..., end - blend :] * np.cos(rise) + kept[..., start - blend : start] * np.sin(rise)
    ) / power
    kept[..., :start] = sound[..., :start]
    # The beginning of the loop stands after it again: a transposed note reads no silence there.
    whole = np.concatenate([kept, kept[..., start : start + AFTER]], axis=-1).astype(np.float32)
    return whole, (start, end, round(decay, 4))


def _middle(sound: Sound) -> Mono:
    """The mean of all sides."""
    import numpy as np

    middle: Mono = np.atleast_2d(sound).mean(axis=0, dtype=np.float32)
    return middle


def _levelling(mono: Mono) -> Mono:
    """The gain that makes a held note's level, once it has begun, move by no more than
    `MOST_SWELL_DB`.

    A deeper tremolo becomes shallower; its rate and its shape stay.
    """
    import numpy as np

    count = len(mono) // SLICE
    levels = np.sqrt((mono[: count * SLICE].reshape(count, SLICE).astype(float) ** 2).mean(axis=1))
    levels = 20 * np.log10(levels + 1e-12)
    begun = levels[ATTACK_SLICES:]
    swell = float(begun.max() - begun.min())
    if swell <= MOST_SWELL_DB:
        return np.ones(len(mono), np.float32)
    middle = (begun.max() + begun.min()) / 2
    gains = (middle - levels) * (1 - MOST_SWELL_DB / swell)
    gains[:ATTACK_SLICES] = gains[ATTACK_SLICES]
    places = (np.arange(count) + 0.5) * SLICE
    curve = np.interp(np.arange(len(mono)), places, gains)
    return np.asarray(10 ** (curve / 20), dtype=np.float32)


def _decay(mono: Mono) -> float:
    """The rate at which a note decays at its end, in nepers a second; 0 for a sustained one.

    A tremolo raises and lowers the level of a sustained note, but its maxima stay the same.
    """
    import numpy as np

    slices = mono[: len(mono) // SLICE * SLICE].reshape(-1, SLICE).astype(float)
    levels = np.sqrt((slices**2).mean(axis=1)) + 1e-12
    count = round(END_SECONDS * SAMPLE_RATE / SLICE)
    if levels[-count:].max() >= SUSTAINED * levels[2:-count].max():
        return 0.0
    slope = np.polyfit(np.arange(count) * SLICE / SAMPLE_RATE, np.log(levels[-count:]), 1)[0]
    return max(0.0, float(-slope))


def _loop_start(mono: Mono, blend: int) -> tuple[int, float]:
    """The frame from which a loop to the end matches best, and how alike the two are, 0 to 1."""
    import numpy as np

    shortest, longest = (int(seconds * SAMPLE_RATE) for seconds in LOOP_SECONDS)
    end = len(mono)
    tail = mono[end - blend :].astype(float)
    before = mono[end - blend - longest : end - shortest].astype(float)
    size = 1 << (len(before) + blend).bit_length()
    products = np.fft.irfft(np.fft.rfft(before, size) * np.conj(np.fft.rfft(tail, size)), size)
    energy = np.concatenate([[0], np.cumsum(before**2)])
    places = longest - shortest + 1
    norms = np.sqrt((energy[blend : blend + places] - energy[:places]) * (tail**2).sum())
    likeness = products[:places] / np.maximum(norms, 1e-12)
    best = int(np.argmax(likeness))
    return end - longest + best, float(max(0.0, likeness[best]))
