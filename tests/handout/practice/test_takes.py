"""The takes of the practice page are the program's own, in twelve keys and at any tempo."""

from __future__ import annotations

from dataclasses import replace
from itertools import accumulate

import pytest

from groove.form.choruses import in_key
from groove.form.read import read_form
from groove.handout.practice.data import page_data
from groove.handout.practice.streams import unpacked
from groove.handout.practice.takes import WAVE, choruses_for, looped
from groove.theory.keys import twelve_keys
from groove.track import compile_take
from tests.handout.practice.page_material import MATERIAL, data_of, each, notes_of


@each
def test_every_key_has_four_choruses_of_its_own(name: str) -> None:
    data = data_of(name)
    chorus = data["bars"] * data["barTicks"]
    assert data["choruses"] >= 4
    for key in range(12):
        bass = notes_of(data, key, "bass")
        choruses = {
            tuple((n[0] % chorus, n[2]) for n in bass if n[0] // chorus == number)
            for number in range(data["choruses"])
        }
        assert len(choruses) == data["choruses"]


@each
def test_pitches_and_strengths_are_those_of_the_take_in_that_key(name: str) -> None:
    form_name, options = MATERIAL[name]
    data = data_of(name)
    form = read_form(form_name, **options)
    for number in (1, 6, 11):
        looped = read_form(
            form_name, **options, ending="loop", choruses=choruses_for(form), intensity=WAVE
        )
        key = twelve_keys(form.key)[number]
        for part in compile_take(in_key(looped, key)).parts:
            ours = sorted((n.pitch, n.velocity) for n in part.notes)
            assert sorted((n[2], n[3]) for n in notes_of(data, number, part.name)) == ours


@each
def test_grid_and_touch_make_the_time_of_the_take(name: str) -> None:
    form_name, options = MATERIAL[name]
    data = data_of(name)
    form = read_form(form_name, **options)
    looped = replace(
        read_form(form_name, **options, ending="loop", intensity=WAVE), choruses=choruses_for(form)
    )
    ticks_a_tenth = form.tempo / 60 * data["beatTicks"] / 10_000
    for part in compile_take(looped).parts:
        ours = sorted((n.pitch, n.start) for n in part.notes)
        found = sorted(
            (n[2], n[0] + n[4] * ticks_a_tenth) for n in notes_of(data, data["home"], part.name)
        )
        assert [pitch for pitch, _ in found] == [pitch for pitch, _ in ours]
        assert max(abs(f[1] - o[1]) for f, o in zip(found, ours, strict=True)) < 1


@each
def test_notes_lie_on_the_grid_in_order_and_inside_the_track(name: str) -> None:
    data = data_of(name)
    end = data["bars"] * data["choruses"] * data["barTicks"]
    for part in ("drums", "bass", "comping"):
        ticks = [note[0] for note in notes_of(data, 0, part)]
        assert ticks == sorted(ticks)
        assert ticks[0] >= 0
        assert ticks[-1] < end


def test_drums_are_kept_once_for_all_keys() -> None:
    data = data_of("straight")
    assert len({key["round"]["drums"] for key in data["keys"]}) == 1


@pytest.mark.parametrize("comping", ["pads-organ", "piano-ballad-eighths"])
def test_pedal_and_swell_are_those_of_the_take_in_that_key(comping: str) -> None:
    form = read_form("one-chord-vamp", comping=comping)
    data = page_data(form)
    for number in (0, data["home"]):
        rounds = replace(looped(form), key=twelve_keys(form.key)[number])
        (chords,) = (part for part in compile_take(rounds).parts if part.name == "comping")
        text = data["controls"][data["keys"][number]["controls"]["round"]["comping"]]
        found = list(unpacked(text))
        rows = zip(accumulate(found[::3]), found[1::3], found[2::3], strict=True)
        assert list(rows) == list(chords.controls)
        assert chords.controls
