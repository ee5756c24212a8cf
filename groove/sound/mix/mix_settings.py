"""The mix settings of a band: balance, velocities, compressors, and the saturation, equaliser,
cabinet and place of each part, read from ``patterns/mix.toml``, which explains each of them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from typing import TYPE_CHECKING, Any

from groove import library
from groove.band.part import DRUMS, PARTS
from groove.rhythm.kit import INSTRUMENTS, KIT
from groove.rhythm.pattern_table import Table
from groove.rhythm.patterns import DrumPattern
from groove.sound.mix.equaliser import PEAK, SHAPES, Band
from groove.sound.mix.room import Room, room_of
from groove.sound.mix.saturation import Saturation
from groove.sound.synth.scores import Event
from groove.sound.synth.tone import LOUDEST

if TYPE_CHECKING:
    from groove.sound.synth.scores import Score

SQUARE_LAW_DB = 40
"""A soundfont makes the amplitude go with the square of the velocity: 40 dB for ten times as much
(SoundFont specification 2.01, the default modulator from velocity to attenuation; from memory)."""

MIDDLE = 64
"""The middle of MIDI controller 10."""


@dataclass(frozen=True, slots=True)
class Compressor:
    """From `above` dB over a part's loudness on, the level grows by 1 dB for each `ratio` dB."""

    above: float
    ratio: float

    def __post_init__(self) -> None:
        if not (self.above >= 0 and self.ratio >= 1):
            raise ValueError(f"a compressor has above >= 0 and ratio >= 1, found {self}")


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of sound, as that of electric guitars: what is done to it.

    saturation: None where it is left clean. bands: of its equaliser, then of its cabinet. place: as
    in `MixSettings.places`, in their stead; None where those hold.
    """

    saturation: Saturation | None = None
    bands: tuple[Band, ...] = ()
    place: float | None = None

    @property
    def acts(self) -> bool:
        """True if anything is done to it."""
        return bool(self.saturation or self.bands)


AS_IT_IS = Kind()


@dataclass(frozen=True)
class MixSettings:
    """The mix of a band; parts that are not named are left as they are.

    balance: how loud each part is to be beside the others, LU; fader: by how much a part is moved
    for it at most, dB. weight: for each part, the share of a soundfont's range of loudness that
    its velocities are given. kit: dB for pieces of the drum kit, by their note. kinds: the kinds of
    sound, by program or by part. places: for each part, the share of its pattern's distance from
    the middle at which it is placed, -1 to 1. room: None for none. register: the most that comping
    takes of the energy between 300 Hz and 3 kHz, 0 to 1; yields: by how much softer it is made for
    that at most, dB. levels: by how many dB a part is made louder than all of that has it. stands:
    the places that are asked for, -1 (left) to 1, in place of those of patterns and instruments.
    """

    balance: Mapping[str, float] = field(default_factory=dict)
    fader: float = 0.0
    weight: Mapping[str, float] = field(default_factory=dict)
    kit: Mapping[int, float] = field(default_factory=dict)
    compressors: Mapping[str, Compressor] = field(default_factory=dict)
    kinds: Mapping[int | str, Kind] = field(default_factory=dict)
    places: Mapping[str, float] = field(default_factory=dict)
    room: Room | None = None
    register: float = 1.0
    yields: float = 0.0
    levels: Mapping[str, float] = field(default_factory=dict)
    stands: Mapping[str, float] = field(default_factory=dict)

    def kind(self, part: str, program: int | None) -> Kind:
        """The kind of sound of a part that plays a program from 0; None for the drum channel."""
        usual = AS_IT_IS if program is None else self.kinds.get(program, AS_IT_IS)
        return self.kinds.get(part, usual)

    def place(self, part: str, kind: Kind) -> float:
        """The share of its pattern's distance from the middle at which a part is placed."""
        return self.places.get(part, 1.0) if kind.place is None else kind.place

    def away(self, part: str, kind: Kind, place: int) -> float:
        """The steps of MIDI controller 10 from the middle, -64 to 64, at which a part stands.

        place: the controller's value in its pattern.
        """
        if part in self.stands:
            return self.stands[part] * MIDDLE
        return (place - MIDDLE) * self.place(part, kind)

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
            Event(event.frame, weighed(event.message), event.strength)
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
        _shipped_kinds(),
        read_places(content["places"]),
        room_of(drums),
        content["balance"]["register"],
        content["balance"]["yields"],
    )


@cache
def _shipped_kinds() -> dict[int | str, Kind]:
    content = library.table("mix")
    return read_kinds(content["kinds"], content["cabinets"])


def read_places(content: Mapping[str, Any]) -> dict[str, float]:
    """The places of parts from the data: -1 to 1. Raises ValueError for any other."""
    table = Table(content, "patterns/mix.toml: places:")
    found = {part: table.number(part, -1, 1) for part in PARTS if part in table}
    table.end()
    return found


def read_kinds(content: Mapping[str, Any], cabinets: Mapping[str, Any]) -> dict[int | str, Kind]:
    """The kinds of sound from the data, each under its programs and parts.

    Raises ValueError, saying where, for an unknown name, a value out of range, and an instrument or
    part that has two kinds.
    """
    boxes = {
        name: _bands(Table({name: bands}, "patterns/mix.toml: cabinets:"), name)
        for name, bands in cabinets.items()
    }
    found: dict[int | str, Kind] = {}
    for name, figures in content.items():
        table = Table(figures, f"patterns/mix.toml: kinds: {name}:")
        instruments = table.names("instruments", INSTRUMENTS)
        parts = table.names("parts", PARTS)
        bands = _bands(table, "equaliser")
        if "cabinet" in table:
            bands += boxes[table.choice("cabinet", boxes)]
        place = table.number("place", -1, 1) if "place" in table else None
        kind = Kind(_saturation(table), bands, place)
        table.end()
        owners: list[int | str] = [INSTRUMENTS[each].program for each in instruments]
        for owner in [*owners, *parts]:
            if owner in found:
                raise table.error("instruments", f"found {owner}, which has a kind already")
            found[owner] = kind
    return found


def _saturation(table: Table) -> Saturation | None:
    if "saturation" not in table:
        return None
    figures = table.table("saturation")
    try:
        return Saturation(figures.take("drive", float), figures.take("even", float, 0.0))
    except ValueError as error:
        raise table.error("saturation", str(error)) from None
    finally:
        figures.end()


def _bands(table: Table, key: str) -> tuple[Band, ...]:
    """The bands of an equaliser or cabinet; none if the key is left out."""
    found = []
    for number, band in enumerate(table.tables(key, may_lack=True), 1):
        shape = band.choice("shape", SHAPES)
        more = {name: band.take(name, float) for name in ("gain", "q") if name in band}
        if shape == PEAK:
            more.setdefault("q", 1.0)
        try:
            found.append(Band(shape, band.take("hertz", float), **more))
        except ValueError as error:
            raise table.error(f"{key} {number}", str(error)) from None
        band.end()
    return tuple(found)


def side_gains(away: float) -> tuple[float, float]:
    """The gains of left and right of a sound that lies some steps of MIDI controller 10 from the
    middle, -64 to 64, as the synthesiser places it: the cosine and the sine of an angle.

    >>> [round(gain, 3) for gain in side_gains(0)]
    [0.707, 0.707]
    """
    left, right = (math.sin(math.pi / 2 * (0.5 + side * away / 128)) for side in (-1, 1))
    return left, right
