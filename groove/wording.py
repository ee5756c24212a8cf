"""The sentences and labels of handouts: those of ``patterns/lesson/``, or a teacher's own for them.

A file of the teacher's own holds one table for each file of ``patterns/lesson/``, with what it
replaces; what it leaves out stays as it is. While one is in use, everything that is written in
this context uses it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import Any

from groove import library
from groove.errors import GrooveError


@dataclass(frozen=True, slots=True)
class Wording:
    """Sentences that replace shipped ones, by the name of their file in ``patterns/lesson/``."""

    own: Mapping[str, Any] = field(default_factory=dict)
    _whole: dict[str, dict[str, Any]] = field(default_factory=dict, compare=False, repr=False)

    def whole(self, name: str) -> dict[str, Any]:
        """The content of ``patterns/lesson/NAME.toml`` with what this wording has instead."""
        if name not in self._whole:
            self._whole[name] = _replaced(library.load("lesson", name), self.own.get(name, {}))
        return self._whole[name]


_IN_USE: ContextVar[Wording] = ContextVar("wording", default=Wording())  # noqa: B039


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


def words_of(name: str) -> dict[str, Any]:
    """The content of ``patterns/lesson/NAME.toml`` in the wording in use.

    >>> words_of("feel")["pace"]["swing"][0]
    [72, 'Slow']
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
    """The shipped tables with the values of the same keys in `own` instead; a list of tables is
    replaced table by table."""
    found = dict(shipped)
    for key, value in own.items():
        before: Any = shipped.get(key)
        if isinstance(before, dict) and isinstance(value, Mapping):
            found[key] = _replaced(before, value)
        elif _tables(before) and _tables(value):
            pairs = zip(before, value, strict=False)
            found[key] = [_replaced(a, b) for a, b in pairs] + before[len(value) :]
        else:
            found[key] = value
    return found


def _tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)
