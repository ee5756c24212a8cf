"""Chooses the hands that play a part of chords: the guitarist's or the keys player's."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from groove.band.changes import Changes
from groove.band.comping.chord_hand import ChordHand
from groove.band.comping.strokes import Hit
from groove.band.guitar.guitar_hand import GuitarHand
from groove.band.keys.keys_hand import KeysHand
from groove.band.part import COMPING, GUITAR, KEYS, GridNote, Part
from groove.form.chart import Chart

HANDS: dict[str, type[ChordHand]] = {GUITAR: GuitarHand, KEYS: KeysHand}


class CompingHand:
    """The notes of strokes, each by the hand that its pattern asks for.

    name: of the part: guitar, keys or comping. others: parts whose register it leaves to them: the
    melody, the riff, the other player of chords.
    """

    def __init__(
        self,
        chart: Chart,
        bass: tuple[GridNote, ...],
        rng: Random,
        name: str = COMPING,
        others: Sequence[Part] = (),
    ) -> None:
        self._chart, self._name = chart, name
        kinds = [name] if name in HANDS else [bar.comping[0].voicing for bar in chart.bars]
        self._hands = {
            kind: HANDS[kind](chart, bass, rng, name, others) for kind in dict.fromkeys(kinds)
        }

    @property
    def capo(self) -> int:
        """The fret of a guitarist's capo, 0 for none."""
        return max(hand.capo for hand in self._hands.values())

    def play(self, hits: list[Hit], changes: Changes) -> tuple[GridNote, ...]:
        """The notes of all strokes in order; changes: the chords of the track."""
        if len(self._hands) == 1:
            (hand,) = self._hands.values()
            return hand.play(hits, changes)
        notes: list[GridNote] = []
        for kind, hand in self._hands.items():
            own = [hit for hit in hits if self._chart.bar_at(hit.start).comping[0].voicing == kind]
            notes += hand.play(own, changes)
        return tuple(sorted(notes, key=lambda note: note.start))
