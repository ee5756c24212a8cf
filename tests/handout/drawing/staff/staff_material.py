"""Lines of notes for the tests of staves and tablature."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from hypothesis import strategies as st

from groove.instrument.fretboard import Place, Tuning, read_tuning, tunings
from groove.lesson.line import BENDS, JOINS, SLIDE, LineBar, LineNote, NoteLine
from groove.rhythm.meter import METERS, TICKS_PER_QUARTER, Meter
from groove.theory.chords import parse_chord
from groove.theory.keys import Key
from groove.theory.pitch import spelled

QUARTER = TICKS_PER_QUARTER
FOUR = METERS["4/4"]
GUITAR = read_tuning("guitar")
KEYS = ("C", "A", "Eb", "F#", "Cm", "Gb", "G#m")
CHORDS = ("A7", "Dm7b5", "E7#9", "Bbmaj7/D", "F#dim7")


def bars(count: int, meter: Meter = FOUR, key: str = "A", chords: str = "A7") -> list[LineBar]:
    named = [((0, parse_chord(chords)),) for _ in range(count)]
    return [
        LineBar(n * meter.bar_ticks, meter.bar_ticks, meter, Key.parse(key), over)
        for n, over in enumerate(named)
    ]


def note(
    start: float | Fraction,
    length: float | Fraction,
    string: int,
    fret: int,
    tuning: Tuning = GUITAR,
    key: str = "A",
    **more: object,
) -> LineNote:
    """A note at a place; start and length in quarter notes."""
    place = Place(string, fret)
    pitch = tuning.pitch(place)
    name = spelled(pitch, Key.parse(key).tonic)
    ticks = int(start * QUARTER), int(length * QUARTER)
    return LineNote(*ticks, name, pitch, place, **more)  # type: ignore[arg-type]


def line(notes: Sequence[LineNote], over: Sequence[LineBar] = (), name: str = "") -> NoteLine:
    return NoteLine(name, tuple(notes), tuple(over or bars(1)))


@st.composite
def lines(draw: st.DrawFn, most_bars: int = 4) -> NoteLine:
    """Lines in any metre and key, on any neck: rests, double stops, triplets, ties and joins,
    none too full for a system."""
    meter = METERS[draw(st.sampled_from(list(METERS)))]
    key = draw(st.sampled_from(KEYS))
    tuning = draw(st.sampled_from(list(tunings().values())))
    count = draw(st.integers(1, most_bars))
    over = []
    for number in range(count):
        at = draw(st.sampled_from([0, meter.beat_starts[-1]]))
        chords = tuple(
            (start, parse_chord(draw(st.sampled_from(CHORDS)))) for start in sorted({0, at})
        )
        over.append(
            LineBar(number * meter.bar_ticks, meter.bar_ticks, meter, Key.parse(key), chords)
        )
    units = [QUARTER // 4, QUARTER // 2] + ([] if meter.is_compound else [QUARTER // 3])
    places = []
    for number in range(count):
        edges = [*meter.beat_starts, meter.bar_ticks]
        for start, end in pairwise(edges):
            unit = draw(st.sampled_from(units))
            whole = start % QUARTER == 0 and end - start == QUARTER
            unit = unit if whole else QUARTER // 4
            if meter.bar_ticks > FOUR.bar_ticks:  # a bar that fits in the width
                unit = max(unit, QUARTER // (3 if whole and not meter.is_compound else 2))
            grid = range(number * meter.bar_ticks + start, number * meter.bar_ticks + end, unit)
            places += [tick for tick in grid if draw(st.booleans())]
    ends = [*places, count * meter.bar_ticks][1:]
    notes: list[LineNote] = []
    for start, end in zip(places, ends, strict=True):
        first = draw(st.integers(1, len(tuning.open_strings)))
        fret = draw(st.integers(0, 15))
        struck = [Place(first, fret)]
        if first > 1 and draw(st.integers(0, 4)) == 0:
            struck.append(Place(first - 1, fret))
        joined = draw(st.sampled_from(["", "", *JOINS])) if notes else ""
        bend = draw(st.sampled_from([Fraction(0)] * 4 + list(BENDS)))
        bend = Fraction(0) if joined == SLIDE or end - start < QUARTER // 2 else bend
        for place in struck:
            pitch = tuning.pitch(place)
            name = spelled(pitch, Key.parse(key).tonic)
            released = bool(bend) and draw(st.booleans())
            notes.append(
                LineNote(start, end - start, name, pitch, place, 0, joined, bend, released)
            )
    made = sorted(notes, key=lambda each: (each.start, each.pitch))
    return NoteLine(tuning.title, tuple(made), tuple(over))


def tuning_of(made: NoteLine) -> Tuning:
    """The neck on which a line of `lines` is made."""
    return next(tuning for tuning in tunings().values() if tuning.title == made.name)
