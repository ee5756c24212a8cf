"""Pattern files are read into typed patterns; each is whole, can be played, and says what its name
promises."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from copy import deepcopy
from dataclasses import replace
from typing import Any

import pytest

from groove import library
from groove.form.build import FormError
from groove.rhythm.box_notation import STROKE, Cell, Stroke
from groove.rhythm.kit import FOOT, HAND, KIT
from groove.rhythm.patterns import (
    READERS,
    Controllers,
    DrumPattern,
    Lift,
    Pattern,
    PatternError,
    bass_pattern,
    comping_pattern,
    drum_pattern,
)
from tests.band.band_material import all_patterns, form_of
from tests.cases import in_turn

EVERY = [
    pytest.param(kind, p, id=f"{kind}/{p.name}")
    for kind in ("drums", "bass", "comping")
    for p in all_patterns(kind)
]
DRUMS = [pytest.param(p, id=p.name) for p in all_patterns("drums")]
NOT_ROWS = ("level", "beats", "adds")

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
    fills = content["fills"] if kind == "drums" else []
    return [*content["bars"], *fills, *ending]


Change = Callable[[dict[str, Any]], object]
"""Makes a faulty file of a good one, by changing what it holds."""


def put(*path: str | int, value: Any) -> Change:
    """Sets the value at the end of a path of keys."""

    def change(content: Any) -> None:
        for key in path[:-1]:
            content = content[key]
        content[path[-1]] = value

    return change


def drop(*path: str | int) -> Change:
    def change(content: Any) -> None:
        for key in path[:-1]:
            content = content[key]
        del content[path[-1]]

    return change


FAULTS: list[tuple[str, str, Change, str]] = [
    ("drums", "rumba", put("tempoo", value=3), "tempoo: unknown key"),
    ("drums", "rumba", put("instrument", value="drawbar organ"), "instrument: unknown key"),
    ("drums", "rumba", put("mix", "gain", value=1), "mix: gain: unknown key"),
    ("drums", "jump", put("lift", "verse", value="crash"), "lift: verse: unknown key"),
    ("drums", "rumba", put("bars", 2, "spoons", value="x" * 16), "bars 3: row 'spoons'"),
    ("drums", "rumba", put("fills", 0, "level", value=1), "fills 1: level: found 1, str"),
    ("drums", "rumba", drop("family"), "family: missing"),
    ("drums", "rumba", put("family", value="polka"), "family: found 'polka'; rock, soul"),
    ("drums", "rumba", drop("pickup"), "pickup: missing"),
    ("drums", "rumba", drop("mix", "pan"), "mix: pan: missing"),
    ("drums", "rumba", drop("bars", 0, "level"), "bars 1: level: missing"),
    ("drums", "rumba", put("title", value=7), "title: found 7, str"),
    ("drums", "rumba", put("grid", value=16.0), "grid: found 16.0, int"),
    ("drums", "rumba", put("grid", value=True), "grid: found True, int"),
    ("drums", "rumba", put("grid", value=15), "grid: 15 lines do not divide a bar of 4/4"),
    ("drums", "rumba", put("grid", value=0), "grid: 0 lines"),
    ("drums", "rumba", put("grid", value=2), "grid: 2 lines"),
    ("drums", "rumba", put("meter", value="11/8"), "meter: there are: 4/4, 3/4"),
    ("drums", "rumba", put("feel", value="bouncy"), "feel: found 'bouncy'; straight, shuffle"),
    ("drums", "rumba", put("tempo", value=[150, 84]), "tempo: found [150, 84]"),
    ("drums", "rumba", put("tempo", value=[84, 84]), "tempo: found [84, 84]"),
    ("drums", "rumba", put("tempo", value=[84]), "tempo: found [84]"),
    ("drums", "rumba", put("tempo", value=[84, 150.5]), "tempo: found [84, 150.5]"),
    ("drums", "rumba", put("tempo", value=84), "tempo: found 84, list"),
    ("drums", "rumba", put("bass", value="tumbaoo"), "bass: found 'tumbaoo'"),
    ("drums", "rumba", put("comping", value="tumbao"), "comping: found 'tumbao'"),
    ("drums", "rumba", put("keeps", value=["rim"]), "keeps: found ['rim']"),
    ("drums", "rumba", put("click", value="gong"), "click: found 'gong'"),
    ("drums", "rumba", put("ends", value="loop"), "ends: found 'loop'; hit, ring"),
    ("drums", "rumba", put("kit", value="tin"), "kit: found 'tin'; standard, room, power"),
    ("drums", "rumba", put("percussion", value=["spoons"]), "percussion: found ['spoons']; claves"),
    ("drums", "rumba", put("bars", 0, "hat", value="f" * 16), "bars 1: row 'hat', grid line 1"),
    ("drums", "rumba", put("swings", value=12), "swings: found 12; 8, 16"),
    ("drums", "rumba", put("mix", "volume", value=128), "mix: volume: found 128; 0 to 127"),
    ("drums", "rumba", put("mix", "pan", value=-1), "mix: pan: found -1; 0 to 127"),
    ("drums", "jump", put("lift", "weight", value=1.5), "lift: weight: found 1.5; 0 to 1"),
    ("drums", "jump", put("lift", "phrase", value="gong"), "lift: phrase: found 'gong'"),
    ("drums", "rumba", put("bars", 0, "level", value=4), "bars 1: level: found 4; 1 to 3"),
    ("drums", "rumba", put("bars", 0, "level", value=0), "bars 1: level: found 0; 1 to 3"),
    ("drums", "rumba", put("bars", value=[]), "bars: [[bars]] tables are needed"),
    ("drums", "rumba", put("bars", 0, value={"level": 1, "kick": "x" * 17}), "bars 1: 17 lines"),
    ("drums", "rumba", put("fills", value="x..x"), "fills: found 'x..x', list"),
    ("drums", "rumba", put("fills", 0, "beats", value=2), "fills 1: 4 lines in a row, 8"),
    ("drums", "rumba", put("fills", 0, "beats", value=5), "fills 1: beats: found 5; 0.5 to 4"),
    ("drums", "rumba", put("pickup", "timbale-high", value="XxxxX"), "pickup: 5 lines"),
    ("drums", "rumba", put("ending", value={"kick": "X..."}), "ending: 4 lines in a row, 16"),
    ("bass", "tumbao", put("range", value="low"), "range: found 'low', list"),
    ("bass", "tumbao", put("instrument", value="kazoo"), "instrument: found 'kazoo'"),
    ("bass", "tumbao", put("held", value=1.2), "held: found 1.2"),
    ("bass", "tumbao", put("voicing", value="keys"), "voicing: unknown key"),
    ("bass", "tumbao", put("bars", 0, "line", value="1 0"), "bars 1: row 'line', grid line 2"),
    ("comping", "montuno-piano", put("voicing", value="harp"), "voicing: found 'harp'"),
    ("comping", "montuno-piano", put("voices", value=7), "voices: found 7; 1 to 6"),
    ("comping", "montuno-piano", put("colours", value=1), "colours: found 1, bool"),
    ("comping", "montuno-piano", put("pushes", value="yes"), "pushes: found 'yes', bool"),
    ("comping", "montuno-piano", put("register", value=[71, 52]), "register: found [71, 52]"),
    ("comping", "montuno-piano", drop("colours"), "colours: missing"),
    ("percussion", "shaker", put("fills", value="stop"), "fills: found 'stop'; rest, light, keep"),
    ("percussion", "shaker", put("ending", value="gong"), "ending: found 'gong'"),
    ("percussion", "shaker", put("weight", value=2), "weight: found 2; 0.1 to 1.2"),
    ("percussion", "shaker", drop("rhythms"), "rhythms: missing"),
    ("percussion", "shaker", put("rhythms", 1, "grid", value=7), "rhythms 2: grid: 7 lines do not"),
    ("percussion", "shaker", put("rhythms", 3, "also", value=["6/3"]), "rhythms 4: also: found"),
    ("percussion", "shaker", put("rhythms", 0, "tempo", value=9), "rhythms 1: tempo: unknown key"),
]


@pytest.mark.parametrize(("kind", "like", "change", "told"), FAULTS, ids=[f[3] for f in FAULTS])
def test_a_faulty_file_is_refused_with_its_name_and_the_key(
    kind: str, like: str, change: Change, told: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = deepcopy(library.load(kind, like))
    change(content)
    monkeypatch.setattr(library, "load", lambda *_: content)
    with pytest.raises(PatternError, match="toml") as error:
        READERS[kind]("faulty")
    assert str(error.value).startswith(f"patterns/{kind}/faulty.toml: {told}")


def test_what_a_file_leaves_out_is_usual() -> None:
    """Sixteenths swing on a grid of sixteenths, eighths on a coarser one (common practice)."""
    rumba, swing = drum_pattern("rumba"), drum_pattern("fast-swing")
    assert (rumba.ends, rumba.lift.phrase, rumba.lift.weight) == ("hit", "", STROKE)
    assert (rumba.swings, rumba.swing_ticks) == (16, 480)
    assert (swing.swings, swing.swing_ticks) == (8, 960)
    assert drum_pattern("one-drop").click == "side-stick"
    assert drum_pattern("one-drop").keeps == ()
    assert comping_pattern("strum-guitar").octave is False


def test_a_file_says_what_is_not_usual() -> None:
    rock = drum_pattern("eighths-rock")
    assert (rock.grid.lines, rock.swings, rock.swing_ticks) == (16, 8, 960)
    assert drum_pattern("slow-ballad").ends == "ring"
    assert drum_pattern("jump").lift == Lift("crash", "bell", "", 0.56)
    assert drum_pattern("rumba").keeps == ("side-stick", "kick", "hat-foot")
    assert comping_pattern("montuno-piano").octave
    assert bass_pattern("tumbao").held == 0.93
    assert drum_pattern("rumba").mix == Controllers(114, 64, 30)


def test_the_cells_for_a_level_are_its_own_or_those_of_the_nearest() -> None:
    one, two, three = (Cell(level, 4, ()) for level in (1, 2, 3))
    p = replace(drum_pattern("rumba"), cells=(one, three))
    assert p.cells_at(1) == (one,)
    assert p.cells_at(2) == (one,)  # of two as near the calmer
    assert p.cells_at(3) == (three,)
    assert replace(p, cells=(one, two)).cells_at(3) == (two,)


def test_a_tumbao_is_tied_and_a_walking_line_is_not() -> None:
    """A tumbao holds its four over the bar line (common practice)."""
    assert bass_pattern("tumbao").is_tied
    assert not bass_pattern("walking").is_tied


def test_the_usual_length_of_a_stroke_is_the_middle_one_of_all() -> None:
    strokes = tuple(Stroke(0, lines, "chord", "x") for lines in (4, 1, 16, 2, 1))
    p = replace(comping_pattern("one-drop-guitar"), cells=(Cell(1, 16, strokes),))
    assert p.usual_length == 2 * 240  # of 1 1 2 4 16 sixteenths


@in_turn(("kind", "p"), EVERY)
def test_the_rows_of_a_cell_have_one_length(kind: str, p: Pattern) -> None:
    for table in tables(kind, p):
        assert len({len(marks) for marks in rows(table).values()}) == 1, table


@in_turn(("kind", "p"), EVERY)
def test_a_cell_fills_a_bar_or_two(kind: str, p: Pattern) -> None:
    for table in library.load(kind, p.name)["bars"]:
        assert {len(marks) for marks in rows(table).values()} <= {p.grid.lines, 2 * p.grid.lines}


@in_turn(("kind", "p"), EVERY)
def test_there_are_cells_for_all_three_levels(kind: str, p: Pattern) -> None:
    assert {cell.level for cell in p.cells} == {1, 2, 3}


@in_turn("p", DRUMS)
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


@in_turn("p", DRUMS)
def test_each_foot_has_its_own_pedal(p: DrumPattern) -> None:
    feet = {row for table in tables("drums", p) for row in rows(table) if KIT[row].limb == FOOT}
    assert feet <= {"kick", "hat-foot"}


@in_turn("p", DRUMS)
def test_there_are_fills_of_one_beat_of_two_and_of_a_bar(p: DrumPattern) -> None:
    lines = {fill.lines for fill in p.fills}
    assert {p.grid.lines_per_beat, 2 * p.grid.lines_per_beat, p.grid.lines} <= lines


@in_turn("p", DRUMS)
def test_a_fill_differs_from_the_groove_where_it_stands(p: DrumPattern) -> None:
    for fill in p.fills:
        if fill.adds:
            continue  # to some cells it adds nothing: the drummer then takes another
        from_line = p.grid.lines - fill.lines
        strokes = {(s.line + from_line, s.row) for s in fill.strokes}
        for cell in p.cells:
            for bar in range(0, cell.lines, p.grid.lines):
                end = {(s.line - bar, s.row) for s in cell.strokes if s.line >= bar + from_line}
                assert not strokes <= end, (fill, cell)


@in_turn("p", DRUMS)
def test_the_players_it_asks_for_can_play_with_it(p: DrumPattern) -> None:
    form = form_of(drums=p.name)
    assert (form.bass.name, form.comping[0].name) == (p.bass, p.comping)


@in_turn("p", [p for p in DRUMS if p.values[0].clave])
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
        assert "".join(written[row]).lower() in (clave, 2 * clave), table


@pytest.mark.parametrize("name", ["one-drop-guitar", "one-drop-organ"])
def test_the_skank_stands_on_the_off_beats(name: str) -> None:
    """On every "and"; kick and rim have two and four to themselves (common practice)."""
    p = comping_pattern(name)
    beats, ands = {0, 4, 8, 12}, {2, 6, 10, 14}
    for cell in p.cells:
        assert ands <= {s.line for s in cell.strokes if s.row == "chord" and s.mark != "o"}
        assert not beats & {s.line for s in cell.strokes}


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
