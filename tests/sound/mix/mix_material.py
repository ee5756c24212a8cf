"""Measures of a mix part by part: loudness, side, correlation, share of the middle register."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pyloudnorm
import soundfile
from numpy.typing import NDArray

import groove
from groove.band.part import PLAYERS
from groove.rhythm.patterns import drum_pattern

RATE = 44_100
PARTS = ("drums", "bass", "comping")
LOW, HIGH = 300.0, 3000.0

Sound = NDArray[np.float64]


@dataclass(frozen=True)
class Heard:
    """The parts of one take, each of shape (frames, 2), as loud as they are in the mix."""

    parts: dict[str, Sound]

    @property
    def mix(self) -> Sound:
        return np.sum(list(self.parts.values()), axis=0)

    def loudness(self, part: str | None = None) -> float:
        """LUFS of a part, or of the mix."""
        sound = self.mix if part is None else self.parts[part]
        return float(pyloudnorm.Meter(RATE).integrated_loudness(sound))

    @property
    def correlation(self) -> float:
        """Of left and right in the mix, -1 to 1."""
        left, right = self.mix.T
        return float(left @ right / np.sqrt((left @ left) * (right @ right)))

    def lost_in_mono(self, part: str) -> float:
        """dB from the mean power of the two channels to that of (L + R) / 2, where 0 is a sound
        in the middle and 3 one that is on one side only or differs wholly between the sides."""
        sound = self.parts[part]
        return float(10 * np.log10(np.mean(sound**2) / np.mean(sound.mean(axis=1) ** 2)))

    @property
    def midrange_share(self) -> float:
        """The comping's energy as a share of all parts' between 300 Hz and 3 kHz, in dB."""
        energy = {name: _band_energy(sound) for name, sound in self.parts.items()}
        return float(10 * np.log10(energy["comping"] / sum(energy.values())))

    def side(self, part: str) -> float:
        """The dB by which a part is louder on the right than on the left."""
        left, right = np.mean(self.parts[part] ** 2, axis=0)
        return float(10 * np.log10(right / left))

    @property
    def lean(self) -> float:
        """The dB by which the mix is louder on the right than on the left, 400 Hz to 3 kHz."""
        power, size = _power(self.mix)
        low, high = (round(hertz * size / RATE) for hertz in (400, 3000))
        left, right = power[low:high].sum(axis=0)
        return float(10 * np.log10(right / left))

    @property
    def peak_to_loudness(self) -> float:
        """dB from the loudness of the mix to its highest true peak, four points to a frame."""
        return _true_peak_db(self.mix) - self.loudness()


def usual_form(drums: str, choruses: int = 1, percussion: str = "none") -> groove.Form:
    """Twelve bars with a drum pattern at the middle of its tempi, with its bass and comping."""
    wanted = drum_pattern(drums)
    low, high = wanted.tempo
    return groove.read_form(
        "twelve-bar", drums=drums, meter=str(wanted.grid.meter), feel=wanted.grid.feel,
        tempo=(low + high) // 2, choruses=choruses, seed=1, percussion=percussion,
    )  # fmt: skip


def hear(form: groove.Form, soundfont: Path) -> Heard:
    """The parts of a form as its stems have them."""
    with tempfile.TemporaryDirectory() as folder:
        groove.make(form, folder, audio="wav", stems=True, bits=24, soundfont=soundfont)
        return Heard(
            {
                part: soundfile.read(path)[0]
                for part in PLAYERS
                for path in Path(folder).glob(f"*_{part}.wav")
            }
        )


def _band_energy(sound: Sound) -> float:
    """Energy between 300 Hz and 3 kHz, both channels added."""
    spectrum, size = _power(sound)
    low, high = (round(hertz * size / RATE) for hertz in (LOW, HIGH))
    return float(spectrum[low:high].sum())


def _power(sound: Sound) -> tuple[Sound, int]:
    """The power of each frequency, and the frames it was measured over: silence fills the sound up
    to a length that is quick to transform."""
    from scipy.fft import next_fast_len

    size = next_fast_len(len(sound), real=True)
    return np.abs(np.fft.rfft(sound, size, axis=0)) ** 2, size


def _true_peak_db(sound: Sound) -> float:
    """The highest value of four points to a frame around every sample near the highest, in dB
    (ITU-R BS.1770-4, annex 2)."""
    from scipy.signal import resample_poly

    peaks = np.abs(sound).max(axis=1)
    highest = float(peaks.max())
    near = np.flatnonzero(peaks > 0.7 * highest)
    for frame in near[np.argsort(peaks[near])[-200:]]:
        around = sound[max(0, frame - 32) : frame + 32]
        highest = max(highest, float(np.abs(resample_poly(around, 4, 1, axis=0)).max()))
    return 20 * float(np.log10(highest))
