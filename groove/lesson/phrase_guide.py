"""Finds a phrase all over the neck and moves it to each chord of the form."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from groove.instrument.fingerings import Placement, as_given, best_hands, best_starts, count
from groove.instrument.fretboard import Place, Tuning
from groove.lesson.chord_guides import ChordGuide
from groove.lesson.chord_scales import BLUES_ROLES
from groove.lesson.form_scales import ARPEGGIO
from groove.lesson.guide import Guide
from groove.lesson.phrase_moves import Seat, by_degree, seats
from groove.lesson.phrase_notation import Phrase, read_phrase
from groove.theory.chords import Chord
from groove.theory.heard import heard
from groove.theory.pitch import NoteName
from groove.theory.scales import chord_scale

PLACES_SHOWN = 12
LAST_FRET = 15  # for a phrase that was not written above it


@dataclass(frozen=True, slots=True)
class MovedPhrase:
    """A phrase over a chord, the part of each note there, and its place on the neck, if known."""

    chord: Chord
    phrase: Phrase
    seats: tuple[Seat, ...]
    placement: Placement | None


@dataclass(frozen=True, slots=True)
class PhraseGuide:
    """A phrase, where to play it, and moved to each chord.

    as_written: as it was given, where that was all in strings and frets. places: the most
    comfortable ones besides. starts: where it can be begun within reach; ways: to play it there.
    left: in a blues the same notes over each chord, not moved.
    """

    phrase: Phrase
    as_written: Placement | None
    places: tuple[Placement, ...]
    starts: int
    ways: int
    moved: tuple[MovedPhrase, ...]
    left: tuple[MovedPhrase, ...]

    @property
    def first(self) -> Placement | None:
        """The place to begin with: as it was written, else the most comfortable."""
        return self.as_written or next(iter(self.places), None)


def find_phrase(guide: Guide, tuning: Tuning | None, text: str) -> PhraseGuide:
    """The phrase of a notation `text`, found on the neck and moved from the first chord to each.

    tuning: None where there are no strings. Raises GrooveError for a text that can't be read.
    """
    phrase = read_phrase(text, tuning, guide.harmony.key.tonic)
    pitches = [note.pitch for note in phrase]
    given = [note.place for note in phrase if note.place]
    written = as_given(tuning, given) if tuning and len(given) == len(phrase) else None
    frets = _in_reach(tuning, given, pitches) if tuning else range(0)
    starts = _own_octave_first(best_starts(tuning, pitches, frets=frets)) if tuning else ()
    others = tuple(place for place in starts if place != written)
    home = written or next(iter(starts), None)
    blues = "blues" in guide.harmony.kind
    return PhraseGuide(
        phrase=phrase,
        as_written=written,
        places=others[: PLACES_SHOWN - (written is not None)],
        starts=len(starts),
        ways=count(tuning, pitches, frets=frets) if tuning else 0,
        moved=tuple(_moved(guide, entry, phrase, home, tuning) for entry in guide.chords),
        left=tuple(_seated(guide, entry, phrase) for entry in guide.chords if blues),
    )


def _in_reach(tuning: Tuning, given: Sequence[Place], pitches: Sequence[int]) -> range:
    """The frets on which a player would try a phrase.

    Places above the fifteenth fret are left out, unless the phrase was written there or has no
    other place.
    """
    low = range(max([LAST_FRET, *(place.fret for place in given)]) + 1)
    return low if count(tuning, pitches, frets=low) else range(tuning.frets + 1)


def _own_octave_first(starts: Sequence[Placement]) -> tuple[Placement, ...]:
    return tuple(sorted(starts, key=lambda p: p.octaves != 0))


def _moved(
    guide: Guide, entry: ChordGuide, phrase: Phrase, home: Placement | None, tuning: Tuning | None
) -> MovedPhrase:
    """The phrase over another chord, near where it is at home."""
    over = by_degree(
        phrase, guide.chords[0].chord, entry.chord, chord_mode(guide.chords[0]), chord_mode(entry)
    )
    pitches = [note.pitch for note in over]
    if tuning is None or home is None:
        return _seated(guide, entry, over)
    if pitches == [tuning.pitch(place) for place in home.places]:
        return _seated(guide, entry, over, home)
    stopped = range(1, tuning.frets + 1)
    places = [*best_hands(tuning, pitches), *best_hands(tuning, pitches, stopped)]
    own = [place for place in places if not place.octaves] or places
    best = min(own, key=lambda p: _farness(p, home, tuning), default=None)
    return _seated(guide, entry, over, best)


def _seated(
    guide: Guide, entry: ChordGuide, phrase: Phrase, place: Placement | None = None
) -> MovedPhrase:
    """A phrase over a chord of the form."""
    blues = _blues_roots(guide, entry)
    return MovedPhrase(
        entry.chord, phrase, seats(phrase, entry.chord, chord_mode(entry), blues), place
    )


def _blues_roots(guide: Guide, entry: ChordGuide) -> tuple[NoteName, ...]:
    """The roots of the blues scales that are at home over a chord.

    Over the I, IV and V of a blues on dominant chords the key's and the chord's own; elsewhere
    the key's, if the guide has it for this chord, over a minor chord and over the one at home.
    """
    tonic, chord = guide.harmony.key.tonic, entry.chord
    if any(role.name in BLUES_ROLES for role in entry.roles):
        return tonic, chord.root
    offered = any(
        (c.root, c.scale) == (tonic, "blues") and (not c.over or chord in c.over)
        for c in guide.choices
    )
    fits = chord.quality.is_minor or chord.root == tonic
    return (tonic,) if offered and fits else ()


def _farness(place: Placement, home: Placement, tuning: Tuning) -> tuple[bool, bool, int]:
    """A sort key: places near home first, and those without open strings if home has none."""
    opens, at_home = (any(not n.fret for n in p.places) for p in (place, home))
    far = abs(place.fret - home.fret)
    return far > tuning.reach, opens and not at_home, place.cost + far


def chord_mode(entry: ChordGuide) -> str:
    """The plain scale of a chord where it stands, on the root that it is heard on."""
    whole = heard(entry.chord)
    for choice in entry.choices:
        plain = choice.scale != ARPEGGIO and "pentatonic" not in choice.scale and not choice.tag
        if plain and choice.root == whole.root:
            return choice.scale
    return chord_scale(whole.quality)
