"""The strip of each part: what is done to its sound before it is stored.

Saturation, then all that is linear in one convolution: equaliser, cabinet, place and room. A part
that plays several kinds of instrument one after another goes through a convolution for each.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from groove.rhythm.kit import DRUM_CHANNEL
from groove.sound.mix.convolution import HOP, SIZE, Convolver, Filters, Workspace, filters
from groove.sound.mix.equaliser import response
from groove.sound.mix.impulse_response import impulse_response
from groove.sound.mix.mix_settings import MIDDLE, side_gains
from groove.sound.samples import BLOCK, NO_SOUND, SAMPLE_RATE

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from groove.sound.mix.equaliser import Band
    from groove.sound.mix.mix_settings import Kind, MixSettings
    from groove.sound.mix.room import Room
    from groove.sound.samples import Samples
    from groove.sound.synth.scores import Score

PLACE, SEND = 10, 91
"""MIDI controllers (MIDI 1.0 and General MIDI 1, from memory)."""
MOST = 127

LENGTH = 4 * HOP
"""Frames of the longest filter: the longest room, with the ringing of the equaliser."""

CHANGE = 882
"""Frames (20 ms) over which a part goes from one kind of instrument to the next."""


@dataclass(frozen=True)
class PlaceAndSend:
    """The MIDI controllers of a part: its place and its send to the room, 0 to 127."""

    place: int = MIDDLE
    send: int = 0


USUAL = PlaceAndSend()


class Strip:
    """Processes the blocks of one part, in their order.

    kinds: the kinds of its sound, each with the frame from which on it plays. away: for each the
    steps from the middle at which it stands, see `MixSettings.away`; as the synthesiser has placed
    it if left out.
    """

    def __init__(
        self,
        kinds: Sequence[tuple[int, Kind]],
        at: PlaceAndSend = USUAL,
        *,
        room: Room | None = None,
        away: Mapping[Kind, float] | None = None,
        workspace: Workspace | None = None,
    ) -> None:
        self._starts = [start for start, _ in kinds]
        self._kinds = [kind for _, kind in kinds]
        away, placed = away or {}, at.place - MIDDLE
        share = at.send / MOST if room else 0.0
        self._convolvers = {
            kind: Convolver(
                _filters(kind.bands, _sides(placed, away.get(kind, placed)), room, share),
                workspace,
            )
            for kind in dict.fromkeys(self._kinds)  # in order: their sum is the same each time
        }
        self._frame = 0

    def process(self, block: Samples | None) -> Samples | None:
        """The next block of `BLOCK` frames as it leaves the strip, a new one. None stands for a
        part that has ended: what still rings of it comes then, and after that None."""
        sounds = block is not None and bool(block.any())
        found: Samples | None = None
        for kind, convolver in self._convolvers.items():
            came = None
            if block is not None and sounds:
                came = self._of(kind, block)
                if came is not None and kind.saturation:
                    came = kind.saturation.apply(came)
            gone = convolver.process(came)
            if gone is not None:
                found = gone if found is None else found + gone
        self._frame += BLOCK
        if block is None:
            return None if found is None or _is_silent(found) else found
        return np.zeros_like(block) if found is None else found

    def _of(self, kind: Kind, block: Samples) -> Samples | None:
        """The share of one kind of sound in a block, faded in and out where it changes."""
        if len(self._convolvers) == 1:
            return block
        frames = np.arange(self._frame, self._frame + BLOCK)
        ends = [*self._starts[1:], math.inf]
        shares = [
            np.clip((frames - start) / CHANGE + 1, 0, 1)
            - np.clip((frames - end) / CHANGE + 1, 0, 1)
            if number
            else 1 - np.clip((frames - end) / CHANGE + 1, 0, 1)
            for number, (start, end) in enumerate(zip(self._starts, ends, strict=True))
            if self._kinds[number] == kind
        ]
        share = np.sum(shares, axis=0).astype(np.float32)
        return block * share[:, np.newaxis] if share.any() else None


def strips_of(scores: Sequence[Score], settings: MixSettings) -> tuple[Strip | None, ...]:
    """The strip of each stem; None for one to which nothing is done."""
    workspace = Workspace()
    return tuple(_strip_of(score, settings, workspace) for score in scores)


def _strip_of(score: Score, settings: MixSettings, workspace: Workspace) -> Strip | None:
    messages = [(event.frame, event.message) for event in score.events]
    first = {
        message.control: message.value
        for _, message in reversed(messages)
        if message.type == "control_change"
    }
    at = PlaceAndSend(first.get(PLACE, MIDDLE), first.get(SEND, 0))
    programs = [
        (frame, message.program)
        for frame, message in messages
        if message.type == "program_change" and message.channel != DRUM_CHANNEL
    ]
    kinds = [(frame, settings.kind(score.name, program)) for frame, program in programs]
    kinds = kinds or [(0, settings.kind(score.name, None))]
    away = {kind: settings.away(score.name, kind, at.place) for _, kind in kinds}
    room = settings.room if at.send else None
    is_placed = {*away.values()} == {at.place - MIDDLE}
    if not room and is_placed and not any(kind.acts for _, kind in kinds):
        return None
    return Strip(kinds, at, room=room, away=away, workspace=workspace)


def stripped(
    playing: Iterable[tuple[Samples | None, ...]], strips: Sequence[Strip | None]
) -> Iterator[tuple[Samples | None, ...]]:
    """The blocks that are playing, each part as it leaves its strip; then the tails of all."""
    for blocks in playing:
        yield tuple(
            strip.process(block) if strip else block
            for strip, block in zip(strips, blocks, strict=True)
        )
    while True:
        tails = tuple(strip.process(None) if strip else None for strip in strips)
        if all(tail is None for tail in tails):
            return
        yield tails


def _sides(placed: float, away: float) -> tuple[float, float]:
    """The gains of left and right that move a part from where the synthesiser has placed it, both
    in steps from the middle."""
    there, here = side_gains(away), side_gains(placed)
    left, right = (
        one / other if other > 1e-6 else 1.0 for one, other in zip(there, here, strict=True)
    )
    return left, right


@lru_cache(maxsize=16)
def _filters(
    bands: tuple[Band, ...], sides: tuple[float, float], room: Room | None, share: float
) -> Filters:
    """All that is linear of a strip. share: of the sound that goes to the room, 0 to 1."""
    size = LENGTH if room else SIZE
    z = np.exp(-2j * np.pi * np.arange(size + 1) / (2 * size))
    equalised = np.broadcast_to(response(bands, z, SAMPLE_RATE), z.shape)
    direct = np.fft.irfft(equalised)[:size]
    kernels = np.zeros((2, 2, size))
    for side in (0, 1):
        kernels[side, side] = direct * sides[side]
    if room:
        spectra = np.fft.rfft(impulse_response(room, SAMPLE_RATE).T, 2 * size) * equalised
        rung = np.fft.irfft(spectra)[:, :size] * share / 2
        kernels += rung[:, np.newaxis] * np.array(sides)[:, np.newaxis]
    return filters(_cut(kernels))


def _cut(kernels: NDArray[np.float64]) -> NDArray[np.float64]:
    """Kernels without the end in which they are 100 dB under their peak."""
    loud = np.abs(kernels).max(axis=(0, 1))
    return kernels[..., : int(np.flatnonzero(loud > NO_SOUND * loud.max())[-1]) + 1]


def _is_silent(samples: Samples) -> bool:
    return max(float(samples.max()), -float(samples.min())) < NO_SOUND
