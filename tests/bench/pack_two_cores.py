"""Measure a pack of twelve keys on all cores and in one process: seconds, and size.

Run as ``python -m tests.bench.pack_two_cores [FORM]`` from the checkout.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from concurrent.futures import Executor, ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import groove
from groove.handout.pack.estimate import amount


def seconds(form: str, folder: Path, executor: Executor | None) -> tuple[float, float]:
    """Seconds of the clock, and of the cores, that a pack takes."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    begun = time.perf_counter()
    groove.pack(form, folder, executor=executor, say=print if executor is None else lambda _: None)
    took = time.perf_counter() - begun
    if executor:
        executor.shutdown()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    worked = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return took, worked


def main() -> None:
    form = sys.argv[1] if len(sys.argv) > 1 else "demo/ferry-landing.toml"
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "all"
        many, worked = seconds(form, folder, None)
        size = sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())
        print(f"all cores:   {many:6.1f} s, {worked:6.1f} s of work, {amount(size)} with the zip")
        one, worked = seconds(
            form, Path(place) / "one", ProcessPoolExecutor(1, get_context("spawn"))
        )
        print(f"one process: {one:6.1f} s, {worked:6.1f} s of work; {one / many:.2f} times as long")
        again, _ = seconds(form, folder, None)
        print(f"second run:  {again:6.2f} s")


if __name__ == "__main__":
    main()
