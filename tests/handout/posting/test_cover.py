"""Covers: their size, what stands on them, and that they are told apart when small."""

from __future__ import annotations

import sys
from functools import cache
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

import groove
from groove.errors import GrooveError, OptionError
from groove.handout.chart.written import write_chart
from groove.handout.drawing.page import Mark, Text, ink_box
from groove.handout.posting.cover import (
    SIZES,
    Layout,
    band_marks,
    cover,
    main_marks,
    make_cover,
)
from groove.handout.video.look import Room, look_of
from groove.wording import worded
from tests.command_line import call
from tests.form.road_material import EXAMPLES

PIXELS = {"wide": (1280, 720), "square": (1080, 1080), "upright": (1080, 1920)}
THUMB = (168, 94)
TEACHER = {"teacher": "Ada Moss", "link": "https://lessons.example/blues"}
FORMS: dict[str, tuple[str, dict[str, Any]]] = {
    **{name: (name, {}) for name in ("twelve-bar", "minor-twelve-bar", "rhythm-changes")},
    **{name: (str(EXAMPLES[name]), {}) for name in ("latin-swing-aaba", "modal-vamp")},
    "teacher": ("twelve-bar", {"key": "F#", **TEACHER}),
    "long": ("minor-vamp", {"key": "Bbm", "title": "The slowest train " * 5 + "home", **TEACHER}),
    "one word": ("minor-vamp", {"title": "X" * 90, "tempo": 300}),
    "keys": ("rhythm-changes", {"key": "Bb", "key_cycle": "fourths", "choruses": 12, **TEACHER}),
    "german": ("eight-bar", {"words": "german", "title": "Dampfschifffahrtsgesellschaft"}),
    "slow": ("twelve-bar", {"drums": "slow-blues", "tempo": 58.5}),
}


@cache
def form_of(name: str) -> groove.Form:
    form, fields = FORMS[name]
    return groove.read_form(form, **fields)


@cache
def parts(name: str, size: str) -> dict[str, list[Mark]]:
    """The marks of a form's cover, by room."""
    form, layout = form_of(name), Layout.of(size)
    with worded(form.lesson.words):
        chart = write_chart(form)
        return {"band": band_marks(chart, form, layout), "main": main_marks(chart, layout)}


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", FORMS)
def test_marks_stay_in_their_rooms_and_texts_apart(name: str, size: str) -> None:
    layout = Layout.of(size)
    for room_name, marks in parts(name, size).items():
        room: Room = getattr(layout, room_name)
        boxes = [box for mark in marks if (box := ink_box(mark))]
        spare = 0.6 if room_name == "main" else -2.0  # mm: an accent, a line's own width
        assert min(box.left for box in boxes) >= room.x - spare
        assert max(box.right for box in boxes) <= room.x + room.wide + spare
        assert min(box.top for box in boxes) >= room.y - (3.0 if room_name == "main" else -1.0)
        assert max(box.bottom for box in boxes) <= room.y + room.high + spare
        texts = [box for mark in marks if isinstance(mark, Text) and (box := ink_box(mark))]
        assert not [pair for pair in combinations(texts, 2) if pair[0].overlaps(pair[1])]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", FORMS)
def test_title_key_tempo_feel_chords_and_teacher_stand_on_it(name: str, size: str) -> None:
    form = form_of(name)
    found = parts(name, size)
    said = " ".join(m.text for m in found["main"] if isinstance(m, Text))
    band = " ".join(m.text for m in found["band"] if isinstance(m, Text))
    begin = said.replace(" ", "")[: min(12, len(form.title.replace(" ", "")))]
    assert form.title.replace(" ", "").startswith(begin)
    with worded(form.lesson.words):
        chart = write_chart(form)
    assert band.startswith(str(chart.key.tonic)[0] if name != "german" else "C")
    assert "= " in band
    assert chart.feel in said
    first = chart.bars[0].chords[0].shown.root
    assert any(isinstance(m, Text) and m.text == first for m in found["main"])
    assert ("Ada Moss" in said) == (form.lesson.teacher != "")


@pytest.mark.parametrize("name", ["long", "one word"])
def test_a_long_title_goes_over_several_lines(name: str) -> None:
    rows = [m for m in parts(name, "wide")["main"] if isinstance(m, Text)]
    most = max(m.size for m in rows)
    title = [m.text for m in rows if m.size == most]
    assert len(title) == 3
    assert title[-1].endswith("…")


def test_a_row_of_the_chart_never_begins_with_the_sign_for_the_same_again() -> None:
    marks = parts("twelve-bar", "upright")["main"]
    chords = [m for m in marks if isinstance(m, Text) and m.text in ("C", "F", "G")]
    left = min(m.x for m in chords)
    assert sum(m.x < left + 5 for m in chords) == 5


@pytest.fixture(scope="module")
def pictures() -> dict[tuple[str, str], Any]:
    keys = ("C", "G", "F#", "Bb", "Bbm")
    made = {}
    for key in keys:
        form = groove.read_form("minor-vamp" if key.endswith("m") else "twelve-bar", key=key)
        made[key, "light"] = cover(form)
    made["C", "dark"] = cover(groove.read_form("twelve-bar"), theme="dark")
    return made


def luminance(colour: Any) -> Any:
    """Relative luminance of sRGB, of shape (..., 3), 0 to 255 (WCAG 2.2)."""
    part = np.asarray(colour, float) / 255
    linear = np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)
    return linear @ np.array([0.2126, 0.7152, 0.0722])


def contrast(one: Any, other: Any) -> Any:
    light, dark = np.maximum(one, other), np.minimum(one, other)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_words_have_the_contrast_that_wcag_asks_for(theme: str) -> None:
    colours = {name: luminance(value) for name, value in look_of("wide", theme).colours.items()}
    assert contrast(colours["paper"], colours["line"]) >= 4.5
    assert contrast(colours["paper"], colours["ink"]) >= 4.5


def small(picture: Any) -> Any:
    """A cover as small as sites show it, as luminance."""
    return luminance(np.asarray(Image.fromarray(picture).resize(THUMB, Image.Resampling.LANCZOS)))


def test_key_and_title_can_be_read_when_small(pictures: dict[tuple[str, str], Any]) -> None:
    band_wide = round(Layout.of("wide").band.wide / 160 * THUMB[0]) - 2
    for picture in pictures.values():
        seen = small(picture)
        for columns, ground, least in (
            (slice(1, band_wide), seen[2, 2], 12),
            (slice(band_wide + 6, None), seen[2, -2], 8),
        ):
            told = contrast(seen[:, columns], ground) >= 4.5
            rows = np.flatnonzero(told.any(axis=1))
            first = rows[0]
            run = next((n for n in range(first, THUMB[1]) if not told[n].any()), THUMB[1]) - first
            assert run >= least, (run, columns)


def test_covers_in_two_keys_differ_when_small(pictures: dict[tuple[str, str], Any]) -> None:
    band_wide = round(Layout.of("wide").band.wide / 160 * THUMB[0])
    light = [small(p)[:60, :band_wide] for (_, theme), p in pictures.items() if theme == "light"]
    for one, other in combinations(light, 2):
        assert (contrast(one, other) >= 3).mean() > 0.05


@pytest.mark.parametrize("size", SIZES)
def test_a_file_has_the_pixels_of_its_size(size: str, tmp_path: Path) -> None:
    name = tmp_path / "a.png"
    assert make_cover(groove.read_form("twelve-bar"), name, size=size) == name
    with Image.open(name) as picture:
        assert picture.format == "PNG"
        assert picture.size == PIXELS[size]


def test_the_same_form_gives_the_same_picture(pictures: dict[tuple[str, str], Any]) -> None:
    assert (cover(groove.read_form("twelve-bar", key="C")) == pictures["C", "light"]).all()


def test_light_and_dark_are_two(pictures: dict[tuple[str, str], Any]) -> None:
    light, dark = (pictures["C", theme][-1, -1] for theme in ("light", "dark"))
    assert luminance(light) > 0.9
    assert luminance(dark) < 0.1


def test_what_cannot_be_made_is_an_error_in_a_line(tmp_path: Path) -> None:
    form = groove.read_form("twelve-bar")
    with pytest.raises(OptionError, match="wide"):
        cover(form, "tall")
    with pytest.raises(GrooveError, match=r"ends in \.png"):
        make_cover(form, tmp_path / "x.jpg")
    assert not list(tmp_path.iterdir())


def test_without_the_extra_a_line_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "pypdfium2", None)
    done = call("cover", "twelve-bar", "-o", str(tmp_path / "x.png"))
    assert done.code == 1
    assert done.err.splitlines()[-1].endswith("pip install 'groove[video]'")
    assert not list(tmp_path.iterdir())
