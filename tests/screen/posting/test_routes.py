"""The addresses at which a pack is made: one run at a time, and files of the pack alone."""

from __future__ import annotations

import asyncio
import http.client
import json
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from groove.screen.open_form import OpenForm
from groove.screen.posting import job as job_module
from groove.screen.posting import routes as routes_module
from groove.screen.posting.packs import LessonPacks
from groove.screen.posting.wish import read_wish, usual
from groove.screen.serve import serve
from groove.screen.session import Session
from tests.handout.pack.pack_material import FORM
from tests.screen.posting.stand_in import ENDS, WAITS, program
from tests.screen.posting.test_wish import as_sent
from tests.screen.test_guard import JSON, Client

TEXT = 'title = "Short Way"\nkey = "C"\ntempo = 120\nchoruses = 1\nchords = "| I7 | IV7 |"\n'
SOUND = "01_C/short-way_C_120.mp3"
WISH = as_sent(usual(FORM)) | {"keys": [0], "audio": []}


class Desk:
    """A window on a server that runs in a thread, and the session that it has."""

    def __init__(self, folder: Path) -> None:
        (folder / "ferry.toml").write_text(TEXT)
        ready = threading.Event()
        found: list[str] = []

        def told(address: str) -> None:
            found.append(address)
            ready.set()

        form = OpenForm.at(folder / "ferry.toml", "")
        threading.Thread(target=serve, args=(form, 0, told), daemon=True).start()
        assert ready.wait(20)
        self.client = Client(found[0])

    def get(self, path: str, **headers: str) -> tuple[int, dict[str, str], bytes]:
        return self.client.ask(f"{self.client.base}posting/{path}", headers=headers)

    def post(self, path: str, body: Any) -> tuple[int, Any]:
        address = f"{self.client.base}{path}"
        status, _, content = self.client.ask(address, "POST", json.dumps(body).encode(), JSON)
        return status, json.loads(content) if content else None

    def now(self) -> Any:
        return json.loads(self.get("now")[2])

    def wait_for(self, state: str, share: float = 0.0) -> Any:
        end = time.monotonic() + 10
        while time.monotonic() < end:
            found = self.now()
            progress = found["progress"]
            if progress["state"] == state and progress["share"] >= share:
                return found
            time.sleep(0.01)
        raise AssertionError(f"it is never {state}")


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory, whole_pack: Path) -> Iterator[Desk]:
    """A lesson with a pack made before, beside a file that is nobody's business."""
    folder = tmp_path_factory.mktemp("lessons")
    shutil.copytree(whole_pack, folder / "short-way")
    (folder / "secret.txt").write_text("secret")
    (folder / "short-way" / "secret.zip").write_text("secret")
    yield Desk(folder)
    assert (folder / "ferry.toml").read_text() == TEXT


@pytest.fixture
def works(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Sets what takes the place of the program that makes packs."""
    return lambda does: monkeypatch.setattr(job_module, "COMMAND", program(does))


def test_the_choices_of_the_last_pack_come_back(desk: Desk) -> None:
    found = desk.now()
    assert found["wish"]["keys"] == [0, 10]
    assert found["wish"]["tempos"] == "90, 120"
    assert found["contents"]["folder"] == "short-way"


def test_what_it_takes_is_told_before_it_begins(desk: Desk) -> None:
    status, found = desk.post("posting/expected", WISH | {"readers": ["Bb"]})
    assert status == 200
    assert (found["files"], found["there"], found["folder"]) == (10, 0, "short-way")
    assert (found["mistakes"], found["same"], found["isMuch"]) == (0, "", False)
    more = desk.post("posting/expected", WISH | {"video": ["wide"], "text": True})[1]
    assert more["seconds"] > found["seconds"]
    for wrong in ({"tempos": "fast"}, {"keys": []}, {"tempos": "1000"}):
        status, found = desk.post("posting/expected", WISH | wrong)
        assert status == 422
        assert found["trouble"]


def test_a_lesson_of_the_same_title_is_named(desk: Desk, whole_pack: Path) -> None:
    folder = Path(desk.now()["contents"]["path"]).parent
    (folder / "next.toml").write_text(TEXT.replace("Short Way", "Short  way"))
    assert desk.post("posting/expected", WISH)[1]["same"] == "next.toml"
    (folder / "next.toml").unlink()


def test_one_run_goes_on_at_a_time_and_its_window_may_go(desk: Desk, works: Any) -> None:
    works(WAITS)
    assert desk.post("posting/begin", WISH)[0] == 200
    status, found = desk.post("posting/begin", WISH)
    assert (status, found["trouble"].split(";")[0]) == (422, "this lesson is being made already")
    found = desk.wait_for("running", 0.5)
    assert found["wish"] == WISH  # also in a window that is opened now
    assert found["progress"]["whole"] > found["progress"]["elapsed"]
    assert desk.post("posting/stop", {})[0] == 200
    found = desk.wait_for("stopped")
    assert found["outcome"]["ended"] == "stopped"
    works(ENDS)
    assert desk.post("posting/begin", WISH)[0] == 200
    assert desk.wait_for("done")["outcome"]["made"] == 3
    assert desk.post("posting/stop", {})[0] == 200  # nothing is on


def test_a_run_that_was_stopped_tells_what_is_left_and_takes_no_longer_for_it(
    desk: Desk, works: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    load = [0.0]
    monkeypatch.setattr("os.getloadavg", lambda: (load[0], 0.0, 0.0))
    works(WAITS)
    before = desk.post("posting/expected", WISH)[1]
    assert desk.post("posting/begin", WISH)[0] == 200
    load[0] = 9.0  # the run's own
    desk.wait_for("running", 0.5)
    desk.post("posting/stop", {})
    outcome = desk.wait_for("stopped")["outcome"]
    assert (outcome["there"], outcome["files"]) == (before["there"], before["files"])
    assert desk.post("posting/expected", WISH)[1] == before
    monkeypatch.setattr("groove.screen.posting.packs.SECONDS_TO_CALM", 0.0)
    assert desk.post("posting/expected", WISH)[1]["seconds"] > before["seconds"]


def test_what_was_made_before_a_change_of_the_form_says_so(desk: Desk, works: Any) -> None:
    works(ENDS)
    assert desk.post("posting/begin", WISH)[0] == 200
    assert not desk.wait_for("done")["outcome"]["isOlder"]
    state = json.loads(desk.client.ask(f"{desk.client.base}state")[2])
    edit = {"do": "field", "name": "tempo", "value": 130, "version": state["version"]}
    assert desk.post("edit", edit)[0] == 200
    found = desk.now()
    assert found["outcome"]["isOlder"]
    assert found["contents"]["isOlder"]
    assert desk.post("undo", {"version": state["version"] + 1})[0] == 200
    assert not desk.now()["outcome"]["isOlder"]


def test_windows_are_told_how_far_it_is(desk: Desk, works: Any) -> None:
    events = http.client.HTTPConnection(desk.client.parts.netloc, timeout=10)
    events.request("GET", f"{desk.client.base}events")
    stream = events.getresponse()
    works(ENDS)
    assert desk.post("posting/begin", WISH)[0] == 200
    shares = []
    while True:
        line = stream.readline().decode()
        if line.startswith("data: posting "):
            told = json.loads(line.split(" ", 2)[2])
            shares.append(told["share"])
            if told["state"] == "done":
                break
    events.close()
    assert shares[0] == 0.0
    assert shares[-1] == 1.0


def test_the_last_form_without_mistakes_is_made(desk: Desk, works: Any) -> None:
    state = json.loads(desk.client.ask(f"{desk.client.base}state")[2])
    edit = {"do": "bar", "section": 0, "bar": 1, "text": "X7", "version": state["version"]}
    assert desk.post("edit", edit)[0] == 200
    assert desk.post("posting/expected", WISH)[1]["mistakes"] == 1
    works(ENDS)
    assert desk.post("posting/begin", WISH)[0] == 200
    desk.wait_for("done")
    undone = desk.post("undo", {"version": state["version"] + 1})
    assert undone[0] == 200


def test_a_player_gets_the_part_that_it_asks_for(desk: Desk, whole_pack: Path) -> None:
    whole = (whole_pack / SOUND).read_bytes()
    status, headers, body = desk.get(f"files/{SOUND}")
    assert (status, headers["content-type"], body) == (200, "audio/mpeg", whole)
    status, headers, body = desk.get(f"files/{SOUND}", Range="bytes=1000-1999")
    assert (status, body) == (206, whole[1000:2000])
    assert headers["content-range"] == f"bytes 1000-1999/{len(whole)}"
    assert desk.get(f"files/{SOUND}", Range=f"bytes={len(whole)}-")[0] == 416
    for name in (SOUND, "01_C/short-way_C_chart.svg", "01_C/short-way_C_120.mid"):
        _, headers, _ = desk.get(f"files/{name}")
        assert "default-src 'none'" in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
    assert "sandbox" in desk.get("files/01_C/short-way_C_chart.svg")[1]["content-security-policy"]


def test_the_zip_of_everything_is_saved_under_its_name(desk: Desk, whole_pack: Path) -> None:
    found = desk.now()["contents"]["zip"]
    assert found["path"] == "short-way.zip"
    assert found["size"].endswith("B")
    status, headers, body = desk.get(f"files/{found['path']}")
    assert (status, body) == (200, (whole_pack / "short-way.zip").read_bytes())
    assert headers["content-disposition"] == 'attachment; filename="short-way.zip"'


@pytest.mark.parametrize(
    "name",
    [
        "", "../ferry.toml", "..%2fferry.toml", "%2e%2e/secret.txt", "01_C/../../secret.txt",
        "01_C%2f..%2f..%2fsecret.txt", "/etc/hostname.txt", "%2fetc%2fhostname.txt",
        "index.html", "manifest.json", "offline.js", "secret.zip", "short-way_practice.html",
        ".groove-pack/lock", SOUND + "%00", SOUND.replace("/", "%5c"),
    ],
)  # fmt: skip
def test_no_other_file_is_served(name: str, desk: Desk) -> None:
    assert desk.get(f"files/{name}")[0] == 404
    assert desk.get(f"text/{name}")[0] == 404


def test_only_the_packs_own_folder_and_overview_are_opened(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[Path] = []
    monkeypatch.setattr(routes_module, "show", lambda path: not opened.append(path))
    folder = Path(desk.now()["contents"]["path"])
    for what, path in (("folder", folder), ("overview", folder / "index.html")):
        assert desk.post("posting/open", {"what": what}) == (
            200,
            {"opened": True, "path": str(path)},
        )
    for wrong in ("/etc", "..", None, 1, ["folder"], {"what": "/etc"}):
        assert desk.post("posting/open", {"what": wrong})[0] == 404
    assert desk.post("posting/open", ["folder"])[0] == 404
    assert opened == [folder, folder / "index.html"]
    assert desk.get("open")[0] == 405


@pytest.mark.parametrize("path", ["begin", "expected"])
@pytest.mark.parametrize("body", [None, [], "x", 1, {"keys": "all"}, WISH | {"paper": "../../x"}])
def test_odd_wishes_begin_nothing(path: str, body: Any, desk: Desk) -> None:
    status, found = desk.post(f"posting/{path}", body)
    assert status == 422
    assert "\n" not in found["trouble"]


def test_the_server_does_not_end_while_a_run_is_on(tmp_path: Path, works: Any) -> None:
    (tmp_path / "ferry.toml").write_text(TEXT)
    session = Session(OpenForm.at(tmp_path / "ferry.toml", ""))
    desk = LessonPacks(session, session.lesson("ferry.toml"))
    works(WAITS)

    async def run() -> None:
        await desk.begin(read_wish(WISH))
        assert desk.job
        while desk.job.share < 0.5:
            await asyncio.sleep(0.01)
        session._alone_since -= 1e6  # no window for days
        assert not session.is_left
        desk.stop()
        assert not session.is_left
        while desk.job.is_on:
            await asyncio.sleep(0.01)

    asyncio.run(run())
    session._alone_since -= 1e6
    assert session.is_left
