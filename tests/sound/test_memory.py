"""An hour of audio fits into the memory that is promised; less memory ends in one line."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from groove.errors import GrooveError
from groove.sound.files.writers import Wav
from tests.sound.sound_material import render_to, run_python

if TYPE_CHECKING:
    import mido

    from groove.sound.synth.soundfonts import Fonts

LIMIT_MB = 400
"""Beside the size of the soundfont."""


def measured(minutes: int, fonts: Fonts, *more: str) -> dict[str, float]:
    """The megabytes of a process that makes mix and stems of a track of some minutes, by what is
    said of them."""
    command = [sys.executable, "-m", "tests.bench.audio_memory", str(minutes), str(fonts.main.path)]
    done = subprocess.run(
        [*command, *more], cwd=Path(__file__).parents[2], capture_output=True, text=True, check=True
    )
    if more:
        return {stage: float(most) for stage, most in re.findall(r"(\w+) ([\d.]+) MB", done.stdout)}
    (most,) = re.findall(r"(\d+) MB at most", done.stdout)
    return {"at most": float(most)}


@pytest.mark.slow
def test_at_the_rate_at_which_it_grows_the_memory_for_an_hour_is_within_the_limit(
    fonts: Fonts,
) -> None:
    """Within three minutes all fixed sizes are reached. From then on it grows by what Python and
    its arrays hold for each minute more, in the stage where that is most: 2.2 MB in mastering. That
    is counted, as it is the same from run to run, while what the system gives a process is not: on
    a busy machine it differs by some megabytes, which an hour would have many times. 221 MB were
    measured for three minutes, which makes 346 for 60 at most, for tracks of more than seven keep
    their samples in a file; an hour itself is measured by
    ``python -m tests.bench.audio_memory 60``."""
    most = measured(3, fonts)["at most"]
    short, long = measured(3, fonts, "traced"), measured(4, fonts, "traced")
    rates = {stage: long[stage] - short[stage] for stage in long}
    assert max(rates.values()) > 1  # the peaks of three parts and of their mix, at least
    limit = LIMIT_MB + fonts.main.path.stat().st_size / 1e6
    assert most + (60 - 3) * max(rates.values()) < limit, rates


MAKE_IN_LITTLE_MEMORY = """
import os, resource, sys, groove
os.environ["OPENBLAS_NUM_THREADS"] = "1"
resource.setrlimit(resource.RLIMIT_AS, (MEGABYTES * 10**6, -1))
try:
    groove.make("one-chord-vamp", FOLDER, audio="wav,mp3,flac,ogg")
except groove.GrooveError as error:
    print(error)
print(os.listdir(FOLDER))
"""


@pytest.mark.parametrize("megabytes", [80, 200, 300])
def test_too_little_memory_ends_in_one_line_and_no_file(megabytes: int, tmp_path: Path) -> None:
    code = MAKE_IN_LITTLE_MEMORY.replace("MEGABYTES", str(megabytes))
    done = run_python(code.replace("FOLDER", repr(str(tmp_path))))
    assert (done.returncode, done.stderr) == (0, "")
    said, left = done.stdout.splitlines()
    assert said.startswith("not enough memory")
    assert left == "[]"


def test_memory_that_runs_out_on_the_way_ends_in_one_line_and_no_file(
    short_take: mido.MidiFile,
    fonts: Fonts,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refuse(*_arguments: object) -> None:
        raise MemoryError

    monkeypatch.setattr(Wav, "write", refuse)
    with pytest.raises(GrooveError, match="not enough memory"):
        render_to(tmp_path / "x.wav", short_take, fonts)
    assert list(tmp_path.iterdir()) == []
