"""The guard before the screen's server: only pages that it has served itself get an answer.

The server listens to this machine alone, but other programs and pages of other sites on it can
still send requests. So each address begins with a secret token, the Host must be this server's own
(against names that are made to point here), the Origin, where the browser names one, too, and a
body must be JSON and of a limited size (a foreign form can't send that).
"""

from __future__ import annotations

import secrets
from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

LARGEST_BODY = 1_000_000
"""Bytes; ten times the largest form file."""
LONGEST_ADDRESS = 4_000
HEADERS = {
    "cache-control": "no-store",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "referrer-policy": "no-referrer",
    "x-content-type-options": "nosniff",
    "x-frame-options": "SAMEORIGIN",
}
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self' data:",  # the audio thread's program is a data address
        "worker-src 'self' blob:",
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "media-src 'self' blob:",
        "connect-src 'self'",
        "frame-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'self'",
    )
)
"""The content security policy of everything but the practice page, which brings its own."""


def new_token() -> str:
    """A token that nobody can guess: 128 bits."""
    return secrets.token_urlsafe(16)


class Guard:
    """An ASGI application before another one, which refuses what did not come from our own page.

    token: the first part of every address. hosts: those under which the server is reached.
    """

    def __init__(self, app: ASGIApp, token: str, hosts: Iterable[str]) -> None:
        self.app, self.token, self.hosts = app, token, frozenset(hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        refused = self._refused(scope)
        if refused:
            await _refuse(send, refused)
            return
        inner = {**scope, "root_path": f"/{self.token}"}
        await self.app(inner, _Limited(receive), _with_headers(send))

    def _refused(self, scope: Scope) -> int:
        """The status with which a request is refused, 0 for one that may pass."""
        headers = [(name.lower(), value) for name, value in scope["headers"]]
        given = {name: value.decode("latin-1") for name, value in headers}
        hosts = [value for name, value in headers if name == b"host"]
        if len(hosts) != 1 or given[b"host"] not in self.hosts:
            return 421
        origin = given.get(b"origin")
        if origin is not None and origin not in {f"http://{host}" for host in self.hosts}:
            return 403
        if given.get(b"sec-fetch-site", "none") not in ("none", "same-origin"):
            return 403
        path = str(scope["path"])
        first = path[1:].partition("/")[0]
        if len(path) > LONGEST_ADDRESS or not secrets.compare_digest(
            first.encode(), self.token.encode()
        ):
            return 404
        if scope["method"] not in ("GET", "HEAD", "POST"):
            return 405
        if scope["method"] == "POST":
            kind = given.get(b"content-type", "").partition(";")[0].strip().lower()
            if kind != "application/json":
                return 415
            length = given.get(b"content-length", "")
            if not length.isdecimal():
                return 411
            if int(length) > LARGEST_BODY:
                return 413
        return 0


class _Limited:
    """The messages of a request whose body is cut off where it grows too large."""

    def __init__(self, receive: Receive) -> None:
        self.receive, self.taken = receive, 0

    async def __call__(self) -> Message:
        message = await self.receive()
        self.taken += len(message.get("body", b""))
        return {"type": "http.disconnect"} if self.taken > LARGEST_BODY else message


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = list(message.get("headers", []))
            names = {name for name, _ in headers}
            usual = HEADERS | {"content-security-policy": POLICY}
            headers += [
                (name.encode(), value.encode())
                for name, value in usual.items()
                if name.encode() not in names
            ]
            message = {**message, "headers": headers}
        await send(message)

    return sending


async def _refuse(send: Send, status: int) -> None:
    headers = [(name.encode(), value.encode()) for name, value in HEADERS.items()]
    headers.append((b"content-length", b"0"))
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": b""})
