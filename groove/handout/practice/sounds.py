"""The sounds of the practice page: single notes by our own synthesis, packed small.

Each stroke of the kit is recorded at a few strengths, bass and comping on every few semitones, dry
and in mono. They stand one after another in one MP3 an instrument. Decoders start late by amounts
of their own, so a pulse stands at a known place before the first note, and the page counts from
where it finds that.
"""

from __future__ import annotations

import base64
import ctypes
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from groove.errors import GrooveError
from groove.rhythm.kit import DRUM_CHANNEL
from groove.sound.files.mp3 import lame
from groove.sound.samples import GRAIN, SAMPLE_RATE
from groove.sound.synth.reverbs import Reverb
from groove.sound.synth.scores import Event
from groove.sound.synth.synth import Synth, require_memory

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from groove.sound.synth.soundfonts import Soundfont

    Mono = NDArray[np.float32]
    Stereo = NDArray[np.float32]

STEP = 3
"""Semitones from one recorded pitch to the next: no note is bent by more than one."""
STRENGTHS = (0.25, 0.6, 0.92)
"""Of the strokes of a kit voice, sorted by weight, which are recorded."""
STRUCK_SECONDS, HELD_SECONDS = 2.4, 4.0
"""How long a stroke of the kit and a note of an instrument are recorded, at the most."""
QUIET = {"drums": 0.003, "bass": 0.004, "comping": 0.004}
"""Of its peak: a sound is cut where it stays below this."""
KILOBITS = {"drums": 128, "bass": 96, "comping": 112}
CARE = 2
KEPT = 0.949
"""Of its level, that LAME leaves a mono sound at these rates (measured)."""
SUSTAINS = 0.6
"""A note that keeps this much of its level to its last second is looped, as an organ's is."""
LOOP_SECONDS, CROSSFADE_SECONDS = 1.0, 0.35
FADE_SECONDS = 0.012
PULSE_AT, FIRST_AT, GAP = 4410, 13230, 2205
"""Frames to the pulse, to the first note, and between two notes: no echo of the coder reaches from
one to the next."""
PULSE_WIDTH = 12.0
LOUD = 0.9
DRY = Reverb(size=0.0, damping=0.0, width=0.0, level=0.0)

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Wish:
    """A note to record: pitch and velocity of MIDI, and for how many seconds."""

    pitch: int
    velocity: int
    seconds: float


@dataclass(frozen=True, slots=True)
class Instrument:
    """What to record of a part: its program, whether it is the kit, and its notes."""

    name: str
    program: int
    wishes: tuple[Wish, ...]

    @property
    def is_kit(self) -> bool:
        return self.name == "drums"


def instruments(data: Json) -> tuple[Instrument, ...]:
    """What the parts of a page's data need, the click with the drums."""
    found = []
    for part in data["parts"]:
        struck: dict[int, list[int]] = {}
        for key in data["keys"]:
            for kind in ("round", "landing"):
                stream = data["streams"][key[kind][part["name"]]]
                for pitch, velocity in zip(stream[2::5], stream[3::5], strict=True):
                    struck.setdefault(pitch, []).append(velocity)
        wishes = _strokes(struck, data["click"]) if part["name"] == "drums" else _notes(struck)
        found.append(Instrument(part["name"], part["program"], tuple(wishes)))
    return tuple(found)


def _strokes(struck: dict[int, list[int]], click: int) -> Iterator[Wish]:
    """Each voice at a few of the strengths at which it is struck."""
    for pitch, velocities in sorted(({click: [90]} | struck).items()):
        ordered = sorted(velocities)
        chosen = {ordered[int(share * len(ordered))] for share in STRENGTHS}
        last = 0
        for velocity in sorted(chosen):
            if velocity >= last + 6:
                yield Wish(pitch, velocity, STRUCK_SECONDS)
                last = velocity


def _notes(struck: dict[int, list[int]]) -> Iterator[Wish]:
    """Pitches that all others are near to, at the strength that is struck most."""
    velocities = sorted(v for every in struck.values() for v in every)
    usual = velocities[len(velocities) // 2]
    reached = -1
    for pitch in sorted(struck):
        if pitch > reached:
            yield Wish(pitch + STEP // 2, usual, HELD_SECONDS)
            reached = pitch + STEP - 1


def record_sounds(
    wanted: Sequence[Instrument], soundfont: Soundfont, tell: Callable[[float], None]
) -> Json:
    """The sounds of some instruments, by the names of their parts.

    An entry: ``mp3`` in base64, ``rate`` and ``pulse`` in frames, and a row for each note: pitch,
    velocity, first frame, frames, gain to bring it back to the synthesiser's level, place from -1
    (left) to 1, and the frames from which and up to which it is looped (0 0 if it is not).
    tell: is told how much is done, 0 to 1. Raises GrooveError where a sound cannot be made.
    """
    require_memory(soundfont)
    sounds = {}
    for number, instrument in enumerate(wanted):
        sounds[instrument.name] = _pack(instrument, _played(instrument, soundfont))
        tell((number + 1) / len(wanted))
    return sounds


def _played(instrument: Instrument, soundfont: Soundfont) -> list[Stereo]:
    """Each note of an instrument by itself."""
    import mido
    import numpy as np

    channel = DRUM_CHANNEL if instrument.is_kit else 0
    events = [
        Event(0, mido.Message("program_change", channel=channel, program=instrument.program)),
        *(
            Event(0, mido.Message("control_change", channel=channel, control=control, value=value))
            for control, value in ((7, 127), (10, 64), (91, 0))
        ),
    ]
    starts, frame = [], 0
    for wish in instrument.wishes:
        length = GRAIN * round(wish.seconds * SAMPLE_RATE / GRAIN)
        note = {"channel": channel, "note": wish.pitch, "velocity": wish.velocity}
        events.append(Event(frame, mido.Message("note_on", **note)))
        events.append(Event(frame + length, mido.Message("note_off", **note)))
        starts.append((frame, length))
        frame += 2 * length
    block = (ctypes.c_float * (2 * frame))()
    with Synth(soundfont, events, DRY) as synth:
        synth.fill(block)
    whole = np.ctypeslib.as_array(block).reshape(-1, 2)
    if not np.isfinite(whole).all() or not whole.any():
        raise GrooveError(f"soundfont {soundfont.path}: it makes no sound for {instrument.name}")
    return [whole[start : start + length] for start, length in starts]


def _pack(instrument: Instrument, notes: list[Stereo]) -> Json:
    import numpy as np

    pieces: list[Mono] = [_pulse()]
    rows: list[list[float]] = []
    at = FIRST_AT
    for wish, stereo in zip(instrument.wishes, notes, strict=True):
        mono, place = _mono(stereo)
        peak = float(np.abs(mono).max())
        if peak == 0:
            continue
        mono, loop = _looped(mono) if not instrument.is_kit else (mono, (0, 0))
        if loop == (0, 0):
            mono = _trimmed(mono, peak * QUIET[instrument.name])
        rows.append(
            [wish.pitch, wish.velocity, at, len(mono), round(peak / LOUD / KEPT, 5), place, *loop]
        )
        pieces += [mono * (LOUD / peak), np.zeros(GAP, np.float32)]
        at += len(mono) + GAP
    sprite = np.concatenate(pieces)
    return {
        "mp3": base64.b64encode(_mp3(sprite, KILOBITS[instrument.name])).decode(),
        "rate": SAMPLE_RATE,
        "pulse": PULSE_AT,
        "notes": rows,
    }


def _pulse() -> Mono:
    """Silence with a pulse in it, up to where the first note begins."""
    import numpy as np

    frames = np.arange(FIRST_AT)
    return np.float32(LOUD) * np.exp(-0.5 * ((frames - PULSE_AT) / PULSE_WIDTH) ** 2).astype(
        np.float32
    )


def _mono(stereo: Stereo) -> tuple[Mono, float]:
    """Both sides together, and where between them the sound stands."""
    import numpy as np

    left, right = np.sqrt((stereo.astype(float) ** 2).sum(axis=0))
    place = round(float((right - left) / (right + left)), 2) if left + right else 0.0
    return stereo.mean(axis=1, dtype=np.float32), place


def _trimmed(mono: Mono, floor: float) -> Mono:
    """A sound up to where it has died away, its end faded out."""
    import numpy as np

    loud = np.nonzero(np.abs(mono) > floor)[0]
    end = min(len(mono), int(loud[-1]) + 1 + GAP // 4)
    fade = min(end, int(FADE_SECONDS * SAMPLE_RATE))
    if end == len(mono):  # still ringing where the recording stops: a long fade
        fade = end // 4
    kept = mono[:end].copy()
    kept[end - fade :] *= np.linspace(1, 0, fade, dtype=np.float32)
    return kept


def _looped(mono: Mono) -> tuple[Mono, tuple[int, int]]:
    """A sustained sound with its end blended into what comes before the loop's first frame."""
    import numpy as np

    first, last = (
        float(np.sqrt((mono[at : at + SAMPLE_RATE] ** 2).mean()))
        for at in (SAMPLE_RATE // 4, len(mono) - SAMPLE_RATE)
    )
    if last < SUSTAINS * first or first == 0:
        return mono, (0, 0)
    blend, end = int(CROSSFADE_SECONDS * SAMPLE_RATE), len(mono)
    start = end - int(LOOP_SECONDS * SAMPLE_RATE)
    rise = np.linspace(0, np.pi / 2, blend, dtype=np.float32)
    kept = mono.copy()
    kept[end - blend :] = mono[end - blend :] * np.cos(rise) + mono[start - blend : start] * np.sin(
        rise
    )
    # What follows the loop is its beginning again, so that a bent note reads no silence there.
    return np.concatenate([kept, mono[start : start + GAP]]), (start, end)


def _mp3(mono: Mono, kilobits: int) -> bytes:
    from groove.sound.files.pcm import Quantiser

    encoder, quantiser = lame(kilobits, 1, SAMPLE_RATE, CARE), Quantiser(16, None)
    coded = (encoder.encode(quantiser.int16(p).tobytes()) for p in quantiser.pieces(mono))
    return b"".join(bytes(part) for part in coded) + bytes(encoder.flush())
