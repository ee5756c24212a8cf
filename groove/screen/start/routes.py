"""The addresses of the lessons: their list, what a lesson can begin with, and its beginning."""

from __future__ import annotations

import asyncio
from functools import cache
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from groove.errors import GrooveError
from groove.form.read import read_form
from groove.screen.answers import UNUSABLE, asked_json, lesson_of, trouble
from groove.screen.session import Session
from groove.screen.start.begin import begin
from groove.screen.start.listing import Listing
from groove.screen.start.rename import rename
from groove.screen.start.voice import newest_voice
from groove.wording import said, title_of, words_of


def routes(session: Session) -> list[Route]:
    """The addresses of a session's lessons, relative to a form's page."""
    listing = Listing(session.folder)
    one_by_one = asyncio.Lock()

    async def told(_request: Request) -> Response:
        entries = await asyncio.to_thread(listing.entries)
        voice = await asyncio.to_thread(newest_voice, session.folder)
        return JSONResponse(
            {
                "folder": str(session.folder.absolute()),
                "voice": {"title": voice.title, "says": list(voice.fields.values())},
                "lessons": [entry.as_json for entry in entries],
            }
        )

    async def begun(request: Request) -> Response:
        try:
            asked = await asked_json(request)
            async with one_by_one:
                name = await asyncio.to_thread(begin, asked, session.folder, session.is_open)
        except GrooveError as error:
            return trouble(UNUSABLE, str(error))
        return JSONResponse({"name": name})

    async def renamed(request: Request) -> Response:
        here = lesson_of(session, request)
        try:
            asked = await asked_json(request)
            name = asked.get("name") if isinstance(asked, dict) else None
            async with one_by_one:
                entries = await asyncio.to_thread(listing.entries, 0)
                better = next((each.better for each in entries if each.name == name), "")
                if not isinstance(name, str) or not better:
                    raise GrooveError(said("screen-lessons", "troubles.no_better"))
                lesson = session.lesson(name)
                async with lesson.lock:
                    new = rename(session, lesson, better, int(lesson is here))
        except GrooveError as error:
            return trouble(UNUSABLE, str(error))
        return JSONResponse({"name": new})

    return [
        Route("/lessons/list", told),
        Route("/lessons/rename", renamed, methods=["POST"]),
        Route("/lessons/shipped", _told_shipped),
        Route("/lessons/new", begun, methods=["POST"]),
    ]


async def _told_shipped(_request: Request) -> Response:
    return JSONResponse(await asyncio.to_thread(shipped))


@cache
def shipped() -> list[dict[str, Any]]:
    """The forms that come with groove: their name, title, a description, key, tempo, feel, bars."""
    found = []
    for name, about in words_of("screen-lessons")["shipped"].items():
        form = read_form(name)
        found.append(
            {
                "name": name,
                "title": title_of("forms", name),
                "about": about,
                "key": form.key.symbol,
                "tempo": f"{form.tempo:g}",
                "feel": form.feel,
                "bars": form.bars,
            }
        )
    return found
