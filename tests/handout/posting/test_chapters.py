"""Chapters for a description: true to the track, and as sites want them."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

import groove
from groove import library
from groove.form.chart import Chart
from groove.form.unroll import unroll
from groove.handout.posting.chapters import chapters, clock, place_name
from groove.sound.midi import markers, midi_file
from groove.sound.samples import SAMPLE_RATE
from groove.sound.synth.scores import markers as midi_markers
from groove.wording import worded
from tests.form.road_material import example

LEAST = library.table("posting")["chapters"]["seconds"]
FORMS: dict[str, dict[str, Any]] = {
    "usual": {},
    "one chorus": {"choruses": 1},
    "keys and tempi": {"key_cycle": "fourths", "tempo_step": 4, "choruses": 13},
    "short choruses": {"chords": "I7 IV7", "tempo": 240, "choruses": 70},
    "no count-in, a loop": {"count_in": 0, "ending": "loop"},
    "tuning note": {"tuning_note": True},
}
ROADS = ("latin-swing-aaba", "modal-vamp", "pop-song", "stop-time-blues")


def chart_of(case: str) -> Chart:
    if case in ROADS:
        return example(case)
    return unroll(groove.read_form("twelve-bar", **FORMS[case]))


@pytest.mark.parametrize("lead_in", [0.0, 3.0])
@pytest.mark.parametrize("case", [*FORMS, *ROADS])
def test_sites_find_chapters_as_they_want_them(case: str, lead_in: float) -> None:
    chart = chart_of(case)
    found = chapters(chart, lead_in=lead_in)
    shown = [int(chapter.seconds) for chapter in found]
    end = int(lead_in + chart.seconds(chart.end))
    assert shown[0] == 0
    assert all(after - before >= LEAST for before, after in pairwise([*shown, end]))
    assert len(found) <= library.table("posting")["chapters"]["most"]
    assert all(chapter.name == chapter.name.strip() != "" for chapter in found)


@pytest.mark.parametrize("lead_in", [0.0, 3.0])
@pytest.mark.parametrize("case", [*FORMS, *ROADS])
def test_chapters_stand_at_the_markers_of_the_audio(case: str, lead_in: float) -> None:
    chart = chart_of(case)
    ticks = [tick for tick, _ in markers(chart)]
    ticks += [chart.count_in, *(bar.start for bar in chart.ending[:1])]
    places = [lead_in + chart.seconds(tick) for tick in ticks]
    for chapter in chapters(chart, lead_in=lead_in)[1:]:
        assert min(abs(chapter.seconds - place) for place in places) < 1e-6


def test_each_marker_of_a_midi_file_begins_or_lies_in_a_chapter_that_names_it() -> None:
    form = groove.read_form("twelve-bar", tuning_note=True)
    found = chapters(unroll(form), least=0.0)
    marked = midi_markers(midi_file(groove.compile_take(form)))
    assert [name for _, name in marked] == [chapter.name for chapter in found]
    for (frame, _), chapter in zip(marked, found, strict=True):
        assert frame / SAMPLE_RATE == pytest.approx(chapter.seconds, abs=0.001)


def test_short_ones_are_put_together_and_say_what_they_hold() -> None:
    names = [chapter.name for chapter in chapters(chart_of("usual"))]
    assert names == ["Count-in and chorus 1", "Chorus 2", "Chorus 3", "Ending"]
    lines = [chapter.line for chapter in chapters(chart_of("short choruses"))]
    assert lines[0].startswith("0:00 Count-in and choruses 1–")
    assert lines[1].split(" ", 1)[1].startswith("Choruses ")


def test_in_a_video_the_title_card_comes_first() -> None:
    (first, second, *_) = chapters(chart_of("usual"), lead_in=3)
    assert first.name == "Title, count-in and chorus 1"
    plain = chapters(chart_of("usual"))[1]
    assert second.seconds == pytest.approx(plain.seconds + 3)


def test_keys_and_tempi_are_named_where_they_change() -> None:
    names = [chapter.name for chapter in chapters(chart_of("keys and tempi"))]
    assert names[1] == "Chorus 2 (F, 116 bpm)"


def test_sections_are_named_with_their_line() -> None:
    names = [chapter.name for chapter in chapters(chart_of("latin-swing-aaba"))]
    assert names[0] == "Count-in and Intro"
    assert "Solos 2 of 3: B" in names
    assert "Out: A and Coda" in names
    names = [chapter.name for chapter in chapters(chart_of("modal-vamp"))]
    assert names[0] == "Count-in and bass and drums 1–2 of 4"


def test_a_place_has_the_name_of_what_is_played_there() -> None:
    chart = chart_of("usual")
    assert [place_name(chart, time.start + 1) for time in chart.rounds] == [
        "Chorus 1", "Chorus 2", "Chorus 3",
    ]  # fmt: skip
    assert place_name(chart, chart.end) == "Ending"


def test_names_are_german_with_german_words() -> None:
    form = groove.read_form("twelve-bar", words="german")
    with worded(form.lesson.words):
        assert chapters(unroll(form))[0].name == "Einzählen und Chorus 1"


def test_a_clock_goes_on_over_an_hour() -> None:
    assert [clock(0), clock(59.99), clock(3600)] == ["0:00", "0:59", "1:00:00"]
