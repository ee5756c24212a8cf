"""The phrasing of the road: where it turns, how busy and how loud each bar is."""

from __future__ import annotations

from collections.abc import Sequence

from groove.form.intensity import Stretch, levels, slow_rise
from groove.form.model import Form, Line, Own, Section
from groove.form.written_chords import PlacedRound

PHRASE = 4  # bars, counted from the start of a section
BETWEEN_TOPS = 8  # bars, at least


def turns(placed: Sequence[PlacedRound]) -> list[tuple[str, bool]]:
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


def courses(
    form: Form, lines: Sequence[Line], placed: Sequence[PlacedRound]
) -> list[tuple[float, float | None]]:
    """The intensity of each bar of the road and its loudness, None where that follows.

    lines: the line of each time round, in order.
    """
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
        _own_levels(field, lines, placed, course)
    rise = slow_rise(sizes)
    found: list[tuple[float, float | None]] = []
    for usual, intensity, loudness in zip(rise, busy, loud, strict=True):
        if intensity is None:
            intensity = usual if loudness is None else max(1.0, min(3.0, 2.0 + loudness / 2))
        found.append((intensity, loudness))
    return found


def _own_levels(
    field: str, lines: Sequence[Line], placed: Sequence[PlacedRound], course: list[float | None]
) -> None:
    """Set the levels that sections and lines have of their own, the lines' above the sections'."""
    at = 0
    for line in lines:
        groups: list[tuple[Section, list[int]]] = []  # neighbouring plays of one section
        for play in line.plays:
            if not groups or groups[-1][0].name != play.section.name:
                groups.append((play.section, []))
            groups[-1][1].append(play.last - play.first)
        for section, sizes in groups:
            _set(course, at, section.own, field, sizes)
            at += sum(sizes)
    at = number = 0
    while number < len(lines):
        line = lines[number]
        sizes = [len(here.bars) for here in placed[number : number + line.times]]
        _set(course, at, line.own, field, sizes)
        at += sum(sizes)
        number += line.times


def _set(course: list[float | None], at: int, own: Own, field: str, sizes: list[int]) -> None:
    """Set the levels from a bar on, where they are said; a range alone spans all of the sizes."""
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
