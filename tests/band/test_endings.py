"""Endings as the band plays them: together, apart from other endings, and nothing after it."""

from __future__ import annotations

import pytest

from groove.band.plan.planner import planned
from groove.band.take import play, record
from groove.form.ending.choice import suiting
from groove.form.unroll import landing, unroll
from tests.form.ending.ending_material import form

TOGETHER = 0.030  # seconds between the first part's last stroke and the last one's
STYLES = ("shuffle", "mambo", "one-drop", "slow-ballad")


@pytest.mark.parametrize("drums", STYLES)
def test_all_parts_end_on_one_stroke(drums: str) -> None:
    """At tightness 0, with every ending that suits."""
    for name in suiting(landing(form(drums))):
        chart = unroll(form(drums, ending=name, tightness=0))
        plan = planned(chart)
        parts = play(plan)
        assert len({part.notes[-1].start for part in parts}) == 1, name
        lasts = []
        for part, played in zip(parts, record(plan, parts).parts, strict=True):
            struck = sum(note.start == part.notes[-1].start for note in part.notes)
            lasts.append(chart.seconds(min(note.start for note in played.notes[-struck:])))
        assert max(lasts) - min(lasts) < TOGETHER, name


@pytest.mark.parametrize("drums", STYLES)
def test_endings_differ_in_the_music_of_their_last_two_bars(drums: str) -> None:
    heard = set()
    names = suiting(landing(form(drums)))
    for name in names:
        chart = unroll(form(drums, ending=name))
        first = chart.bars[-2].start
        heard.add(
            frozenset(
                (part.name, note.start - first, note.pitch)
                for part in play(planned(chart))
                for note in part.notes
                if note.start >= first
            )
        )
    assert len(heard) == len(names)


@pytest.mark.parametrize(("name", "drums"), [("unison-lick", "shuffle"),
                                             ("funk-unison", "sixteenth-funk")])  # fmt: skip
def test_a_lick_in_unison_is_the_same_in_bass_and_chords(name: str, drums: str) -> None:
    chart = unroll(form(drums, "dominant", ending=name))
    bar = chart.ending[0]
    lines = {
        part.name: [
            (note.start, note.pitch % 12)
            for note in part.notes
            if bar.start <= note.start < bar.end
        ]
        for part in play(planned(chart))
    }
    assert lines["bass"] == lines["comping"] != []


@pytest.mark.parametrize("name", ["break", "drum-fill", "cold"])
def test_after_a_stop_nobody_rings_on(name: str) -> None:
    chart = unroll(form("sixteenth-funk" if name == "break" else "eighths-rock", ending=name))
    figure = chart.ending[-1].figure
    assert figure is not None
    end = figure.strokes[-1].end
    pitched = [part for part in play(planned(chart)) if part.name in ("bass", "comping")]
    assert all(note.start + note.length <= end for part in pitched for note in part.notes)
