"""The form that stands in for one without chords."""

from __future__ import annotations

import pytest

from groove.screen.band.stand_in import stand_in


@pytest.mark.parametrize(
    ("text", "key", "drums", "tempo"),
    [
        ('key = "Am"\ntempo = 90\ndrums = "bossa"\n', "Am", "bossa", 90),
        ('key = "Eb"\ntempo = 9000\ndrums = "tosca"\nchords = "Xm"\n', "Eb", "eighths-rock", 118),
        ('key = "G"\nfeel = "straight"\ndrums = "shuffle"\n', "G", "eighths-rock", 118),
        ("no toml", "C", "eighths-rock", 118),
        ("", "C", "eighths-rock", 118),
    ],
)
def test_it_has_the_fields_that_can_be_read_and_go_together(
    text: str, key: str, drums: str, tempo: float
) -> None:
    form = stand_in(text)
    assert (form.key.symbol, form.drums.name, form.tempo) == (key, drums, tempo)
