"""Our names for drum and instrument sounds against General MIDI's.

General MIDI System Level 1, MIDI Manufacturers Association, 1991, as it stands in
`pretty_midi.constants`: DRUM_MAP from note 35 up, INSTRUMENT_MAP from program 0 up.
"""

from __future__ import annotations

import pytest
from pretty_midi import note_number_to_drum_name, program_to_instrument_name
from pretty_midi.constants import INSTRUMENT_MAP

from groove.rhythm.kit import INSTRUMENTS, KIT, instrument_name
from tests.cases import in_turn

DRUM_NAMES = {
    "sweep": "Electric Snare",  # in a brush kit a brush on the snare: General MIDI 2 (from memory)
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
    "guiro-long": "Long Guiro",
    "claves": "Claves",
    "wood-block": "Hi Wood Block",
    "triangle-mute": "Mute Triangle",
    "triangle": "Open Triangle",
}
OTHER_NAMES = {
    "piano": "Acoustic Grand Piano",
    "acoustic grand": "Acoustic Grand Piano",
    "electric piano": "Electric Piano 1",
    "organ": "Drawbar Organ",
    "nylon guitar": "Acoustic Guitar (nylon)",
    "steel guitar": "Acoustic Guitar (steel)",
    "jazz guitar": "Electric Guitar (jazz)",
    "clean electric guitar": "Electric Guitar (clean)",
    "muted guitar": "Electric Guitar (muted)",
    "upright bass": "Acoustic Bass",
    "fingered bass": "Electric Bass (finger)",
    "picked bass": "Electric Bass (pick)",
    "strings": "String Ensemble 1",
}


@pytest.mark.parametrize("row", KIT)
def test_a_kit_voice_has_the_note_of_its_name(row: str) -> None:
    assert note_number_to_drum_name(KIT[row].note) == DRUM_NAMES[row]


@in_turn("program", range(128))
def test_every_program_is_found_by_its_name_in_general_midi(program: int) -> None:
    assert INSTRUMENTS[instrument_name(INSTRUMENT_MAP[program])].program == program


@pytest.mark.parametrize("name", list(INSTRUMENTS)[128:])
def test_another_name_has_the_program_of_its_instrument(name: str) -> None:
    assert program_to_instrument_name(INSTRUMENTS[name].program) == OTHER_NAMES[name]
