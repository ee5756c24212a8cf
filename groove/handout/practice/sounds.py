"""Which sounds the practice page needs: single notes of each instrument.

Each stroke of the kit is recorded at two strengths, bass and comping on every few semitones; the
page plays softer ones through a filter, as the program does.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from operator import itemgetter
from typing import Any

from groove.band.part import DRUMS, SOLO
from groove.band.tuning import MIDDLE_C
from groove.handout.practice.streams import rows_of
from groove.rhythm.kit import DRUM_CHANNEL

STEP = 3
"""Semitones from one recorded pitch to the next: no note is transposed by more than one."""
SOLO_STEP = 4
"""The same for a solo, which is in every page and bends its notes in any case: by two at most."""
STRENGTHS = (0.5, 1.0)
"""The strokes of a kit voice that are recorded, as places in their order of velocity, 0 to 1."""
APART = 14
"""Velocities from one recorded strength to the next at least."""
CLICKS = (84, 112)
"""The velocities of clicks."""
HELD_SECONDS, SUSTAINED_SECONDS = 3.2, 2.4
"""The longest recording of a note that dies away, and of one that does not: organs of two voices
out of tune swell for 10 s. A soloist's notes are as short as those: few last longer."""
OFTEN = 24
"""A stroke that comes so often is recorded in several ways, if there are several."""
KINDS = {"round", "landing"}
"""The streams of a part in a key: round and round, and the ending's."""
ORGANS = range(16, 24)
"""Programs that hold a note for as long as it is played (General MIDI 1 sound set, 17 to 24)."""
PIANOS = range(4)
"""Programs that are recorded in stereo and at two strengths, beside the kit."""

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Wish:
    """A note to record: pitch and velocity as in MIDI, and its length in seconds.

    often: whether it comes often.
    """

    pitch: int
    velocity: int
    seconds: float = 0.0
    often: bool = False


@dataclass(frozen=True, slots=True)
class Recorded:
    """A part to record: its name, its General MIDI program and its notes.

    is_kit: whether its pitches are the sounds of a kit, as drums and percussion have them.
    """

    name: str
    program: int
    wishes: tuple[Wish, ...]
    is_kit: bool = False

    @property
    def part(self) -> str:
        """The part that plays it."""
        return self.name if self.name == "tuning note" else self.name.partition(" ")[0]

    @property
    def stereo(self) -> bool:
        """True if both sides are recorded."""
        return self.is_kit or self.program in PIANOS


def instruments(data: Json) -> tuple[Recorded, ...]:
    """The notes to record for the parts of a page's data, the click among the drums.

    A part that changes its instrument on the road has a sound for each, see `sound_name`.
    """
    found = []
    for part in data["parts"]:
        is_kit = part["channel"] == DRUM_CHANNEL
        for program, struck in _struck(data, part).items():
            name = sound_name(part, program)
            if is_kit and name == DRUMS:
                struck.setdefault(data["click"], []).extend(CLICKS)
            step = SOLO_STEP if part["name"] == SOLO else STEP
            wishes = tuple(_strokes(struck) if is_kit else _notes(struck, program, step))
            found.append(Recorded(name, program, wishes, is_kit))
    if data["tuningNote"]:
        part, velocity = data["tuningNote"]["part"], data["tuningNote"]["velocity"]
        pitches = {data["tuningNote"]["a"], *range(MIDDLE_C, MIDDLE_C + 12)}
        notes = tuple(_notes({pitch: [velocity] for pitch in pitches}, part["program"]))
        found.append(Recorded(part["name"], part["program"], notes))
    return tuple(found)


def streams_in(key: Json, name: str) -> list[int]:
    """The numbers of a part's streams in a key: of a solo, of all that it may play."""
    if name == SOLO:
        return [stream for stream, *_ in key[SOLO].values()]
    return [key[kind][name] for kind in sorted(KINDS & key.keys())]


def sound_name(part: Json, program: int) -> str:
    """The name of a part's sound: its own for its first program, else with the program's number."""
    return part["name"] if program == part["program"] else f"{part['name']} {program}"


def _struck(data: Json, part: Json) -> dict[int, dict[int, list[int]]]:
    """By program and pitch the velocities of a part's notes in all keys."""
    struck: dict[int, dict[int, list[int]]] = {}
    changes = part.get("programs", [])
    streams = {number for key in data["keys"] for number in streams_in(key, part["name"])}
    for number in sorted(streams):
        for tick, _, pitch, velocity, _ in rows_of(data["streams"], number):
            place = bisect_right(changes, tick, key=itemgetter(0))
            program = changes[place - 1][1] if place else part["program"]
            struck.setdefault(program, {}).setdefault(pitch, []).append(velocity)
    return struck


def _strokes(struck: dict[int, list[int]]) -> Iterator[Wish]:
    """Each voice at a few of the strengths at which it is struck, the hardest among them."""
    for pitch, velocities in sorted(struck.items()):
        for velocity in _strengths(velocities):
            yield Wish(pitch, velocity, often=len(velocities) >= OFTEN)


def _strengths(velocities: list[int]) -> list[int]:
    ordered = sorted(velocities)
    hardest = ordered[-1]
    chosen = [ordered[int(share * (len(ordered) - 1))] for share in STRENGTHS[:-1]]
    return [*(velocity for velocity in chosen if velocity <= hardest - APART), hardest]


def _notes(struck: dict[int, list[int]], program: int, step: int = STEP) -> Iterator[Wish]:
    """Pitches that all others are near to, at the usual strength; a piano's at two. step: semitones
    from one to the next."""
    velocities = sorted(v for every in struck.values() for v in every)
    chosen = _strengths(velocities) if program in PIANOS else [velocities[len(velocities) // 2]]
    short = program in ORGANS or step == SOLO_STEP
    seconds = SUSTAINED_SECONDS if short else HELD_SECONDS
    reached = -1
    for pitch in sorted(struck):
        if pitch > reached:
            for velocity in chosen:
                yield Wish(pitch + step // 2, velocity, seconds)
            reached = pitch + step - 1
