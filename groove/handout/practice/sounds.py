"""The sounds of the practice page: single notes of each instrument in one MP3.

Each stroke of the kit is recorded at a few strengths, bass and comping on every few semitones, dry
and in mono. Decoders start late by different amounts, so a pulse stands at a known frame before
the first note, and the page counts from there. A note that still rings where its recording ends
is looped there, its decay taken out of the loop: the page lets it decay at the same rate.
"""

from __future__ import annotations

import base64
import ctypes
from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import TYPE_CHECKING, Any

from groove.band.part import BASS, DRUMS
from groove.band.tuning import MIDDLE_C
from groove.errors import GrooveError
from groove.handout.practice.note_ends import SLICE, Loop, looped, trimmed
from groove.handout.practice.streams import rows_of
from groove.rhythm.kit import DRUM_CHANNEL
from groove.sound.files.mp3 import lame
from groove.sound.samples import GRAIN, SAMPLE_RATE
from groove.sound.synth.scores import Event
from groove.sound.synth.synth import Synth, require_memory

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from groove.sound.synth.soundfonts import Fonts, Soundfont

    Mono = NDArray[np.float32]
    Stereo = NDArray[np.float32]

STEP = 3
"""Semitones from one recorded pitch to the next: no note is transposed by more than one."""
STRENGTHS = (0.25, 0.6, 0.92)
"""The strokes of a kit voice that are recorded, as places in their order of velocity, 0 to 1."""
STRUCK_SECONDS, HELD_SECONDS = 2.4, 4.0
"""The longest recording of a stroke of the kit and of a note of an instrument."""
KIT_QUIET, QUIET = 0.003, 0.004
"""A sound is cut where it stays below this share of its peak."""
KIT_KILOBITS, KILOBITS, LOW_KILOBITS = 128, 112, 96
"""The rates of the kit, of instruments, and of bass and tuning note."""
KINDS = {"round", "landing"}
"""The streams of a part in a key: round and round, and the ending's."""
CARE = 2
KEPT = 0.949
"""The share of its level that LAME leaves a mono sound at these rates (measured)."""
PULSE_AT, FIRST_AT, GAP = 4410, 13230, 2205
"""Frames to the pulse, to the first note, and between two notes: no echo of the coder reaches from
one to the next."""
PULSE_WIDTH = 12.0
LOUD = 0.9

Json = dict[str, Any]


ORGANS = range(16, 24)
"""Programs that hold a note for as long as it is played (General MIDI 1 sound set, 17 to 24)."""


@dataclass(frozen=True, slots=True)
class Wish:
    """A note to record: pitch and velocity as in MIDI, and its length in seconds."""

    pitch: int
    velocity: int
    seconds: float


@dataclass(frozen=True, slots=True)
class Recorded:
    """A part to record: its name, its General MIDI program and its notes.

    is_kit: whether its pitches are the sounds of a kit, as drums and percussion have them.
    kilobits: the rate of its MP3.
    """

    name: str
    program: int
    wishes: tuple[Wish, ...]
    is_kit: bool = False
    kilobits: int = KILOBITS

    @property
    def part(self) -> str:
        """The part that plays it."""
        return self.name.partition(" ")[0]


def instruments(data: Json) -> tuple[Recorded, ...]:
    """The notes to record for the parts of a page's data, the click among the drums.

    A part that changes its instrument on the road has a sound for each, see `sound_name`.
    """
    found = []
    for part in data["parts"]:
        is_kit = part["channel"] == DRUM_CHANNEL
        kilobits = KIT_KILOBITS if is_kit else LOW_KILOBITS if part["name"] == BASS else KILOBITS
        for program, struck in _struck(data, part).items():
            clicks = {data["click"]: [90]} if part["name"] == DRUMS else {}
            wishes = tuple(_strokes(clicks | struck) if is_kit else _notes(struck))
            name = sound_name(part, program)
            found.append(Recorded(name, program, wishes, is_kit, kilobits))
    if data["tuningNote"]:
        part, velocity = data["tuningNote"]["part"], data["tuningNote"]["velocity"]
        pitches = {data["tuningNote"]["a"], *range(MIDDLE_C, MIDDLE_C + 12)}
        notes = tuple(_notes({pitch: [velocity] for pitch in pitches}))
        found.append(Recorded(part["name"], part["program"], notes, kilobits=LOW_KILOBITS))
    return tuple(found)


def sound_name(part: Json, program: int) -> str:
    """The name of a part's sound: its own for its first program, else with the program's number."""
    return part["name"] if program == part["program"] else f"{part['name']} {program}"


def _struck(data: Json, part: Json) -> dict[int, dict[int, list[int]]]:
    """By program and pitch the velocities of a part's notes in all keys."""
    struck: dict[int, dict[int, list[int]]] = {}
    changes = part.get("programs", [])
    for key in data["keys"]:
        for kind in KINDS & key.keys():
            rows = rows_of(data["streams"], key[kind][part["name"]])
            for tick, _, pitch, velocity, _ in rows:
                number = bisect_right(changes, tick, key=itemgetter(0))
                program = changes[number - 1][1] if number else part["program"]
                struck.setdefault(program, {}).setdefault(pitch, []).append(velocity)
    return struck


def _strokes(struck: dict[int, list[int]]) -> Iterator[Wish]:
    """Each voice at a few of the strengths at which it is struck."""
    for pitch, velocities in sorted(struck.items()):
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


def record_sounds(wanted: Sequence[Recorded], fonts: Fonts, tell: Callable[[float], None]) -> Json:
    """The sounds of some instruments, by the names of their parts.

    An entry: ``mp3`` in base64, ``rate`` in hertz, ``pulse`` in frames, and a row for each note:
    pitch, velocity, first frame, frames, gain that restores the synthesiser's level, place from -1
    (left) to 1, first and last frame of its loop and its decay there in nepers a second (0 0 0 if
    it isn't looped).
    tell: called with the share that is done, 0 to 1. Raises GrooveError if a soundfont is silent.
    """
    require_memory(fonts)
    sounds = {}
    for number, instrument in enumerate(wanted):
        sounds[instrument.name] = _pack(instrument, _played(instrument, fonts.of(instrument.part)))
        tell((number + 1) / len(wanted))
    return sounds


def _played(instrument: Recorded, soundfont: Soundfont) -> list[Stereo]:
    """Each note of an instrument, of shape (frames, 2)."""
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
    with Synth(soundfont, events) as synth:
        synth.fill(block)
    whole = np.ctypeslib.as_array(block).reshape(-1, 2)
    if not np.isfinite(whole).all() or not whole.any():
        raise GrooveError(f"soundfont {soundfont.path}: it makes no sound for {instrument.name}")
    return [whole[start : start + length] for start, length in starts]


def _pack(instrument: Recorded, notes: list[Stereo]) -> Json:
    import numpy as np

    pieces: list[Mono] = [_pulse()]
    rows: list[list[float]] = []
    at = FIRST_AT
    for wish, stereo in zip(instrument.wishes, notes, strict=True):
        mono, place = _mono(stereo)
        peak = float(np.abs(mono).max())
        if peak == 0:
            continue
        floor = peak * (KIT_QUIET if instrument.is_kit else QUIET)
        loop: Loop = (0, 0, 0.0)
        if instrument.is_kit or float(np.abs(mono[-SLICE:]).max()) < floor:
            mono = trimmed(mono, floor)
        else:
            mono, loop = looped(mono, sustained=instrument.program in ORGANS)
        rows.append(
            [wish.pitch, wish.velocity, at, len(mono), round(peak / LOUD / KEPT, 5), place, *loop]
        )
        pieces += [mono * (LOUD / peak), np.zeros(GAP, np.float32)]
        at += len(mono) + GAP
    sprite = np.concatenate(pieces)
    return {
        "mp3": base64.b64encode(_mp3(sprite, instrument.kilobits)).decode(),
        "rate": SAMPLE_RATE,
        "pulse": PULSE_AT,
        "notes": rows,
    }


def _pulse() -> Mono:
    """Silence with a pulse in it, up to the first note."""
    import numpy as np

    frames = np.arange(FIRST_AT)
    return np.float32(LOUD) * np.exp(-0.5 * ((frames - PULSE_AT) / PULSE_WIDTH) ** 2).astype(
        np.float32
    )


def _mono(stereo: Stereo) -> tuple[Mono, float]:
    """The mean of both sides, and the sound's place between them, -1 to 1."""
    import numpy as np

    left, right = np.sqrt((stereo.astype(float) ** 2).sum(axis=0))
    place = round(float((right - left) / (right + left)), 2) if left + right else 0.0
    return stereo.mean(axis=1, dtype=np.float32), place


def _mp3(mono: Mono, kilobits: int) -> bytes:
    from groove.sound.files.pcm import Quantiser

    encoder, quantiser = lame(kilobits, 1, SAMPLE_RATE, CARE), Quantiser(16, None)
    coded = encoder.encode(quantiser.int16(mono).tobytes())
    return bytes(coded) + bytes(encoder.flush())
