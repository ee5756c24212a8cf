"""The addresses of the previews below a form's page."""

from __future__ import annotations

import asyncio
from functools import partial
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from groove.errors import GrooveError
from groove.screen.answers import UNUSABLE, asked_json, lesson_of, trouble
from groove.screen.preview.choice import Choice, audience_named
from groove.screen.preview.handouts import Handouts, LaidOut
from groove.screen.preview.practice import PracticePage, PracticePages

if TYPE_CHECKING:
    from groove.form.model import Form
    from groove.screen.session import Lesson, Session

NOTHING_YET = "there is nothing to show yet"
PERCENT = 100


class _Preview:
    """The previews of one lesson. Its locks are its own, so no edit waits for it."""

    def __init__(self) -> None:
        self.handouts, self.pages = Handouts(), asyncio.Lock()
        self.practice, self.making = PracticePages(), asyncio.Lock()


class _Previews:
    """The previews of all lessons of a session, for as long as those are open."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._of: WeakKeyDictionary[Lesson, _Preview] = WeakKeyDictionary()

    def of(self, request: Request) -> tuple[Lesson, _Preview]:
        """The lesson that an address names, and its previews."""
        lesson = lesson_of(self.session, request)
        return lesson, self._of.setdefault(lesson, _Preview())


def routes(session: Session) -> list[Route]:
    """The addresses: what a handout holds, its pages, its PDF; the practice page, its file."""
    previews = _Previews(session)
    return [
        Route("/preview/pages", partial(_pages, previews)),
        Route("/preview/pages/{number:int}/{page:int}", partial(_page, previews)),
        Route("/preview/pdf", partial(_pdf, previews)),
        Route("/preview/practice", partial(_make_practice, previews), methods=["POST"]),
        Route("/preview/practice/page", partial(_practice, previews)),
        Route("/preview/practice/file", partial(_practice_file, previews)),
    ]


async def _laid_out(previews: _Previews, request: Request) -> LaidOut:
    """The handout that is asked for, of the form as it is when its turn has come: who waits while
    edits go on gets the newest. Raises GrooveError."""
    lesson, preview = previews.of(request)
    choice = Choice.read(request.query_params)
    async with preview.pages:
        return await asyncio.to_thread(preview.handouts.laid_out, _form(lesson), choice)


def _form(lesson: Lesson) -> Form:
    if lesson.form.form is None:
        raise GrooveError(NOTHING_YET)
    return lesson.form.form


async def _pages(previews: _Previews, request: Request) -> Response:
    try:
        return JSONResponse((await _laid_out(previews, request)).told())
    except GrooveError as error:
        return trouble(UNUSABLE, str(error))


async def _page(previews: _Previews, request: Request) -> Response:
    """A page as SVG; 404 where the form has changed since, or has no such page."""
    _, preview = previews.of(request)
    number, page = request.path_params["number"], request.path_params["page"]
    handout = preview.handouts.numbered(number)
    drawn = await asyncio.to_thread(handout.svg, page) if handout else None
    if drawn is None:
        return Response(status_code=404)
    return Response(drawn, media_type="image/svg+xml")


async def _pdf(previews: _Previews, request: Request) -> Response:
    try:
        handout = await _laid_out(previews, request)
        content = await asyncio.to_thread(handout.pdf)
    except GrooveError as error:
        return trouble(UNUSABLE, str(error))
    return _file(content, f"{handout.stem}.pdf", "application/pdf")


async def _make_practice(previews: _Previews, request: Request) -> Response:
    """Make the practice page for an audience; answer with its number and its size in bytes.

    Windows are told of the step that it is at and the percentage that is done: ``practice sounds
    46``."""
    lesson, preview = previews.of(request)
    try:
        asked = await asked_json(request)
        audience = audience_named(asked.get("for") if isinstance(asked, dict) else None)
        async with preview.making:
            with previews.session.work():
                made = await _made(lesson, preview.practice, audience)
    except GrooveError as error:
        return trouble(UNUSABLE, str(error))
    return JSONResponse({"number": made.number, "bytes": len(made.text.encode())})


async def _made(lesson: Lesson, pages: PracticePages, audience: str) -> PracticePage:
    loop = asyncio.get_running_loop()

    def tell(step: str, share: float) -> None:
        loop.call_soon_threadsafe(lesson.tell, f"practice {step} {round(PERCENT * share)}")

    return await asyncio.to_thread(pages.page, _form(lesson), audience, tell)


async def _practice(previews: _Previews, request: Request) -> Response:
    """The newest practice page, with a policy of its own; 404 where none is made yet."""
    page = previews.of(request)[1].practice.newest
    if page is None:
        return Response(status_code=404)
    policy = {"content-security-policy": page.policy}
    return Response(page.text, media_type="text/html", headers=policy)


async def _practice_file(previews: _Previews, request: Request) -> Response:
    page = previews.of(request)[1].practice.newest
    if page is None:
        return Response(status_code=404)
    return _file(page.text.encode(), page.file_name, "application/octet-stream")


def _file(content: bytes, name: str, kind: str) -> Response:
    """A file to save under a name (RFC 6266)."""
    from urllib.parse import quote

    headers = {"content-disposition": f"attachment; filename*=UTF-8''{quote(name)}"}
    return Response(content, media_type=kind, headers=headers)
