"""Parts that all addresses of the screen's server share: the lesson, what is asked, answers."""

from __future__ import annotations

import json
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse

from groove.errors import GrooveError
from groove.screen.session import Lesson, Session

CONFLICT, UNUSABLE = 409, 422


def lesson_of(session: Session, request: Request) -> Lesson:
    """The lesson that an address names; answers 404 where its folder has no such form file."""
    try:
        return session.lesson(request.path_params["form"])
    except GrooveError:
        raise HTTPException(404) from None


async def asked_json(request: Request) -> Any:
    """The content of a request's body as JSON. Raises GrooveError where it is none."""
    try:
        return json.loads(await request.body())
    except (ValueError, RecursionError):
        raise GrooveError("the request is no JSON") from None


def trouble(status: int, words: str) -> JSONResponse:
    """An answer with the words of what is wrong."""
    return JSONResponse({"trouble": words}, status)
