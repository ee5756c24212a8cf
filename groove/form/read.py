"""Reading a form: a file, a shipped form or standard input, with overrides on top.

Values come in layers, the file below and the command line above; each value keeps its place for
error messages.
"""

from __future__ import annotations

import os
import re
import sys
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

from groove import library
from groove.errors import nearest, quoted
from groove.form.build import FormError, Layer, build
from groove.form.model import Form

LARGEST_FILE = 100_000  # bytes; twice what a thousand bars of quarter-bar chords take
_YES_OR_NO = {"yes": "true", "on": "true", "true": "true"} | dict.fromkeys(
    ("no", "off", "false"), "false"
)
_TABLE = re.compile(r"\s*\[")
# A chain of dotted names, on which the TOML reader would spend minutes.
_ENDLESS_NAME = re.compile(r"(?<![\w\"'-])(?:[\w\"'-]++[ \t]*+\.[ \t]*+){200}")


def read_form(form: str | Path, **overrides: Any) -> Form:
    """Read and check a form.

    form: a path, the bare name of a shipped form, or ``"-"`` for standard input.
    overrides: any field of a form file, in place of the form's own value.
    Raises FormError with every problem found.

    >>> read_form("twelve-bar", key="A").bars
    12
    """
    return build([source_layer(form), Layer(overrides, lambda field: field, is_options=True)])


def source_layer(form: str | Path) -> Layer:
    """The layer of a form's source: its values as in the TOML file.

    Raises FormError where the source is missing, unreadable, no TOML or a set list.
    """
    layer = toml_layer(form)
    if "tunes" in layer.values:
        raise FormError(
            [f"{form}: a set list; groove set {form} makes its books and tracks, --check checks it"]
        )
    return layer


def toml_layer(form: str | Path) -> Layer:
    """The values of a TOML file, a shipped form or standard input, each with its place."""
    name = str(form)
    if name == "-":
        return _parsed(sys.stdin.buffer.read(LARGEST_FILE + 1), "standard input", "Standard input")
    if name in library.names("forms"):
        path = library.path_of("forms", name)
        return replace(_parsed(path.read_bytes(), f"{name}", _title_of(name)), shipped=name)
    path = Path(form)
    if "\0" in name:
        raise FormError([f"form {quoted(name)}: a file name can't hold a null character"])
    try:
        if not name or (not path.suffix and path.name == name and not path.exists()):
            beside = Path(f"{name}.toml")
            hint = nearest(name, library.names("forms"))
            if name and beside.is_file():
                hint = f"did you mean the file {beside}?"
            raise FormError([f"form {quoted(name)}: not there; {hint}"], usage=True)
        if path.is_dir():
            raise FormError([f"{name}: a folder; a form is a TOML file"])
        with open(path, "rb", opener=_open_at_once) as file:
            content = file.read(LARGEST_FILE + 1)
    except OSError as error:
        raise FormError([f"{name}: can't be read: {error.strerror or error}"]) from None
    return text_layer(content, path)


def text_layer(content: bytes, path: str | Path) -> Layer:
    """The values of the content of a form file. path: its place, for errors and for the files that
    it names; its name is the usual title.

    Raises FormError where the content is too large, or no TOML in UTF-8.
    """
    path = Path(path)
    layer = _parsed(content, f"{path}", _title_of(path.stem))
    words = layer.values.get("words")
    if isinstance(words, str) and words.endswith(".toml"):  # it lies beside the form
        return replace(layer, values={**layer.values, "words": str(path.parent / words)})
    return layer


def _open_at_once(path: str, flags: int) -> int:
    """Open a file without waiting; a named pipe without a writer then reads as empty."""
    file = os.open(path, flags | getattr(os, "O_NONBLOCK", 0))
    if hasattr(os, "O_NONBLOCK"):
        os.set_blocking(file, True)
    return file


def _title_of(stem: str) -> str:
    text = stem.encode("utf-8", "surrogateescape").decode("utf-8", "ignore")
    words = re.sub(r"[-_\s]+", " ", "".join(c for c in text if c.isprintable())).strip()
    return (words[:1].upper() + words[1:])[:120] or "Untitled"


def _parsed(content: bytes, source: str, title: str) -> Layer:
    if len(content) > LARGEST_FILE:
        raise FormError(
            [f"{source}: more than {LARGEST_FILE:,} bytes; a form is a short TOML file"]
        )
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise FormError([f"{source}: not a text file in UTF-8; a form is a TOML file"]) from None
    if not text.strip():
        raise FormError([f'{source}: empty; a form needs at least chords = "I7:4 IV7:2 ..."'])
    try:
        if _ENDLESS_NAME.search(text):
            raise RecursionError
        values = tomllib.loads(text)
    except RecursionError:
        raise FormError([f"{source}: nested too deeply; a form has plain fields"]) from None
    except ValueError as error:
        raise FormError([f"{source}: not valid TOML: {_toml_error(error, text)}"]) from None
    return Layer({"title": title} | values, lambda field: _place(source, text, field))


def _toml_error(error: ValueError, content: str) -> str:
    text = str(error)
    if text.startswith("Exceeds the limit"):
        return "a number has thousands of digits"
    match = re.search(r" \(at line (\d+), column (\d+)\)$", text)
    if not match:
        return text
    line, column = int(match[1]), int(match[2])
    fault = text[: match.start()].lower()
    hint = ""
    if fault == "invalid value":
        word = re.match(r"\w*", content.split("\n")[line - 1][column - 1 :])
        right = _YES_OR_NO.get(word[0].lower() if word else "")
        hint = f" (write {right})" if right else ' (text stands in straight quotes: key = "G")'
    return f"line {line}, column {column}: {fault}{hint}"


def _place(source: str, text: str, field: str) -> str:
    """``ferry.toml, line 5, key``: where a field stands; ``sections 2 chords`` is one of a section,
    ``order 3 play`` one of a line of the order, ``tunes 2 key`` one of a tune of a set.

    A field that the section, line or tune lacks, or that stands on its first line, is placed there.
    """
    table = re.fullmatch(r"(sections|order|tunes) (\d+) (.*)", field, re.DOTALL)
    kind = table[1] if table else ""
    name = table[3] if table else field
    wanted = int(table[2]) if table else 0
    begins = _begins(text.split("\n"), kind)
    if table:
        if wanted > len(begins):
            return f"{source}, {kind}"
        first = begins[wanted - 1]
        last = begins[wanted] if wanted < len(begins) else len(text.split("\n")) + 1
    else:
        first, last = 1, len(text.split("\n")) + 1
    for number, line in enumerate(text.split("\n")[first - 1 : last - 1], first):
        if not table and _TABLE.match(line):
            break
        if re.match(rf"\s*[\"']?{re.escape(name)}[\"']?\s*[.=]", line):
            return f"{source}, line {number}, {name}"
    if table:
        return f"{source}, line {first}, {kind}"
    return f"{source}, {name}" if name else source


def _begins(lines: list[str], kind: str) -> list[int]:
    """The lines of a file, from 1, on which the tables of a kind begin; those of an order also
    where it is written as a list, an item a line."""
    header = re.compile(rf"\s*\[\[\s*{kind}\s*\]\]") if kind else None
    found = [n for n, line in enumerate(lines, 1) if header and header.match(line)]
    if kind != "order" or found:
        return found
    open_at = next((n for n, ln in enumerate(lines, 1) if re.match(r"\s*order\s*=\s*\[", ln)), 0)
    if not open_at:
        return []
    rest = lines[open_at - 1].partition("[")[2]
    if rest.strip() and not rest.strip().startswith("#"):
        return [open_at] * (1 + rest.count('",'))
    for number, line in enumerate(lines[open_at:], open_at + 1):
        if line.strip().startswith("]"):
            break
        if line.strip()[:1] in ('"', "'", "{"):
            found.append(number)
    return found
