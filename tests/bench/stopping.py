"""How long a run goes on after Ctrl-C.

Run as ``python -m tests.bench.stopping [RUNS]`` from the checkout. Starts ``groove make`` and
``groove pack``, sends each a stop at moments spread over its work, and prints the median and the
longest time until it had ended. A run that was done before its stop is not counted.
"""

from __future__ import annotations

import os
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

GROOVE = str(Path(sys.executable).with_name("groove"))
RUNS = {
    "groove make": ["make", "twelve-bar", "--choruses", "30", "--audio", "wav,mp3", "--stems"],
    "groove pack": ["pack", "twelve-bar", "--keys", "C,F", "--stems", "-o", "pack"],
}
LONGEST_WAIT = 6.0  # seconds until the last stop


def seconds_to_stop(command: list[str], wait: float) -> float | None:
    """From the stop to the end of the run; None where it was done before."""
    with tempfile.TemporaryDirectory() as folder:
        run = subprocess.Popen(
            [GROOVE, *command], cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
            start_new_session=True,
        )  # fmt: skip
        time.sleep(wait)
        if run.poll() is not None:
            return None
        begun = time.perf_counter()
        os.killpg(run.pid, signal.SIGINT)  # as a terminal does it
        run.wait()
        return time.perf_counter() - begun


def main() -> None:
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    for name, command in RUNS.items():
        waits = [LONGEST_WAIT * (number + 1) / runs for number in range(runs)]
        found = [took for wait in waits if (took := seconds_to_stop(command, wait)) is not None]
        sys.stdout.write(
            f"{name}: ended {statistics.median(found):.2f} s after the stop, "
            f"{max(found):.2f} s at most ({len(found)} stops)\n"
        )


if __name__ == "__main__":
    main()
