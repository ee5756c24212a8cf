"""The screen's server: its address, its end."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
from pathlib import Path
from urllib.request import urlopen

import pytest

from groove.errors import GrooveError
from groove.screen.edits import edit_of
from groove.screen.guard import new_token
from groove.screen.lessons import opened
from groove.screen.serve import DYNAMIC, serve
from groove.screen.session import PATIENCE, Session
from tests.command_line import call

FORM = 'key = "G"\nchords = "I7:4"\n'


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_it_prints_its_address_and_ends_by_a_signal_in_order(tmp_path: Path, number: int) -> None:
    (tmp_path / "ferry.toml").write_text(FORM)
    command = [sys.executable, "-m", "groove", "open", "ferry.toml", "--no-browser"]
    running = subprocess.Popen(
        command, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        env=os.environ | {"PYTHONPATH": str(Path(__file__).parents[2])},
    )  # fmt: skip
    assert running.stdout
    address = running.stdout.readline().strip()
    assert address.startswith("http://127.0.0.1:")
    assert int(address.split(":")[2].split("/")[0]) in DYNAMIC
    with urlopen(f"{address}events") as window:
        running.send_signal(number)
        out, err = running.communicate(timeout=20)
        assert window.read() == b""
    assert (running.returncode, out) == (0, "")
    assert err.splitlines() == ["ferry.toml: open on the screen; end with Ctrl-C"]
    assert [path.name for path in tmp_path.iterdir()] == ["ferry.toml"]


def test_a_port_that_is_taken_is_named(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(GrooveError, match=f"port {port}: can't be used: .*; 0 takes"):
            serve(opened(None, tmp_path), port, lambda _address: None)


def test_tokens_differ_and_are_long() -> None:
    tokens = {new_token() for _ in range(100)}
    assert len(tokens) == 100
    assert all(len(token) * 6 >= 128 for token in tokens)


def test_it_is_left_two_minutes_after_the_last_window_has_gone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    now = [0.0]
    monkeypatch.setattr("groove.screen.session.time.monotonic", lambda: now[0])
    session = Session(opened(None, tmp_path))
    with session.window(session.lesson(session.first)):
        now[0] = 10 * PATIENCE  # a hidden or sleeping tab keeps its connection
        assert not session.is_left
    now[0] += PATIENCE
    assert not session.is_left
    now[0] += 1
    assert session.is_left


def test_a_new_form_goes_on_until_it_has_a_chord_and_then_has_another_name(tmp_path: Path) -> None:
    first = opened(None, tmp_path)
    again = opened(None, tmp_path)  # as after a crash
    assert again.text == first.text
    again.edit(edit_of({"do": "bar", "section": 0, "bar": 0, "text": "C7"}), again.version)
    assert again.path.name == "new-form.toml"
    assert opened(None, tmp_path).path.name == "new-form-2.toml"


def test_a_shipped_form_is_copied_once(tmp_path: Path) -> None:
    first = opened("twelve-bar", tmp_path)
    first.edit(lambda text: text.replace('"C"', '"A"'), first.version)
    assert opened("twelve-bar", tmp_path).text == first.text
    assert 'key = "A"' in (tmp_path / "twelve-bar.toml").read_text()


def test_another_ending_is_refused_in_one_line(tmp_path: Path) -> None:
    found = call("open", "song.txt", "--no-browser", "--folder", str(tmp_path))
    assert found.err.splitlines() == ["groove: song.txt: a form file ends in .toml"]
    assert not list(tmp_path.iterdir())
