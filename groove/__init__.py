"""groove: backing tracks from a form description, as MIDI and audio.

>>> import groove
>>> form = groove.read_form("twelve-bar", key="G", tempo=112, drums="rumba")
>>> groove.summary(form)  # doctest: +ELLIPSIS
'Twelve-bar blues: 12 bars of 4/4 in G major, straight at 112, 3 choruses, ...'

``groove.make(form, "out", audio="wav")`` writes the files; ``groove.compile_take(form)`` hands
over the notes.
"""

from groove.errors import GrooveError
from groove.form.build import FormError
from groove.form.model import Form
from groove.form.read import read_form
from groove.make import compile_take, make, summary

__version__ = "0.1.0"
__all__ = ["Form", "FormError", "GrooveError", "compile_take", "make", "read_form", "summary"]
