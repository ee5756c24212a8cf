"""The practice plan in words."""

import pytest

import groove
from groove.lesson.guide import write_guide


@pytest.mark.parametrize(
    ("chords", "key", "played"),
    [
        ("Imaj7 bVIIdim7 bIIIdim7 V7", "C", "B♭°7 (B♭ D♭ F♭ G)"),
        ("I7:4 IV7:2 I7:2 V7 IV7 I7:2", "Gb", "C♭7 (C♭ E♭ G♭ A)"),
    ],
)
def test_the_plan_names_notes_as_they_are_played(chords: str, key: str, played: str) -> None:
    """A natural for a double flat: common practice where a player reads in a hurry."""
    form = groove.read_form("twelve-bar", chords=chords, key=key)
    steps = [step.words for step in write_guide(form).plan.steps]
    assert any(played in words for words in steps)
    assert not any("♭♭" in words for words in steps)
