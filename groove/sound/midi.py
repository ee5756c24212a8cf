"""A take as a Standard MIDI File, format 1.

Meta events and format: Standard MIDI Files 1.0, RP-001, MIDI Manufacturers Association
(from memory); mido writes them.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from math import ceil, log2

import mido

from groove.band.part import BEND, BEND_RANGE, PlayedPart
from groove.band.take import Take
from groove.form.chart import Chart
from groove.form.model import USUAL_A4
from groove.rhythm.kit import DRUM_CHANNEL
from groove.rhythm.meter import TICKS_PER_QUARTER, Meter

# The order of events at one tick: notes end, then settings, then notes begin.
OFF, META, SETUP, ON = range(4)
Timed = tuple[int, int, mido.messages.BaseMessage | mido.MetaMessage]


def midi_file(take: Take) -> mido.MidiFile:
    """The MIDI file of a take: a conductor track, then one each for the parts and the cues.

    The conductor has title, time signature, tempo and key where they change, a marker at each
    chorus and the chord symbols as text. All tracks end together.
    """
    end = take.chart.end
    file = mido.MidiFile(type=1, ticks_per_beat=TICKS_PER_QUARTER, charset="utf-8")
    file.tracks.append(timed_track(_conductor(take), end))
    a4 = take.chart.form.a4
    file.tracks.extend(timed_track(_part(part, a4), end) for part in (*take.parts, *take.cues))
    return file


def markers(chart: Chart) -> Iterable[tuple[int, str]]:
    """The tick and the text of a marker for each section of the road; without an order, for each
    chorus."""
    if not chart.form.order:
        yield from ((time.start, f"Chorus {n}") for n, time in enumerate(chart.rounds, 1))
        return
    yield from ((played.start, played.marker) for played in chart.passes)


def time_signature(meter: Meter) -> mido.MetaMessage:
    """The event of a time signature."""
    return mido.MetaMessage(
        "time_signature",
        numerator=meter.numerator,
        denominator=meter.denominator,
        clocks_per_click=24 * meter.beat_ticks // TICKS_PER_QUARTER,
    )


def tempo_microseconds(tempo: float, beat_ticks: int) -> int:
    """Microseconds a quarter note, as the tempo event counts; beat_ticks: of the tempo's beat."""
    quarters = beat_ticks / TICKS_PER_QUARTER
    return round(60_000_000 / (tempo * quarters))


def _conductor(take: Take) -> Iterable[Timed]:
    chart, form = take.chart, take.chart.form
    yield 0, META, mido.MetaMessage("track_name", name=form.title)
    for tick, tempo, beat in chart.tempi.changes:
        microseconds = tempo_microseconds(tempo, beat)
        yield tick, META, mido.MetaMessage("set_tempo", tempo=microseconds)
    first = chart.bars[0]
    yield 0, META, time_signature(first.meter)
    yield 0, META, mido.MetaMessage("key_signature", key=first.key.symbol)
    for before, bar in pairwise(chart.bars):
        if bar.meter != before.meter:
            yield bar.start, META, time_signature(bar.meter)
        if bar.key != before.key:
            yield bar.start, META, mido.MetaMessage("key_signature", key=bar.key.symbol)
    if form.tuning_note:
        yield 0, META, mido.MetaMessage("marker", text="Tuning note")
    if form.count_in:
        yield chart.count_in, META, mido.MetaMessage("marker", text="Count-in")
    for tick, text in markers(chart):
        yield tick, META, mido.MetaMessage("marker", text=text)
    for played in chart.passes:
        if played.lyrics:
            yield played.start, META, mido.MetaMessage("lyrics", text=played.lyrics)
    if chart.ending:
        yield chart.ending[0].start, META, mido.MetaMessage("marker", text="Ending")
    for slot in chart.changes:
        name = "N.C." if slot.silent else str(slot.chord)
        yield slot.start, META, mido.MetaMessage("text", text=name)


def _part(part: PlayedPart, a4: float) -> Iterable[Timed]:
    def control(number: int, value: int) -> Timed:
        return (
            0,
            SETUP,
            mido.Message("control_change", channel=part.channel, control=number, value=value),
        )

    yield 0, META, mido.MetaMessage("track_name", name=part.name)
    for tick, program in ((0, part.program), *part.programs):
        yield tick, SETUP, mido.Message("program_change", channel=part.channel, program=program)
    yield control(7, part.volume)
    yield control(10, part.pan)
    yield control(91, part.reverb)
    if a4 != USUAL_A4 and part.channel != DRUM_CHANNEL:
        for number, value in tuning_controllers(a4):
            yield control(number, value)
    if any(number == BEND for _, number, _ in part.controls):
        for number, value in BEND_CONTROLLERS:
            yield control(number, value)
    for tick, number, value in part.controls:
        if number == BEND:
            yield tick, SETUP, mido.Message("pitchwheel", channel=part.channel, pitch=value)
            continue
        change = mido.Message("control_change", channel=part.channel, control=number, value=value)
        yield tick, SETUP, change
    for note in part.notes:
        pitch, channel = note.pitch, part.channel
        yield (
            note.start,
            ON,
            mido.Message("note_on", channel=channel, note=pitch, velocity=note.velocity),
        )
        off = {"channel": channel, "note": pitch, "velocity": 64}  # checked with its start
        yield (
            note.start + note.length,
            OFF,
            mido.Message("note_off", skip_checks=True, **off),
        )


BEND_CONTROLLERS = (
    (101, 0), (100, 0), (6, BEND_RANGE), (38, 0), (101, 127), (100, 127),
)  # fmt: skip
"""The controllers, number and value, that give a channel its range of pitch bend: registered
parameter 0, in semitones and cents; 127 ends the setting (MIDI 1.0 Detailed Specification, MIDI
Manufacturers Association, from memory)."""


def tuning_controllers(a4: float) -> Iterable[tuple[int, int]]:
    """The controllers, number and value, that tune a channel so that its A has ``a4`` Hz.

    Registered parameters 2, coarse, and 1, fine tuning of the channel: semitones from 64, and
    8192ths of a semitone from 8192 in two times seven bits; 127 ends the setting (MIDI 1.0
    Detailed Specification, MIDI Manufacturers Association, from memory). Two
    things are for FluidSynth, as measured: it drops parts of a cent, so the nearest whole cent is
    written, its last bit rounded up; and it takes low bits sent before the high ones, others those
    sent after, so they stand on both sides.
    """
    cents = round(1200 * log2(a4 / USUAL_A4))
    coarse = round(cents / 100)
    fine = 8192 + ceil(8192 * (cents - 100 * coarse) / 100)
    for parameter, value in ((2, (64 + coarse) << 7), (1, fine)):
        low = 38, value & 127
        yield from ((101, 0), (100, parameter), low, (6, value >> 7), low)
    yield from ((101, 127), (100, 127))


def timed_track(timed: Iterable[Timed], end: int) -> mido.MidiTrack:
    """Events, each with its tick and its place among those of one tick, as a track up to an end."""
    track = mido.MidiTrack()
    now = 0
    for tick, _, message in sorted(timed, key=lambda event: event[:2]):
        message.time = tick - now
        now = tick
        track.append(message)
    track.append(mido.MetaMessage("end_of_track", time=end - now))
    return track
