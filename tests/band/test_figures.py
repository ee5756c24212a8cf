"""What the whole band strikes together, and who is silent. Source: common practice; 30 ms is the
mark of the design page for strokes that count as one."""

from functools import cache

import pytest

from groove.band.part import Part, PlayedPart
from groove.band.plan.planner import planned
from groove.band.take import Take, play
from groove.form.chart import Bar, Chart
from groove.form.read import read_form
from groove.form.unroll import unroll
from tests.band.band_material import take_of
from tests.form.road_material import EXAMPLES, arranged, example


@cache
def parts(name: str) -> tuple[Part, ...]:
    return play(planned(example(name)))


@cache
def loose(name: str) -> Take:
    """The take as people play."""
    chart = unroll(read_form(EXAMPLES[name]))
    return take_of(chart)


def bars_of(chart: Chart, line: str) -> list[Bar]:
    return [
        bar
        for played in chart.passes
        if played.name == line
        for bar in chart.bars[played.first : played.last]
    ]


def playing(bar: Bar) -> set[str]:
    """The parts that have a pattern in a bar; a lone player of chords may be called comping."""
    return {"drums", "bass", "comping", *(pattern.voicing for pattern in bar.comping)}


def inside(part: Part | PlayedPart, bar: Bar) -> list[int]:
    return [note.start for note in part.notes if bar.start <= note.start < bar.end]


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_examples_have_figures(name: str) -> None:
    kinds = {figure.alone for figure in example(name).figures}
    only_stops = name in ("stop-time-blues", "pop-song")
    assert kinds == ({True} if only_stops else {True, False})


@pytest.mark.parametrize("name", EXAMPLES)
def test_nothing_sounds_between_the_strokes_of_a_stop(name: str) -> None:
    alone = [figure for figure in example(name).figures if figure.alone]
    for figure in alone:
        strokes = {stroke.start for stroke in figure.strokes}
        for part in parts(name):
            for note in part.notes:
                if figure.start <= note.start < figure.end:
                    assert note.start in strokes, (part.name, figure)
                held = note.start < min(strokes, default=figure.end) < note.start + note.length
                assert not held, (part.name, note)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_player_strikes_every_stroke(name: str) -> None:
    for figure in example(name).figures:
        bar = example(name).bar_at(figure.start)
        for stroke in figure.strokes:
            for part in parts(name):
                if part.name in playing(bar):
                    struck = [note for note in part.notes if note.start == stroke.start]
                    assert struck, (part.name, bar.section, bar.in_section)


@pytest.mark.parametrize("name", EXAMPLES)
def test_players_strike_a_figure_within_30_ms_at_their_loosest(name: str) -> None:
    take = loose(name)
    chart = take.chart
    for figure in chart.figures:
        for stroke in figure.strokes:
            near = []
            bar = chart.bar_at(figure.start)
            for part in take.parts:
                if part.name in bar.out or part.name not in playing(bar):
                    continue
                at = chart.seconds(stroke.start)
                times = [chart.seconds(note.start) for note in part.notes]
                close = [time for time in times if abs(time - at) < 0.1]
                near += [min(close, key=lambda time: abs(time - at))]
            assert max(near) - min(near) < 0.030, chart.bar_at(stroke.start).road


def test_a_stroke_on_a_pushed_chord_is_the_push() -> None:
    chart = example("latin-swing-aaba")
    sixth = [bar for bar in bars_of(chart, "head") if bar.section == "A" and bar.in_section == 6]
    for bar in sixth:
        assert bar.figure
        assert bar.figure.strokes[0].start == bar.start - 480


def test_kicks_go_on_with_time_and_are_set_up_by_a_fill() -> None:
    chart = example("latin-swing-aaba")
    drums = parts("latin-swing-aaba")[0]
    for bar in bars_of(chart, "head"):
        if bar.figure and bar.in_section == 6:
            strokes = {stroke.start for stroke in bar.figure.strokes}
            assert set(inside(drums, bar)) - strokes
            before = chart.bars[bar.road - 2]
            assert any(before.start <= start < before.end for start, _ in drums.fills)


def test_lines_without_kicks_play_none() -> None:
    chart = example("latin-swing-aaba")
    assert not any(bar.figure for bar in bars_of(chart, "solos"))


def test_tacet_silences_a_track_and_leaves_the_others_as_they_were() -> None:
    line = {"play": "A", "times": 2}
    section = {"name": "A", "chords": "I:2 IV:2"}
    full, silent = (
        take_of(chart)
        for chart in (
            unroll(arranged(sections=[section], order=["A", line | own, "A"]))
            for own in ({}, {"tacet": {"comping": "1-2", "drums": "3"}})
        )
    )
    for with_all, without in zip(full.parts, silent.parts, strict=True):
        bars = [bar for bar in silent.chart.bars if with_all.name in bar.out]
        assert len(bars) == {"comping": 4, "drums": 2}.get(with_all.name, 0)
        kept = {(note.start, note.pitch) for note in without.notes}
        lost = [note for note in with_all.notes if (note.start, note.pitch) not in kept]
        assert bool(lost) == bool(bars)
        edge = 60  # ticks that touch may move a note over a bar line
        for note in lost:
            assert any(bar.start - edge <= note.start < bar.end + edge for bar in bars)


def test_while_the_drums_trade_nobody_else_plays_and_they_fill_each_bar() -> None:
    take = loose("latin-swing-aaba")
    bars = bars_of(take.chart, "trading")
    alone = [bar for bar in bars if bar.drums_alone]
    assert len(alone) == len(bars) // 2
    for part in take.parts[1:3]:
        for bar in alone:
            late = [at for at in inside(part, bar) if bar.start + 120 < at < bar.end - 600]
            assert not late, (part.name, bar.road)
    drums = parts("latin-swing-aaba")[0]
    for bar in alone:
        assert any(bar.start <= start < bar.end for start, _ in drums.fills)


def test_the_bass_holds_to_the_pedal_note() -> None:
    chart = example("modal-vamp")
    bass = next(part for part in parts("modal-vamp") if part.name == "bass")
    for note in bass.notes:
        bar = chart.bar_at(note.start)
        pedal = next(slot.pedal for slot in bar.slots)
        own = all(slot.start >= bar.start for slot in bar.slots)
        if pedal and own and bar.in_section < 4:
            assert note.pitch % 12 == pedal.pitch_class, bar.road


def test_a_written_ending_comes_to_rest_on_one_stroke() -> None:
    chart = unroll(
        arranged(sections=[{"name": "A", "chords": "V I"}], order=["A x4"], ending="written")
    )
    last = chart.bars[-1]
    for part in play(planned(chart)):
        assert set(inside(part, last)) == {last.start}, part.name


def test_dynamics_are_heard_as_velocity() -> None:
    chart = unroll(
        arranged(
            sections=[{"name": "A", "chords": "I:4"}],
            order=[{"play": "A x4", "dynamics": sign, "intensity": "2"} for sign in ("p", "ff")],
        )
    )
    take = take_of(chart)
    seam = chart.rounds[1].start
    for part in take.parts[:3]:
        soft = [note.velocity for note in part.notes if chart.start <= note.start < seam - 100]
        loud = [note.velocity for note in part.notes if note.start > seam + 100]
        assert sum(loud) / len(loud) > sum(soft) / len(soft) + 15, part.name
