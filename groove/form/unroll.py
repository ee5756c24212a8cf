"""Unrolls a form: the road, time for time round each line, to bars, chords and tempi."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from groove.form.chart import Bar, Chart, Pass, Round, Slot, cut
from groove.form.choruses import FIFTHS_UP, at, moved_key, tuning_bars
from groove.form.ending.added import added
from groove.form.ending.choice import NONE, Landing, version_for
from groove.form.ending.pattern import ending
from groove.form.model import Form, Line, Own
from groove.form.road.directed import directed
from groove.form.road.phrasing import courses, turns
from groove.form.road.tempo_course import tempo_course
from groove.form.setting import Settings
from groove.form.written_chords import (
    PlacedRound,
    placed_round,
    resting_chord,
    section_key,
)
from groove.rhythm.meter import ticks_to_seconds
from groove.rhythm.note_line import Riff
from groove.theory.keys import Key


@dataclass(frozen=True, slots=True)
class _Time:
    """One time round a line: home's key and tempo in it."""

    line: Line
    index: int
    time: int
    home: Key
    tempo: float


def unroll(form: Form) -> Chart:
    """The chart of a form.

    A turnaround leads on: its chords are in the key of what follows.
    """
    settings = Settings(form)
    times = list(_times(form))
    known: dict[tuple[object, ...], PlacedRound] = {}
    placed: list[PlacedRound] = []
    for number, here in enumerate(times):
        coming = _first_key(form, times[min(number + 1, len(times) - 1)])
        of = here.index, here.home, here.tempo, coming
        if of not in known:
            known[of] = placed_round(form, here.line, here.home, here.tempo, coming, settings)
        placed.append(known[of])
    first = placed[0].bars[0].setting
    before = tuning_bars(form, first.meter, first.tempo) + form.count_in
    bars, changes, rounds = _laid_out(form, times, placed, before * first.meter.bar_ticks)
    played = None
    if _adds(form):
        home = _landing(form, times[-1], placed[-1], settings)
        played = added(ending(form.ending), home, bars[-1])
        changes += played.slots
        bars += played.bars
    changes = [*_pickup(form, bars[0]), *changes]
    sounding = _anticipated(changes)
    bars, figures = directed(form, bars, rounds, sounding)
    if played:
        figures += played.figures
    course = tempo_course(bars, rounds, form.lines, played.slows if played else None)
    return Chart(form, tuple(bars), sounding, tuple(rounds), course, figures)


def _adds(form: Form) -> bool:
    return form.ending not in NONE


def landing(form: Form) -> Landing:
    """The place that the track comes to rest at the end of its road."""
    *_, last = _times(form)
    settings = Settings(form)
    whole = placed_round(form, last.line, last.home, last.tempo, last.home, settings)
    return _landing(form, last, whole, settings)


def _landing(form: Form, last: _Time, whole: PlacedRound, settings: Settings) -> Landing:
    """The place that the track comes to rest, after its last time round a line."""
    key = whole.keys[-1]
    spans = [
        (span, *section_key(form, play.section.own, last.home))
        for play in last.line.plays
        for span in play.section.all_spans
    ]
    chords = [span.chord(k, shift) for span, k, shift in spans if k == key]
    home = resting_chord(key, [c for c in chords if c], whole.slots[-1].chord)
    of = last.line.plays[-1].section.own
    return Landing(settings.of(last.line.own, of, last.tempo), key, home)


def _pickup(form: Form, first: Bar) -> list[Slot]:
    """The chords under the end of the count-in."""
    total = sum((span.bars for span in form.pickup), Fraction(0))
    slots: list[Slot] = []
    for span in form.pickup:
        start = first.start - int(total * first.length)
        total -= span.bars
        chord = span.chord(form.key, form.fifths)
        if chord:
            ticks = int(span.bars * first.length)
            slots.append(Slot(start, ticks, chord, root_only=span.root_only))
    return slots


def length(form: Form) -> float:
    """Seconds of the whole track, the ending's bars included, ritardandi and fermatas not counted;
    a loop has no ending."""
    settings = Settings(form)
    times = list(_times(form))
    played = [
        (settings.of(time.line.own, play.section.own, time.tempo), play.last - play.first)
        for time in times
        for play in time.line.plays
    ]
    first, last = played[0][0], played[-1][0]
    before = tuning_bars(form, first.meter, first.tempo) + form.count_in
    more = len(version_for(ending(form.ending), landing(form)).bars) if _adds(form) else 0
    return sum(
        bars * ticks_to_seconds(here.meter.bar_ticks, here.tempo, here.meter)
        for here, bars in [(first, before), *played, (last, more)]
    )


def _times(form: Form) -> Iterator[_Time]:
    """Each time round each line, with home's key and tempo there."""
    for index, line in enumerate(form.lines):
        own = line.own
        cycle = own.get("key_cycle", "none" if form.order else form.key_cycle)
        step = own.get("tempo_step", 0.0 if form.order else form.tempo_step)
        moved = own.get("key", 0)
        if isinstance(moved, str):
            to = Key.parse(moved, form.written_key.mode).tonic.fifths
            moved = to - form.written_key.tonic.fifths
        else:
            moved *= FIFTHS_UP["up"]
        tempo = line_tempo(form, own)
        for time in range(line.times):
            faster = round(tempo + step * time, 6) if step else tempo
            home = moved_key(form.key, moved + FIFTHS_UP[cycle] * time)
            yield _Time(line, index, time, home, faster)


def line_tempo(form: Form, own: Own) -> float:
    """The tempo of the first time round a line, its own scaled as the form's is."""
    if "tempo" not in own:
        return form.tempo
    return float(own.get("tempo") * form.tempo / form.written_tempo)


def first_tempo(form: Form) -> float:
    """The felt beats a minute of the first bar."""
    first = next(_times(form))
    own = first.line.plays[0].section.own
    return Settings(form).of(first.line.own, own, first.tempo).tempo


def _first_key(form: Form, time: _Time) -> Key:
    return section_key(form, time.line.plays[0].section.own, time.home)[0]


def _laid_out(
    form: Form, times: Sequence[_Time], placed: Sequence[PlacedRound], start: int
) -> tuple[list[Bar], list[Slot], list[Round]]:
    """All rounds one after the other: their bars, the chords at their written places, the times."""
    marks = turns(placed)
    levels = courses(form, [time.line for time in times], placed)
    bars: list[Bar] = []
    changes: list[Slot] = []
    rounds: list[Round] = []
    sung: dict[str, int] = {}
    for number, (time, here) in enumerate(zip(times, placed, strict=True)):
        first = len(bars)
        moved = [
            Slot(s.start + start, s.length, s.chord, s.early, s.silent, s.root_only, s.pedal)
            for s in here.slots
        ]
        changes += moved
        lines = [*(bar.start + start for bar in here.bars), start + here.length]
        for index, (bar, slots) in enumerate(zip(here.bars, cut(moved, lines), strict=True)):
            section = time.line.plays[bar.play].section
            road = len(bars)
            turn, top = marks[road]
            busy, loud = levels[road]
            bars.append(
                Bar(
                    bar.start + start, bar.length, number, index + 1, section.name, turn, top, busy,
                    slots, bar.setting, bar.key, road + 1, bar.in_section,
                    bar.in_section - 1 if form.order else road, loud,
                )
            )  # fmt: skip
        passes = _passes(form, time, here, start, first, sung)
        swing = at(form, time.home, time.tempo).swing_ratio
        rounds.append(
            Round(
                start, start + here.length, time.home, time.tempo, swing, time.index, time.time,
                first, len(bars), passes,
            )
        )  # fmt: skip
        start += here.length
    return bars, changes, rounds


def _passes(
    form: Form, time: _Time, here: PlacedRound, start: int, first: int, sung: dict[str, int]
) -> tuple[Pass, ...]:
    passes = []
    index = 0
    for place, play in enumerate(time.line.plays):
        size = play.last - play.first
        begin = here.bars[index]
        end = here.bars[index + size - 1]
        texts = play.section.own.get("lyrics", ())
        name = play.section.name
        verse = sung.get(name, 0)
        sung[name] = verse + 1
        passes.append(
            Pass(
                play.section, play.ending, time.index, time.time, time.line.times, place,
                time.line.name, start + begin.start, start + end.start + end.length,
                first + index, first + index + size, here.keys[place],
                texts[verse] if verse < len(texts) else "",
                play.section.own.get("melody"),
                riff_of(form, time.line.own, play.section.own),
            )
        )  # fmt: skip
        index += size
    return tuple(passes)


def riff_of(form: Form, line: Own, section: Own) -> Riff | None:
    """The riff that is played in a section of a line; None if none is."""
    name = next((own.get("riff") for own in (line, section) if "riff" in own), "")
    return next((riff for riff in form.riffs if riff.name == name), None)


def _anticipated(written: list[Slot]) -> tuple[Slot, ...]:
    """The chords where they sound: a pushed one takes the end of the one before.

    What is pushed at the start of the track comes on its beat.
    """
    slots: list[Slot] = []
    for slot in written:
        early = min(slot.early, slots[-1].length - 1) if slots else 0
        if early:
            slots[-1] = replace(slots[-1], length=slots[-1].length - early)
        if early or slot.early:
            slot = replace(slot, start=slot.start - early, length=slot.length + early, early=early)
        slots.append(slot)
    return tuple(slots)
