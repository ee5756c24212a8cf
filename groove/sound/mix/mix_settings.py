"""The mix settings of a band: balance, velocities and compressors, read from
``patterns/mix.toml``, which explains each of them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from groove import library
from groove.band.part import DRUMS
from groove.rhythm.kit import KIT
from groove.rhythm.patterns import DrumPattern
from groove.sound.synth.scores import Event

if TYPE_CHECKING:
    from groove.sound.synth.scores import Score

LOUDEST = 127
SQUARE_LAW_DB = 40
"""A soundfont makes the amplitude go with the square of the velocity: 40 dB for ten times as much
(SoundFont specification 2.01, the default modulator from velocity to attenuation; from memory)."""


@dataclass(frozen=True, slots=True)
class Compressor:
    """From `above` dB over a part's loudness on, the level grows by 1 dB for each `ratio` dB."""

    above: float
    ratio: float

    def __post_init__(self) -> None:
        if not (self.above >= 0 and self.ratio >= 1):
            raise ValueError(f"a compressor has above >= 0 and ratio >= 1, found {self}")


@dataclass(frozen=True)
class MixSettings:
    """The mix of a band; parts that are not named are left as they are.

    balance: how loud each part is to be beside the others, LU; fader: by how much a part is moved
    for it at most, dB. weight: for each part, the share of a soundfont's range of loudness that
    its velocities are given. kit: dB for pieces of the drum kit, by their note.
    """

    balance: Mapping[str, float] = field(default_factory=dict)
    fader: float = 0.0
    weight: Mapping[str, float] = field(default_factory=dict)
    kit: Mapping[int, float] = field(default_factory=dict)
    compressors: Mapping[str, Compressor] = field(default_factory=dict)

    def velocity(self, part: str, note: int, velocity: int) -> int:
        """The velocity to play in place of a written one, 1 to 127.

        >>> [MixSettings(weight={"drums": 0.5}).velocity("drums", 38, v) for v in (32, 64, 127)]
        [64, 90, 127]
        """
        trim = self.kit.get(note, 0.0) if part == DRUMS else 0.0
        hard = math.pow(velocity / LOUDEST, self.weight.get(part, 1.0))
        hard *= math.pow(10, trim / SQUARE_LAW_DB)
        return max(1, min(LOUDEST, round(LOUDEST * hard)))

    def weigh(self, score: Score) -> Score:
        """A score with the velocities to play in place of the written ones."""
        struck: dict[tuple[int, int, int], Any] = {}

        def weighed(message: Any) -> Any:
            key = message.channel, message.note, message.velocity
            if key not in struck:
                velocity = self.velocity(score.name, message.note, message.velocity)
                struck[key] = message.copy(velocity=velocity)
            return struck[key]

        events = (
            Event(event.frame, weighed(event.message))
            if event.message.type == "note_on" and event.message.velocity > 0
            else event
            for event in score.events
        )
        return replace(score, events=tuple(events))


def _trims(usual: dict[str, float], own: dict[str, float]) -> dict[int, float]:
    """dB by note: those of any kit, and those of one kit on top."""
    return {KIT[piece].note: usual.get(piece, 0.0) + own.get(piece, 0.0) for piece in usual | own}


def mix_settings_of(drums: DrumPattern, kit: str = "") -> MixSettings:
    """The mix settings for the band of a drum pattern, with its own kit or another.

    >>> from groove.rhythm.patterns import drum_pattern
    >>> mix_settings_of(drum_pattern("slow-blues")).balance["drums"]
    -3.7
    """
    content = library.table("mix")
    return MixSettings(
        content["balance"]["others"] | content["balance"]["families"][drums.family],
        content["balance"]["fader"],
        content["weight"],
        _trims(content["kit"], content["kits"].get(kit or drums.kit, {})),
        {part: Compressor(**figures) for part, figures in content["compressor"].items()},
    )
