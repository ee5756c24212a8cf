"""In place of a sound that a soundfont lacks, the one most like it plays."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from groove import library
from groove.rhythm.kit import INSTRUMENTS, KIT, KITS
from groove.sound.synth.soundfont_file import keys, presets
from groove.sound.synth.soundfonts import (
    DRUM_BANK,
    Soundfont,
    known_soundfonts,
    packaged,
    soundfont,
)
from groove.sound.synth.stand_ins import PROGRAMS, Sounds
from tests.sound.sound_material import GENERAL_MIDI, soundfont_of

Put = Callable[..., Path]


def having(soundfont_at: Put, presets: dict[tuple[int, int], list[int]]) -> Sounds:
    return Sounds(soundfont(soundfont_at("some.sf2", soundfont_of(presets))))


def test_a_sound_that_is_there_plays_itself() -> None:
    sounds = Sounds(soundfont(GENERAL_MIDI))
    for program in range(128):
        assert sounds.preset(0, program) == (0, program)
        assert sounds.distance(0, program) == 0
    assert sounds.stroke(0, 56) == 56


@pytest.mark.parametrize(
    ("asked", "there", "played"),
    [
        ("sitar", ["banjo", "acoustic guitar (steel)"], "banjo"),
        ("clavinet", ["acoustic grand piano", "electric piano 2"], "electric piano 2"),
        ("fiddle", ["violin", "banjo"], "violin"),
        ("tuba", ["tenor sax", "muted trumpet"], "muted trumpet"),
        ("pad 5 (bowed)", ["string ensemble 1", "flute"], "string ensemble 1"),
        ("gunshot", ["acoustic bass"], "acoustic bass"),
    ],
)
def test_the_instrument_most_like_it_plays(
    asked: str, there: list[str], played: str, soundfont_at: Put
) -> None:
    numbers = [(0, INSTRUMENTS[name].program) for name in there]
    sounds = Sounds(
        soundfont(soundfont_at("some.sf2", soundfont_of({number: [60] for number in numbers})))
    )
    assert PROGRAMS[sounds.preset(0, INSTRUMENTS[asked].program)[1]] == played


def test_every_instrument_has_its_own_family_first() -> None:
    """Where nothing is said to be like it, and none is."""
    families = library.table("instruments")["programs"]
    table = library.table("stand-ins")
    assert list(table["families"]) == list(families)
    assert all(set(kin) < set(families) for kin in table["families"].values())


@pytest.mark.parametrize(
    ("kind", "names"), [("instruments", PROGRAMS), ("kits", KITS), ("strokes", KIT)]
)
def test_the_table_of_stand_ins_knows_its_names(kind: str, names: object) -> None:
    for name, like in library.table("stand-ins")[kind].items():
        assert {name, *like} <= set(names)  # type: ignore[call-overload]
        assert name not in like


def test_a_kit_plays_for_another(soundfont_at: Put) -> None:
    sounds = Sounds(
        soundfont(soundfont_at("some.sf2", soundfont_of({(128, 0): [36], (128, 32): [36]})))
    )
    assert sounds.preset(DRUM_BANK, KITS["brush"]) == (128, 32)
    assert sounds.preset(DRUM_BANK, KITS["power"]) == (128, 0)
    assert sounds.preset(DRUM_BANK, 100) == (128, 0)


def test_a_stroke_plays_for_another(soundfont_at: Put) -> None:
    kit = [KIT[name].note for name in ("kick", "snare", "hat", "tom-high", "ride")]
    sounds = having(soundfont_at, {(128, 0): kit})
    for asked, played in (("cowbell", "ride"), ("timbale-high", "tom-high"), ("clap", "snare")):
        assert sounds.stroke(KITS["jazz"], KIT[asked].note) == KIT[played].note


def test_every_stroke_of_every_kit_of_the_packages_own_sounds() -> None:
    sounds = Sounds(packaged())
    for program in KITS.values():
        assert (DRUM_BANK, program) in presets(packaged().path)
        for voice in KIT.values():
            assert sounds.stroke(program, voice.note) in keys(packaged().path, DRUM_BANK, program)


def test_a_soundfont_without_kits_has_no_stand_in_for_one(soundfont_at: Put) -> None:
    sounds = having(soundfont_at, {(0, 0): [60]})
    assert sounds.distance(DRUM_BANK, 0) is None
    assert sounds.distance(0, 4) is not None


def test_a_kit_elsewhere_with_strokes_on_other_keys_goes_by_the_names_of_general_midi(
    soundfont_at: Put,
) -> None:
    """Its maracas are on the key of a bongo; there is no bongo."""
    path = soundfont_at("some.sf2", soundfont_of({(0, 3): [36, 47, 61], (0, 7): [60]}))
    strokes = ((36, 36), (KIT["tom-high"].note, 47), (KIT["maracas"].note, 61), (49, 49))
    sounds = Sounds(Soundfont(path, "Some", "CC0", kit=(0, 3), strokes=strokes))
    assert sounds.place(sounds.preset(DRUM_BANK, KITS["jazz"])) == (0, 3)
    assert (sounds.stroke(0, 70), sounds.key(0, 70)) == (70, 61)
    assert (sounds.stroke(0, 61), sounds.key(0, 61)) == (KIT["tom-high"].note, 47)
    assert sounds.stroke(0, 49) != 49, "a key that is named and has no sound is lacking"
    assert sounds.preset(0, 3) == (0, 7)


def test_the_kits_that_the_program_knows_name_strokes_of_the_notation() -> None:
    known = [each for each in known_soundfonts() if each.kit]
    assert known
    for each in known:
        assert {36, 38, 42, 49, 51} <= {note for note, _ in each.strokes}
        assert not each.full
