"""The keys of a keyboard to play."""

from __future__ import annotations

from hypothesis import given

from groove.instrument.keyboard import keys
from groove.instrument.material import Material
from tests.instrument.fret_material import materials


@given(materials)
def test_keyboard_has_every_tone_twice(material: Material) -> None:
    found = keys(material)
    for tone in {t.pitch_class: t for t in material.tones}.values():
        assert [k.name for k in found if k.pitch % 12 == tone.pitch_class] == [tone.name] * 2
