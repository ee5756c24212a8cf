"""The kind of a form, and the keys that it goes through.

A dominant blues asks for other notes than a ii-V-I, a vamp or a loop of triads. So a form is read
first as a whole (KINDS), then chord by chord (groove.theory.roles). All of it is common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from groove.theory.areas import local_keys
from groove.theory.chords import Chord
from groove.theory.heard import heard
from groove.theory.keys import Key
from groove.theory.motion import above
from groove.theory.pitch import Degree, NoteName
from groove.theory.scales import scale_notes

KINDS = (
    "blues", "minor blues", "vamp", "modes", "loop", "major key", "minor key", "key areas",
)  # fmt: skip
MODAL = ("vamp", "modes")  # nothing leads anywhere
FOURTH, FIFTH, FLAT_SEVENTH = 5, 7, 10  # semitones
BLUES_BARS, VAMP_BARS = 12, 3
VAMP_SCALES = {
    "minor": ("dorian", "natural minor", "phrygian"),
    "major": ("major", "mixolydian", "lydian"),
}
HOME_SCALES = {"minor": "natural minor", "major": "major"}


@dataclass(frozen=True, slots=True)
class TimedChord:
    """A chord of the chorus and its length in bars."""

    chord: Chord
    bars: Fraction


@dataclass(frozen=True, slots=True)
class Area:
    """A key that a form goes through, and its chords there, each once."""

    key: Key
    chords: tuple[Chord, ...]


@dataclass(frozen=True, slots=True)
class Vamp:
    """A vamp between home and another chord: the mode that holds both, and these chords."""

    scale: str
    chords: tuple[Chord, ...]


@dataclass(frozen=True, slots=True)
class Harmony:
    """A form, or a stretch of it in a key of its own, as a listener hears it.

    kind: one of KINDS. mode: ``"major"`` or ``"minor"``, that of the chord at home.
    home_scale: the scale on the tonic that the form's plain chords come from. areas: of a form
    through several keys, in their order. away: whether it is a stretch in another key than the
    form's. vamps: stretches in another mode than home_scale, each once; of such a stretch, itself.
    """

    key: Key
    kind: str
    mode: str
    home_scale: str
    areas: tuple[Area, ...] = ()
    away: bool = False
    vamps: tuple[Vamp, ...] = ()

    @property
    def home_notes(self) -> tuple[NoteName, ...]:
        """The notes of home_scale on the tonic."""
        return scale_notes(self.key.tonic, self.home_scale)


@dataclass(frozen=True, slots=True)
class Around:
    """The chords before and after a section that stands among others."""

    before: tuple[Chord, ...] = ()
    after: tuple[Chord, ...] = ()


ALONE = Around()


def read_harmony(chorus: Sequence[TimedChord], key: Key, around: Around = ALONE) -> Harmony:
    """The kind of a form or section from the chords of one chorus, in their order."""
    chords = tuple(dict.fromkeys(timed.chord for timed in chorus))
    mode = _mode(chords, key)
    scale = HOME_SCALES[mode]
    if _is_blues(chorus, chords, key, mode):
        return Harmony(key, "blues" if mode == "major" else "minor blues", mode, scale)
    if _is_vamp(chords, key):
        vamp = _vamp_scale(chords, key, mode)
        if all(within(chord, scale_notes(key.tonic, vamp)) for chord in chords):
            return Harmony(key, "vamp", mode, vamp)
        if any(above(key.tonic, chord.root) == 0 for chord in chords):
            return Harmony(key, "modes", mode, vamp)
    if mode == "major" and _is_mixolydian(chords, key):
        return Harmony(key, "vamp", mode, "mixolydian")
    found = _vamps(chorus, key, mode)
    vamps = tuple(dict.fromkeys(found.values()))
    if all(_is_plain(chord, key) for chord in chords):
        return Harmony(key, "loop", mode, scale, vamps=vamps)
    keys = _keys(chorus, key, scale, around)
    if set(keys) == {key}:
        return Harmony(key, f"{mode} key", mode, scale, vamps=vamps)
    pairs = list(zip(keys, chorus, strict=True))
    areas = tuple(
        Area(local, tuple(dict.fromkeys(s.chord for there, s in pairs if there == local)))
        for local in dict.fromkeys(keys)
    )
    return Harmony(key, "key areas", mode, scale, areas)


def local_harmonies(
    chorus: Sequence[TimedChord], harmony: Harmony, around: Around = ALONE
) -> tuple[Harmony, ...]:
    """The harmony that each chord of a chorus stands in: the form's own, that of a key that the
    form goes through, or that of a vamp in it."""
    if not harmony.areas:
        found = _vamps(chorus, harmony.key, harmony.mode) if harmony.vamps else {}
        own = {
            place: Harmony(harmony.key, "vamp", harmony.mode, vamp.scale, vamps=(vamp,))
            for place, vamp in found.items()
        }
        return tuple(own.get(place, harmony) for place in range(len(chorus)))
    home = replace(harmony, kind=f"{harmony.mode} key", areas=())
    return tuple(
        home if key == harmony.key else Harmony(key, "major key", "major", "major", away=True)
        for key in _keys(chorus, harmony.key, harmony.home_scale, around)
    )


def _keys(chorus: Sequence[TimedChord], key: Key, scale: str, around: Around) -> tuple[Key, ...]:
    chords = [timed.chord for timed in chorus]
    return local_keys(chords, key, scale, before=around.before, after=around.after)


def _mode(chords: Sequence[Chord], key: Key) -> str:
    """The mode of the chord at home; minor if no chord has a third, as players take it."""
    for chord in map(heard, chords):
        if chord.root.pitch_class == key.tonic.pitch_class and chord.quality.of_step(3):
            return "minor" if chord.quality.is_minor else "major"
    return key.mode if any(chord.quality.third for chord in chords) else "minor"


def _is_blues(chorus: Sequence[TimedChord], chords: Sequence[Chord], key: Key, mode: str) -> bool:
    """I7 and IV7 at home in one form, or the layout of twelve bars: I, then IV, then I.

    In major that layout has a dominant seventh on I or IV too; in triads it is a song.
    """
    sevenths = {above(key.tonic, c.root) for c in chords if c.quality.is_dominant}
    if mode == "major":
        first = next((c for c in chords if above(key.tonic, c.root) == 0), None)
        if first and first.quality.is_dominant and FOURTH in sevenths:
            return True
    bars = sum((timed.bars for timed in chorus), Fraction(0))
    if bars not in (BLUES_BARS, 2 * BLUES_BARS):
        return False
    part = bars / BLUES_BARS
    found = [_at(chorus, Fraction(bar) * part) for bar in (0, 2, 4, 6)]
    if [above(key.tonic, chord.root) for chord in found] != [0, 0, FOURTH, 0]:
        return False
    blue = found[0].quality.of_step(7) != Degree(7) and not sevenths.isdisjoint({0, FOURTH})
    return mode == "minor" or blue


def _at(chorus: Sequence[TimedChord], bar: Fraction) -> Chord:
    """The chord that sounds at a place in the chorus, in bars from its top."""
    end = Fraction(0)
    for timed in chorus:
        end += timed.bars
        if bar < end:
            return timed.chord
    return chorus[-1].chord


def _is_vamp(chords: Sequence[Chord], key: Key) -> bool:
    """One or two chords, neither of them the V that leads home, its third held back or not."""
    fives = [c for c in map(heard, chords) if above(key.tonic, c.root) == FIFTH]
    leads = any(_has_major_third(c) or c.quality.is_dominant for c in fives)
    return len(chords) <= 2 and not leads


def _vamps(chorus: Sequence[TimedChord], key: Key, mode: str) -> dict[int, Vamp]:
    """The vamp at each place of a chorus that stands in one.

    A vamp is where home and another chord alternate for VAMP_BARS or more, there and back at least,
    and a mode holds both that the form's own scale is not: i7 IV7 i7 IV7 before changes in minor.
    """
    found: dict[int, Vamp] = {}
    start = 0
    while start < len(chorus):
        end = start + 1
        while end < len(chorus) and len({s.chord for s in chorus[start : end + 1]}) <= 2:
            end += 1
        chords = tuple(dict.fromkeys(timed.chord for timed in chorus[start:end]))
        bars = sum((timed.bars for timed in chorus[start:end]), Fraction(0))
        places = {above(key.tonic, chord.root) for chord in chords}
        alternate = 0 in places and len(places) == len(chords) == 2 and end - start > 2
        if alternate and bars >= VAMP_BARS and _is_vamp(chords, key):
            scale = _vamp_scale(chords, key, mode)
            holds = all(within(chord, scale_notes(key.tonic, scale)) for chord in chords)
            if holds and scale != HOME_SCALES[mode]:
                found |= dict.fromkeys(range(start, end), Vamp(scale, chords))
        start = max(end - 1, start + 1)  # the last chord may begin another
    return found


def _is_mixolydian(chords: Sequence[Chord], key: Key) -> bool:
    """I, bVII, IV and the like: a major chord on the flat seventh, and nothing outside its mode."""
    low = any(above(key.tonic, c.root) == FLAT_SEVENTH and _has_major_third(c) for c in chords)
    return low and all(within(c, scale_notes(key.tonic, "mixolydian")) for c in chords)


def _vamp_scale(chords: Sequence[Chord], key: Key, mode: str) -> str:
    """The mode that holds all chords; if there is none, that of the chord at home."""
    home = [c for c in chords if c.root.pitch_class == key.tonic.pitch_class] or chords[:1]
    for together in (chords, home):
        for name in VAMP_SCALES[mode]:
            if all(within(chord, scale_notes(key.tonic, name)) for chord in together):
                return name
    return VAMP_SCALES[mode][0]


def within(chord: Chord, notes: Sequence[NoteName]) -> bool:
    """True if every tone of the chord sounds in a scale."""
    return {n.pitch_class for n in chord.notes} <= {n.pitch_class for n in notes}


def _is_plain(chord: Chord, key: Key) -> bool:
    """A triad, perhaps suspended or with a ninth; the V may have its seventh."""
    five = above(key.tonic, chord.root) == FIFTH and key.mode == "major"
    seventh = chord.quality.of_step(7, 6)
    return seventh is None or (five and seventh == Degree(7, -1))


def _has_major_third(chord: Chord) -> bool:
    return Degree(3) in chord.quality.degrees
