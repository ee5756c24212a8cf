"""Guitar and keys together: who plays where, in which register, in which rhythm."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import pytest

from groove.band.part import GridNote, Part
from groove.band.plan.planner import planned
from groove.band.take import play
from groove.form.chart import Bar, Chart
from groove.form.unroll import unroll
from groove.track import compile_take
from tests.band.band_material import take_of
from tests.form.road_material import arranged, example

CHORDS = "| Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 C7 | F | Fm6 C |"
PAIRS = [
    ("eighths-rock", "strum-guitar, sustained-keys"),
    ("bossa", "bossa-guitar, cha-cha-piano"),
    ("shuffle", "shuffle-sixths, shuffle-organ"),
    ("medium-swing", "quarter-chops, charleston-piano"),
    ("sixteenth-funk", "funk-sixteenths, stabs-keys"),
    ("mambo", "samba-guitar, montuno-piano"),
]


def band(**form: Any) -> tuple[Chart, dict[str, Part]]:
    values = {"key": "C", "intensity": "1 2 3", "ending": "written"} | form
    chart = unroll(arranged(**values))
    return chart, {part.name: part for part in play(planned(chart))}


def duo(drums: str, comping: str) -> tuple[Chart, Part, Part]:
    section = {"name": "A", "chords": CHORDS}
    order = [{"play": "A", "times": 3}]
    chart, parts = band(sections=[section], order=order, drums=drums, comping=comping)
    return chart, parts["guitar"], parts["keys"]


def meeting(one: Sequence[GridNote], other: Sequence[GridNote]) -> float:
    """The share of the time in which both sound that their spans meet."""
    ticks = sorted({t for n in (*one, *other) for t in (n.start, n.start + n.length)})
    both = met = 0
    for start, end in pairwise(ticks):
        a, b = (
            [n.pitch for n in part if n.start <= start < n.start + n.length]
            for part in (one, other)
        )
        if a and b:
            both += end - start
            met += end - start if max(a) >= min(b) and max(b) >= min(a) else 0
    return met / both if both else 0.0


def strokes(part: Part, bar: Bar) -> int:
    return len({note.start for note in part.notes if bar.start <= note.start < bar.end})


@pytest.mark.parametrize(("drums", "comping"), PAIRS)
def test_guitar_and_keys_keep_to_registers_of_their_own(drums: str, comping: str) -> None:
    _, guitar, keys = duo(drums, comping)
    assert meeting(guitar.notes, keys.notes) < 1 / 3


@pytest.mark.parametrize(("drums", "comping"), PAIRS)
def test_they_are_not_both_dense_in_a_bar(drums: str, comping: str) -> None:
    """But where two chords or more in a bar have to be stated."""
    chart, guitar, keys = duo(drums, comping)
    for bar in chart.bars:
        if len(bar.slots) == 1:
            beats = bar.meter.beats
            assert strokes(guitar, bar) <= beats or strokes(keys, bar) <= beats


def test_each_plays_where_it_has_a_pattern() -> None:
    keys = {"name": "B", "chords": CHORDS, "comping": "pads-organ"}
    chart, parts = band(
        sections=[{"name": "A", "chords": CHORDS}, keys], order=["A, B, A"],
        drums="eighths-rock", comping="strum-guitar",
    )  # fmt: skip
    assert set(parts) == {"drums", "bass", "guitar", "keys"}
    for played in chart.passes:
        for name, section in (("guitar", "A"), ("keys", "B")):
            inside = [n for n in parts[name].notes if played.start <= n.start < played.end]
            assert bool(inside) == (played.section.name == section)
    assert all(chart.bar_at(n.start + n.length - 1).section == "B" for n in parts["keys"].notes)


def test_one_kind_of_player_is_one_part() -> None:
    sections = [
        {"name": "A", "chords": CHORDS, "comping": "strum-guitar"},
        {"name": "B", "chords": CHORDS, "comping": "backbeat-guitar"},
    ]
    _, parts = band(sections=sections, order=["A, B"], drums="eighths-rock")
    assert set(parts) == {"drums", "bass", "comping"}


def test_both_strike_kicks_and_stops() -> None:
    section = {
        "name": "A", "chords": "| Dm7 | G7 | C | C |",
        "kicks": {"2": "x..x ..x."}, "stops": {"4": "X... x..."},
    }  # fmt: skip
    chart, parts = band(
        sections=[section], order=["A"], drums="eighths-rock",
        comping="strum-guitar, sustained-keys",
    )  # fmt: skip
    assert len(chart.figures) >= 2
    for figure in chart.figures:
        for name in ("guitar", "keys"):
            inside = {n.start for n in parts[name].notes if figure.start <= n.start < figure.end}
            assert inside == {stroke.start for stroke in figure.strokes}


def test_the_guitar_plays_on_without_the_keys() -> None:
    """Each player's chance is its own: who listens changes nothing for who is heard."""
    section = {"name": "A", "chords": CHORDS}
    keys = {"name": "B", "chords": CHORDS, "comping": "pads-organ"}
    both = {"sections": [section, keys], "drums": "eighths-rock", "order": ["A, B"]}
    _, first = band(comping="strum-guitar, sustained-keys", **both)
    _, second = band(comping="strum-guitar, stabs-keys", **both)
    assert first["guitar"] == second["guitar"]
    assert first["keys"] != second["keys"]


def test_tacet_of_one_leaves_the_other() -> None:
    section = {"name": "A", "chords": CHORDS, "tacet": "guitar"}
    order = ["A", {"play": "A", "tacet": "comping"}]
    form = arranged(
        sections=[section], order=order, drums="eighths-rock", key="C", ending="written",
        comping="strum-guitar, sustained-keys",
    )  # fmt: skip
    parts = {part.name: part for part in compile_take(form).parts}
    assert not parts["guitar"].notes
    half = (unroll(form).start + unroll(form).end) // 2
    assert parts["keys"].notes
    assert all(note.start < half for note in parts["keys"].notes)


@pytest.mark.parametrize("comping", ["sustained-keys", "strum-guitar"])
def test_the_comping_leaves_the_register_of_the_melody(comping: str) -> None:
    """A melody in the middle of the register is met less than half as much as unheard."""
    melody = "| F4:2 E4:2 | D4:2 F4:2 | E4:4 | C#4:4 | D4:2 F4:2 | G4:2 Bb3:2 | C4:4 | G4:4 |"
    section = {"name": "A", "chords": CHORDS}
    form = {"drums": "eighths-rock", "comping": comping, "order": ["A x3"]}
    _, without = band(sections=[section], **form)
    _, heard = band(sections=[section | {"melody": melody}], **form)
    line = heard["melody"].notes
    assert meeting(heard["comping"].notes, line) < 0.5 * meeting(without["comping"].notes, line)


def test_the_players_of_the_example_have_tracks_of_their_own() -> None:
    chart = example("pop-song")
    parts = take_of(chart).parts
    names = [part.name for part in parts]
    assert {"guitar", "keys", "melody"} <= set(names)
    channels = {part.name: part.channel for part in parts}
    assert len({channels[name] for name in ("guitar", "keys", "bass", "melody")}) == 4
