"""The solo as a part of the track: where it plays, and what lines become."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

import groove
import groove.lesson.solo.part as solo
from groove.band.part import GridNote, Part
from groove.form.chart import Chart
from groove.form.unroll import unroll
from groove.lesson.line import LineNote, NoteLine
from groove.theory.pitch import NoteName

ARRANGEMENTS = Path(__file__).parents[2] / "arrangements"
SONG, ROAD = str(ARRANGEMENTS / "pop-song.toml"), str(ARRANGEMENTS / "latin-swing-aaba.toml")
BAR, BEAT = 3840, 960


def chart_of(form: str = "twelve-bar", **fields: object) -> Chart:
    return unroll(groove.read_form(form, **fields))


def part_of(form: str = "twelve-bar", **fields: object) -> Part:
    part = solo.solo_part(chart_of(form, **fields))
    assert part
    return part


def note(start: int, length: int, pitch: int, joined: str = "", **more: object) -> LineNote:
    return LineNote(start, length, NoteName(0), pitch, joined=joined, **more)  # type: ignore[arg-type]


def made(monkeypatch: pytest.MonkeyPatch, *notes: LineNote, **fields: object) -> list[GridNote]:
    """The notes of a line as they are handed to the band, counted from the first bar line."""
    monkeypatch.setattr(solo, "example_solo", lambda *_, **__: NoteLine("", notes, ()))
    part, chart = part_of(solo="example", **fields), chart_of(**fields)
    return [GridNote(n.start - chart.start, n.length, n.pitch, n.weight, gesture=n.gesture)
            for n in part.notes]  # fmt: skip


def test_there_is_none_unless_the_form_asks_for_it() -> None:
    assert solo.solo_part(chart_of()) is None


def test_an_example_is_played_in_the_first_chorus_alone() -> None:
    chart, part = chart_of(choruses=3), part_of(choruses=3, solo="example")
    assert part.notes
    assert all(note.start + note.length <= chart.rounds[0].end for note in part.notes)


def test_answers_are_played_in_every_chorus() -> None:
    chart, part = chart_of(choruses=3), part_of(choruses=3, solo="answers")
    for time in chart.rounds:
        assert any(time.start <= note.start < time.end for note in part.notes)
    assert all(note.start + note.length <= chart.rounds[-1].end for note in part.notes)


def test_on_a_road_the_first_open_line_has_the_example() -> None:
    chart, part = chart_of(ROAD), part_of(ROAD, solo="example")
    time = next(time for time in chart.rounds if chart.form.lines[time.line].is_open)
    assert part.notes
    assert all(time.start <= note.start < time.end for note in part.notes)


def test_answers_leave_melodies_alone() -> None:
    chart = chart_of(SONG)
    sung = [time for time in chart.rounds if any(each.melody for each in time.passes)]
    assert sung
    for note in part_of(SONG, solo="answers").notes:
        assert not any(time.start <= note.start < time.end for time in sung)


def test_one_stroke_ends_before_the_next() -> None:
    for what in ("example", "answers"):
        notes = part_of(choruses=2, solo=what).notes
        starts = sorted({note.start for note in notes})
        ends = {note.start: note.start + note.length for note in notes}
        assert all(ends[start] <= after for start, after in pairwise(starts))


def test_a_slide_leads_from_the_note_before_and_the_next_note_is_softer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    first, second = made(monkeypatch, note(0, BEAT, 60), note(BEAT, BEAT, 63, joined="slide"))
    assert (first.gesture.goes, second.gesture.joined) == (2, "slide")
    assert second.weight < first.weight


def test_a_slide_after_a_rest_comes_from_below(monkeypatch: pytest.MonkeyPatch) -> None:
    _, second = made(monkeypatch, note(0, BEAT, 60), note(2 * BEAT, BEAT, 62, joined="slide"))
    assert (second.gesture.comes, second.gesture.joined) == (-2, "")


@pytest.mark.parametrize("joined", ["hammer", "pull"])
def test_what_the_left_hand_sounds_alone_is_softer(
    joined: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = made(monkeypatch, note(0, BEAT, 60), note(BEAT, BEAT, 62, joined=joined))
    assert second.weight < first.weight
    assert second.gesture.joined == joined


def test_a_bend_is_handed_on_with_its_release(monkeypatch: pytest.MonkeyPatch) -> None:
    bent = note(0, 2 * BEAT, 62, bend=Fraction(2), release=True)
    (found,) = made(monkeypatch, bent)
    assert (found.pitch, found.gesture.bend, found.gesture.release) == (62, 2.0, True)


def test_a_bent_string_beside_a_still_one_is_played_where_it_is_heard(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A pitch bend moves all notes of a channel."""
    found = made(monkeypatch, note(0, BEAT, 64), note(0, BEAT, 62, bend=Fraction(2)))
    assert [each.pitch for each in found] == [64, 64]
    assert {each.gesture.bend for each in found} == {0.0}


def test_a_pick_up_lies_in_the_count_in_or_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    line = (note(-BEAT, BEAT, 60), note(0, BEAT, 62))
    assert [each.start for each in made(monkeypatch, *line, count_in=1)] == [-BEAT, 0]
    assert [each.start for each in made(monkeypatch, *line, count_in=0)] == [0]


def test_the_line_lies_in_the_octave_of_the_instrument(tmp_path: Path) -> None:
    text = 'title = "A"\nchords = "I7:4 IV7:2 I7:2 V7 IV7 I7:2"\n'
    for name, line in (("guitar", ""), ("piccolo", 'instrument = { solo = "piccolo" }\n')):
        (tmp_path / f"{name}.toml").write_text(text + line)
    guitar, piccolo = (
        part_of(str(tmp_path / f"{name}.toml"), solo="example", seed=1)
        for name in ("guitar", "piccolo")
    )
    assert min(n.pitch for n in piccolo.notes) > min(n.pitch for n in guitar.notes)
    assert {n.pitch % 12 for n in piccolo.notes} == {n.pitch % 12 for n in guitar.notes}
