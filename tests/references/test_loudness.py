"""Loudness and true peak against the standards' own signals and two independent meters."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pyloudnorm
import pytest
import soundfile

import groove
from groove.sound.mix.levels import Level, level_of
from groove.sound.mix.loudness import integrated, loudness_range
from groove.sound.report import Report
from tests.band.band_material import EVERY
from tests.sound.sound_material import Sound

RATE = 44_100
LOSSY = ("mp3", "ogg")
OVERSHOOTING = ("night-bus-home", "seat-by-the-stairs")
"""The demo's forms whose encoded peaks go furthest beyond those that went in."""
DEMO = [
    path
    for path in sorted((Path(__file__).parents[2] / "demo").glob("*.toml"))
    if EVERY or path.stem in ("ferry-landing", *OVERSHOOTING)
]
"""Three of the demo's five forms, two choruses of each; all and as a whole where every pattern is
tried."""


def sine(hertz: float, level_db: float, seconds: float, channels: int = 2) -> np.ndarray:
    frames = np.arange(round(seconds * RATE))
    wave = 10 ** (level_db / 20) * np.sin(2 * np.pi * hertz / RATE * frames)
    sound = np.zeros((len(frames), 2), dtype=np.float32)
    sound[:, :channels] = wave[:, np.newaxis]
    return sound


def level(sound: np.ndarray) -> Level:
    return level_of(Sound(sound), len(sound))


def loudness(sound: np.ndarray) -> float:
    return integrated(level(sound).energies)


def test_a_full_sine_of_997_hz_on_one_side_is_3_below_zero() -> None:
    """ITU-R BS.1770-4, annex 1: -3.01 LKFS (from memory)."""
    assert loudness(sine(997, 0, 10, channels=1)) == pytest.approx(-3.01, abs=0.02)


@pytest.mark.parametrize("level", [-23, -33])
def test_a_sine_on_both_sides_has_the_loudness_of_its_level(level: float) -> None:
    """EBU Tech 3341, cases 1 and 2: within 0.1 LU (from memory)."""
    assert loudness(sine(1000, level, 20)) == pytest.approx(level, abs=0.1)


def test_what_is_far_quieter_does_not_count() -> None:
    """EBU Tech 3341, case 3: -36, -23, -36 dBFS for 10, 60, 10 s give -23 LUFS (from memory)."""
    sound = np.concatenate([sine(1000, -36, 10), sine(1000, -23, 60), sine(1000, -36, 10)])
    assert loudness(sound) == pytest.approx(-23, abs=0.1)


@pytest.mark.parametrize(
    ("levels", "wanted"), [((-20, -30), 10), ((-20, -15), 5), ((-40, -20), 20)]
)
def test_the_loudness_range_of_two_levels_is_between_them(
    levels: tuple[float, float], wanted: float
) -> None:
    """EBU Tech 3342, cases 1 to 3: 20 s of each, within 1 LU (from memory)."""
    sound = np.concatenate([sine(1000, level, 20) for level in levels])
    assert loudness_range(level(sound).energies) == pytest.approx(wanted, abs=1)


@pytest.mark.parametrize("seed", range(3))
def test_noise_of_changing_level_is_as_loud_as_pyloudnorm_says(seed: int) -> None:
    """Within 0.1 LU; pyloudnorm's high-pass is 0.04 dB lower than the standard's."""
    dice = np.random.default_rng(seed)
    swell = np.repeat(dice.random(20), RATE // 2)[:, np.newaxis]
    sound = (0.3 * swell * dice.standard_normal((10 * RATE, 2))).astype(np.float32)
    heard = pyloudnorm.Meter(RATE).integrated_loudness(sound.astype(float))
    assert loudness(sound) == pytest.approx(heard, abs=0.1)


def test_silence_has_no_loudness() -> None:
    assert loudness(np.zeros((RATE, 2), dtype=np.float32)) == -np.inf


@dataclass(frozen=True)
class Demo:
    """The mix of a demo form as it is posted, a file of it in each format, and our own report."""

    path: Path
    lossy: tuple[Path, ...]
    report: Report


@pytest.fixture(scope="module", params=DEMO, ids=lambda path: path.stem)
def demo(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Demo:
    reports: list[Report] = []
    folder = tmp_path_factory.mktemp("demo")
    formats = ["wav", *(LOSSY if request.param.stem in OVERSHOOTING else ())]
    form = groove.read_form(request.param, **({} if EVERY else {"choruses": 2}))
    _, path, *lossy = groove.make(form, folder, audio=formats, report=reports.append)
    return Demo(path, tuple(lossy), reports[0])


@pytest.mark.slow
def test_all_limiters_on_a_demo_mix_take_less_than_3_db_at_the_worst_moment(demo: Demo) -> None:
    """2.2 to 2.6 was measured with Fluid R3 GM, 2.5 to 2.9 with TimGM6mb."""
    assert demo.report.together < 3


@pytest.mark.slow
def test_compressors_on_a_demo_mix_draw_strokes_in_by_no_more_than_8_db(demo: Demo) -> None:
    """4.9 to 6.4 was measured with Fluid R3 GM, 5.0 to 7.2 with TimGM6mb."""
    assert max(demo.report.compressors.values()) < 8


@pytest.mark.slow
def test_the_report_s_loudness_is_that_of_pyloudnorm(demo: Demo) -> None:
    sound, rate = soundfile.read(demo.path)
    heard = pyloudnorm.Meter(rate).integrated_loudness(sound)
    assert demo.report.levels
    assert demo.report.levels.loudness == pytest.approx(heard, abs=0.1)


@pytest.mark.slow
def test_a_demo_mix_has_its_loudness_by_pyloudnorm(demo: Demo) -> None:
    sound, rate = soundfile.read(demo.path)
    assert pyloudnorm.Meter(rate).integrated_loudness(sound) == pytest.approx(-14, abs=0.5)


@pytest.mark.slow
@pytest.mark.skipif(not shutil.which("ffmpeg"), reason="ffmpeg is not installed")
def test_a_demo_mix_has_its_loudness_and_true_peak_by_ffmpeg(demo: Demo) -> None:
    heard, peak = by_ffmpeg(demo.path)
    assert heard == pytest.approx(-14, abs=0.5)
    assert peak <= -1.0


@pytest.mark.slow
@pytest.mark.skipif(not shutil.which("ffmpeg"), reason="ffmpeg is not installed")
def test_a_lossy_mix_has_its_loudness_and_true_peak_by_ffmpeg(demo: Demo) -> None:
    for path in demo.lossy:
        heard, peak = by_ffmpeg(path)
        assert heard == pytest.approx(-14, abs=0.5), path.suffix
        assert peak <= -1.0, path.suffix


def by_ffmpeg(path: Path) -> tuple[float, float]:
    """Integrated loudness in LUFS and true peak in dBTP."""
    measured = subprocess.run(
        ["ffmpeg", "-nostats", "-i", path, "-af", "ebur128=peak=true", "-f", "null", "-"],
        capture_output=True,
        text=True,
        check=True,
    ).stderr
    summary = measured[measured.rindex("Summary:") :]
    heard, peak = (
        float(re.findall(rf"{name}:\s+(-?[\d.]+)", summary)[0]) for name in ("I", "Peak")
    )
    return heard, peak
