"""Makes other strokes of a recorded stroke of a drum or cymbal.

A drum or cymbal that is struck again at nearly the same place sounds the same modes, each a little
stronger or weaker, in the same bands. So a stroke goes through a filter whose gain differs at
random from mode to mode and is even over bands of a third of an octave, and which rings no longer
than the modes lie apart (it is of minimum phase). The same name and number give the same stroke.
"""

from __future__ import annotations

import zlib
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.bench.soundfont import measuring

Frames = NDArray[np.float64]

_TRIES = 2000
_RISE = 10 ** (2 / 20)
_TONE = 1.15
"""Factor by which the centre of a stroke's spectrum may lie higher or lower."""
_COMPARED = 0.3
"""Seconds of the strokes that are compared."""
_LASTING = 0.3
"""Share by which a stroke may last longer or shorter than the recorded one."""
_SIZE = 1 << 16
_BAND = 2 ** (1 / 6)
"""From the middle of a band of a third of an octave to its edges."""


@dataclass(frozen=True)
class Variety:
    """How far strokes of one piece are from one another.

    decibels: by which the modes differ, standard deviation. hertz: from one gain to the next.
    least, most: bounds of the correlation of any two strokes. even: dB by which a band of a third
    of an octave may be louder or softer than recorded, of those within 15 dB of the loudest.
    """

    decibels: float
    hertz: float
    least: float
    most: float
    even: float


def strokes(sound: Frames, rate: int, variety: Variety, name: str, count: int) -> list[Frames]:
    """`count` other strokes of the stroke `sound` (frames, 2), all unlike one another.

    They have its length, onset and level; their peaks are at most 2 dB above its own. Raises
    ValueError where `variety` asks for strokes that the filters do not give.
    """
    level, bands = measuring.level(sound, rate, _COMPARED), measuring.thirds(sound, rate)
    bright = measuring.brightness(sound, rate)
    heard = bands > bands.max() - 15
    lasting, peak = _lasting(sound), float(np.abs(sound).max()) * _RISE
    found = [sound]
    for number in range(_TRIES):
        made = varied(sound, rate, variety, name, number)
        made *= 10 ** ((level - measuring.level(made, rate, _COMPARED)) / 20)
        uneven = float(np.abs(measuring.thirds(made, rate) - bands)[heard].max())
        tone = measuring.brightness(made, rate) / bright
        lasts = abs(_lasting(made) - lasting) <= _LASTING * lasting
        if (
            uneven > variety.even
            or not lasts
            or not 1 / _TONE < tone < _TONE
            or np.abs(made).max() > peak
        ):
            continue
        likeness = [measuring.likeness(other, made, rate, _COMPARED) for other in found]
        if variety.least <= min(likeness) and max(likeness) <= variety.most:
            found.append(made)
        if len(found) > count:
            return found[1:]
    raise ValueError(f"{name}: {len(found) - 1} of {count} strokes in {_TRIES} tries")


def varied(sound: Frames, rate: int, variety: Variety, name: str, number: int) -> Frames:
    """The stroke `sound` (frames, 2) through filter `number`: of the same length and energy.

    Both sides go through one filter, so the stroke stays where it is.
    """
    random = np.random.default_rng([zlib.crc32(name.encode()), number])
    response = _response(rate, variety, random)
    size = 1 << (len(sound) + len(response) - 2).bit_length()
    spectrum = np.fft.rfft(sound, size, axis=0) * np.fft.rfft(response, size)[:, None]
    made = np.fft.irfft(spectrum, size, axis=0)[: len(sound)]
    end = min(rate // 200, len(made))
    made[len(made) - end :] *= np.linspace(1, 0, end)[:, None]
    made *= np.sqrt((sound**2).sum() / (made**2).sum())
    return made


def _lasting(sound: Frames) -> int:
    """Frames until nine tenths of the energy have sounded."""
    energy = np.cumsum((sound**2).sum(axis=1))
    return int(np.argmax(energy > 0.9 * energy[-1]))


def _response(rate: int, variety: Variety, random: np.random.Generator) -> Frames:
    """The filter's impulse response, of minimum phase (Oppenheim and Schafer, Discrete-Time Signal
    Processing: by the folded cepstrum; from memory)."""
    frequencies = np.fft.rfftfreq(_SIZE, 1 / rate)
    points = random.standard_normal(int(rate / 2 / variety.hertz) + 4)
    place = frequencies / variety.hertz + 1
    whole = place.astype(int)
    turn = (1 - np.cos(np.pi * (place - whole))) / 2
    gain = variety.decibels * ((1 - turn) * points[whole] + turn * points[whole + 1])
    gain -= _over_bands(gain, frequencies, variety.hertz)
    cepstrum = np.fft.irfft(gain * np.log(10) / 20)
    cepstrum[1 : _SIZE // 2] *= 2
    cepstrum[_SIZE // 2 + 1 :] = 0
    response = np.fft.irfft(np.exp(np.fft.rfft(cepstrum)))
    length = min(round(4 * rate / variety.hertz), _SIZE // 2)
    response = response[:length]
    half = length // 2
    response[half:] *= np.cos(np.pi / 2 * np.arange(length - half) / (length - half)) ** 2
    return response


def _over_bands(gain: Frames, frequencies: Frames, least: float) -> Frames:
    """The gain in dB of the power in the band around each frequency, never narrower than twice the
    hertz between the gains."""
    power = np.concatenate([[0.0], np.cumsum(10 ** (gain / 10))])
    step = frequencies[1]
    low = np.minimum(frequencies / _BAND, frequencies - least) / step
    high = np.maximum(frequencies * _BAND, frequencies + least) / step
    first = np.clip(low, 0, len(gain) - 1).astype(int)
    last = np.clip(high, first + 1, len(gain)).astype(int)
    mean: Frames = 10 * np.log10((power[last] - power[first]) / (last - first))
    return mean
