"""Fixtures for the tests of sound: a soundfont and a short take."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from groove.sound.synth.soundfonts import Fonts, find_fonts
from tests.sound.sound_material import GENERAL_MIDI, midi_of, tiny_soundfont

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    import mido


@pytest.fixture(scope="session")
def fonts() -> Fonts:
    """A small soundfont with all of General MIDI."""
    return find_fonts(GENERAL_MIDI, {}, [])


@pytest.fixture
def short_take() -> mido.MidiFile:
    """A count-in of one bar at 120 and two bars with drums, bass and comping: 6 seconds."""
    clicks = [(beat, 0.2, 37, 100) for beat in range(4)]
    beat_strokes = [(4 + n / 2, 0.2, 42, 80) for n in range(16)]
    kicks = [(4 + n, 0.2, 36 if n % 2 == 0 else 38, 100) for n in range(8)]
    bass = [(4 + n, 0.9, (43, 47, 50, 52)[n % 4] - 12, 95) for n in range(8)]
    comping = [(4 + 4 * bar, 3.5, note, 70) for bar in range(2) for note in (59, 65, 69)]
    return midi_of({9: [*clicks, *beat_strokes, *kicks], 0: bass, 1: comping}, {0: 33, 1: 4})


@pytest.fixture
def soundfont_at(tmp_path: Path) -> Callable[..., Path]:
    """A function that puts a soundfont without sounds at a place under the test's folder."""

    def put(place: str, content: bytes | None = None) -> Path:
        path = tmp_path / place
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(tiny_soundfont() if content is None else content)
        return path

    return put
