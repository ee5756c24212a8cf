"""The run that makes a pack: what it tells, how it is stopped, and that nothing of it is left."""

from __future__ import annotations

import asyncio
import os
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest

from groove.screen.posting import job as module
from groove.screen.posting.job import Job, whole_time
from groove.screen.posting.wish import usual
from tests.handout.pack.pack_material import FORM
from tests.screen.posting.stand_in import BREAKS, ENDS, FAILS, STAYS, WAITS, program


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Callable[..., Job]:
    """Runs a stand-in; `act` is called with the run each time it tells something."""

    def running(does: str, act: Callable[[Job], None] = lambda _job: None) -> Job:
        monkeypatch.setattr(module, "COMMAND", program(does))
        job = Job(FORM, tmp_path / "short-way", usual(FORM), 60.0)
        with suppress(asyncio.CancelledError):
            asyncio.run(job.run(lambda: act(job)))
        return job

    return running


def is_there(process: int) -> bool:
    """Whether a process runs; one that has ended and waits to be told of is none."""
    try:
        return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def test_it_tells_how_far_it_is_and_how_it_ended(run: Any) -> None:
    told: list[dict[str, Any]] = []
    job = run(ENDS, lambda job: told.append(job.progress()))
    assert [each["share"] for each in told] == [0.0, 1.0, 1.0]
    assert (job.state, job.outcome["made"], job.is_on) == ("done", 3, False)


def test_it_stops_when_it_is_told_to(run: Any) -> None:
    def stop(job: Job) -> None:
        if job.share == 0.5:
            job.stop()
            assert job.progress()["state"] == "stopping"

    job = run(WAITS, stop)
    assert job.state == "stopped"
    assert job.notes == ["it is told"]  # and not which sounds play


@pytest.mark.parametrize(("does", "trouble"), [(FAILS, "no room"), (BREAKS, None)])
def test_a_run_that_fails_or_breaks_off_has_failed(does: str, trouble: Any, run: Any) -> None:
    job = run(does)
    assert (job.state, job.outcome.get("trouble")) == ("failed", trouble)


def test_one_that_does_not_stop_is_ended_with_all_that_it_has_started(
    run: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "SECONDS_TO_STOP", 0.2)
    job = run(STAYS, Job.stop)
    assert job.state == "stopped"
    child = int(job.notes[0])
    end = time.monotonic() + 10
    while is_there(child) and time.monotonic() < end:
        time.sleep(0.01)
    assert not is_there(child)


def test_a_server_that_ends_stops_it_first(run: Any) -> None:
    """As Ctrl-C does: what runs in the server is cancelled."""
    found: list[int] = []

    def cancel(job: Job) -> None:
        if job.share == 0.5 and not found:
            assert job._process
            found.append(job._process.pid)
            task = asyncio.current_task()
            assert task
            task.cancel()

    job = run(WAITS, cancel)
    assert job.state == "stopped"
    with pytest.raises(ProcessLookupError):
        os.kill(found[0], 0)


def test_the_time_of_the_whole_follows_first_the_estimate_and_then_the_work() -> None:
    assert whole_time(60, 0, 0) == 60
    assert whole_time(60, 1, 30) == pytest.approx(30, abs=3)
    shares = [whole_time(60, share, 120 * share) for share in (0.0, 0.25, 0.5, 0.75)]
    assert shares == sorted(shares)
    assert shares[-1] == pytest.approx(120, abs=10)
