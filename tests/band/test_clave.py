"""Patterns with a clave: the file states it, and it never breaks, not in a fill, not at the top
of a chorus, not in a form with an odd number of bars."""

from __future__ import annotations

from collections import Counter
from functools import cache
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove import library
from groove.band.drummer import play_drums
from groove.band.part import GridNote, Part
from groove.band.plan.planner import planned
from groove.form.build import Layer, build
from groove.form.chart import Bar, Chart
from groove.form.unroll import unroll
from groove.rhythm.kit import HAND, KIT
from groove.rhythm.patterns import drum_pattern
from tests.band.band_material import GOING_ON
from tests.examples import examples

# Toussaint, The Geometry of Musical Rhythm, 2013 (from memory).
THREE_TWO = {
    "son": "x..x..x...x.x...",
    "rumba": "x..x...x..x.x...",
    "bossa": "x..x..x...x..x..",
}
RULED = {  # the file and the clave it is played to
    "rumba": "2-3 son",
    "son-montuno": "3-2 son",
    "mambo": "2-3 son",
    "songo": "2-3 rumba",
    "bossa": "bossa",
    "salsa": "3-2 son",
}
TIMELINE_KEPT = {"bembe": ("cowbell", "x.x.xx.x.x.x")}  # the same book (from memory)
LATIN = (
    *RULED, "bembe", "cha-cha", "bolero", "samba", "baiao", "calypso", "second-line", "bachata",
    "merengue", "cumbia", "partido-alto", "afro-cuban-jazz", "afrobeats", "dembow",
)  # fmt: skip
FEW_CHORDS = ("I7", "IV7", "V7", "ii7", "bVI7")

Marks = dict[str, str]


def box(clave: str) -> str:
    """The sixteen boxes of a clave; two-three has the halves of three-two the other way round
    (common practice)."""
    order, _, kind = clave.rpartition(" ")
    whole = THREE_TWO[kind]
    return whole[8:] + whole[:8] if order == "2-3" else whole


def rows(table: dict[str, Any]) -> Marks:
    """The rows of a cell as written, read here without the program."""
    return {
        row: text.replace(" ", "").replace("|", "")
        for row, text in table.items()
        if row not in ("level", "beats", "adds")
    }


def tables(name: str, part: str) -> list[Marks]:
    return [rows(table) for table in library.load("drums", name)[part]]


def kept(name: str) -> list[str]:
    return list(library.load("drums", name)["keeps"])


def unbroken(name: str) -> tuple[str, str]:
    """The row that never breaks in a pattern, and its boxes."""
    return ("side-stick", box(RULED[name])) if name in RULED else TIMELINE_KEPT[name]


@st.composite
def charts(draw: st.DrawFn, name: str) -> Chart:
    """A form at random for a drum pattern: sections of any number of bars, odd ones too."""
    meter = library.load("drums", name).get("meter", "4/4")
    sections = [
        {
            "name": f"part {number}",
            "chords": " ".join(
                draw(st.lists(st.sampled_from(FEW_CHORDS), min_size=1, max_size=13))
            ),
        }
        for number in range(draw(st.integers(1, 3)))
    ]
    fields = {
        "sections": sections,
        "key": "C",
        "drums": name,
        "meter": meter,
        "choruses": draw(st.integers(1, 4)),
        "count_in": draw(st.integers(0, 2)),
        "ending": draw(st.sampled_from(GOING_ON)),
        "seed": draw(st.integers(0, 9999)),
    }
    return unroll(build([Layer(fields, lambda field: field)]))


def drums_of(chart: Chart) -> Part:
    return play_drums(planned(chart), Random(f"{chart.form.seed} drums"))


def played_bars(chart: Chart) -> list[Bar]:
    return [bar for bar in chart.bars if bar.number]


def lines_struck(part: Part, bar: Bar, row: str) -> str:
    """A row of a bar as it was played, in box notation."""
    line = bar.drums.grid.line_ticks
    struck = {(n.start - bar.start) // line for n in part.notes if in_bar(n, bar) and n.row == row}
    return "".join("x" if line in struck else "." for line in range(bar.drums.grid.lines))


def in_bar(note: GridNote, bar: Bar) -> bool:
    return bar.start <= note.start < bar.end


@cache
def halves(name: str, row: str, second: bool) -> frozenset[str]:
    """The choices for a row in a first or second bar: one bar of one of its cells."""
    lines = library.load("drums", name)["grid"]
    found = set()
    for marks in tables(name, "bars"):
        length = len(next(iter(marks.values())))
        text = marks.get(row, "." * length).lower().replace("o", "x")
        found.add(text[lines:] if second and length > lines else text[:lines])
    return frozenset(found)


@pytest.mark.parametrize(("name", "clave"), RULED.items())
def test_the_file_states_the_clave_that_rules_it(name: str, clave: str) -> None:
    assert library.load("drums", name)["clave"] == clave


@pytest.mark.parametrize("name", [*RULED, *TIMELINE_KEPT])
def test_every_cell_holds_the_whole_clave(name: str) -> None:
    """Once, or twice where the clave is as long as a bar and the cell has two."""
    row, boxes = unbroken(name)
    whole = {boxes, 2 * boxes} if len(boxes) == library.load("drums", name)["grid"] else {boxes}
    assert {marks[row].lower() for marks in tables(name, "bars")} <= whole


@pytest.mark.parametrize("name", [*RULED, *TIMELINE_KEPT])
@settings(max_examples=examples(30))
@given(data=st.data())
def test_the_clave_is_unbroken_from_the_first_bar_to_the_last(
    name: str, data: st.DataObject
) -> None:
    chart = data.draw(charts(name))
    part = drums_of(chart)
    row, boxes = unbroken(name)
    bars = played_bars(chart)
    played = "".join(lines_struck(part, bar, row) for bar in bars)
    assert played == (boxes * len(bars))[: len(played)]


@pytest.mark.parametrize("name", [*RULED, *TIMELINE_KEPT])
def test_the_ending_strikes_nothing_against_the_clave(name: str) -> None:
    """It may fall on either half, and the two-three clave rests where it is struck."""
    row, _ = unbroken(name)
    assert row not in library.load("drums", name)["ending"]


@pytest.mark.parametrize("name", LATIN)
@settings(max_examples=examples(10))
@given(data=st.data())
def test_what_is_kept_goes_on_through_the_fills(name: str, data: st.DataObject) -> None:
    """The kept rows of every bar are those of one of the pattern's cells, its own half."""
    chart = data.draw(charts(name))
    part = drums_of(chart)
    for index, bar in enumerate(played_bars(chart)):
        for row in kept(name):
            struck = lines_struck(part, bar, row)
            allowed = set(halves(name, row, index % 2 == 1))
            if row == "kick":
                allowed |= {"x" + text[1:] for text in allowed}  # it joins a crash
            if row == "hat-foot":  # on a beat it closes a hat that was open
                beat = bar.drums.grid.lines_per_beat
                added = {at for at, mark in enumerate(struck) if mark == "x" and at % beat == 0}
                allowed |= {
                    "".join("x" if at in added else mark for at, mark in enumerate(text))
                    for text in allowed
                }
            assert struck in allowed, (index, row)


@pytest.mark.parametrize("name", LATIN)
def test_no_fill_writes_what_is_kept(name: str) -> None:
    for marks in [*tables(name, "fills"), rows(library.load("drums", name)["pickup"])]:
        assert not set(marks) & set(kept(name))


@pytest.mark.parametrize("name", LATIN)
def test_a_fill_leaves_a_hand_for_what_is_kept(name: str) -> None:
    """In either bar of any cell: a drummer has two hands (common practice)."""
    lines = library.load("drums", name)["grid"]
    held = [row for row in kept(name) if KIT[row].limb == HAND]
    for cell in tables(name, "bars"):
        for fill in tables(name, "fills"):
            length = len(next(iter(fill.values())))
            for end in range(lines, len(next(iter(cell.values()))) + 1, lines):
                last = [cell[row][end - length : end] for row in held if row in cell]
                strokes = [*last, *fill.values()]
                hands = Counter(n for text in strokes for n, mark in enumerate(text) if mark != ".")
                assert max(hands.values()) <= 2, (cell, fill)


@pytest.mark.parametrize("name", LATIN)
def test_the_foot_leaves_the_hat_closed_under_the_hand(name: str) -> None:
    """A hat that the hand plays is held by the foot, which can't tap with it (common practice)."""
    for cell in tables(name, "bars"):
        assert not ({"hat", "hat-open"} & set(cell) and "hat-foot" in cell), cell


@pytest.mark.parametrize("name", LATIN)
def test_there_is_plenty_to_vary_between(name: str) -> None:
    content = library.load("drums", name)
    levels = Counter(table["level"] for table in content["bars"])
    assert set(levels) == {1, 2, 3}
    assert min(levels.values()) >= 3
    assert len(content["fills"]) >= 7


@pytest.mark.parametrize("name", LATIN)
def test_the_pickup_lasts_a_beat_and_leaves_a_hand_for_the_click(name: str) -> None:
    content = library.load("drums", name)
    marks = rows(content["pickup"])
    beat = content["grid"] // drum_pattern(name).grid.meter.beats
    assert {len(text) for text in marks.values()} == {beat}
    for line in range(beat):
        hands = sum(text[line] != "." and KIT[row].limb == HAND for row, text in marks.items())
        assert hands <= (1 if line == 0 else 2)
