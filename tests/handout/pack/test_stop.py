"""Packs on all cores by the installed program: the same bytes after any number of stops."""

from __future__ import annotations

import os
import re
import resource
import shutil
import signal
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from groove.handout.pack.folder import STATE
from tests.command_line import Result, environment, run, start
from tests.handout.pack.pack_material import COMMAND, FONT, digests, files

PACK = (*COMMAND, "-o", "pack")
SETTINGS = {"env": environment(GROOVE_SOUNDFONT=str(FONT))}


@pytest.fixture(autouse=True)
def _in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def undisturbed(small: Path) -> dict[str, str]:
    """The digests of the same pack, made job by job in one process."""
    return digests(small)


def finished(result: Result) -> None:
    assert result.code == 0, result.err
    assert result.out.splitlines() == ["pack/index.html", "pack/short-way.zip"]
    assert "bits" not in result.err  # nothing is said of what was not asked for


def wait_for(files_made: int, process: subprocess.Popen[bytes]) -> None:
    """Wait until a run is under way and has so many files in their places."""
    while not list(Path("pack").glob(f"{STATE}/work-*")) or len(in_place()) < files_made:
        assert process.poll() is None, "it ended before it was stopped"
        time.sleep(0.005)


def in_place() -> dict[str, int]:
    """The time at which each file that has its place was written."""
    folder = Path("pack")
    return {
        name: (folder / name).stat().st_mtime_ns
        for name in files(folder)
        if not name.startswith(STATE)
    }


def limited(what: int, most: int) -> Callable[[], None]:
    return lambda: resource.setrlimit(what, (most, most))


@pytest.mark.slow
def test_killed_again_and_again_and_out_of_room_the_last_run_completes_the_same_pack(
    undisturbed: dict[str, str],
) -> None:
    """Killed before the first file, and when one, and three are in their places; then stopped by a
    full disk, which is one line and leaves nothing half written."""
    before: dict[str, int] = {}
    for files_made in (0, 1, 3):
        with start(*PACK, start_new_session=True, **SETTINGS) as process:
            wait_for(files_made, process)
            os.killpg(process.pid, signal.SIGKILL)
        assert before.items() <= in_place().items()
        before = in_place()
        assert "short-way.zip" not in before
    full = run(*PACK, preexec_fn=limited(resource.RLIMIT_FSIZE, 100_000), **SETTINGS)
    assert full.code == 1
    assert "Traceback" not in full.err
    assert [line for line in full.err.splitlines() if line.startswith("groove: pack")]
    there = digests(Path("pack"))
    assert {n: there[n] for n in there if not n.startswith(STATE)}.items() <= undisturbed.items()
    assert before.items() <= in_place().items()
    before = in_place()
    finished(run(*PACK, **SETTINGS))
    assert digests(Path("pack")) == undisturbed
    after = in_place()
    assert before.items() <= after.items()
    again = run(*PACK, **SETTINGS)
    finished(again)
    assert "nothing to do" in again.err
    assert in_place() == after


@pytest.mark.slow
def test_out_of_room_and_killed_while_a_video_is_made_all_else_stays_and_the_next_run_makes_it(
    small: Path,
) -> None:
    shutil.copytree(small, "pack")
    before, video = in_place(), (*PACK, "--video", "square")
    full = run(*video, preexec_fn=limited(resource.RLIMIT_FSIZE, 100_000), **SETTINGS)
    assert full.code == 1
    assert "Traceback" not in full.err
    assert [line for line in full.err.splitlines() if line.startswith("groove: pack")]
    assert in_place() == before
    with start(*video, start_new_session=True, **SETTINGS) as process:
        while not list(Path("pack").glob(f"{STATE}/work-*/.groove-work-*/*.mp4")):
            assert process.poll() is None, "it ended before it was stopped"
            time.sleep(0.005)
        os.killpg(process.pid, signal.SIGKILL)
    assert in_place() == before
    with start(*video, **SETTINGS) as process:
        process.communicate(timeout=300)
    assert process.returncode == 0
    after = in_place()
    made = {name for name in after if after[name] != before.get(name)}
    assert made == {
        "01_C/short-way_C_120_square.mp4", "index.html", "manifest.json", "offline.js",
        "short-way.zip",
    }  # fmt: skip
    assert not Path("pack", STATE).exists()


@pytest.mark.slow
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_told_to_stop_it_stops_and_keeps_what_is_finished(
    number: int, undisturbed: dict[str, str]
) -> None:
    with start(*PACK, start_new_session=True, **SETTINGS) as process:
        wait_for(1, process)
        if number != signal.SIGTERM:  # a terminal sends it to all of the run's processes
            os.killpg(process.pid, number)
        else:
            process.send_signal(number)
        _, err = process.communicate(timeout=60)
    assert process.returncode == 1
    assert err.decode().splitlines()[-1].startswith("groove: stopped; what is finished stays")
    assert not re.search("Traceback|KeyError|Exception ignored", err.decode())
    assert 1 <= len(in_place()) < len(undisturbed)
    assert not list(Path("pack").glob(f"{STATE}/work-*"))
