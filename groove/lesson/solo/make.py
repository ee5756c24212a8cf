"""Example solos, answers and licks for a form, from its learner and its seed.

The music is made at concert pitch for a tuning, a guitar's where there is none; without a neck it
has no places. The same form, tuning and round give the same notes.
"""

from __future__ import annotations

from dataclasses import replace

from groove.form.model import Form
from groove.instrument.fretboard import Place, Tuning, read_tuning
from groove.instrument.material import scale
from groove.instrument.positions import Position, positions
from groove.lesson.line import HAMMER, Line, LineBar, LineNote
from groove.lesson.solo.ground import ground_of
from groove.theory.pitch import NoteName
from groove.theory.symbols import signs
from groove.wording import said


def example_solo(form: Form, tuning: Tuning | None, *, round: int = 0) -> Line:  # noqa: A002
    """A solo over one round of the form's chart, counted from 0."""
    ground = ground_of(form, round)
    return _line(form, tuning, ground.bars, [n % 4 < 2 for n in range(len(ground.bars))])


def answers(form: Form, tuning: Tuning | None, *, round: int = 0) -> Line:  # noqa: A002
    """Two bars of an example and two bars of rest in turn, over one round of the chart."""
    ground = ground_of(form, round)
    return _line(form, tuning, ground.bars, [n % 4 < 2 for n in range(len(ground.bars))])


def licks(form: Form, tuning: Tuning | None) -> tuple[Line, ...]:
    """A lick for each of the five positions of the key's pentatonic, named after it."""
    ground = ground_of(form, 0)
    bar = replace(ground.bars[0], chords=ground.bars[0].chords[:1])
    found = []
    for position in _positions(form, tuning):
        name = said(
            "solo", "licks.name", scale=signs(position.title), number=position.number,
            fret=position.fret,
        )  # fmt: skip
        found.append(replace(_line(form, tuning, [bar], [True], position), name=name))
    return tuple(found)


def _positions(form: Form, tuning: Tuning | None) -> tuple[Position, ...]:
    harmony = ground_of(form, 0).harmony
    minor = harmony.mode == "minor" or "blues" in harmony.kind
    name = "minor pentatonic" if minor else "major pentatonic"
    return positions(tuning or read_tuning("guitar"), scale(harmony.key.tonic, name))


def _line(
    form: Form,
    tuning: Tuning | None,
    bars: tuple[LineBar, ...] | list[LineBar],
    plays: list[bool],
    position: Position | None = None,
) -> Line:
    position = position or _positions(form, tuning)[0]
    dots = sorted(position.dots, key=lambda dot: dot.pitch)
    roots = [n for n, dot in enumerate(dots) if dot.degree == "1"]
    root = roots[min(1, len(roots) - 1)]
    notes: list[LineNote] = []
    for bar, plays_here in zip(bars, plays, strict=True):
        if not plays_here:
            continue
        starts = bar.meter.beat_starts
        for count, (start, step) in enumerate(zip(starts[:3], (0, 1, 0), strict=False)):
            dot = dots[min(root + step, len(dots) - 1)]
            end = starts[count + 1] if count + 1 < len(starts) else bar.length
            before = notes[-1].place.string if notes and notes[-1].place else 0
            notes.append(
                LineNote(
                    bar.start + start,
                    end - start,
                    NoteName.parse(dot.name),
                    dot.pitch,
                    Place(dot.string, dot.fret) if tuning else None,
                    dot.finger if tuning else 0,
                    HAMMER if step == 1 and before == dot.string and dot.fret else "",
                )
            )
    return Line("", tuple(notes), tuple(bars), position.fret if tuning else 0)
