"""What is chosen: read from the page, given to the pack, and read back from what was made."""

from __future__ import annotations

import json
import os
import shutil
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import pytest

import groove
from groove.errors import GrooveError
from groove.handout.pack.folder import FORMAT, MANIFEST, STATE
from groove.handout.pack.prepare import prepare
from groove.screen.open_form import OpenForm
from groove.screen.posting.contents import entries_of
from groove.screen.posting.last import keep_asked, last_wish, newest_pack
from groove.screen.posting.packs import LessonPacks
from groove.screen.posting.wish import SEMITONES, Wish, choices, read_wish, takes_all, usual
from groove.screen.session import Session
from tests.handout.pack.pack_material import FORM

USUAL = usual(FORM)


def as_sent(wish: Wish) -> Any:
    return json.loads(json.dumps(asdict(wish)))


ODD: dict[str, Any] = as_sent(USUAL)


@pytest.mark.parametrize(
    "wish",
    [
        USUAL,
        Wish((0,), "80, 100.5", (), readers=("Bb", "bass-clef"), paper="letter", text=True),
        Wish(
            (3, 7), "", ("flac", "mp3"), True, True, (), "a4", ("wide", "square"), "neck", "dark",
            cover=True, preview=True,
        ),
        Wish((11,), "", cover=True, theme="dark"),
    ],
)  # fmt: skip
def test_what_was_chosen_is_read_back_from_the_page_and_from_the_pack(
    wish: Wish, tmp_path: Path
) -> None:
    assert read_wish(as_sent(wish)) == wish
    plan = prepare(FORM, tmp_path, quickly=True, **wish.options(FORM)).plan
    content = {"pack": FORMAT, "files": entries_of(plan), "form": {"tempo": FORM.tempo}}
    (tmp_path / MANIFEST).write_text(json.dumps(content))
    assert last_wish(tmp_path) == wish


def test_a_whole_pack_tells_what_was_chosen(whole_pack: Path) -> None:
    assert last_wish(whole_pack) == Wish((0, 10), "90, 120", stems=True, without_each=True)


def test_a_pack_that_was_begun_tells_it_too(whole_pack: Path, tmp_path: Path) -> None:
    folder = tmp_path / "pack"
    shutil.copytree(whole_pack, folder)
    (folder / STATE).mkdir()
    wish = replace(USUAL, keys=(5,), text=True)
    keep_asked(folder, asdict(wish))
    assert last_wish(folder) == wish


@pytest.mark.parametrize(
    "content",
    [
        b"", b"[]", b"{}", b'{"pack": 1}', b'{"pack": 1, "files": [], "form": {"tempo": 1}}',
        b'{"pack": 1, "files": [{"kind": "chart", "path": "x.pdf"}], "form": {"tempo": 1}}',
        b'{"pack": 1, "files": "x", "form": []}', b"[" * 5000, b"\xff",
    ],
)  # fmt: skip
def test_a_manifest_that_can_not_be_read_tells_nothing(content: bytes, tmp_path: Path) -> None:
    (tmp_path / MANIFEST).write_bytes(content)
    assert last_wish(tmp_path) is None


def test_the_same_is_asked_for_as_by_the_command_but_in_one_key() -> None:
    options = USUAL.options(FORM)
    by_hand = {"keys": FORM.key.symbol, "audio": "mp3"}
    plans = [prepare(FORM, "none", **each).plan for each in (options, by_hand)]
    assert [piece.path for piece in plans[0].pieces] == [piece.path for piece in plans[1].pieces]
    cycle = groove.read_form("twelve-bar", key="F", key_cycle="fourths", choruses=12)
    assert usual(cycle).keys == (5,)
    assert takes_all(FORM)
    assert not takes_all(cycle)


def test_keys_stay_what_they_sound_where_the_form_becomes_minor() -> None:
    wish = replace(USUAL, keys=(1, 6))
    assert wish.options(groove.read_form("twelve-bar", key="F#"))["keys"] == ["Db", "F#"]
    assert wish.options(groove.read_form("minor-twelve-bar", key="Am"))["keys"] == ["C#m", "F#m"]


def test_what_has_no_effect_is_left_out_and_a_key_is_needed() -> None:
    options = Wish((0,), "", (), stems=True, show="neck", theme="dark").options(FORM)
    assert (options["audio"], options["stems"]) == ("none", False)
    assert (options["show"], options["theme"]) == ("none", "light")
    with pytest.raises(GrooveError, match="choose at least one key"):
        Wish(()).options(FORM)


def test_the_forms_own_key_comes_first_and_what_lacks_a_package_is_named(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    form = groove.read_form("minor-twelve-bar", key="Bbm")
    assert choices(form)["keys"][0] == (10, "B♭ minor")
    assert len({key for key, _ in choices(form)["keys"]}) == 12
    assert choices(form)["lacking"] == []
    monkeypatch.setattr("groove.screen.posting.wish.find_spec", lambda name: name != "av" or None)
    assert choices(form)["lacking"] == ["video"]


@pytest.mark.parametrize(
    "asked",
    [
        None, [], "all", {}, ODD | {"keys": "all"}, ODD | {"keys": [True]}, ODD | {"keys": [0.5]},
        ODD | {"audio": "mp3"}, ODD | {"audio": ["mp4"]}, ODD | {"audio": [["mp3"]]},
        ODD | {"video": ["huge"]}, ODD | {"readers": ["concert"]}, ODD | {"paper": "../a4"},
        ODD | {"paper": ["a4"]}, ODD | {"tempos": 80}, ODD | {"tempos": "8" * 1000},
        ODD | {"theme": None},
    ],
)  # fmt: skip
def test_odd_wishes_are_refused_in_one_line(asked: Any) -> None:
    with pytest.raises(GrooveError) as refused:
        read_wish(asked)
    assert "\n" not in str(refused.value)


def test_what_is_not_known_is_not_passed_on() -> None:
    more = ODD | {"out": "/tmp", "soundfont": "/etc/passwd", "executor": 1, "keys": [0, 99, -1]}
    assert read_wish(more) == replace(USUAL, keys=(0,))


def test_another_lesson_begins_with_what_was_chosen_last_in_its_own_keys(
    whole_pack: Path, tmp_path: Path
) -> None:
    (tmp_path / "next.toml").write_text('title = "Next week"\nkey = "G"\nchords = "| I7 |"\n')
    session = Session(OpenForm.at(tmp_path / "next.toml", ""))
    packs = LessonPacks(session, session.lesson("next.toml"))
    own = replace(USUAL, keys=(7,))
    assert read_wish(json.loads(json.dumps(packs.now()["wish"]))) == own
    assert newest_pack(tmp_path) is None
    (tmp_path / "short-way").mkdir()
    shutil.copy(whole_pack / MANIFEST, tmp_path / "short-way")
    (tmp_path / "broken").mkdir()
    (tmp_path / "broken" / MANIFEST).write_text("{")
    os.utime(tmp_path / "broken" / MANIFEST, (0, 0))
    found = packs.now()
    assert found["asFor"] == "short-way"
    assert found["wish"] == asdict(replace(own, stems=True, without_each=True))
    assert found["contents"] is None
    (tmp_path / "short-way" / STATE).mkdir()
    keep_asked(tmp_path / "short-way", asdict(replace(USUAL, keys=tuple(SEMITONES), text=True)))
    assert packs.now()["wish"] == asdict(replace(own, keys=tuple(SEMITONES), text=True))
