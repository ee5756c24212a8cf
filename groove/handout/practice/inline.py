"""Puts the page's modules, styles and data into its HTML, so that the page is one file.

The sources are plain ES modules. Each becomes a function that is called once, after those that it
imports: ``import { a } from "../room/b.js"`` takes `a` from the result of ``room/b.js``, and a
module's result holds the names after ``export``. The modules use no other syntax for it, and one
import a line.
Comments that stand on lines of their own are left out.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html import escape
from importlib.resources import files
from importlib.resources.abc import Traversable
from posixpath import dirname, join, normpath
from typing import Any

from groove.handout.web import allowed, common_style, filled
from groove.wording import words_of

_IMPORT = re.compile(r'^import \{ ([\w, $]+) \} from "(\.{1,2}/[\w./]+)";$', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function\*?|class|const) (\w+))", re.MULTILINE)
_COMMENT = re.compile(r"^ *(?://[^\n]*|/\*\*.*?\*/)\n", re.MULTILINE | re.DOTALL)
ENTRY, PHRASES = "main.js", "phrases.js"
"""The page's program, and that of the teacher's phrases, which stands in pages with some."""
CHECK = "check.js"
"""Runs before the modules, in browsers of any age."""
STYLES = ("styles/page.css", "styles/print.css")
"""The styles of every page, in their order."""
PHRASES_STYLE = "styles/phrases.css"


def sources() -> Traversable:
    """The folder of the page's sources."""
    return files("groove.handout.practice") / "web"


def script(*, phrases: bool = True) -> str:
    """All modules as one script; phrases: with those of the teacher's phrases."""
    order: list[str] = []
    for entry in (ENTRY, PHRASES) if phrases else (ENTRY,):
        _after_its_needs(entry, order)
    return "const modules = {};\n" + "".join(_as_function(name) for name in order)


def _after_its_needs(name: str, order: list[str]) -> None:
    """Append a module to `order`, after those that it imports."""
    if name in order:
        return
    for _, needed in _IMPORT.findall(_read(name)):
        _after_its_needs(_beside(name, needed), order)
    order.append(name)


def _beside(name: str, needed: str) -> str:
    """The name of a module that another one imports, from the folder of the sources."""
    return normpath(join(dirname(name), needed))


def _as_function(name: str) -> str:
    source = _COMMENT.sub("", _read(name))
    handed_on = ", ".join(_EXPORT.findall(source))
    body = _EXPORT.sub("", _IMPORT.sub(lambda found: _taken(name, found), source))
    return f'modules["{name}"] = (() => {{\n{body}return {{ {handed_on} }};\n}})();\n'


def _taken(name: str, found: re.Match[str]) -> str:
    return f'const {{ {found[1]} }} = modules["{_beside(name, found[2])}"];'


def _read(name: str) -> str:
    return (sources() / name).read_text("utf-8")


def page_html(texts: dict[str, str], data: dict[str, Any]) -> str:
    """The page. texts, data: HTML and values for JSON, by the names of their places.

    The policy in its head allows its own scripts and style, and what those write for the threads of
    clock and audio, and nothing from elsewhere.
    """
    phrases = bool(texts["phrases"])
    styles = (*STYLES, PHRASES_STYLE) if phrases else STYLES
    style, code = common_style() + "".join(map(_read, styles)), script(phrases=phrases)
    check = _read(CHECK)
    policy = "; ".join(
        (
            "default-src 'none'",
            f"script-src {allowed(code)} {allowed(check)} data:",
            f"style-src {allowed(style)}",
            "img-src data:",
            "worker-src blob:",
            "connect-src 'none'",
            "base-uri 'none'",
            "form-action 'none'",
        )
    )
    places = {"policy": policy, "style": style, "script": code, "check": check} | texts
    words = words_html()
    places |= {name: _json(value) for name, value in data.items()} | words
    return filled(_read("page.html"), places | _panels(words))


def _panels(words: dict[str, str]) -> dict[str, str]:
    """The panels of the page with their words, by their places, ``panel.players``."""
    panels = (sources() / "panels").iterdir()
    return {
        f"panel.{panel.name.removesuffix('.html')}": filled(panel.read_text("utf-8"), words)
        for panel in panels
    }


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
    """JSON that can't end the element it stands in."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")
