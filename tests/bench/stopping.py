"""Stop runs at random moments, and measure how long they go on and what they leave.

Run as ``python -m tests.bench.stopping [RUNS] [SEED]`` from the checkout. Starts ``groove make``,
``groove video`` and ``groove pack``, as the installed program and by ``python -m groove``, and
sends each run one of four signals at a random moment, to the process or to its whole group as a
terminal does. Prints the median and the longest time until a run had ended, and each run that did
not end as it should: with exit code 1 and one last line that begins with ``groove: stopped``,
without a traceback, and with nothing half-written. After SIGKILL, the next run of a pack has to
complete it.

Until Python runs the first line of groove, about 0.05 s, a signal ends it as it ends any program:
those runs are counted apart, and so are runs that were done before their stop.
"""

from __future__ import annotations

import os
import random
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

GROOVE = [str(Path(sys.executable).with_name("groove"))]
MODULE = [sys.executable, "-m", "groove"]
RUNS = {
    "groove make": ["make", "twelve-bar", "--choruses", "20", "--audio", "wav,mp3", "--stems"],
    "groove video": ["video", "twelve-bar", "--choruses", "1", "-o", "x.mp4"],
    "groove pack": ["pack", "one-chord-vamp", "--keys", "C,F", "--stems", "-o", "pack"],
}
LONGEST_WAIT = {
    "groove make": 5.0,
    "groove video": 8.0,
    "groove pack": 8.0,
}  # seconds until the last stop
STARTING = 0.15  # seconds in which Python itself may be starting
SIGNALS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGKILL)


def left_behind(folder: Path) -> list[str]:
    """Names of unfinished work in a folder."""
    return [
        str(path.relative_to(folder))
        for path in folder.rglob("*")
        if path.name.startswith((".groove-work", "work-")) or path.suffix == ".part"
    ]


def faults(name: str, code: int, err: str, folder: Path) -> list[str]:
    """The faults in the end of a run that received the signal."""
    lines = err.splitlines()
    found = []
    if code != 1:
        found.append(f"exit code {code}")
    if not lines or not lines[-1].startswith("groove: stopped"):
        found.append(f"last line {lines[-1:]}")
    if any(word in err for word in ("Traceback", "Exception ignored", "Error:")):
        found.append(f"noise: {err[-300:]!r}")
    found += left_behind(folder)
    if name != "groove pack" and list(folder.rglob("*")):
        found.append("files are there")
    return found


def stopped(name: str, dice: random.Random) -> tuple[str, float, list[str]]:
    """The end of a run (early, late, killed or stopped), seconds from stop to end, and faults."""
    start = dice.choice((GROOVE, MODULE))
    number = dice.choice(SIGNALS)
    wait = dice.uniform(0.02, LONGEST_WAIT[name])
    whole_group = dice.random() < 0.5
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        run = subprocess.Popen(
            [*start, *RUNS[name]], cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
            text=True, start_new_session=True,
            preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
        )  # fmt: skip
        time.sleep(wait)
        if run.poll() is not None:
            return "late", 0.0, []
        begun = time.perf_counter()
        (os.killpg if whole_group else os.kill)(run.pid, number)
        _, err = run.communicate(timeout=120)
        took = time.perf_counter() - begun
        what = f"{' '.join(start[-2:])} {name.split()[1]} {number.name} at {wait:.2f} s"
        if number == signal.SIGKILL:
            if name == "groove pack":
                again = subprocess.run(
                    [*start, *RUNS[name]], cwd=folder, capture_output=True, text=True, check=False
                )
                left = left_behind(folder)
                if again.returncode or left:
                    return "killed", took, [f"{what}: next run {again.stderr[-300:]!r} {left}"]
            finals = [path for path in folder.iterdir() if not path.name.startswith(".")]
            half = [str(path) for path in finals if name != "groove pack"]
            return "killed", took, [f"{what}: {half}"] if half else []
        if run.returncode == 0:
            return "late", took, []
        if wait < STARTING and run.returncode in (-number, 130, 1) and not list(folder.iterdir()):
            return "early", took, []
        return (
            "stopped",
            took,
            [f"{what}: {fault}" for fault in faults(name, run.returncode, err, folder)],
        )


def main() -> None:
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    dice = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    for name in RUNS:
        ends: dict[str, list[float]] = {"stopped": [], "killed": [], "early": [], "late": []}
        for _ in range(runs):
            end, took, wrong = stopped(name, dice)
            ends[end].append(took)
            for line in wrong:
                print(line)
        counts = ", ".join(f"{len(times)} {end}" for end, times in ends.items())
        times = ends["stopped"] or [0.0]
        print(
            f"{name}: {counts}; ended {statistics.median(times):.2f} s after the stop, "
            f"{max(times):.2f} s at most"
        )


if __name__ == "__main__":
    main()
