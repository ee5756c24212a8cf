"""One file out of many: the page's modules, styles and data put into its HTML.

The sources are plain ES modules. Each becomes a function that is called once, in the order in
which they need each other: ``import { a } from "./b.js"`` takes `a` from what ``b.js`` handed on,
and the names after ``export`` are what a module hands on. That is all the syntax they may use for
it, one import a line.
"""

from __future__ import annotations

import json
import re
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

from groove.handout.web import allowed, common_style, filled

_IMPORT = re.compile(r'^import \{ ([\w, $]+) \} from "\./([\w.]+)";$', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|class|const) (\w+))", re.MULTILINE)
ENTRY = "main.js"
STYLES = ("style.css", "print.css")


def sources() -> Traversable:
    """The folder of the page's sources."""
    return files("groove.handout.practice") / "web"


def script() -> str:
    """All modules as one script."""
    order: list[str] = []
    _after_its_needs(ENTRY, order)
    return "const modules = {};\n" + "".join(_as_function(name) for name in order)


def _after_its_needs(name: str, order: list[str]) -> None:
    """Append a module to `order`, those that it needs before it."""
    if name in order:
        return
    for _, needed in _IMPORT.findall(_read(name)):
        _after_its_needs(needed, order)
    order.append(name)


def _as_function(name: str) -> str:
    source = _read(name)
    handed_on = ", ".join(_EXPORT.findall(source))
    body = _EXPORT.sub("", _IMPORT.sub(r'const { \1 } = modules["\2"];', source))
    return f'modules["{name}"] = (() => {{\n{body}return {{ {handed_on} }};\n}})();\n'


def _read(name: str) -> str:
    return (sources() / name).read_text("utf-8")


def page_html(texts: dict[str, str], data: dict[str, Any]) -> str:
    """The page. texts: HTML for its places. data: what its places for data hold.

    The policy in its head lets its own script and style through, and nothing from elsewhere.
    """
    style, code = common_style() + "".join(_read(name) for name in STYLES), script()
    policy = "; ".join(
        (
            "default-src 'none'",
            f"script-src {allowed(code)}",
            f"style-src {allowed(style)}",
            "img-src data:",
            "worker-src blob:",
            "connect-src 'none'",
            "base-uri 'none'",
            "form-action 'none'",
        )
    )
    places = {"policy": policy, "style": style, "script": code} | texts
    places |= {name: _json(value) for name, value in data.items()}
    return filled(_read("page.html"), places)


def _json(value: Any) -> str:
    """JSON that can't end the element it stands in."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")
