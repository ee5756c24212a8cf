"""The percussion beside the drummer: who plays, when, and never on a piece that he strikes."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise, product
from random import Random
from typing import Any

import mido
import pytest

from groove.band.drummer import play_drums
from groove.band.part import GridNote, Part
from groove.band.percussionist import play_percussion
from groove.band.plan.planner import planned
from groove.band.take import play, record
from groove.form.build import Layer, build
from groove.form.chart import Bar, Chart
from groove.form.unroll import unroll
from groove.rhythm.kit import KIT
from groove.rhythm.patterns import drum_pattern, percussion_pattern
from groove.sound.midi import midi_file
from tests.band.band_material import some, take_of

ALL = ("shaker", "tambourine", "congas", "claves", "guiro", "pandeiro", "triangle")
FOUR = "congas, pandeiro, claves, tambourine"
BLUES = "I7:4 IV7:2 I7:2 V7 IV7 I7:2"
APART = 960 // 3  # ticks


def chart_of(percussion: str, **fields: Any) -> Chart:
    given = {"key": "C", "percussion": percussion} | fields
    if "sections" not in given:
        given |= {"chords": BLUES}
    return unroll(build([Layer(given, lambda field: field)]))


def drums_of(chart: Chart) -> Part:
    return play_drums(planned(chart), Random("drums"))


def percussion_of(chart: Chart) -> Part:
    return play_percussion(planned(chart), drums_of(chart), Random("percussion"))


def during(notes: tuple[GridNote, ...], bar: Bar) -> list[GridNote]:
    return [note for note in notes if bar.start <= note.start < bar.end]


def order(*lines: Any) -> dict[str, Any]:
    """A form of one section `A`, of four bars, that these lines play."""
    return {"sections": [{"name": "A", "chords": "I | IV | V | I |"}], "order": list(lines)}


@pytest.mark.parametrize(
    ("drums", "percussion"),
    list(product(some("drums"), (FOUR, "guiro, shaker"))),
)
def test_no_piece_is_struck_by_two_at_nearly_the_same_time(drums: str, percussion: str) -> None:
    chart = chart_of(percussion, drums=drums, choruses=2)
    strokes = defaultdict(list)
    for part in (drums_of(chart), percussion_of(chart)):
        for note in part.notes:
            strokes[note.pitch].append((note.start, note.length, part.name))
    for struck in strokes.values():
        for (start, length, one), (after, _, other) in pairwise(sorted(struck)):
            assert one == other or after - start >= min(APART, length)


@pytest.mark.parametrize("drums", ["bembe", "son-montuno", "bolero", "cha-cha"])
def test_as_played_no_piece_sounds_twice_at_once(drums: str) -> None:
    """These drums strike congas and bongos themselves."""
    chart = chart_of("congas, pandeiro", drums=drums, choruses=6)
    sounding = defaultdict(list)
    for part in take_of(chart).parts:
        if part.name in ("drums", "percussion"):
            for note in part.notes:
                sounding[note.pitch].append((note.start, note.start + note.length))
    for stretches in sounding.values():
        assert all(end <= start for (_, end), (start, _) in pairwise(sorted(stretches)))


@pytest.mark.parametrize("name", ALL)
def test_each_instrument_is_heard_in_every_bar_but_a_filled_one(name: str) -> None:
    chart = chart_of(name, choruses=3)
    notes = percussion_of(chart).notes
    assert all(during(notes, bar) for bar in chart.bars if not bar.turn)


def test_percussion_leaves_the_other_players_as_they_are() -> None:
    without = play(
        planned(unroll(build([Layer({"key": "C", "chords": BLUES}, lambda field: field)])))
    )
    assert play(planned(chart_of("shaker, congas")))[:3] == without


def test_one_more_instrument_leaves_those_before_it_as_they_are() -> None:
    shaker, both = (percussion_of(chart_of(names)) for names in ("shaker", "shaker, congas"))
    assert [note for note in both.notes if note.row == "maracas"] == list(shaker.notes)


def test_the_conga_player_goes_on_under_a_fill_and_the_shaker_leaves_its_ghost_notes() -> None:
    chart = chart_of("congas, shaker", choruses=3, intensity="3")
    fills = drums_of(chart).fills
    under = [
        note
        for note in percussion_of(chart).notes
        for start, end in fills
        if start <= note.start < end
    ]
    assert {note.row for note in under} > {"maracas"}
    assert min(note.weight for note in under if note.row == "maracas") > 0.3


@pytest.mark.parametrize("name", ["son-montuno", "mambo", "songo", "bossa", "rumba"])
def test_the_claves_strike_with_the_clave_on_the_rim(name: str) -> None:
    chart = chart_of("claves", drums=name, choruses=3, tempo=sum(drum_pattern(name).tempo) // 2)
    road = chart.bars[0].start, next(bar.start for bar in chart.bars if not bar.number)
    rim, claves = (
        {n.start for n in part.notes if n.row in rows and road[0] <= n.start < road[1]}
        for part, rows in (
            (drums_of(chart), ("side-stick",)), (percussion_of(chart), ("claves",)),
        )
    )  # fmt: skip
    assert claves == rim


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("ending", ["hit", "ring"])
def test_the_ending_is_one_stroke_that_rings_where_the_track_does(name: str, ending: str) -> None:
    chart = chart_of(name, ending=ending)
    (last,) = during(percussion_of(chart).notes, chart.bars[-1])
    assert last.start == chart.bars[-1].start
    assert last.length == (3840 if ending == "ring" else 480)


def test_who_is_named_in_a_line_plays_in_that_line_alone() -> None:
    chart = chart_of(
        "shaker", **order("A", {"play": "A", "percussion": "congas"}, {"play": "A"}), ending="loop"
    )
    notes = percussion_of(chart).notes
    rows = [
        {note.row for bar in chart.bars[first : first + 4] for note in during(notes, bar)}
        for first in (0, 4, 8)
    ]
    assert rows[0] == rows[2] == {"maracas"}
    assert rows[1] <= {"conga-mute", "conga-high", "conga-low"}


@pytest.mark.parametrize(
    "line", [{"play": "A", "tacet": "percussion"}, {"play": "A, A", "trade": 4}]
)
def test_percussion_is_silent_where_it_is_out_and_where_the_drums_trade(line: Any) -> None:
    chart = chart_of("shaker", **order("A", line), ending="written", tightness=1.0)
    (played,) = (part for part in take_of(chart).parts if part.name == "percussion")
    silent = [bar for bar in chart.bars if bar.drums_alone or "percussion" in bar.out]
    assert len(silent) == 4
    assert not any(bar.start <= note.start < bar.end for bar in silent for note in played.notes)


def test_a_stop_has_its_strokes_and_nothing_between_them() -> None:
    line = {"play": "A", "stops": {"1-4": "X..."}}
    chart = chart_of("shaker, triangle", **order(line), ending="written")
    notes = percussion_of(chart).notes
    assert {note.start for note in notes} == {bar.start for bar in chart.bars}
    assert {note.pitch for note in notes} == {KIT["maracas"].note, KIT["triangle"].note}


def test_kicks_are_struck_within_time() -> None:
    line = {"play": "A", "kicks": {"2": "x..x ..x."}}
    chart = chart_of("shaker", **order(line), ending="written")
    notes = during(percussion_of(chart).notes, chart.bars[1])
    assert {0, 1440, 2880} <= {note.start - chart.bars[1].start for note in notes}
    assert len(notes) > 3


def test_the_track_shares_the_drums_channel_and_its_controllers() -> None:
    chart = chart_of("shaker, tambourine")
    tracks = {track.name: track for track in midi_file(take_of(chart)).tracks}

    def settings(track: mido.MidiTrack) -> list[tuple[int, int, int]]:
        return [(m.channel, m.control, m.value) for m in track if m.type == "control_change"]

    assert settings(tracks["percussion"]) == settings(tracks["drums"]) != []


def test_at_tightness_one_every_stroke_is_on_the_grid() -> None:
    chart = chart_of("shaker, congas", tightness=1.0)
    parts = play(planned(chart))
    played = {part.name: part for part in record(planned(chart), parts).parts}["percussion"]
    assert [n.start for n in played.notes] == [n.start for n in parts[3].notes]


def test_a_drum_pattern_brings_its_percussion_unless_the_form_says_otherwise() -> None:
    def playing(**fields: Any) -> set[tuple[str, ...]]:
        form = build([Layer({"chords": BLUES, "key": "C"} | fields, lambda field: field)])
        return {bar.setting.percussion for bar in unroll(form).bars}

    assert playing(drums="samba") == {("pandeiro",)}
    assert playing(drums="samba", percussion="none") == {()}
    assert playing(drums="samba", percussion="claves") == {("claves",)}
    assert playing(drums="eighths-rock") == {()}


def test_a_section_with_another_drum_pattern_has_that_ones_percussion() -> None:
    sections = [
        {"name": "A", "chords": "I | IV | V | I |"},
        {"name": "B", "chords": "I | IV | V | I |", "drums": "mambo"},
    ]
    for percussion, second in (({}, ("congas",)), ({"percussion": "none"}, ())):
        values = {"key": "C", "sections": sections, "drums": "eighths-rock"} | percussion
        chart = unroll(build([Layer(values, lambda field: field)]))
        assert chart.bars[0].setting.percussion == ()
        assert chart.bars[4].setting.percussion == second


def test_the_drummer_leaves_the_congas_to_who_plays_them() -> None:
    congas = {"conga-mute", "conga-high", "conga-low"}
    for percussion, both in (("congas", False), ("guiro", True)):
        rows = {note.row for note in drums_of(chart_of(percussion, drums="cha-cha")).notes}
        assert bool(rows & congas) == both


def test_the_conga_player_ends_some_phrases_where_the_drummer_does_not() -> None:
    """With a written turn, on its own grid, and never under a fill."""
    chart = chart_of("congas", drums="rumba", choruses=10)
    part, fills = percussion_of(chart), drums_of(chart).fills
    filled = {end for _, end in fills}
    instrument = percussion_pattern("congas")
    rhythm = next(r for r in instrument.rhythms if r.grid.lines == 16)
    line = rhythm.grid.line_ticks
    found = 0
    for bar in (bar for bar in chart.bars if bar.turn and bar.number):
        looks = []
        for turn in rhythm.turns:
            start = bar.end - turn.lines * line
            struck = {(n.start - start, n.row) for n in part.notes if start <= n.start < bar.end}
            looks.append(struck == {(s.line * line, s.row) for s in turn.strokes})
        assert not (any(looks) and bar.end in filled)
        found += any(looks)
    assert found >= 3
