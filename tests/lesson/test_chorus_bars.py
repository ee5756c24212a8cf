"""The chords of a chorus bar by bar."""

from fractions import Fraction

import groove
from groove.lesson.chorus_bars import chorus_bars
from groove.lesson.guide import write_guide
from tests.lesson.guide_material import guide


def test_each_bar_has_a_chord_and_a_change_stands_where_it_is() -> None:
    (chorus,) = chorus_bars(guide("I7:2 IV7:1/2 V7:1/2 I7:3/2 V7:1/2"))
    beats = [(beat.bar, beat.at, str(beat.chord), beat.new) for beat in chorus.beats]
    half = Fraction(1, 2)
    assert beats == [
        (0, 0, "C7", True), (1, 0, "C7", False), (2, 0, "F7", True), (2, half, "G7", True),
        (3, 0, "C7", True), (4, 0, "C7", False), (4, half, "G7", True),
    ]  # fmt: skip


def test_sections_stand_one_by_one() -> None:
    form = groove.read_form("tests/arrangements/latin-swing-aaba.toml")
    made = write_guide(form)
    stretches = chorus_bars(made)
    assert [each.name for each in stretches] == [section.name for section in made.sections]
    for stretch, section in zip(stretches, made.sections, strict=True):
        assert stretch.beats[-1].bar + 1 == sum(section.lengths)
