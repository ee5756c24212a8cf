"""The tables of a pattern file, their keys taken one by one and checked."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, TypeVar

from groove.rhythm.box_notation import Cell, ReadMark, read_cell
from groove.rhythm.kit import KIT

_Value = TypeVar("_Value")


class Table:
    """The keys of a TOML table, taken one by one and checked.

    A method raises ValueError, naming the key, for a key that is missing, for a value of another
    type and for one out of range. usual: the value of a key that is left out.
    """

    def __init__(self, content: Mapping[str, Any], place: str = "") -> None:
        self._left = dict(content)
        self._place = place

    def __contains__(self, key: str) -> bool:
        """True if a key is there and has not been taken."""
        return key in self._left

    def error(self, key: str, text: str) -> ValueError:
        """An error about a key, to be raised."""
        return ValueError(f"{self._place} {key}: {text}".lstrip())

    def take(self, key: str, kind: type[_Value], usual: _Value | None = None) -> _Value:
        """The value of a key, which must be of a type; ``usual`` if the key is left out."""
        if key not in self._left:
            if usual is None:
                raise self.error(key, "missing")
            return usual
        value = self._left.pop(key)
        if kind is float and type(value) is int:
            value = float(value)
        if type(value) is not kind:
            raise self.error(key, f"found {value!r}, {kind.__name__} is needed")
        return value

    def choice(self, key: str, choices: Collection[_Value], usual: _Value | None = None) -> _Value:
        """One of some values of the same type."""
        value = self.take(key, type(next(iter(choices))), usual)
        if value not in choices:
            raise self.error(key, f"found {value!r}; {', '.join(map(str, choices))} are allowed")
        return value

    def number(self, key: str, low: float, high: float, usual: float | None = None) -> float:
        """A number from low to high."""
        value = self.take(key, float, usual)
        if not low <= value <= high:
            raise self.error(key, f"found {value:g}; {low:g} to {high:g} are allowed")
        return value

    def whole(self, key: str, low: int, high: int, usual: int | None = None) -> int:
        """A whole number from low to high."""
        value = self.take(key, int, usual)
        if not low <= value <= high:
            raise self.error(key, f"found {value}; {low} to {high} are allowed")
        return value

    def span(self, key: str, usual: tuple[int, int] | None = None) -> tuple[int, int]:
        """Two whole numbers, the lower first."""
        value = self.take(key, list, list(usual) if usual else None)
        if len(value) != 2 or any(type(end) is not int for end in value) or value[0] >= value[1]:
            raise self.error(key, f"found {value}, two whole numbers are needed, the lower first")
        return value[0], value[1]

    def voices(self, key: str) -> tuple[str, ...]:
        """Voices of the kit, none if the key is left out."""
        value = self.take(key, list, [])
        if any(voice not in KIT for voice in value):
            raise self.error(key, f"found {value}, names of voices of the kit are needed")
        return tuple(value)

    def names(self, key: str, known: Collection[str]) -> tuple[str, ...]:
        """Names out of those that are known, none if the key is left out."""
        value = self.take(key, list, [])
        if any(name not in known for name in value):
            raise self.error(key, f"found {value}; {', '.join(known)} are allowed")
        return tuple(value)

    def part(self, key: str) -> float | None:
        """A part of a whole, over 0 and up to 1; None if the key is left out."""
        return self.number(key, 0.01, 1) if key in self._left else None

    def table(self, key: str, usual: dict[str, Any] | None = None) -> Table:
        """A table under this one."""
        return Table(self.take(key, dict, usual), f"{key}:")

    def tables(self, key: str, *, may_lack: bool = False) -> list[Table]:
        """One table or more under the same name; may_lack: or none."""
        if may_lack and key not in self._left:
            return []
        found = self.take(key, list)
        if not found or any(type(table) is not dict for table in found):
            raise self.error(key, f"[[{key}]] tables are needed")
        return [Table(table, f"{key} {n}:") for n, table in enumerate(found, 1)]

    def cell(self, read_mark: ReadMark, lengths: set[int], level: int = 1) -> Cell:
        """The cell of the keys that are left, all of them rows; it has one of some lengths."""
        rows = {row: self.take(row, str) for row in list(self._left)}
        try:
            cell = read_cell(level, rows, read_mark)
        except ValueError as error:
            raise ValueError(f"{self._place} {error}") from None
        if cell.lines not in lengths:
            allowed = " or ".join(map(str, sorted(lengths)))
            raise ValueError(f"{self._place} {cell.lines} lines in a row, {allowed} are needed")
        return cell

    def end(self) -> None:
        """Refuse the keys that are left."""
        for key in self._left:
            raise self.error(key, "unknown key")
