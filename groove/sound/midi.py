"""A take as a Standard MIDI File, format 1.

Meta events and format: Standard MIDI Files 1.0, RP-001, MIDI Manufacturers Association
(from memory); mido writes them.
"""

from __future__ import annotations

from collections.abc import Iterable

import mido

from groove.band.take import PlayedPart, Take
from groove.form.meter import TICKS_PER_QUARTER

# At one time: what ends comes before what is set up, and that before what begins.
OFF, META, SETUP, ON = range(4)
Timed = tuple[int, int, mido.messages.BaseMessage | mido.MetaMessage]


def midi_file(take: Take) -> mido.MidiFile:
    """The MIDI file of a take: a conductor track, then one each for the parts and the cues.

    The conductor has title, tempo, time and key signature, a marker at each chorus and the
    chord symbols as text. All tracks end together.
    """
    end = take.chart.end
    file = mido.MidiFile(type=1, ticks_per_beat=TICKS_PER_QUARTER, charset="utf-8")
    file.tracks.append(_track(_conductor(take), end))
    file.tracks.extend(_track(_part(part), end) for part in (*take.parts, *take.cues))
    return file


def tempo_microseconds(take: Take) -> int:
    """Microseconds a quarter note, as the tempo event counts."""
    form = take.chart.form
    quarters = form.meter.beat_ticks / TICKS_PER_QUARTER
    return round(60_000_000 / (form.tempo * quarters))


def _conductor(take: Take) -> Iterable[Timed]:
    chart, form = take.chart, take.chart.form
    meter = form.meter
    click = 24 * meter.beat_ticks // TICKS_PER_QUARTER
    yield 0, META, mido.MetaMessage("track_name", name=form.title)
    yield 0, META, mido.MetaMessage("set_tempo", tempo=tempo_microseconds(take))
    yield (
        0,
        META,
        mido.MetaMessage(
            "time_signature",
            numerator=meter.numerator,
            denominator=meter.denominator,
            clocks_per_click=click,
        ),
    )
    yield 0, META, mido.MetaMessage("key_signature", key=form.key.symbol)
    if form.count_in:
        yield 0, META, mido.MetaMessage("marker", text="Count-in")
    for bar in chart.bars:
        if bar.number == 1:
            yield bar.start, META, mido.MetaMessage("marker", text=f"Chorus {bar.chorus + 1}")
    if chart.ending:
        yield chart.ending.start, META, mido.MetaMessage("marker", text="Ending")
    for slot in chart.changes:
        yield slot.start, META, mido.MetaMessage("text", text=str(slot.chord))


def _part(part: PlayedPart) -> Iterable[Timed]:
    def control(number: int, value: int) -> Timed:
        return (
            0,
            SETUP,
            mido.Message("control_change", channel=part.channel, control=number, value=value),
        )

    yield 0, META, mido.MetaMessage("track_name", name=part.name)
    yield 0, SETUP, mido.Message("program_change", channel=part.channel, program=part.program)
    yield control(7, part.volume)
    yield control(10, part.pan)
    yield control(91, part.reverb)
    for note in part.notes:
        pitch, channel = note.pitch, part.channel
        yield (
            note.start,
            ON,
            mido.Message("note_on", channel=channel, note=pitch, velocity=note.velocity),
        )
        yield (
            note.start + note.length,
            OFF,
            mido.Message("note_off", channel=channel, note=pitch, velocity=64),
        )


def _track(timed: Iterable[Timed], end: int) -> mido.MidiTrack:
    track = mido.MidiTrack()
    now = 0
    for tick, _, message in sorted(timed, key=lambda event: event[:2]):
        message.time = tick - now
        now = tick
        track.append(message)
    track.append(mido.MetaMessage("end_of_track", time=end - now))
    return track
