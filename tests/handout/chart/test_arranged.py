"""Charts of arrangements: read as they are written they give back the road, with all its marks.

Source of the signs' meaning: common practice of engravers; after a D.S. repeats are taken only
where that is said, and the coda is taken the last time.
"""

from __future__ import annotations

import re
from functools import cache

import pytest
from hypothesis import given, settings

from groove.form.chart import Chart
from groove.form.readers import READERS
from groove.form.unroll import unroll
from groove.handout.chart.bar import WrittenBar
from groove.handout.chart.pages import chart_pages
from groove.handout.chart.text import WIDTH, chart_text
from groove.handout.chart.written import WrittenChart, write_chart
from groove.handout.drawing.page import PAPERS, Text
from groove.theory.chords import Chord
from tests.examples import examples
from tests.form.road_material import EXAMPLES, arranged, example, forms

Played = list[tuple[tuple[int, Chord, bool], ...]]


@cache
def written(name: str) -> WrittenChart:
    return write_chart(example(name).form)


def numbers(bracket: str) -> set[int]:
    found: set[int] = set()
    for part in bracket.split(","):
        ends = [int(number) for number in re.findall(r"\d+", part)]
        found |= set(range(ends[0], ends[-1] + 1))
    return found


def times(bars: tuple[WrittenBar, ...], opened: int) -> int:
    """How often the repeat that opens at a bar is played."""
    close = next(n for n in range(opened, len(bars)) if bars[n].closes)
    if not bars[close].in_bracket:
        return bars[close].times
    found: set[int] = set()
    for bar in bars[opened:]:
        if found and not bar.in_bracket:
            break
        found |= numbers(bar.bracket) if bar.bracket else set()
    return max(found)


def read(bars: tuple[WrittenBar, ...], at: int = 0, *, back: str = "") -> list[int]:
    """The bars in the order in which a player reads them; back: the words of the D.S."""
    way: list[int] = []
    opened, time, total, top, round_ = -1, 1, 1, 0, 1
    while at < len(bars):
        bar = bars[at]
        if bar.tops and top != at:
            top, round_ = at, 1
        if bar.opens and opened != at:
            opened, total = at, times(bars, at)
            time = total if back and "with repeats" not in back else 1
        if bar.bracket and time not in numbers(bar.bracket):
            at = next(n for n in range(at + 1, len(bars)) if bars[n].bracket)
            continue
        way.append(at)
        under = next((b.bracket for b in reversed(bars[: at + 1]) if b.bracket), "")
        last_time = time == (max(numbers(under)) if bar.in_bracket else total)
        if back and last_time and bar.fine:
            return way
        if back and last_time and bar.to_coda:
            return way + read(bars, next(n for n, b in enumerate(bars) if b.coda))
        if bar.closes and time < total:
            time, at = time + 1, opened
            continue
        if bar.closes or (bar.in_bracket and not bars[min(at + 1, len(bars) - 1)].in_bracket):
            time = total = 1
        if bar.again and round_ < int(re.findall(r"(\d+) times", bar.again)[0]):
            round_, at, opened = round_ + 1, top, -1
            continue
        if bar.jump:
            segno = next(n for n, b in enumerate(bars) if b.segno)
            return way + read(bars, segno, back=bar.jump)
        at += 1
    return way


def chords(chart: Chart) -> Played:
    return [
        tuple((s.start - bar.start, s.chord, s.early > 0) for s in bar.slots) for bar in chart.bars
    ]


def as_read(chart: WrittenChart) -> Played:
    return [
        tuple((c.start, c.chord, c.early > 0) for c in chart.bars[at].chords)
        for at in read(chart.bars)
    ]


@pytest.mark.parametrize("name", EXAMPLES)
def test_chart_of_an_example_reads_back_as_its_road(name: str) -> None:
    assert as_read(written(name)) == chords(example(name))


@given(forms())
@settings(max_examples=examples(60))
def test_chart_of_any_road_reads_back_as_the_road(made) -> None:  # type: ignore[no-untyped-def]
    assert as_read(write_chart(made)) == chords(unroll(made))


@given(forms())
@settings(max_examples=examples(40))
def test_metre_and_key_are_those_of_the_last_sign_that_was_read(made) -> None:  # type: ignore[no-untyped-def]
    chart, road = write_chart(made), unroll(made)
    meter, key = chart.meter, chart.key
    for at, bar in zip(read(chart.bars), road.bars, strict=True):
        shown = chart.bars[at]
        meter = shown.meter if shown.change.meter else meter
        key = shown.change.key or key
        assert (str(meter), key) == (str(bar.meter), bar.key)


@pytest.mark.parametrize("name", EXAMPLES)
def test_number_of_a_bar_is_that_of_the_first_time_it_is_read(name: str) -> None:
    bars = written(name).bars
    way = read(bars)
    for at, bar in enumerate(bars):
        assert bar.number == (0 if bar.rest else way.index(at) + 1)


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("paper", PAPERS.values(), ids=list(PAPERS))
def test_example_stands_on_two_pages_and_one_with_a_melody_on_three(name: str, paper) -> None:  # type: ignore[no-untyped-def]
    most = 3 if name == "pop-song" else 2
    assert len(chart_pages(written(name), paper)) <= most


@given(forms())
@settings(max_examples=examples(20))
def test_text_of_any_road_fits_80_columns(made) -> None:  # type: ignore[no-untyped-def]
    assert max(map(len, chart_text(write_chart(made)).splitlines())) <= WIDTH


def words(name: str) -> list[str]:
    pages = chart_pages(written(name), PAPERS["a4"])
    return [mark.text for page in pages for mark in page.marks if isinstance(mark, Text)]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("latin-swing-aaba", ["Swing", "Mambo", "To Coda", "back to A, 5 times in all",
                              "D.S. al Coda, with repeats", "pedal C", "3 times", "2.", "twice"]),
        ("modal-vamp", ["Bossa", "F major", "D minor", "E♭ minor", "pedal E♭", "on cue: Bridge",
                        "8 times", "rit."]),
        ("pop-song", ["half-time feel", "E major", "Nobody told me ...", "guitar solo"]),
        ("stop-time-blues", ["Stop-time", "C blues", "rit. last time", "pickup G7", "to finish"]),
    ],
)  # fmt: skip
def test_words_of_an_example_stand_on_its_chart(name: str, said: list[str]) -> None:
    shown = words(name)
    for word in said:
        assert any(word in text for text in shown), word


def test_kicks_stops_and_pushes_have_their_rhythms() -> None:
    bars = written("latin-swing-aaba").bars
    kick = next(bar for bar in bars if bar.number == 14)
    struck = [n.start for n in kick.rhythm if not n.rest]
    assert (struck, kick.stops, kick.rhythm[0].tied) == ([0, 1440, 2880], False, True)
    (early,) = next(bar for bar in bars if bar.number == 13).rhythm
    assert (early.start, early.length, early.ties) == (3360, 480, True)
    swung = next(bar for bar in bars if bar.number == 32)
    assert [(n.start, n.length) for n in swung.rhythm if not n.rest] == [
        (0, 480), (1440, 480), (1920, 1920),
    ]  # fmt: skip
    stops = next(bar for bar in written("stop-time-blues").bars if bar.number == 52)
    assert stops.stops
    assert [note.whole_bar for note in stops.rhythm] == [True]


def test_a_transposing_reader_sees_the_changes_in_the_keys_of_the_part() -> None:
    chart = write_chart(example("modal-vamp").form, READERS["Bb"])
    keys = [str(bar.change.key) for bar in chart.bars if bar.change.key]
    assert (str(chart.key), keys[:2]) == ("E minor", ["G major", "E minor"])


def sung(name: str, reader: str = "concert") -> list[str]:
    """The melody of the first bars that have one, its rests left out."""
    chart = write_chart(example(name).form, READERS[reader])
    notes = [tune for bar in chart.bars for tune in bar.melody if not tune.note.rest]
    return [f"{tune.name}{tune.octave}:{tune.note.length // 960}" for tune in notes[:6]]


def test_melody_is_written_as_the_file_has_it_and_a_tone_higher_for_a_trumpet() -> None:
    assert sung("pop-song") == ["F#4:2", "E4:2", "E4:4", "D4:2", "B3:2", "D4:4"]
    assert sung("pop-song", "Bb") == ["G#4:2", "F#4:2", "F#4:4", "E4:2", "C#4:2", "E4:4"]


def test_melody_moves_with_the_key_of_its_chorus() -> None:
    bars = [bar for bar in written("pop-song").bars if bar.melody]
    first, last = bars[0], bars[-8]
    assert [str(tune.name) for tune in first.melody] == ["F#", "E"]
    assert [str(tune.name) for tune in last.melody] == ["G#", "F#"]
    assert (first.signature, last.signature) == (2, 4)


def test_text_has_the_melody_as_the_file_has_it() -> None:
    rows = [row.split() for row in chart_text(written("pop-song")).splitlines()]
    assert ["F♯4:2", "E4:2", "E4:4", "D4:2", "B3:2", "D4:4"] in rows


def test_loudness_of_the_whole_form_stands_at_its_first_bar() -> None:
    made = arranged(chords="I IV V I", dynamics="p-f", kicks={"2": "x..x ..x."})
    assert write_chart(made).bars[0].words == ("p to f",)
    plain = arranged(chords="I IV V I", dynamics="mp", kicks={"2": "x..x ..x."})
    assert write_chart(plain).bars[0].dynamic == "mp"
