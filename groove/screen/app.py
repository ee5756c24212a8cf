"""The screen's server as an ASGI application: its page, and what the page asks and tells."""

from __future__ import annotations

import asyncio
import json
import re
import time
from collections.abc import AsyncIterator, Callable
from functools import partial
from importlib.resources import files
from typing import Any

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from groove.errors import GrooveError
from groove.handout.web import common_style
from groove.screen.edits import edit_of
from groove.screen.open_form import ConflictError
from groove.screen.page import choices, page_html, words
from groove.screen.sections import state_of
from groove.screen.workroom import Workroom

CONFLICT, UNUSABLE = 409, 422
KINDS = {".js": "text/javascript", ".css": "text/css", ".ttf": "font/ttf"}
HOMES = {
    "screen": ("groove.screen", "web"),
    "practice": ("groove.handout.practice", "web"),
    "fonts": ("groove.handout.drawing", "fonts"),
}
"""Folders of the page's sources: its own, the practice page's, which it shares, and the faces."""
HEARTBEAT = 5.0
"""Seconds between two signs of life to a window."""


def application(room: Workroom) -> Starlette:
    """The application of a workroom."""
    return Starlette(
        routes=[
            Route("/", _page),
            Route("/web/{name:path}", _source),
            Route("/state", _answering(lambda _asked: state_of(room.form), room)),
            Route("/words", _answering(lambda _asked: words(), room)),
            Route("/choices", _answering(lambda _asked: choices(), room)),
            Route("/edit", _answering(lambda asked: _edit(room, asked), room), methods=["POST"]),
            Route("/undo", _answering(lambda asked: _undo(room, asked), room), methods=["POST"]),
            Route("/redo", _answering(lambda asked: _redo(room, asked), room), methods=["POST"]),
            Route("/music", partial(_music, room)),
            Route("/sounds/{number:int}", partial(_sounds, room)),
            Route(
                "/take-from-disk",
                _answering(lambda _asked: _take_from_disk(room), room),
                methods=["POST"],
            ),
            Route(
                "/keep-over-disk",
                _answering(lambda _asked: _keep_over_disk(room), room),
                methods=["POST"],
            ),
            Route("/events", partial(_events, room)),
        ]
    )


async def _music(room: Workroom, _request: Request) -> Response:
    """The notes of the last valid form; it is made beforehand after each edit."""
    try:
        return Response(await room.music(), media_type="application/json")
    except GrooveError as error:
        return _trouble(UNUSABLE, str(error))


async def _sounds(room: Workroom, request: Request) -> Response:
    found = await asyncio.to_thread(room.live.sounds, request.path_params["number"])
    if found is None:
        return Response(status_code=404)
    return Response(found, media_type="application/json")


def _edit(room: Workroom, asked: Any) -> Any:
    step = asked.get("step") if isinstance(asked, dict) else None
    room.form.edit(edit_of(asked), _version(asked), step if isinstance(step, str) else "")
    return state_of(room.form)


def _undo(room: Workroom, asked: Any) -> Any:
    room.form.undo(_version(asked))
    return state_of(room.form)


def _redo(room: Workroom, asked: Any) -> Any:
    room.form.redo(_version(asked))
    return state_of(room.form)


def _take_from_disk(room: Workroom) -> Any:
    room.form.take_from_disk()
    return state_of(room.form)


def _keep_over_disk(room: Workroom) -> Any:
    room.form.keep_over_disk()
    return state_of(room.form)


def _version(asked: Any) -> int:
    version = asked.get("version") if isinstance(asked, dict) else None
    return version if isinstance(version, int) else -1


def _answering(answer: Callable[[Any], Any], room: Workroom) -> Callable[[Request], Any]:
    """An endpoint that answers JSON with JSON, one request after the other, in a thread."""

    async def endpoint(request: Request) -> Response:
        asked = None
        if request.method == "POST":
            try:
                asked = json.loads(await request.body())
            except (ValueError, RecursionError):
                return _trouble(UNUSABLE, "the request is no JSON")
        try:
            async with room.lock:
                found = await asyncio.to_thread(answer, asked)
        except ConflictError as error:
            async with room.lock:
                state = await asyncio.to_thread(state_of, room.form)
            return JSONResponse({"trouble": str(error), "state": state}, CONFLICT)
        except GrooveError as error:
            return _trouble(UNUSABLE, str(error))
        if request.method == "POST":
            room.tell(f"changed {room.form.version}")
        return JSONResponse(found)

    return endpoint


def _trouble(status: int, words: str) -> JSONResponse:
    return JSONResponse({"trouble": words}, status)


async def _page(_request: Request) -> Response:
    return HTMLResponse(page_html())


async def _source(request: Request) -> Response:
    """A file of the page's sources."""
    name = request.path_params["name"]
    if name == "common.css":
        return Response(common_style(), media_type="text/css")
    home, _, rest = name.partition("/")
    parts = rest.split("/")
    kind = KINDS.get(f".{parts[-1].rpartition('.')[2]}")
    if home not in HOMES or kind is None or not all(map(_is_plain, parts)):
        return Response(status_code=404)
    package, folder = HOMES[home]
    place = files(package) / folder
    for part in parts:
        place = place / part
    if not place.is_file():
        return Response(status_code=404)
    return Response(place.read_bytes(), media_type=kind)


def _is_plain(part: str) -> bool:
    return re.sub("[_-]", "", part).replace(".", "", 1).isalnum() and part.isascii()


async def _events(room: Workroom, request: Request) -> Response:
    """A stream of what happens, for as long as a window is open."""

    async def stream() -> AsyncIterator[str]:
        with room.window() as told:
            outside = room.form.changed_outside()
            while not await request.is_disconnected():
                async with room.lock:
                    before, outside = outside, await asyncio.to_thread(room.form.changed_outside)
                if outside and not before:
                    yield "data: changed\n\n"
                try:
                    word = await asyncio.wait_for(told.get(), HEARTBEAT)
                    yield f"data: {word}\n\n"
                except TimeoutError:
                    yield f": {time.time():.0f}\n\n"

    return StreamingResponse(stream(), media_type="text/event-stream")
