"""The folded road: read as it is written, it gives back the bars of the chart.

Source of the signs' meaning: common practice of engravers; after a D.S. repeats are taken only
where that is said.
"""

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.form.build import Layer, build
from groove.form.chart import Bar, Chart
from groove.form.road.fold import fold, road_words, unfold
from groove.form.road.folded import Folded
from groove.form.unroll import unroll
from tests.examples import examples
from tests.form.road_material import EXAMPLES, example

FOUR = "| I | IV | ii | V |"
OTHER = "| vi | ii7 | V7 | I |"


def chart(order: list[Any], ending: str = "written", **sections: Any) -> Chart:
    """The chart of sections by name, each its chords or all its fields."""
    tables = [
        {"name": name, **(fields if isinstance(fields, dict) else {"chords": fields})}
        for name, fields in sections.items()
    ]
    values = {"order": order, "sections": tables, "key": "C", "ending": ending}
    return unroll(build([Layer(values, lambda field: field)]))


def shown(folded: Folded) -> str:
    """The strips by section names: ``2x(|:A[1][2]:|x2 B)``, with $ (segno), + (to coda), DS."""
    strips = []
    back = folded.back
    for index, strip in enumerate(folded.strips):
        words = ""
        for at in range(len(strip.bars)):
            here = back is not None and back.strip == index
            words += "$" if back and here and back.segno == at else ""
            words += "".join("|:" for repeat in strip.repeats if repeat.first == at)
            words += "".join(heading.name for heading in strip.headings if heading.at == at)
            for repeat in strip.repeats:
                for ending in repeat.endings:
                    if ending.first == at:
                        words += f"[{','.join(map(str, ending.numbers))}]"
                words += f":|x{repeat.times}" if repeat.last == at + 1 else ""
            words += "+" if back and here and back.leaves == at else ""
        words = words if strip.times == 1 else f"{strip.times}x({words})"
        strips.append(words + (f" {back.text}" if back and back.after == index else ""))
    return " / ".join(strips)


WRITTEN = {
    "latin-swing-aaba": "|:Intro:|x2 / 5x($|:A[1][2]:|x2BA+) D.S. al Coda, with repeats / "
    "Coda|:Tag:|x3Last",
    "modal-vamp": "4x(Vamp) / |:Theme:|x2BridgeTheme / 8x(Vamp) / Bridge / 4x(Vamp) / ThemeSlow",
    "pop-song": "|:Intro:|x2 / VerseLiftChorusVerseLiftChorusBridge / Chorus / |:Chorus:|x2Coda",
    "stop-time-blues": "Blues / 3x(Blues) / Blues / 2x(Blues) / 2x(Blues)",
}


@pytest.mark.parametrize("name", EXAMPLES)
def test_examples_are_written_as_a_copyist_would(name: str) -> None:
    assert shown(fold(example(name))) == WRITTEN[name]


def test_neighbouring_lines_alike_are_one_strip() -> None:
    order = [{"play": "A, B", "as": "head"}, {"play": "A, B", "as": "solos", "times": 3}]
    folded = fold(chart(order, A=FOUR, B=OTHER))
    assert shown(folded) == "4x(AB)"
    assert [r.words for r in folded.strips[0].readings] == [("head",), ("solos 3 times",)]


def test_section_after_itself_is_a_repeat_with_its_time_bars_as_endings() -> None:
    a = {"chords": FOUR, "time_bars": ["| V7 |", "| I | % |"]}
    assert shown(fold(chart(["A, A, B, A"], A=a, B=OTHER))) == "|:A[1][2]:|x2BA"
    assert shown(fold(chart(["A x3"], A=a, B=OTHER))) == "|:A[1][2,3]:|x3"


def test_sections_that_come_round_together_are_a_repeat() -> None:
    assert shown(fold(chart(["A, B, A, B, A"], A=FOUR, B=OTHER))) == "|:AB:|x2A"


def test_time_bars_inside_a_group_are_written_out() -> None:
    a = {"chords": FOUR, "time_bars": ["| V7 |", "| I |"]}
    assert shown(fold(chart(["A, B, A, B"], A=a, B=OTHER))) == "ABAB"


def test_a_push_in_the_time_bars_makes_an_ending() -> None:
    a = {"chords": FOUR, "time_bars": ["| V |", "| ~V |"]}
    assert shown(fold(chart(["A, A"], A=a))) == "|:A[1][2]:|x2"


def test_a_part_of_a_section_is_no_second_time() -> None:
    a = {"chords": FOUR, "time_bars": ["| V7 | % |", "| I | % |"]}
    assert shown(fold(chart(["A, A:4"], A=a))) == "AA"
    assert shown(fold(chart(["A, A:5"], A=a))) == "AA"
    assert shown(fold(chart(["A:2, A:-2"], A="| I | V | I | V |"))) == "AA"
    assert shown(fold(chart(["A:2", "A"], A=FOUR))) == "A / A"


def test_another_tempo_is_written_out_and_a_ladder_is_words() -> None:
    assert shown(fold(chart(["A", {"play": "A", "tempo": 90}], A=FOUR))) == "A / A"
    folded = fold(chart([{"play": "A", "times": 3, "tempo_step": 4.0}], A=FOUR))
    assert shown(folded) == "3x(A)"
    assert folded.strips[0].readings[0].words == ("3 times", "each time 4 faster")


def test_last_line_that_returns_is_a_dal_segno() -> None:
    order = ["A, B", "C", "A, B:2, Coda"]
    folded = fold(chart(order, A=FOUR, B=OTHER, C="| I7 |", Coda="| I |"))
    assert shown(folded) == "$AB+ / C D.S. al Coda / Coda"


def test_added_ending_is_the_coda_of_a_return() -> None:
    order = ["A, B, D", "C", "A, B"]
    folded = fold(chart(order, "ring", A=FOUR, B=OTHER, D=FOUR, C="| I7 |"))
    assert shown(folded) == "$AB+D / C D.S. al Coda"


def test_there_is_one_return_at_most() -> None:
    order = ["A, B", "C", "A, B", "D, E", "F", "D, E"]
    sections = {"A": FOUR, "B": OTHER, "C": "| I7 |", "D": OTHER, "E": FOUR, "F": "| I7 |"}
    assert shown(fold(chart(order, **sections))) == "$AB+ / C D.S. al Coda / DE / F / DE"


def test_no_return_begins_inside_a_repeat() -> None:
    order = ["A, B, A, B", "C", "B, Coda"]
    folded = fold(chart(order, A=FOUR, B=OTHER + FOUR, C="| I7 |", Coda="| I |"))
    assert shown(folded) == "|:AB:|x2 / C / BCoda"


def test_line_that_comes_back_to_its_key_is_no_return() -> None:
    order = ["A, B", {"play": "A, B", "times": 13, "key_cycle": "fourths"}]
    folded = fold(chart(order, A=FOUR, B=OTHER))
    assert (len(folded.strips), folded.back) == (13, None)


def test_return_begins_where_the_line_begins() -> None:
    order = ["A, B, D", "C", "B, D, Coda"]
    folded = fold(chart(order, A=FOUR, B=OTHER, D=FOUR, C="| I7 |", Coda="| I |"))
    assert shown(folded) == "A$BD+ / C D.S. al Coda / Coda"


def test_return_to_the_end_of_the_piece_is_al_fine() -> None:
    folded = fold(chart(["A, B, D", "C", "A, B"], A=FOUR, B=OTHER, D=FOUR, C="| I7 |"))
    assert shown(folded) == "$AB+D / C D.S. al Fine"


def test_repeats_are_taken_after_the_sign_only_where_that_is_said() -> None:
    sections = {"A": FOUR, "B": OTHER, "C": "| I7 |", "Coda": "| I |"}
    once = fold(chart(["A, A, B", "C", "A, B:2, Coda"], **sections))
    assert shown(once) == "$|:A:|x2B+ / C D.S. al Coda / Coda"
    again = fold(chart(["A, A, B", "C", "A, A, B:2, Coda"], **sections))
    assert shown(again) == "$|:A:|x2B+ / C D.S. al Coda, with repeats / Coda"


def test_no_repeat_is_left_before_its_last_time() -> None:
    a = {"chords": f"{FOUR} {FOUR}", "time_bars": ["| V7 |", "| I |"]}
    folded = fold(chart(["A, A", "C", "A, Coda"], A=a, C="| I7 |", Coda="| I |"))
    assert shown(folded) == "$|:A+[1][2]:|x2 / C D.S. al Coda / Coda"
    assert len(folded.strips[-1].bars) == 2


def test_one_line_of_four_bars_is_no_reason_to_return() -> None:
    folded = fold(chart(["A, B", "C", "A, Coda"], A=FOUR, B=OTHER, C="| I7 |", Coda="| I |"))
    assert shown(folded) == "AB / C / ACoda"


def test_line_in_another_key_is_written_out() -> None:
    order = ["A", {"play": "A", "key": "+2"}]
    assert shown(fold(chart(order, A=FOUR))) == "A / A"


def test_stops_are_written_out_and_kicks_that_are_off_are_words() -> None:
    a = {"chords": FOUR, "kicks": {"2": "x..x"}}
    off = fold(chart([{"play": "A", "kicks": False, "as": "solo"}, "A"], A=a))
    assert shown(off) == "2x(A)"
    assert off.strips[0].bars == (0, 5, 2, 3)
    assert [r.words for r in off.strips[0].readings] == [("solo", "no kicks"), ("2nd time",)]
    stops = fold(chart(["A", {"play": "A", "stops": {"2": "X..."}}], A=a))
    assert shown(stops) == "A / A"


def test_ending_with_no_reason_for_a_sign_is_an_own_bar() -> None:
    values = {"chords": FOUR, "choruses": 3, "ending": "ring"}
    folded = fold(unroll(build([Layer(values, lambda field: field)])))
    assert [strip.times for strip in folded.strips] == [3]
    assert (folded.ending, len(folded.bars)) == ((12,), 5)


def test_turnaround_in_one_key_has_no_endings() -> None:
    values = {"chords": FOUR, "choruses": 3, "turnaround": True}
    assert shown(fold(unroll(build([Layer(values, lambda field: field)])))) == "3x()"


def test_turnaround_to_another_key_has_endings() -> None:
    values = {"chords": FOUR, "choruses": 3, "key_cycle": "up", "turnaround": True}
    folded = fold(unroll(build([Layer(values, lambda field: field)])))
    assert shown(folded) == "|:[1,2][3]:|x3"


def test_words_name_players_and_times() -> None:
    line = {"play": "A x2", "tacet": {"comping": "1-4"}, "cue": {"5": "all in"}, "rit": 1}
    notes = fold(chart([line], A=FOUR)).strips[0].notes
    assert [(note.at, note.kind, note.text) for note in notes if note.kind != "feel"] == [
        (0, "players", "1st time: comping out"),
        (0, "players", "2nd time: comping in"),
        (0, "cue", "2nd time: all in"),
        (3, "rit", "rit. last time"),
    ]


def test_words_of_a_line_stand_once() -> None:
    order = ["A, B", "C", {"play": "A, B:2, Coda", "as": "out", "dynamics": "f"}]
    folded = fold(chart(order, A=FOUR, B=OTHER, C="| I7 |", Coda="| I |"))
    assert folded.back is not None
    assert folded.back.reading.words == ("out", "f")
    assert folded.strips[-1].readings[0].words == ()


def test_feel_and_players_of_a_section_stand_over_its_first_bar() -> None:
    b = {"chords": OTHER, "drums": "medium-swing", "pulse": "double", "tacet": "bass"}
    notes = fold(chart(["A, B, A"], A=FOUR, B=b)).strips[0].notes
    assert [(note.at, note.kind, note.text) for note in notes if note.at] == [
        (4, "feel", "Swing, double-time feel"),
        (4, "players", "bass out"),
        (8, "feel", "Straight eighths, normal time"),
        (8, "players", "bass in"),
    ]


def test_dynamics_and_riffs_of_a_section_hold_each_time() -> None:
    riff = {"name": "horns", "notes": "1:4"}
    a = {"chords": FOUR, "dynamics": "p-f", "riff": "horns"}
    values = {"order": ["A, A"], "sections": [{"name": "A", **a}], "riffs": [riff], "key": "C"}
    folded = fold(unroll(build([Layer(values, lambda field: field)])))
    texts = [note.text for note in folded.strips[0].notes if note.kind != "feel"]
    assert texts == ["horns riff", "p to f"]


def test_times_are_named_by_line_or_number() -> None:
    cue = {"1": "soft", "3": "loud", "5": "last one"}
    a = "| I | V |"
    order = [{"play": "A x3", "cue": cue}, "B", {"play": "B", "as": "solos", "cue": "go"}, "B"]
    folded = fold(chart(order, A=a, B=OTHER))
    texts = [[n.text for n in strip.notes if n.kind == "cue"] for strip in folded.strips]
    assert texts == [["1st time: soft", "2nd time: loud", "last time: last one"], ["solos: go"]]


def test_whole_lines_say_who_plays() -> None:
    order = [
        {"play": "A", "tacet": "all but bass", "dynamics": "p-f", "times": 2},
        {"play": "A", "tacet": "bass, comping", "trade": 2, "as": "twos"},
        {"play": "A", "trade": 2},
    ]
    strip = fold(chart(order, A=FOUR)).strips[0]
    assert [note.kind for note in strip.notes] == ["feel"]
    assert [reading.words for reading in strip.readings] == [
        ("twice", "bass alone", "p to f"),
        ("twos", "bass and comping out", "drums in", "trade twos with the drums"),
        ("bass and comping in", "trade twos with the drums"),
    ]


def test_road_in_words() -> None:
    order = [
        "Intro x2",
        {"play": "A, A, B", "as": "head"},
        {"play": "A, A, B", "as": "solos", "times": 3, "open": True},
        {"play": "A, A, B", "as": "trading", "trade": 4},
        {"play": "A, A, B:2, Coda, Tag x3", "as": "out"},
    ]
    whole = chart(order, Intro="| I |", A=FOUR, B=OTHER, Coda="| I |", Tag="| V |")
    assert road_words(whole, fold(whole)) == (
        "Intro twice; head; solos 3 times, open; trading fours with the drums; "
        "out: D.S. al Coda, with repeats, Tag 3 times"
    )


BARS = st.sampled_from(["I", "IV7", "~V7", "ii7 V7", "NC", "I*", "3/4 vi"])


@st.composite
def sections(draw: st.DrawFn, name: str) -> dict[str, Any]:
    def bars(most: int) -> str:
        return f"| {' | '.join(draw(st.lists(BARS, min_size=1, max_size=most)))} |"

    found: dict[str, Any] = {"name": name, "chords": f"| I {bars(3)}"}
    if draw(st.booleans()):
        found["time_bars"] = [f"| V {bars(1)}" for _ in range(draw(st.integers(1, 3)))]
    own: dict[str, Any] = {
        "kicks": {"1": "x..x .x.."},
        "stops": {"1": "X... ...."},
        "pedal": "C",
        "drums": "bossa",
        "key": "F",
        "dynamics": "p-f",
        "rit": 1,
    }
    fields = draw(st.sets(st.sampled_from(sorted(own)), max_size=3))
    if "kicks" in fields:
        fields.discard("stops")
    return found | {field: own[field] for field in fields}


@st.composite
def lines(draw: st.DrawFn) -> dict[str, Any]:
    plays = draw(
        st.lists(
            st.sampled_from(["A", "A", "A", "B", "B", "C", "A:1", "B:-1", "A x2", "B x3"]),
            min_size=1,
            max_size=6,
        )
    )
    own: dict[str, Any] = {
        "times": draw(st.integers(1, 3)),
        "as": draw(st.sampled_from(["head", "solos"])),
        "kicks": False,
        "stops": False,
        "key": "+2",
        "tacet": "drums",
        "trade": 1,
        "dynamics": "mf",
        "tempo_step": 4.0,
        "cue": "all in",
        "rit": 1,
        "fermata": 1,
    }
    fields = draw(st.sets(st.sampled_from(sorted(own)), max_size=2))
    if "trade" in fields:
        own["times"] = 2
        fields.add("times")
    return {"play": ", ".join(plays), **{field: own[field] for field in fields}}


@st.composite
def arrangements(draw: st.DrawFn) -> Chart:
    """Roads of which many come back to what was played before."""
    known = draw(st.lists(lines(), min_size=1, max_size=3, unique_by=str))
    order: list[Any] = draw(st.lists(st.sampled_from(known), min_size=1, max_size=6))
    if draw(st.booleans()):
        plays = order[0]["play"].split(", ")
        first = draw(st.integers(0, len(plays) - 1))
        last = draw(st.integers(first + 1, len(plays)))
        order.append(", ".join([*plays[first:last], *draw(st.sampled_from([["Coda"], []]))]))
    names = ("A", "B", "C")
    values = {
        "order": order,
        "sections": [*(draw(sections(name)) for name in names), {"name": "Coda", "chords": "I"}],
        "key": "C",
        "ending": draw(st.sampled_from(["written", "ring"])),
    }
    return unroll(build([Layer(values, lambda field: field)]))


def music(bar: Bar) -> list[object]:
    """What is written in a bar, but for its figure."""
    chords = [
        (s.start - bar.start, s.length, s.silent or s.chord, s.early > 0, s.root_only, s.pedal)
        for s in bar.slots
    ]
    return [bar.section, bar.in_section, bar.meter, bar.key, chords]


def strokes(bar: Bar) -> object:
    figure = bar.figure
    if figure is None:
        return None
    return figure.alone, [(s.start - bar.start, s.length, s.accent) for s in figure.strokes]


@settings(max_examples=examples(25))
@given(arrangements())
def test_reading_what_is_written_gives_the_road(chart: Chart) -> None:
    for bar, index in zip(chart.bars, unfold(fold(chart)), strict=True):
        written = chart.bars[index]
        assert music(bar)[2:] == music(written)[2:]
        assert bar.section == written.section


@settings(max_examples=examples(25))
@given(arrangements())
def test_figures_are_as_written_unless_words_leave_them_out(chart: Chart) -> None:
    folded = fold(chart)
    silent = set()
    readings = [reading for strip in folded.strips for reading in strip.readings]
    readings += [folded.back.reading] if folded.back else []
    for reading in readings:
        if "no kicks" in reading.words:
            silent |= set(range(*reading.bars))
    for number, (bar, index) in enumerate(zip(chart.bars, unfold(folded), strict=True)):
        written = chart.bars[index]
        if bar.drums_alone or (number in silent and written.figure and not written.figure.alone):
            assert bar.figure is None
        else:
            assert strokes(bar) == strokes(written)


@settings(max_examples=examples(25))
@given(arrangements())
def test_tempo_is_as_written_but_for_a_ladder(chart: Chart) -> None:
    ladders = {n for n, line in enumerate(chart.form.lines) if line.own.get("tempo_step")}
    for bar, index in zip(chart.bars, unfold(fold(chart)), strict=True):
        if chart.rounds[bar.round].line not in ladders:
            assert bar.setting.rate == chart.bars[index].setting.rate


@settings(max_examples=examples(25))
@given(arrangements())
def test_each_written_bar_is_read_and_none_is_written_twice(chart: Chart) -> None:
    folded = fold(chart)
    assert set(unfold(folded)) == set(folded.bars)
    assert len(set(folded.bars)) == len(folded.bars) <= len(chart.bars)


@settings(max_examples=examples(25))
@given(arrangements())
def test_brackets_end_a_repeat_and_have_each_time_once(chart: Chart) -> None:
    for strip in fold(chart).strips:
        assert all(one.last <= other.first for one, other in pairwise(strip.repeats))
        for repeat in strip.repeats:
            assert repeat.times > 1
            if repeat.endings:
                numbers = [n for ending in repeat.endings for n in ending.numbers]
                assert numbers == list(range(1, repeat.times + 1))
                edges = [repeat.endings[0].first, *(ending.last for ending in repeat.endings)]
                assert [ending.first for ending in repeat.endings] == edges[:-1]
                assert repeat.first < edges[0]
                assert edges[-1] == repeat.last


@settings(max_examples=examples(25))
@given(arrangements())
def test_readings_cover_the_road(chart: Chart) -> None:
    folded = fold(chart)
    found = []
    for index, strip in enumerate(folded.strips):
        found += [reading.bars for reading in strip.readings]
        assert strip.times == sum(reading.times for reading in strip.readings)
        if folded.back and folded.back.after == index:
            found.append(folded.back.reading.bars)
    last = len(chart.bars) - len(folded.ending)
    assert [first for first, _ in found] == [0, *(end for _, end in found[:-1])]
    assert found[-1][1] == last
