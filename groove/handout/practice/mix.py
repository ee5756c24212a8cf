"""The mix of the practice page: what the program's own mix does to each part, as figures.

The page's own take is played and measured once in the form's key, as a track is: that gives faders,
compressors and gain. In other keys a part lies higher or lower and would be louder or softer; by
how much is estimated from its notes, and taken back.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, Any

from groove.band.part import CLICK, DRUMS, SOLO
from groove.form.unroll import unroll
from groove.handout.practice.record import room_sound
from groove.handout.practice.solo import OFF
from groove.handout.practice.sounds import sound_name, streams_in
from groove.handout.practice.streams import rows_of
from groove.handout.practice.takes import heard
from groove.rhythm.kit import DRUM_CHANNEL
from groove.sound.audio import render
from groove.sound.job import AudioJob
from groove.sound.midi import midi_file
from groove.sound.mix.asked_mix import settings_of
from groove.sound.mix.mix_settings import MIDDLE, side_gains
from groove.sound.options import Wanted

if TYPE_CHECKING:
    from groove.form.model import Form
    from groove.sound.mix.mix_settings import MixSettings
    from groove.sound.report import Report
    from groove.sound.synth.soundfonts import Fonts

Json = dict[str, Any]
LONGEST_SECONDS = 1.0
"""Seconds of a note that count for its loudness."""


def page_settings(form: Form) -> MixSettings:
    """The mix settings of a form's page."""
    return settings_of(unroll(form))


def measured(form: Form, fonts: Fonts, settings: MixSettings) -> Report:
    """The measures of the page's own take of a form, from which its mix follows."""
    return render(AudioJob(midi_file(heard(form)), fonts, (), Wanted(), settings))


def mixed(
    data: Json,
    sounds: Json,
    report: Report,
    settings: MixSettings,
    loud: Mapping[str, Mapping[int, float]],
) -> tuple[Json, Json]:
    """A page's data and its sounds, both with their mix.

    report: see `measured`. loud: by the names of sounds and by pitch the energy of a note, see
    `record.record_sounds`. To each part are added ``weight`` and ``trims`` (dB by note) of its
    velocities, ``compressor`` (level as a factor, and the share of what is over it that is taken
    away), ``gain``, a factor, and where its form places it ``sides``, the factors of left and
    right in place of its sounds' own; ``clicks`` is the part of clicks; and to each key ``trims``,
    a factor by part.
    To the sounds are added the ``room``, and to each a ``kind``: ``saturation`` (drive and even),
    ``bands`` (shape, hertz, gain, q) and ``sides``, the factors of left and right.
    """
    if data["solo"] == OFF:
        report = _without_solo(report)
    drums = next(part for part in data["parts"] if part["name"] == DRUMS)
    clicks = {**drums, "name": CLICK}
    clicks.pop("programs", None)
    more: Json = {
        "parts": [part | _mix_of(part["name"], settings, report) for part in data["parts"]],
        "clicks": clicks | _mix_of(CLICK, settings, report),
        "keys": _keys(data, settings, loud),
    }
    if data["tuningNote"]:
        part = data["tuningNote"]["part"] | _mix_of(CLICK, settings, report)
        more["tuningNote"] = data["tuningNote"] | {"part": part}
    sounds = {
        name: sound | {"kind": kind} if (kind := _kind(data, name, settings)) else sound
        for name, sound in sounds.items()
    }
    if settings.room:
        sounds["room"] = room_sound(settings.room)
    return data | more, sounds


def _without_solo(report: Report) -> Report:
    """The report of a take with the gain that it has without its solo."""
    loud = {part: 10 ** ((report.played[part] + report.faders[part]) / 10) for part in report.parts}
    band = sum(energy for part, energy in loud.items() if part != SOLO)
    return replace(report, gain=report.gain + 10 * math.log10(sum(loud.values()) / band))


def _kind(data: Json, name: str, settings: MixSettings) -> Json:
    """The processing of the instrument of a sound."""
    for part in data["parts"]:
        programs = [part["program"], *(program for _, program in part.get("programs", []))]
        for program in programs:
            if sound_name(part, program) == name:
                is_kit = part["channel"] == DRUM_CHANNEL
                kind = settings.kind(part["name"], None if is_kit else program)
                bands = [[band.shape, band.hertz, band.gain, band.q] for band in kind.bands]
                sides = _sides(settings.away(part["name"], kind, part["pan"]))
                found: Json = {"bands": bands} if bands else {}
                if sides != [1, 1]:
                    found["sides"] = sides
                if kind.saturation:
                    found["saturation"] = [kind.saturation.drive, kind.saturation.even]
                return found
    return {}


def _sides(away: float) -> list[float]:
    """The factors of left and right at some steps from the middle, beside those in the middle."""
    return [round(math.sqrt(2) * gain, 4) for gain in side_gains(away)]


def _mix_of(name: str, settings: MixSettings, report: Report) -> Json:
    """The mix of a part that is mixed as the one of a name."""
    gain = report.gain + report.faders.get(name, 0.0)
    mix: Json = {"gain": round(_factor(gain), 5), "weight": settings.weight.get(name, 1.0)}
    if name in settings.stands:
        mix["sides"] = _sides(settings.stands[name] * MIDDLE)
    if name == DRUMS:
        mix["trims"] = {note: trim for note, trim in settings.kit.items() if trim}
    compressor = settings.compressors.get(name)
    played = report.played.get(name, -math.inf)
    if compressor and math.isfinite(played):
        level = _factor(played + compressor.above)
        mix["compressor"] = [round(level, 6), round(1 - 1 / compressor.ratio, 4)]
    return mix


def _keys(data: Json, settings: MixSettings, loud: Mapping[str, Mapping[int, float]]) -> list[Json]:
    """The keys with their trims."""
    found = {part["name"]: _energies(data, part, settings, loud) for part in data["parts"]}
    keys = []
    for number, key in enumerate(data["keys"]):
        trims = {
            name: round(math.sqrt(energies[data["home"]] / energies[number]), 4)
            for name, energies in found.items()
            if energies[data["home"]] and energies[number]
        }
        keys.append({**key, "trims": {name: trim for name, trim in trims.items() if trim != 1}})
    return keys


def _energies(
    data: Json, part: Json, settings: MixSettings, loud: Mapping[str, Mapping[int, float]]
) -> list[float]:
    """In each key the energy of a part's notes; 0 for a kit, which is alike in all."""
    changes = [(-math.inf, part["program"]), *part.get("programs", [])]
    of_stream: dict[int, float] = {}  # keys share streams

    def energy_of(number: int) -> float:
        whole = 0.0
        for tick, length, pitch, velocity, _ in rows_of(data["streams"], number):
            program = next(each for from_, each in reversed(changes) if from_ <= tick)
            seconds = length / data["beatTicks"] * 60 / data["tempo"]
            whole += struck(program, pitch, velocity) * min(LONGEST_SECONDS, seconds)
        return whole

    @cache
    def struck(program: int, pitch: int, velocity: int) -> float:
        energy = _near(loud.get(sound_name(part, program), {}), pitch)
        return energy * (settings.velocity(part["name"], pitch, velocity) / 127) ** 4

    energies = []
    for key in data["keys"]:
        for number in streams_in(key, part["name"]):
            if number not in of_stream:
                of_stream[number] = energy_of(number)
        energies.append(sum(of_stream[number] for number in streams_in(key, part["name"])))
    return energies


def _near(loud: Mapping[int, float], pitch: int) -> float:
    """The energy of the recorded note nearest to a pitch; 0 if there is none."""
    if not loud:
        return 0.0
    return loud[min(loud, key=lambda recorded: abs(recorded - pitch))]


def _factor(decibels: float) -> float:
    return float(10 ** (decibels / 20))
