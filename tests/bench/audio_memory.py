"""Measure how much time and memory the rendering of long tracks takes.

Run as ``python -m tests.bench.audio_memory [MINUTES] [SOUNDFONT] [traced]`` from the checkout. It
renders a three-part track of that many minutes (60), its mix and stems, into a temporary folder and
says how long that took, for a minute too, and how far the memory of the process rose above what it
was before the first note. The limit is 400 MB above the size of the soundfont.

``traced``: it says what Python and its arrays hold at most in each stage of the work. That is the
same from one run to the next but for some hundred kilobytes, whatever else the machine does.
"""

from __future__ import annotations

import os
import re
import resource
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from typing import Any

import mido

from groove.band.part import BASS, COMPING, DRUMS
from groove.rhythm.patterns import drum_pattern
from groove.sound import production
from groove.sound.audio import render
from groove.sound.job import AudioJob
from groove.sound.mix.mix_settings import mix_settings_of
from groove.sound.mixes import audio_files
from groove.sound.options import wanted
from groove.sound.synth.scores import parts_of
from groove.sound.synth.soundfonts import Fonts, find_fonts

BEATS_A_MINUTE = 120
TICKS_A_BEAT = 480
STAGES = ("record", "channels", "master", "run_parallel")
"""The functions of `production` that go over a whole track: playing, mixing, mastering, writing."""


def band(minutes: float) -> mido.MidiFile:
    """Drums in eighths, a bass note on every beat and a three-note chord on every bar, at 120."""
    midi = mido.MidiFile(ticks_per_beat=TICKS_A_BEAT)
    drums, bass, comping = map(midi.add_track, (DRUMS, BASS, COMPING))
    bass.append(mido.Message("program_change", channel=0, program=33))
    comping.append(mido.Message("program_change", channel=1, program=4))
    for beat in range(round(minutes * BEATS_A_MINUTE)):
        stroke(drums, 9, (36 if beat % 2 == 0 else 38, 42), 100, TICKS_A_BEAT // 2)
        stroke(drums, 9, (42,), 70, TICKS_A_BEAT // 2)
        stroke(bass, 0, (40 + beat * 5 % 12,), 95, TICKS_A_BEAT)
        if beat % 4 == 0:
            stroke(comping, 1, (59, 65, 69), 75, 4 * TICKS_A_BEAT)
    return midi


def stroke(
    track: mido.MidiTrack, channel: int, notes: tuple[int, ...], velocity: int, ticks: int
) -> None:
    """Notes struck together that sound for `ticks`, after which the next ones may follow."""
    for note in notes:
        track.append(mido.Message("note_on", channel=channel, note=note, velocity=velocity))
    for which, note in enumerate(notes):
        time_ = ticks if which == 0 else 0
        track.append(mido.Message("note_off", channel=channel, note=note, time=time_))


def resident_megabytes() -> float:
    """The most memory that this process has held so far.

    Linux is asked for the peak since the program began; the other figure, kilobytes there and
    bytes on macOS, begins with that of the process that started it.
    """
    status = Path("/proc/self/status")
    if status.exists():
        (peak,) = re.findall(r"VmHWM:\s+(\d+) kB", status.read_text())
        return int(peak) / 1e3
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / (1e6 if sys.platform == "darwin" else 1e3)


def rendered(minutes: float, fonts: Fonts) -> float:
    """The seconds of audio of a track that is rendered and thrown away."""
    midi = band(minutes)
    with tempfile.TemporaryDirectory() as folder:
        asked = wanted("wav", {"stems": True})
        files = audio_files(Path(folder) / "track", parts_of(midi), asked)
        settings = mix_settings_of(drum_pattern("rumba"))
        return render(AudioJob(midi, fonts, files, asked, settings)).seconds


def traced(minutes: float, fonts: Fonts) -> dict[str, float]:
    """The most megabytes that Python holds in each of the stages of a track."""
    most: dict[str, float] = {}

    def watched(stage: str, work: Callable[..., Any]) -> Callable[..., Any]:
        def watch(*arguments: Any) -> Any:
            tracemalloc.reset_peak()
            done = work(*arguments)
            most[stage] = tracemalloc.get_traced_memory()[1] / 1e6
            return done

        return watch

    works = {stage: getattr(production, stage) for stage in STAGES}
    tracemalloc.start()
    try:
        for stage, work in works.items():
            setattr(production, stage, watched(stage, work))
        rendered(minutes, fonts)
    finally:
        tracemalloc.stop()
        for stage, work in works.items():
            setattr(production, stage, work)
    return most


def main() -> None:
    minutes = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    given = Path(sys.argv[2]) if len(sys.argv) > 2 else None
    fonts = find_fonts(given, os.environ)
    if "traced" in sys.argv[3:]:
        held = traced(minutes, fonts)
        sys.stdout.write(", ".join(f"{stage} {most:.2f} MB" for stage, most in held.items()) + "\n")
        return
    before = resident_megabytes()
    start = time.perf_counter()
    seconds = rendered(minutes, fonts)
    took = time.perf_counter() - start
    sys.stdout.write(
        f"{fonts}: {seconds:.1f} s of audio in {took:.1f} s "
        f"({60 * took / seconds:.2f} s a minute), "
        f"memory {before:.0f} MB before, {resident_megabytes():.0f} MB at most\n"
    )


if __name__ == "__main__":
    main()
