"""Reads a file of sentences that replace shipped ones, and checks it against those.

A file holds a table for each file of ``patterns/lesson/`` of which it replaces something, with
tables, names and kinds of values as there; and a table ``titles`` with titles of patterns and
forms by kind and name. Errors are a line each: the place, what was found, what is allowed.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from string import Formatter
from typing import Any

from groove import library
from groove.errors import nearest, quoted
from groove.wording import SHIPPED, TITLES, Wording, by_number

LARGEST_FILE = 400_000  # bytes
LONGEST_NAME = 500  # characters
LONGEST_TEXT = 2_000  # characters of a sentence
NOT_WORDS = ("grips", "players")
"""Files of ``patterns/lesson/`` without sentences."""
CHOSEN: dict[str, tuple[str, ...]] = {
    "scales": ("scale", "on", "only", "needs", "tag", "tags", "modes", "colours", "pentatonics",
               "key_scales"),
    "plan": ("needs", "first_in", "learners", "shares", "minutes", "most"),
    "feel": ("felt_in_two",),
    "blocks": ("learners", "only", "without"),
}  # fmt: skip
"""Keys of files that choose scales, steps and parts, and hold no sentence."""
TITLED = ("forms", "drums", "bass", "comping", "percussion", "endings")
TOGETHER = {"scales": ("kinds", "roles", "when"), "plan": ("steps", "place", "tempo", "course")}
"""Tables in which each sentence can have all names that some sentence there has."""
BESIDE = {
    "language": {"tonic", "small", "root", "chord", "note"},
    "numbers": {"number", "words"},
}
"""Further names that sentences of a file can have, though the shipped ones don't use them."""
OPEN: dict[tuple[str, ...], str] = {
    ("language", "notes"): r"[A-G](##?|bb?)?",
    ("language", "roots"): r"[A-G](##?|bb?)?",
    ("language", "letters"): r".",
    ("feel", "styles"): r".*",
    ("feel", "beside"): r".*",
    ("instruments", "names"): r".*",
    ("instruments", "readers"): r".*",
    ("changes", "degrees"): r"(#{0,2}|b{0,2})\d+",
    ("road", "trading"): r"\d+",
    ("page", "feels"): r".*",
    ("page", "instruments"): r".*",
    ("pack", "mixes", "names"): r".*",
}
"""Tables with any names of a shape, whether the shipped ones have them or not."""
_NAME = re.compile(r"[a-z_]+")


def read_words(value: Any) -> Wording:
    """The wording of a file, or of a shipped language by its bare name, such as ``german``.

    Raises ValueError with the first fault.
    """
    if isinstance(value, Wording):
        return value
    remedy = 'write a file name or a language in quotes, as in "my-words.toml"'
    if not isinstance(value, str) or not value.strip() or "\0" in value:
        raise ValueError(f"found {quoted(value)}; {remedy}")
    shipped = library.names("words")
    if value in shipped:
        return Wording(library.load("words", value))
    if len(value) > LONGEST_NAME:
        raise ValueError(f"found {quoted(value)}; {remedy}")
    path = Path(value)
    if not path.suffix and not path.exists():
        raise ValueError(f"{quoted(value)} is not there; {nearest(value, shipped)} or name a file")
    return Wording(_checked(_content(path), value))


def _content(path: Path) -> dict[str, Any]:
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE + 1)
    except OSError as error:
        raise ValueError(f"{path}: can't be read: {error.strerror or error}") from None
    if len(content) > LARGEST_FILE:
        raise ValueError(f"{path}: more than {LARGEST_FILE:,} bytes; it holds sentences alone")
    try:
        return tomllib.loads(content.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise ValueError(f"{path}: not a text file in UTF-8") from None
    except (ValueError, RecursionError) as error:
        raise ValueError(f"{path}: not valid TOML: {error}") from None


def _checked(content: dict[str, Any], source: str) -> dict[str, Any]:
    for problem in problems(content):
        raise ValueError(f"{source}: {problem}")
    return content


def word_files() -> tuple[str, ...]:
    """The names of the files of ``patterns/lesson/`` that hold sentences."""
    return tuple(name for name in library.names("lesson") if name not in NOT_WORDS)


def problems(content: Mapping[str, Any]) -> Iterator[str]:
    """The faults of a wording's content, a line each."""
    for name, own in content.items():
        if name == TITLES:
            yield from _titles(own)
        elif name not in word_files():
            yield f"unknown table {quoted(name)}; {nearest(name, [*word_files(), TITLES])}"
        elif not isinstance(own, Mapping):
            yield f"{name}: found {quoted(own)}; it is a table, [{name}]"
        else:
            yield from _table(SHIPPED.whole(name), own, (name,))


def _titles(own: Any) -> Iterator[str]:
    for kind, titles in own.items() if isinstance(own, Mapping) else [("", own)]:
        if kind not in TITLED:
            yield f"{TITLES}: unknown table {quoted(kind)}; {nearest(kind, TITLED)}"
            continue
        for name, title in titles.items() if isinstance(titles, Mapping) else [("", titles)]:
            if name not in library.names(kind):
                yield (
                    f"{TITLES}.{kind}: unknown name {quoted(name)}; "
                    f"{nearest(name, library.names(kind))}"
                )
            else:
                yield from _text("Title", title, (TITLES, kind, name))


def _table(
    shipped: Mapping[str, Any], own: Mapping[str, Any], at: tuple[str, ...]
) -> Iterator[str]:
    for key, value in own.items():
        here = (*at, key)
        if key in shipped and _is_chosen(shipped[key], here):
            yield f"{'.'.join(here)}: no sentence; a file of words can't replace it"
        elif key in shipped:
            yield from _value(shipped[key], value, here)
        elif at in OPEN and re.fullmatch(OPEN[at], key):
            yield from _text("", value, here)
        else:
            what = "table" if isinstance(value, Mapping) else "sentence"
            yield f"{'.'.join(at)}: unknown {what} {quoted(key)}; {nearest(key, shipped)}"


def _is_chosen(shipped: Any, at: tuple[str, ...]) -> bool:
    """True if a value chooses among scales, steps or parts, and is no sentence."""
    words = isinstance(shipped, str) and at[1] == "session"
    kind = (
        isinstance(shipped, Mapping) and at[-1] == "modes"
    )  # of forms, beside the modes of a role
    return at[-1] in CHOSEN.get(at[0], ()) and not words and not kind


def _value(shipped: Any, own: Any, at: tuple[str, ...]) -> Iterator[str]:
    if isinstance(shipped, Mapping):
        if isinstance(own, Mapping):
            yield from _table(shipped, own, at)
        else:
            yield f"{'.'.join(at)}: found {quoted(own)}; it is a table"
    elif isinstance(shipped, list) and shipped and isinstance(shipped[0], Mapping):
        yield from _tables(shipped, own, at)
    elif isinstance(shipped, list):
        yield from _list(shipped, own, at)
    elif isinstance(shipped, str):
        yield from _text(shipped, own, at)
    elif type(own) is not type(shipped) and not (_number(own) and _number(shipped)):
        what = "true or false" if isinstance(shipped, bool) else "a number"
        yield f"{'.'.join(at)}: found {quoted(own)}; it is {what}"


def _tables(shipped: list[Any], own: Any, at: tuple[str, ...]) -> Iterator[str]:
    try:
        found = by_number(own)
    except ValueError:
        yield f"{'.'.join(at)}: write [{'.'.join(at)}.1] and so on, a table for each that is new"
        return
    for number, table in found.items():
        here = (*at, str(number))
        if not 1 <= number <= len(shipped):
            yield f"{'.'.join(here)}: there are 1 to {len(shipped)}"
        else:
            yield from _table(shipped[number - 1], table, here)


def _list(shipped: list[Any], own: Any, at: tuple[str, ...]) -> Iterator[str]:
    """A list of texts, of numbers or of lists; one of numbers in words is as long as the shipped
    one."""
    if not isinstance(own, list) or not own:
        yield f"{'.'.join(at)}: found {quoted(own)}; it is a list"
        return
    if at[0] == "numbers" and len(own) != len(shipped):
        yield f"{'.'.join(at)}: {len(own)} in the list; it has {len(shipped)}"
        return
    pair = shipped and all(isinstance(s, list) for s in shipped)
    for number, value in enumerate(own):
        if pair and (not isinstance(value, list) or len(value) != len(shipped[0])):
            yield f"{'.'.join(at)}: found {quoted(value)}; write it as {shipped[0]}"
        elif pair:
            for like, part in zip(shipped[0], value, strict=True):
                yield from _value(like, part, at)
        else:
            yield from _value(shipped[min(number, len(shipped) - 1)], value, at)


def _text(shipped: str, own: Any, at: tuple[str, ...]) -> Iterator[str]:
    place = ".".join(at)
    if not isinstance(own, str):
        yield f"{place}: found {quoted(own)}; it is a text in quotes"
        return
    if len(own) > LONGEST_TEXT or not own.isprintable():
        yield f"{place}: a sentence has at most {LONGEST_TEXT} characters, all printable"
        return
    allowed = allowed_names(shipped, at)
    try:
        names = names_in(own)
    except ValueError as error:
        yield f"{place}: {error}; write {{{{ and }}}} for braces"
        return
    for name in names - allowed:
        there = ", ".join(f"{{{each}}}" for each in sorted(allowed)) or "none"
        yield f"{place}: unknown name {{{name}}}; there are: {there}"


def names_in(sentence: str) -> set[str]:
    """The names in braces of a sentence. Raises ValueError where braces don't match."""
    found = set()
    for _, name, format_, conversion in Formatter().parse(sentence):
        if name is not None:
            if not _NAME.fullmatch(name) or format_ or conversion:
                raise ValueError(f"found {quoted('{' + name + '}')}; a name has small letters")
            found.add(name)
    return found


def allowed_names(shipped: str, at: tuple[str, ...]) -> set[str]:
    """The names that a sentence in a place can have: those of the shipped one, and of its kind."""
    allowed = names_in(shipped) | BESIDE.get(at[0], set())
    if len(at) > 1 and at[1] in TOGETHER.get(at[0], ()):
        whole = SHIPPED.whole(at[0])
        allowed |= {name for text in _texts(whole[at[1]]) for name in names_in(text)}
    return allowed


def _texts(value: Any) -> Iterator[str]:
    """All texts in a table or list."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for each in value.values():
            yield from _texts(each)
    elif isinstance(value, list):
        for each in value:
            yield from _texts(each)


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
