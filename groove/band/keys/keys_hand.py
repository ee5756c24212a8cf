"""The keys player's hands: a top line over the track, chords under it, and a left hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby

from groove.band.changes import Changes
from groove.band.comping.chord_hand import ChordHand
from groove.band.comping.strokes import CHORD, Hit
from groove.band.comping.voicing import VoicingRules, rules_of
from groove.band.degrees import key_tones
from groove.band.keys import left_hand
from groove.band.keys.keys_voicings import LEAST_LOW_INTERVAL, LOWEST_CLOSE
from groove.band.keys.left_hand import SHELL
from groove.band.keys.moments import Moment
from groove.band.keys.right_hand import Ask, Pitches, table
from groove.band.keys.right_line import right_hands
from groove.band.keys.slides import slide
from groove.band.keys.top_line import is_step
from groove.band.part import KEYS, LEFT, GridNote, weight
from groove.rhythm.patterns import CompingPattern
from groove.theory.chords import Chord

ABOVE_GUITAR = (62, 86)  # the register of keys beside a guitar, MIDI notes
CLEAR = 2  # semitones at least between the hands
RIGHT_LOWEST = 55  # of a right hand over a left one, MIDI note
SHELL_VOICES, FEWEST = 2, 2
OCTAVE = 12


class KeysHand(ChordHand):
    """The notes of strokes on the keys."""

    def play(self, hits: list[Hit], changes: Changes) -> tuple[GridNote, ...]:
        """The notes of all strokes; changes: the chords of the track."""
        moments = list(self._moments(hits, changes))
        self._left_hand(moments)
        right_hands([moment for moment in moments if not moment.lined], self.chart, self.rng)
        self._approach(moments)
        plain = self.chart.form.is_plain(self.name, KEYS)
        notes: list[GridNote] = []
        before: Moment | None = None
        for moment in moments:
            lower = before.right[:-1] if before else ()
            another = before is not None and before.slot != moment.slot
            if another or (moment.broken and lower != moment.right[:-1]):
                _release(notes, moment.start)
            if moment.lined:
                notes += self._figure_notes(moment, changes)
            else:
                grace = None if plain else slide(moment, before, self.chart, self.rng)
                notes += [grace] if grace else []
                notes += _struck(moment, notes)
            before = moment
        return tuple(sorted(notes, key=lambda note: (note.start, note.pitch)))

    def _moments(self, hits: list[Hit], changes: Changes) -> Iterator[Moment]:
        frame = 0
        before: tuple[Chord, str, int] | None = None
        for start, group in groupby(hits, key=lambda hit: hit.start):
            together = list(group)
            hit = together[0]
            pattern = self._pattern(hit)
            here = (hit.chord, pattern.name, self.chart.bar_at(start).start)
            frame += here != before
            before = here
            slot = changes.slot_at(start)
            if slot.chord != hit.chord:
                slot = changes.next_change(start)
            floor = max(self._floor(h.start, h.end) for h in together)
            end = max(h.end for h in together)
            rules = self._rules(hit, pattern)
            two_hands = bool(pattern.left) and not self._shares_register(hit)
            taken = [span for other in self.others if (span := other.at(start, end))]
            low = max(rules.low, RIGHT_LOWEST) if two_hands else rules.low
            ask = Ask(
                hit.chord,
                low,
                rules.high,
                max(FEWEST, rules.voices - two_hands),
                pattern.colours and self._takes_colour(hit, changes),
                rules.octave,
                floor=max(low, floor),
                scale=key_tones(self._key(hit, changes)) if pattern.colours else None,
            )
            yield Moment(
                together, hit.chord, slot.start, pattern, rules, frame, floor, ask, taken, two_hands
            )

    def _rules(self, hit: Hit, pattern: CompingPattern) -> VoicingRules:
        """The rules of a pattern; keys beside a guitar play above it, where they have room."""
        rules = rules_of(pattern)
        if self._beside_guitar(hit):
            return replace(rules, low=ABOVE_GUITAR[0], high=ABOVE_GUITAR[1])
        return rules

    def _beside_guitar(self, hit: Hit) -> bool:
        return self.name == KEYS and len(self.chart.bar_at(hit.start).comping) > 1

    def _shares_register(self, hit: Hit) -> bool:
        """True if another part lies in the register in a stroke's bar: then one hand keeps
        clear of it."""
        bar = self.chart.bar_at(hit.start)
        others = (other.at(bar.start, bar.end) for other in self.others)
        return self._beside_guitar(hit) or any(others)

    def _takes_colour(self, hit: Hit, changes: Changes) -> bool:
        """The same as for any chord; a triad takes the ninth that its key has."""
        if hit.chord.quality.seventh is None:
            ninth = (hit.chord.root.pitch_class + 2) % 12
            return ninth in key_tones(self._key(hit, changes))
        return super()._takes_colour(hit, changes)

    def _left_hand(self, moments: list[Moment]) -> None:
        """Give each moment, in place, what the left hand strikes in it, and the right hand what
        that leaves to it."""
        strikes = self._left_strikes(moments)
        before: Pitches = ()
        chord: Chord | None = None
        turn = 0
        for place in strikes:
            moment = moments[place]
            low, high = moment.pattern.left_register
            if moment.pattern.left == SHELL:
                pair = left_hand.shell(moment.chord, low, high, moment.floor, before)
                if pair:
                    moment.left = before = pair
                    self._make_room(moments, place)
                    moment.ask = moment.ask._replace(
                        voices=max(FEWEST, moment.rules.voices - SHELL_VOICES),
                        guided=False,
                    )
                continue
            turn = turn + 1 if moment.chord == chord else 0
            chord = moment.chord
            moment.left_end = self._rings_to(moments, place, strikes)
            ways = left_hand.words(moment.pattern.left, "whole" if moment.whole else "single")
            floor = self._floor(moment.start, moment.left_end)
            for way in (ways[turn % len(ways)], *ways):
                moment.left = left_hand.figure(
                    moment.chord, way, low, high, floor, before[0] if before else 0
                )
                if moment.left:
                    before = moment.left
                    self._make_room(moments, place)
                    break

    def _make_room(self, moments: list[Moment], place: int) -> None:
        """Keep the right hand, in place, above what the left hand lets ring."""
        left = moments[place]
        highest = left.left[-1]
        clear = highest + (LEAST_LOW_INTERVAL if highest < LOWEST_CLOSE else CLEAR)
        for after in range(place, len(moments)):
            moment = moments[after]
            if moment.start >= max(left.left_end, left.start + 1):
                break
            moment.ask = moment.ask._replace(low=max(moment.ask.low, clear))

    def _left_strikes(self, moments: list[Moment]) -> dict[int, None]:
        """The places of the moments in which the left hand strikes, in order.

        Shells are struck with every chord; roots where the lowest voice has a stroke of its own,
        and with a chord that is new or stands where a group of beats begins.
        """
        strikes: dict[int, None] = {}
        chord: Chord | None = None
        for place, moment in enumerate(moments):
            if not moment.two_hands or moment.lined:
                continue
            here = self.chart.bar_at(moment.start)
            strong = moment.start - here.start in here.meter.group_starts
            shell = moment.pattern.left == SHELL
            if moment.single or (moment.whole and (shell or moment.chord != chord or strong)):
                strikes[place] = None
                chord = moment.chord
        return strikes

    def _rings_to(self, moments: list[Moment], place: int, strikes: dict[int, None]) -> int:
        """The tick up to which a left hand's notes ring: to its next stroke, while the chord
        sounds without a rest."""
        first = moments[place]
        end = first.end
        for after in range(place + 1, len(moments)):
            later = moments[after]
            if later.start > end or later.chord != first.chord:
                return end
            if after in strikes:
                return later.start
            end = max(end, later.end)
        return end

    def _approach(self, moments: list[Moment]) -> None:
        """Move, in place, strokes on the way into another chord to that chord a semitone off.

        Both hands move by a semitone into the new chord (common practice).
        """
        for before, here, after in zip(moments, moments[1:], moments[2:], strict=False):
            chance = here.pattern.approaches
            if not chance or here.broken or here.rules.octave or here.taken or before.shifted:
                continue
            beat = self._beat(here.hits[0])
            leads = (
                before.whole
                and here.whole
                and after.whole
                and before.slot == here.slot < before.end
                and here.chord != after.chord
                and here.end - here.start <= beat >= after.start - here.start
            )
            if leads and self.rng.random() < chance:
                way = 1 if before.right[-1] >= after.right[-1] else -1
                right = tuple(pitch + way for pitch in after.right)
                left = tuple(pitch + way for pitch in after.left)
                in_register = here.rules.low <= right[0] and right[-1] <= here.rules.high
                lowest, highest = here.pattern.left_register
                in_register = in_register and all(lowest <= pitch <= highest for pitch in left)
                passed = before.right[-1] not in table(before.ask)  # it is left by a step
                in_register = in_register and (not passed or is_step(before.right[-1], right[-1]))
                if in_register and min((*left, *right)) >= here.floor:
                    here.right, here.left, here.shifted = right, left, True

    def _figure_notes(self, moment: Moment, changes: Changes) -> Iterator[GridNote]:
        """The notes of a figure in degrees."""
        hit = moment.hits[0]
        low, high = moment.rules.low, moment.rules.high
        roots = [p for p in range(low, high + 1) if p % 12 == hit.chord.root.pitch_class]
        root = next((p for p in roots if p >= moment.floor and p + OCTAVE <= high), roots[0])
        for above in self._figure_intervals(hit, self._key(hit, changes)):
            if root + above >= moment.floor:
                yield GridNote(hit.start, hit.length, root + above, weight(hit.mark, hit.accent))


def _struck(moment: Moment, notes: list[GridNote]) -> Iterator[GridNote]:
    """The notes of a moment; ends, in place, a top note that another takes the place of.

    Those too near the bass are left out, but for guide tones that no other voice sounds.
    """
    clear = {pitch % 12 for pitch in (*moment.left, *moment.right) if pitch >= moment.floor}
    keep = moment.guides - clear
    sounded: set[int] = set()
    for hit in moment.hits:
        loud = weight(hit.mark, hit.accent)
        if hit.row != CHORD and moment.voice(hit.row) >= len(moment.right):
            _release(notes, moment.start, above=moment.right[-2:-1])
        for pitch in moment.struck(hit.row):
            heard = pitch >= moment.floor or pitch % 12 in keep
            if heard and pitch not in sounded:
                sounded.add(pitch)
                yield GridNote(hit.start, hit.length, pitch, loud)
        if moment.left and (hit.row == CHORD or moment.voice(hit.row) == 0):
            length = (moment.left_end or hit.end) - hit.start
            for pitch in moment.left:
                yield GridNote(hit.start, length, pitch, loud, LEFT)


def _release(notes: list[GridNote], tick: int, above: Pitches = ()) -> None:
    """End, in place, those of the right hand's last notes that would sound over a time; above:
    those over a pitch alone."""
    least = above[0] if above else 0
    for place in range(len(notes) - 1, max(-1, len(notes) - 24), -1):
        note = notes[place]
        if note.row != LEFT and note.pitch > least and note.start < tick < note.start + note.length:
            notes[place] = replace(note, length=tick - note.start)
