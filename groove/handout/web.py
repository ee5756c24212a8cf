"""Style, cautions, templates and script policy shared by the practice page and the overview."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Mapping
from html import escape
from importlib.resources import files
from typing import Any

from groove.wording import words_of

STYLE = "web.css"
"""Colours, type and controls of every page."""


def common_style() -> str:
    """The style sheet that all pages begin with."""
    return (files("groove.handout") / STYLE).read_text("utf-8")


def allowed(text: str) -> str:
    """The source of an inline script or style in a Content-Security-Policy: its SHA-256 digest."""
    digest = hashlib.sha256(text.encode()).digest()
    return f"'sha256-{base64.b64encode(digest).decode()}'"


def policy_of(*directives: Mapping[str, str]) -> str:
    """A Content-Security-Policy, each directive with the sources of all that are given.

    >>> policy_of({"default-src": "'none'", "img-src": "data:"}, {"img-src": "'self' data:"})
    "default-src 'none'; img-src data: 'self'"
    """
    sources: dict[str, dict[str, None]] = {}
    for each in directives:
        for name, given in each.items():
            sources.setdefault(name, {}).update(dict.fromkeys(given.split()))
    return "; ".join(f"{name} {' '.join(found)}" for name, found in sources.items())


def cautions_html() -> str:
    """The lesson sheet's cautions as HTML, a paragraph each."""
    return "\n".join(f"<p>{escape(text)}</p>" for text in words_of("cautions")["cautions"])


def json_html(value: Any) -> str:
    """JSON that can't end the element it stands in."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")


def filled(template: str, places: Mapping[str, str]) -> str:
    """A template with a text in each of its places.

    >>> filled("<p>{{word}}</p>", {"word": "{{again}}"})
    '<p>{{again}}</p>'
    """
    return re.sub(r"\{\{([\w.]+)\}\}", lambda place: places[place[1]], template)
