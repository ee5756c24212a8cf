"""Phrases that run over bar lines: pick-ups, and phrases that go on through their second bar."""

from __future__ import annotations

from itertools import pairwise

from groove.lesson.solo.rhythms import Frame, Strokes, rules

PICK_UP, THROUGH = "pickup", "through"


def entered(
    entry: str, beats: Frame, strokes: Strokes, learner: str, room: int
) -> tuple[Strokes, int, int]:
    """A rhythm with its entry, and how many notes were put before it and after it.

    entry: PICK_UP, THROUGH or empty. room: ticks of rest before the first bar line. Where there is
    no room for a pick-up the phrase runs through its second bar.
    """
    if entry == PICK_UP and room >= beats.pulses[0].length:
        found, lead = _picked_up(beats, strokes, learner)
        if found != strokes:
            return found, lead, 0
    if entry and not runs_over(beats, strokes):
        found = _later(beats, strokes)
        return (found, 0, 0) if found != strokes else _longer(beats, strokes)
    return strokes, 0, 0


def runs_over(beats: Frame, strokes: Strokes) -> bool:
    """True if a rhythm begins before its first bar, or plays on in the second one."""
    second = next((p.start for p in beats.pulses if p.bar == 1), beats.length)
    return strokes[0][0] < 0 or any(start > second for start, _ in strokes)


def _picked_up(beats: Frame, strokes: Strokes, learner: str) -> tuple[Strokes, int]:
    """The notes of the beat before the bar line; of a rhythm that begins on its second beat, its
    own first notes."""
    pulse = beats.pulses[0]
    if strokes[0][0] == pulse.length and len(strokes) > 1:
        shift = 2 * pulse.length
        return tuple((start - shift, length) for start, length in strokes), 0
    if strokes[0][0]:
        return strokes, 0
    count = rules()["learners"][learner]["pickup"]
    unit = pulse.length // (3 if pulse.parts == 3 else 2)
    if unit < beats.fastest:
        count, unit = 1, pulse.length
    before = tuple((-unit * (count - n), unit) for n in range(count))
    return before + strokes, count


def _later(beats: Frame, strokes: Strokes) -> Strokes:
    """Half a bar later, or less where there is less room; the same where there is none."""
    pulse = beats.pulses[0].length
    first = sum(p.bar == 0 for p in beats.pulses)
    for count in range(first // 2, 0, -1):
        moved = tuple((start + count * pulse, length) for start, length in strokes)
        begins = len(moved) > 1 and moved[1][0] < first * pulse
        if (
            begins
            and moved[-1][0] <= beats.length - rules()["entries"]["rest"] * pulse
            and runs_over(beats, moved)
        ):
            return moved
    return strokes


def _longer(beats: Frame, strokes: Strokes) -> tuple[Strokes, int, int]:
    """With more notes after its last one, on the beats up to the second of its second bar; a note
    that was there already goes over to it in two halves."""
    pulse = beats.pulses[0]
    unit = pulse.length // (3 if pulse.parts == 3 else 2)
    start = strokes[-1][0]
    later = [p.start for p in beats.pulses if p.bar == 1][1:2]
    goal = max(later[0], start + pulse.length) if later else beats.length
    first = sum(p.bar == 0 for p in beats.pulses)
    figures = rules()["entries"]
    rest = figures["rest"] if first > figures["short"] else 1
    if goal > beats.length - rest * pulse.length:
        return strokes, 0, 0
    between = [p.start for p in beats.pulses if start < p.start < goal]
    if not between and unit >= beats.fastest and goal - unit > start:
        between = [goal - unit]
    starts = [start, *between, goal]
    if min(b - a for a, b in pairwise(starts)) < beats.fastest:
        return strokes, 0, 0
    stops = [*starts[1:], goal + pulse.length]
    added = tuple((a, b - a) for a, b in zip(starts, stops, strict=True))
    return strokes[:-1] + added, 0, len(added) - 1
