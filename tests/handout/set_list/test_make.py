"""The files of a set list."""

from __future__ import annotations

from pathlib import Path

import mido
import pypdfium2
import pytest

import groove
from groove.errors import GrooveError
from groove.handout.set_list import make as make_module
from groove.handout.set_list.make import make_set
from groove.handout.set_list.read import read_set
from tests.handout.set_list.set_material import set_file

STEM = "friday-at-the-quay"
TRACKS = [
    "tracks/01_ferry-landing_F_120.mid",
    "tracks/02_twelve-bar-blues_C_112.mid",
    "tracks/03_ferry-again_F_90.mid",
]


def files(folder: Path) -> list[str]:
    return sorted(str(p.relative_to(folder)) for p in folder.rglob("*") if p.is_file())


def test_set_makes_a_book_for_each_reader_and_the_tracks_in_order(tmp_path: Path) -> None:
    out = tmp_path / "out"
    paths = make_set(read_set(set_file(tmp_path)), out)
    books = [f"{STEM}.pdf", f"{STEM}_Bb.pdf", f"{STEM}_drums.pdf"]
    assert [str(path.relative_to(out)) for path in paths] == books + TRACKS
    assert files(out) == sorted(books + TRACKS)
    with pypdfium2.PdfDocument(out / books[1]) as book:
        assert len(book) == 4
        said = book[0].get_textpage().get_text_bounded()
    assert "Ferry Landing" in said


def test_track_of_a_set_is_the_track_of_its_form(tmp_path: Path) -> None:
    found = read_set(set_file(tmp_path))
    paths = make_set(found, tmp_path / "out")
    (alone,) = groove.make(found.tunes[2], tmp_path / "alone")
    assert paths[-1].read_bytes() == alone.read_bytes()
    assert mido.MidiFile(paths[-1]).length > 5


def test_nothing_is_written_where_a_tune_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = read_set(set_file(tmp_path))
    made = make_module.make

    def fails(form: groove.Form, folder: Path, **asked: object) -> list[Path]:
        if form.title == "Ferry Again":
            raise GrooveError(f"{folder}/x.mid: can't be written: no room")
        return made(form, folder, **asked)  # type: ignore[arg-type]

    monkeypatch.setattr(make_module, "make", fails)
    out = tmp_path / "out"
    with pytest.raises(GrooveError) as raised:
        make_set(found, out)
    assert str(raised.value) == f"{out}/tracks/x.mid: can't be written: no room"
    assert not out.exists()


def test_notes_name_their_tune(tmp_path: Path) -> None:
    path = set_file(tmp_path, '[[tunes]]\nform = "twelve-bar"\nkey = "Cm"\nchoruses = 1\n')
    said: list[str] = []
    make_set(read_set(path), tmp_path / "out", say=said.append)
    assert said == ["01 Twelve-bar blues: note: key Cm: the home chord C7 is major"]


def test_files_of_an_earlier_run_are_replaced_with_a_note(tmp_path: Path) -> None:
    found = read_set(set_file(tmp_path))
    make_set(found, tmp_path / "out")
    said: list[str] = []
    make_set(found, tmp_path / "out", say=said.append)
    assert [line.rpartition(" was there before")[1] != "" for line in said] == [True] * 6


def test_progress_goes_from_tune_to_tune(tmp_path: Path) -> None:
    shares: list[float] = []
    tune = '[[tunes]]\nform = "one-chord-vamp"\nchoruses = 1\nchords = "I7 IV7"\n'
    found = read_set(set_file(tmp_path, tune * 2))
    make_set(found, tmp_path / "out", audio="wav", progress=shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1
    assert len(list((tmp_path / "out/tracks").glob("0[12]_*.wav"))) == 2
