"""Each sound of a band is heard: from its soundfont, from another, or another in its place."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from groove.rhythm.kit import INSTRUMENTS
from groove.sound.synth.covering import PartSounds, covered, played_in
from groove.sound.synth.soundfonts import Fonts, Soundfont, find_fonts, packaged
from groove.track import compile_take
from tests.band.band_material import form_of
from tests.sound.sound_material import soundfont_of

Put = Callable[..., Path]
PIANO, SITAR, BANJO, BASS = 0, 104, 105, 33
KIT = PartSounds(frozenset({(128, 0)}), frozenset({36, 38}))


def playing(*programs: int) -> PartSounds:
    return PartSounds(frozenset((0, program) for program in programs))


@pytest.fixture
def some(soundfont_at: Put) -> Callable[..., Soundfont]:
    """A function that makes a soundfont with some programs; -1 is a kit of kick and snare."""

    def make(name: str, *programs: int) -> Soundfont:
        presets = {
            (0, program) if program >= 0 else (128, 0): [60] if program >= 0 else [36, 38]
            for program in programs
        }
        path = soundfont_at(f"{name}.sf2", soundfont_of(presets, name))
        return Soundfont(path, name, "CC0 1.0")

    return make


def test_a_band_that_has_all_its_sounds_stays_as_it_is(some: Callable[..., Soundfont]) -> None:
    hall = some("Hall", PIANO, BASS, -1)
    found = covered(Fonts(hall), {"drums": KIT, "bass": playing(BASS)})
    assert (found.fonts, found.notes, found.missing) == (Fonts(hall), (), ())


def test_an_instrument_that_is_lacking_comes_from_the_packages_own(
    some: Callable[..., Soundfont],
) -> None:
    hall = some("Hall", PIANO, -1)
    found = covered(Fonts(hall), {"drums": KIT, "bass": playing(BASS)})
    assert (found.fonts.of("drums"), found.fonts.of("bass")) == (hall, packaged())
    assert found.notes == ("Hall has no electric bass (finger); groove band plays the bass",)
    assert found.missing == ()


def test_one_that_the_packages_own_lacks_comes_from_a_full_one(
    soundfont_at: Put, some: Callable[..., Soundfont]
) -> None:
    content = soundfont_of({(0, SITAR): [60], (0, BANJO): [60]}, "Fluid R3 GM")
    full = soundfont_at("system/FluidR3_GM.sf2", content)
    found = covered(find_fonts(None, {}, [full.parent]), {"melody": playing(SITAR), "drums": KIT})
    assert [font.path for font in found.fonts.all] == [packaged().path, full]
    assert found.notes == ("groove band has no sitar; Fluid R3 GM plays the melody",)


def test_where_none_has_it_the_nearest_plays_and_is_named() -> None:
    fonts = find_fonts(None, {}, [])
    found = covered(fonts, {"melody": playing(SITAR), "drums": KIT})
    assert found.fonts == fonts
    assert found.notes == ("groove band has no sitar (banjo plays instead)",)
    assert found.missing == ("sitar",)


def test_a_broken_one_on_the_system_is_passed_over(soundfont_at: Put) -> None:
    broken = soundfont_at("system/FluidR3_GM.sf2", b"RIFF")
    found = covered(find_fonts(None, {}, [broken.parent]), {"melody": playing(SITAR)})
    assert found.missing == ("sitar",)


def test_a_part_keeps_the_soundfont_that_it_was_given(some: Callable[..., Soundfont]) -> None:
    grand = some("Grand", PIANO)
    ep = INSTRUMENTS["electric piano 1"].program
    found = covered(Fonts(packaged(), {"keys": grand}), {"keys": playing(ep), "drums": KIT})
    assert found.fonts.of("keys") == grand
    assert found.notes == ("Grand has no electric piano 1 (acoustic grand piano plays instead)",)


def test_a_part_whose_own_soundfont_has_nothing_of_the_kind_plays_another(
    some: Callable[..., Soundfont],
) -> None:
    grand = some("Grand", PIANO)
    found = covered(Fonts(packaged(), {"drums": grand}), {"drums": KIT, "keys": playing(PIANO)})
    assert found.fonts.of("drums") == packaged()
    assert found.notes == ("Grand has no standard kit; groove band plays the drums",)


def test_a_stroke_that_a_kit_lacks_is_named(some: Callable[..., Soundfont]) -> None:
    kit = some("Kit", -1)
    played = PartSounds(frozenset({(128, 0)}), frozenset({36, 39}))
    found = covered(Fonts(packaged(), {"drums": kit}), {"drums": played, "bass": playing(BASS)})
    assert found.fonts.of("drums") == kit
    assert found.notes == ("Kit has no clap (snare plays instead)",)


def test_all_that_a_soundfont_lacks_is_one_line(some: Callable[..., Soundfont]) -> None:
    played = PartSounds(frozenset({(128, 0)}), frozenset({36, 37, 39}))
    band = {"drums": played, "percussion": played}
    found = covered(Fonts(packaged(), dict.fromkeys(band, some("Kit", -1))), band)
    assert found.notes == (
        "Kit has no side-stick (snare plays instead), no clap (snare plays instead)",
    )
    assert found.missing == ("side-stick", "clap")


def test_a_soundfont_that_nobody_plays_is_not_named(some: Callable[..., Soundfont]) -> None:
    kit, other = some("Kit", -1), some("Other", PIANO)
    found = covered(Fonts(packaged(), {"drums": kit, "keys": other}), {"drums": KIT})
    assert found.fonts.all == (kit,)
    assert found.notes == ("there is no keys in this band",)


def test_what_has_been_found_once_is_found_again(some: Callable[..., Soundfont]) -> None:
    hall, kit = some("Hall", PIANO), some("Kit", -1)
    band = {"drums": KIT, "bass": playing(BASS), "melody": playing(SITAR)}
    once = covered(Fonts(hall, {"drums": kit}), band)
    assert covered(once.fonts, band).fonts == once.fonts


def test_the_sounds_of_a_take_are_those_of_its_parts_and_cues() -> None:
    form = form_of("I:4", drums="rumba", comping="montuno-piano", tuning_note=True)
    played = played_in(compile_take(form))
    assert set(played) == {"drums", "bass", "comping", "click"}
    assert {bank for bank, _ in played["drums"].presets} == {128}
    assert {bank for bank, _ in played["click"].presets} == {0, 128}
    assert played["drums"].keys
    assert not played["bass"].keys
