"""The addresses of the screen's part for the band: patterns, instruments, and their sound."""

from __future__ import annotations

import asyncio
from functools import partial
from typing import TYPE_CHECKING, Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from groove import library
from groove.band.part import BASS, CHORDAL, COMPING, DRUMS
from groove.errors import GrooveError
from groove.form.model import FASTEST, SLOWEST
from groove.form.road.section_fields import read_instruments
from groove.rhythm.patterns import bass_pattern, comping_pattern
from groove.screen.answers import UNUSABLE, asked_json, lesson_of, trouble
from groove.screen.band.finding import patterns, styles
from groove.screen.band.instruments import instruments
from groove.screen.band.stand_in import stand_in
from groove.screen.band.two_bars import KINDS, Wish, two_bars
from groove.screen.session import Session
from groove.theory.keys import Key

if TYPE_CHECKING:
    from groove.form.model import Form
    from groove.screen.band.sounds import Sounds
    from groove.screen.session import Lesson

Json = dict[str, Any]


class _Band:
    """The state that the addresses share: the sounds, which the first to ask has made ready."""

    def __init__(self) -> None:
        self._sounds: Sounds | None = None
        self._ready: asyncio.Task[None] | None = None

    def prepared(self, form: Form) -> asyncio.Task[None]:
        """The work of making sounds ready, which begins with the first call."""
        if self._ready is None:
            self._ready = asyncio.create_task(asyncio.to_thread(self._prepare, form))
        return self._ready

    def wav(self, form: Form, wish: Wish) -> bytes:
        """Two bars as a WAV file."""
        return self.sounds.wav(two_bars(form, wish))

    @property
    def sounds(self) -> Sounds:
        """The sounds, which are loaded where they are first needed."""
        if self._sounds is None:
            from groove.screen.band.sounds import Sounds

            self._sounds = Sounds()
        return self._sounds

    def _prepare(self, form: Form) -> None:
        likely = two_bars(form, Wish(DRUMS, whole=True))
        basses = (bass_pattern(name).instrument for name in library.names(BASS))
        chords = (comping_pattern(name).instrument for name in library.names(COMPING))
        self.sounds.prepare(likely, dict.fromkeys((*basses, *chords)))


def routes(session: Session) -> list[Route]:
    """The addresses of a session, beside a form's page."""
    band = _Band()
    return [
        Route("/band/patterns", partial(_patterns, session)),
        Route("/band/ready", partial(_ready, session, band), methods=["POST"]),
        Route("/band/hear", partial(_hear, session, band), methods=["POST"]),
    ]


async def _patterns(session: Session, request: Request) -> Response:
    """The patterns for the last valid form, the players' instruments, and what is played."""
    form = _form(lesson_of(session, request))
    return JSONResponse(await asyncio.to_thread(_told, form))


def _told(form: Form) -> Json:
    found = patterns(form)
    return {
        "patterns": found,
        "styles": styles(entry for entries in found.values() for entry in entries),
        "meters": sorted({entry["meter"] for each in found.values() for entry in each} - {""}),
        "instruments": instruments(form),
        "played": {
            "drums": [form.drums.name],
            "bass": [form.bass.name],
            "comping": [each.name for each in form.comping],
            "percussion": list(form.percussion),
        },
        "brought": {
            "bass": [form.drums.bass],
            "comping": [form.drums.comping],
            "percussion": list(form.drums.percussion),
        },
        "elsewhere": {kind: _elsewhere(kind, form) for kind in KINDS},
        "tempo": form.tempo,
        "meter": str(form.meter),
        "feel": form.feel,
    }


def _elsewhere(kind: str, form: Form) -> list[str]:
    """The names of sections, and names or numbers of lines, that have their own patterns of a
    kind."""
    sections = [section.name for section in form.sections if kind in section.own]
    lines = [line.name or str(n) for n, line in enumerate(form.order, 1) if kind in line.own]
    return sections + lines


async def _ready(session: Session, band: _Band, request: Request) -> Response:
    """Answers once the sounds are ready."""
    with session.work():
        try:
            await asyncio.shield(band.prepared(_form(lesson_of(session, request))))
        except GrooveError as error:
            return trouble(UNUSABLE, str(error))
    return JSONResponse({})


async def _hear(session: Session, band: _Band, request: Request) -> Response:
    """Two bars as a WAV file."""
    form = _form(lesson_of(session, request))
    try:
        wish = wish_of(await asked_json(request), form.key.mode)
        sound = await asyncio.to_thread(band.wav, form, wish)
    except GrooveError as error:
        return trouble(UNUSABLE, str(error))
    return Response(sound, media_type="audio/wav")


def wish_of(asked: Any, mode: str = "major") -> Wish:
    """The two bars that a page asks for: ``kind``, ``name``, ``whole``; ``instrument`` with a
    ``player`` and a ``name``; ``tempo`` and ``key``, where others than the form's are set.

    mode: of the form's key. Raises GrooveError where it can't be read.
    """
    if not isinstance(asked, dict):
        raise GrooveError("the request can't be read")
    kind, name, tempo = asked.get("kind"), asked.get("name", ""), asked.get("tempo")
    if not isinstance(kind, str) or not isinstance(name, str):
        raise GrooveError("the request can't be read")
    if tempo is not None and not (type(tempo) in (int, float) and SLOWEST <= tempo <= FASTEST):
        raise GrooveError(f"a tempo is a number from {SLOWEST} to {FASTEST}")
    try:
        key = Key.parse(str(asked["key"]), mode) if "key" in asked else None
        if key and key.mode != mode:
            raise ValueError(f"found {key.symbol}; a key of the form's mode, {mode}, is allowed")
        given = _instrument(asked.get("instrument"))
    except ValueError as error:
        raise GrooveError(str(error)) from None
    return Wish(kind, name, given, asked.get("whole") is True, tempo, key)


def _instrument(asked: Any) -> tuple[tuple[str, str], ...]:
    """The instrument that is asked for. Raises ValueError."""
    if asked is None:
        return ()
    if not isinstance(asked, dict) or asked.get("player") not in (DRUMS, BASS, *CHORDAL):
        raise ValueError("there is no such player")
    return read_instruments({asked["player"]: asked.get("name")})


def _form(lesson: Lesson) -> Form:
    """The last valid form of a lesson, or one that stands in for it."""
    return lesson.form.form or stand_in(lesson.form.text)
