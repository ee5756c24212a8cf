"""What the practice page and the overview of a pack share: their common style, and how one file is
put together that no network is needed for.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Mapping
from html import escape
from importlib.resources import files

from groove.library import lesson

STYLE = "web.css"
"""Colours, type and what is pressed: the same on every page."""


def common_style() -> str:
    """The style sheet that all pages begin with."""
    return (files("groove.handout") / STYLE).read_text("utf-8")


def allowed(text: str) -> str:
    """What a Content-Security-Policy calls an inline script or style, so that no other runs."""
    digest = hashlib.sha256(text.encode()).digest()
    return f"'sha256-{base64.b64encode(digest).decode()}'"


def cautions_html() -> str:
    """The usual cautions, a paragraph each: the lesson sheet's own words."""
    return "\n".join(f"<p>{escape(text)}</p>" for text in lesson("cautions")["cautions"])


def filled(template: str, places: Mapping[str, str]) -> str:
    """A template with something in each of its places.

    >>> filled("<p>{{word}}</p>", {"word": "{{again}}"})
    '<p>{{again}}</p>'
    """
    return re.sub(r"\{\{(\w+)\}\}", lambda place: places[place[1]], template)
