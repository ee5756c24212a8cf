"""The guitarist's hand: chords and figures as shapes on the fretboard."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from groove.band.comping.chord_hand import ChordHand, Held
from groove.band.guitar import guitar_shapes
from groove.band.part import COMPING, GridNote, Part
from groove.form.chart import Chart

DEAD_STRINGS, DEAD_PART = 3, 16  # a dead stroke: how many strings, which part of a beat long


class GuitarHand(ChordHand):
    """The notes of strokes on a guitar, each with its string and fret."""

    def __init__(
        self,
        chart: Chart,
        bass: tuple[GridNote, ...],
        rng: Random,
        name: str = COMPING,
        others: Sequence[Part] = (),
    ) -> None:
        super().__init__(chart, bass, rng, name, others)
        self.fret = 5.0  # the mean fret of the last figure

    def _dead(self, held: list[Held], length: int, beat: int) -> tuple[list[Held], int]:
        """Damped by the fretting hand: a click of the lower strings, too short for a chord."""
        return held[:DEAD_STRINGS], min(beat // DEAD_PART, length)

    def _figure_held(self, pitches: tuple[int, ...]) -> list[Held]:
        shapes = guitar_shapes.places(pitches)
        shape = min(shapes, key=lambda s: abs(sum(s.frets) / len(s.frets) - self.fret))
        self.fret = sum(shape.frets) / len(shape.frets)
        return list(zip(pitches, shape.strings, shape.frets, strict=True))
