"""Unrolls a form: the road, time for time round each line, to bars, chords and tempi."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from groove.form.chart import NOBODY, Bar, Chart, Figure, FigureStroke, Pass, Round, Slot, cut
from groove.form.choruses import FIFTHS_UP, at, moved_key, tuning_bars
from groove.form.intensity import Stretch, levels, slow_rise
from groove.form.model import Form, Line, Own
from groove.form.road.directions import at_bar
from groove.form.road.tempo_course import tempo_course
from groove.form.setting import Settings
from groove.form.written_chords import (
    PlacedRound,
    placed_round,
    resting_chord,
    section_key,
)
from groove.rhythm.meter import Meter, ticks_to_seconds
from groove.rhythm.note_line import Riff
from groove.theory.keys import Key

PHRASE = 4  # bars, counted from the start of a section
BETWEEN_TOPS = 8  # bars, at least
EVERYBODY_ELSE = frozenset(("bass", "comping", "guitar", "keys", "percussion", "riff", "melody"))


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
    if form.ending not in ("loop", "written"):
        key = bars[-1].key
        last = times[-1].line.plays
        spans = [
            (span, *section_key(form, play.section.own, times[-1].home))
            for play in last
            for span in play.section.all_spans
        ]
        chords = [span.chord(k, shift) for span, k, shift in spans if k == key]
        slot = Slot(
            bars[-1].end,
            bars[-1].setting.meter.bar_ticks,
            resting_chord(key, [c for c in chords if c], changes[-1].chord),
        )
        changes.append(slot)
        bars.append(
            replace(
                bars[-1], start=slot.start, length=slot.length, number=0, section="", turn="",
                top=False, slots=(slot,), road=bars[-1].road + 1, in_section=0, figure=None,
                held=None, out=NOBODY, drums_alone=False, words=(),
            )
        )  # fmt: skip
    changes = [*_pickup(form, bars[0]), *changes]
    sounding = _anticipated(changes)
    bars, figures = _with_figures(form, bars, rounds, sounding)
    course = tempo_course(bars, rounds, form.lines)
    return Chart(form, tuple(bars), sounding, tuple(rounds), course, figures)


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
    """Seconds of the whole track, the ending's bar included, ritardandi and fermatas not counted; a
    loop has no ending."""
    settings = Settings(form)
    times = list(_times(form))
    played = [
        (settings.of(time.line.own, play.section.own, time.tempo), play.last - play.first)
        for time in times
        for play in time.line.plays
    ]
    first, last = played[0][0], played[-1][0]
    before = tuning_bars(form, first.meter, first.tempo) + form.count_in
    added = form.ending not in ("loop", "written")
    return sum(
        bars * ticks_to_seconds(here.meter.bar_ticks, here.tempo, here.meter)
        for here, bars in [(first, before), *played, (last, int(added))]
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
        tempo = form.tempo
        if "tempo" in own:
            tempo = own.get("tempo") * form.tempo / form.written_tempo
        for time in range(line.times):
            faster = round(tempo + step * time, 6) if step else tempo
            home = moved_key(form.key, moved + FIFTHS_UP[cycle] * time)
            yield _Time(line, index, time, home, faster)


def _first_key(form: Form, time: _Time) -> Key:
    return section_key(form, time.line.plays[0].section.own, time.home)[0]


def _laid_out(
    form: Form, times: Sequence[_Time], placed: Sequence[PlacedRound], start: int
) -> tuple[list[Bar], list[Slot], list[Round]]:
    """All rounds one after the other: their bars, the chords at their written places, the times."""
    marks = _marks(placed)
    levels = _levels(form, times, placed)
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
        texts = play.section.own.get("lyrics", form.own.get("lyrics", ()))
        name = play.section.name
        verse = sung.get(name, 0)
        sung[name] = verse + 1
        passes.append(
            Pass(
                play.section, play.ending, time.index, time.time, time.line.times, place,
                time.line.name, start + begin.start, start + end.start + end.length,
                first + index, first + index + size, here.keys[place],
                texts[verse] if verse < len(texts) else "",
                play.section.own.get("melody", form.own.get("melody")),
                riff_of(form, time.line.own, play.section.own),
            )
        )  # fmt: skip
        index += size
    return tuple(passes)


def riff_of(form: Form, line: Own, section: Own) -> Riff | None:
    """The riff that is played in a section of a line; None if none is."""
    name = next((own.get("riff") for own in (line, section, form.own) if "riff" in own), "")
    return next((riff for riff in form.riffs if riff.name == name), None)


def _marks(placed: Sequence[PlacedRound]) -> list[tuple[str, bool]]:
    """For each bar of the road: the turn that it is, and whether a top begins with it.

    A short form comes round so often that not every time is a top: eight bars lie between two.
    """
    total = sum(len(here.bars) for here in placed)
    marks: list[tuple[str, bool]] = []
    since_turn = since_top = 0
    top = True
    for here in placed:
        size = len(here.bars)
        for index, bar in enumerate(here.bars):
            since_turn, since_top = since_turn + 1, since_top + 1
            last = index + 1 == size
            ends = last or here.bars[index + 1].play != bar.play or bar.in_section % PHRASE == 0
            turn = ""
            if last and (since_top >= BETWEEN_TOPS or len(marks) + 1 == total):
                turn, since_top = "chorus", 0
            elif ends and (size >= PHRASE - 1 or since_turn >= PHRASE):
                turn = "phrase"
            since_turn = 0 if turn else since_turn
            marks.append((turn, top))
            top = turn == "chorus"
    return marks


def _levels(
    form: Form, times: Sequence[_Time], placed: Sequence[PlacedRound]
) -> list[tuple[float, float | None]]:
    """The intensity of each bar of the road and its loudness, None where that follows."""
    sizes = [len(here.bars) for here in placed]
    busy: list[float | None] = [None] * sum(sizes)
    loud: list[float | None] = [None] * sum(sizes)
    for field, course in (("intensity", busy), ("dynamics", loud)):
        said: tuple[Stretch, ...] = (
            form.intensity if field == "intensity" else form.own.get("dynamics", ())
        )
        if said:
            if form.order and len(said) == 1 and said[0].bars is None:
                course[:] = levels(said, [sum(sizes)])
            else:
                course[:] = levels(said, sizes)
        _own_levels(field, times, placed, course)
    rise = slow_rise(sizes)
    found: list[tuple[float, float | None]] = []
    for usual, intensity, loudness in zip(rise, busy, loud, strict=True):
        if intensity is None:
            intensity = usual if loudness is None else max(1.0, min(3.0, 2.0 + loudness / 2))
        found.append((intensity, loudness))
    return found


def _own_levels(
    field: str, times: Sequence[_Time], placed: Sequence[PlacedRound], course: list[float | None]
) -> None:
    """Set the levels that sections and lines have of their own, the lines' above the sections'."""
    begin = 0
    starts = []
    for here in placed:
        starts.append(begin)
        begin += len(here.bars)
    for time, here, start in zip(times, placed, starts, strict=True):
        groups: list[tuple[Own, list[int]]] = []  # neighbouring plays of one section, their sizes
        for place, play in enumerate(time.line.plays):
            again = place and time.line.plays[place - 1].section.name == play.section.name
            if not again:
                groups.append((play.section.own, []))
            groups[-1][1].append(play.last - play.first)
        at = start
        for own, sizes in groups:
            _set(course, at, own, field, sizes)
            at += sum(sizes)
        del here
    number = 0
    while number < len(times):
        line = times[number].line
        sizes = [len(placed[n].bars) for n in range(number, number + line.times)]
        _set(course, starts[number], line.own, field, sizes)
        number += line.times


def _set(course: list[float | None], at: int, own: Own, field: str, sizes: list[int]) -> None:
    if field not in own:
        return
    said: tuple[Stretch, ...] = own.get(field)
    total = sum(sizes)
    if not said:
        course[at : at + total] = [None] * total
    elif len(said) == 1 and said[0].bars is None:
        course[at : at + total] = levels(said, [total])
    else:
        course[at : at + total] = levels(said, sizes)


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


def _with_figures(
    form: Form, bars: list[Bar], rounds: Sequence[Round], sounding: Sequence[Slot]
) -> tuple[list[Bar], tuple[Figure, ...]]:
    """The bars with the directions that hold in them, and all figures in order."""
    if not form.order and not form.own.fields and not any(s.own.fields for s in form.sections):
        return bars, ()
    bars = list(bars)
    lines = form.lines
    pushed = {slot.written_start: slot.start for slot in sounding if slot.early}
    found: list[Bar] = []
    figures: list[Figure] = []
    trading: dict[int, int] = {}
    for time in rounds:
        line = lines[time.line]
        for played in time.passes:
            play = line.plays[played.place]
            for index in range(played.first, played.last):
                bar = bars[index]
                new = _directed(
                    form, line, play.section.own, bar, play.first + bar.in_section, time,
                    trading.get(time.line, 0), pushed,
                )  # fmt: skip
                trading[time.line] = trading.get(time.line, 0) + 1
                found.append(new)
                if new.figure:
                    figures.append(new.figure)
    found += bars[len(found) :]
    found, held = _with_fermatas(found, rounds, lines, form.own)
    found = _set_up(found)
    if form.ending == "written":
        last = found[-1]
        found[-1] = replace(last, turn="")
        if last.figure is None and last.held is None:
            held.append(_held(last, last.slots[-1].start))
    starts = [figure.start for figure in held]
    kept = []
    for figure in figures:
        place = bisect_right(starts, figure.end - 1) - 1
        if place >= 0 and held[place].start < figure.end and held[place].end >= figure.end:
            strokes = tuple(s for s in figure.strokes if s.start < held[place].start)
            figure = replace(figure, end=held[place].start, strokes=strokes)
            if figure.end <= figure.start:
                continue
        kept.append(figure)
    return found, tuple(sorted([*kept, *held], key=lambda figure: figure.start))


def _directed(
    form: Form, line: Line, own: Own, bar: Bar, written: int, time: Round, traded: int,
    pushed: dict[int, int],
) -> Bar:  # fmt: skip
    """A bar with the directions that hold in it, its figure among them.

    written: the bar of the section as it stands in the file, from 1. traded: bars of the line that
    have gone by.
    """
    out: frozenset[str] = NOBODY
    for layer, number in ((form.own, bar.road), (own, written), (line.own, bar.number)):
        if "tacet" in layer:
            here = [at.value for at in layer.get("tacet") if at.holds(number)]
            out = frozenset().union(*here)
    trade = line.own.get("trade", 0)
    alone = bool(trade) and traded // trade % 2 == 1
    words = [
        at.value
        for layer, number in ((form.own, written), (own, written), (line.own, bar.number))
        for at in layer.get("cue", ())
        if at.bars == (number, number) and (layer is not line.own or time.time == 0)
    ]
    figure = None
    kinds = {}
    for field in ("kicks", "stops"):
        found = None
        for layer, number in ((form.own, written), (own, written), (line.own, bar.number)):
            if field in layer:
                held = at_bar(layer.get(field), number)
                if held or not layer.get(field):
                    found = (held, number) if held else None
        kinds[field] = found
    if not alone:
        for field, found in kinds.items():
            if found:
                held, number = found
                first = held.bars[0] if held.bars else 1
                text = held.value[(number - first) % len(held.value)]
                figure = _figure(text, bar, field == "stops", pushed)
    return replace(
        bar, figure=figure, out=out | EVERYBODY_ELSE if alone else out, drums_alone=alone,
        words=tuple(words),
    )  # fmt: skip


def figure_units(meter: Meter) -> int:
    """The number of characters that a bar of a figure has, or a multiple of it."""
    return meter.numerator if meter.is_uneven or meter.is_compound else meter.beats


def _figure(text: str, bar: Bar, alone: bool, pushed: dict[int, int]) -> Figure:
    """The strokes of a bar of box notation; one on a pushed chord is the push.

    Where the drums are written in triplets the half of a beat is written at two thirds.
    """
    meter = bar.meter
    units = figure_units(meter)
    if len(text) % units or bar.length % len(text):
        raise ValueError(
            f"bar {bar.in_section} of {bar.section}: {text!r} has {len(text)} characters for a bar "
            f"of {meter}; a multiple of {units} is allowed"
        )
    line = bar.length // len(text)
    beat = bar.meter.beat_ticks
    triplets = bar.drums.grid.is_triplet and (beat // line) % 3 != 0
    strokes = []
    for index, mark in enumerate(text):
        if mark not in "xX":
            continue
        lines = 1
        while index + lines < len(text) and text[index + lines] == "-":
            lines += 1
        place, end = (_tick(n * line, beat, triplets) for n in (index, index + lines))
        start = bar.start + place
        early = pushed.get(start, start)
        strokes.append(FigureStroke(early, bar.start + end - early, mark == "X"))
    return Figure(bar.start, bar.end, tuple(strokes), alone)


def _tick(tick: int, beat: int, triplets: bool) -> int:
    """A tick of the bar; with triplets the half of a beat lies at two thirds."""
    whole, part = divmod(tick, beat)
    if triplets and part:
        part = part * 4 // 3 if 2 * part <= beat else beat * 2 // 3 + (2 * part - beat) // 3
    return whole * beat + part


def _with_fermatas(
    bars: list[Bar], rounds: Sequence[Round], lines: Sequence[Line], whole: Own
) -> tuple[list[Bar], list[Figure]]:  # fmt: skip
    """The bars with the fermatas that hold a chord, and these as figures."""
    figures: list[Figure] = []
    found = list(bars)
    for time in rounds:
        line = lines[time.line]
        places: list[tuple[int, int]] = []  # index of the bar, beat
        for played in time.passes:
            play = line.plays[played.place]
            said = play.section.own.get("fermata", whole.get("fermata"))
            if said and play.first < said[0] <= play.last and "fermata" not in line.own:
                places.append((played.first + said[0] - 1 - play.first, said[1]))
        said = line.own.get("fermata")
        if said and time.time == line.times - 1 and said[0] <= line.bars:
            places.append((time.first + said[0] - 1, said[1]))
        for index, beat in places:
            bar = found[index]
            start = bar.slots[-1].start
            if beat:
                start = bar.start + bar.meter.beat_starts[min(beat, bar.meter.beats) - 1]
            found[index] = replace(bar, held=start)
            figures.append(_held(bar, start))
    return found, sorted(figures, key=lambda figure: figure.start)


def _held(bar: Bar, start: int) -> Figure:
    """One stroke that is held from a tick to the end of a bar."""
    return Figure(start, bar.end, (FigureStroke(start, bar.end - start, True),), True)


def _set_up(bars: list[Bar]) -> list[Bar]:
    """The bars, one before kicks with a turn of its own, so that the drummer sets them up."""
    return [
        replace(bar, turn="phrase")
        if after.figure and not after.figure.alone and not bar.figure and not bar.turn
        else bar
        for bar, after in pairwise(bars)
    ] + bars[-1:]
