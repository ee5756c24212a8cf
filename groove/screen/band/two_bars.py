"""Two bars in which a pattern or an instrument of a form is heard, as notes.

They have the first two bars' chords of the form, its key, tempo, feel and metre. A pattern that
can't be played in these is heard in its own metre and feel.

Who plays softly beside whom, and how busy the band is, stands in ``patterns/two-bars.toml``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from groove import library
from groove.band.part import BASS, CHORDAL, COMPING, DRUMS, PERCUSSION, PlayedNote, PlayedPart
from groove.band.plan.plan import USUAL
from groove.band.take import Take, planned, play, record
from groove.errors import GrooveError
from groove.form import style
from groove.form.chart import Bar
from groove.form.chordline import Span
from groove.form.choruses import at
from groove.form.intensity import parse_intensity
from groove.form.lesson_fields import NO_LESSON
from groove.form.model import Form, Own, Section
from groove.form.unroll import unroll
from groove.rhythm.patterns import READERS, drum_pattern
from groove.theory.keys import Key

KINDS = (DRUMS, BASS, COMPING, PERCUSSION)
"""The players that have patterns, in the order in which a page shows them."""
BARS = 2
PLAYED = 4
"""Bars that are played, of which the first are heard: a player may lead on to those after them."""


@dataclass(frozen=True)
class Wish:
    """A wish to hear two bars.

    kind: one of KINDS. name: of a pattern, empty for what the form has now. instruments: other
    instruments by player. whole: whether all play at their usual levels. tempo, key: those in which
    the form is heard just now, None for its own.
    """

    kind: str
    name: str = ""
    instruments: tuple[tuple[str, str], ...] = ()
    whole: bool = False
    tempo: float | None = None
    key: Key | None = None


@dataclass(frozen=True)
class TwoBars:
    """The notes of two bars, and the parts that play softly. end: the tick at which they end."""

    take: Take
    soft: tuple[str, ...]
    end: int


def two_bars(form: Form, wish: Wish) -> TwoBars:
    """The two bars of a form in which a wish is heard, without fills and without a crash on one.

    Raises GrooveError for a pattern that there is not.
    """
    if wish.kind not in KINDS or (wish.name and wish.name not in library.names(wish.kind)):
        raise GrooveError("there is no such pattern")
    form = at(form, wish.key or form.key, wish.tempo or form.tempo)
    plan = planned(unroll(_form(form, wish)))
    plan = replace(plan, bars=(USUAL,) * len(plan.bars))
    take = record(plan, play(plan))
    bars = take.chart.bars[:BARS]
    end = bars[-1].end
    soft = tuple(library.table("two-bars")["beside"][wish.kind])
    heard = {wish.kind, *soft} | (set(CHORDAL) if wish.kind == COMPING else set())
    parts = [part for part in take.parts if wish.whole or part.name in heard]
    played = tuple(found for part in parts if (found := _until(part, end)).notes)
    return TwoBars(replace(take, parts=played, cues=()), () if wish.whole else soft, end)


def _form(form: Form, wish: Wish) -> Form:
    """A form that loops over the chords of the first two bars, with the players of the wish."""
    chart = unroll(form)
    home = chart.bars[0]
    decided = _decided(form, wish)
    drums = decided["drums"]
    ratio = None if form.swing_follows_tempo or decided["feel"] != form.feel else form.swing_ratio
    percussion = form.named.get("percussion", drums.percussion)
    if wish.kind == PERCUSSION and wish.name:
        percussion = (wish.name,)
    instruments = dict(form.own.get("instrument", ())) | dict(wish.instruments)
    own = {"pulse": form.own.get("pulse"), "instrument": tuple(instruments.items())}
    bars = [chart.bars[number % len(chart.bars)] for number in range(BARS)]
    spans = tuple(span for bar in bars for span in _spans(bar, same=bar.meter == decided["meter"]))
    if all(span.written is None for span in spans):
        spans = (Span(home.slots[0].chord, Fraction(BARS)),)
    return replace(
        form,
        key=home.key,
        written_key=home.key,
        sections=(Section("", spans * (PLAYED // BARS)),),
        meter=decided["meter"],
        feel=decided["feel"],
        swing_ratio=ratio
        or style.swing_ratio(decided["feel"], style.swing_tempo(drums, form.tempo)),
        drums=drums,
        bass=decided["bass"],
        comping=decided["comping"],
        percussion=percussion,
        named=Own((("percussion", percussion),)),
        own=Own(tuple((field, value) for field, value in own.items() if value)),
        order=(),
        riffs=(),
        turnaround=(),
        pickup=(),
        quick_change=False,
        choruses=1,
        tempo_step=0.0,
        key_cycle="none",
        tuning_note=False,
        intensity=parse_intensity(library.table("two-bars")["intensity"]),
        count_in=0,
        ending="loop",
        lesson=NO_LESSON,
    )


def _decided(form: Form, wish: Wish) -> dict[str, Any]:
    """Metre, feel and patterns: the form's with the pattern of the wish; where that does not go
    together, those that usually go with the pattern."""
    if not wish.name or wish.kind == PERCUSSION:
        return {
            "meter": form.meter, "feel": form.feel, "drums": form.drums, "bass": form.bass,
            "comping": form.comping,
        }  # fmt: skip
    own: dict[str, Any] = {wish.kind: (wish.name,) if wish.kind == COMPING else wish.name}
    try:
        return style.complete(dict(form.named.fields) | own)
    except style.StyleError:
        pass
    if wish.kind == DRUMS:
        return style.complete(own)
    for name in library.names(DRUMS):
        if getattr(drum_pattern(name), wish.kind) == wish.name:
            return style.complete(own | {DRUMS: name})
    grid = READERS[wish.kind](wish.name).grid
    return style.complete(own | {"meter": grid.meter, "feel": grid.feel})


def _spans(bar: Bar, *, same: bool) -> list[Span]:
    """The chords of a bar as they sound; in another metre the first of them."""
    if not same:
        slot = bar.slots[0]
        return [Span(None if slot.silent else slot.chord, Fraction(1), root_only=slot.root_only)]
    return [
        Span(
            None if slot.silent else slot.chord,
            Fraction(slot.length, bar.length),
            push=bool(slot.early) and slot is not bar.slots[0],
            root_only=slot.root_only,
        )
        for slot in bar.slots
    ]


def _until(part: PlayedPart, end: int) -> PlayedPart:
    """A part up to a tick, at which its last notes end."""

    def belongs(note: PlayedNote) -> bool:
        return (note.grid if note.grid >= 0 else note.start) < end

    notes = tuple(
        replace(note, length=max(1, min(note.length, end - note.start)))
        for note in part.notes
        if belongs(note)
    )
    return replace(
        part,
        notes=notes,
        programs=tuple(each for each in part.programs if each[0] < end),
        controls=tuple(each for each in part.controls if each[0] < end),
    )
