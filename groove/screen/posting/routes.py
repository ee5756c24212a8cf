"""The addresses at which a lesson's pack is made, stopped and looked at."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from functools import partial
from typing import Any

from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route

from groove.errors import GrooveError
from groove.handout.pack.folder import INDEX, earlier
from groove.screen.answers import UNUSABLE, asked_json, lesson_of, trouble
from groove.screen.posting.contents import MEDIA, ending, shown_file, text_of
from groove.screen.posting.opener import show
from groove.screen.posting.packs import LessonPacks
from groove.screen.posting.wish import read_wish
from groove.screen.session import Lesson, Session

SAVED = ("mid", "musicxml", "zip")
"""Endings of files that a browser can't show."""
POLICY = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; sandbox"
"""Of a chart as a picture, which has its style and its faces inside; nothing in it may run."""
Answer = Callable[[LessonPacks, Request], Awaitable[Response]]


class Packs:
    """The packs of a run, lesson by lesson."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._of_lessons: dict[Lesson, LessonPacks] = {}

    def of(self, request: Request) -> LessonPacks:
        """The packs of the lesson that an address names."""
        lesson = lesson_of(self.session, request)
        if lesson not in self._of_lessons:
            self._of_lessons[lesson] = LessonPacks(self.session, lesson)
        return self._of_lessons[lesson]


def routes(session: Session) -> list[Route]:
    """The routes of a session, relative to a form's page."""
    all_packs = Packs(session)

    def at(path: str, answer: Answer, method: str = "GET") -> Route:
        return Route(path, partial(_answered, all_packs, answer), methods=[method])

    return [
        at("/posting/now", _now),
        at("/posting/expected", _expected, "POST"),
        at("/posting/begin", _begin, "POST"),
        at("/posting/stop", _stop, "POST"),
        at("/posting/open", _open, "POST"),
        at("/posting/text/{name:path}", _text),
        at("/posting/files/{name:path}", _file),
    ]


async def _answered(all_packs: Packs, answer: Answer, request: Request) -> Response:
    try:
        return await answer(all_packs.of(request), request)
    except GrooveError as error:
        return trouble(UNUSABLE, str(error))


async def _now(packs: LessonPacks, _request: Request) -> Response:
    return JSONResponse(await asyncio.to_thread(packs.now))


async def _expected(packs: LessonPacks, request: Request) -> Response:
    return JSONResponse(await packs.expected(read_wish(await asked_json(request))))


async def _begin(packs: LessonPacks, request: Request) -> Response:
    await packs.begin(read_wish(await asked_json(request)))
    return JSONResponse({})


async def _stop(packs: LessonPacks, _request: Request) -> Response:
    packs.stop()
    return JSONResponse({})


async def _open(packs: LessonPacks, request: Request) -> Response:
    """Show the pack's folder, or its overview, on this machine's desktop."""
    asked: Any = await asked_json(request)
    folder = packs.folder
    what = asked.get("what") if isinstance(asked, dict) else None
    is_known = await asyncio.to_thread(lambda: bool(earlier(folder).names))
    if what not in ("folder", "overview") or folder.is_symlink() or not is_known:
        return Response(status_code=404)
    path = folder / INDEX if what == "overview" else folder
    if path.is_symlink() or not path.exists():
        return Response(status_code=404)
    opened = await asyncio.to_thread(show, path)
    return JSONResponse({"opened": opened, "path": str(path.absolute())})


async def _text(packs: LessonPacks, request: Request) -> Response:
    """The parts of a text to post."""
    found = await asyncio.to_thread(text_of, packs.folder, request.path_params["name"], packs.form)
    return Response(status_code=404) if found is None else JSONResponse(found)


async def _file(packs: LessonPacks, request: Request) -> Response:
    """A file of the pack, or the part of it that a player asks for."""
    name = request.path_params["name"]
    path = await asyncio.to_thread(shown_file, packs.folder, name)
    if path is None:
        return Response(status_code=404)
    kind = ending(name)
    headers = {"content-security-policy": POLICY} if kind == "svg" else {}
    saved = path.name if kind in SAVED else None
    return FileResponse(path, headers=headers, media_type=MEDIA[kind], filename=saved)
