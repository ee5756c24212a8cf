"""A form in every key of a cycle."""

from tests.lesson.guide_material import cycle


def test_every_key_of_a_cycle_has_its_chords_guide_tones_and_scale() -> None:
    rows = cycle().others
    assert [row.key for row in rows] == list(cycle().keys)
    f = [(str(chord), [str(tone.name) for tone in tones]) for chord, tones in rows[1].chords]
    assert f == [("Gm7", ["Bb", "F"]), ("C7", ["E", "Bb"]), ("Fmaj7", ["A", "E"])]
    assert rows[1].scale.title == "F major pentatonic"
    assert cycle(key_cycle="none").others == ()
