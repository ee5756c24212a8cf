"""Puts the page's modules, styles and data into its HTML, so that the page is one file.

Data and program are deflated. The policy names the program by its digest all the same, so that no
other can take its place.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html import escape
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

from groove.handout.modules import joined
from groove.handout.practice.deflated import deflated
from groove.handout.served import OVERVIEW, link_script, site_policy
from groove.handout.teacher import ON_PAGE
from groove.handout.web import allowed, common_style, filled, policy_of
from groove.wording import said, words_of

ENTRY, PHRASES = "main.js", "phrases.js"
"""The page's program, and that of the teacher's phrases, which stands in pages with some."""
CHECK, OPEN = "check.js", "open.js"
"""Run by themselves before the modules: the first in browsers of any age, the second to inflate
data and program."""
FIRST_STYLE, LAST_STYLE = "styles/page.css", "styles/print.css"
PHRASES_STYLE = "styles/phrases.css"
"""The style of pages with phrases alone."""
PANELS = (
    "practise", "hear", "machines", "players", "aloud", "record", "tuner", "take_away", "keys",
    "kept",
)  # fmt: skip
"""The panels below chart, hands and phrases in the order in which a student meets them."""


def sources() -> Traversable:
    """The folder of the page's sources."""
    return files("groove.handout.practice") / "web"


def script(*, phrases: bool = True) -> str:
    """All modules as one script; phrases: with those of the teacher's phrases."""
    return joined(sources(), (ENTRY, PHRASES) if phrases else (ENTRY,))


def _read(name: str) -> str:
    return (sources() / name).read_text("utf-8")


def styles(*, phrases: bool = True) -> list[str]:
    """The names of all styles in their order: that of the page first, that of print last."""
    there = sorted(f"styles/{style.name}" for style in (sources() / "styles").iterdir())
    between = [name for name in there if name not in (FIRST_STYLE, LAST_STYLE)]
    return [
        FIRST_STYLE,
        *(name for name in between if phrases or name != PHRASES_STYLE),
        LAST_STYLE,
    ]


def page_html(texts: dict[str, str], data: dict[str, Any], *, served: bool = False) -> str:
    """The page. texts, data: HTML and values for JSON, by the names of their places. served: with
    a link to the overview beside it, and with what it needs to be installed from a site, see
    groove.handout.served.

    The policy in its head allows its own scripts and style, and what those write for the threads of
    clock and audio, and nothing from elsewhere.
    """
    phrases = bool(texts["phrases"])
    style = common_style() + "".join(map(_read, styles(phrases=phrases)))
    code = script(phrases=phrases)
    check, opening = _read(CHECK), _read(OPEN)
    policy = {
        "default-src": "'none'",
        "script-src": f"{allowed(code)} {allowed(check)} {allowed(opening)} data:",
        "style-src": allowed(style),
        "img-src": "data:",
        "worker-src": "blob:",
        "media-src": "blob:",  # the silence that goes along with the band, for the lock screen
        "connect-src": "'none'",
        "base-uri": "'none'",
        "form-action": "'none'",
    }
    scripts = {"check": check, "open": opening, "program": deflated(code)}
    scripts["site"] = f'<script type="module">{link_script()}</script>' if served else ""
    scripts["overview"] = _overview_link() if served else ""
    words = words_html()
    places = {"policy": policy_of(policy, site_policy() if served else {}), "style": style}
    places |= scripts | texts | words
    places |= {name: deflated(_json(value)) for name, value in data.items()}
    own = {f"own.{place}": texts.get(f"own.{place}", "") for place in ON_PAGE}
    return filled(_read("page.html"), places | own | _panels(words | own))


def policy_in(page: str) -> str:
    """The policy in the head of a page."""
    return re.search(r'http-equiv="Content-Security-Policy" content="([^"]+)"', page)[1]  # type: ignore[index]


def _overview_link() -> str:
    return f'<p><a id="overview" href="{OVERVIEW}">{escape(said("page", "foot.overview"))}</a></p>'


def _panels(words: dict[str, str]) -> dict[str, str]:
    """The panels of the page, filled, by their places: ``panel.hands`` and the like of those beside
    the chart, ``panels`` of all below them."""
    found = {
        panel.name.removesuffix(".html"): filled(panel.read_text("utf-8"), words)
        for panel in (sources() / "panels").iterdir()
    }
    below = "".join(found[name] for name in PANELS if name in found)
    return {"panels": below} | {f"panel.{name}": panel for name, panel in found.items()}


def words_html() -> dict[str, str]:
    """The words of the page as HTML, by their places, ``words.play.key``. A sentence around a field
    is two, ``.before`` and ``.after``."""
    return dict(_flat("words", words_of("page"))) | {"language": words_of("language")["tag"]}


def _flat(place: str, words: Any) -> Iterator[tuple[str, str]]:
    if isinstance(words, dict):
        for name, inside in words.items():
            yield from _flat(f"{place}.{name}", inside)
    elif isinstance(words, str):
        before, _, after = words.partition("{field}")
        yield from zip(
            (place, f"{place}.before", f"{place}.after"), map(escape, (words, before, after)),
            strict=True,
        )  # fmt: skip


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))
