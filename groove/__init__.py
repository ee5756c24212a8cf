"""groove: backing tracks from a form description, as MIDI and audio.

>>> import groove
>>> form = groove.read_form("twelve-bar", key="G", tempo=112, drums="rumba")
>>> groove.summary(form)  # doctest: +ELLIPSIS
'Twelve-bar blues: 12 bars of 4/4 in G blues, straight at 112, 3 choruses, ...'

``groove.make(form, "out", audio="wav")`` writes the files; ``groove.compile_take(form)`` returns
the notes; ``groove.pack(form, "out", tempos=[80, 100])`` makes everything to post.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from groove.errors import GrooveError
    from groove.form.build import FormError
    from groove.form.model import Form
    from groove.form.read import read_form
    from groove.handout.pack.make import pack
    from groove.track import compile_take, make, summary

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

_HOMES = {
    "Form": "groove.form.model",
    "FormError": "groove.form.build",
    "GrooveError": "groove.errors",
    "compile_take": "groove.track",
    "make": "groove.track",
    "pack": "groove.handout.pack.make",
    "read_form": "groove.form.read",
    "summary": "groove.track",
}


def __getattr__(name: str) -> Any:
    """A name of the package, whose modules are loaded when it is first used."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(_HOMES[name]), name)
    globals()[name] = value  # over the module of the same name, which the import has put there
    return value
