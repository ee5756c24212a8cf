"""Kills the screen at any moment of a stream of edits, and looks at what is kept.

python -m tests.bench.screen_kill [KILLS] [SERVERS], 500 and 50 if left out. KILLS times a process
that makes edits one after the other is killed (SIGKILL) after some milliseconds; SERVERS times
`groove open` itself, while edits are sent to it. What must be true each time: the form opens again
with the last edit that was answered, or with the one that was on its way; the form file is whole
and without mistakes; no other file is left but the draft and a place of work, which is swept later.
"""

from __future__ import annotations

import http.client
import json
import os
import random
import signal
import struct
import subprocess
import sys
import threading
import time
from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.parse import urlsplit

from groove.errors import GrooveError
from groove.files import WORK
from groove.form.read import read_form
from groove.screen.edits import Edit, edit_of
from groove.screen.open_form import OpenForm
from groove.screen.sections import state_of
from tests.bench.screen_edits import OWN, asked

LONGEST = 0.4  # s until a process is killed; an edit takes some milliseconds
ANSWERED, BEGUN = b"a", b"b"


def make_edits(path: Path, rng: random.Random, pipe: int) -> None:
    """Make edits until killed; tell each text before it is kept, and again when it is."""
    opened = OpenForm.at(path, "")
    while True:
        change = edit_of(asked(rng, state_of(opened)))

        def told(text: str, change: Edit = change) -> str:
            changed = change(text)
            _tell(pipe, BEGUN, changed)
            return changed

        try:
            opened.edit(told, opened.version)
        except GrooveError:
            continue
        _tell(pipe, ANSWERED, opened.text)


def _tell(pipe: int, kind: bytes, text: str) -> None:
    content = text.encode()
    message = kind + struct.pack(">I", len(content)) + content
    while message:
        message = message[os.write(pipe, message) :]


def _told(content: bytes) -> list[tuple[bytes, str]]:
    """The messages in what was read of a pipe; the last may be cut off."""
    found, at = [], 0
    while at + 5 <= len(content):
        end = at + 5 + struct.unpack(">I", content[at + 1 : at + 5])[0]
        if end <= len(content):
            found.append((content[at : at + 1], content[at + 5 : end].decode()))
        at = end
    return found


def check(path: Path, answered: str, begun: str) -> str:
    """What must be true after a kill; returns which of the two texts is there."""
    for other in path.parent.iterdir():
        assert other.name in (path.name, f".{path.name}.draft") or other.name.startswith(WORK)
    read_form(path)
    opened = OpenForm.at(path, "")
    assert opened.text in (answered, begun), f"lost:\n{answered}\nfound:\n{opened.text}"
    return "the last answer" if opened.text == answered else "the edit on its way"


def kill_editors(kills: int, rng: random.Random, path: Path) -> Counter[str]:
    """Kill processes that make edits; the next goes on with what is kept."""
    found: Counter[str] = Counter()
    path.write_bytes(OWN.encode())
    for _ in range(kills):
        kept = OpenForm.at(path, "").text
        seed, wait = rng.random(), rng.uniform(0.002, LONGEST)
        reading, writing = os.pipe()
        process = os.fork()
        if not process:
            os.close(reading)
            make_edits(path, random.Random(seed), writing)
        os.close(writing)
        threading.Timer(wait, os.kill, (process, signal.SIGKILL)).start()
        with os.fdopen(reading, "rb") as pipe:
            messages = _told(pipe.read())
        os.waitpid(process, 0)
        found["edits"] += sum(kind == ANSWERED for kind, _ in messages)
        answered = next((text for kind, text in reversed(messages) if kind == ANSWERED), kept)
        begun = messages[-1][1] if messages and messages[-1][0] == BEGUN else answered
        found[check(path, answered, begun)] += 1
        _begin_anew_where_long(path)
    return found


def kill_servers(servers: int, rng: random.Random, path: Path, mirrored: Path) -> Counter[str]:
    """Kill `groove open` while edits are sent to it; a form of the same text takes them too."""
    found: Counter[str] = Counter()
    path.write_bytes(OWN.encode())
    for _ in range(servers):
        mirror = _copy(path, mirrored)
        command = [sys.executable, "-m", "groove", "open", f"{path}", "--no-browser"]
        pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.DEVNULL}
        running = subprocess.Popen(command, text=True, **pipes)  # type: ignore[call-overload]
        address = urlsplit(running.stdout.readline().strip())
        threading.Timer(rng.uniform(0.05, 1), running.kill).start()
        line = http.client.HTTPConnection(address.netloc)
        answered = mirror.text
        try:
            while True:
                edit = asked(rng, state_of(mirror))
                answered, version = mirror.text, mirror.version
                try:
                    mirror.edit(edit_of(edit), version)
                except GrooveError:
                    continue
                body = json.dumps(edit | {"version": version})
                line.request(
                    "POST", f"{address.path}edit", body, {"content-type": "application/json"}
                )
                answer = line.getresponse()
                assert answer.status == 200, (answer.status, answer.read())
                assert json.loads(answer.read())["version"] == mirror.version
                answered = mirror.text
                found["edits"] += 1
        except (OSError, http.client.HTTPException):
            running.wait()
        found[check(path, answered, mirror.text)] += 1
        _begin_anew_where_long(path)
    return found


def _copy(path: Path, to: Path) -> OpenForm:
    """A form of the same text, draft and version at another path."""
    for place in (path, path.with_name(f".{path.name}.draft")):
        target = to / place.name
        target.unlink(missing_ok=True)
        if place.exists():
            target.write_bytes(place.read_bytes())
    return OpenForm.at(to / path.name, "")


def _begin_anew_where_long(path: Path) -> None:
    """Random edits make forms longer; one of many bars would be edited slowly."""
    if path.stat().st_size > 3_000:
        path.with_name(f".{path.name}.draft").unlink(missing_ok=True)
        path.write_bytes(OWN.encode())


def main() -> None:
    kills, servers = ([int(word) for word in sys.argv[1:]] + [500, 50][len(sys.argv) - 1 :])[:2]
    rng = random.Random(1)
    began = time.monotonic()
    with TemporaryDirectory() as folder, TemporaryDirectory() as mirrored:
        found = kill_editors(kills, rng, Path(folder) / "ferry.toml")
        print(f"{kills} processes killed: {dict(found)}")
        found = kill_servers(servers, rng, Path(folder) / "ferry.toml", Path(mirrored))
        print(f"{servers} servers killed: {dict(found)}")
    print(f"nothing was lost, {time.monotonic() - began:.0f} s")


if __name__ == "__main__":
    main()
