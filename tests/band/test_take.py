"""A take holds together: nothing overlaps, nothing sticks out, every player keeps apart."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove import library
from groove.band.part import LEFT
from groove.band.plan.planner import planned
from groove.band.take import PlayedPart, play
from groove.band.touch.feel import BandFeel
from groove.form.build import FormError
from groove.form.model import KEY_CYCLES
from groove.rhythm.kit import BASS_RANGE, DRUM_CHANNEL, INSTRUMENTS, KIT
from tests.band.band_material import (
    GOING_ON,
    Played,
    all_patterns,
    bands,
    form_of,
    played,
    shipped_band,
)
from tests.examples import examples

BINARY = ["eighths-rock", "rumba", "bossa", "waltz"]


def overlaps(part: PlayedPart) -> list[tuple[int, int]]:
    """Pitches struck while they still sound, with where."""
    until: dict[int, int] = {}
    found = []
    for note in part.notes:
        if note.start < until.get(note.pitch, 0):
            found.append((note.start, note.pitch))
        until[note.pitch] = note.start + note.length
    return found


def no_pitch_overlaps_itself_in_a_channel(band: Played) -> None:
    for part in (*band.take.parts, *band.take.cues):
        assert not overlaps(part)


def every_note_lies_inside_the_track(band: Played) -> None:
    for part in band.take.parts:
        for note in part.notes:
            assert 0 <= note.start < note.start + note.length <= band.chart.end


def every_note_lies_within_its_instrument(band: Played) -> None:
    drums, *others = band.take.parts
    assert {note.pitch for note in drums.notes} <= {voice.note for voice in KIT.values()}
    for part, pattern in zip(others, (band.form.bass, band.form.comping[0]), strict=True):
        instrument = INSTRUMENTS[pattern.instrument]
        assert all(instrument.lowest <= note.pitch <= instrument.highest for note in part.notes)


def every_velocity_sounds(band: Played) -> None:
    velocities = {note.velocity for part in band.take.parts for note in part.notes}
    assert min(velocities) >= 1
    assert max(velocities) <= 127


def touch_drops_no_note_and_adds_the_graces_alone(band: Played) -> None:
    clicks = [note for cue in band.take.cues for note in cue.notes]
    for part, played_part in zip(band.parts, band.take.parts, strict=True):
        sounding = [*played_part.notes, *(clicks if part.name == "drums" else ())]
        pitches = [n.pitch for n in part.notes for _ in range(1 + n.graces)]
        assert sorted(pitches) == sorted(n.pitch for n in sounding)


LAWS = (
    no_pitch_overlaps_itself_in_a_channel,
    every_note_lies_inside_the_track,
    every_note_lies_within_its_instrument,
    every_velocity_sounds,
    touch_drops_no_note_and_adds_the_graces_alone,
)


@settings(max_examples=examples(60))
@given(bands(choruses=3))
def test_each_law_holds_for_any_form(band: Played) -> None:
    for law in LAWS:
        law(band)


def test_nothing_overlaps_in_the_shipped_forms() -> None:
    for band in shipped_band():
        for part in band.take.parts:
            assert not overlaps(part), band.form


@settings(max_examples=examples(10))
@given(bands(choruses=2))
def test_the_band_plays_what_its_players_play_one_by_one(band: Played) -> None:
    assert play(band.plan) == band.parts


def changing(**fields: Any) -> Played:
    """A band that goes from rock with keys to a rumba with guitar in its second chorus."""
    band = played(drums="eighths-rock", comping="sustained-keys", choruses=2, **fields)
    rumba = form_of(drums="rumba")
    bars = tuple(
        replace(
            bar,
            setting=replace(bar.setting, drums=rumba.drums, bass=rumba.bass, comping=rumba.comping),
        )
        if bar.round
        else bar
        for bar in band.chart.bars
    )
    band.__dict__["plan"] = planned(replace(band.plan.written, bars=bars))
    return band


def test_each_bar_is_played_from_its_own_drum_pattern() -> None:
    band = changing()
    clave = "..x.x...x..x..x."  # son, two-three: Toussaint, 2013 (from memory)
    for bar in band.in_form:
        notes = band.during(band.drums, bar.start, bar.end)
        rim = {(n.start - bar.start) // 240 for n in notes if n.row == "side-stick"}
        kept = "".join("x" if line in rim else "." for line in range(16))
        assert (kept == clave) == bool(bar.round), band.place(bar.start)


def test_each_bar_is_played_from_its_own_bass_pattern() -> None:
    """A tumbao rests on the one, where it holds the four before; a pedal strikes it."""
    band = changing(bass="eighth-pedal")
    struck = {note.start for note in band.bass.notes}
    ones = [[bar.start in struck for bar in band.in_form if bar.round == c] for c in (0, 1)]
    assert all(ones[0])
    assert not any(ones[1][1:])


def test_each_bar_is_voiced_for_its_own_comping_pattern() -> None:
    band = changing()
    second = band.chart.rounds[1].start
    assert {note.string for note in band.comping.notes if note.start < second} == {0}
    assert 0 not in {note.string for note in band.comping.notes if note.start >= second}


def test_each_bar_swings_what_its_own_drum_pattern_swings() -> None:
    """Two to one: in the rock pattern the eighth, at 640 of 960; in the rumba the sixteenth."""
    band = changing(swing_ratio=2.0)
    feel = BandFeel(band.chart, 0.0, Random(1))
    first, second = (band.in_form[number] for number in (1, 13))
    places = [feel.swung(first.start + 480, first.drums.grid) - first.start,
              feel.swung(second.start + 240, second.drums.grid) - second.start]  # fmt: skip
    assert places == pytest.approx([640, 320])


def test_a_band_that_changes_its_patterns_holds_together() -> None:
    band = changing()
    for part in band.take.parts:
        assert not overlaps(part)
        assert all(0 <= n.start < n.start + n.length <= band.chart.end for n in part.notes)


def test_only_the_drums_are_on_channel_ten() -> None:
    """General MIDI System Level 1, 1991 (from memory)."""
    channels = {part.name: part.channel for part in played().take.parts}
    assert channels.pop("drums") == DRUM_CHANNEL == 9
    assert len({*channels.values(), DRUM_CHANNEL}) == 3


def test_another_bass_leaves_the_played_drums_as_they_are() -> None:
    walking, boogie = (form_of(drums="shuffle", bass=b) for b in ("walking", "shuffle-boogie"))
    assert Played(walking).take.parts[0] == Played(boogie).take.parts[0]


def test_the_same_form_and_seed_play_the_same() -> None:
    assert played(seed=5).take == played(seed=5).take


def test_another_seed_plays_otherwise() -> None:
    assert played(seed=5).drums.notes != played(seed=6).drums.notes


@pytest.mark.parametrize("drums", BINARY)
def test_a_shuffled_pattern_has_the_strokes_of_the_straight_one(drums: str) -> None:
    straight, shuffled = (played(drums=drums, feel=feel) for feel in ("straight", "shuffle"))
    assert straight.drums.notes == shuffled.drums.notes


@pytest.mark.parametrize("drums", BINARY)
def test_a_shuffle_moves_the_offbeats_and_leaves_the_beats(drums: str) -> None:
    """Two to one (common practice): an offbeat eighth moves from a half to two thirds."""
    straight, shuffled = (played(drums=drums, feel=feel) for feel in ("straight", "shuffle"))
    unit = straight.beat // (2 if straight.form.drums.swings == 16 else 1)
    grid = {n.start for n in straight.drums.notes if n.start >= straight.chart.start}
    before, after = (dict(enumerate(band.take.parts[0].notes)) for band in (straight, shuffled))
    assert len(before) == len(after)
    assert any(start % unit == unit // 2 for start in grid)
    mean_on = [after[i].start - before[i].start for i in before
               if _near(before[i].start, 0, unit)]  # fmt: skip
    mean_off = [after[i].start - before[i].start for i in before
                if _near(before[i].start, unit // 2, unit)]  # fmt: skip
    assert sum(mean_on) / len(mean_on) == pytest.approx(0, abs=unit / 50)
    assert sum(mean_off) / len(mean_off) == pytest.approx(unit / 6, abs=unit / 50)


def _near(tick: int, place: int, unit: int) -> bool:
    """True if a played note belongs to a place in the swing's unit, touch allowed for."""
    off = (tick - place) % unit
    return min(off, unit - off) < unit / 12


@st.composite
def moving(draw: st.DrawFn) -> Played:
    """Bands whose choruses differ in key and tempo, some with a tuning note."""
    band = draw(bands(choruses=4, endings=[each for each in GOING_ON if each != "loop"]))
    return Played(
        replace(
            band.form,
            tempo=min(200.0, max(60.0, band.form.tempo)),
            tempo_step=draw(st.sampled_from([-6.0, 2.5, 30.0])),
            key_cycle=draw(st.sampled_from(KEY_CYCLES)),
            tuning_note=draw(st.booleans()),
        )
    )


def a_ladder_through_the_keys_holds_together(band: Played) -> None:
    for part in (*band.take.parts, *band.take.cues):
        assert not overlaps(part)
        assert all(0 <= n.start < n.start + n.length <= band.chart.end for n in part.notes)


def bass_and_comping_stay_in_range_through_the_keys(band: Played) -> None:
    pattern = band.form.comping[0]
    registers = {LEFT: pattern.left_register}
    for note in band.comping.notes:
        low, high = registers.get(note.row, pattern.register)
        assert low <= note.pitch <= high
    assert all(BASS_RANGE[0] <= note.pitch <= BASS_RANGE[1] for note in band.bass.notes)


LADDER_LAWS = (
    a_ladder_through_the_keys_holds_together,
    bass_and_comping_stay_in_range_through_the_keys,
)


@settings(max_examples=examples(40))
@given(moving())
def test_each_law_holds_for_a_ladder_through_the_keys(band: Played) -> None:
    for law in LADDER_LAWS:
        law(band)


@pytest.mark.parametrize("name", library.names("endings"))
def test_guitar_and_keys_play_every_ending(name: str) -> None:
    """Each ending with the first drum pattern that takes it and a guitar, and with keys."""
    comping = {}
    for pattern in all_patterns("comping"):
        comping.setdefault((str(pattern.grid.meter), pattern.voicing), pattern.name)
    played_by = set()
    for drums in all_patterns("drums"):
        for voicing in {"guitar", "keys"} - played_by:
            own = comping.get((str(drums.grid.meter), voicing))
            try:
                band = played("I:4", drums=drums.name, ending=name, comping=own, choruses=1)
            except FormError:
                continue
            assert band.take.chart.end > band.chart.bars[3].end
            assert band.comping.notes[-1].start >= band.chart.bars[3].start
            played_by.add(voicing)
    assert played_by
