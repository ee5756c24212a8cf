"""The addresses of the lesson's part: what may be chosen, and the lesson as it is now."""

from __future__ import annotations

import asyncio
from functools import partial

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from groove.errors import GrooveError
from groove.screen.answers import UNUSABLE, lesson_of, trouble
from groove.screen.lesson.lesson_state import empty_parts, lesson_choices, lesson_state
from groove.screen.session import Session


def routes(session: Session) -> list[Route]:
    """The addresses, below that of a form's page."""
    return [
        Route("/lesson/choices", _choices),
        Route("/lesson/now", partial(_now, session)),
        Route("/lesson/empty", partial(_empty, session)),
    ]


async def _choices(_request: Request) -> Response:
    return JSONResponse(await asyncio.to_thread(lesson_choices))


async def _now(session: Session, request: Request) -> Response:
    lesson = lesson_of(session, request)
    async with lesson.lock:
        return JSONResponse(await asyncio.to_thread(lesson_state, lesson.form))


async def _empty(session: Session, request: Request) -> Response:
    """The parts that the sheet has nothing for; it takes some tenths of a second."""
    form = lesson_of(session, request).form.form
    try:
        return JSONResponse(await asyncio.to_thread(empty_parts, form) if form else [])
    except GrooveError as error:
        return trouble(UNUSABLE, str(error))
