"""The drum kit and the instruments: facts of General MIDI and of the instruments themselves.

Note and program numbers: General MIDI System Level 1, MIDI Manufacturers Association, 1991
(from memory), the same as in ``pretty_midi.constants``; programs are counted from 0.
Ranges: common practice.
"""

from __future__ import annotations

from dataclasses import dataclass

HAND, FOOT = "hand", "foot"


@dataclass(frozen=True, slots=True)
class Voice:
    """One sound of the kit: its note number and the limb that strikes it."""

    note: int
    limb: str = HAND


KIT = {
    "kick": Voice(36, FOOT),
    "side-stick": Voice(37),
    "snare": Voice(38),
    "clap": Voice(39),
    "hat": Voice(42),
    "hat-foot": Voice(44, FOOT),
    "hat-open": Voice(46),
    "tom-low": Voice(43),
    "tom-mid": Voice(47),
    "tom-high": Voice(50),
    "crash": Voice(49),
    "ride": Voice(51),
    "bell": Voice(53),
    "tambourine": Voice(54),
    "splash": Voice(55),
    "cowbell": Voice(56),
    "bongo-high": Voice(60),
    "bongo-low": Voice(61),
    "conga-mute": Voice(62),
    "conga-high": Voice(63),
    "conga-low": Voice(64),
    "timbale-high": Voice(65),
    "timbale-low": Voice(66),
    "cabasa": Voice(69),
    "maracas": Voice(70),
    "guiro": Voice(73),
    "claves": Voice(75),
    "wood-block": Voice(76),
}
TIMEKEEPERS = (
    "hat", "hat-open", "ride", "bell", "cowbell", "maracas", "cabasa", "guiro", "tambourine",
    "timbale-high", "wood-block",
)  # fmt: skip
DRUM_CHANNEL = 9  # channel 10, counted from 0


@dataclass(frozen=True, slots=True)
class MidiInstrument:
    """A melodic instrument: its program, and the lowest and highest note it has."""

    program: int
    lowest: int
    highest: int


BASS_RANGE = (28, 67)  # E1 to the 24th fret of the G string
GUITAR_RANGE = (40, 86)  # E2 to the 22nd fret of the high E string
INSTRUMENTS = {
    "acoustic bass": MidiInstrument(32, *BASS_RANGE),
    "fingered bass": MidiInstrument(33, *BASS_RANGE),
    "picked bass": MidiInstrument(34, *BASS_RANGE),
    "acoustic grand": MidiInstrument(0, 21, 108),
    "electric piano": MidiInstrument(4, 28, 103),
    "drawbar organ": MidiInstrument(16, 36, 96),
    "rock organ": MidiInstrument(18, 36, 96),
    "nylon guitar": MidiInstrument(24, *GUITAR_RANGE),
    "steel guitar": MidiInstrument(25, *GUITAR_RANGE),
    "jazz guitar": MidiInstrument(26, *GUITAR_RANGE),
    "clean electric guitar": MidiInstrument(27, *GUITAR_RANGE),
    "muted guitar": MidiInstrument(28, *GUITAR_RANGE),
}
