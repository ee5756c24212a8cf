"""The piano roll of a take."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection, PathCollection
from matplotlib.colors import to_hex
from matplotlib.text import Annotation

import groove
from groove.band.part import PlayedNote
from groove.band.take import Take
from groove.form.build import Layer, build
from groove.plot import roll_figure
from groove.track import compile_take

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


def test_a_track_of_a_thousand_bars_is_drawn_in_part() -> None:
    figure = roll_figure(played(chords="I7:4", tempo=300, choruses=100))
    assert figure.get_suptitle().endswith("300 beats a minute, the first 240 bars")
    whole = roll_figure(played(chords="I7:4", tempo=300, choruses=1))
    assert whole.get_suptitle().endswith("300 beats a minute")
    assert len(figure.axes) == 2 * 240 / 16


@pytest.mark.parametrize("name", ["roll.pdf", "roll", "roll.png.txt"])
def test_another_kind_of_picture_is_refused(name: str, tmp_path: Path) -> None:
    with pytest.raises(groove.GrooveError, match=r"\.png or \.svg"):
        groove.make("twelve-bar", tmp_path, plot=tmp_path / name)
    assert not list(tmp_path.iterdir())


TICKS = 3840  # of a bar of 4/4, the resolution of every take
KICK, SNARE = 36, 38  # General MIDI percussion: bass drum 1, acoustic snare


def played(**values: Any) -> Take:
    """The take of a made-up form, without a count-in, that ends with one stroke."""
    usual = {"title": "Made up", "key": "C", "count_in": 0, "ending": "hit"}
    return compile_take(build([Layer(usual | values, lambda field: field)]))


def with_notes(take: Take, **notes: list[PlayedNote]) -> Take:
    """The take with these notes in the place of each part's own."""
    return replace(
        take, parts=tuple(replace(p, notes=tuple(notes.get(p.name, ()))) for p in take.parts)
    )


def rows(take: Take) -> list[tuple[Axes, Axes]]:
    """Drums, and bass with comping, of each row."""
    axes = roll_figure(take).axes
    return list(zip(axes[::2], axes[1::2], strict=True))


def labels(axes: Axes) -> list[str]:
    return [label.get_text() for label in axes.get_xticklabels()]


def note_lines(axes: Axes) -> dict[str, list[tuple[float, float, float]]]:
    """Start and end in bars and the pitch of the notes on the axes, by colour."""
    found: dict[str, list[tuple[float, float, float]]] = {}
    for lines in axes.collections:
        if isinstance(lines, LineCollection) and lines.get_transform() == axes.transData:
            for (x1, y1), (x2, y2) in lines.get_segments():
                assert y1 == y2
                found.setdefault(to_hex(lines.get_color()[0]), []).append((x1, x2, y1))
    return found


def rules(axes: Axes) -> list[tuple[float, float]]:
    """The places of bar and beat lines, in bars, and their weights."""
    upright = axes.get_xaxis_transform()
    (lines,) = [each for each in axes.collections if each.get_transform() == upright]
    assert isinstance(lines, LineCollection)
    others = [each.get_zorder() for each in axes.collections if each is not lines]
    assert lines.get_zorder() < min(others)  # behind the notes
    found = []
    for (x, foot), (other, top) in lines.get_segments():
        assert (x == other, foot, top) == (True, 0, 1)  # over the whole height of the axes
        found.append(x)
    return list(zip(found, lines.get_linewidth(), strict=True))


@pytest.mark.parametrize(
    ("bars", "choruses", "in_rows"),
    [(12, 3, [12, 12, 13]), (16, 1, [17]), (24, 1, [16, 9]), (4, 6, [16, 9]), (5, 4, [15, 6]),
     (32, 1, [16, 17]), (1, 3, [4])],
)  # fmt: skip
def test_rows_hold_whole_choruses_or_sixteen_bars_and_the_last_the_ending(
    bars: int, choruses: int, in_rows: list[int]
) -> None:
    drawn = rows(played(chords=f"I7:{bars}", choruses=choruses))
    assert [len(labels(pitched)) for _, pitched in drawn] == in_rows
    endings = [label == "ending" for _, pitched in drawn for label in labels(pitched)]
    assert endings == [False] * bars * choruses + [True]


def test_loop_has_no_bar_for_the_ending() -> None:
    drawn = rows(played(chords="I7:12", choruses=2, ending="loop"))
    assert [len(labels(pitched)) for _, pitched in drawn] == [12, 12]


def test_rows_are_of_equal_height_and_width() -> None:
    figures = [roll_figure(played(chords="I7:12", choruses=count)) for count in (1, 2, 3)]
    heights = [figure.get_size_inches()[1] for figure in figures]
    assert heights == pytest.approx([4.8, 9.0, 13.2])
    spans = [axes.get_xlim() for axes in figures[2].axes]
    assert spans == [(0, 13), (0, 13), (12, 25), (12, 25), (24, 37), (24, 37)]


def test_bars_are_numbered_under_the_lower_axes_by_section() -> None:
    sections = [{"name": "A", "chords": "I7:2"}, {"name": "B", "chords": "IV7 I7"}]
    ((drums, pitched),) = rows(played(sections=sections, choruses=1))
    assert labels(pitched) == ["A 1", "A 2", "B 3", "B 4", "ending"]
    assert list(pitched.get_xticks()) == [0, 1, 2, 3, 4]
    assert set(labels(drums)) == {""}
    for axes in (drums, pitched):
        assert all(tick.tick1line.get_markersize() == 0 for tick in axes.xaxis.get_major_ticks())
        shown = {side for side, spine in axes.spines.items() if spine.get_visible()}
        assert shown == {"bottom", "left"}


@pytest.mark.parametrize(("meter", "beats"), [("4/4", 4), ("3/4", 3), ("12/8", 4)])
def test_heavy_rules_stand_at_bars_and_light_ones_at_beats(meter: str, beats: int) -> None:
    drawn = rows(played(chords="I7:12", meter=meter, choruses=2))
    for first, row in zip((0, 12), drawn, strict=True):
        for axes in row:
            found = rules(axes)
            bars = len(found) // beats
            wanted = [first + n / beats for n in range(bars * beats + 1)]
            assert [x for x, _ in found] == pytest.approx(wanted)
            heavy = [weight for _, weight in found[::beats]]
            light = {weight for number, (_, weight) in enumerate(found) if number % beats}
            assert set(heavy) == {0.9}
            assert light == {0.2}


def test_notes_stand_at_their_pitch_from_their_start_to_their_end() -> None:
    take = with_notes(
        played(chords="I7:12", choruses=2),
        bass=[PlayedNote(0, 960, 36, 90), PlayedNote(TICKS * 25 // 2, 1920, 43, 90)],
        comping=[PlayedNote(TICKS, 480, 60, 70)],
    )
    (_, first), (_, second) = rows(take)
    assert note_lines(first) == {"#12344d": [(0, 0.25, 36)], "#c4762b": [(1, 1.125, 60)]}
    assert note_lines(second) == {"#12344d": [(12.5, 13, 43)]}
    thick, thin = first.collections[:2]
    assert thick.get_linewidth()[0] > thin.get_linewidth()[0] > 0.9


def test_note_that_comes_a_little_early_is_drawn_with_the_bar_it_is_meant_for() -> None:
    start = TICKS * 12
    for early, row in ((120, 1), (121, 0), (0, 1)):
        bass = [PlayedNote(start - early, 960, 36, 90)]
        take = with_notes(
            played(chords="I7:12", choruses=2), bass=bass, comping=[PlayedNote(0, 9, 60, 9)]
        )
        found = ["#12344d" in note_lines(pitched) for _, pitched in rows(take)]
        assert found == [row == 0, row == 1]


def test_strokes_are_dots_on_the_row_of_their_voice_larger_for_a_harder_one() -> None:
    strokes = [PlayedNote(0, 60, KICK, 127), PlayedNote(1920, 60, SNARE, 64)]
    take = with_notes(
        played(chords="I7:4", choruses=1), drums=strokes, bass=[PlayedNote(0, 9, 36, 9)]
    )
    ((drums, _),) = rows(take)
    dots = drums.collections[0]
    assert isinstance(dots, PathCollection)
    assert dots.get_offsets().tolist() == [[0, 0], [0.5, 1]]
    hard, soft = dots.get_sizes()
    assert hard == 60
    assert soft == pytest.approx(60 / 4, rel=0.05)
    assert dots.get_linewidth()[0] == 0
    assert [label.get_text() for label in drums.get_yticklabels()] == ["kick", "snare"]
    assert list(drums.get_yticks()) == [0, 1]
    low, high = drums.get_ylim()
    assert 0.5 < 0 - low < 1
    assert 0.5 < high - 1 < 1


def test_pitches_have_room_and_each_c_is_named_as_scientific_pitch_has_it() -> None:
    take = with_notes(
        played(chords="I7:4", choruses=1),
        bass=[PlayedNote(0, 960, 36, 90)],
        comping=[PlayedNote(0, 960, 60, 90)],
    )
    ((_, pitched),) = rows(take)
    assert pitched.get_ylim() == (34, 62)
    assert list(pitched.get_yticks()) == [36, 48, 60]
    assert [label.get_text() for label in pitched.get_yticklabels()] == ["C2", "C3", "C4"]
    assert pitched.get_ylabel() == "bass (dark), comping (light)"


def test_chords_stand_over_their_start_smaller_where_they_share_a_bar() -> None:
    ((_, pitched),) = rows(played(chords="I7 IV7:1/2 V7:1/2 N.C.", choruses=1))
    words = [text for text in pitched.texts if isinstance(text, Annotation)]
    assert [text.get_text() for text in words] == ["C7", "F7", "G7", "N.C.", "C7"]
    assert [text.xy for text in words] == [(0, 1), (1, 1), (1.5, 1), (2, 1), (3, 1)]
    sizes = [text.get_fontsize() for text in words]
    assert sizes[1] == sizes[2] < sizes[0] == sizes[3]
    assert {text.get_va() for text in words} == {"bottom"}
    assert words[0].xycoords == ("data", "axes fraction")


def test_every_stroke_of_the_drums_is_one_dot_in_the_row_of_its_bar() -> None:
    take = played(chords="I7:12", choruses=3)
    dots = 0
    for axes, _ in rows(take):
        left, right = axes.get_xlim()
        (places,) = [c.get_offsets() for c in axes.collections if isinstance(c, PathCollection)]
        dots += len(places)
        assert all(left - 1 / 16 < x < right and len(axes.get_yticks()) > y for x, y in places)
    assert dots == sum(len(part.notes) for part in take.parts if part.name == "drums")
