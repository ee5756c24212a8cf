"""Stems of guitar, keys, riff and melody sound where their players play, and nowhere else."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from groove.form.unroll import unroll
from groove.track import make
from tests.form.road_material import arranged
from tests.sound.sound_material import Wave, read_wave

RATE = 44_100
PLAYS = {"guitar": "A", "keys": "B", "riff": "B", "melody": "A"}
SECTIONS = [
    {"name": "A", "chords": "| C | F |", "melody": "| E4:4 | F4:4 |"},
    {"name": "B", "chords": "| Am | G |", "comping": "pads-organ", "riff": "horns",
     "instrument": {"bass": "synth bass 1"}},
]  # fmt: skip


@pytest.fixture(scope="module")
def stems(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Wave, Wave]]:
    """What each stem plays in the one section and in the other."""
    form = arranged(
        sections=SECTIONS, riffs=[{"name": "horns", "notes": "1 3 5 -"}], order=["A, B"],
        drums="eighths-rock", comping="strum-guitar", tempo=240, key="C", ending="written",
        count_in=0,
    )  # fmt: skip
    chart = unroll(form)
    paths = make(form, tmp_path_factory.mktemp("stems"), audio="wav", stems=True)
    bounds = [
        [round(RATE * chart.seconds(tick)) for tick in (played.start, played.end)]
        for played in chart.passes
    ]
    (a, b), (c, d) = bounds
    early, ringing = RATE // 10, RATE // 2  # what reaches over the seam
    found = {}
    for path in map(Path, paths):
        if path.suffix == ".wav":
            sound = read_wave(path)
            found[path.stem.rpartition("_")[2]] = sound[a : b - early], sound[c + ringing : d]
    return found


@pytest.mark.parametrize("name", PLAYS)
def test_a_stem_sounds_in_its_section_alone(stems: dict[str, tuple[Wave, Wave]], name: str) -> None:
    first, second = (float(np.abs(part).max()) for part in stems[name])
    here, elsewhere = (first, second) if PLAYS[name] == "A" else (second, first)
    assert here > 0.01
    assert elsewhere < 0.05 * here


def test_another_program_is_heard_as_another_sound(stems: dict[str, tuple[Wave, Wave]]) -> None:
    """The middle of a synthesiser's spectrum lies elsewhere than that of a picked bass."""

    def brightness(wave: Wave) -> float:
        mono = wave.mean(axis=1) if wave.ndim > 1 else wave
        energy = np.abs(np.fft.rfft(mono)) ** 2
        at = np.fft.rfftfreq(len(mono), 1 / RATE)
        return float((energy * at).sum() / energy.sum())

    picked, synth = (brightness(part) for part in stems["bass"])
    assert abs(np.log2(synth / picked)) > 0.15
