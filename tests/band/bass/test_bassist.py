"""The bassist's laws, over random forms, keys, tempi, patterns, feels and seeds."""

from dataclasses import replace
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.band.bass.bass_positions import FRETS, OPEN_STRINGS, positions
from groove.band.bass.bassist import play_bass
from groove.band.degrees import above_bass, chord_degree
from groove.band.drummer import play_drums
from groove.band.part import GHOST, GridNote, Part
from groove.band.plan.planner import planned
from groove.form.chart import Chart
from groove.form.model import Form
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.rhythm.patterns import bass_pattern
from groove.theory.chords import parse_chord
from tests.band.band_material import Played, some
from tests.examples import examples
from tests.theory.key_material import KEYS

LOWEST, HIGHEST = 28, 67  # E1 to the 24th fret of the G string: common practice
OCTAVE, MAJOR_SIXTH = 12, 9  # semitones
IDIOMS = some("bass")
NUMERALS = (
    "I", "I7", "Imaj7", "i", "i7", "ii7", "iim7b5", "bIII", "iii7", "IV7", "iv6", "IV6/9",
    "#IVdim7", "V", "V7", "V7alt", "V7#9", "V9sus4", "V13", "V5", "V7sus4", "V+", "bVI", "vi7",
    "VI7", "bVII", "VIIdim",
)  # fmt: skip
SYMBOLS = ("C/E", "G7/B", "Am7/G", "D/F#", "F5", "Bbmaj7/D", "C#m7b5", "Ebsus2", "Abdim", "E7#5")
BARS = (
    "",
    ":2",
    ":3",
    ":1/2 {}:1/2",
    ":1/4 {}:1/4 {}:1/2",
    ":1/4 {}:1/4 {}:1/4 {}:1/4",
    ":3/4 {}:1/4",
)


def form_for(idiom: str, **fields: object) -> Form:
    """A form that an idiom fits, with the metre and feel it is written for."""
    grid = bass_pattern(idiom).grid
    given = {"meter": str(grid.meter), "feel": grid.feel, "bass": idiom, "key": "C"}
    return read_form("one-chord-vamp", **(given | fields))


LAST: list[tuple[Chart, Played]] = []


def parts(chart: Chart) -> tuple[Part, Part]:
    """Drums and bass, played once for all that is asked of a chart."""
    if not LAST or LAST[0][0] is not chart:
        LAST[:] = [(chart, Played(chart.form))]
    _, band = LAST[0]
    return band.drums, band.bass


@st.composite
def chord_lines(draw: st.DrawFn) -> str:
    names = draw(st.sampled_from((NUMERALS, SYMBOLS)))
    words = []
    for _ in range(draw(st.integers(1, 6))):
        shape = draw(st.sampled_from(BARS))
        chords = [draw(st.sampled_from(names)) for _ in range(shape.count("{}"))]
        words.append(draw(st.sampled_from(names)) + shape.format(*chords))
    return " ".join(words)


@st.composite
def charts(draw: st.DrawFn) -> Chart:
    return unroll(
        form_for(
            draw(st.sampled_from(IDIOMS)),
            chords=draw(chord_lines()),
            key=draw(st.sampled_from(KEYS)).symbol,
            tempo=draw(st.integers(40, 280)),
            choruses=draw(st.integers(1, 4)),
            ending=draw(st.sampled_from(("hit", "ring", "loop"))),
            seed=draw(st.integers(0, 10_000)),
        )
    )


def states(notes: tuple[GridNote, ...], start: int, pitch_class: int, beat: int) -> bool:
    """True if a root is struck at a time, or at most a beat before and held over."""
    return any(
        note.pitch % 12 == pitch_class
        and start - beat <= note.start <= start < note.start + note.length
        for note in notes
    )


def bass_note_of_each_chord_sounds_at_its_change(chart: Chart) -> None:
    _, bass = parts(chart)
    beat = chart.form.meter.beat_ticks
    late = beat if chart.bars[0].bass.late else 0  # where an idiom leaves the one free
    for slot in chart.changes:
        near = tuple(n for n in bass.notes if slot.start - beat <= n.start <= slot.start + late)
        root = slot.chord.lowest.pitch_class
        after = [n for n in near if n.start > slot.start]
        comes = after and after[0].pitch % 12 == root
        assert comes or states(near, slot.start, root, beat), (slot, near)


def line_lies_on_the_instrument_without_leaps_over_an_octave(chart: Chart) -> None:
    _, bass = parts(chart)
    pitches = [note.pitch for note in bass.notes]
    assert min(pitches) >= LOWEST
    assert max(pitches) <= HIGHEST
    assert max((abs(b - a) for a, b in pairwise(pitches)), default=0) <= OCTAVE


def one_note_at_a_time_within_the_track(chart: Chart) -> None:
    _, bass = parts(chart)
    assert all(note.length > 0 for note in bass.notes)
    assert all(a.start + a.length <= b.start for a, b in pairwise(bass.notes))
    assert bass.notes[0].start == chart.start
    assert bass.notes[-1].start < chart.end


def first_note_is_the_lowest_bass_note_of_the_first_chord(chart: Chart) -> None:
    _, bass = parts(chart)
    first = bass.notes[0].pitch
    assert first % 12 == chart.changes[0].chord.lowest.pitch_class
    assert first < LOWEST + 12


def string_and_fret_give_the_pitch(chart: Chart) -> None:
    _, bass = parts(chart)
    for note in bass.notes:
        assert 0 <= note.fret <= FRETS
        assert (43, 38, 33, 28)[note.string - 1] + note.fret == note.pitch  # common practice


LAWS = (
    bass_note_of_each_chord_sounds_at_its_change,
    line_lies_on_the_instrument_without_leaps_over_an_octave,
    one_note_at_a_time_within_the_track,
    first_note_is_the_lowest_bass_note_of_the_first_chord,
    string_and_fret_give_the_pitch,
)


@settings(max_examples=examples(150))
@given(charts())
def test_each_law_holds_for_any_chart(chart: Chart) -> None:
    for law in LAWS:
        law(chart)


@settings(max_examples=examples(30))
@given(charts())
def test_same_seed_gives_the_same_line(chart: Chart) -> None:
    assert Played(chart.form).bass == Played(chart.form).bass


@pytest.mark.parametrize("idiom", IDIOMS)
def test_idiom_has_three_levels_and_cells_to_vary_between(idiom: str) -> None:
    cells = bass_pattern(idiom).cells
    assert {cell.level for cell in cells} == {1, 2, 3}
    assert len({(cell.lines, cell.strokes, cell.held) for cell in cells}) >= 5


def leaps(idiom: str, form: str) -> float:
    """The share of an idiom's intervals that are larger than a sixth, 0 to 1, in twelve keys."""
    wide = total = 0
    for key in ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"]:
        grid = bass_pattern(idiom).grid
        chart = unroll(
            read_form(form, key=key, bass=idiom, meter=str(grid.meter), feel=grid.feel, choruses=3)
        )
        pitches = [note.pitch for note in parts(chart)[1].notes]
        wide += sum(abs(b - a) > MAJOR_SIXTH for a, b in pairwise(pitches))
        total += len(pitches) - 1
    return wide / total


NO_OCTAVES = [
    name
    for name in IDIOMS
    if not any(s.mark == "8" for cell in bass_pattern(name).cells for s in cell.strokes)
]


@pytest.mark.parametrize("idiom", NO_OCTAVES)
def test_leaps_over_a_sixth_are_rare_in_idioms_without_octaves(idiom: str) -> None:
    assert leaps(idiom, "twelve-bar") <= 0.04


def with_kick(bass: Part, drums: Part) -> float:
    """The share of the kick's strokes that have a bass note with them, 0 to 1."""
    kicks = {n.start for n in drums.notes if n.row == "kick" and n.weight > GHOST}
    return len(kicks & {note.start for note in bass.notes}) / len(kicks)


@pytest.mark.parametrize("idiom", ["soul", "ballad", "root-fifth", "one-drop", "sixteenth-funk"])
def test_bassist_falls_in_with_the_kick_he_hears(idiom: str) -> None:
    heard = unheard = 0.0
    for seed in range(12):
        chart = unroll(form_for(idiom, drums="eighths-rock", choruses=4, seed=seed))
        drums, bass = parts(chart)
        silent = Part("drums", (), drums.fills)
        alone = play_bass(planned(chart), silent, Random(f"{seed} bass"))
        heard += with_kick(bass, drums)
        unheard += with_kick(alone, drums)
    assert heard > unheard * 1.05


def test_bassist_leans_on_the_notes_that_the_kick_strikes() -> None:
    chart = unroll(form_for("eighth-pedal", drums="eighths-rock", choruses=1))
    drums, bass = parts(chart)
    beat = chart.form.meter.beat_ticks
    kicks = {n.start for n in drums.notes if n.row == "kick" and n.weight > GHOST}
    plain = [note for note in bass.notes if note.start % beat]  # accents lie on beats
    struck = {n.weight for n in plain if n.start in kicks}
    others = {n.weight for n in plain if n.start not in kicks}
    assert min(struck) > max(others)


@pytest.mark.parametrize("idiom", ["eighth-pedal", "shuffle-boogie", "sixteenth-funk", "samba"])
def test_bass_line_keeps_its_shape_while_the_drummer_fills(idiom: str) -> None:
    plan = planned(unroll(form_for(idiom, chords="I7:2 IV7:2 V7:2 I7:2", choruses=6)))
    drums = play_drums(plan, Random("drums"))
    bass = play_bass(plan, drums, Random("bass"))
    alone = play_bass(plan, replace(drums, fills=()), Random("bass"))
    assert drums.fills
    assert [note.start for note in bass.notes] == [note.start for note in alone.notes]


def test_last_note_of_a_fill_leads_by_step_into_some_other_chords() -> None:
    stepped = checked = 0
    for seed in range(4):
        chart = form_for("eighth-pedal", chords="I7:4 IV7:4", choruses=6, seed=seed)
        drums, bass = parts(unroll(chart))
        ends = {end for _, end in drums.fills}
        for first, second in pairwise(bass.notes):
            if second.start in ends and first.pitch % 12 != second.pitch % 12:
                stepped += 1 <= abs(first.pitch - second.pitch) <= 2
                checked += 1
    assert stepped / checked >= 0.4


def test_tumbao_strikes_the_and_of_two_and_the_four() -> None:
    # Bass tumbao: strikes "2 and" and 4; the 4 already sounds the next chord (common practice).
    chart = unroll(form_for("tumbao", chords="I7 IV7 V7 I7", choruses=2, ending="loop"))
    _, bass = parts(chart)
    bar, beat = chart.form.meter.bar_ticks, chart.form.meter.beat_ticks
    starts = {note.start for note in bass.notes}
    roots = {slot.start: slot.chord.lowest.pitch_class for slot in chart.changes}
    roots[chart.end] = roots[chart.start]
    for each in chart.bars:
        assert each.start + 3 * beat // 2 in starts
        four = next(n for n in bass.notes if n.start == each.start + 3 * beat)
        assert four.pitch % 12 == roots[each.start + bar]
        if each.start > chart.start:
            assert each.start not in starts


def test_loop_leads_back_to_the_first_chord() -> None:
    chart = unroll(form_for("root-fifth", chords="I7:3 IV7", choruses=20, ending="loop"))
    drums = play_drums(planned(chart), Random(1))
    leading = 0
    for seed in range(20):
        bass = play_bass(planned(chart), drums, Random(seed))
        last, first = bass.notes[-1], bass.notes[0]
        leading += 1 <= abs(last.pitch - first.pitch) % 12 <= 2
    assert leading


@pytest.mark.parametrize("idiom", ["ballad", "bolero", "waltz-root", "two-feel"])
def test_long_notes_hold_until_the_next(idiom: str) -> None:
    chart = unroll(form_for(idiom, chords="I IV7:1/2 V7:1/2 vi7 ii7:1/4 V7:3/4", choruses=3))
    _, bass = parts(chart)
    sounding = [(a, b) for a, b in pairwise(bass.notes) if a.weight > GHOST]
    assert all(a.start + a.length == b.start for a, b in sounding)


def test_root_that_cuts_a_held_note_sounds_as_long_as_that_would_have() -> None:
    chart = unroll(form_for("tumbao", chords="I7:3/4 IV7:1/4 I7", choruses=1, count_in=0))
    _, bass = parts(chart)
    beat, bar = chart.form.meter.beat_ticks, chart.form.meter.bar_ticks
    cut = next(note for note in bass.notes if note.start == bar)
    following = next(note for note in bass.notes if note.start > bar)
    assert cut.start + cut.length == following.start
    assert cut.length > beat


# A degree on a chord that has it, alters it, or lacks it: common practice.
@pytest.mark.parametrize(
    ("symbol", "number", "degree"),
    [
        ("C", 3, "3"), ("Cm", 3, "b3"), ("Csus4", 3, "4"), ("Csus2", 3, "2"), ("C5", 3, "5"),
        ("C7alt", 3, "3"), ("Cdim", 5, "b5"), ("C+", 5, "#5"), ("C7alt", 5, "b13"),
        ("C7b5", 5, "b5"), ("C", 7, "6"), ("Cm", 7, "b7"), ("C5", 7, "b7"), ("Csus4", 7, "b7"),
        ("C7", 7, "b7"), ("Cmaj7", 7, "7"), ("Cdim7", 7, "bb7"), ("C6", 7, "6"), ("C+", 7, "1"),
        ("Cdim", 7, "1"), ("C", 6, "6"), ("C7", 6, "6"), ("Cm7", 6, "6"), ("Cm7b5", 6, "b6"),
        ("C7#5", 6, "#5"), ("C7b9", 6, "6"), ("C7alt", 6, "b6"), ("C5", 6, "6"),
    ],
)  # fmt: skip
def test_degree_stands_for_what_the_chord_has(symbol: str, number: int, degree: str) -> None:
    assert str(chord_degree(parse_chord(symbol), number)) == degree


SUFFIXES = (
    "", "m", "dim", "+", "5", "sus4", "sus2", "6", "m6", "6/9", "7", "m7", "maj7", "m(maj7)",
    "dim7", "m7b5", "9", "m9", "maj9", "11", "m11", "13", "m13", "maj13", "7sus4", "9sus4", "7b5",
    "7#5", "7b9", "7#9", "7#11", "7b13", "7alt", "maj7#11", "add9", "madd9", "no5", "7no3",
)  # fmt: skip


@pytest.mark.parametrize("suffix", SUFFIXES)
@pytest.mark.parametrize("number", [3, 5, 7])
def test_third_fifth_and_seventh_never_clash_with_the_chord(suffix: str, number: int) -> None:
    chord = parse_chord(f"C{suffix}")
    tone = (chord.lowest.pitch_class + above_bass(chord, number)) % 12
    tones = {note.pitch_class for note in chord.notes}
    added = {"5": {7}, "7": {9, 10}}.get(str(number), set())  # a fifth, a sixth, a minor seventh
    assert tone in tones | added


def test_degrees_of_a_slash_chord_are_counted_from_its_bass_note() -> None:
    chord = parse_chord("C/E")
    assert [above_bass(chord, number) for number in (3, 5)] == [0, 3]


def test_hand_stays_in_its_position_where_it_can() -> None:
    # The box in C from the eighth fret of the low string: two frets on three strings.
    line = [36, 43, 46, 48]
    places = positions(line)
    frets = [fret for _, fret in places if fret]
    assert max(frets) - min(frets) <= 4


def test_open_strings_are_the_common_tuning() -> None:
    assert OPEN_STRINGS == (43, 38, 33, 28)  # E1 A1 D2 G2: common practice
