"""One place for each pitch of a position."""

from hypothesis import given, settings

from groove.instrument.fretboard import Tuning
from groove.instrument.material import Material, scale
from groove.instrument.one_place import in_one_place
from groove.instrument.positions import at_fret, positions
from tests.examples import examples
from tests.instrument.fret_material import GUITAR, materials, shipped_tunings


@given(shipped_tunings, materials)
@settings(max_examples=examples(40), deadline=None)
def test_no_note_is_lost_and_none_is_stretched_for_that_lies_under_the_hand(
    tuning: Tuning, material: Material
) -> None:
    for place in positions(tuning, material):
        kept = in_one_place(tuning, place)
        assert {dot.pitch for dot in kept.dots} == {dot.pitch for dot in place.dots}
        assert set(kept.dots) <= set(place.dots)
        assert kept.frets == place.frets
        under = {d.pitch for d in kept.dots if 0 <= d.fret - place.fret < tuning.reach}
        open_ = {d.pitch for d in kept.dots if d.fret == 0}
        for dot in kept.dots:
            if dot.fret and not 0 <= dot.fret - place.fret < tuning.reach:
                assert dot.pitch not in under | open_
            assert not (dot.fret and dot.pitch in open_)


@given(materials)
@settings(max_examples=examples(40), deadline=None)
def test_a_guitarist_has_each_pitch_once(material: Material) -> None:
    for place in positions(GUITAR, material):
        pitches = [dot.pitch for dot in in_one_place(GUITAR, place).dots]
        assert len(pitches) == len(set(pitches))


def test_the_g_of_c_harmonic_minor_stands_on_string_2_alone() -> None:
    place = at_fret(GUITAR, scale("C", "harmonic minor"), 8)
    on = [(d.string, d.fret) for d in in_one_place(GUITAR, place).dots if d.pitch == 67]
    assert on == [(2, 8)]
    assert [(d.string, d.fret) for d in place.dots if d.pitch == 67] == [(3, 12), (2, 8)]
