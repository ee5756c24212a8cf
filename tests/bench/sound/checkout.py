"""Has a checkout render requests, see `worker.py`, a process for all of one list."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import soundfile
from numpy.typing import NDArray

WORKER = Path(__file__).with_name("worker.py")
RATE = 44_100

Sound = NDArray[np.float64]


@dataclass(frozen=True)
class Checkout:
    """A checkout of the program and the soundfont to play with, None for what it plays itself.

    folder: where its sound goes.
    """

    path: Path
    soundfont: Path | None
    folder: Path

    def rendered(self, requests: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
        """The answers to requests; their folders are taken below this one's."""
        if not requests:
            return []
        lines = [
            json.dumps(
                {"soundfont": str(self.soundfont) if self.soundfont else None}
                | request
                | {"folder": str(self.folder / request["folder"])}
            )
            for request in requests
        ]
        environ = {name: at for name, at in os.environ.items() if name != "GROOVE_SOUNDFONT"}
        done = subprocess.run(
            [sys.executable, str(WORKER)],
            input="\n".join(lines),
            capture_output=True,
            text=True,
            env=environ | {"PYTHONPATH": str(self.path.resolve())},
        )
        answers = [json.loads(line) for line in done.stdout.splitlines()]
        if len(answers) != len(requests):
            raise RuntimeError(f"{self.path}: {done.stderr[-2000:]}")
        for request, answer in zip(requests, answers, strict=True):
            if "error" in answer:
                raise RuntimeError(f"{self.path}: {request}: {answer['error']}")
        return answers

    def played(self, chapter: str, names: Iterable[str]) -> None:
        """Play the MIDI file of each name in a chapter's folder into a folder of that name."""
        places = [f"{chapter}/{name}" for name in names]
        self.rendered(
            [
                {"midi": str(self.folder / f"{place}.mid"), "folder": place, "drums": "shuffle"}
                for place in places
            ]
        )

    def stems(self, folder: str) -> dict[str, Sound]:
        """The stems under a request's folder by part, each (frames, 2)."""
        found = {}
        mix = self.mix(folder)
        for path in sorted((self.folder / folder).glob(f"{mix.stem}_*.wav")):
            found[path.stem.rpartition("_")[2]] = read(path)
        return found

    def mix(self, folder: str) -> Path:
        """The file of the mix under a request's folder."""
        return min((self.folder / folder).glob("*.wav"), key=lambda path: len(path.name))


def read(path: Path) -> Sound:
    """A sound file as (frames, 2)."""
    sound: Sound = soundfile.read(path, dtype="float64", always_2d=True)[0]
    return sound
