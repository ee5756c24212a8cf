"""The practice page as a file: whole or not at all, within its size and the sounds' licence."""

from __future__ import annotations

import hashlib
import os
import re
import subprocess
import sys
from html import unescape
from pathlib import Path
from unittest.mock import patch

import pytest

from groove import library
from groove.errors import GrooveError
from groove.handout.practice.inline import policy_in
from groove.handout.practice.make import _check_licence, _credits, _notice, make_page
from groove.sound.synth.soundfonts import LICENCES, Fonts, Soundfont, find_fonts
from tests.command_line import Result, call
from tests.handout.practice.page_material import FORM, data_in, text_in, the_notes_of_one_key


def test_a_title_can_not_break_the_page(page: str) -> None:
    assert "<h1>Tin Roof &lt;/script&gt; &amp; Stairs</h1>" in page
    assert data_in(page, "track-data")["title"] == FORM.title


def test_the_page_points_to_nothing_outside(page: str) -> None:
    places = re.findall(r'<script type="text/plain" id="([\w-]+)">', page)
    assert {"program", "track-data", "sound-data"} == set(places)
    plain = re.sub(r'<script type="text/plain".*?</script>', "", page)
    for code in (plain, *(text_in(page, place) for place in places)):
        code = code.replace(
            '"http://www.w3.org/2000/svg"', ""
        )  # a name, nothing is fetched from it
        assert not re.search(r"https?://|src=|@import|url\(", code)


def test_the_policy_of_a_page_is_read_from_its_head(page: str) -> None:
    policy = policy_in(page)
    assert policy.startswith("default-src 'none'; script-src 'sha256-")
    assert policy.count("'sha256-") == 4  # three programs and the style
    assert "connect-src 'none'" in policy


def test_the_notice_of_the_sounds_goes_with_them(page: str) -> None:
    notice = unescape(re.search(r"<details>(.*?)</details>", page, re.DOTALL)[1])
    whole = " ".join(LICENCES.read_text("utf-8").replace("https://", "").split())
    assert whole in notice
    assert notice.count("Permission is hereby granted") == 1


def test_the_foot_of_the_page_credits_every_soundfont_and_says_where_its_licence_stands() -> None:
    kit = Soundfont(Path("kit.sf2"), "Kit", "CC BY-SA 3.0", "Recorded by A. Player")
    own = find_fonts(None, {}, []).main
    said, notice = _credits(Fonts(own, {"drums": kit})), _notice(Fonts(own, {"drums": kit}))
    assert said.startswith(f"Sounds from {own}: {own.credit.rstrip('.')}. Drums from {kit}: Rec")
    for words in ("Copyright (c) 2000-2002, 2008 Frank Wen", "creativecommons.org/licenses/by/3.0/",
                  "Kit: Recorded by A. Player. CC BY-SA 3.0.", "by-sa/3.0/"):  # fmt: skip
        assert words in notice
    assert notice.count("Permission is hereby granted") == 1
    assert "Permission" not in _notice(Fonts(kit))


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
    assert "not for posting" not in _credits(Fonts(_font("MIT licence")))
    assert "not for posting" in _credits(Fonts(_font("All rights reserved")))


PRINT_DIGEST = """
import hashlib, sys
from groove.form.read import read_form
from groove.handout.practice.make import make_page
page = make_page(read_form("i-vi-iv-v", title=sys.argv[1]), sys.argv[2])
print(hashlib.sha256(page.read_bytes()).hexdigest())
"""


def test_a_page_is_the_same_in_every_process(page: str, tmp_path: Path) -> None:
    """The order of a set depends on the process's hash seed."""
    another = "1" if os.environ.get("PYTHONHASHSEED") != "1" else "2"
    done = subprocess.run(
        [sys.executable, "-c", PRINT_DIGEST, FORM.title, tmp_path / "tin.html"],
        env=os.environ | {"PYTHONHASHSEED": another},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == hashlib.sha256(page.encode()).hexdigest()


def test_the_cautions_are_the_lesson_sheet_s_own_words(page: str) -> None:
    footer = re.search(r'<div id="caution">(.*?)</div>', page, re.DOTALL)[1]
    said = [unescape(words) for words in re.findall("<p>(.*?)</p>", footer)]
    assert said == library.load("lesson", "cautions")["cautions"]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Result]:
    """A page from the command line, where more than 1,000 bytes are too much to mail: its path, and
    what was said."""
    out = str(tmp_path_factory.mktemp("page") / "new" / "tin.html")
    with the_notes_of_one_key(), patch("groove.handout.practice.make.EASY_TO_POST", 1000):
        return out, call("page", "i-vi-iv-v", "-o", out)


def test_the_command_writes_the_page_and_prints_its_path(made: tuple[str, Result]) -> None:
    out, result = made
    assert (result.code, result.out) == (0, f"{out}\n")
    assert Path(out).exists()
    assert "soundfont: " in result.err


def test_a_page_that_is_too_big_to_mail_says_so(made: tuple[str, Result]) -> None:
    assert re.search(r"note: .*tin.html is [\d.]+ MB", made[1].err)


def test_the_command_says_in_a_line_what_is_missing(tmp_path: Path) -> None:
    result = call("page", "i-vi-iv-v")
    assert result.code == 2
    assert len(result.err.splitlines()) == 1
    assert "--out" in result.err
    result = call("page", "i-vi-iv-v", "-o", str(tmp_path / "tin.pdf"))
    assert (result.code, len(result.err.splitlines())) == (1, 1)
    assert list(tmp_path.iterdir()) == []
