"""A take holds together: nothing overlaps, nothing sticks out, every player keeps apart."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.band.take import PlayedPart, play
from groove.form.model import ENDINGS, KEY_CYCLES
from groove.rhythm.kit import BASS_RANGE, DRUM_CHANNEL, INSTRUMENTS, KIT
from tests.band.band_material import Played, bands, form_of, played, shipped_band

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


@settings(max_examples=60)
@given(bands(choruses=3))
def test_no_pitch_overlaps_itself_in_a_channel(band: Played) -> None:
    for part in (*band.take.parts, *band.take.cues):
        assert not overlaps(part)


@settings(max_examples=60)
@given(bands(choruses=3))
def test_every_note_lies_inside_the_track(band: Played) -> None:
    for part in band.take.parts:
        for note in part.notes:
            assert 0 <= note.start < note.start + note.length <= band.chart.end


@settings(max_examples=60)
@given(bands(choruses=3))
def test_every_note_lies_within_its_instrument(band: Played) -> None:
    drums, *others = band.take.parts
    assert {note.pitch for note in drums.notes} <= {voice.note for voice in KIT.values()}
    for part, pattern in zip(others, (band.form.bass, band.form.comping), strict=True):
        instrument = INSTRUMENTS[pattern.instrument]
        assert all(instrument.lowest <= note.pitch <= instrument.highest for note in part.notes)


@settings(max_examples=60)
@given(bands(choruses=3))
def test_every_velocity_sounds(band: Played) -> None:
    velocities = {note.velocity for part in band.take.parts for note in part.notes}
    assert min(velocities) >= 1
    assert max(velocities) <= 127


@settings(max_examples=40)
@given(bands(choruses=3))
def test_touch_adds_and_drops_no_note(band: Played) -> None:
    clicks = [note for cue in band.take.cues for note in cue.notes]
    for part, played_part in zip(band.parts, band.take.parts, strict=True):
        sounding = [*played_part.notes, *(clicks if part.name == "drums" else ())]
        assert sorted(n.pitch for n in part.notes) == sorted(n.pitch for n in sounding)


def test_nothing_overlaps_in_the_shipped_forms() -> None:
    for band in shipped_band():
        for part in band.take.parts:
            assert not overlaps(part), band.form


@settings(max_examples=10)
@given(bands(choruses=2))
def test_the_band_plays_what_its_players_play_one_by_one(band: Played) -> None:
    assert play(band.chart) == band.parts


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
    """Whether a played note belongs to a place in the swing's unit, touch allowed for."""
    off = (tick - place) % unit
    return min(off, unit - off) < unit / 12


@st.composite
def moving(draw: st.DrawFn) -> Played:
    """Bands whose choruses differ in key and tempo, some with a tuning note."""
    band = draw(bands(choruses=4, endings=[each for each in ENDINGS if each != "loop"]))
    return Played(
        replace(
            band.form,
            tempo=min(200.0, max(60.0, band.form.tempo)),
            tempo_step=draw(st.sampled_from([-6.0, 2.5, 30.0])),
            key_cycle=draw(st.sampled_from(KEY_CYCLES)),
            tuning_note=draw(st.booleans()),
        )
    )


@settings(max_examples=40)
@given(moving())
def test_a_ladder_through_the_keys_holds_together(band: Played) -> None:
    for part in (*band.take.parts, *band.take.cues):
        assert not overlaps(part)
        assert all(0 <= n.start < n.start + n.length <= band.chart.end for n in part.notes)


@settings(max_examples=40)
@given(moving())
def test_bass_and_comping_stay_in_range_through_the_keys(band: Played) -> None:
    low, high = band.form.comping.register
    assert all(low <= note.pitch <= high for note in band.comping.notes)
    assert all(BASS_RANGE[0] <= note.pitch <= BASS_RANGE[1] for note in band.bass.notes)
