"""The laws of a grip, for tests and for the sweep over all chords and necks."""

from groove.band.comping.voicing import guide_degrees
from groove.instrument.fretboard import Place, Tuning
from groove.instrument.grips.fingers import may_be_held
from groove.instrument.grips.grip import ChordGrip
from groove.instrument.grips.shapes import span_at
from groove.theory.chords import Chord

INTERVALS = {"third": (3, 4), "sixth": (8, 9), "tenth": (15, 16)}


def assert_sound_and_playable(tuning: Tuning, chord: Chord, grip: ChordGrip) -> None:
    """Everything that a grip has to be, counted anew from its frets."""
    strings = [dot.string for dot in grip.dots]
    assert len(set(strings)) == len(strings)
    assert set(strings) | set(grip.muted) == set(tuning.strings)
    frets = {dot.string: dot.fret for dot in grip.dots}
    for dot in grip.dots:
        assert 0 <= dot.fret <= tuning.frets
        assert dot.pitch == tuning.pitch(Place(dot.string, dot.fret))
    heard = {tuning.pitch(Place(s, f)) % 12 for s, f in frets.items()}
    assert heard <= {name.pitch_class for name in chord.notes}
    guides = {(chord.root + degree).pitch_class for degree in guide_degrees(chord.quality)}
    assert guides <= heard
    assert may_be_held(frets, {dot.string: dot.finger for dot in grip.dots})
    for one in grip.dots:
        for other in grip.dots:
            assert not 0 < one.finger < other.finger or one.fret <= other.fret
    for barre in grip.barres:
        for silent in set(range(barre.first, barre.last + 1)) - set(strings):
            damping = [dot for dot in grip.dots if dot.string == silent + 1]
            assert any(dot.fret > barre.fret for dot in damping)
    for finger in {dot.finger for dot in grip.dots if dot.finger}:
        holds = [dot.string for dot in grip.dots if dot.finger == finger]
        ends = [(b.first, b.last) for b in grip.barres if b.finger == finger]
        assert ends == ([(min(holds), max(holds))] if len(holds) > 1 else [])
    assert grip.span <= max(span_at(tuning, grip.fret), 4)
    if grip.inside:
        low, high = (tuning.pitch(Place(s, frets[s])) for s in grip.inside.strings)
        assert high - low in INTERVALS[grip.inside.interval]
