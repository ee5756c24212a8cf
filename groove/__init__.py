"""groove: backing tracks from a form description, as MIDI and audio.

>>> import groove
>>> form = groove.read_form("twelve-bar", key="G", tempo=112, drums="rumba")
>>> groove.summary(form)  # doctest: +ELLIPSIS
'Twelve-bar blues: 12 bars of 4/4 in G major, straight at 112, 3 choruses, ...'

``groove.make(form, "out", audio="wav")`` writes the files; ``groove.compile_take(form)`` hands
over the notes; ``groove.pack(form, "out", tempos=[80, 100])`` makes everything to post.
"""

from typing import Any

from groove.errors import GrooveError
from groove.form.build import FormError
from groove.form.model import Form
from groove.form.read import read_form
from groove.make import compile_take, make, summary

__version__ = "0.1.0"
__all__ = [
    "Form",
    "FormError",
    "GrooveError",
    "compile_take",
    "make",
    "pack",
    "read_form",
    "summary",
]


def __getattr__(name: str) -> Any:
    """The pack, loaded when it is asked for: it stands on the rest of the package."""
    if name == "pack":
        from groove.handout.pack import pack

        return pack
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
