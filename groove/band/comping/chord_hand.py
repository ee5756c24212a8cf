"""The hand of a player of chords: a voicing for every stroke, near the one before."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from random import Random

from groove.band.changes import Changes
from groove.band.comping.ranked_voicings import ranked
from groove.band.comping.strokes import CHORD, DEAD, LINE, TOP, Hit, Spans, let_go
from groove.band.comping.voicing import (
    Voicing,
    VoicingRules,
    colour_degrees,
    figure_interval,
    guide_degrees,
    movement,
    rules_of,
)
from groove.band.degrees import fits_key, key_tones
from groove.band.part import COMPING, GridNote, Part, pattern_of, weight
from groove.form.chart import Chart
from groove.rhythm.box_notation import exact_interval
from groove.rhythm.patterns import CompingPattern
from groove.theory.chords import Chord
from groove.theory.keys import Key

ABOVE_BASS = 5  # semitones: more than a third
CHANCE = 0.4  # semitones of movement a voice that chance is worth
LEFT_OUT = 1.0  # the same of a voice too near the bass to sound
REVOICED_AFTER = 2  # bars on one chord, then another voicing may follow
MOST_REVOICED = 3.0  # semitones a voice that it then moves at most
SAME_AGAIN = 3.5  # the cost of the same voicing again, or of moving more
MEETS, SHARED = 6.0, 0.5  # of a register that another part has, and of each semitone of it
FEWER = 1.5  # of a voice less, where that leaves the register to the other part

Held = tuple[int, int, int]  # pitch, string and fret of a note


class ChordHand:
    """The notes of strokes, each voiced from the voicing and the position before it.

    name: of the part, comping, guitar or keys. others: parts whose register it leaves to them: the
    melody, the riff, the other player of chords. capo: the fret of a guitarist's capo, 0 for none.
    """

    capo = 0

    def __init__(
        self,
        chart: Chart,
        bass: tuple[GridNote, ...],
        rng: Random,
        name: str = COMPING,
        others: Sequence[Part] = (),
    ) -> None:
        self.chart, self.name = chart, name
        self.others = [Spans(part.notes) for part in others]
        self.bass, self.bass_starts = bass, [note.start for note in bass]
        self.rng = rng
        self.voicing: Voicing | None = None
        self.rules = VoicingRules("", 0, 0, 0)
        self.pattern = chart.bars[0].comping[0]
        self.stretch: list[Hit] = []

    def play(self, hits: list[Hit], changes: Changes) -> tuple[GridNote, ...]:
        """The notes of all strokes; changes: the chords of the track."""
        self.changes = changes
        notes: list[GridNote] = []
        chord: Chord | None = None
        for stretch in self._stretches(hits):
            first = stretch[0]
            pattern = self._pattern(first)
            rules = self._rules(first, pattern)
            if not self._leads_on(rules):
                self.voicing = None
            self.rules, self.pattern, self.stretch = rules, pattern, stretch
            end = max(hit.end for hit in stretch)
            self.taken = [span for other in self.others if (span := other.at(first.start, end))]
            floors = [self._floor(hit.start, hit.end) for hit in stretch]
            before = self.voicing
            coloured = pattern.colours and self._takes_colour(first, changes)
            self.voicing = self._next_voicing(first.chord, coloured, floors, first.chord == chord)
            chord = first.chord
            if before != self.voicing:
                let_go(notes, first.start)
            lined = any(hit.row == LINE for hit in stretch)
            root = self._figure_root(chord, max(floors)) if lined else 0
            for hit, least in zip(stretch, floors, strict=True):
                key = self._key(hit, changes)
                for note in self._struck(hit, key, root, least):
                    _add_once(notes, note)
        return tuple(notes)

    def _key(self, hit: Hit, changes: Changes) -> Key:
        """The key of a stroke's chord, the one to come where the stroke is early."""
        early = changes.slot_at(hit.start).chord != hit.chord
        return self.chart.key_at(changes.next_change(hit.start).start if early else hit.start)

    def _beat(self, hit: Hit) -> int:
        return self.chart.bar_at(hit.start).meter.beat_ticks

    def _pattern(self, hit: Hit) -> CompingPattern:
        """The pattern in a stroke's bar; at an entry that is pushed, the pattern to come."""
        for tick in (hit.start, hit.start + self._beat(hit)):
            pattern = pattern_of(self.name, self.chart.bar_at(tick))
            if isinstance(pattern, CompingPattern):
                return pattern
        return self.chart.bar_at(hit.start).comping[0]

    def _rules(self, hit: Hit, pattern: CompingPattern) -> VoicingRules:
        """The rules of a stroke's pattern."""
        return rules_of(pattern)

    def _leads_on(self, rules: VoicingRules) -> bool:
        """True if voices are led from the voicing before into one of other rules."""
        return True

    def _dead(self, held: list[Held], length: int, beat: int) -> tuple[list[Held], int]:
        """What sounds of a dead stroke, and how long; beat: ticks of a beat."""
        return held, length

    def _figure_held(self, pitches: tuple[int, ...]) -> list[Held]:
        """Pitch, string and fret of each note of a figure."""
        return [(pitch, 0, -1) for pitch in pitches]

    def _stretches(self, hits: list[Hit]) -> Iterator[list[Hit]]:
        """The strokes that share a voicing: of one chord and pattern, for two bars or so."""
        stretch: list[Hit] = []
        for hit in hits:
            bar = self.chart.bar_at(hit.start)
            settled = stretch and hit.start >= stretch[0].start + REVOICED_AFTER * bar.length
            may_move = hit.mark != DEAD and (hit.row == CHORD or hit.start == bar.start)
            goes_on = (
                bool(stretch)
                and hit.chord == stretch[0].chord
                and self._pattern(hit) == self._pattern(stretch[0])
                and not (settled and may_move)
            )
            if stretch and not goes_on:
                yield stretch
                stretch = []
            stretch.append(hit)
        if stretch:
            yield stretch

    def _floor(self, start: int, end: int) -> int:
        """The lowest pitch that keeps clear of the bass from start to end."""
        first = max(0, bisect_right(self.bass_starts, start) - 1)
        past = bisect_left(self.bass_starts, end)
        pitches = [n.pitch for n in self.bass[first:past] if n.start + n.length > start]
        return max(pitches, default=0) + ABOVE_BASS

    def _takes_colour(self, hit: Hit, changes: Changes) -> bool:
        """True if the harmony around allows a ninth: no dominant of a minor chord, and on a
        minor chord only a ninth of the key."""
        quality = hit.chord.quality
        if quality.is_minor:
            ninth = (hit.chord.root.pitch_class + 2) % 12
            return ninth in key_tones(self._key(hit, changes))
        change = changes.next_change(hit.start)
        if change.chord == hit.chord:
            change = changes.next_change(change.start)
        up = (change.chord.root.pitch_class - hit.chord.root.pitch_class) % 12
        if not fits_key(hit.chord, 9, self._key(hit, changes)):
            return False
        return not (quality.is_dominant and change.chord.quality.is_minor and up == 5)

    def _next_voicing(
        self, chord: Chord, coloured: bool, floors: list[int], stays: bool
    ) -> Voicing:
        """A voicing near the one before, with as many voices as possible, whose guide tones lie
        above the bass: above its highest note if the register allows it, else above as many of
        its notes as possible.

        Where the chord stays, another voicing of it is worth a little movement.
        """
        coloured = coloured and bool(colour_degrees(chord.quality))
        guides = {(chord.root + degree).pitch_class for degree in guide_degrees(chord.quality)}
        for least in (*sorted(set(floors), reverse=True), 0):
            fewer: list[tuple[float, Voicing]] = []
            for voices in range(self.rules.voices, 0, -1):
                near = ranked(self.voicing, chord, self.rules, coloured, voices)
                found, cost = self._best(near, guides, least, stays)
                if found and not self.taken:
                    return found
                if found:
                    fewer.append((cost + FEWER * len(fewer), found))
            if fewer:
                return min(fewer, key=lambda pair: pair[0])[1]
        raise ValueError(f"{chord} has no voicing between {self.rules.low} and {self.rules.high}")

    def _best(
        self, near: tuple[tuple[float, Voicing], ...], guides: set[int], floor: int, stays: bool
    ) -> tuple[Voicing | None, float]:
        """The best of some voicings, given with their costs in order, by chance where close; and
        its cost."""
        best, least = None, float("inf")
        before = self.voicing
        for cost, voicing in near:
            if cost > least:
                break
            clear = [pitch for pitch in voicing.pitches if pitch >= floor]
            if not guides <= {pitch % 12 for pitch in clear}:
                continue
            cost += LEFT_OUT * (len(voicing.pitches) - len(clear)) + CHANCE * self.rng.random()
            if stays and before:
                same = voicing.pitches == before.pitches
                cost += SAME_AGAIN if same else 0.0
                if movement(before, voicing) > MOST_REVOICED:
                    cost += SAME_AGAIN
            for low, high in self.taken:
                shared = min(high, voicing.pitches[-1]) - max(low, voicing.pitches[0])
                if shared >= 0:
                    cost += MEETS + SHARED * shared
            if cost < least:
                best, least = voicing, cost
        return best, least

    def _struck(self, hit: Hit, key: Key, root: int, floor: int) -> list[GridNote]:
        """The notes of a stroke. Those too near the bass are left out, but for
        guide tones that no other voice sounds."""
        loud = weight(hit.mark, hit.accent)
        held = self._figure(hit, key, root) if hit.row == LINE else self._held(hit.row)
        guides = {(hit.chord.root + d).pitch_class for d in guide_degrees(hit.chord.quality)}
        assert self.voicing is not None
        clear = {pitch % 12 for pitch in self.voicing.pitches if pitch >= floor}
        keep = set() if hit.row == LINE else guides - clear
        length = hit.length
        if hit.mark == DEAD:
            held, length = self._dead(held, length, self._beat(hit))
        return [
            GridNote(hit.start, length, pitch, loud, "", string, fret)
            for pitch, string, fret in held
            if pitch >= floor or pitch % 12 in keep
        ]

    def _held(self, row: str) -> list[Held]:
        """Pitch, string and fret of each voice that a row names; its highest voice stands for
        voices that the voicing does not have."""
        assert self.voicing is not None
        pitches = self.voicing.pitches
        size = len(pitches)
        strings = self.voicing.strings or (0,) * size
        frets = self.voicing.frets or (-1,) * size
        held = list(zip(pitches, strings, frets, strict=True))
        if row == CHORD:
            return held
        if row == TOP:
            return held[-1:]
        return [held[min(int(row.removeprefix("voice-")), size) - 1]]

    def _figure_root(self, chord: Chord, floor: int) -> int:
        """The MIDI note for the root of a figure: as low as the bass allows, with an octave of
        room above."""
        low, tone = self.rules.low, chord.root.pitch_class
        first = low + (tone - low) % 12
        roots = range(first, max(self.rules.high - 11, first + 1), 12)
        return min((root for root in roots if root >= floor), default=roots[-1])

    def _figure(self, hit: Hit, key: Key, root: int) -> list[Held]:
        """Pitch, string and fret of each note of a figure in degrees."""
        return self._figure_held(tuple(root + above for above in self._figure_intervals(hit, key)))

    def _figure_intervals(self, hit: Hit, key: Key) -> list[int]:
        """The semitones over the root of each note of a figure in degrees, the lowest first."""
        words = hit.mark.split("+")
        above = {exact for word in words if (exact := exact_interval(word)) is not None}
        degrees = [int(word) for word in words if exact_interval(word) is None]
        fitting = [d if fits_key(hit.chord, d, key) else 5 for d in degrees]
        above |= {figure_interval(hit.chord.quality, degree) for degree in fitting}
        return sorted(above)


def _add_once(notes: list[GridNote], note: GridNote) -> None:
    """Append a note, in place, unless another voice has struck it at the same time: a voicing of
    few notes gives two voices the same one. It then has the greater weight of the two."""
    for place in range(len(notes) - 1, -1, -1):
        there = notes[place]
        if there.start != note.start:
            break
        if (there.pitch, there.string) == (note.pitch, note.string):
            notes[place] = replace(there, weight=max(there.weight, note.weight))
            return
    notes.append(note)
