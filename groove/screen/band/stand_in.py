"""A form that stands in for one that has no chords yet, so that its band can be heard."""

from __future__ import annotations

from typing import Any

from groove.form.build import FormError, Layer, build
from groove.form.model import Form
from groove.screen.form_text import EditError, content_of

FIELDS = ("key", "tempo", "meter", "feel", "swing_ratio", "drums", "bass", "comping", "percussion")
"""The fields that are taken over as far as they can be read."""


def stand_in(text: str) -> Form:
    """A form on the tonic alone with the fields of a form file's text that go together."""
    try:
        content = content_of(text)
    except EditError:
        content = {}
    values: dict[str, Any] = {"chords": "I:2"}
    for field in FIELDS:
        if field in content:
            try:
                _built(values | {field: content[field]})
            except FormError:
                continue
            values[field] = content[field]
    return _built(values)


def _built(values: dict[str, Any]) -> Form:
    if str(values.get("key", "")).endswith("m"):
        values = values | {"chords": "i:2"}
    return build([Layer(values, lambda field: field)])
