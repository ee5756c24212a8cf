"""A pack made on a dask cluster of two processes: the same bytes, even where a worker is lost."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import distributed
import pytest

from groove.errors import GrooveError, OptionError
from groove.handout.pack import cluster, jobs
from groove.handout.pack.cluster import cluster_executor
from tests.command_line import call
from tests.handout.pack.pack_material import COMMAND, FONT, SMALL, InOrder, digests, pack_into


@pytest.fixture(scope="module")
def workers() -> Iterator[Any]:
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=":0", silence_logs=50
    ) as running:
        yield running


def test_a_cluster_makes_the_same_bytes(
    workers: Any, small: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GROOVE_SOUNDFONT", str(FONT))
    folder = tmp_path / "pack"
    result = call(*COMMAND, "--cluster", workers.scheduler_address, "-o", str(folder))
    assert result.code == 0, result.err
    assert result.out.splitlines() == [f"{folder}/index.html", f"{folder}/short-way.zip"]
    assert digests(folder) == digests(small)


def test_the_jobs_of_a_lost_worker_are_done_again(
    workers: Any, small: Path, tmp_path: Path
) -> None:
    killed: list[int] = []

    def kill_one_at_work(done: float) -> None:
        """At the first file that is done, end the worker that makes another."""
        if done and not killed:
            with distributed.Client(workers.scheduler_address, set_as_default=False) as client:
                pids = client.run(os.getpid)
                busy = [name for name, tasks in client.processing().items() if tasks]
            killed.append(pids[busy[0]])
            os.kill(killed[0], signal.SIGKILL)

    with cluster_executor(workers.scheduler_address) as executor:
        pack_into(tmp_path / "pack", executor=executor, progress=kill_one_at_work, **SMALL)
    assert killed
    assert digests(tmp_path / "pack") == digests(small)


@pytest.mark.parametrize(
    "address", ["tcp://127.0.0.1:9", "nowhere", "tcp://127.0.0.1:none", "tls://127.0.0.1:9"]
)
def test_an_address_out_of_reach_is_one_line(
    address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cluster, "ANSWER_SECONDS", 0.5)
    out = str(tmp_path / "pack")
    result = call("pack", "twelve-bar", "--keys", "C", "--cluster", address, "-o", out)
    assert (result.code, result.out, result.err.count("\n")) == (2, "", 1)
    assert result.err.startswith(f"groove: --cluster: no scheduler answers at {address}")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("address", ["", "nowhere", "other://127.0.0.1:9", "tcp://127.0.0.1:none"])
def test_an_address_that_can_t_be_read_makes_no_client(
    address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def client(*_arguments: object, **_options: object) -> None:
        pytest.fail("a client would wait for its end, and say so")

    monkeypatch.setattr(distributed, "Client", client)
    with pytest.raises(OptionError, match="no scheduler answers"), cluster_executor(address):
        pass


def test_a_cluster_without_workers_is_one_line() -> None:
    with (
        distributed.LocalCluster(n_workers=0, dashboard_address=":0", processes=False) as empty,
        pytest.raises(OptionError, match="has no workers"),
        cluster_executor(empty.scheduler_address),
    ):
        pass


def test_a_worker_with_another_program_makes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(jobs, "program_digest", lambda: "another")
    with pytest.raises(GrooveError, match="a worker has another version of groove"):
        pack_into(tmp_path / "pack", executor=InOrder(), **SMALL)
    assert list(tmp_path.iterdir()) == []


def test_the_help_says_what_every_worker_must_see() -> None:
    words = " ".join(call("pack", "--help").out.split())
    assert "see the pack's folder and the soundfont under the same paths" in words
