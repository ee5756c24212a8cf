"""The addresses of the lesson's part: what may be chosen, and the lesson as it is now."""

from __future__ import annotations

import asyncio
from functools import partial

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from groove.screen.answers import lesson_of
from groove.screen.lesson.lesson_state import lesson_choices, lesson_state
from groove.screen.session import Session


def routes(session: Session) -> list[Route]:
    """The addresses, below that of a form's page."""
    return [
        Route("/lesson/choices", _choices),
        Route("/lesson/now", partial(_now, session)),
    ]


async def _choices(_request: Request) -> Response:
    return JSONResponse(await asyncio.to_thread(lesson_choices))


async def _now(session: Session, request: Request) -> Response:
    lesson = lesson_of(session, request)
    async with lesson.lock:
        return JSONResponse(await asyncio.to_thread(lesson_state, lesson.form))
