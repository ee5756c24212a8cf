"""Walking lines and their laws, over random chords and over the shipped forms.

The laws (roots on the changes, steps into them, chord tones on strong beats,
one direction for a while): common practice.
"""

from functools import cache
from itertools import pairwise
from statistics import mean

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.band.part import GHOST, GridNote
from groove.form.chart import Chart
from groove.form.read import read_form
from groove.form.unroll import unroll
from tests.band.band_material import Played
from tests.examples import examples

LOWEST, HIGHEST = 28, 52  # E1, and the E two octaves up: where a walking line stays
WALKING = {"walking": "4/4", "slow-walk": "12/8", "waltz-walk": "3/4"}
SHIPPED = (
    "twelve-bar", "jazz-twelve-bar", "minor-twelve-bar", "rhythm-changes", "one-chord-vamp",
    "minor-vamp", "i-v-vi-iv",
)  # fmt: skip
KEYS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"]
CHORDS = (
    "I7", "IV7", "V7", "ii7", "VI7", "#IVdim7", "i7", "iv7", "bVI7", "iim7b5", "V7alt", "IV6",
    "Imaj7", "I", "bVII", "I5", "V7sus4",
)  # fmt: skip


def chart_of(form: str, idiom: str = "walking", **fields: object) -> Chart:
    meter = WALKING[idiom]
    feel = "straight" if meter == "12/8" else "swing"
    return unroll(read_form(form, **({"meter": meter, "feel": feel, "bass": idiom} | fields)))


LAST: list[tuple[Chart, Played]] = []


def line_of(chart: Chart) -> list[GridNote]:
    """The bass, played once for all that is asked of a chart."""
    if not LAST or LAST[0][0] is not chart:
        LAST[:] = [(chart, Played(chart.form))]
    return list(LAST[0][1].bass.notes)


def on_beats(chart: Chart, line: list[GridNote]) -> list[GridNote]:
    """The notes on the beats, dead ones left out: the line without its skips."""
    beat = chart.form.meter.beat_ticks
    return [n for n in line if n.start % beat == 0 and n.weight > GHOST]


@st.composite
def charts(draw: st.DrawFn) -> Chart:
    words = []
    for _ in range(draw(st.integers(1, 6))):
        size = draw(st.sampled_from((1, 1, 2, 4)))
        if size == 1:
            words.append(f"{draw(st.sampled_from(CHORDS))}:{draw(st.integers(1, 4))}")
        else:
            words += [f"{draw(st.sampled_from(CHORDS))}:1/{size}" for _ in range(size)]
    return chart_of(
        "one-chord-vamp",
        draw(st.sampled_from(sorted(WALKING))),
        chords=" ".join(words),
        key=draw(st.sampled_from(KEYS)),
        choruses=draw(st.integers(1, 3)),
        ending=draw(st.sampled_from(("hit", "ring", "loop"))),
        seed=draw(st.integers(0, 10_000)),
    )


def no_note_is_struck_more_than_twice_in_a_row(chart: Chart) -> None:
    pitches = [note.pitch for note in line_of(chart) if note.weight > GHOST]
    assert not any(a == b == c for a, b, c in zip(pitches, pitches[1:], pitches[2:], strict=False))


def line_stays_in_two_octaves_and_opens_on_the_low_root(chart: Chart) -> None:
    pitches = [note.pitch for note in line_of(chart)]
    assert min(pitches) >= LOWEST
    assert max(pitches) <= HIGHEST
    assert pitches[0] % 12 == chart.changes[0].chord.lowest.pitch_class
    assert pitches[0] < LOWEST + 12


def root_is_struck_on_every_change(chart: Chart) -> None:
    struck = {note.start: note.pitch % 12 for note in line_of(chart)}
    assert all(struck.get(s.start) == s.chord.lowest.pitch_class for s in chart.changes)


LAWS = (
    no_note_is_struck_more_than_twice_in_a_row,
    line_stays_in_two_octaves_and_opens_on_the_low_root,
    root_is_struck_on_every_change,
)


@settings(max_examples=examples(80))
@given(charts())
def test_each_law_holds_for_any_chart(chart: Chart) -> None:
    for law in LAWS:
        law(chart)


@cache
def gathered(form: str, idiom: str = "walking") -> list[tuple[Chart, list[GridNote]]]:
    """Lines over a form in twelve keys, as they are on the beats."""
    minor = {"Db": "C#m", "Ab": "G#m"}
    keys = [minor.get(key, f"{key}m") for key in KEYS] if "minor" in form else KEYS
    charts = [chart_of(form, idiom, key=key, choruses=3, seed=n) for n, key in enumerate(keys)]
    return [(chart, on_beats(chart, line_of(chart))) for chart in charts]


@pytest.mark.parametrize("form", SHIPPED)
def test_most_changes_are_reached_by_step(form: str) -> None:
    steps = total = 0
    for chart, line in gathered(form):
        changes = {slot.start for slot in chart.changes}
        for before, after in pairwise(line):
            if after.start in changes:
                steps += 1 <= abs(after.pitch - before.pitch) <= 2
                total += 1
    assert steps / total >= 0.65


@pytest.mark.parametrize("form", SHIPPED)
def test_strong_beats_are_mostly_chord_tones(form: str) -> None:
    inside = total = 0
    for chart, line in gathered(form):
        half = chart.form.meter.bar_ticks // 2
        slots = iter(chart.changes)
        slot = next(slots)
        for note in line:
            while note.start >= slot.end:
                slot = next(slots)
            if (note.start - chart.start) % half == 0:
                tones = {tone.pitch_class for tone in slot.chord.notes}
                inside += note.pitch % 12 in tones | {slot.chord.lowest.pitch_class}
                total += 1
    assert inside / total >= 0.85


@pytest.mark.parametrize("form", SHIPPED)
def test_line_keeps_a_direction_for_a_while(form: str) -> None:
    turns = moves = in_runs = notes = 0
    for _, line in gathered(form):
        signs = [(b.pitch > a.pitch) - (b.pitch < a.pitch) for a, b in pairwise(line)]
        turns += sum(a * b < 0 for a, b in pairwise(signs))
        moves += len(signs) - 1
        ahead = [*signs[1:], 0]
        behind = [0, *signs[:-1]]
        in_runs += sum(s != 0 and s in (a, b) for s, a, b in zip(signs, ahead, behind, strict=True))
        notes += len(signs)
    assert turns / moves <= 0.45
    assert in_runs / notes >= 0.6  # in runs of three notes or more in one direction


@pytest.mark.parametrize("form", SHIPPED)
def test_line_does_not_go_to_and_fro(form: str) -> None:
    back = total = 0
    for _, line in gathered(form):
        pitches = [note.pitch for note in line]
        for a, b, c, d in zip(pitches, pitches[1:], pitches[2:], pitches[3:], strict=False):
            back += a == c != b == d
            total += 1
    assert back / total <= 0.02


def test_a_vamp_uses_the_neck() -> None:
    for _, line in gathered("one-chord-vamp"):
        pitches = [note.pitch for note in line]
        spans = [pitches[at : at + 16] for at in range(0, len(pitches) - 16, 16)]
        assert sum(len(set(span)) for span in spans) / len(spans) >= 7
        assert sum(max(span) - min(span) for span in spans) / len(spans) >= 12


def test_bars_of_a_vamp_differ() -> None:
    bars = [
        [tuple(n.pitch for n in line if bar.start <= n.start < bar.end) for bar in chart.bars]
        for chart, line in gathered("one-chord-vamp")
    ]
    assert sum(len(set(track)) for track in bars) >= 0.7 * sum(len(track) for track in bars)
    same = sum(a == b for track in bars for a, b in pairwise(track))
    assert same <= 0.05 * sum(len(track) for track in bars)


def test_downbeats_of_a_vamp_are_mostly_the_root() -> None:
    roots = total = 0
    for chart, line in gathered("one-chord-vamp"):
        downbeats = {bar.start for bar in chart.bars}
        tonic = chart.changes[0].chord.root.pitch_class
        at = [note.pitch % 12 == tonic for note in line if note.start in downbeats]
        roots, total = roots + sum(at), total + len(at)
    assert 0.75 <= roots / total < 1  # the bass tells where home is, and is no pedal


def test_choruses_walk_different_ways() -> None:
    for chart, line in gathered("twelve-bar"):
        size = chart.form.bars * chart.form.meter.bar_ticks
        choruses = {
            tuple(n.pitch for n in line if start <= n.start < start + size)
            for start in range(chart.start, chart.start + 3 * size, size)
        }
        assert len(choruses) == 3


def test_eighths_before_the_beat_come_with_the_band_in_twelve_eight() -> None:
    chart = chart_of("twelve-bar", "slow-walk", choruses=3)
    size = chart.form.bars * chart.form.meter.bar_ticks
    eighth = chart.form.meter.beat_ticks // 3
    line = line_of(chart)
    counts = [
        sum(start <= n.start < start + size and n.start % (3 * eighth) == 2 * eighth for n in line)
        for start in (chart.start, chart.start + 2 * size)
    ]
    assert counts[1] >= chart.form.bars  # one a bar
    assert counts[1] > counts[0]


def test_line_rises_and_falls_over_four_bars() -> None:
    heights: list[list[int]] = [[], [], [], []]
    for chart, line in gathered("one-chord-vamp"):
        for number, bar in enumerate(chart.bars[:-1]):
            pitches = [n.pitch for n in line if bar.start <= n.start < bar.end]
            heights[number % 4] += pitches
    second, last = mean(heights[1]), mean(heights[3])
    assert second > last + 2  # semitones


def test_line_goes_back_to_the_note_before_the_last_now_and_then() -> None:
    """Neighbour notes, and root, fifth, root: one note in twenty at least (common practice)."""
    back = total = 0
    for chart, line in gathered("twelve-bar"):
        pitches = [n.pitch for n in on_beats(chart, line)]
        back += sum(a == c != b for a, b, c in zip(pitches, pitches[1:], pitches[2:], strict=False))
        total += len(pitches)
    assert back / total > 0.05


def test_roots_are_reached_from_the_semitone_above_too() -> None:
    """G flat before F: neither C7 nor its scale has it."""
    leading: set[int] = set()
    for seed in range(20):
        chart = chart_of("one-chord-vamp", key="C", chords="I7:2 IV7:2", choruses=1, seed=seed)
        line = on_beats(chart, line_of(chart))
        leading |= {a.pitch % 12 for a, b in pairwise(line) if b.start == chart.bars[2].start}
    assert 6 in leading
