"""Our names for drum and instrument sounds against General MIDI's.

General MIDI System Level 1, MIDI Manufacturers Association, 1991, as it stands in
`pretty_midi.constants`: DRUM_MAP from note 35 up, INSTRUMENT_MAP from program 0 up.
"""

from __future__ import annotations

import pytest
from pretty_midi import note_number_to_drum_name, program_to_instrument_name

from groove.rhythm.kit import INSTRUMENTS, KIT

DRUM_NAMES = {
    "kick": "Bass Drum 1",
    "side-stick": "Side Stick",
    "snare": "Acoustic Snare",
    "clap": "Hand Clap",
    "hat": "Closed Hi Hat",
    "hat-foot": "Pedal Hi Hat",
    "hat-open": "Open Hi Hat",
    "tom-low": "High Floor Tom",
    "tom-mid": "Low-Mid Tom",
    "tom-high": "High Tom",
    "crash": "Crash Cymbal 1",
    "ride": "Ride Cymbal 1",
    "bell": "Ride Bell",
    "tambourine": "Tambourine",
    "splash": "Splash Cymbal",
    "cowbell": "Cowbell",
    "bongo-high": "Hi Bongo",
    "bongo-low": "Low Bongo",
    "conga-mute": "Mute Hi Conga",
    "conga-high": "Open Hi Conga",
    "conga-low": "Low Conga",
    "timbale-high": "High Timbale",
    "timbale-low": "Low Timbale",
    "cabasa": "Cabasa",
    "maracas": "Maracas",
    "guiro": "Short Guiro",
    "claves": "Claves",
    "wood-block": "Hi Wood Block",
}
PROGRAM_NAMES = {
    "acoustic bass": "Acoustic Bass",
    "fingered bass": "Electric Bass (finger)",
    "picked bass": "Electric Bass (pick)",
    "acoustic grand": "Acoustic Grand Piano",
    "electric piano": "Electric Piano 1",
    "drawbar organ": "Drawbar Organ",
    "rock organ": "Rock Organ",
    "nylon guitar": "Acoustic Guitar (nylon)",
    "steel guitar": "Acoustic Guitar (steel)",
    "jazz guitar": "Electric Guitar (jazz)",
    "clean electric guitar": "Electric Guitar (clean)",
    "muted guitar": "Electric Guitar (muted)",
}


@pytest.mark.parametrize("row", KIT)
def test_a_kit_voice_has_the_note_of_its_name(row: str) -> None:
    assert note_number_to_drum_name(KIT[row].note) == DRUM_NAMES[row]


@pytest.mark.parametrize("name", INSTRUMENTS)
def test_an_instrument_has_the_program_of_its_name(name: str) -> None:
    assert program_to_instrument_name(INSTRUMENTS[name].program) == PROGRAM_NAMES[name]
