"""Reading a form: a file, a shipped form or standard input, with overrides on top.

Values come in layers, the file below and the command line above; each value keeps its place for
error messages.
"""

from __future__ import annotations

import os
import re
import sys
import tomllib
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
_SECTION = re.compile(r"\s*\[\[\s*sections\s*\]\]")
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

    Raises FormError where the source is missing, unreadable or no TOML.
    """
    name = str(form)
    if name == "-":
        return _parsed(sys.stdin.buffer.read(LARGEST_FILE + 1), "standard input", "Standard input")
    if name in library.names("forms"):
        path = library.path_of("forms", name)
        return _parsed(path.read_bytes(), f"{name}", _title_of(name))
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
    return _parsed(content, name, _title_of(path.stem))


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
    """``ferry.toml, line 5, key``: where a field stands; ``sections 2 chords`` is one of a section.

    A field that the section lacks, or that stands on its first line, is placed there.
    """
    section = re.fullmatch(r"sections (\d+) (.*)", field, re.DOTALL)
    name = section[2] if section else field
    begun, wanted = 0, int(section[1]) if section else 0
    for number, line in enumerate(text.split("\n"), 1):
        if _SECTION.match(line):
            wanted -= 1
            if section and wanted < 0:
                break
            begun = number
        elif not wanted and re.match(rf"\s*[\"']?{re.escape(name)}[\"']?\s*=", line):
            return f"{source}, line {number}, {name}"
    if section:
        return f"{source}, line {begun}, sections" if begun else f"{source}, sections"
    return f"{source}, {name}" if name else source
