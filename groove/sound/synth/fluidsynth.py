"""The synthesiser's native library, FluidSynth, as much of it as is needed: its functions with
their types, and its log. The binding pyfluidsynth finds and loads it; the binding's own wrappers
lack float output and the log, so none of them is used.

A call releases Python's lock while it lasts, so that several synthesisers play at once.
The names and types are those of the library's header files, version 2.
"""

from __future__ import annotations

import contextlib
import ctypes
import importlib
import io
import mmap
from ctypes import c_char_p, c_double, c_float, c_int, c_void_p
from functools import cache
from types import SimpleNamespace
from typing import Any

from groove.errors import GrooveError

NO_LIBRARY = (
    "the synthesiser library is not installed (Debian: sudo apt-get install libfluidsynth3; "
    "macOS: brew install fluid-synth)"
)

ROOM = 64 << 20
"""Bytes of memory that must be free for the library, and for each synthesiser; that takes 4 MB and
its samples."""

_FUNCTIONS = {
    "fluid_version_str": (c_char_p, ()),
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
    "fluid_synth_key_pressure": (c_int, (c_void_p, c_int, c_int, c_int)),
    "fluid_synth_program_select": (c_int, (c_void_p, c_int, c_int, c_int, c_int)),
    "fluid_synth_all_sounds_off": (c_int, (c_void_p, c_int)),
    "fluid_synth_get_active_voice_count": (c_int, (c_void_p,)),
    # synth, channel, generator, value; the value is added to the soundfont's own
    "fluid_synth_set_gen": (c_int, (c_void_p, c_int, c_int, c_float)),
    "fluid_synth_set_custom_filter": (c_int, (c_void_p, c_int, c_int)),
    # synth, channel, bank and program of the tuning, whether sounding notes change
    "fluid_synth_activate_tuning": (c_int, (c_void_p, c_int, c_int, c_int, c_int)),
    # synth, bank and program of the tuning, notes, their keys and pitches, the same
    "fluid_synth_tune_notes": (
        c_int,
        (c_void_p, c_int, c_int, c_int, c_void_p, c_void_p, c_int),
    ),
    "new_fluid_mod": (c_void_p, ()),
    "delete_fluid_mod": (None, (c_void_p,)),
    "fluid_mod_set_source1": (None, (c_void_p, c_int, c_int)),
    "fluid_mod_set_source2": (None, (c_void_p, c_int, c_int)),
    "fluid_mod_set_dest": (None, (c_void_p, c_int)),
    "fluid_mod_set_amount": (None, (c_void_p, c_double)),
    "fluid_synth_add_default_mod": (c_int, (c_void_p, c_void_p, c_int)),
    # synth, frames, then buffer, offset and step for the left and the right channel
    "fluid_synth_write_float": (
        c_int,
        (c_void_p, c_int, c_void_p, c_int, c_int, c_void_p, c_int, c_int),
    ),
    "fluid_set_log_function": (c_void_p, (c_int, c_void_p, c_void_p)),
}
"""The functions that are called: name, type of the result, types of the arguments."""

_INPUT = 1
_LOG_LEVELS = range(5)
_LOGGED_AS_ERROR = (0, 1)
_LogFunction = ctypes.CFUNCTYPE(None, c_int, c_char_p, c_void_p)


class Library:
    """The loaded library. `complaints` holds the errors that it has logged, oldest first.

    `native` has its functions, each under its own name.
    """

    def __init__(self, binding: Any) -> None:
        self.complaints: list[str] = []
        self.native: Any = SimpleNamespace()
        for name, (result, arguments) in _FUNCTIONS.items():
            flagged = [(f"argument_{n}", kind, _INPUT) for n, kind in enumerate(arguments)]
            setattr(self.native, name, binding.cfunc(name, result, *flagged))
        self._listener = _LogFunction(self._complain)
        listener = ctypes.cast(self._listener, c_void_p)
        for level in _LOG_LEVELS:
            logger = listener if level in _LOGGED_AS_ERROR else None
            self.native.fluid_set_log_function(level, logger, None)

    def _complain(self, _level: int, text: bytes, _data: object) -> None:
        self.complaints.append(text.decode("utf-8", "replace"))


def require_room() -> None:
    """Raise MemoryError unless ROOM is free: short of memory, the library ends the program."""
    try:
        mmap.mmap(-1, ROOM, flags=mmap.MAP_PRIVATE | mmap.MAP_ANONYMOUS).close()
    except OSError:
        raise MemoryError from None


@cache
def library() -> Library:
    """The library, loaded at the first call. Raises `GrooveError` where there is none, and
    MemoryError where memory is short: the search for it would fail too.

    The binding finds and loads it, and is kept from printing.
    """
    require_room()
    try:
        with contextlib.redirect_stdout(io.StringIO()):
            return Library(importlib.import_module("fluidsynth"))
    except ModuleNotFoundError:
        raise GrooveError("the Python package pyfluidsynth is not installed") from None
    except (ImportError, OSError, AttributeError):
        raise GrooveError(NO_LIBRARY) from None
