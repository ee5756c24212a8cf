"""Words on a frame: their size, and the language of the lesson."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from groove.form.chart import Chart
from groove.handout.drawing.page import Text, text_width
from groove.handout.video import make
from groove.handout.video.film import Film
from groove.handout.video.words import in_room
from tests.handout.video.video_material import form


def test_words_keep_their_size_where_they_fit() -> None:
    assert in_room("in 3 beats", 100, 20) == ("in 3 beats", 20)


@pytest.mark.parametrize("room", [0.5, 3, 10, 20, 24, 30])
def test_words_are_made_smaller_and_then_cut(room: float) -> None:
    text, size = in_room("in 3 beats, early", room, 20)
    wide = text_width("in 3 beats, early", 20)
    assert text_width(text, size) <= room + 1e-5
    assert size == pytest.approx(20 * max(0.75, min(1, room / wide)))
    assert (text == "in 3 beats, early") == (room >= 0.75 * wide)


def test_words_have_characters_of_the_face() -> None:
    assert in_room("夜 Ǎ", 100, 20) == ("□ A", 20)
    assert in_room("", 100, 20) == ("", 20)
    assert in_room("bar", -1, 20) == ("", 20)


def test_a_video_is_in_the_language_of_its_lesson(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[str] = []

    def encode(film: Film, chart: Chart, sound: Path, path: Path, *_: Any) -> None:
        path.touch()
        for frames, moment in ((film._first, 0), (film._main, 5)):
            for view in frames.views:
                marks = view.marks(view.scene(film.course.moments[moment]).drawing)
                shown.extend(mark.text for mark in marks if isinstance(mark, Text))

    monkeypatch.setattr(make, "_encode", encode)
    notes: list[str] = []
    made = form(title="夜 Bus", chords="C:4", words="german")
    make.make_video(made, tmp_path / "x.mp4", audio=tmp_path / "none.wav", say=notes.append)
    assert {"C-Dur", "4 Takte in 4/4, 3 Chorusse", "Takt 1 von 4", "Schluss"} <= set(shown)
    assert [note for note in notes if "夜" in note] == [
        "note: title: the typeface has no 夜; boxes are printed instead"
    ]
