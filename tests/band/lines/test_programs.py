"""The programs of the players: chosen by name, changed at the seams."""

from __future__ import annotations

import io
from typing import Any

import pretty_midi
import pytest

from groove import library
from groove.band.part import PlayedPart
from groove.form.read import read_form
from groove.rhythm.kit import INSTRUMENTS
from groove.rhythm.patterns import drum_pattern
from groove.sound.midi import midi_file
from groove.track import compile_take
from tests.form.road_material import arranged

A = {"name": "A", "chords": "| C | F | G | C |"}
B = {"name": "B", "chords": "| Am | Dm | G | C |"}


def parts(**form: Any) -> dict[str, PlayedPart]:
    values = {"key": "C", "drums": "eighths-rock", "order": ["A, B"]} | form
    return {part.name: part for part in compile_take(arranged(**values)).parts}


def program(name: str) -> int:
    return INSTRUMENTS[name].program


def test_an_instrument_of_the_form_is_played_throughout() -> None:
    chosen = {"comping": "Electric Piano 1", "bass": "fretless-bass"}
    found = parts(sections=[A, B], instrument=chosen)
    assert (found["comping"].program, found["comping"].programs) == (4, ())
    assert (found["bass"].program, found["bass"].programs) == (35, ())


def test_the_line_stands_above_the_section_and_the_section_above_the_form() -> None:
    section = B | {"instrument": {"bass": "slap bass 1"}}
    order = ["A, B", {"play": "A, B", "instrument": {"bass": "synth bass 1"}}]
    bass = parts(sections=[A, section], instrument={"bass": "picked bass"}, order=order)["bass"]
    names = [program(name) for name in ("picked bass", "slap bass 1", "synth bass 1")]
    assert [bass.program, *(found for _, found in bass.programs)] == names


@pytest.mark.parametrize("tightness", [0, 1])
def test_a_change_stands_at_the_seam_and_every_note_has_its_program(tightness: int) -> None:
    """Read by pretty_midi, which splits a track where its program changes."""
    section = B | {"instrument": {"comping": "vibraphone"}}
    form = arranged(
        sections=[A, section], key="C", drums="eighths-rock", order=["A, B, A, B"],
        tightness=tightness,
    )  # fmt: skip
    take = compile_take(form)
    comping = next(part for part in take.parts if part.name == "comping")
    seams = [played.start for played in take.chart.passes][1:]
    assert len(comping.programs) == 3
    for (tick, _), seam in zip(comping.programs, seams, strict=True):
        assert abs(tick - seam) < 100
    file = io.BytesIO()
    midi_file(take).save(file=file)
    file.seek(0)
    read = pretty_midi.PrettyMIDI(file)
    vibraphone = next(i for i in read.instruments if i.program == program("vibraphone"))
    second, fourth = (take.chart.passes[n] for n in (1, 3))
    for note in vibraphone.notes:
        tick = read.time_to_tick(note.start) + 100
        assert second.start <= tick < second.end or fourth.start <= tick


def test_program_changes_stand_in_the_track_before_the_notes_at_their_tick() -> None:
    section = B | {"instrument": {"bass": "fretless bass"}}
    form = arranged(sections=[A, section], key="C", order=["A, B"], tightness=1)
    track = next(t for t in midi_file(compile_take(form)).tracks if t.name == "bass")
    kinds = [m.type for m in track if m.type in ("program_change", "note_on")]
    last = max(n for n, kind in enumerate(kinds) if kind == "program_change")
    assert [m.program for m in track if m.type == "program_change"] == [34, 35]
    assert kinds[last + 1] == "note_on"


def test_riff_and_melody_have_channels_of_their_own() -> None:
    riffs = [{"name": "horn", "notes": "| 1:4 |", "instrument": "trombone"}]
    found = parts(
        sections=[A | {"melody": "| C4:4 |"}, B | {"riff": "horn"}],
        riffs=riffs,
        instrument={"melody": "flute"},
    )
    assert found["riff"].program == program("trombone")
    assert found["melody"].program == program("flute")
    channels = [part.channel for part in found.values()]
    assert len(set(channels)) == len(channels)


def test_a_drum_pattern_brings_its_kit_and_the_form_may_ask_for_another() -> None:
    """General MIDI 2: jazz kit 32, brush kit 40, counted from 0 (from memory)."""
    assert parts(sections=[A, B])["drums"].program == 8
    assert parts(sections=[A, B], drums="medium-swing")["drums"].program == 32
    brushes = parts(sections=[A, B], drums="medium-swing", instrument={"drums": "Brush kit"})
    assert brushes["drums"].program == 40


def test_the_kit_changes_with_the_pattern_for_all_who_share_its_channel() -> None:
    section = B | {"drums": "medium-swing", "percussion": "shaker"}
    found = parts(sections=[A, section], drums="mambo", order=["A, B"], ending="written")
    drums, percussion = found["drums"], found["percussion"]
    assert [drums.program, *(program for _, program in drums.programs)] == [0, 32]
    assert (percussion.program, percussion.programs) == (drums.program, drums.programs)


def test_a_soloist_s_instruments_and_the_styles_that_have_them_are_there() -> None:
    table = library.table("lines")["solo"]
    families = {drum_pattern(name).family for name in library.names("drums")}
    assert set(table["families"]) <= families
    assert set(table["patterns"]) <= set(library.names("drums"))
    named = {table["instrument"], *table["families"].values(), *table["patterns"].values()}
    assert named <= set(INSTRUMENTS)


@pytest.mark.parametrize(
    ("drums", "program"), [("shuffle", 29), ("medium-swing", 26), ("bossa", 24), ("tango", 24)]
)
def test_a_soloist_has_the_guitar_of_the_style(drums: str, program: int) -> None:
    """General MIDI's programs, counted from 0 (General MIDI System Level 1, from memory)."""
    take = compile_take(read_form("twelve-bar", drums=drums, solo="example", choruses=1))
    assert take.parts[-1].program == program
