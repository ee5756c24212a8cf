"""The chart as written: repeats, endings, simile signs and lines."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings

import groove
from groove.form.model import Form
from groove.form.readers import READERS
from groove.form.unroll import unroll
from groove.form.words import feel_words
from groove.handout.chart.written import WrittenChart, write_chart
from groove.theory.chords import Chord, parse_chord
from groove.theory.roman import parse_numeral
from groove.theory.symbols import numeral, signs, symbol
from tests.cases import in_turn
from tests.examples import examples
from tests.handout.chart.chart_material import FORMS, form, forms, shipped
from tests.theory.key_material import KEYS


def played(chart: WrittenChart) -> list[tuple[tuple[int, int, Chord], ...]]:
    """The bars of a written chart in the order in which a reader plays them."""
    bars, out, time, start, at = chart.bars, [], 1, 0, 0
    while at < len(bars):
        bar = bars[at]
        if bar.opens:
            start = at
        if bar.bracket and str(time) not in _times(bar.bracket):
            at = next(n for n in range(at + 1, len(bars)) if bars[n].bracket)
            continue
        out.append(tuple((p.start, p.length, p.chord) for p in bar.chords))
        last = bar.times if bar.times > 1 else chart.choruses
        if bar.closes and time < last:
            at, time = start, time + 1
            continue
        at += 1
    return out


def _times(bracket: str) -> list[str]:
    numbers = [int(word) for word in bracket.replace(".", "").split("–")]
    return [str(n) for n in range(numbers[0], numbers[-1] + 1)]


def sounding(given: Form) -> list[tuple[tuple[int, int, Chord], ...]]:
    return [
        tuple((slot.start - bar.start, slot.length, slot.chord) for slot in bar.slots)
        for bar in unroll(given).bars
    ]


@pytest.mark.parametrize("name", FORMS)
def test_reading_the_chart_gives_the_bars_of_the_track(name: str) -> None:
    assert played(write_chart(shipped(name))) == sounding(shipped(name))


@given(forms())
@settings(max_examples=examples(60))
def test_any_chart_reads_back_as_the_track(made: Form) -> None:
    assert played(write_chart(made)) == sounding(made)


@given(forms())
@settings(max_examples=examples(30))
def test_simile_sign_stands_only_for_a_bar_like_its_neighbour_on_the_line(made: Form) -> None:
    for line in write_chart(made).lines:
        assert not line[0].same
        for before, bar in pairwise(line):
            assert not bar.same or bar.chords == before.chords


def test_lines_hold_four_bars() -> None:
    assert [len(line) for line in write_chart(shipped("twelve-bar", ending="loop")).lines] == [
        4
    ] * 3


def test_section_begins_a_line() -> None:
    made = form(sections=[{"name": "A", "chords": "I:3"}, {"name": "B", "chords": "IV:4"}])
    lines = write_chart(made).lines
    assert [line[0].section for line in lines[:2]] == ["A", "B"]


def test_turnaround_that_leads_to_other_keys_stands_under_brackets() -> None:
    made = shipped("twelve-bar", turnaround=True, choruses=4, key_cycle="fourths")
    bars = write_chart(made).bars
    assert [bar.bracket for bar in bars if bar.bracket] == ["1.–3.", "4."]


@pytest.mark.parametrize("name", FORMS)
@pytest.mark.parametrize("cycle", ["none", "fourths"])
def test_no_ending_repeats_the_bars_of_another(name: str, cycle: str) -> None:
    bars = write_chart(shipped(name, choruses=3, key_cycle=cycle)).bars
    endings: list[list[object]] = []
    for bar in bars:
        if bar.bracket:
            endings.append([])
        if bar.in_bracket and not bar.rest:
            endings[-1].append(bar.chords)
    assert len(endings) in (0, 2)
    assert not endings or endings[0] != endings[1]


def test_without_turnaround_the_repeat_says_how_often() -> None:
    bars = write_chart(shipped("twelve-bar", choruses=5)).bars
    assert [bar.times for bar in bars if bar.closes] == [5]
    assert not any(bar.bracket for bar in bars)


def test_one_chorus_has_no_repeat_signs() -> None:
    bars = write_chart(shipped("twelve-bar", choruses=1)).bars
    assert not any(bar.opens or bar.closes for bar in bars)
    assert bars[-1].last


def test_chord_that_goes_on_into_a_bar_is_written_again() -> None:
    bars = write_chart(form(chords="I:3/2 IV:1/2")).bars
    assert [str(placed.chord) for placed in bars[1].chords] == ["C", "F"]


CHANGING = {"key_cycle": "fourths", "tempo_step": 6, "turnaround": True}


@pytest.mark.parametrize("name", ["twelve-bar", "jazz-twelve-bar"])
@pytest.mark.parametrize("turnaround", [True, False])
def test_first_chorus_and_end_of_a_cycle_are_written_as_they_are_played(
    name: str, turnaround: bool
) -> None:
    made = shipped(name, choruses=3, tempo=100, **(CHANGING | {"turnaround": turnaround}))
    bars, track = played(write_chart(made)), sounding(made)
    size = len(track) // 3
    assert bars[:size] == track[:size]
    last = sum(bar.in_bracket and not bar.closes for bar in write_chart(made).bars)
    assert bars[-max(last, 1) :] == track[-max(last, 1) :]


@pytest.mark.parametrize("turnaround", [True, False])
@pytest.mark.parametrize("reader", ["concert", "Eb"])
def test_short_form_is_written_out_in_each_key_of_a_cycle_as_it_is_played(
    turnaround: bool, reader: str
) -> None:
    made = form(key="C", chords="ii7 V7 Imaj7:2", choruses=14, key_cycle="fourths",
                turnaround="iii7:1/2 VI7:1/2" if turnaround else False)  # fmt: skip
    track = sounding(made)
    rows = write_chart(made, READERS[reader]).others
    shift = READERS[reader].fifths * 7
    for number, row in enumerate(rows, 1):
        bars = [bar for line in row.lines for bar in line]
        written = [(p.start, p.length, p.chord.root.pitch_class) for b in bars for p in b.chords]
        heard = [
            (start, length, (chord.root.pitch_class + shift) % 12)
            for bar in track[4 * number : 4 * number + 4]
            for start, length, chord in bar
        ]
        assert written == heard
    assert len(rows) == 11


def test_long_form_is_written_in_its_first_key_alone() -> None:
    assert write_chart(shipped("twelve-bar", choruses=3, **CHANGING)).others == ()


def test_words_say_how_keys_and_tempo_go_on() -> None:
    made = shipped("twelve-bar", choruses=4, tempo=100, **CHANGING)
    assert write_chart(made).course == (
        "Each chorus up a fourth: C F B♭ E♭.",
        "Written in C, its turnaround leading to F; the end is in E♭.",
        "Tempo 100, then 6 faster each chorus: 118 in the last.",
    )


def test_keys_of_a_cycle_are_those_that_the_reader_writes() -> None:
    made = shipped("twelve-bar", choruses=3, key_cycle="down")
    assert write_chart(made, READERS["Eb"]).course[0] == "Each chorus down a semitone: A A♭ G."


def test_long_cycle_names_each_key_once() -> None:
    (keys, _) = write_chart(shipped("twelve-bar", choruses=25, key_cycle="fifths")).course
    assert keys == "Each chorus up a fifth: C G D A E B F♯ D♭ A♭ E♭ B♭ F, and round again."


def test_slower_ladder_says_so() -> None:
    made = shipped("twelve-bar", choruses=2, tempo=100, tempo_step=-2.5)
    assert write_chart(made).course == (
        "Tempo 100, then 2.5 slower each chorus: 97.5 in the last.",
    )


@pytest.mark.parametrize("choruses", [1, 3])
def test_nothing_is_said_where_nothing_changes(choruses: int) -> None:
    changing = CHANGING if choruses == 1 else {}
    assert write_chart(shipped("twelve-bar", choruses=choruses, **changing)).course == ()


@pytest.mark.parametrize(
    ("name", "values", "words"),
    [
        ("twelve-bar", {}, "Medium shuffle"),
        ("twelve-bar", {"tempo": 72}, "Slow shuffle"),
        ("twelve-bar", {"feel": "straight", "drums": "eighths-rock"}, "Medium straight eighths"),
        (
            "twelve-bar",
            {"feel": "straight", "drums": "sixteenths-rock"},
            "Medium straight sixteenths",
        ),
        ("twelve-bar", {"swing_ratio": 1.5, "feel": "swing", "tempo": 140}, "Medium swing"),
        ("twelve-bar", {"drums": "bossa", "tempo": 144}, "Bright bossa"),
        ("twelve-bar", {"drums": "mambo"}, "Mambo"),
        ("twelve-bar", {"meter": "12/8", "tempo": 56}, "Slow 12/8"),
        ("twelve-bar", {"drums": "sixteenth-funk", "feel": "swing"}, "Slow swing, in sixteenths"),
    ],
)
def test_feel_in_words(name: str, values: dict[str, object], words: str) -> None:
    assert feel_words(shipped(name, **values)) == words


@pytest.mark.parametrize(
    ("text", "shown"),
    [("Bbm7b5", "B♭m7♭5"), ("F#dim7", "F♯°7"), ("Dbmaj7/F", "D♭maj7/F"), ("E7#9", "E7♯9"),
     ("Cadd9", "Cadd9"), ("Abm(maj7)", "A♭m(maj7)"), ("Bb(b5)", "B♭(♭5)")],
)  # fmt: skip
def test_symbols_have_real_signs(text: str, shown: str) -> None:
    assert str(symbol(parse_chord(text))) == shown


def test_signs_leave_words_alone() -> None:
    assert signs("sub") == "sub"


@in_turn("key", KEYS, ids=str)
@in_turn("text", ["I7", "ii7", "bIIImaj7", "#IVdim7", "V7#9", "bVI", "vii7b5", "I/3"])
def test_numeral_is_that_from_which_the_chord_came(key, text: str) -> None:  # type: ignore[no-untyped-def]
    chord = parse_numeral(text).chord(key)
    assert parse_numeral(numeral(chord, key)).chord(key) == chord


@pytest.mark.parametrize(
    ("reader", "key"), [("concert", "C"), ("Bb", "D"), ("Eb", "A"), ("F", "G"), ("bass-clef", "C")]
)
def test_concert_c_as_each_reader_sees_it(reader: str, key: str) -> None:
    chart = write_chart(shipped("twelve-bar"), READERS[reader])
    assert str(chart.key.tonic) == key
    assert str(chart.bars[0].chords[0].chord) == f"{key}7"


@in_turn("key", KEYS, ids=str)
@in_turn("reader", ["Bb", "Eb", "F"])
def test_transposed_key_has_at_most_six_signs(key, reader: str) -> None:  # type: ignore[no-untyped-def]
    assert abs(READERS[reader].key(key).signature) <= 6


def test_a_chart_without_its_ending_refers_to_the_separate_chart() -> None:
    whole = write_chart(groove.read_form("twelve-bar"))
    cut = whole.without_ending()
    assert len(whole.bars) > len(cut.bars) == 12
    assert "separate chart" in cut.head_words[-1]
    loop = write_chart(groove.read_form("twelve-bar", ending="loop"))
    assert loop.without_ending() == loop
