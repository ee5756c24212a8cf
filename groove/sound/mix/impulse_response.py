"""The impulse response of a room, made from its measures.

Early reflections are those of a box with plane walls: images of the band, mirrored in them (Allen
and Berkley, "Image method for efficiently simulating small-room acoustics", J. Acoust. Soc. Am.
65(4), 1979). How much a wall leaves of a sound follows from the decay, by Eyring's formula (1930).
Once the reflections are too dense to be told apart, at about the root of the volume in cubic metres
in milliseconds (Polack 1988), noise goes on for them that decays as the room does (Moorer, "About
this reverberation business", Computer Music Journal 3(2), 1979), in each frequency at its own rate
(Jot, "An analysis/synthesis approach to real-time artificial reverberation", ICASSP 1992). Its
level is that of the images there. All of these from memory.
"""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from groove.sound.mix.equaliser import HIGH_PASS, HIGH_SHELF, Band, response

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from groove.sound.mix.room import Room
    from groove.sound.samples import Samples

    Line = NDArray[np.float64]
    Spectrum = NDArray[np.complex128]

SOUND = 343.0
"""Metres a second, in air of 20 degrees."""

SOONEST = 0.004
"""Seconds after the direct sound: sooner reflections would colour it like a comb, and are left
out."""

MIXING = 0.02
"""The soonest at which noise takes over, in seconds."""

SPREAD, AIM, OPEN = 0.5, math.radians(60), 0.6
"""Two microphones stand at the listener's: their distance in metres, how far each is turned from
the band to its side, and what it takes up from behind and before as a whole, out of 1."""

BANDS = (125.0, 1000.0, 8000.0)
"""The frequencies in Hz of the three decays; in between and beyond them they go on evenly."""

RETURN = Band(HIGH_PASS, 180.0), Band(HIGH_SHELF, 5000.0, -5.0)
"""Bass and bass drum are kept out of the room, and its treble is softer than that of the players:
walls and air take most of it (common practice)."""

FALL = math.log(1000)
"""60 dB."""

WINDOW, STEP = 1024, 256
"""Frames of each spectrum of the noise, and from one to the next."""

SEED = 1979


@cache
def impulse_response(room: Room, rate: int) -> Samples:
    """The sound that a room adds to a full sample in the middle, from that sample on: (frames, 2).

    The direct sound is not in it. A part has its own share of it, its MIDI controller 91 out of
    127. rate: frames per second. The same room gives the same samples, which cannot be changed.
    """
    frames = math.ceil(rate * max(room.decay.low, room.decay.mid, room.decay.high))
    frequencies = np.fft.rfftfreq(2 * frames, 1 / rate)
    begin = rate * max(MIXING, math.sqrt(math.prod(room.metres)) / 1000)
    faded = np.clip(np.arange(frames) / begin - 1, 0, 1) * np.pi / 2
    sound = _early(room, rate, frames) * np.cos(faded) + _late(room, rate, frames) * np.sin(faded)
    z = np.exp(-2j * np.pi * frequencies / rate)
    spectra = np.fft.rfft(sound, 2 * frames) * response(RETURN, z, rate)
    sound = np.fft.irfft(spectra)[:, :frames]
    sound *= np.clip(np.arange(frames, 0, -1) / (0.1 * frames), 0, 1)  # ends without a step
    middle, side = sound.sum(axis=0) / 2, (sound[0] - sound[1]) / 2
    sound = np.stack([middle + room.width * side, middle - room.width * side])
    sound *= 10 ** (room.level / 20) / np.sqrt(np.square(sound).sum(axis=1, keepdims=True))
    samples = np.ascontiguousarray(sound.T, dtype=np.float32)
    samples.flags.writeable = False
    return samples


def _decay(room: Room, frequencies: NDArray[np.floating]) -> Line:
    """The seconds of decay by 60 dB at each frequency in Hz."""
    places = np.log(np.maximum(frequencies, 20.0))
    seconds = np.log([room.decay.low, room.decay.mid, room.decay.high])
    decay: Line = np.exp(np.interp(places, np.log(BANDS), seconds))
    return decay


def _wall(room: Room, frequencies: NDArray[np.floating]) -> Line:
    """The share of its pressure that a sound keeps at a wall."""
    volume = math.prod(room.metres)
    length, width, height = room.metres
    surface = 2 * (length * width + length * height + width * height)
    # Eyring: decay = 24 ln 10 / c * volume / (-surface * ln(energy kept at a wall))
    kept = -24 * math.log(10) / SOUND * volume / (surface * _decay(room, frequencies))
    share: Line = np.exp(kept / 2)
    return share


def _early(room: Room, rate: int, frames: int) -> Line:
    """The reflections that can be told apart, left and right: (2, frames); the direct sound has
    the level 1 and is left out."""
    band, listener = np.array(room.band), np.array(room.listener)
    towards = listener - band
    direct = math.dist(band, listener)
    latest = 2 * max(MIXING, math.sqrt(math.prod(room.metres)) / 1000)
    places, walls = _images(room, direct + SOUND * latest)
    across = np.array([-towards[1], towards[0], 0.0]) / max(math.hypot(*towards[:2]), 1e-3)
    most = int(walls.max())
    trains = np.zeros((2, most + 1, frames))
    for side, sign in enumerate((-1, 1)):
        paths = places - (listener + sign * across * SPREAD / 2)
        distances = np.linalg.norm(paths, axis=1)
        before = math.atan2(-towards[1], -towards[0]) + sign * AIM
        facing = (paths[:, 0] * math.cos(before) + paths[:, 1] * math.sin(before)) / distances
        late = (distances - direct) / SOUND
        heard = (late >= SOONEST) & (walls > 0) & (late < frames / rate)
        loud = direct / distances * (OPEN + (1 - OPEN) * facing)
        at = np.round(late[heard] * rate).astype(int)
        keep = at < frames
        np.add.at(trains[side], (walls[heard][keep], at[keep]), loud[heard][keep])
    size = 2 * frames
    once = _minimum_phase(_wall(room, np.fft.rfftfreq(size, 1 / rate)))
    whole = np.zeros((2, size // 2 + 1), dtype=np.complex128)
    for train in np.moveaxis(trains, 1, 0)[::-1]:
        whole = whole * once + np.fft.rfft(train, size)
    return np.fft.irfft(whole, size)[:, :frames]


def _images(room: Room, reach: float) -> tuple[Line, NDArray[np.int_]]:
    """The places of the band's images, up to a distance in metres from the listener, and the number
    of walls in which each is mirrored."""
    axes = []
    for size, place in zip(room.metres, room.band, strict=True):
        count = math.ceil(reach / (2 * size)) + 1
        numbers = np.arange(-count, count + 1)
        along = np.concatenate([2 * numbers * size + place, 2 * numbers * size - place])
        axes.append((along, np.concatenate([2 * np.abs(numbers), np.abs(2 * numbers - 1)])))
    places = np.stack(np.meshgrid(*(axis[0] for axis in axes), indexing="ij"), axis=-1)
    walls = sum(np.meshgrid(*(axis[1] for axis in axes), indexing="ij"))
    near = np.linalg.norm(places - np.array(room.listener), axis=-1) <= reach
    return places[near], np.asarray(walls)[near]


def _minimum_phase(gains: Line) -> Spectrum:
    """The response with these gains that answers soonest, by the folded cepstrum (Oppenheim and
    Schafer, from memory)."""
    size = 2 * (len(gains) - 1)
    cepstrum = np.fft.irfft(np.log(gains), size)
    cepstrum[1 : size // 2] *= 2
    cepstrum[size // 2 + 1 :] = 0
    return np.exp(np.fft.rfft(cepstrum))


def _late(room: Room, rate: int, frames: int) -> Line:
    """Noise that decays as the room does, as loud as its images, left and right: (2, frames)."""
    count = -(-frames // STEP) + WINDOW // STEP
    noise = np.random.default_rng(SEED).standard_normal((2, (count - 1) * STEP + WINDOW))
    window = np.sqrt(np.hanning(WINDOW + 1)[:-1] / 2)  # their squares add up to one
    rows = np.lib.stride_tricks.sliding_window_view(noise, WINDOW, axis=1)[:, ::STEP] * window
    decay = _decay(room, np.fft.rfftfreq(WINDOW, 1 / rate))
    direct = math.dist(room.band, room.listener)
    seconds = (np.arange(count) * STEP - WINDOW // 2) / rate + direct / SOUND
    spectra = np.fft.rfft(rows) * np.exp(-FALL * np.maximum(seconds, 0)[:, np.newaxis] / decay)
    rows = np.fft.irfft(spectra, WINDOW) * window
    whole = np.zeros_like(noise)
    for number in range(count):
        whole[:, number * STEP : number * STEP + WINDOW] += rows[:, number]
    taken = OPEN**2 + (1 - OPEN) ** 2 / 3
    energy = 4 * math.pi * SOUND * direct**2 / math.prod(room.metres) * taken / rate
    return whole[:, WINDOW // 2 :][:, :frames] * math.sqrt(energy)
