"""The piano roll of a take."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import pytest
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection, PathCollection
from matplotlib.figure import Figure

import groove
from groove.band.take import Take
from groove.plot import draw_roll

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


def drawn(monkeypatch: pytest.MonkeyPatch, **fields: Any) -> tuple[Take, Figure]:
    """A take, and the figure that is made of it."""
    figures: list[Figure] = []
    monkeypatch.setattr(Figure, "savefig", lambda figure, *_, **__: figures.append(figure))
    take = groove.compile_take(groove.read_form("twelve-bar", **fields))
    draw_roll(take, Path("roll.svg"))
    return take, figures[0]


def bars_in_rows(figure: Figure) -> list[int]:
    return [len(axes.get_xticks()) for axes in figure.axes[1::2]]


def grid_lines(axes: Axes) -> LineCollection:
    """The lines of bars and beats in a row: they stand upright."""
    [grid] = [
        each
        for each in axes.collections
        if isinstance(each, LineCollection) and all(a[0] == b[0] for a, b in each.get_segments())
    ]
    return grid


@pytest.mark.parametrize(
    ("bars", "choruses", "in_rows"),
    [
        (8, 3, [16, 8 + 1]),
        (12, 2, [12, 12 + 1]),
        (16, 1, [16 + 1]),
        (24, 1, [16, 8 + 1]),
        (32, 1, [16, 16 + 1]),
    ],
)
def test_a_row_has_whole_choruses_or_sixteen_bars_and_the_last_one_the_ending(
    bars: int, choruses: int, in_rows: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    fields = {"chords": f"I7:{bars}", "choruses": choruses, "count_in": 0, "ending": "hit"}
    _, figure = drawn(monkeypatch, **fields)
    assert bars_in_rows(figure) == in_rows


def test_every_row_has_the_same_height_on_paper(monkeypatch: pytest.MonkeyPatch) -> None:
    heights = [drawn(monkeypatch, choruses=n)[1].get_figheight() for n in (1, 2, 3)]
    assert heights[1] - heights[0] == pytest.approx(heights[2] - heights[1])
    assert heights[0] > (heights[1] - heights[0]) > 2  # inches


def test_every_stroke_of_the_drums_is_one_dot_in_the_row_of_its_bar(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    take, figure = drawn(monkeypatch, choruses=3, count_in=0)
    dots = 0
    for axes in figure.axes[::2]:
        left, right = axes.get_xlim()
        [places] = [c.get_offsets() for c in axes.collections if isinstance(c, PathCollection)]
        dots += len(places)
        assert all(left - 1 / 16 < x < right and len(axes.get_yticks()) > y for x, y in places)
    assert dots == sum(len(part.notes) for part in take.parts if part.name == "drums")


def test_every_note_lies_inside_the_picture_and_every_voice_as_far_from_its_edge(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    take, figure = drawn(monkeypatch, choruses=1)
    drums, pitched = figure.axes
    low, high = pitched.get_ylim()
    pitches = {n.pitch for part in take.parts if part.name != "drums" for n in part.notes}
    assert low < min(pitches) < max(pitches) < high
    bottom, top = drums.get_ylim()
    voices = drums.get_yticks()
    assert voices[0] - bottom == pytest.approx(top - voices[-1])
    assert bottom < voices[0]


def test_lines_of_bars_are_heavier_than_those_of_beats_and_go_from_edge_to_edge(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    _, figure = drawn(monkeypatch, choruses=1, count_in=0)
    for axes in figure.axes:
        grid = grid_lines(axes)
        weights: dict[bool, set[float]] = {True: set(), False: set()}
        for (line, _), weight in zip(grid.get_segments(), grid.get_linewidths(), strict=True):
            weights[float(line[0]).is_integer()].add(weight)
        assert max(weights[False]) < min(weights[True])
        assert {(a[1], b[1]) for a, b in grid.get_segments()} == {(0, 1)}  # of the axes' height


def test_no_frame_runs_through_the_chords_above_a_row(monkeypatch: pytest.MonkeyPatch) -> None:
    _, figure = drawn(monkeypatch, choruses=1)
    for axes in figure.axes:
        shown = {side for side, spine in axes.spines.items() if spine.get_visible()}
        assert shown == {"bottom", "left"}
