"""The road of an arrangement, unrolled. Source: the examples, counted by hand; the laws of the
design."""

from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings

from groove.errors import GrooveError
from groove.form.chart import Bar
from groove.form.model import Form, Line
from groove.form.read import read_form
from groove.form.unroll import length, unroll
from tests.examples import examples
from tests.form.road_material import BARS, EXAMPLES, arranged, example, forms


def road_of(**values: Any) -> tuple[Bar, ...]:
    return tuple(bar for bar in unroll(arranged(**values)).bars if bar.number)


def keys(bars: tuple[Bar, ...]) -> list[str]:
    return [bar.key.symbol for bar in bars]


A = {"name": "A", "chords": "| I | IV | V | I |"}
B = {"name": "B", "chords": "| vi | V |"}


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_examples_have_the_bars_that_were_counted_by_hand(name: str) -> None:
    assert sum(bar.number > 0 for bar in example(name).bars) == BARS[name]


@settings(max_examples=examples(60))
@given(forms())
def test_the_road_is_as_long_as_its_lines_and_has_no_gaps(form: Form) -> None:
    chart = unroll(form)
    bars = [bar for bar in chart.bars if bar.number]
    assert len(bars) == sum(line.times * line.bars for line in form.lines)
    assert [bar.road for bar in bars] == list(range(1, len(bars) + 1))
    assert all(bar.end == after.start for bar, after in pairwise(chart.bars))
    for bar in bars:
        assert bar.length == bar.meter.bar_ticks
        assert [slot.start for slot in bar.slots] == [
            bar.start, *(slot.end for slot in bar.slots[:-1])
        ]  # fmt: skip
        assert bar.slots[-1].end == bar.end


@settings(max_examples=examples(40))
@given(forms())
def test_passes_and_rounds_tile_the_road(form: Form) -> None:
    chart = unroll(form)
    road = sum(bar.number > 0 for bar in chart.bars)
    for found in (chart.passes, chart.rounds):
        edges = [(here.first, here.last) for here in found]
        assert edges[0][0] == 0
        assert edges[-1][1] == road
        assert all(last == first for (_, last), (first, _) in pairwise(edges))


@settings(max_examples=examples(40))
@given(forms())
def test_splitting_a_line_of_several_plays_changes_nothing_that_is_heard(form: Form) -> None:
    """Where ordinals are written a line can be split: each play keeps its time bars."""

    def split(line: Line) -> list[Line]:
        whole = any(field in line.own for field in ("rit", "intensity", "tacet", "key_cycle"))
        if line.times > 1 or whole:
            return [line]
        return [replace(line, plays=(play,)) for play in line.plays]

    apart = replace(form, order=tuple(part for line in form.order for part in split(line)))
    before, after = (
        [(bar.start, bar.meter, bar.key, bar.setting, [slot.chord for slot in bar.slots])
         for bar in unroll(one).bars]
        for one in (form, apart)
    )  # fmt: skip
    assert before == after


@given(forms())
@settings(max_examples=examples(30))
def test_the_estimated_length_is_that_of_the_chart_where_nothing_slows_down(form: Form) -> None:
    if not any("rit" in line.own for line in form.order):
        chart = unroll(form)
        assert length(form) == pytest.approx(chart.seconds(chart.end))


def test_a_line_moves_everything_and_a_section_stands_in_its_own_key() -> None:
    sections = [A, B | {"key": "Am"}]
    bars = road_of(sections=sections, order=["A:1, B:1", {"play": "A:1, B:1", "key": "+2"}])
    assert keys(bars) == ["C", "Am", "D", "Bm"]


def test_the_keys_of_a_cycle_go_on_from_time_to_time() -> None:
    order = [{"play": "A:1", "times": 3, "key_cycle": "fourths"}]
    assert keys(road_of(sections=[A], order=order)) == ["C", "F", "Bb"]


def test_absolute_symbols_move_with_the_line_and_are_spelled_in_its_key() -> None:
    sections = [{"name": "A", "chords": "| Dm7 | G7 |"}]
    bars = road_of(sections=sections, order=["A", {"play": "A", "key": "+1"}])
    assert [str(bar.slots[0].chord) for bar in bars] == ["Dm7", "G7", "Ebm7", "Ab7"]


def test_an_option_moves_the_whole_road() -> None:
    moved = unroll(read_form(EXAMPLES["modal-vamp"], key="Em"))
    home = example("modal-vamp")
    for here, there in zip(home.bars, moved.bars, strict=True):
        assert (there.key.tonic.pitch_class - here.key.tonic.pitch_class) % 12 == 2


def test_an_option_scales_every_tempo() -> None:
    fast = unroll(read_form(EXAMPLES["modal-vamp"], tempo=145.2))
    for here, there in zip(example("modal-vamp").bars, fast.bars, strict=True):
        assert there.setting.tempo == pytest.approx(1.1 * here.setting.tempo)


def test_a_metre_without_a_tempo_keeps_the_eighth_or_what_beat_says() -> None:
    """132 quarters in 7/8 are 132 in 4/4; a quarter as long as the dotted one before is
    two thirds as fast; from memory of metric modulation (common practice)."""
    waltz = {"name": "W", "chords": "I", "meter": "6/8"}
    for beat, tempo in (
        ({}, 80), ({"beat": "quarter = dotted quarter"}, 120), ({"beat": "beat = beat"}, 120),
    ):  # fmt: skip
        bars = road_of(sections=[A, waltz | beat], order=["A, W"])
        assert bars[-1].setting.tempo == pytest.approx(tempo), beat


def test_the_drums_of_a_section_bring_its_feel_and_what_the_file_names_stays() -> None:
    swing = B | {"drums": "medium-swing"}
    bars = road_of(sections=[A, swing], order=["A, B"], drums="mambo")
    assert (bars[0].setting.feel, bars[-1].setting.feel) == ("straight", "swing")
    assert bars[-1].bass.name == bars[-1].drums.bass
    named = road_of(
        sections=[A, B | {"drums": "half-time"}], order=["A, B"], drums="eighths-rock",
        comping="sustained-keys",
    )  # fmt: skip
    assert [pattern.name for pattern in named[-1].comping] == ["sustained-keys"]


def test_times_of_a_section_take_their_own_bars() -> None:
    section = {"name": "A", "chords": "| I |", "time_bars": ["| V |", "| IV |"]}
    bars = road_of(sections=[section], order=["A, A, A", "A"])
    assert [str(bar.slots[0].chord) for bar in bars] == list("CGCFCFCG")


def test_intensity_and_dynamics_follow_each_other_and_the_innermost_counts() -> None:
    section = B | {"dynamics": "p"}
    bars = road_of(
        sections=[A, section], order=[{"play": "A, B", "intensity": "2"}, {"play": "B"}],
        dynamics="f",
    )  # fmt: skip
    assert [(bar.intensity, bar.loudness) for bar in (bars[0], bars[4], bars[6])] == [
        (2.0, 1.0), (2.0, -2.0), (1.0, -2.0),
    ]  # fmt: skip


def test_a_range_spans_all_times_of_a_line_and_words_are_one_a_time() -> None:
    rising = road_of(sections=[B], order=[{"play": "B", "times": 2, "intensity": "1-3"}])
    assert [bar.intensity for bar in rising] == pytest.approx([1, 5 / 3, 7 / 3, 3])
    steps = road_of(sections=[B], order=[{"play": "B", "times": 2, "intensity": "1 3"}])
    assert [bar.intensity for bar in steps] == [1, 1, 3, 3]


def test_trading_alternates_bar_group_by_bar_group() -> None:
    bars = road_of(sections=[A], order=[{"play": "A", "times": 4, "trade": 4}])
    assert [bar.drums_alone for bar in bars] == ([False] * 4 + [True] * 4) * 2


def test_options_of_choruses_are_those_of_the_open_lines() -> None:
    path = EXAMPLES["latin-swing-aaba"]
    assert len(unroll(read_form(path, choruses=5)).bars) == 213 + 2 * 32
    ladder = unroll(read_form(path, tempo_step=10))
    assert {round(time.tempo) for time in ladder.rounds} == {172, 182, 192}
    with pytest.raises(GrooveError, match="no line of the order is open"):
        read_form(EXAMPLES["pop-song"], choruses=2)
    with pytest.raises(GrooveError, match="write key_cycle in one of them"):
        arranged(sections=[A], order=["A"], key_cycle="fourths")


def test_an_order_on_the_command_line_stands_in_place_of_the_files() -> None:
    form = read_form(EXAMPLES["latin-swing-aaba"], order="A, A, B, A; Last")
    assert [line.bars for line in form.order] == [32, 1]


def test_chords_on_the_command_line_drop_sections_and_order() -> None:
    form = read_form(EXAMPLES["stop-time-blues"], chords="I IV")
    assert (form.order, form.bars) == ((), 2)


def test_drums_on_the_command_line_leave_the_sections_theirs_and_say_so() -> None:
    form = read_form(EXAMPLES["latin-swing-aaba"], drums="bossa")
    assert any("B keep drums of their own" in note for note in form.notes)
    assert {bar.drums.name for bar in unroll(form).bars} == {"bossa", "medium-swing"}


def test_a_loop_closes_only_where_the_road_ends_as_it_began() -> None:
    with pytest.raises(GrooveError, match="a loop ends as it began"):
        arranged(sections=[A], order=["A", {"play": "A", "key": "+2"}], ending="loop")
    with pytest.raises(GrooveError, match="slow down"):
        arranged(sections=[A], order=[{"play": "A", "rit": 1}], ending="loop")
    arranged(sections=[A], order=[{"play": "A", "key": "+2"}, "A", {"play": "A", "key": "+2"}],
             ending="loop")  # fmt: skip


def test_a_fermata_doubles_its_chord_and_the_tempo_returns_after_it() -> None:
    plain, held = (
        unroll(arranged(sections=[A], order=[{"play": "A"} | own, "A"], ending="written"))
        for own in ({}, {"fermata": 4})
    )
    assert held.seconds(held.end) - plain.seconds(plain.end) == pytest.approx(2.0)
    assert held.tempi.changes[-1][1] == 120


def test_a_turnaround_of_a_section_leads_to_the_key_of_the_next() -> None:
    sections = [A | {"turnaround": "V7"}, B | {"key": "Eb"}]
    bars = road_of(sections=sections, order=["A, B"])
    assert str(bars[3].slots[-1].chord) == "Bb7"


def test_a_pickup_sounds_under_the_end_of_the_count_in() -> None:
    chart = example("stop-time-blues")
    first = chart.changes[0]
    assert (str(first.chord), first.end) == ("G7", chart.start)
    assert 4 * first.length == chart.bars[0].length


def test_quick_change_and_turnaround_belong_to_the_bars_that_are_played() -> None:
    twelve = "I7:4 IV7:2 I7:2 V7 IV7 I7:2"
    bars = [
        bar for bar in unroll(
            arranged(chords=twelve, order=["Form:-4", "Form", "Form:6"], quick_change=True,
                     turnaround=True)
        ).bars if bar.number
    ]  # fmt: skip
    names = [str(bar.slots[0].chord) for bar in bars]
    assert names[:6] == ["G7", "F7", "C7", "G7", "C7", "F7"]
    assert names[-6:] == ["C7", "F7", "C7", "C7", "F7", "F7"]


def test_quick_change_beside_an_order_of_sections_is_refused_with_its_place() -> None:
    with pytest.raises(GrooveError, match="a field of a section or a line"):
        arranged(sections=[A], order=["A"], quick_change=True)


def test_the_last_bars_of_a_section_keep_its_pedal_and_its_directions() -> None:
    section = {"name": "A", "chords": "I:4", "pedal": {"3-4": "G"}, "cue": {"3": "here"}}
    whole = road_of(sections=[section], order=["A, A:-2"])
    pedals = [str(bar.slots[0].pedal or "") for bar in whole]
    assert pedals == ["", "", "G", "G", "G", "G"]
    assert [bar.words for bar in whole][-2:] == [("here",), ()]


def test_a_form_with_chords_alone_has_the_fields_of_its_section() -> None:
    chart = unroll(arranged(chords="I:4", choruses=1, rit=2, letter="A", lyrics="la", riff=False))
    assert min(tempo for _, tempo, _ in chart.tempi.changes) < 120
    assert [(played.letter, played.lyrics) for played in chart.passes] == [("A", "la")]
