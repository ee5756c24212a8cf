"""The piano roll of a take."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

import groove

PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"  # PNG specification, W3C (from memory)


def test_a_png_is_drawn_beside_the_midi(tmp_path: Path) -> None:
    paths = groove.make("twelve-bar", tmp_path, plot=tmp_path / "roll.png")
    assert paths[-1].read_bytes().startswith(PNG_SIGNATURE)


def test_an_svg_names_title_chords_and_voices(tmp_path: Path) -> None:
    form = groove.read_form("twelve-bar", key="A", choruses=1, title="Pier Nine")
    path = groove.make(form, tmp_path, plot=tmp_path / "roll.svg")[-1]
    assert ET.parse(path).getroot().tag.endswith("svg")
    text = path.read_text("utf-8")
    assert all(word in text for word in ("Pier Nine", "A7", "D7", "E7", "kick", "ending"))


def test_the_same_take_gives_the_same_svg(tmp_path: Path) -> None:
    first, second = (
        groove.make("eight-bar", tmp_path, plot=tmp_path / name)[-1].read_bytes()
        for name in ("a.svg", "b.svg")
    )
    assert first == second


def test_a_track_of_a_thousand_bars_is_drawn_in_part(tmp_path: Path) -> None:
    form = groove.read_form("one-chord-vamp", tempo=300, choruses=100)
    path = groove.make(form, tmp_path, plot=tmp_path / "roll.svg")[-1]
    assert "the first 240 bars" in path.read_text("utf-8")


@pytest.mark.parametrize("name", ["roll.pdf", "roll", "roll.png.txt"])
def test_another_kind_of_picture_is_refused(name: str, tmp_path: Path) -> None:
    with pytest.raises(groove.GrooveError, match=r"\.png or \.svg"):
        groove.make("twelve-bar", tmp_path, plot=tmp_path / name)
    assert not list(tmp_path.iterdir())
