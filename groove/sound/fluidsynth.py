"""The synthesiser's native library, FluidSynth, as much of it as is needed: its functions with
their types, and its log.

A call lets other threads of Python run while it lasts, so that several synthesisers play at once.
The names and types are those of the library's header files, version 2.
"""

from __future__ import annotations

import ctypes
import os
import sys
from ctypes import c_char_p, c_double, c_int, c_void_p
from ctypes.util import find_library
from functools import cache
from typing import TYPE_CHECKING

from groove.errors import GrooveError

if TYPE_CHECKING:
    from collections.abc import Iterator

NO_LIBRARY = (
    "the synthesiser library is not installed (Debian: sudo apt-get install libfluidsynth3; "
    "macOS: brew install fluid-synth)"
)

_FUNCTIONS = {
    "new_fluid_settings": (c_void_p, ()),
    "delete_fluid_settings": (None, (c_void_p,)),
    "fluid_settings_setint": (c_int, (c_void_p, c_char_p, c_int)),
    "fluid_settings_setnum": (c_int, (c_void_p, c_char_p, c_double)),
    "new_fluid_synth": (c_void_p, (c_void_p,)),
    "delete_fluid_synth": (None, (c_void_p,)),
    "fluid_synth_sfload": (c_int, (c_void_p, c_char_p, c_int)),
    "fluid_synth_noteon": (c_int, (c_void_p, c_int, c_int, c_int)),
    "fluid_synth_noteoff": (c_int, (c_void_p, c_int, c_int)),
    "fluid_synth_cc": (c_int, (c_void_p, c_int, c_int, c_int)),
    "fluid_synth_program_change": (c_int, (c_void_p, c_int, c_int)),
    "fluid_synth_pitch_bend": (c_int, (c_void_p, c_int, c_int)),
    # synth, frames, then buffer, offset and step for the left and the right channel
    "fluid_synth_write_float": (
        c_int,
        (c_void_p, c_int, c_void_p, c_int, c_int, c_void_p, c_int, c_int),
    ),
    "fluid_set_log_function": (c_void_p, (c_int, c_void_p, c_void_p)),
}
"""What is called: name, type of the result, types of the arguments."""

_LOG_LEVELS = range(5)
_LOGGED_AS_ERROR = (0, 1)
_LogFunction = ctypes.CFUNCTYPE(None, c_int, c_char_p, c_void_p)


class Library:
    """The loaded library. `complaints` holds the errors that it has logged, oldest first."""

    def __init__(self, native: ctypes.CDLL) -> None:
        self.complaints: list[str] = []
        for name, (result, arguments) in _FUNCTIONS.items():
            function = getattr(native, name)
            function.restype, function.argtypes = result, arguments
        self.native = native
        self._listener = _LogFunction(self._complain)
        listener = ctypes.cast(self._listener, c_void_p)
        for level in _LOG_LEVELS:
            heard = listener if level in _LOGGED_AS_ERROR else None
            native.fluid_set_log_function(level, heard, None)

    def _complain(self, _level: int, text: bytes, _data: object) -> None:
        self.complaints.append(text.decode("utf-8", "replace"))


@cache
def library() -> Library:
    """The library, loaded at the first call. Raises `GrooveError` where there is none."""
    for name in _names():
        try:
            return Library(ctypes.CDLL(name))
        except (OSError, AttributeError):
            continue
    raise GrooveError(NO_LIBRARY)


def _names() -> Iterator[str]:
    """Where the library may be, the quickest to try first."""
    if sys.platform == "linux":
        yield "libfluidsynth.so.3"
    for name in ("fluidsynth", "fluidsynth-3", "libfluidsynth", "libfluidsynth-3"):
        found = find_library(name)
        if found:
            yield found
    for prefix in (os.environ.get("HOMEBREW_PREFIX"), "/opt/homebrew", "/usr/local"):
        if prefix and sys.platform == "darwin":
            yield f"{prefix}/lib/libfluidsynth.dylib"
