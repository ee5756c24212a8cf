"""Gives every stroke of a track its right hand: the top notes as a line, the chords under it."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby
from random import Random

from groove.band.comping.chord_hand import MEETS, SHARED
from groove.band.comping.strokes import CHORD
from groove.band.keys.contour import PHRASE, Contours
from groove.band.keys.keys_voicings import TENTH
from groove.band.keys.moments import Moment, Spans
from groove.band.keys.right_hand import Pitches, candidates, passing_tones, table, under
from groove.band.keys.top_line import Step, is_step, top_line
from groove.form.chart import Chart

TOP_MIDDLE = 5  # semitones below the top of the register, where the line lies on average
FIGURE_REACH = 1.2  # how far the contour of a repeated figure reaches
INTO_CHANGE = 4  # times that a leap into another chord counts
LIVELY = 3  # top notes at least in four bars of a chord
ENTRY = 4.0  # beats of rest that are counted before the first stroke


def right_hands(moments: list[Moment], chart: Chart, rng: Random) -> None:
    """Set, in place, the right hand of each moment; rng: the player's own.

    Raises ValueError for a chord that has no voicing in its register.
    """
    sung = _sung(moments)
    contours = Contours(chart, rng)
    steps: list[Step] = []
    for place, moment in enumerate(sung):
        before = sung[place - 1] if place else None
        after = sung[place + 1] if place + 1 < len(sung) else None
        beat = chart.bar_at(moment.start).meter.beat_ticks
        found = _candidates(moment)
        passing = passing_tones(moment.ask) if _may_pass(before, moment, after, beat) else ()
        figure = moment.pattern.octave
        height = contours.at(moment.start, figure) * (FIGURE_REACH if figure else 1.0)
        steps.append(
            Step(
                (*found, *passing),
                height + moment.rules.high - TOP_MIDDLE,
                (moment.start - before.start) / beat if before else ENTRY,
                before is not None and before.chord != moment.chord,
                frozenset(pitch for pitch, _ in passing),
                figure,
            )
        )
    line = _lively(top_line(steps, rng), steps, sung, chart)
    tops = {id(moment): top for moment, top in zip(sung, line, strict=True)}
    before_it: Pitches = ()
    for _, group in groupby(moments, key=lambda moment: moment.frame):
        frame = list(group)
        if frame[0].broken:
            before_it = _broken(frame, tops, before_it)
        else:
            before_it = _whole(frame, tops, before_it)


def _sung(moments: list[Moment]) -> list[Moment]:
    """The moments that have a note of the line: all in which the top is struck, and the first of
    a chord, or of a frame of a broken one, whose top is not."""
    sung: list[Moment] = []
    slot = -1
    for _, group in groupby(moments, key=lambda moment: moment.frame):
        frame = list(group)
        broken = not frame[0].rules.octave and any(
            hit.row.startswith("voice-") for moment in frame for hit in moment.hits
        )
        if broken or frame[0].rules.octave:
            low = max(moment.ask.low for moment in frame)
            floor = max(moment.ask.floor for moment in frame)
            for moment in frame:
                moment.broken = broken
                moment.ask = moment.ask._replace(low=low, floor=floor)
        silent = broken and not any(moment.sings for moment in frame)
        for moment in frame:
            anew = silent if broken else moment.slot != slot
            if moment.sings or anew:
                sung.append(moment)
                silent = False
            slot = moment.slot
    return sung


def _may_pass(before: Moment | None, moment: Moment, after: Moment | None, beat: int) -> bool:
    """True if a moment may have a tone between those of its chord: in a short stroke between
    two of the same chord."""
    return (
        before is not None
        and after is not None
        and before.slot == moment.slot == after.slot
        and before.whole
        and before.end > moment.slot
        and not moment.broken
        and not moment.taken
        and after.start - moment.start <= beat >= moment.end - moment.start
        and moment.ask.guided == after.ask.guided
    )


def _lively(line: list[int], steps: list[Step], sung: list[Moment], chart: Chart) -> list[int]:
    """The line, of at least three notes in each four bars of a chord with so many strokes, and a
    figure in octaves in each two.

    Where there are fewer, the note is exchanged that another lies nearest to, the next ones in
    time being what they are.
    """
    windows: dict[tuple[int, int, int], list[int]] = {}
    for place, moment in enumerate(sung):
        bars = PHRASE * chart.bar_at(moment.start).length
        if len(moment.hits) > 2 or moment.whole:
            key = 0, moment.slot, max(0, moment.start - moment.slot) // bars
            windows.setdefault(key, []).append(place)
        if moment.rules.octave and moment.sings:
            key = 1, moment.slot, max(0, moment.start - moment.slot) // (bars // 2)
            windows.setdefault(key, []).append(place)
    line = list(line)
    for places in windows.values():
        while len(places) >= LIVELY and len({line[place] for place in places}) < LIVELY:
            heard = {line[place] for place in places}
            ways = [
                (cost + _leaps(line, steps, place, pitch), place, pitch)
                for place in places[1:]
                if [line[other] for other in places].count(line[place]) > 1 or len(heard) == 1
                for pitch, cost in steps[place].candidates
                if pitch not in heard
                and pitch not in steps[place].passing
                and _resolves(line, steps, place, pitch)
            ]
            if not ways:
                break
            _, place, pitch = min(ways)
            line[place] = pitch
    return line


def _resolves(line: list[int], steps: list[Step], place: int, pitch: int) -> bool:
    """True if a note in the place of another still leaves the passing tone before it by a step."""
    before = line[place - 1]
    return before not in steps[place - 1].passing or is_step(before, pitch)


def _leaps(line: list[int], steps: list[Step], place: int, pitch: int) -> int:
    """Semitones from a note in the place of another to its neighbours, to one of another chord
    counted several times."""
    leaps = abs(line[place - 1] - pitch)
    if place + 1 < len(line):
        leaps += (INTO_CHANGE if steps[place + 1].change else 1) * abs(line[place + 1] - pitch)
    return leaps


def _candidates(moment: Moment) -> tuple[tuple[int, float], ...]:
    """The top notes that a moment may have, with their costs; asks for less, in place, where
    there is no room for as much."""
    ask = moment.ask
    guided = ask._replace(guided=True)
    plain = guided._replace(octave=False)
    for way in (ask, guided, plain, plain._replace(floor=0)):
        if candidates(way):
            moment.ask = way
            break
    else:
        raise ValueError(f"{ask.chord} has no voicing between {ask.low} and {ask.high}")
    if not moment.taken:
        return candidates(moment.ask)
    return tuple(
        (top, min(cost + _meeting(pitches, moment.taken) for cost, pitches in ways))
        for top, ways in table(moment.ask).items()
    )


def _meeting(pitches: Pitches, taken: Spans) -> float:
    """The cost of a voicing in a register that other parts have."""
    cost = 0.0
    for low, high in taken:
        shared = min(high, pitches[-1]) - max(low, pitches[0])
        cost += MEETS + SHARED * shared if shared >= 0 else 0.0
    return cost


def _broken(frame: list[Moment], tops: dict[int, int], before: Pitches) -> Pitches:
    """Set, in place, the right hands of a frame whose lower voices stay; the last of them."""
    singing = [moment for moment in frame if id(moment) in tops]
    lowest = min(singing, key=lambda moment: tops[id(moment)])
    reach = max(tops[id(moment)] for moment in singing) - TENTH
    before = _voicing(lowest, tops[id(lowest)], before, reach)
    for moment in frame:
        top = tops.get(id(moment), before[-1])
        moment.right = (*before[:-1], top)
        if moment.whole and top - before[0] > TENTH:
            moment.right = _voicing(moment, top, before)
    return before


def _whole(frame: list[Moment], tops: dict[int, int], before: Pitches) -> Pitches:
    """Set, in place, the right hands of a frame of whole chords and their tops, or of a figure in
    octaves; the last of them."""
    slot = -1
    for moment in frame:
        top = tops.get(id(moment))
        if top is not None:
            anew = moment.whole or moment.rules.octave or moment.slot != slot
            before = _voicing(moment, top, before) if anew else (*before[:-1], top)
        moment.right, slot = before, moment.slot
    if frame[0].rules.octave:
        _state(frame)
    return before


def _state(frame: list[Moment]) -> None:
    """Make, in place, a figure in octaves sound the guide tones of its chord: where its single
    voices miss one, the first stroke is of the whole chord."""
    after = [moment for moment in frame if moment.end > moment.slot]
    heard = {
        pitch % 12
        for moment in after
        for hit in moment.hits
        if hit.end > moment.slot
        for pitch in moment.struck(hit.row)
        if pitch >= moment.floor
    }
    if after and not frame[0].guides <= heard:
        first = next((moment for moment in after if moment.start >= moment.slot), after[-1])
        first.hits = [replace(first.hits[0], row=CHORD)]


def _voicing(moment: Moment, top: int, before: Pitches, reach: int = 0) -> Pitches:
    """The right hand's notes under a top note, near the notes before; reach: its lowest note
    where it can be."""
    near = moment.ask._replace(low=max(moment.ask.low, reach))
    ask = near if top in table(near) else moment.ask
    if not moment.taken:
        return under(ask, top, before)
    ways = table(ask)[top]
    return min(ways, key=lambda way: way[0] + _meeting(way[1], moment.taken))[1]
