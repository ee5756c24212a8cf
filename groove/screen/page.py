"""The screen's page: its HTML with the words in place, and what its program is given."""

from __future__ import annotations

import json
import re
from html import escape
from importlib.resources import files
from typing import Any

from groove import library
from groove.form.model import FEELS
from groove.rhythm.meter import SIGNATURES
from groove.theory.keys import Key, twelve_keys
from groove.theory.symbols import key_words
from groove.wording import title_of, words_of

Choice = tuple[str, str]
"""A value as it stands in a form file, and its title."""
PATTERNS = ("drums", "bass", "comping", "percussion")
PARTS = ("band", "lesson", "posting", "lessons")
"""Parts of the page with HTML and words of their own."""
WORDS = (*PARTS, "preview")
"""The files of words beside those of the form: ``screen-NAME``."""
OF_THE_PRACTICE_PAGE = ("speech", "road", "tab", "lines")
"""Words of the practice page that its modules say on this page too."""


def page_html() -> str:
    """The page's HTML, with the words and choices that its program needs."""
    web = files("groove.screen") / "web"
    page = (web / "page.html").read_text("utf-8")
    for part in PARTS:
        html = (web / part / f"{part}.html").read_text("utf-8")
        page = page.replace(f"{{{{part.{part}}}}}", html)
    all_words = words() | {"language": words_of("language")["tag"]}
    page = re.sub(
        r"\{\{words\.([\w.]+)\}\}", lambda place: escape(_word_at(all_words, place[1])), page
    )
    given = json.dumps({"words": words(), "choices": choices()}, ensure_ascii=False)
    return page.replace("{{given}}", given.replace("<", "\\u003c"))


def _word_at(all_words: dict[str, Any], place: str) -> str:
    found: Any = all_words
    for name in place.split("."):
        found = found[name]
    return str(found)


def words() -> dict[str, Any]:
    """The words of the page and its program, ready for JSON."""
    return (
        words_of("screen")
        | {name: words_of("page")[name] for name in OF_THE_PRACTICE_PAGE}
        | {"bends": words_of("staff")["bends"]}
        | {name: words_of(f"screen-{name}") for name in WORDS}
    )


def choices() -> dict[str, list[Choice]]:
    """The values that fields with a list may hold, by the names of the fields."""
    keys = [*twelve_keys(Key.parse("C")), *twelve_keys(Key.parse("Cm"))]
    endings = [(name, title_of("endings", name)) for name in library.names("endings")]
    special = words_of("screen")["endings"]
    return {
        "key": [(key.symbol, key_words(key)) for key in keys],
        "meter": [(name, name) for name in SIGNATURES],
        "feel": [(name, words_of("screen")["feels"][name]) for name in FEELS],
        "ending": endings + [(name, special[name]) for name in ("loop", "written")],
    } | {kind: _titled(kind) for kind in PATTERNS}


def _titled(kind: str) -> list[Choice]:
    """The patterns of a kind by their titles."""
    found = [(name, title_of(kind, name)) for name in library.names(kind)]
    return sorted(found, key=lambda choice: choice[1].lower())
