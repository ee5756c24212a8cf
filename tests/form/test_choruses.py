"""Ladders and cycles: each chorus in its key and at its tempo, its chords the first's, moved."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.errors import GrooveError
from groove.form.choruses import in_chorus
from groove.form.model import KEY_CYCLES, Form
from groove.form.read import read_form
from groove.form.unroll import length, unroll
from groove.rhythm.meter import METERS, TempoMap
from groove.theory.spelling import respelled
from tests.band.band_material import form_of
from tests.examples import examples
from tests.theory.key_material import KEYS

CYCLES = KEY_CYCLES[1:]
SEMITONES = {"fourths": 5, "fifths": 7, "up": 1, "down": -1}
FORMS = ["twelve-bar", "minor-twelve-bar", "rhythm-changes", "minor-vamp"]


def keys(form: Form) -> str:
    return " ".join(chorus.key.symbol for chorus in unroll(form).rounds)


@pytest.mark.parametrize(
    ("key", "cycle", "expected"),
    [
        ("C", "fourths", "C F Bb Eb Ab Db Gb B E A D G C"),
        ("C", "fifths", "C G D A E B F# Db Ab Eb Bb F C"),
        ("C", "up", "C Db D Eb E F F# G Ab A Bb B C"),
        ("C", "down", "C B Bb A Ab G Gb F E Eb D Db C"),
        ("Am", "fourths", "Am Dm Gm Cm Fm Bbm Ebm G#m C#m F#m Bm Em Am"),
        ("Am", "up", "Am Bbm Bm Cm C#m Dm Ebm Em Fm F#m Gm G#m Am"),
        ("C#", "fourths", "C# Gb B E A D G C F Bb Eb Ab C#"),
    ],
)
def test_the_keys_of_a_cycle_are_spelled_as_musicians_write_them(
    key: str, cycle: str, expected: str
) -> None:
    """The circle of fourths and the chromatic scale as printed everywhere (common practice)."""
    assert keys(form_of("I:4", key=key, key_cycle=cycle, choruses=13)) == expected


@given(
    key=st.sampled_from(KEYS),
    cycle=st.sampled_from(CYCLES),
    chorus=st.integers(0, 30),
)
def test_every_key_of_a_cycle_lies_its_interval_above_the_one_before(
    key: object, cycle: str, chorus: int
) -> None:
    form = form_of("I:4", key=key.symbol, key_cycle=cycle, choruses=40)  # type: ignore[attr-defined]
    before, after = (in_chorus(form, n).key for n in (chorus, chorus + 1))
    moved = after.tonic.pitch_class - before.tonic.pitch_class
    assert moved % 12 == SEMITONES[cycle] % 12
    assert -6 <= after.signature <= 6 or after == form.key
    assert after.mode == form.key.mode


@settings(max_examples=examples(40))
@given(
    chords=st.sampled_from(["I7:4 IV7:2 I7:2 V7/3 bVII:1/2 vi7b5:1/2 I", "Cm7:2 F7/A Ab7 G7b9"]),
    cycle=st.sampled_from(CYCLES),
    quick=st.booleans(),
    drums=st.sampled_from(["rumba", "waltz", "slow-blues"]),
)
def test_the_chords_of_every_chorus_are_the_first_ones_moved_to_its_key(
    chords: str, cycle: str, quick: bool, drums: str
) -> None:
    quick = quick and chords.startswith("I")
    form = form_of(chords, key="C", key_cycle=cycle, choruses=13, quick_change=quick, drums=drums)
    chart = unroll(form)
    size = chart.rounds[0].end - chart.start
    first = [s for s in chart.changes if s.start < chart.start + size]
    for number, chorus in enumerate(chart.rounds):
        here = [s for s in chart.changes if chorus.start <= s.start < chorus.end]
        fifths = chorus.key.tonic.fifths - form.key.tonic.fifths
        wanted = [respelled(s.chord.transposed(fifths), chorus.key) for s in first]
        assert [s.chord for s in here] == wanted
        assert [s.start - number * size for s in here] == [s.start for s in first]


def test_a_turnaround_leads_to_the_key_that_comes_and_the_last_one_home() -> None:
    chart = unroll(form_of(key_cycle="up", choruses=3, turnaround=True))
    at = [str(bar.slots[0].chord) for bar in chart.bars]
    assert [at[bar] for bar in (11, 12, 23, 24, 35, 36)] == ["Ab7", "Db7", "A7", "D7", "A7", "D7"]


def test_the_ending_is_in_the_last_key_and_at_the_last_tempo() -> None:
    chart = unroll(form_of(key_cycle="up", tempo=100, tempo_step=10, choruses=3))
    last = chart.bars[-1]
    assert chart.key_at(last.start).symbol == "D"
    assert str(last.slots[0].chord) == "D7"
    assert chart.tempi.changes[-1][:2] == (chart.rounds[-1].start, 120)


@given(
    tempo=st.integers(100, 200), step=st.floats(-8, 8).map(lambda x: round(x, 2)),
    choruses=st.integers(1, 8),
)  # fmt: skip
def test_each_chorus_is_faster_by_the_step(tempo: int, step: float, choruses: int) -> None:
    chart = unroll(form_of("I:4", tempo=tempo, tempo_step=step, choruses=choruses))
    found = [chorus.tempo for chorus in chart.rounds]
    assert found == pytest.approx([tempo + n * step for n in range(choruses)])


@settings(max_examples=examples(30))
@given(
    name=st.sampled_from(FORMS), step=st.integers(-4, 8), tuning_note=st.booleans(),
    count_in=st.integers(0, 3),
)  # fmt: skip
def test_the_length_that_is_checked_is_the_length_of_the_chart(
    name: str, step: int, tuning_note: bool, count_in: int
) -> None:
    form = read_form(
        name, tempo=100, tempo_step=step, tuning_note=tuning_note, count_in=count_in, choruses=4,
        ending="hit",
    )  # fmt: skip
    chart = unroll(form)
    assert length(form) == pytest.approx(chart.seconds(chart.end))


def test_a_loop_has_no_bar_after_its_last_chorus() -> None:
    form = form_of("I:4", tempo=120, choruses=2, ending="loop")
    assert length(form) == 16


def test_the_limit_counts_the_minutes_that_a_slowing_ladder_lasts() -> None:
    fields = {"tempo": 130.0, "choruses": 100, "drums": "rumba"}
    form_of(**fields)  # 37 minutes
    with pytest.raises(GrooveError, match="at most 60"):
        form_of(**fields, tempo_step=-1)


TEMPO_MAPS = st.builds(
    lambda meter, first, rest: TempoMap(
        (
            (0, first, meter.beat_ticks),
            *((sum(t for t, _ in rest[: n + 1]), tempo, meter.beat_ticks)
              for n, (_, tempo) in enumerate(rest)),
        ),
    ),
    st.sampled_from(list(METERS.values())),
    st.floats(30, 320),
    st.lists(st.tuples(st.integers(1, 50_000), st.floats(30, 320)), max_size=6),
)  # fmt: skip


@given(TEMPO_MAPS, st.integers(0, 400_000))
def test_ticks_to_seconds_and_back_are_the_same_ticks(tempi: TempoMap, tick: int) -> None:
    assert tempi.ticks(tempi.seconds(tick)) == pytest.approx(tick, abs=1e-3)


@given(TEMPO_MAPS, st.integers(0, 400_000), st.integers(1, 1000))
def test_seconds_grow_with_ticks(tempi: TempoMap, tick: int, more: int) -> None:
    assert tempi.seconds(tick + more) > tempi.seconds(tick)


def test_seconds_add_up_over_a_change_of_tempo() -> None:
    """Four quarters at 60 last 4 s, four at 120 last 2 s (common practice)."""
    tempi = TempoMap(((0, 60.0, 960), (3840, 120.0, 960)))
    assert [tempi.seconds(t) for t in (0, 3840, 7680)] == [0, 4, 6]


def test_swing_follows_the_tempo_of_a_ladder_unless_a_ratio_was_asked_for() -> None:
    fields = {"feel": "swing", "tempo": 120, "tempo_step": 60, "choruses": 3}
    usual, asked = (unroll(form_of(**f)) for f in (fields, fields | {"swing_ratio": 1.7}))
    ratios = [chorus.swing_ratio for chorus in usual.rounds]
    alone = [form_of(feel="swing", tempo=t).swing_ratio for t in (120, 180, 240)]
    assert ratios == alone
    assert {chorus.swing_ratio for chorus in asked.rounds} == {1.7}


@pytest.mark.parametrize("tempo", [40, 113, 320])
def test_the_tuning_note_takes_whole_bars_and_leaves_a_second_of_silence(tempo: int) -> None:
    chart = unroll(form_of(tempo=tempo, tuning_note=True, count_in=2))
    bar = chart.bars[0].length
    assert chart.count_in % bar == 0
    assert chart.start == chart.count_in + 2 * bar
    assert 7 <= chart.seconds(chart.count_in) < 7 + chart.seconds(bar)
