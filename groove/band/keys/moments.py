"""The strokes of a keys player, time by time, with what each hand is asked for and strikes."""

from __future__ import annotations

from dataclasses import dataclass, field

from groove.band.comping.strokes import CHORD, LINE, TOP, Hit
from groove.band.comping.voicing import VoicingRules, guide_degrees
from groove.band.keys.right_hand import Ask, Pitches
from groove.rhythm.patterns import CompingPattern
from groove.theory.chords import Chord

Spans = list[tuple[int, int]]


@dataclass(slots=True)
class Moment:
    """The strokes of one time, and what the two hands strike.

    slot: the tick at which its chord begins. frame: counts the bars of a chord, within which broken
    chords keep their lower voices. floor: the lowest pitch that keeps clear of the bass. ask: what
    the right hand is asked for. taken: lowest and highest pitch of other parts. two_hands: whether
    there is a left hand.

    Found out on the way: left, the notes that the left hand strikes here, and left_end, the tick up
    to which they ring where that is not the stroke's own; right, the right hand's, lowest first;
    broken, whether the frame's voices are struck one by one; shifted, whether both hands lie off
    the chord, on the way to another.
    """

    hits: list[Hit]
    chord: Chord
    slot: int
    pattern: CompingPattern
    rules: VoicingRules
    frame: int
    floor: int
    ask: Ask
    taken: Spans
    two_hands: bool
    left: Pitches = ()
    left_end: int = 0
    right: Pitches = ()
    broken: bool = False
    shifted: bool = False
    start: int = field(init=False)
    end: int = field(init=False)

    def __post_init__(self) -> None:
        self.start = self.hits[0].start
        self.end = max(hit.end for hit in self.hits)

    @property
    def whole(self) -> bool:
        """True if the whole chord is struck."""
        return self.hits[0].row == CHORD

    @property
    def lined(self) -> bool:
        """True if a figure in degrees is struck."""
        return self.hits[0].row == LINE

    @property
    def sings(self) -> bool:
        """True if the top note is struck."""
        return any(self.voice(hit.row) >= self.ask.voices for hit in self.hits)

    @property
    def single(self) -> bool:
        """True if the left hand has a stroke of its own."""
        return any(self.voice(hit.row) == 0 for hit in self.hits)

    @property
    def guides(self) -> frozenset[int]:
        """The pitch classes that the chord must sound."""
        root, quality = self.chord.root, self.chord.quality
        return frozenset((root + degree).pitch_class for degree in guide_degrees(quality))

    def voice(self, row: str) -> int:
        """The voice of the right hand that a row names, from 1, the lowest; 0 of the left hand."""
        if row in (CHORD, TOP):
            return self.ask.voices
        return int(row.removeprefix("voice-")) - self.two_hands

    def struck(self, row: str) -> Pitches:
        """The notes that the right hand strikes for a row; its highest stands for voices that it
        does not have."""
        if row == CHORD:
            return self.right
        voice = self.voice(row)
        return (self.right[min(voice, len(self.right)) - 1],) if voice else ()
