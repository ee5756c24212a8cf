"""Parallel jobs all end, even if one of them fails."""

from __future__ import annotations

import threading
import time
from typing import TYPE_CHECKING

import pytest

from groove.sound.parallel import for_each, run_parallel

if TYPE_CHECKING:
    from groove.sound.parallel import Step


def nothing(_done: int) -> None: ...


def test_every_job_is_done() -> None:
    done: list[int] = []
    run_parallel([lambda step, n=n: done.append(n) for n in range(20)], nothing)  # type: ignore[misc]
    assert sorted(done) == list(range(20))


def test_no_jobs_are_no_trouble() -> None:
    run_parallel([], nothing)


def test_the_reported_progress_never_falls_and_ends_at_the_sum() -> None:
    def job(step: Step) -> None:
        for _ in range(5):
            step(2)

    told: list[int] = []
    run_parallel([job] * 4, told.append)
    assert told == sorted(told)
    assert told[-1] == 40


def test_a_failure_is_raised_after_all_others_have_stopped() -> None:
    def fail(step: Step) -> None:
        raise OSError("no room")

    def go_on(step: Step) -> None:
        while True:
            step(1)
            time.sleep(0.001)

    before = threading.active_count()
    with pytest.raises(OSError, match="no room"):
        run_parallel([go_on, fail, go_on], nothing)
    assert threading.active_count() == before


def test_stopping_in_the_telling_stops_the_jobs() -> None:
    def go_on(step: Step) -> None:
        while True:
            step(1)
            time.sleep(0.001)

    def stop(_done: int) -> None:
        raise KeyboardInterrupt

    before = threading.active_count()
    with pytest.raises(KeyboardInterrupt):
        run_parallel([go_on, go_on], stop)
    assert threading.active_count() == before


def test_the_caller_does_the_work_if_no_thread_can_be_started(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refuse(_thread: threading.Thread) -> None:
        raise RuntimeError("can't start new thread")

    monkeypatch.setattr(threading.Thread, "start", refuse)
    done: list[int] = []
    for_each(done.append, range(9))
    assert sorted(done) == list(range(9))
