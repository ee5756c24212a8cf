"""Every pattern file is whole, can be played, and says what its name promises."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from groove import library
from groove.form.build import FormError
from groove.rhythm.kit import FOOT, HAND, KIT
from groove.rhythm.patterns import READERS, DrumPattern, Pattern, drum_pattern
from tests.band.band_material import all_patterns, form_of

EVERY = [
    pytest.param(kind, p, id=f"{kind}/{p.name}") for kind in READERS for p in all_patterns(kind)
]
DRUMS = [pytest.param(p, id=p.name) for p in all_patterns("drums")]
NOT_ROWS = ("level", "beats")

# Box notation of the claves. Toussaint, The Geometry of Musical Rhythm, 2013 (from memory).
THREE_TWO = {
    "son": "x..x..x...x.x...",
    "rumba": "x..x...x..x.x...",
    "bossa": "x..x..x...x..x..",
}
CLAVE_ROWS = ("claves", "side-stick")


def rows(table: dict[str, Any]) -> dict[str, list[str]]:
    """The rows of a cell as written, read here again without the program."""
    written = {row: text.replace("|", " ") for row, text in table.items() if row not in NOT_ROWS}
    return {
        row: text.split() if row == "line" else list(text.replace(" ", ""))
        for row, text in written.items()
    }


def tables(kind: str, p: Pattern) -> list[dict[str, Any]]:
    """All cells of a pattern file as TOML has them: bars, fills and ending."""
    content = library.load(kind, p.name)
    ending = [content["ending"]] if "ending" in content else []
    return [*content["bars"], *content.get("fills", ()), *ending]


@pytest.mark.parametrize(("kind", "p"), EVERY)
def test_the_rows_of_a_cell_have_one_length(kind: str, p: Pattern) -> None:
    for table in tables(kind, p):
        assert len({len(marks) for marks in rows(table).values()}) == 1, table


@pytest.mark.parametrize(("kind", "p"), EVERY)
def test_a_cell_fills_a_bar_or_two(kind: str, p: Pattern) -> None:
    for table in library.load(kind, p.name)["bars"]:
        assert {len(marks) for marks in rows(table).values()} <= {p.grid.lines, 2 * p.grid.lines}


@pytest.mark.parametrize(("kind", "p"), EVERY)
def test_there_are_cells_for_all_three_levels(kind: str, p: Pattern) -> None:
    assert {cell.level for cell in p.cells} == {1, 2, 3}


@pytest.mark.parametrize("p", DRUMS)
def test_no_line_asks_for_three_hands(p: DrumPattern) -> None:
    """A drummer has two (common practice)."""
    for table in tables("drums", p):
        struck = Counter(
            line
            for row, marks in rows(table).items()
            if KIT[row].limb == HAND
            for line, mark in enumerate(marks)
            if mark != "."
        )
        assert max(struck.values(), default=0) <= 2, table


@pytest.mark.parametrize("p", DRUMS)
def test_each_foot_has_its_own_pedal(p: DrumPattern) -> None:
    feet = {row for table in tables("drums", p) for row in rows(table) if KIT[row].limb == FOOT}
    assert feet <= {"kick", "hat-foot"}


@pytest.mark.parametrize("p", DRUMS)
def test_there_are_fills_of_one_beat_of_two_and_of_a_bar(p: DrumPattern) -> None:
    beats = {fill.lines / p.grid.lines_per_beat for fill in p.fills}
    assert {1, 2, p.grid.meter.beats} <= beats


@pytest.mark.parametrize("p", DRUMS)
def test_a_fill_differs_from_the_groove_where_it_stands(p: DrumPattern) -> None:
    for fill in p.fills:
        from_line = p.grid.lines - fill.lines
        strokes = {(s.line + from_line, s.row) for s in fill.strokes}
        for cell in p.cells:
            for bar in range(0, cell.lines, p.grid.lines):
                end = {(s.line - bar, s.row) for s in cell.strokes if s.line >= bar + from_line}
                assert not strokes <= end, (fill, cell)


@pytest.mark.parametrize("p", DRUMS)
def test_the_players_it_asks_for_can_play_with_it(p: DrumPattern) -> None:
    form = form_of(drums=p.name)
    assert (form.bass.name, form.comping.name) == (p.bass, p.comping)


@pytest.mark.parametrize("p", [p for p in DRUMS if p.values[0].clave])
def test_the_clave_row_is_the_clave_it_names(p: DrumPattern) -> None:
    """2-3 is 3-2 with its halves changed about (common practice)."""
    named = p.clave
    order, _, kind = named.rpartition(" ")
    clave = THREE_TWO[kind]
    if order == "2-3":
        clave = clave[8:] + clave[:8]
    for table in library.load("drums", p.name)["bars"]:
        written = rows(table)
        row = next(row for row in CLAVE_ROWS if row in written)
        assert "".join(written[row]).lower() == clave, table


def test_a_pattern_in_triplets_refuses_to_be_straight() -> None:
    """A long and a short of two to one have no straight form on their own grid (rule 7)."""
    triplets = [p for p in all_patterns("drums") if p.grid.is_triplet]
    assert triplets
    for p in triplets:
        with pytest.raises(FormError, match="triplets"):
            form_of(drums=p.name, feel="straight")


@pytest.mark.parametrize("kind", ["bass", "comping"])
def test_a_player_in_triplets_refuses_a_straight_form(kind: str) -> None:
    triplets = [p for p in all_patterns(kind) if p.grid.is_triplet and p.grid.meter.beats == 4]
    assert triplets
    for p in triplets:
        with pytest.raises(FormError, match="triplets"):
            form_of(drums="eighths-rock", **{kind: p.name})


@pytest.mark.parametrize("drums", ["shuffle", "slow-blues"])
def test_a_pattern_is_read_from_its_file_as_it_stands(drums: str) -> None:
    p = drum_pattern(drums)
    for table, cell in zip(library.load("drums", drums)["bars"], p.cells, strict=True):
        written = {
            (line, row, mark)
            for row, marks in rows(table).items()
            for line, mark in enumerate(marks)
            if mark != "."
        }
        assert {(s.line, s.row, s.mark) for s in cell.strokes} == written
