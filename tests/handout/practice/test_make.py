"""The practice page as a file: whole or not at all, within its size and the sounds' licence."""

from __future__ import annotations

import base64
import io
import json
import os
import re
import subprocess
import sys
from html import escape, unescape
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile

from groove import library
from groove.errors import GrooveError
from groove.form.read import read_form
from groove.handout.practice.data import page_data
from groove.handout.practice.inline import script, sources
from groove.handout.practice.make import _check_licence, _credits, make_page
from groove.handout.practice.sounds import PULSE_AT, _pack, _played, instruments
from groove.sound.synth.soundfonts import Soundfont, find_soundfont
from tests.command_line import call

FORM = read_form("i-vi-iv-v", title="Tin Roof </script> & Stairs")


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> str:
    return make_page(FORM, tmp_path_factory.mktemp("page") / "tin.html").read_text("utf-8")


def data_in(page: str, place: str) -> Any:
    return json.loads(re.search(f'id="{place}">(.*?)</script>', page, re.DOTALL)[1])


def test_a_title_can_not_break_the_page(page: str) -> None:
    assert "<h1>Tin Roof &lt;/script&gt; &amp; Stairs</h1>" in page
    assert data_in(page, "track-data")["title"] == FORM.title


def test_the_page_points_to_nothing_outside(page: str) -> None:
    code = re.sub(r'"http://www.w3.org/2000/svg"', "", page)  # a name, nothing is fetched from it
    assert not re.search(r"https?://|src=|@import|url\(", code)


def test_the_notice_of_the_sounds_goes_with_them(page: str) -> None:
    font = find_soundfont(None, os.environ)
    notice = re.search(r"<details>(.*?)</details>", page, re.DOTALL)[1]
    assert escape(font.licence) in notice
    assert ("Permission is hereby granted" in notice) == ("MIT" in font.licence)


def test_the_policy_names_its_own_script_and_style_only(page: str) -> None:
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page)[1]
    assert policy.startswith("default-src 'none'; script-src 'sha256-")
    assert "unsafe" not in policy
    assert "connect-src 'none'" in policy


def test_every_recorded_note_stands_where_the_page_looks_for_it(page: str, tmp_path: Path) -> None:
    for name, sound in data_in(page, "sound-data").items():
        file = tmp_path / f"{name}.mp3"
        file.write_bytes(base64.b64decode(sound["mp3"]))
        whole, rate = soundfile.read(file)
        assert rate == sound["rate"]
        late = int(np.argmax(np.abs(whole[:13000]))) - PULSE_AT
        for _, _, first, frames, *_ in sound["notes"]:
            note = whole[first + late : first + late + frames]
            assert np.abs(note).max() > 0.5  # each is there at full level
            assert np.abs(whole[first + late - 400 : first + late - 100]).max() < 0.05


def test_every_pitch_that_is_played_has_a_sound_near_by(page: str) -> None:
    track, sounds = data_in(page, "track-data"), data_in(page, "sound-data")
    for part in ("drums", "bass", "comping"):
        recorded = {note[0] for note in sounds[part]["notes"]}
        reach = 0 if part == "drums" else 1
        for key in track["keys"]:
            for pitch in track["streams"][key["round"][part]][2::5]:
                assert min(abs(pitch - near) for near in recorded) <= reach


def test_a_page_that_can_not_be_written_leaves_nothing(tmp_path: Path) -> None:
    (tmp_path / "folder.html").mkdir()
    with pytest.raises(GrooveError, match="folder stands where the file should go"):
        make_page(FORM, tmp_path / "folder.html")
    assert [path.name for path in tmp_path.iterdir()] == ["folder.html"]


def test_a_page_is_called_html(tmp_path: Path) -> None:
    with pytest.raises(GrooveError, match=r"ends in \.html"):
        make_page(FORM, tmp_path / "page.pdf")


def _font(licence: str) -> Soundfont:
    return Soundfont(Path("band.sf2"), "Band", licence)


@pytest.mark.parametrize("licence", ["MIT licence", "CC0 1.0", "public domain"])
def test_free_sounds_are_posted_without_a_word(licence: str) -> None:
    said: list[str] = []
    _check_licence(_font(licence), False, said.append)
    assert said == []


def test_sounds_under_the_gpl_come_with_a_word_on_what_it_asks() -> None:
    said: list[str] = []
    _check_licence(_font("GNU General Public License, version 2"), False, said.append)
    assert "has to offer that licence" in said[0]


def test_sounds_that_may_not_be_posted_are_refused_unless_the_page_is_private() -> None:
    with pytest.raises(GrooveError, match="does not say that its sounds may be posted"):
        _check_licence(_font("All rights reserved"), False, print)
    _check_licence(_font("All rights reserved"), True, print)
    assert "not for posting" not in _credits(_font("MIT licence"))
    assert "not for posting" in _credits(_font("All rights reserved"))


def test_the_modules_use_the_import_and_export_that_inlining_knows() -> None:
    for source in sources().iterdir():
        if source.name.endswith(".js"):
            lines = source.read_text("utf-8").splitlines()
            assert len(lines) <= 300, source.name
            for line in lines:
                if line.startswith("import "):
                    assert re.fullmatch(r'import \{ [\w, $]+ \} from "\./\w+\.js";', line)
    assert not re.search(r"^(import|export) ", script(), re.MULTILINE)


def test_every_module_is_used() -> None:
    names = {source.name for source in sources().iterdir() if source.name.endswith(".js")}
    names.remove("check.js")  # runs by itself before the modules
    assert names == set(re.findall(r'^modules\["(\w+\.js)"\] = ', script(), re.MULTILINE))


PRINT_DIGEST = """
import hashlib, sys
from groove.form.read import read_form
from groove.handout.practice.make import make_page
page = make_page(read_form("i-vi-iv-v"), sys.argv[1])
print(hashlib.sha256(page.read_bytes()).hexdigest())
"""


def test_a_page_is_the_same_in_every_process(tmp_path: Path) -> None:
    """Whose sets have other orders."""
    digests = {
        subprocess.run(
            [sys.executable, "-c", PRINT_DIGEST, tmp_path / f"{seed}.html"],
            env=os.environ | {"PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(digests) == 1


def test_the_cautions_are_the_lesson_sheet_s_own_words(page: str) -> None:
    footer = re.search(r'<div id="caution">(.*?)</div>', page, re.DOTALL)[1]
    said = [unescape(words) for words in re.findall("<p>(.*?)</p>", footer)]
    assert said == library.load("lesson", "cautions")["cautions"]


def test_a_recorded_note_comes_back_at_the_synthesiser_s_level(tmp_path: Path) -> None:
    """Beside what the encoder was given, which was normalised to full level."""
    (instrument,) = (each for each in instruments(page_data(FORM)) if each.name == "bass")
    played = _played(instrument, find_soundfont(None, os.environ))
    packed = _pack(instrument, played)
    sound, _ = soundfile.read(io.BytesIO(base64.b64decode(packed["mp3"])))
    late = int(np.argmax(np.abs(sound[:13000]))) - PULSE_AT
    for note, row in zip(played, packed["notes"], strict=True):
        first, frames, gain = row[2:5]
        frames = min(frames, 20_000)
        ours = gain * sound[first + late : first + late + frames]
        ratio = ours.std() / note[:frames].mean(axis=1).std()
        assert ratio == pytest.approx(1, abs=0.01)


def test_the_command_writes_the_page_and_prints_its_path(tmp_path: Path) -> None:
    out = str(tmp_path / "new" / "tin.html")
    result = call("page", "i-vi-iv-v", "-o", out)
    assert (result.code, result.out) == (0, f"{out}\n")
    assert "soundfont: " in result.err


def test_the_command_says_in_a_line_what_is_missing(tmp_path: Path) -> None:
    result = call("page", "i-vi-iv-v")
    assert result.code == 2
    assert len(result.err.splitlines()) == 1
    assert "--out" in result.err
    result = call("page", "i-vi-iv-v", "-o", str(tmp_path / "tin.pdf"))
    assert (result.code, len(result.err.splitlines())) == (1, 1)
    assert list(tmp_path.iterdir()) == []


def test_a_page_that_is_too_big_to_mail_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("groove.handout.practice.make.EASY_TO_POST", 1000)
    said: list[str] = []
    make_page(FORM, tmp_path / "tin.html", say=said.append)
    assert re.search(r"note: .*tin.html is [\d.]+ MB", said[-1])
