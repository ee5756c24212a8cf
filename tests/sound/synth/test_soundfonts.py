"""The choice of a soundfont, and its name and licence."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from groove.errors import GrooveError
from groove.sound.synth import soundfonts
from groove.sound.synth.soundfonts import Fonts, Soundfont, find_fonts, places
from tests.sound.sound_material import chunk, run_python, tiny_soundfont

Put = Callable[..., Path]


def test_the_given_one_wins_over_all_others(soundfont_at: Put, tmp_path: Path) -> None:
    given, named = soundfont_at("mine.sf2"), soundfont_at("named.sf2")
    best = soundfont_at("system/FluidR3_GM.sf2")
    found = find_fonts(given, {"GROOVE_SOUNDFONT": str(named)}, [best.parent])
    assert found.main.path == given


def test_a_part_plays_its_own_soundfont_where_it_has_one() -> None:
    hall, kit = Soundfont(Path("hall.sf2"), "Hall", "MIT"), Soundfont(Path("kit.sf2"), "Kit", "CC0")
    fonts = Fonts(hall, {"drums": kit, "percussion": kit})
    assert [fonts.of(part) for part in ("bass", "drums")] == [hall, kit]
    assert fonts.all == (hall, kit)
    assert str(fonts) == "Hall (MIT); Kit (CC0)"


def test_the_environment_wins_over_the_system(soundfont_at: Put) -> None:
    named, best = soundfont_at("named.sf2"), soundfont_at("system/FluidR3_GM.sf2")
    found = find_fonts(None, {"GROOVE_SOUNDFONT": str(named)}, [best.parent])
    assert found.main.path == named


def test_an_empty_environment_variable_is_none(soundfont_at: Put) -> None:
    best = soundfont_at("system/FluidR3_GM.sf2")
    assert find_fonts(None, {"GROOVE_SOUNDFONT": ""}, [best.parent]).main.path == best


def test_the_best_known_wins_wherever_it_lies(soundfont_at: Put) -> None:
    small = soundfont_at("first/TimGM6mb.sf2")
    best = soundfont_at("second/FluidR3_GM.sf2")
    assert find_fonts(None, {}, [small.parent, best.parent]).main.path == best


def test_among_equals_the_earlier_folder_wins(soundfont_at: Put) -> None:
    own, shared = soundfont_at("own/FluidR3_GM.sf2"), soundfont_at("shared/FluidR3_GM.sf2")
    assert find_fonts(None, {}, [own.parent, shared.parent]).main.path == own


def test_the_bundled_one_is_the_last_resort() -> None:
    found = find_fonts(None, {}, [])
    assert found.main.path.parent.name == "pretty_midi"


def test_one_of_unknown_licence_is_not_picked_up(soundfont_at: Put) -> None:
    unknown = soundfont_at("system/Splendid Bank.sf2")
    assert find_fonts(None, {}, [unknown.parent]).main.path != unknown


def test_a_broken_one_on_the_system_is_passed_over(soundfont_at: Put) -> None:
    broken = soundfont_at("system/FluidR3_GM.sf2", b"RIFF")
    sound = soundfont_at("system/TimGM6mb.sf2")
    assert find_fonts(None, {}, [broken.parent]).main.path == sound


def test_a_link_is_known_by_its_target(soundfont_at: Put, tmp_path: Path) -> None:
    target = soundfont_at("elsewhere/FluidR3_GM.sf2")
    link = tmp_path / "system" / "default-GM.sf2"
    link.parent.mkdir()
    link.symlink_to(target)
    assert find_fonts(None, {}, [link.parent]).main.name == "Fluid R3 GM"


def test_a_link_to_itself_is_passed_over(tmp_path: Path) -> None:
    link = tmp_path / "FluidR3_GM.sf2"
    link.symlink_to(link)
    assert find_fonts(None, {}, [tmp_path]).main.name == "TimGM6mb"


def test_a_missing_folder_is_passed_over(tmp_path: Path) -> None:
    assert find_fonts(None, {}, [tmp_path / "nowhere"]).main.name == "TimGM6mb"


def test_the_users_data_folder_comes_first() -> None:
    assert places({"XDG_DATA_HOME": "/data"})[0] == Path("/data/soundfonts")


def test_none_at_all_says_how_to_get_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(soundfonts, "find_spec", lambda name: None)
    with pytest.raises(GrooveError, match="--soundfont FILE"):
        find_fonts(None, {}, [])


def test_an_error_in_the_environment_names_the_variable(tmp_path: Path) -> None:
    with pytest.raises(GrooveError, match=r"^GROOVE_SOUNDFONT: .*no such file"):
        find_fonts(None, {"GROOVE_SOUNDFONT": str(tmp_path / "none.sf2")}, [])


def test_a_known_one_is_named_from_the_table(soundfont_at: Put) -> None:
    assert str(find_fonts(soundfont_at("fluidr3_gm.sf2"), {})) == "Fluid R3 GM (MIT licence)"


def test_a_known_one_under_the_name_of_another_is_what_it_says_it_is(soundfont_at: Put) -> None:
    inside = tiny_soundfont(chunk("INAM", b"TimGM6mb1.sf2\0"))
    for folders in ([], [soundfont_at("system/FluidR3_GM.sf2", inside).parent]):
        found = find_fonts(None if folders else soundfont_at("fluidr3_gm.sf2", inside), {}, folders)
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
