"""A lesson that is really made: stopped in the middle, ended with the server, and gone on with."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

import groove
from groove.handout.pack.folder import STATE, earlier
from groove.screen.posting.wish import read_wish
from tests.command_line import environment, start
from tests.handout.pack.pack_material import FONT, files
from tests.screen.posting.test_routes import TEXT, WISH
from tests.screen.test_guard import JSON, Client

SETTINGS = {"env": environment(GROOVE_SOUNDFONT=str(FONT))}


@contextmanager
def server(folder: Path) -> Iterator[tuple[subprocess.Popen[bytes], Client]]:
    """The installed program with a lesson open; it has ended in order afterwards."""
    command = ("open", "ferry.toml", "--no-browser")
    with start(*command, cwd=folder, start_new_session=True, **SETTINGS) as running:
        assert running.stdout
        yield running, Client(running.stdout.readline().decode().strip())
        os.killpg(running.pid, signal.SIGINT)  # as a terminal does
        _, err = running.communicate(timeout=60)
        assert running.returncode == 0, err
        assert b"Traceback" not in err


def send(client: Client, path: str, body: Any) -> None:
    address = f"{client.base}posting/{path}"
    assert client.ask(address, "POST", json.dumps(body).encode(), JSON)[0] == 200


def now(client: Client) -> Any:
    return json.loads(client.ask(f"{client.base}posting/now")[2])


def wait_for(is_so: Callable[[], bool]) -> None:
    end = time.monotonic() + 120
    while not is_so():
        assert time.monotonic() < end
        time.sleep(0.02)


def runs_in(folder: Path) -> list[str]:
    """The processes that stand in a folder."""
    found = []
    for place in Path("/proc").glob("[0-9]*/cwd"):
        try:
            if place.resolve() == folder.resolve():
                found.append(place.parent.name)
        except OSError:
            pass  # it has ended, or is another user's
    return found


def left_behind(folder: Path) -> list[str]:
    return [name for name in files(folder) if "work-" in name or name.endswith(".part")]


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/cwd").exists(), reason="processes are looked for in /proc")
def test_stopped_and_ended_with_the_server_the_next_run_goes_on_to_the_same_pack(
    tmp_path: Path,
) -> None:
    (tmp_path / "ferry.toml").write_text(TEXT)
    folder = tmp_path / "short-way"
    with server(tmp_path) as (running, client):
        send(client, "begin", WISH)
        wait_for(lambda: bool(earlier(folder).made))
        send(client, "stop", {})
        wait_for(lambda: now(client)["progress"]["state"] == "stopped")
        assert not left_behind(folder)
        assert runs_in(tmp_path) == [str(running.pid)]
        stopped = earlier(folder).made
        assert now(client)["contents"]["isWhole"] is False
        send(client, "begin", WISH)
        wait_for(lambda: bool(list((folder / STATE).glob("work-*"))))
    assert runs_in(tmp_path) == []
    assert not left_behind(folder)
    with server(tmp_path) as (_, client):
        assert now(client)["wish"] == WISH  # from the pack that was begun
        send(client, "begin", WISH)
        wait_for(lambda: now(client)["progress"]["state"] == "done")
        outcome = now(client)["outcome"]
        assert outcome["kept"] >= sum(map(len, stopped.values()))
        assert now(client)["contents"]["isWhole"] is True
    form = groove.read_form(tmp_path / "ferry.toml")
    said: list[str] = []
    options = read_wish(WISH).options(form)
    groove.pack(form, folder, say=said.append, soundfont=FONT, **options)
    assert any("nothing to do" in line for line in said)
