"""The wishes of a form for its mix: how loud its players are, and where they stand.

In audio a level is added to the balance behind the compressor, so that a player sounds as before,
and a place stands for that of patterns and instruments; in a MIDI file both are controllers.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeVar

from groove.band.part import CHORDAL, COMPING, DRUMS
from groove.form.road.mix_fields import FULL
from groove.rhythm.kit import DRUM_CHANNEL
from groove.rhythm.patterns import LARGEST
from groove.sound.mix.mix_settings import MIDDLE, SQUARE_LAW_DB, mix_settings_of

if TYPE_CHECKING:
    from groove.band.part import PlayedPart
    from groove.band.take import Take
    from groove.form.chart import Chart
    from groove.sound.mix.mix_settings import MixSettings
    from groove.sound.report import Report

_Value = TypeVar("_Value")


def settings_of(chart: Chart) -> MixSettings:
    """The mix settings of a form's road, with what the form asks for."""
    form, first = chart.form, chart.bars[0]
    settings = mix_settings_of(form.drums, first.setting.kit)
    stands = {part: place / FULL for part, place in _by_part(form.places, chart).items()}
    return replace(settings, levels=_by_part(form.levels, chart), stands=stands)


def without_asked(settings: MixSettings) -> MixSettings:
    """The settings as they are where the form asks for nothing."""
    return replace(settings, levels={}, stands={})


def levelled(report: Report, levels: Mapping[str, float]) -> Report:
    """The report of a take that was measured without levels as it is with some: the whole is as
    loud as before, about."""
    faders = {part: fader + levels.get(part, 0.0) for part, fader in report.faders.items()}
    before, after = (_energy(report.played, moves) for moves in (report.faders, faders))
    change = 10 * math.log10(after / before) if before and after else 0.0
    return replace(report, faders=faders, gain=report.gain - change)


@dataclass(frozen=True, slots=True)
class InFile:
    """A part in a MIDI file: the values of controllers 7 and 10, and a factor of its velocities."""

    volume: int
    pan: int
    velocity: float = 1.0


def in_a_file(parts: Sequence[PlayedPart], chart: Chart) -> dict[str, InFile]:
    """By name how parts are in a MIDI file of their form, with its levels and places.

    Percussion and clicks share the channel of the drums: they stand where those do, and by their
    velocities they are as much louder or softer.
    """
    levels, places = (_by_part(asked, chart) for asked in (chart.form.levels, chart.form.places))
    owners = {part.name: DRUMS if part.channel == DRUM_CHANNEL else part.name for part in parts}
    of_channel = {part.name: levels.get(owners[part.name], 0.0) for part in parts}
    volume = volumes({part.name: part.volume for part in parts}, of_channel)
    return {
        part.name: InFile(
            volume[part.name],
            controller(places[owner] / FULL)
            if (owner := owners[part.name]) in places
            else part.pan,
            10 ** ((levels.get(part.name, 0.0) - of_channel[part.name]) / SQUARE_LAW_DB),
        )
        for part in parts
    }


def for_a_file(take: Take) -> Take:
    """The take with its form's levels and places in the controllers of its parts."""
    if not (take.chart.form.levels or take.chart.form.places):
        return take
    found = in_a_file((*take.parts, *take.cues), take.chart)
    parts, cues = (
        tuple(_put(part, found[part.name]) for part in played) for played in (take.parts, take.cues)
    )
    return replace(take, parts=parts, cues=cues)


def _put(part: PlayedPart, at: InFile) -> PlayedPart:
    notes = part.notes
    if at.velocity != 1:
        notes = tuple(
            replace(note, velocity=max(1, min(LARGEST, round(note.velocity * at.velocity))))
            for note in notes
        )
    return replace(part, volume=at.volume, pan=at.pan, notes=notes)


def volumes(by_part: Mapping[str, int], levels: Mapping[str, float]) -> dict[str, int]:
    """The values of MIDI controller 7 that are by some dB higher: where one would be too high all
    are lowered together.

    >>> volumes({"drums": 100, "bass": 90}, {"bass": -6})
    {'drums': 100, 'bass': 64}
    >>> volumes({"drums": 100, "bass": 100}, {"bass": 6})
    {'drums': 90, 'bass': 127}
    """
    wanted = {
        part: volume * 10 ** (levels.get(part, 0.0) / SQUARE_LAW_DB)
        for part, volume in by_part.items()
    }
    over = max(1.0, max(wanted.values(), default=0.0) / LARGEST)
    return {part: round(volume / over) for part, volume in wanted.items()}


def controller(place: float) -> int:
    """The value of MIDI controller 10 of a place from left, -1, to right, 1.

    >>> [controller(place) for place in (-1, 0, 0.5, 1)]
    [0, 64, 96, 127]
    """
    return min(LARGEST, round(MIDDLE + MIDDLE * place))


def _by_part(asked: Iterable[tuple[str, _Value]], chart: Chart) -> dict[str, _Value]:
    """What is asked for players, by part: comping stands for guitar and keys, and a guitar or keys
    that comps alone may be called by its own name."""
    found = dict(asked)
    if not found:
        return {}
    for part in CHORDAL:
        other = chart.bars[0].comping[0].voicing if part == COMPING else COMPING
        if part not in found and other in found:
            found[part] = found[other]
    return found


def _energy(loudness: Mapping[str, float], moves: Mapping[str, float]) -> float:
    return sum(10 ** ((loudness[part] + moves[part]) / 10) for part in moves)
