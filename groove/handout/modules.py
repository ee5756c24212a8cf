"""Joins plain ES modules into one script for a page that is one file.

Each module becomes a function that is called once, after those that it imports:
``import { a } from "../room/b.js"`` takes `a` from the result of ``room/b.js``, and a module's
result holds the names after ``export``. The modules use no other syntax for it, and one import a
line. Comments that stand on lines of their own are left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from importlib.resources.abc import Traversable
from posixpath import dirname, join, normpath

_IMPORT = re.compile(r'^import \{ ([\w, $]+) \} from "(\.{1,2}/[\w./]+)";$', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function\*?|class|const) (\w+))", re.MULTILINE)
_COMMENT = re.compile(r"^ *(?://[^\n]*|/\*\*.*?\*/)\n", re.MULTILINE | re.DOTALL)


def joined(folder: Traversable, entries: Iterable[str]) -> str:
    """The modules of a folder that some entries need, and these, as one script."""
    order: list[str] = []
    for entry in entries:
        _after_its_needs(folder, entry, order)
    return "const modules = {};\n" + "".join(_as_function(folder, name) for name in order)


def _after_its_needs(folder: Traversable, name: str, order: list[str]) -> None:
    """Append a module to `order`, after those that it imports."""
    if name in order:
        return
    for _, needed in _IMPORT.findall(_read(folder, name)):
        _after_its_needs(folder, _beside(name, needed), order)
    order.append(name)


def _beside(name: str, needed: str) -> str:
    """The name of a module that another one imports, from the folder of the sources."""
    return normpath(join(dirname(name), needed))


def _as_function(folder: Traversable, name: str) -> str:
    source = _COMMENT.sub("", _read(folder, name))
    handed_on = ", ".join(_EXPORT.findall(source))
    body = _EXPORT.sub("", _IMPORT.sub(lambda found: _taken(name, found), source))
    return f'modules["{name}"] = (() => {{\n{body}return {{ {handed_on} }};\n}})();\n'


def _taken(name: str, found: re.Match[str]) -> str:
    return f'const {{ {found[1]} }} = modules["{_beside(name, found[2])}"];'


def _read(folder: Traversable, name: str) -> str:
    return (folder / name).read_text("utf-8")
