"""The list of the lessons in a folder."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from groove.screen import open_form
from groove.screen.lessons import opened
from groove.screen.start import listing
from groove.screen.start.listing import Entry, Listing

FORM = 'title = "Ferry Landing"\nkey = "Gm"\ntempo = 92.5\nfeel = "swing"\nchords = "i7:4"\n'


def kept(folder: Path, name: str, text: str = FORM, changed: int = 1_000_000) -> Path:
    path = folder / name
    path.write_text(text)
    os.utime(path, (changed, changed))
    return path


def entries(folder: Path) -> dict[str, Entry]:
    return {entry.name: entry for entry in Listing(folder).entries()}


def test_the_newest_is_first_with_what_is_played(tmp_path: Path) -> None:
    kept(tmp_path, "old.toml", changed=1_000)
    kept(tmp_path, "new.toml", 'chords = "I7"\ndrums = "bossa"\n', changed=2_000)
    new, old = Listing(tmp_path).entries()
    assert (new.name, new.title, new.key, new.changed) == ("new.toml", "New", "C", 2_000)
    assert new.tempo  # that of the drums
    assert (old.title, old.key, old.tempo, old.feel) == ("Ferry Landing", "Gm", "92.5", "swing")
    assert (old.mistakes, old.has_draft, old.is_empty, old.packed) == (0, False, False, 0)


def test_a_draft_stands_for_its_lesson_and_mistakes_are_counted(tmp_path: Path) -> None:
    path = kept(tmp_path, "ferry.toml")
    kept(tmp_path, "spoilt.toml", "title = 'x\n")
    unfinished = FORM.replace("i7", "X").replace("tempo = 92.5\n", "")
    draft = kept(tmp_path, open_form.draft_of(path).name, unfinished)
    kept(tmp_path, ".begun.toml.draft", 'title = "Begun"\n')
    found = entries(tmp_path)
    ferry, spoilt, begun = (found[f"{name}.toml"] for name in ("ferry", "spoilt", "begun"))
    assert (ferry.title, ferry.mistakes, ferry.has_draft) == ("Ferry Landing", 1, True)
    assert ferry.tempo == "92.5"  # of the last version without mistakes
    assert (spoilt.title, spoilt.mistakes, spoilt.has_draft) == ("spoilt", 1, False)
    assert not spoilt.is_empty
    assert (begun.title, begun.has_draft, begun.is_empty) == ("Begun", True, True)
    draft.unlink()
    assert not entries(tmp_path)["ferry.toml"].has_draft


def test_other_files_are_no_lessons(tmp_path: Path) -> None:
    kept(tmp_path, "set.toml", 'title = "Evening"\n[[tunes]]\nform = "twelve-bar"\n')
    kept(tmp_path, "words.toml", '[feel.pace]\nswing = [[72, "x"]]\n')
    kept(tmp_path, "package.toml", '[project]\nname = "x"\n')
    kept(tmp_path, ".hidden.toml")
    kept(tmp_path, "large.toml", "#" * 200_000)
    (tmp_path / "folder.toml").mkdir()
    outside = kept(tmp_path / "..", f"{tmp_path.name}-outside.toml")
    (tmp_path / "link.toml").symlink_to(outside)
    opened(None, tmp_path)  # a new form, as it was made
    assert entries(tmp_path) == {}
    assert Listing(tmp_path / "nowhere").entries() == []


def test_a_pack_counts_by_the_title_of_its_form(tmp_path: Path) -> None:
    path = kept(tmp_path, "any-name.toml")
    look = Listing(tmp_path)
    assert look.entries()[0].packed == 0
    (tmp_path / "ferry-landing").mkdir()
    kept(tmp_path / "ferry-landing", "manifest.json", "{}", changed=2_000_000)
    assert look.entries()[0].packed == 2_000_000
    path.write_text(FORM.replace("Ferry", "Lake"))
    assert look.entries()[0].packed == 0


def test_a_file_is_read_again_only_where_it_has_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[str] = []
    read = listing.read

    def counted(text: str, path: Path) -> object:
        seen.append(path.name)
        return read(text, path)

    monkeypatch.setattr(listing, "read", counted)
    for number in range(5):
        kept(tmp_path, f"{number}.toml", changed=1_000 - number)
    look = Listing(tmp_path)
    first = look.entries(at_once=2)
    assert seen == ["0.toml", "1.toml"]  # the newest first
    assert [entry.mistakes for entry in first] == [0, 0, None, None, None]
    assert first[4].title == "Ferry Landing"
    assert [entry.mistakes for entry in look.entries(at_once=2)] == [0, 0, 0, 0, None]
    look.entries()
    assert look.entries() == look.entries()
    assert sorted(seen) == [f"{number}.toml" for number in range(5)]
    kept(tmp_path, "3.toml", FORM.replace("Gm", "Am"), changed=3_000)
    assert look.entries()[0].key == "Am"
    assert seen[5:] == ["3.toml"]
