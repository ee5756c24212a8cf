"""Plays the score of a part on the channel of the drums: blocks of samples come out.

The strokes come from a pool, where each is rendered once for a layer of a few velocities, and are
added at their exact frames with the level of their own velocity. Strokes that end others (a foot
on the hat an open one) fade them out.

The same score and soundfont give the same samples, to the bit, with the same version of the
library, for any size of the blocks.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from groove.rhythm.kit import CHOKES
from groove.sound.synth.stroke_pool import KitSetting
from groove.sound.synth.tone import kit_tone
from groove.sound.synth.turns import Turns

if TYPE_CHECKING:
    import ctypes
    from collections.abc import Sequence

    from groove.sound.samples import Samples
    from groove.sound.synth.scores import Event, Score
    from groove.sound.synth.stroke_pool import StrokePool

LAYERS = 48
"""Written velocities that share a rendered stroke, that of their middle, times the ways of playing
it: 12 for most sounds, more for those that ring for long. With the weights of the mix 12 are some
5 played velocities."""

CHOKE_FRAMES = 661
"""Frames (15 ms) over which a stroke is faded out by another."""

CONTROLS = {7: "volume", 10: "pan", 11: "expression"}


@dataclass(slots=True)
class _Stroke:
    """A stroke as it is to be played. stop: the frame from which another ends it, -1 for none."""

    frame: int
    setting: KitSetting
    note: int
    strength: int
    played: int
    way: int
    held: int = 0
    stop: int = -1


@dataclass(slots=True)
class _Sounding:
    """A stroke that sounds. start: the frame of its first sample."""

    start: int
    samples: Samples
    gain: float


class StrokePlayer:
    """Plays the strokes of one score from a pool."""

    def __init__(self, score: Score, pool: StrokePool) -> None:
        self.frame = 0
        self._pool = pool
        self._strokes = planned(score.events, Turns(score.name), pool)
        self._struck = 0
        self._sounding: list[_Sounding] = []

    def close(self) -> None:
        """Forget what sounds."""
        self._sounding.clear()

    def fill(self, block: ctypes.Array[ctypes.c_float]) -> None:
        """Play on into all of `block`, left and right in turn.

        Raises `GrooveError` where the library met an error, such as a damaged sample.
        """
        import numpy as np

        target: Samples = np.frombuffer(memoryview(block), np.float32).reshape(-1, 2)
        target.fill(0)
        end = self.frame + len(target)
        while self._struck < len(self._strokes) and self._strokes[self._struck].frame < end:
            self._sounding.append(self._sound(self._strokes[self._struck]))
            self._struck += 1
        scratch = np.empty_like(target)
        for each in self._sounding:
            first, last = max(each.start, self.frame), min(each.start + len(each.samples), end)
            piece = each.samples[first - each.start : last - each.start]
            scaled = np.multiply(piece, np.float32(each.gain), out=scratch[: last - first])
            target[first - self.frame : last - self.frame] += scaled
        self._sounding = [each for each in self._sounding if each.start + len(each.samples) > end]
        self.frame = end

    def _sound(self, stroke: _Stroke) -> _Sounding:
        velocity = layer(stroke.strength, LAYERS // kit_tone(stroke.note).ways)
        setting, note = stroke.setting, stroke.note
        samples = self._pool.stroke(setting, note, velocity, stroke.way, stroke.held)
        if 0 <= stroke.stop < stroke.frame + len(samples):
            samples = choked(samples, stroke.stop - stroke.frame)
        gain = self._pool.gain(setting, note, velocity, stroke.played)
        return _Sounding(stroke.frame, samples, gain)


def layer(velocity: int, width: int) -> int:
    """The velocity that is rendered for a written one, with layers of some velocities.

    >>> [layer(velocity, 12) for velocity in (1, 12, 13, 127)]
    [6, 6, 18, 126]
    """
    return min(127, width * ((velocity - 1) // width) + width // 2)


def choked(samples: Samples, frames: int) -> Samples:
    """A stroke that another ends after some frames."""
    import numpy as np

    cut = samples[: frames + CHOKE_FRAMES].copy()
    ramp = np.linspace(1, 0, CHOKE_FRAMES, dtype=np.float32)[: len(cut) - frames, np.newaxis]
    cut[frames:] *= ramp
    return cut


def planned(events: Sequence[Event], turns: Turns, pool: StrokePool) -> list[_Stroke]:
    """The strokes of a score in order of time, each with how it is played and what ends it."""
    setting = KitSetting()
    strokes: list[_Stroke] = []
    open_notes: dict[int, _Stroke] = {}
    ringing: dict[int, list[_Stroke]] = {}
    group_of = {note: number for number, notes in enumerate(CHOKES) for note in notes}
    for event in events:
        message = event.message
        if message.type == "program_change":
            setting = setting._replace(program=message.program)
        elif message.type == "control_change" and message.control in CONTROLS:
            setting = setting._replace(**{CONTROLS[message.control]: message.value})
        elif message.type == "note_on" and message.velocity:
            note = message.note
            ways, kinds = pool.ways(setting.program, note)
            way = turns.next(note, ways, kinds=kinds)
            stroke = _Stroke(event.frame, setting, note, event.strength, message.velocity, way)
            strokes.append(stroke)
            open_notes[note] = stroke
            if note in group_of:
                before = ringing.get(group_of[note], [])
                left = [other for other in before if not _ends(stroke, other)]
                ringing[group_of[note]] = [*left, stroke]
        elif message.type in ("note_on", "note_off") and message.note in open_notes:
            struck = open_notes.pop(message.note)
            struck.held = event.frame - struck.frame
    return strokes


def _ends(stroke: _Stroke, other: _Stroke) -> bool:
    """True if a stroke ends an earlier one of its group, which then knows it. One of the same note
    lets it ring, and so does one at the same time."""
    if stroke.note == other.note or stroke.frame - other.frame < CHOKE_FRAMES:
        return False
    other.stop = stroke.frame
    return True
