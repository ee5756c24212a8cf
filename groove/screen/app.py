"""The screen's server as an ASGI application: its page, and what the page asks and tells."""

from __future__ import annotations

import asyncio
import re
import time
from collections.abc import AsyncIterator, Callable
from functools import partial
from importlib import import_module
from importlib.resources import files
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import (
    HTMLResponse,
    JSONResponse,
    RedirectResponse,
    Response,
    StreamingResponse,
)
from starlette.routing import Mount, Route, Router

from groove.errors import GrooveError
from groove.handout.web import common_style
from groove.screen.answers import CONFLICT, UNUSABLE, asked_json, lesson_of, trouble
from groove.screen.edits import edit_of
from groove.screen.open_form import ConflictError, OpenForm
from groove.screen.page import page_html
from groove.screen.sections import state_of
from groove.screen.session import Session

if TYPE_CHECKING:
    from starlette.types import Receive, Scope, Send

KINDS = {".js": "text/javascript", ".css": "text/css", ".ttf": "font/ttf"}
HOMES = {
    "screen": ("groove.screen", "web"),
    "practice": ("groove.handout.practice", "web"),
    "fonts": ("groove.handout.drawing", "fonts"),
}
"""Folders of the page's sources: its own, the practice page's, which it shares, and the faces."""
KEYS = tuple(map(str, range(12)))
"""The numbers of keys, from C up."""
HEARTBEAT = 5.0
"""Seconds between two signs of life to a window."""


def application(session: Session) -> Starlette:
    """The application of a session: each form file of its folder has a page of its own, from which
    all other addresses follow."""
    of_a_form = [
        Route("/", partial(_page, session)),
        Route("/web/{name:path}", _source),
        Route("/state", partial(_state, session)),
        *(
            Route(f"/{name}", partial(_change, session, each), methods=["POST"])
            for name, each in CHANGES.items()
        ),
        Route("/music", partial(_music, session)),
        Route("/sounds/{number:int}", partial(_sounds, session)),
        Route("/events", partial(_events, session)),
        *(
            Route(f"/{name}/{{rest:path}}", _Part(session, module))
            for name, module in PARTS.items()
        ),
    ]
    return Starlette(
        routes=[Route("/", partial(_first, session)), Mount("/{form}", routes=of_a_form)]
    )


class _Part:
    """The addresses of a part of the page, loaded with the first request of them."""

    def __init__(self, session: Session, module: str) -> None:
        self.session, self.module = session, module
        self._loading = asyncio.Lock()
        self._router: Router | None = None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request."""
        async with self._loading:
            if self._router is None:
                module = await asyncio.to_thread(import_module, self.module)
                self._router = Router(module.routes(self.session))
        await self._router(scope, receive, send)


async def _first(session: Session, request: Request) -> Response:
    """The way to the form that was opened first."""
    return RedirectResponse(f"{request.scope['root_path']}/{quote(session.first)}/", 307)


async def _state(session: Session, request: Request) -> Response:
    """The form's state, which is made in a thread, one request after the other."""
    lesson = lesson_of(session, request)
    async with lesson.lock:
        return JSONResponse(await asyncio.to_thread(state_of, lesson.form))


async def _change(session: Session, change: Change, request: Request) -> Response:
    """Change the form as JSON asks, one request after the other; answer with its state."""
    lesson = lesson_of(session, request)

    def changed(asked: Any) -> Any:
        change(lesson.form, asked)
        return state_of(lesson.form)

    try:
        asked = await asked_json(request)
        async with lesson.lock:
            try:
                found = await asyncio.to_thread(changed, asked)
            except ConflictError as error:
                state = await asyncio.to_thread(state_of, lesson.form)
                return JSONResponse({"trouble": str(error), "state": state}, CONFLICT)
    except GrooveError as error:
        return trouble(UNUSABLE, str(error))
    lesson.tell(f"changed {lesson.form.version}")
    return JSONResponse(found)


def _edit(form: OpenForm, asked: Any) -> None:
    step = asked.get("step") if isinstance(asked, dict) else None
    form.edit(edit_of(asked), _version(asked), step if isinstance(step, str) else "")


def _version(asked: Any) -> int:
    version = asked.get("version") if isinstance(asked, dict) else None
    return version if isinstance(version, int) else -1


Change = Callable[[OpenForm, Any], None]
CHANGES: dict[str, Change] = {
    "edit": _edit,
    "undo": lambda form, asked: form.undo(_version(asked)),
    "redo": lambda form, asked: form.redo(_version(asked)),
    "take-from-disk": lambda form, _asked: form.take_from_disk(),
    "keep-over-disk": lambda form, _asked: form.keep_over_disk(),
}
"""The changes that a window may ask for, by the names of their addresses."""
PARTS = {
    "band": "groove.screen.band.routes",
    "lesson": "groove.screen.lesson.routes",
    "lessons": "groove.screen.start.routes",
    "posting": "groove.screen.posting.routes",
    "preview": "groove.screen.preview.routes",
}
"""The modules with the addresses of the page's other parts, by the first word of these."""


async def _music(session: Session, request: Request) -> Response:
    """The notes of the last valid form. key: in the query, the number of another key than its own,
    from 0 for C."""
    key = request.query_params.get("key", "")
    if key and key not in KEYS:
        return trouble(UNUSABLE, "there is no such key")
    try:
        music = await lesson_of(session, request).music(int(key) if key else None)
    except GrooveError as error:
        return trouble(UNUSABLE, str(error))
    return Response(music, media_type="application/json")


async def _sounds(session: Session, request: Request) -> Response:
    live = lesson_of(session, request).live
    found = await asyncio.to_thread(live.sounds, request.path_params["number"])
    if found is None:
        return Response(status_code=404)
    return Response(found, media_type="application/json")


async def _page(session: Session, request: Request) -> Response:
    lesson_of(session, request)
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


async def _events(session: Session, request: Request) -> Response:
    """A stream of what happens, for as long as a window is open."""
    lesson = lesson_of(session, request)
    form = lesson.form

    async def stream() -> AsyncIterator[str]:
        with session.window(lesson) as told:
            outside = form.changed_outside()
            while not session.is_over and not await request.is_disconnected():
                async with lesson.lock:
                    before, outside = outside, await asyncio.to_thread(form.changed_outside)
                if outside and not before:
                    yield "data: changed\n\n"
                try:
                    word = await asyncio.wait_for(told.get(), HEARTBEAT)
                    if session.is_over:
                        return
                    yield f"data: {word}\n\n"
                except TimeoutError:
                    yield f": {time.time():.0f}\n\n"

    return StreamingResponse(stream(), media_type="text/event-stream")
