"""One line of the chart on paper: where bar lines, strokes, chords, brackets and labels stand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from groove.handout.chart.bar import WrittenBar
from groove.handout.chart.cells import Measures, bar_widths, even_size
from groove.handout.chart.line import line_height, line_marks
from groove.handout.chart.written import write_chart
from groove.handout.drawing.chord_symbol import chord_width
from groove.handout.drawing.page import (
    MEDIUM,
    THICK,
    Circle,
    Glyph,
    Line,
    Mark,
    Polygon,
    Text,
    ink_box,
    text_width,
)
from tests.handout.chart.chart_material import form

SIZE = 72 / 2.54  # points: an em of a centimetre
LEFT, WIDTH, FOOT = 10.0, 160.0, 100.0
BAR = WIDTH / 4
PLAIN = Measures(SIZE, False, WIDTH)


def line(chords: str = "", number: int = 0, **values: Any) -> tuple[WrittenBar, ...]:
    """A line of the chart of a made-up form."""
    given = {"chords": chords} if chords else {}
    made = form(**(given | {"choruses": 1, "ending": "loop"} | values))
    return write_chart(made).lines[number]


def drawn(bars: tuple[WrittenBar, ...], measures: Measures = PLAIN) -> list[Mark]:
    return line_marks(bars, FOOT, LEFT, measures)


def upright(marks: list[Mark]) -> list[Line]:
    """The upright lines from left to right: bar lines and the hooks of brackets."""
    found = [mark for mark in marks if isinstance(mark, Line) and mark.x1 == mark.x2]
    return sorted(found, key=lambda mark: mark.x1)


def level(marks: list[Mark]) -> list[Line]:
    """The lines of brackets, from left to right."""
    found = [mark for mark in marks if isinstance(mark, Line) and mark.y1 == mark.y2]
    return sorted(found, key=lambda mark: mark.x1)


def strokes(marks: list[Mark]) -> list[Polygon]:
    return [mark for mark in marks if isinstance(mark, Polygon)]


def text(marks: list[Mark], words: str) -> Text:
    (found,) = [mark for mark in marks if isinstance(mark, Text) and mark.text == words]
    return found


def test_bars_that_have_room_are_of_equal_width() -> None:
    bars = line("I7 IV7 I7 V7 I7:4")
    assert bar_widths(bars, PLAIN) == pytest.approx([BAR] * 4)
    marks = drawn(bars)
    assert [mark.x1 for mark in upright(marks)] == pytest.approx([10, 50, 90, 130, 170])
    assert {mark.width for mark in upright(marks)} == {MEDIUM}


def test_short_line_keeps_the_width_of_its_bars() -> None:
    bars = line("I7 IV7 I7 V7 I7 IV7", 1)
    assert bar_widths(bars, PLAIN) == pytest.approx([BAR] * 2)


def test_paired_lines_share_the_width_of_the_page() -> None:
    bars = line("I7 IV7 I7 V7 I7:4")
    assert bar_widths(bars, replace(PLAIN, across=8, size=9)) == pytest.approx([BAR / 2] * 4)


@pytest.mark.parametrize(("meter", "beats"), [("4/4", 4), ("3/4", 3), ("12/8", 4)])
def test_strokes_divide_a_bar_evenly_from_a_little_after_its_line(meter: str, beats: int) -> None:
    bars = line("I7 IV7 I7 V7 I7:4", meter=meter)
    marks = drawn(bars)
    feet = [min(x for x, _ in stroke.points) for stroke in strokes(marks)]
    for bar in range(4):
        start = LEFT + bar * BAR + 2.8
        wanted = [start + beat * (BAR - 2.8) / beats for beat in range(beats)]
        assert feet[bar * beats : (bar + 1) * beats] == pytest.approx(wanted)


def test_stroke_leans_to_the_right_between_level_ends_of_equal_width() -> None:
    first = strokes(drawn(line("I7 IV7 I7 V7 I7:4")))[0]
    (left, foot), (above, top), (above_right, same_top), (right, same_foot) = first.points
    assert (foot, top) == (same_foot, same_top)
    assert foot - top == pytest.approx(3.4)
    assert right - left == pytest.approx(0.65)
    assert above_right - above == pytest.approx(right - left)
    assert above - left == pytest.approx(2)
    assert first.fill == 1
    assert first.width == 0


def test_chords_stand_over_the_strokes_between_the_ends_of_the_bar_lines() -> None:
    marks = drawn(line("I7 IV7 I7 V7 I7:4"))
    bar_line, stroke, root = upright(marks)[0], strokes(marks)[0], text(marks, "F")
    assert bar_line.y2 == FOOT
    assert FOOT - max(y for _, y in stroke.points) == pytest.approx(0.6)
    assert min(y for _, y in stroke.points) - root.y == pytest.approx(2.4)
    assert root.y - bar_line.y1 == pytest.approx(8)
    assert root.x == pytest.approx(strokes(marks)[4].points[0][0])
    assert root.size == pytest.approx(SIZE)


def test_chord_stands_over_the_beat_on_which_it_begins() -> None:
    marks = drawn(line("I7:1/2 IV7:1/4 V7:1/4 I7:7"))
    feet = [stroke.points[0][0] for stroke in strokes(marks)]
    assert text(marks, "F").x == pytest.approx(feet[2])
    assert text(marks, "G").x == pytest.approx(feet[3])


def test_simile_sign_stands_in_the_middle_of_its_bar() -> None:
    marks = drawn(line("I7:4 IV7:4"))
    signs = [mark for mark in marks if isinstance(mark, Glyph)]
    assert [sign.name for sign in signs] == ["repeat bar"] * 3
    assert [sign.x for sign in signs] == pytest.approx([70, 110, 150])
    assert {sign.anchor for sign in signs} == {"middle"}
    bar_line = upright(marks)[0]
    assert signs[0].y == pytest.approx((bar_line.y1 + bar_line.y2) / 2)
    assert len(strokes(marks)) == 4


def test_repeat_signs_are_a_thick_and_a_thin_line_and_two_dots() -> None:
    marks = drawn(line("I7 IV7 I7 V7", choruses=3))
    lines = upright(marks)
    assert [mark.width for mark in lines] == [THICK, MEDIUM, *[MEDIUM] * 3, MEDIUM, THICK]
    thick, thin = lines[0], lines[1]
    assert thick.x1 - THICK / 2 == LEFT
    assert thin.x1 - thick.x1 == pytest.approx(THICK / 2 + 0.8)
    assert lines[-1].x1 + THICK / 2 == pytest.approx(LEFT + WIDTH)
    assert lines[-1].x1 - lines[-2].x1 == pytest.approx(THICK / 2 + 0.8)
    dots = [mark for mark in marks if isinstance(mark, Circle)]
    assert [dot.x for dot in dots] == pytest.approx([LEFT + 2.9] * 2 + [LEFT + WIDTH - 2.9] * 2)
    middle = (thick.y1 + thick.y2) / 2
    assert dots[0].y + dots[1].y == pytest.approx(2 * middle)
    assert dots[1].y - dots[0].y == pytest.approx((thick.y2 - thick.y1) * 2 / 9)
    assert {(dot.radius, dot.fill, dot.width) for dot in dots} == {(0.5, 1, 0)}


def test_first_beat_keeps_clear_of_the_repeat_sign_and_the_last_of_the_one_that_closes() -> None:
    marks = drawn(line("I7 IV7 I7 V7", choruses=3))
    feet = [stroke.points[0][0] for stroke in strokes(marks)]
    assert feet[0] == pytest.approx(LEFT + 5.4)
    assert feet[1] - feet[0] == pytest.approx((BAR - 5.4) / 4)
    assert feet[12] == pytest.approx(LEFT + 3 * BAR + 2.8)
    assert feet[13] - feet[12] == pytest.approx((BAR - 5.4) / 4)


def test_section_ends_with_two_lines_that_the_beats_keep_clear_of() -> None:
    sections = [{"name": "A", "chords": "I7 IV7 I7 V7"}, {"name": "B", "chords": "I7:4"}]
    marks = drawn(line(sections=sections))
    lines = upright(marks)
    assert [mark.x1 for mark in lines[-2:]] == pytest.approx([LEFT + WIDTH - 0.9, LEFT + WIDTH])
    feet = [stroke.points[0][0] for stroke in strokes(marks)]
    assert feet[13] - feet[12] == pytest.approx((BAR - 2.8 - 0.9) / 4)


def test_piece_ends_with_a_thin_and_a_thick_line_without_dots() -> None:
    marks = drawn(line("I7 IV7 I7 V7"))
    assert [mark.width for mark in upright(marks)[-2:]] == [MEDIUM, THICK]
    assert not any(isinstance(mark, Circle) for mark in marks)


def endings() -> tuple[WrittenBar, ...]:
    """A line whose last two bars are a first ending, and the line of the last ending."""
    return line(
        "I7:4", choruses=3, ending="hit", key_cycle="fourths",
        turnaround="V7 IV7",
    )  # fmt: skip


def test_bracket_of_an_ending_that_repeats_has_a_hook_at_both_ends() -> None:
    marks = drawn(endings())
    first, second = level(marks)
    assert (first.x1, first.x2) == pytest.approx((LEFT + 2 * BAR, LEFT + 3 * BAR))
    assert (second.x1, second.x2) == pytest.approx((LEFT + 3 * BAR, LEFT + WIDTH - 0.8))
    assert first.y1 == second.y1
    top = min(mark.y1 for mark in upright(marks) if mark.y2 == FOOT)
    assert top - first.y1 == pytest.approx(1.4)
    hooks = [mark for mark in upright(marks) if mark.y1 == first.y1]
    assert [mark.x1 for mark in hooks] == pytest.approx([first.x1, second.x2])
    assert [mark.y2 - mark.y1 for mark in hooks] == pytest.approx([2.2, 2.2])
    number = text(marks, "1.–2.")
    assert number.x - first.x1 == pytest.approx(1.6)
    assert first.y1 - 5 < number.y < first.y1


def test_bracket_of_the_last_ending_is_open_at_its_right() -> None:
    bars = line(
        "I7:4", 1, choruses=3, ending="hit", key_cycle="fourths", turnaround="V7 IV7"
    )  # fmt: skip
    marks = drawn(bars)
    brackets = level(marks)
    assert [mark.x1 for mark in brackets] == pytest.approx([LEFT + n * BAR for n in range(3)])
    assert brackets[-1].x2 == pytest.approx(LEFT + 3 * BAR - 0.8)
    hooks = [mark for mark in upright(marks) if mark.y1 == brackets[0].y1]
    assert [mark.x1 for mark in hooks] == [LEFT]
    assert text(marks, "3.").x == pytest.approx(LEFT + 1.6)
    assert not [mark for mark in marks if isinstance(mark, Text) and mark.text == "to finish"]


def test_section_name_stands_clear_of_the_bracket_below_it() -> None:
    marks = drawn(tuple(replace(bar, section="gypsy" if bar.bracket else "") for bar in endings()))
    name = ink_box(text(marks, "gypsy"))
    assert name
    assert name.bottom < level(marks)[0].y1 - MEDIUM / 2  # its g, y and p


def test_section_name_under_a_bracket_stands_after_its_number() -> None:
    sections = [{"name": "A", "chords": "I7:2"}, {"name": "Turn", "chords": "I7:2"}]
    bars = line(
        number=1,
        sections=sections,
        choruses=3,
        ending="hit",
        key_cycle="fourths",
        turnaround="V7 IV7",
    )
    marks = drawn(bars)
    number, name = text(marks, "1.–2."), text(marks, "Turn")
    end = number.x + text_width(number.text, number.size)
    assert name.x - end == pytest.approx(2.5)
    assert name.y == number.y


@pytest.mark.parametrize(("choruses", "words"), [(2, "twice"), (3, "3 times")])
def test_repeat_says_how_often_at_its_end(choruses: int, words: str) -> None:
    marks = drawn(line("I7 IV7 I7 V7", choruses=choruses))
    said = text(marks, words)
    assert (said.x, said.anchor) == (pytest.approx(LEFT + WIDTH), "end")


def test_words_at_a_repeat_keep_clear_of_the_label_after_them() -> None:
    marks = drawn(line("I7 IV7", choruses=3, ending="hit"))
    times, finish = text(marks, "3 times"), text(marks, "to finish")
    assert times.x == pytest.approx(LEFT + 2 * BAR - 2.5)
    assert finish.x == pytest.approx(LEFT + 2 * BAR)
    assert times.y == finish.y


def test_section_name_is_larger_than_other_words_and_begins_at_its_bar() -> None:
    sections = [{"name": "Verse", "chords": "I7 IV7 I7 V7"}, {"name": "B", "chords": "I7:4"}]
    name = text(drawn(line(sections=sections)), "Verse")
    assert (name.x, name.face) == (LEFT, "bold")
    assert name.size == pytest.approx(14 * 1.25)


def test_section_name_is_cut_before_what_stands_at_its_right() -> None:
    long = "A very long way round to the bridge over the river and home"
    sections = [{"name": long, "chords": "I7"}]
    marks = drawn(line(sections=sections, choruses=3))
    (name,) = [m for m in marks if isinstance(m, Text) and m.text.endswith("…")]
    times = text(marks, "3 times")
    end = times.x - text_width(times.text, times.size, times.face) - 2.5
    width = text_width(name.text, name.size, name.face)
    assert width <= end - name.x < width + 8
    sections = [{"name": long, "chords": "I7"}, {"name": "B", "chords": "I7:3"}]
    made = write_chart(form(sections=sections, choruses=1, ending="loop")).bars
    marks = drawn(made)
    (name,) = [m for m in marks if isinstance(m, Text) and m.text.endswith("…")]
    width = text_width(name.text, name.size, name.face)
    assert width <= BAR - 2.5 < width + 8


def test_section_name_runs_on_over_bars_without_labels() -> None:
    name = "A very long way round to the bridge"
    marks = drawn(line(sections=[{"name": name, "chords": "I7 IV7 I7 V7"}]))
    assert text_width(name, text(marks, name).size, "bold") > BAR


def test_bar_to_finish_has_one_stroke_and_a_fermata_where_it_is_held() -> None:
    for ending in ("hit", "ring"):
        bars = line("I7:4", 1, choruses=1, ending=ending)
        marks = drawn(bars)
        assert len(strokes(marks)) == 1
        signs = [mark for mark in marks if isinstance(mark, Glyph)]
        assert [sign.name for sign in signs] == (["fermata"] if ending == "ring" else [])
        for sign in signs:
            root, figure = text(marks, "C"), text(marks, "7")
            end = figure.x + text_width("7", figure.size, "bold")
            assert end + 2 < sign.x < end + 5
            assert root.y - sign.y == pytest.approx(2)
            assert sign.space == pytest.approx(2)


@pytest.mark.parametrize("numerals", [False, True])
def test_height_of_a_line_holds_all_its_ink(numerals: bool) -> None:
    measures = replace(PLAIN, numerals=numerals)
    sections = [{"name": "Ågy", "chords": "I7 IV7 I7 V7"}]
    for bars in (endings(), line(sections=sections), line("I7 IV7 I7 V7")):
        boxes = [box for mark in drawn(bars, measures) if (box := ink_box(mark))]
        height = line_height(bars, measures)
        assert FOOT - height < min(box.top for box in boxes)
        assert max(box.bottom for box in boxes) <= FOOT + THICK / 2  # the ends of bar lines
        assert line_height(bars, replace(measures, air=3.0)) == pytest.approx(height + 3)


def test_line_is_higher_for_labels_and_for_numerals_and_for_nothing_else() -> None:
    plain, other = line("I7 IV7 I7 V7"), line("IV7 I7 V7 I7")
    assert line_height(plain, PLAIN) == line_height(other, PLAIN) == pytest.approx(20.6)
    numerals = replace(PLAIN, numerals=True)
    assert line_height(plain, numerals) == pytest.approx(20.6 + 14 * 25.4 / 72 + 1.2)
    heights = [
        line_height((replace(plain[0], **label), *plain[1:]), PLAIN)
        for label in (
            {"section": "A"}, {"bracket": "1."}, {"times": 2}, {"finish": True},
            {"in_bracket": True},
        )
    ]  # fmt: skip
    assert heights == pytest.approx([20.6 + 1.04 * 1.25 * 14 * 25.4 / 72 + 1.4 * 1.4] * 5)


def test_numerals_stand_under_their_chords_above_the_foot() -> None:
    marks = drawn(line("I7 IV7 I7 V7 I7:4"), replace(PLAIN, numerals=True))
    numeral, root = text(marks, "IV7"), text(marks, "F")
    assert numeral.x == root.x
    assert numeral.size == 14
    stroke = max(y for _, y in strokes(marks)[0].points)
    box = ink_box(numeral)
    assert box
    assert stroke < box.top
    assert box.bottom <= FOOT


@pytest.mark.parametrize(("size", "small"), [(33.0, 14.0), (24.0, 12.0), (12.0, 9.0)])
def test_words_are_half_as_large_as_the_chords_between_two_limits(
    size: float, small: float
) -> None:
    assert replace(PLAIN, size=size).small == small


CROWDED = "I13b9#11/3:1/4 Im7b5:1/4 V7#5#9:1/4 IVmaj7#11:1/4 I7 I7 I7"


def test_chords_of_a_line_that_is_a_little_crowded_shrink_in_bars_of_equal_width() -> None:
    bars = line("I7:1/4 IV7:1/4 V7:1/4 IV7:1/4 I7 I7 V7")
    size = even_size(bars, PLAIN)
    assert 0.62 * SIZE < size < SIZE
    assert bar_widths(bars, PLAIN) == pytest.approx([BAR] * 4)
    assert even_size(bars, replace(PLAIN, size=size)) == pytest.approx(size)
    assert even_size(bars, replace(PLAIN, size=size / 0.97)) < size / 0.97


def test_bars_of_a_crowded_line_are_as_wide_as_they_need() -> None:
    bars = line(CROWDED)
    assert even_size(bars, PLAIN) < 0.62 * SIZE
    widths = bar_widths(bars, PLAIN)
    assert widths[0] > 2 * BAR
    assert widths[1] < BAR
    assert sum(widths) == pytest.approx(WIDTH)


def test_chords_keep_their_size_until_neighbours_are_a_quarter_of_an_em_apart() -> None:
    bars = line("I7:1/4 IV7:1/4 V7:1/4 IV7:1/4 I7 I7 I7")[:1]
    widest = max(chord_width(placed.shown, SIZE) for placed in bars[0].chords)
    enough = 2.8 + 4 * (widest + 2.6)  # mm; an em is 10
    room = replace(PLAIN, across=1, width=enough + 0.01)
    assert even_size(bars, room) == SIZE
    assert even_size(bars, replace(room, width=enough - 0.01)) < SIZE


def test_held_chord_needs_room_for_its_fermata() -> None:
    bars = (line("I7:4", 1, choruses=1, ending="ring")[0],)
    struck = (replace(bars[0], rest="hit"),)
    narrow = replace(PLAIN, across=1, width=17.0)
    assert even_size(bars, narrow) < even_size(struck, narrow)


def test_words_stand_beside_the_name_of_a_section_where_the_measures_say_so() -> None:
    bars = line(chords="I7 IV7 I7 V7")
    named = (replace(bars[0], section="Verse", words=("guitar alone",)), *bars[1:])
    beside = replace(PLAIN, beside_names=True)
    plain = (replace(bars[0], section="Verse"), *bars[1:])
    assert line_height(named, beside) == line_height(plain, beside) < line_height(named, PLAIN)
    name, words = text(drawn(named, beside), "Verse"), text(drawn(named, beside), "guitar alone")
    assert words.y == name.y
    assert words.x > name.x + text_width("Verse", name.size, "bold")
    full = (replace(named[0], section="A very long way round to the bridge and back"), *bars[1:])
    assert line_height(full, beside) == line_height(full, PLAIN)


def test_bar_that_goes_on_in_the_next_line_has_no_bar_line_there() -> None:
    (bar, *_) = line(chords="I7 IV7 I7 V7")
    assert [m.x1 for m in upright(drawn((replace(bar, continues=True),)))] == [LEFT]
    assert [m.x1 for m in upright(drawn((replace(bar, continued=True),)))] == [LEFT + BAR]
