"""Forms with an ending: short ones in a blues, a major and a minor key."""

from __future__ import annotations

from typing import Any

from groove.form.build import Layer, build
from groove.form.model import Form

HOMES = {
    "dominant": ("C", "| I7 | IV7 | I7 | V7 |"),
    "major": ("C", "| I | IV | ii7 | V7 |"),
    "minor": ("Cm", "| i | iv | i | V7 |"),
}


def form(drums: str, home: str = "major", **fields: Any) -> Form:
    """Four bars and an ending."""
    key, chords = HOMES[home]
    usual = {"title": "Made up", "key": key, "chords": chords, "drums": drums, "choruses": 1}
    return build([Layer(usual | fields, lambda field: field)])
