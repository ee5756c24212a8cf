"""The guitarist's hands: the left holds grips and figures, the right strikes or plucks strings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence, Set
from random import Random

from groove import library
from groove.band.comping.chord_hand import ChordHand, Held
from groove.band.comping.ranked_voicings import ranked
from groove.band.comping.strokes import CHORD, DEAD, LINE, MUTED, TOP, UNSTATED, Hit
from groove.band.comping.voicing import Voicing, colour_degrees, guide_degrees
from groove.band.guitar import guitar_shapes
from groove.band.guitar.capo import capo_of
from groove.band.guitar.figure_shapes import is_figure
from groove.band.guitar.grips import Grip, Wanted, ranked_grips
from groove.band.guitar.guitar_shapes import GuitarShape
from groove.band.guitar.shape_library import STRINGS, group
from groove.band.guitar.strum_strings import PLUCKED, direction, plucked, struck
from groove.band.part import COMPING, GridNote, Part, weight
from groove.form.chart import Chart
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import Degree

DEAD_PART, MUTED_PART = 16, 3  # the part of a beat that a dead and a palm-muted stroke last
KEPT = ("open", "barres", "power")  # groups whose grips are held as long as a chord lasts
CHANCE = 1.0  # frets of movement that chance is worth
COLOURED = 0.75  # of the chords that may have one get a ninth or a thirteenth
ENOUGH = 4  # strings that make a full chord ...
LEFT_OUT = 1.5  # ... and what each is worth of them that lies too near the bass
MEETS, SHARED = 6.0, 0.5  # of a register that another part has, and of each semitone of it
HIGH_ROOT = 4.0  # frets that the lower octave of a figure is worth
FROM_NUT, HIGH_STRING = 0.5, 1.0  # of its fret, and of each string above the lowest
BESIDE_GRIP = 3.0  # of its root on a place that the grip does not hold
SIXTH = 9  # semitones
LOOKED_FOR = 3.0  # frets that a figure of the library is worth
MOVED_ROOT = 20.0  # of its root on another string than before
LEAST = 2  # strings that sound under another part
SAME_AGAIN = 6.0  # of the same grip where a chord has lasted for bars
LOW_TONES = (Degree(1), Degree(5))  # the tones of palm-muted strokes


class GuitarHand(ChordHand):
    """The notes of strokes on a guitar, each with its string and fret.

    capo: its fret, 0 for none; frets are counted from the nut.
    """

    def __init__(
        self,
        chart: Chart,
        bass: tuple[GridNote, ...],
        rng: Random,
        name: str = COMPING,
        others: Sequence[Part] = (),
    ) -> None:
        super().__init__(chart, bass, rng, name, others)
        self.fret = 4  # where the hand is ...
        self.root = guitar_shapes.places((45,))[0]  # ... and holds the root of figures
        self.capo = capo_of(chart, name)
        self.grip: Grip | None = None
        self._here = -1  # the bar, or the chord that begins in it ...
        self._stated = False  # ... and whether its guide tones have sounded

    def _next_voicing(
        self, chord: Chord, coloured: bool, floors: list[int], stays: bool
    ) -> Voicing:
        """A grip of the library near the one before, its guide tones above the bass; else a shape
        that is looked for on the fretboard."""
        self._stated = self._stated and stays
        quality, root = chord.quality, chord.root.pitch_class
        coloured = coloured and bool(colour_degrees(quality)) and self._adds(stays)
        guides = {(chord.root + degree).pitch_class for degree in guide_degrees(quality)}
        rules, named = self.rules, self.pattern.shapes
        every = tuple(name for name in library.names("guitar") if group(name).movable)
        for floor in self._floors(floors):
            if stays and self.grip and self._holds_on(self.grip, guides, floor):
                return self.grip.voicing
            for groups, whole in ((named, True), (every, True), (named, False), (every, False)):
                wanted = Wanted(groups, rules.low, rules.high, whole, self.capo)
                near = ranked_grips(self.grip, root, quality, wanted, coloured)
                if grip := self._best_grip(near, guides, floor, stays):
                    self.grip, self.fret = grip, grip.position
                    return grip.voicing
            for voices in range(min(rules.voices, 4), 0, -1):
                shapes = ranked(self.voicing, chord, rules, coloured, voices)
                found, _ = self._best(shapes, guides, floor, stays)
                if found:
                    self.grip = None
                    return found
        raise ValueError(f"{chord} has no voicing between {rules.low} and {rules.high}")

    def _floors(self, floors: list[int]) -> list[int]:
        """The pitches above which guide tones are asked to lie, in turn.

        Full chords are held where a stroke of their first bar sounds them clear of the bass; in
        the others, strings too near it rest.
        """
        if self.pattern.shapes[0] in KEPT:
            first = self.stretch[0].start
            end = first + self.chart.bar_at(first).length
            clear = [
                floor
                for hit, floor in zip(self.stretch, floors, strict=True)
                if hit.row == CHORD and hit.mark not in UNSTATED and hit.start < end
            ]
            if clear:
                return [min(clear), 0]
        return [*sorted(set(floors), reverse=True), 0]

    def _adds(self, stays: bool) -> bool:
        """True if this chord gets a ninth or a thirteenth, by chance; while it stays, as before."""
        if stays and self.grip:
            return any(tone.number in (9, 13) for tone in self.grip.tones)
        return self.rng.random() < COLOURED

    def _holds_on(self, grip: Grip, guides: set[int], floor: int) -> bool:
        """True if a grip is held on to while its chord lasts."""
        return grip.group in KEPT and guides <= {p % 12 for p in grip.voicing.pitches if p >= floor}

    def _best_grip(
        self,
        near: Iterable[tuple[float, Grip]],
        guides: set[int],
        floor: int,
        stays: bool,
    ) -> Grip | None:
        """The best of some grips, given with their costs in order, by chance where close."""
        best, least = None, float("inf")
        for cost, grip in near:
            if cost > least:
                break
            clear = [pitch for pitch in grip.voicing.pitches if pitch >= floor]
            if not guides <= {pitch % 12 for pitch in clear}:
                continue
            cost += LEFT_OUT * max(0, min(ENOUGH, self.rules.voices) - len(clear))
            cost += CHANCE * self.rng.random()
            if stays and grip == self.grip:
                cost += SAME_AGAIN
            left = self._below_others(clear, guides)
            cost += LEFT_OUT * (len(clear) - len(left))
            for low, high in self.taken:
                shared = min(high, left[-1]) - max(low, left[0])
                cost += MEETS + SHARED * shared if shared >= 0 else 0.0
            if cost < least:
                best, least = grip, cost
        return best

    def _below_others(self, pitches: list[int], guides: Set[int]) -> list[int]:
        """The pitches under the registers of other parts, where two sound or more and the guide
        tones among them; else all."""
        least = min((low for low, _ in self.taken), default=128)
        below = [pitch for pitch in pitches if pitch < least]
        whole = len(below) >= LEAST and guides <= {pitch % 12 for pitch in below}
        return below if whole else pitches

    def _struck(self, hit: Hit, key: Key, figure: int, floor: int) -> list[GridNote]:
        """The notes of a stroke, on the strings that the right hand catches."""
        if hit.row == LINE:
            return super()._struck(hit, key, figure, floor)
        assert self.voicing is not None
        voicing = self.voicing
        guides = frozenset(
            (hit.chord.root + d).pitch_class for d in guide_degrees(hit.chord.quality)
        )
        held = list(zip(voicing.pitches, voicing.strings, voicing.frets, strict=True))
        clear = [note for note in held if note[0] >= floor]
        here = max(self.chart.bar_at(hit.start).start, self.changes.slot_at(hit.start).start)
        if here != self._here:
            self._here, self._stated = here, False
        kept = self._stated or (self.grip is not None and self.grip.group in KEPT)
        low = bool(clear) and kept
        if not low and not guides <= {pitch % 12 for pitch, _, _ in clear}:
            keep = guides - {pitch % 12 for pitch, _, _ in clear}
            clear = [note for note in held if note[0] >= floor or note[0] % 12 in keep]
        needed = frozenset() if self._stated else guides
        left = self._below_others([pitch for pitch, _, _ in clear], needed)
        clear = [note for note in clear if note[0] in left]
        beat, length = self._beat(hit), hit.length
        if hit.row == CHORD:
            way = direction(self.pattern, self.chart, hit.start)
            most = self.rules.voices
            full = hit.accent or hit.start == self._here
            needed = guides if way == PLUCKED else needed
            if hit.mark in MUTED:
                clear = self._low_strings(clear)
            notes = struck(clear, way, hit.mark, full, most, needed, self.rng)
            if hit.mark not in UNSTATED and guides <= {pitch % 12 for pitch, _, _ in notes}:
                self._stated = True
        else:
            notes = [self._single(clear, hit.row, guides)]
        if hit.mark == DEAD:
            length = min(beat // DEAD_PART, length)
        elif hit.mark in MUTED:
            length = min(beat // MUTED_PART, length)
        loud = weight(hit.mark, hit.accent)
        return [GridNote(hit.start, length, *note[:1], loud, "", *note[1:]) for note in notes]

    def _low_strings(self, held: list[Held]) -> list[Held]:
        """The strings for the heel of the hand: roots and fifths where the lower strings have two
        of them."""
        if self.grip is None:
            return held
        tones = dict(zip(self.grip.voicing.pitches, self.grip.tones, strict=True))
        low = [note for note in held[:4] if tones.get(note[0]) in LOW_TONES]
        return low if len(low) > 1 else held

    def _single(self, held: list[Held], row: str, guides: frozenset[int]) -> Held:
        """The note of a row of single voices.

        Plucked, thumb and fingers have a string each. Strummed, voice-1 is the bass string and
        voice-2 the one that changes with it: the fifth if a low string has it.
        """
        most = self.rules.voices
        if self.pattern.strum == "pluck":
            under = plucked(held, most, guides)
            place = len(under) if row == TOP else int(row.removeprefix("voice-"))
            return under[min(place, len(under)) - 1]
        place = len(held) if row == TOP else int(row.removeprefix("voice-"))
        tones: dict[int, Degree] = {}
        if self.grip:
            tones = dict(zip(self.grip.voicing.pitches, self.grip.tones, strict=True))
        bass = [
            note
            for number in (LOW_TONES[0].number, LOW_TONES[1].number)
            for note in held[: max(2, len(held) - 2)]
            if (tone := tones.get(note[0])) and tone.number == number
        ] or held
        if place == 1:
            return bass[0]
        others = [note for note in held if note != bass[0]] or held
        if place == 2:
            fifths = (n for n in bass[1:] if (t := tones.get(n[0])) and t.number == 5)
            return next(fifths, others[0])
        return held[min(place, len(held)) - 1]

    def _figure_root(self, chord: Chord, floor: int) -> int:
        """The MIDI note for the root of a figure, on a low string under the hand; low rather than
        high."""
        low, tone = self.rules.low, chord.root.pitch_class
        roots = range(low + (tone - low) % 12, self.rules.high - 11, 12)
        if not roots:  # a narrow register: a lick goes up a sixth at most
            root = low + (tone - low) % 12
            roots = range(root if root + SIXTH <= self.rules.high else root - 12, root + 1, 12)
        clear = [root for root in roots if root >= floor] or list(roots[-1:])
        places = [(root, place) for root in clear for place in guitar_shapes.places((root,))]

        def cost(choice: tuple[int, GuitarShape]) -> float:
            root, place = choice
            fret = place.frets[0]
            high = HIGH_ROOT * (root > clear[0]) + HIGH_STRING * (STRINGS - place.strings[0])
            under = self.grip is None or (place.strings[0], fret) not in self.grip.places
            return abs(fret - self.fret) + FROM_NUT * fret + high + BESIDE_GRIP * under

        root, self.root = min(places, key=cost)
        return root

    def _figure_held(self, pitches: tuple[int, ...]) -> list[Held]:
        """The notes of a figure: its root where the hand has it, the others near it."""
        string, fret = self.root.strings[0], self.root.frets[0]
        root = self.root.pitches[0]

        def cost(place: GuitarShape) -> float:
            damped = place.strings[0] - place.strings[-1] + 1 - len(place.strings)
            moved = place.pitches[0] == root and (place.strings[0], place.frets[0]) != (
                string,
                fret,
            )
            off = sum(abs(each - fret) for each in place.frets if each) / len(place.frets)
            looked_for = LOOKED_FOR * (len(pitches) > 1 and not is_figure(place))
            return off + damped + MOVED_ROOT * moved + looked_for

        place = min(guitar_shapes.places(pitches), key=cost)
        return list(zip(pitches, place.strings, place.frets, strict=True))
