"""Hostile requests to the screen's server: only its own page, with its token, gets an answer."""

from __future__ import annotations

import http.client
import json
import socket
import threading
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from groove.screen.guard import LARGEST_BODY
from groove.screen.open_form import OpenForm
from groove.screen.serve import serve

FORM = 'key = "G"\nchords = "| I7 | IV7 |"\n'
JSON = {"Content-Type": "application/json"}


class Client:
    """Sends requests to a server as they are, and says what comes back."""

    def __init__(self, address: str) -> None:
        self.parts = urlsplit(address)
        self.base = self.parts.path
        self.token = self.base.split("/")[1]

    def ask(
        self,
        path: str,
        method: str = "GET",
        body: bytes | None = None,
        headers: dict[str, str] | None = None,
    ) -> tuple[int, dict[str, str], bytes]:
        connection = http.client.HTTPConnection(self.parts.netloc, timeout=10)
        try:
            connection.request(method, path, body, headers or {})
            answer = connection.getresponse()
            found = {name.lower(): value for name, value in answer.getheaders()}
            return answer.status, found, answer.read()
        finally:
            connection.close()

    def status(
        self, path: str, method: str = "GET", body: bytes | None = None, **headers: str
    ) -> int:
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        return self.ask(path, method, body, named)[0]


@pytest.fixture(scope="module")
def form_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("lessons") / "ferry.toml"
    path.write_text(FORM)
    return path


@pytest.fixture(scope="module")
def client(form_file: Path) -> Iterator[Client]:
    ready = threading.Event()
    found: list[str] = []

    def told(address: str) -> None:
        found.append(address)
        ready.set()

    threading.Thread(target=serve, args=(OpenForm.at(form_file, ""), 0, told), daemon=True).start()
    assert ready.wait(20)
    yield Client(found[0])
    assert form_file.read_text() == FORM  # no request of this file has changed it


def test_the_page_with_its_token_gets_an_answer(client: Client) -> None:
    status, headers, body = client.ask(f"{client.base}state")
    assert (status, json.loads(body)["name"]) == (200, "ferry.toml")
    assert headers["cache-control"] == "no-store"
    assert headers["referrer-policy"] == "no-referrer"
    assert "access-control-allow-origin" not in headers


def test_every_answer_has_the_policy(client: Client) -> None:
    for path in ("", "state", "web/common.css", "web/screen/main.js", "none"):
        policy = client.ask(f"{client.base}{path}")[1]["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "http:" not in policy


@pytest.mark.parametrize(
    "path", ["/", "/ferry.toml/state", "/x/ferry.toml/state", "//state", "/%2e%2e/state"]
)
def test_without_the_token_there_is_nothing(client: Client, path: str) -> None:
    assert client.status(path) == 404


def test_a_token_that_is_nearly_right_is_wrong(client: Client) -> None:
    token = client.token
    for wrong in (token[:-1], f"{token}x", token.swapcase(), "%C3%A9", "%00"):
        assert client.status(f"/{wrong}/ferry.toml/state") == 404


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", "localhost:1", "127.0.0.1.evil.example", "[::1]", ""]
)
def test_another_host_is_refused(client: Client, host: str) -> None:
    """A name of another site that is made to point to this machine comes with its own Host."""
    assert client.status(f"{client.base}state", Host=host) in (400, 421)


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "https://127.0.0.1", "http://127.0.0.1:1", "file://"]
)
def test_a_page_from_elsewhere_is_refused(client: Client, origin: str) -> None:
    assert client.status(f"{client.base}state", Origin=origin) == 403
    assert client.status(f"{client.base}edit", "POST", b"{}", Origin=origin, **JSON) == 403


def test_its_own_origin_is_not_refused(client: Client) -> None:
    own = f"http://{client.parts.netloc}"
    assert client.status(f"{client.base}state", Origin=own, Sec_Fetch_Site="same-origin") == 200
    assert client.status(f"{client.base}state", Sec_Fetch_Site="cross-site") == 403
    assert client.status(f"{client.base}state", Sec_Fetch_Site="same-site") == 403


def test_a_form_of_a_foreign_page_can_not_be_sent(client: Client) -> None:
    """Without asking first, a foreign page can send these types alone (Fetch standard, 2.2.2)."""
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data"):
        sent = client.status(f"{client.base}edit", "POST", b'{"do":"bar"}', Content_Type=kind)
        assert sent == 415
    assert client.status(f"{client.base}edit", "POST", b"{}") == 415
    assert client.status(f"{client.base}edit", "OPTIONS") == 405
    assert client.status(f"{client.base}edit", "PUT", b"{}", **JSON) == 405


@pytest.mark.parametrize(
    "path",
    [
        "web/screen/../app.py",
        "web/screen/..%2fapp.py",
        "web/screen/%2e%2e/app.py",
        "web/practice/../../screen/app.py",
        "web/screen//etc/passwd",
        "web/fonts/../fonts/text-OFL.txt",
        "web/none/main.js",
        "web/screen/main.js%00.css",
        "web/screen/page.html",
        "sounds/-1",
        "sounds/1e9",
    ],
)
def test_no_other_file_is_read(client: Client, path: str) -> None:
    assert client.status(f"{client.base}{path}") == 404


@pytest.mark.parametrize(
    "name",
    ["other.toml", "secret.txt", ".ferry.toml.draft", "..", "%2e%2e%2fout.toml", "linked.toml",
     "ferry.toml%00", "within%2fin.toml", "C:ferry.toml"],
)  # fmt: skip
def test_only_form_files_of_the_folder_are_opened(
    client: Client, form_file: Path, name: str
) -> None:
    folder = form_file.parent
    out = folder.parent / "out.toml"
    (folder / "within").mkdir(exist_ok=True)
    for each in (folder / "secret.txt", out, folder / "within" / "in.toml"):
        each.write_text(FORM)
    linked = folder / "linked.toml"
    if not linked.is_symlink():
        linked.symlink_to(out)
    for path in ("", "state", "edit"):
        assert client.status(f"/{client.token}/{name}/{path}") in (404, 405)


def test_each_form_of_the_folder_has_a_page_of_its_own(client: Client, form_file: Path) -> None:
    (form_file.parent / "Fähre 2.toml").write_text(FORM)
    base = f"/{client.token}/F%C3%A4hre%202.toml/"
    assert json.loads(client.ask(f"{base}state")[2])["name"] == "Fähre 2.toml"
    status, headers, _ = client.ask(f"/{client.token}/")
    assert (status, headers["location"]) == (307, client.base)


def test_large_bodies_are_refused_before_they_are_read(client: Client) -> None:
    path = f"{client.base}edit"
    huge = {**JSON, "Content-Length": f"{10**12}"}
    assert client.ask(path, "POST", None, huge)[0] == 413
    assert client.status(path, "POST", b"x" * (LARGEST_BODY + 1), **JSON) == 413
    assert client.ask(path, "POST", None, {**JSON, "Content-Length": "-1"})[0] in (400, 411)
    assert client.status(path, "POST", b" " * LARGEST_BODY, **JSON) == 422


def test_a_body_without_a_length_is_refused(client: Client) -> None:
    with socket.create_connection((client.parts.hostname or "", client.parts.port or 0)) as line:
        head = f"POST {client.base}edit HTTP/1.1\r\nHost: {client.parts.netloc}\r\n"
        line.sendall(f"{head}Content-Type: application/json\r\n".encode())
        line.sendall(b"Transfer-Encoding: chunked\r\n\r\n")
        assert b" 411 " in line.recv(200)


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b'"text"',
        b"[" * 100_000,
        b"\xff\xfe",
        b'{"do":"none","version":1}',
        b'{"do":"bar","version":1,"section":-1,"bar":0,"text":"I"}',
        b'{"do":"bar","version":1,"section":0,"bar":true,"text":"I"}',
        b'{"do":"bar","version":1,"section":0,"bar":0,"text":null}',
        b'{"do":"bar","version":1,"section":0,"bar":1e400,"text":"I"}',
        b'{"do":"bar","version":1,"section":0,"bar":0,"text":"\\ud800"}',
        b'{"do":"field","version":1,"name":"a]b","value":1}',
        b'{"do":"field","version":1,"name":"title","value":{"a":1}}',
        b'{"do":"order","version":1,"lines":"A"}',
    ],
)
def test_odd_bodies_are_refused_in_one_line(client: Client, body: bytes) -> None:
    status, _, answer = client.ask(f"{client.base}edit", "POST", body, JSON)
    assert status in (409, 422)
    assert "\n" not in json.loads(answer)["trouble"]


@pytest.mark.parametrize(
    "body",
    [
        b"{",
        b"[]",
        b'{"from":"lesson","name":"../out.toml"}',
        b'{"from":"lesson","name":"\\ud800.toml"}',
        b'{"from":"lesson","name":["ferry.toml"]}',
        b'{"from":"file","name":"x.toml","content":"\\ud800"}',
        b'{"from":"empty","title":"\\u0000"}',
    ],
)
def test_a_lesson_that_can_not_begin_is_refused_in_one_line(client: Client, body: bytes) -> None:
    status, _, answer = client.ask(f"{client.base}lessons/new", "POST", body, JSON)
    assert status == 422
    assert "\n" not in json.loads(answer)["trouble"]


def test_a_long_address_is_refused(client: Client) -> None:
    assert client.status(f"{client.base}{'x' * 5_000}") == 404
    assert client.status(f"{client.base}{'x' * 100_000}") >= 400
