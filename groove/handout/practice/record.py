"""The sounds of the practice page as MP3: the notes of each instrument one after another.

The kit and pianos are in stereo, all others in mono. Decoders start late by different amounts and
change the level a little, so a pulse stands at a known frame before the first note: the page counts
from there, and takes its level for full. A note that still rings where its recording ends is looped
there, its decay taken out of the loop: the page lets it decay at the same rate.
"""

from __future__ import annotations

import base64
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from groove.handout.practice.note_ends import SLICE, Loop, looped, trimmed
from groove.handout.practice.played import Played, played
from groove.handout.practice.sounds import ORGANS, Json, Recorded
from groove.sound.samples import SAMPLE_RATE
from groove.sound.synth.stroke_pool import PITCHES, SHADES
from groove.sound.synth.synth import require_memory
from groove.sound.synth.tone import Tone, kit_tone, program_tone

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from groove.sound.mix.mix_settings import MixSettings
    from groove.sound.mix.room import Room
    from groove.sound.samples import Samples
    from groove.sound.synth.soundfonts import Fonts

    Sides = NDArray[np.float32]

KIT_QUIET, QUIET = 0.0015, 0.004
"""A sound is cut where it stays below this share of its peak."""
QUALITY, ROOM_QUALITY = 4, 0
"""Of a variable rate, 0 (best) to 9."""
CARE = 2
PULSE_AT, FIRST_AT, GAP = 4410, 13230, 2205
"""Frames to the pulse, to the first note, and between two notes: no echo of the coder reaches from
one to the next."""
PULSE_WIDTH = 12.0
LOUD = 0.9
BEGINNING = 16_384
"""Frames of a note from which its loudness is told (372 ms)."""


@dataclass(frozen=True)
class Note:
    """A sound to pack. row: what the page is told of it first; more: what comes after its place."""

    sides: Sides
    row: tuple[float, ...]
    more: tuple[float, ...] = ()


def record_sounds(
    wanted: Sequence[Recorded], fonts: Fonts, settings: MixSettings, tell: Callable[[float], None]
) -> tuple[Json, dict[str, dict[int, float]]]:
    """The sounds of some instruments, by the names of their parts; and how loud their notes are.

    An entry: see `packed`; a note's row begins with pitch, velocity, and that by
    which the mix makes it as loud as it is, and ends with the cents by
    which its filter is closed, the cents that it is high, first and last frame of its loop and its
    decay there in nepers a second (0 0 0 if it isn't looped). ``release``: see `played`. ``tones``:
    by pitch, or for "other" ones, the three cents of a `Tone`; ``ways``: the ways in which equal
    notes are played, each its place in the ranges of pitch and shade.
    Loudness: by the names and by pitch the K-weighted energy of a note's beginning at velocity 127.
    tell: called with the share that is done, 0 to 1. Raises GrooveError if a soundfont is silent.
    """
    require_memory(fonts)
    sounds: Json = {}
    loud: dict[str, dict[int, float]] = {}
    for number, instrument in enumerate(wanted):
        font = fonts.of(instrument.part)
        notes, release = played(instrument, font, settings)
        name = instrument.name
        found = packed([_note(instrument, each) for each in notes if each.samples.any()])
        sounds[name] = found | {"release": release, **_tones(instrument)}
        if not instrument.is_kit:
            loud[name] = {each.wish.pitch: _energy(each) for each in notes}
        tell((number + 1) / len(wanted))
    return sounds, loud


def _note(instrument: Recorded, note: Played) -> Note:
    import numpy as np

    sides = np.ascontiguousarray(note.samples.T if instrument.stereo else _mono(note.samples))
    floor = float(np.abs(sides).max()) * (KIT_QUIET if instrument.is_kit else QUIET)
    loop: Loop = (0, 0, 0.0)
    if instrument.is_kit or float(np.abs(sides[:, -SLICE:]).max()) < floor:
        sides = trimmed(sides, floor)
    else:
        sides, loop = looped(sides, sustained=instrument.program in ORGANS)
    wish = note.wish
    row = (wish.pitch, wish.velocity, note.hard)
    return Note(sides, row, (round(note.closed), round(note.cents, 1), *loop))


def _tones(instrument: Recorded) -> Json:
    """The tone of an instrument by strength, and the ways in which equal notes differ."""
    ways = [list(way) for way in zip(PITCHES, SHADES, strict=True)]
    if not instrument.is_kit:
        return {"tones": {"other": _tone(program_tone(instrument.program))}, "ways": ways}
    pitches = sorted({wish.pitch for wish in instrument.wishes})
    return {"tones": {pitch: _tone(kit_tone(pitch)) for pitch in pitches}, "ways": ways}


def _tone(tone: Tone) -> list[float]:
    return [tone.darker, tone.pitch, tone.shade]


def room_sound(room: Room) -> Json:
    """The response of a room as a set of sounds with one note."""
    import numpy as np

    from groove.sound.mix.impulse_response import impulse_response

    sides = np.ascontiguousarray(impulse_response(room, SAMPLE_RATE).T)
    return packed([Note(sides, (0, 0, 0), (0.0, 0.0, 0.0, 0.0, 0.0))], ROOM_QUALITY)


def _mono(samples: Samples) -> Sides:
    """The sound of one side, as loud as the mean of both: of shape (1, frames)."""
    import numpy as np

    mono = samples.mean(axis=1, keepdims=True)
    energy = float(np.square(mono, dtype=np.float64).sum())
    both = float(np.square(samples, dtype=np.float64).sum()) / 2
    return np.asarray(mono.T * np.float32((both / energy) ** 0.5 if energy else 1.0))


def _energy(note: Played) -> float:
    """The K-weighted energy of the beginning of a note, as at velocity 127."""
    import numpy as np

    from groove.sound.mix.loudness import quick_energies

    beginning = np.zeros((BEGINNING, 2), np.float32)
    kept = note.samples[:BEGINNING]
    beginning[: len(kept)] = kept
    return float(quick_energies(beginning).sum()) * (127 / note.hard) ** 4


def packed(notes: Sequence[Note], quality: int = QUALITY) -> Json:
    """Notes, all with one side or all with both, as the page unpacks them.

    ``mp3`` in base64, ``rate`` in hertz, ``pulse`` in frames, ``full`` for its level, and a row
    for each note: what it begins with, first frame, frames, gain that restores its level, and what
    it ends with.
    """
    import numpy as np

    count = len(notes[0].sides)
    pieces: list[Sides] = [np.tile(_pulse(), (count, 1))]
    rows: list[list[float]] = []
    at = FIRST_AT
    for note in notes:
        peak = float(np.abs(note.sides).max())
        frames = note.sides.shape[1]
        rows.append([*note.row, at, frames, round(peak / LOUD, 5), *note.more])
        pieces += [note.sides * np.float32(LOUD / peak), np.zeros((count, GAP), np.float32)]
        at += frames + GAP
    sprite = np.ascontiguousarray(np.concatenate(pieces, axis=1).T, np.float32)
    return {
        "mp3": base64.b64encode(_mp3(sprite, quality)).decode(),
        "rate": SAMPLE_RATE,
        "sides": count,
        "pulse": PULSE_AT,
        "full": LOUD,
        "notes": rows,
    }


def _pulse() -> Sides:
    """Silence with a pulse in it, up to the first note."""
    import numpy as np

    frames = np.arange(FIRST_AT)
    return np.float32(LOUD) * np.exp(-0.5 * ((frames - PULSE_AT) / PULSE_WIDTH) ** 2).astype(
        np.float32
    )


def _mp3(sprite: Any, quality: int) -> bytes:
    """Samples of shape (frames, sides) at a variable rate."""
    from groove.sound.files.mp3 import variable
    from groove.sound.files.pcm import Quantiser

    encoder, quantiser = variable(quality, sprite.shape[1], SAMPLE_RATE, CARE), Quantiser(16, None)
    coded = encoder.encode(quantiser.int16(sprite).tobytes())
    return bytes(coded) + bytes(encoder.flush())
