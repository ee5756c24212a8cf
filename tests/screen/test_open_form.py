"""An open form file: what is read of it, and what is kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from groove.errors import GrooveError
from groove.form.read import LARGEST_FILE, read_form
from groove.screen import open_form
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


def test_an_edit_that_can_not_be_kept_is_not_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "bridge.toml"
    path.write_text(FORM)
    opened = OpenForm.at(path, "")
    opened.edit(lambda text: text.replace("G", "A"), opened.version, "step")
    kept = opened.text, opened.version

    def full(_contents: object) -> None:
        raise GrooveError("bridge.toml: can't be written: No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(open_form, "write_contents", full)
        for edit in (
            lambda: opened.edit(lambda text: text.replace("A", "D"), opened.version),
            lambda: opened.edit(lambda text: text.replace("G", "D"), opened.version, "step"),
            lambda: opened.undo(opened.version),
        ):
            with pytest.raises(GrooveError, match="No space left"):
                edit()
            assert (opened.text, opened.version) == kept
            assert (opened.form, opened.mistakes) == (read_form(path), ())
    assert path.read_text() == opened.text
    opened.undo(opened.version)
    assert path.read_text() == FORM
    opened.redo(opened.version)
    assert path.read_text() == kept[0]


def test_a_file_that_is_too_large_is_neither_taken_nor_written_over(tmp_path: Path) -> None:
    path = tmp_path / "bridge.toml"
    path.write_text(FORM)
    opened = OpenForm.at(path, "")
    path.write_bytes(b"#" * (LARGEST_FILE + 5))
    with pytest.raises(GrooveError, match="a form is a short file"):
        opened.take_from_disk()
    opened.edit(lambda text: text.replace("G", "A"), opened.version)
    assert path.stat().st_size == LARGEST_FILE + 5
    assert "A" in opened.draft.read_text()


@pytest.mark.parametrize("unfinished", ['"I7:4"', '"X7:4"'])
def test_what_another_program_wrote_is_not_written_over_after_a_crash(
    tmp_path: Path, unfinished: str
) -> None:
    path = tmp_path / "bridge.toml"
    path.write_text(FORM)
    opened = OpenForm.at(path, "")
    if "X" in unfinished:
        opened.edit(lambda text: text.replace("I7", "X7"), opened.version)
    path.write_text(FORM.replace("G", "D"))
    opened.edit(lambda text: text.replace("langsam", "schnell"), opened.version)
    again = OpenForm.at(path, "")  # as after a crash
    assert "schnell" in again.text
    assert again.changed_outside()
    again.edit(lambda text: text.replace("X7", "I7"), again.version)
    assert path.read_text() == FORM.replace("G", "D")
    again.take_from_disk()
    assert again.text == FORM.replace("G", "D")
    assert not again.draft.exists()
