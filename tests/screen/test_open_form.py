"""An open form file: what is read of it, and what is kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from groove.form.read import read_form
from groove.screen.open_form import OpenForm, text_of

FORM = 'title = "Tanz über die Brücke – langsam"\nkey = "G"\nchords = "I7:4"\n'


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_file_of_another_editor_is_taken_with_all_its_letters(
    tmp_path: Path, encoding: str
) -> None:
    path = tmp_path / "bridge.toml"
    path.write_text('key = "C"\nchords = "I"\n')
    opened = OpenForm.at(path, "")
    path.write_bytes(FORM.encode(encoding))
    assert opened.changed_outside()
    opened.take_from_disk()
    assert opened.text == FORM
    assert read_form(path).title == "Tanz über die Brücke – langsam"
    assert OpenForm.at(path, "").text == FORM


@pytest.mark.parametrize("encoding", ["utf-16", "cp1252"])
def test_a_file_that_is_only_looked_at_stays_as_it_is(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "bridge.toml"
    path.write_bytes(FORM.encode(encoding))
    opened = OpenForm.at(path, "")
    assert path.read_bytes() == FORM.encode(encoding)
    opened.edit(lambda text: text.replace("G", "A"), opened.version)
    assert path.read_bytes() == FORM.replace("G", "A").encode()


def test_no_byte_of_a_file_that_is_no_text_is_lost() -> None:
    content = bytes(range(256))
    assert len(set(text_of(content))) == 256
