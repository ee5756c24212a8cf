"""The sentences and labels of handouts: those of ``patterns/lesson/``, or a teacher's own for them.

A file of the teacher's own holds one table for each file of ``patterns/lesson/``, with what it
replaces; what it leaves out stays as it is. While one is in use, everything that is written in
this context uses it. groove.form.words_file reads and checks such files.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import Any

from groove import library
from groove.errors import GrooveError


@dataclass(frozen=True, slots=True)
class Wording:
    """Sentences that replace shipped ones, by the name of their file in ``patterns/lesson/``.

    digest: of the sentences; empty for the shipped ones alone.
    """

    own: Mapping[str, Any] = field(default_factory=dict, compare=False, repr=False)
    digest: str = field(init=False)
    _whole: dict[str, dict[str, Any]] = field(default_factory=dict, compare=False, repr=False)

    def __post_init__(self) -> None:
        digest = ""
        if self.own:
            import hashlib

            content = json.dumps(self.own, sort_keys=True)
            digest = hashlib.sha256(content.encode()).hexdigest()
        object.__setattr__(self, "digest", digest)

    def whole(self, name: str) -> dict[str, Any]:
        """The content of ``patterns/lesson/NAME.toml`` with what this wording has instead."""
        if name not in self._whole:
            self._whole[name] = _replaced(library.load("lesson", name), self.own.get(name, {}))
        return self._whole[name]

    def title(self, kind: str, name: str, shipped: str) -> str:
        """The title of a shipped pattern or form, ``patterns/KIND/NAME.toml``."""
        return str(self.own.get(TITLES, {}).get(kind, {}).get(name, shipped))


TITLES = "titles"
"""The table of a wording for the titles of patterns and forms, which stand in their own files."""
SHIPPED = Wording()
_IN_USE: ContextVar[Wording] = ContextVar("wording", default=SHIPPED)


@contextmanager
def worded(wording: Wording) -> Iterator[None]:
    """Write everything inside the block in the words of a wording."""
    before = _IN_USE.set(wording)
    try:
        yield
    finally:
        _IN_USE.reset(before)


def wording_in_use() -> Wording:
    """The wording of this context."""
    return _IN_USE.get()


def title_of(kind: str, name: str, shipped: str | None = None) -> str:
    """The title of a shipped pattern or form in the wording in use; `shipped` spares reading it.

    >>> title_of("drums", "rumba")
    'Rumba blues'
    """
    if shipped is None:
        shipped = str(library.load(kind, name).get("title", name))
    return _IN_USE.get().title(kind, name, shipped)


def words_of(name: str) -> dict[str, Any]:
    """The content of ``patterns/lesson/NAME.toml`` in the wording in use.

    >>> words_of("feel")["pace"]["swing"][0]
    [100, 'Slow']
    """
    return _IN_USE.get().whole(name)


def said(name: str, key: str, /, **names: object) -> str:
    """A sentence of ``patterns/lesson/NAME.toml`` in the wording in use, its names filled in.

    key: the place of the sentence, with dots between tables. Raises GrooveError for a sentence
    with a name that it can't have.

    >>> with worded(Wording({"feel": {"pace": {"swing": [[72, "Langsam"]]}}})):
    ...     words_of("feel")["pace"]["swing"][0]
    [72, 'Langsam']
    """
    found: Any = words_of(name)
    for part in key.split("."):
        found = found[part]
    return filled(str(found), {word: str(value) for word, value in names.items()})


def in_figures(value: float, shape: str = "g") -> str:
    """A number with the decimal sign of the language in use; shape: a format such as ``.1f``.

    >>> in_figures(92.5), in_figures(120), in_figures(1234.5, ",.1f")
    ('92.5', '120', '1,234.5')
    """
    language = words_of("language")
    own = {".": str(language["decimal"]), ",": str(language["thousands"])}
    return "".join(own.get(sign, sign) for sign in f"{value:{shape}}")


def inside(words: str) -> str:
    """Words from the beginning of a line as they stand inside a sentence: ``medium swing``."""
    return words[:1].lower() + words[1:] if words_of("language")["small_inside"] else words


def counted(name: str, key: str, count: int, /, **names: object) -> str:
    """The sentence ``KEY.one`` or ``KEY.many`` of ``patterns/lesson/NAME.toml``, with {number}.

    >>> counted("numbers", "bars", 1), counted("numbers", "bars", 12)
    ('1 bar', '12 bars')
    """
    return said(name, f"{key}.{'one' if count == 1 else 'many'}", number=count, **names)


def filled(sentence: str, words: Mapping[str, str]) -> str:
    """A sentence of the data with its names put in; GrooveError for an unknown one."""
    try:
        return sentence.format_map(words)
    except (KeyError, ValueError, IndexError):
        allowed = ", ".join(f"{{{word}}}" for word in words)
        raise GrooveError(
            f"patterns/lesson: the sentence {sentence!r} has a name it can't have; "
            f"there are {allowed}"
        ) from None


def _replaced(shipped: dict[str, Any], own: Mapping[str, Any]) -> dict[str, Any]:
    """The shipped tables with the values of the same keys in `own` instead.

    A list of tables is replaced table by table: by a list of them, or by those that `own` names by
    their number, counted from 1.
    """
    found = dict(shipped)
    for key, value in own.items():
        before: Any = shipped.get(key)
        if isinstance(before, dict) and isinstance(value, Mapping):
            found[key] = _replaced(before, value)
        elif _tables(before):
            new = by_number(value)
            found[key] = [_replaced(table, new.get(n, {})) for n, table in enumerate(before, 1)]
        else:
            found[key] = value
    return found


def by_number(value: Any) -> dict[int, Mapping[str, Any]]:
    """The tables that replace some of a list, by their number from 1: a list of them, or a table
    of tables named by their numbers, ``{"2": ...}``. Raises ValueError for anything else."""
    if isinstance(value, Mapping):
        found = {int(number): table for number, table in value.items()}
    elif isinstance(value, list):
        found = dict(enumerate(value, 1))
    else:
        raise ValueError("no list of tables")
    if not all(isinstance(table, Mapping) for table in found.values()):
        raise ValueError("no list of tables")
    return found


def _tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)
