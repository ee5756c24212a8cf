"""The choice of a soundfont, and its name and licence."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from groove.errors import GrooveError
from groove.rhythm.kit import KIT
from groove.sound.synth.licences import Terms, caution, terms
from groove.sound.synth.soundfonts import (
    LICENCES,
    Fonts,
    Soundfont,
    find_fonts,
    packaged,
    places,
    soundfont,
)
from tests.sound.sound_material import chunk, run_python, soundfont_of, tiny_soundfont

Put = Callable[..., Path]


def test_the_packages_own_plays_whatever_lies_on_the_system(soundfont_at: Put) -> None:
    best = soundfont_at("system/FluidR3_GM.sf2")
    assert find_fonts(None, {}, [best.parent]).all == (packaged(),)


def test_the_packages_own_asks_for_a_credit_at_most_and_gives_it() -> None:
    own = packaged()
    assert (own.name, terms(own.licence)) == ("groove band", Terms.CREDIT)
    assert "Frank Wen" in own.credit


def test_the_text_that_goes_with_it_names_all_that_it_credits() -> None:
    text = " ".join(LICENCES.read_text("utf-8").split()).casefold()
    for clause in packaged().credit.split("; "):
        assert clause.partition(" by ")[0].casefold() in text


def test_the_one_inside_pretty_midi_is_not_picked_up() -> None:
    fonts = find_fonts(None, {"HOME": "/nowhere"})
    assert not [path for path in fonts.spare if "pretty_midi" in path.parts]


def test_the_given_one_wins_over_the_environment(soundfont_at: Put) -> None:
    given, named = soundfont_at("mine.sf2"), soundfont_at("named.sf2")
    found = find_fonts(given, {"GROOVE_SOUNDFONT": f"{named}:drums={named}"}, [])
    assert [font.path for font in found.all] == [given]


def test_the_environment_wins_over_the_packages_own(soundfont_at: Put) -> None:
    named = soundfont_at("named.sf2")
    assert find_fonts(None, {"GROOVE_SOUNDFONT": str(named)}, []).main.path == named
    assert find_fonts(None, {"GROOVE_SOUNDFONT": ""}, []).main == packaged()


def test_a_part_plays_its_own_soundfont_where_it_has_one() -> None:
    hall, kit = Soundfont(Path("hall.sf2"), "Hall", "MIT"), Soundfont(Path("kit.sf2"), "Kit", "CC0")
    fonts = Fonts(hall, {"drums": kit, "percussion": kit})
    assert [fonts.of(part) for part in ("bass", "drums")] == [hall, kit]
    assert fonts.all == (hall, kit)
    assert str(fonts) == "Hall (MIT); drums and percussion: Kit (CC0)"


def test_the_soundfont_of_comping_is_that_of_guitar_and_keys() -> None:
    hall, wood = Soundfont(Path("h.sf2"), "Hall", "MIT"), Soundfont(Path("w.sf2"), "Wood", "CC0")
    fonts = Fonts(hall, {"comping": wood, "keys": hall})
    assert [fonts.of(part) for part in ("guitar", "keys", "riff")] == [wood, hall, hall]


def test_each_part_can_be_given_a_soundfont(soundfont_at: Put) -> None:
    kit, piano, hall = (soundfont_at(f"{name}.sf2") for name in ("kit", "piano", "hall"))
    found = find_fonts([f"Drums={kit}", f"keys={piano}", hall], {}, [])
    assert (found.main.path, found.of("drums").path, found.of("keys").path) == (hall, kit, piano)
    assert find_fonts(f"drums={kit}", {}, []).main == packaged()


def test_the_environment_may_give_parts_theirs_and_the_command_others(soundfont_at: Put) -> None:
    kit, piano, hall = (soundfont_at(f"{name}.sf2") for name in ("kit", "piano", "hall"))
    environ = {"GROOVE_SOUNDFONT": os.pathsep.join([f"drums={kit}", str(hall)])}
    found = find_fonts(f"keys={piano}", environ, [])
    assert (found.main.path, found.of("drums").path, found.of("keys").path) == (hall, kit, piano)


def test_a_drummer_plays_a_soundfont_whose_kit_is_not_in_the_bank_of_kits(
    soundfont_at: Put,
) -> None:
    path = soundfont_at("kit.sf2", soundfont_of({(0, 5): [36]}))
    assert find_fonts(f"drums={path}", {}, []).of("drums").kit == (0, 5)
    assert find_fonts(f"bass={path}", {}, []).of("bass").kit is None
    both = soundfont_at("both.sf2", soundfont_of({(0, 5): [36], (128, 0): [36]}))
    assert find_fonts(f"drums={both}", {}, []).of("drums").kit is None


def test_the_kits_of_debian_are_known_with_their_keys_and_their_licence(soundfont_at: Put) -> None:
    path = soundfont_at("Black_Pearl_4_LV2.sf2", soundfont_of({(0, 0): [36]}, "Black Pearl 4pc"))
    font = find_fonts(f"drums={path}", {}, []).of("drums")
    assert (str(font), font.kit) == ("AVL Drumkits (CC BY-SA 3.0)", (0, 0))
    assert dict(font.strokes)[KIT["tom-low"].note] == 41
    assert "share-alike" in str(caution(font))
    assert find_fonts(None, {}, [path.parent]).spare == ()


def test_a_file_with_such_a_name_is_a_file(
    soundfont_at: Put, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = soundfont_at("drums=kit.sf2")
    monkeypatch.chdir(path.parent)
    for given in ("drums=kit.sf2", "./drums=kit.sf2", path):
        assert find_fonts(given, {}, []).main.path.name == path.name


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (["drumz=x.sf2"], "soundfont: found 'drumz=x.sf2'; parts are drums, bass, comping, "),
        (["drums="], "soundfont: found 'drums='; a file comes after the ="),
        (["KIT", "KIT"], "soundfont: found .*; the whole band has .* already"),
        (["drums=KIT", "drums=KIT"], "soundfont: found .*; drums has .* already"),
        (["drums=none.sf2"], "soundfont none.sf2: there is no such file"),
    ],
)
def test_what_is_not_clear_is_an_error(given: list[str], words: str, soundfont_at: Put) -> None:
    kit = str(soundfont_at("kit.sf2"))
    with pytest.raises(GrooveError, match=f"^{words}"):
        find_fonts([text.replace("KIT", kit) for text in given], {}, [])


def test_an_error_about_a_part_in_the_environment_names_the_variable() -> None:
    with pytest.raises(GrooveError, match=r"^GROOVE_SOUNDFONT: found 'drumz=x'; parts are drums"):
        find_fonts(None, {"GROOVE_SOUNDFONT": "drumz=x"}, [])


def test_full_ones_on_the_system_are_spare_best_first(soundfont_at: Put) -> None:
    small, best = soundfont_at("first/TimGM6mb.sf2"), soundfont_at("second/FluidR3_GM.sf2")
    own = soundfont_at("third/FluidR3_GM.sf2")
    soundfont_at("first/Splendid Bank.sf2")
    folders = [path.parent for path in (small, best, own)]
    assert find_fonts(None, {}, [*folders, Path("nowhere")]).spare == (best, own, small)


def test_a_link_is_known_by_its_target(soundfont_at: Put, tmp_path: Path) -> None:
    target = soundfont_at("elsewhere/FluidR3_GM.sf2")
    link = tmp_path / "system" / "default-GM.sf2"
    link.parent.mkdir()
    link.symlink_to(target)
    assert soundfont(link).name == "Fluid R3 GM"
    assert find_fonts(None, {}, [link.parent]).spare == (link,)


def test_a_link_to_itself_is_no_soundfont(tmp_path: Path) -> None:
    link = tmp_path / "FluidR3_GM.sf2"
    link.symlink_to(link)
    with pytest.raises(GrooveError, match="cannot be read"):
        find_fonts(link, {}, [])


def test_the_users_data_folder_comes_first() -> None:
    assert places({"XDG_DATA_HOME": "/data"})[0] == Path("/data/soundfonts")


def test_an_error_in_the_environment_names_the_variable(tmp_path: Path) -> None:
    with pytest.raises(GrooveError, match=r"^GROOVE_SOUNDFONT: .*no such file"):
        find_fonts(None, {"GROOVE_SOUNDFONT": str(tmp_path / "none.sf2")}, [])


def test_a_known_one_is_named_from_the_table(soundfont_at: Put) -> None:
    assert str(find_fonts(soundfont_at("fluidr3_gm.sf2"), {})) == "Fluid R3 GM (MIT licence)"


def test_a_known_one_under_the_name_of_another_is_what_it_says_it_is(soundfont_at: Put) -> None:
    inside = tiny_soundfont(chunk("INAM", b"TimGM6mb1.sf2\0"))
    found = find_fonts(soundfont_at("fluidr3_gm.sf2", inside), {})
    assert str(found) == "TimGM6mb (GNU General Public License, version 2)"


def test_an_unknown_one_is_named_from_its_inside(soundfont_at: Put) -> None:
    info = chunk("INAM", b"Village Hall\0") + chunk("ICOP", b"1999 A. Player\0")
    found = find_fonts(soundfont_at("vh.sf2", tiny_soundfont(info)), {})
    assert str(found) == "Village Hall (1999 A. Player)"


def test_a_nameless_one_is_named_after_its_file(soundfont_at: Put) -> None:
    assert str(find_fonts(soundfont_at("vh.sf2"), {})) == "vh (licence not stated)"


def test_a_comment_counts_where_it_speaks_of_a_licence(soundfont_at: Put) -> None:
    info = chunk("ICMT", b"Public domain.")
    assert find_fonts(soundfont_at("a.sf2", tiny_soundfont(info)), {}).main.licence == (
        "Public domain."
    )


def test_a_comment_on_other_things_is_no_licence(soundfont_at: Put) -> None:
    info = chunk("ICMT", b"Thanks to all who played!")
    assert find_fonts(soundfont_at("a.sf2", tiny_soundfont(info)), {}).main.licence == (
        "licence not stated"
    )


def test_control_characters_never_reach_the_terminal(soundfont_at: Put) -> None:
    info = chunk("INAM", b"a\tb\r\nc\x1b[2Jd\x9b\x07") + chunk("ICOP", b"x\n\ny" * 200)
    shown = str(find_fonts(soundfont_at("a.sf2", tiny_soundfont(info)), {}))
    assert shown.isprintable()
    assert len(shown) < 400


def test_finding_one_imports_nothing_heavy() -> None:
    heavy = "numpy mido pretty_midi soundfile fluidsynth"
    code = (
        "import os, sys\n"
        "from groove.sound.synth.soundfonts import find_fonts\n"
        "find_fonts(None, os.environ)\n"
        f"print([name for name in {heavy!r}.split() if name in sys.modules])\n"
    )
    done = run_python(code)
    assert done.stdout.strip() == "[]", done.stderr
