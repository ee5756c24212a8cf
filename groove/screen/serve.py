"""Runs the screen's server on this machine alone until it is stopped or left."""

from __future__ import annotations

import asyncio
import random
import signal
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from urllib.parse import quote

import uvicorn

from groove.errors import GrooveError
from groove.screen.app import application
from groove.screen.guard import Guard, new_token
from groove.screen.open_form import OpenForm
from groove.screen.session import Session

HERE = "127.0.0.1"
DYNAMIC = range(49_152, 65_536)
"""The ports that are assigned to no service (RFC 6335, section 6)."""
TRIES = 20
STOPPING = (signal.SIGINT, signal.SIGTERM)
SECONDS_TO_CLOSE = 1
LOOK_EVERY = 1.0
"""Seconds between two looks whether a window is there."""


def serve(form: OpenForm, port: int, ready: Callable[[str], None]) -> None:
    """Serve the screen of a form until Ctrl-C, or until no window has been there for two minutes.

    port: 0 for any free one. ready: called with the page's address once it can be opened. Raises
    GrooveError where the port is taken.
    """
    bound = _bound(port)
    number = bound.getsockname()[1]
    token = new_token()
    session = Session(form)
    hosts = [f"{name}:{number}" for name in (HERE, "localhost")]
    guarded = Guard(application(session), token, hosts)
    server = _Server(
        uvicorn.Config(
            guarded,
            lifespan="off",
            ws="none",
            log_config=None,
            access_log=False,
            server_header=False,
            timeout_graceful_shutdown=SECONDS_TO_CLOSE,
            h11_max_incomplete_event_size=16_384,
        )
    )

    async def run() -> None:
        def stop() -> None:
            session.end()
            server.should_exit = True

        with suppress(RuntimeError, ValueError, NotImplementedError):  # signals reach one thread
            for each in STOPPING:
                asyncio.get_running_loop().add_signal_handler(each, stop)
        running = asyncio.create_task(server.serve([bound]))
        while not server.started and not running.done():
            await asyncio.sleep(0.005)
        if not running.done():
            ready(f"http://{HERE}:{number}/{token}/{quote(session.first)}/")
        while not running.done():
            server.should_exit = server.should_exit or session.is_left
            await asyncio.wait([running], timeout=LOOK_EVERY)
        running.result()

    asyncio.run(run())


class _Server(uvicorn.Server):
    """A server that leaves signals to the loop that it runs in."""

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        yield


def _bound(port: int) -> socket.socket:
    """A socket of this machine on a port; 0: on a free one of DYNAMIC, as browsers refuse some of
    the others."""
    tries = [port] if port else random.SystemRandom().sample(DYNAMIC, TRIES)
    for number in tries:
        bound = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        try:
            bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            bound.bind((HERE, number))
            return bound
        except OSError as error:
            bound.close()
            if number == tries[-1]:
                text = f"port {number}: can't be used: {error.strerror}; 0 takes a free one"
                raise GrooveError(text) from None
    raise AssertionError
