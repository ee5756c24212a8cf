"""The request for a lesson sheet: reader, instrument, tuning, position, dots and phrase."""

from __future__ import annotations

from dataclasses import dataclass, replace

from groove.errors import OptionError, nearest
from groove.form.lesson_fields import INSTRUMENTS as INSTRUMENTS
from groove.form.lesson_fields import STRINGED as STRINGED
from groove.form.model import Form
from groove.form.readers import drawn_for, reader_named
from groove.instrument.fretboard import Tuning, read_tuning

DOTS = {"names": "name", "degrees": "degree", "fingers": "finger"}


@dataclass(frozen=True, slots=True)
class Request:
    """The request for a sheet; None for the usual.

    reader: a name in READERS. instrument: one of INSTRUMENTS. Both may be common names of
    ``patterns/lesson/players.toml`` instead. tuning: a name or open strings,
    as groove.instrument.fretboard reads them. position: the fret of the first finger. dots: one
    of DOTS. phrase: in the notation of groove.lesson.phrase_notation.
    """

    reader: str = "concert"
    instrument: str | None = None
    tuning: str | None = None
    left_handed: bool = False
    position: int | None = None
    dots: str = "degrees"
    phrase: str | None = None


USUAL = Request()


def for_form(form: Form, request: Request) -> Request:
    """The request with the instrument that the form's file names, where it asks for no other."""
    asked = request.instrument or request.tuning or request.reader != USUAL.reader
    return (
        request
        if asked or not form.lesson.plays
        else replace(request, instrument=form.lesson.plays)
    )


def tuning_for(request: Request) -> Tuning | None:
    """The tuning asked for, else the usual one; None where there are no strings.

    Raises GrooveError for a request that can't be met.
    """
    instrument = instrument_for(request)
    if instrument in STRINGED:
        return read_tuning(request.tuning or instrument)
    for name, asked in (("tuning", request.tuning), ("position", request.position)):
        if asked is not None:
            raise OptionError(name, f"only for stringed instruments: {', '.join(STRINGED)}")
    return None


def instrument_for(request: Request) -> str:
    """The instrument asked for, else the usual one of the reader. Raises GrooveError for others."""
    reader, asked = reader_named(request.reader), request.instrument
    if asked is None and not request.tuning and request.position is None:
        asked = drawn_for(request.reader)
    elif asked is not None and asked not in INSTRUMENTS:
        asked = drawn_for(asked) or asked
    if asked is None:
        if request.tuning or request.position is not None:
            asked = "guitar"
        else:
            asked = "none" if reader.fifths else "bass" if reader.clef == "bass" else "guitar"
    if asked not in INSTRUMENTS:
        raise OptionError("instrument", f"found {asked!r}; {nearest(asked, INSTRUMENTS)}")
    if reader.fifths and asked in STRINGED:
        raise OptionError(
            "instrument",
            f"a {asked} reads concert pitch; for {reader.name} there are keyboard, none",
        )
    return asked
