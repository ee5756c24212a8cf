"""Chooses the hand that plays a part of chords: the guitarist's or the keys player's."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from groove.band.comping.chord_hand import ChordHand
from groove.band.guitar.guitar_hand import GuitarHand
from groove.band.keys.keys_hand import KeysHand
from groove.band.part import COMPING, GUITAR, GridNote, Part
from groove.form.chart import Chart


def comping_hand(
    chart: Chart,
    bass: tuple[GridNote, ...],
    rng: Random,
    name: str = COMPING,
    others: Sequence[Part] = (),
) -> ChordHand:
    """The hand of a part of chords.

    name: of the part: guitar, keys, or comping, whose patterns all ask for the same one of the two.
    others: parts whose register it leaves to them: the melody, the riff, the other player of
    chords.
    """
    voicing = chart.bars[0].comping[0].voicing if name == COMPING else name
    hand = GuitarHand if voicing == GUITAR else KeysHand
    return hand(chart, bass, rng, name, others)
