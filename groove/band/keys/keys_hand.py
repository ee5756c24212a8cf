"""The keys player's hands: chords and figures on the keyboard."""

from __future__ import annotations

from dataclasses import replace

from groove.band.comping.chord_hand import ChordHand
from groove.band.comping.strokes import Hit
from groove.band.comping.voicing import VoicingRules, rules_of
from groove.band.part import KEYS
from groove.rhythm.patterns import CompingPattern

ABOVE_GUITAR = (62, 86)  # the register of keys beside a guitar, MIDI notes


class KeysHand(ChordHand):
    """The notes of strokes on the keys."""

    def _rules(self, hit: Hit, pattern: CompingPattern) -> VoicingRules:
        """The rules of a pattern; keys beside a guitar play above it, where they have room."""
        rules = rules_of(pattern)
        if self.name == KEYS and len(self.chart.bar_at(hit.start).comping) > 1:
            return replace(rules, low=ABOVE_GUITAR[0], high=ABOVE_GUITAR[1])
        return rules

    def _leads_on(self, rules: VoicingRules) -> bool:
        """Into another register there is no need to lead by steps."""
        return self.name != KEYS or rules.low == self.rules.low
