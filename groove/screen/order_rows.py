"""Moves lines of an order of play within a form file: each keeps its spelling and its comments."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import Array


def with_moved_lines(text: str, lines: Sequence[Mapping[str, Any] | str]) -> str:
    """The text with its order's lines in the sequence of `lines`.

    The text as it is where those are no longer the same lines, or where the file has not each of
    them on rows of its own.
    """
    array = tomlkit.parse(text).get("order")
    if not isinstance(array, Array):
        return text
    places = _places(array.unwrap(), lines)
    raw = array.as_string()
    if places == sorted(places) or text.count(raw) != 1:
        return text
    rows = raw.split("\n")
    if not _is_free(rows[0][1:]) or rows[-1].strip() != "]":
        return text
    chunks, rest = _chunks(rows[1:-1])
    if len(chunks) != len(lines):
        return text
    chunks[-1] = _with_comma(chunks[-1])
    moved = "\n".join([rows[0], *(chunks[place] for place in places), *rest, rows[-1]])
    return text.replace(raw, moved)


def _places(before: Sequence[Any], lines: Sequence[Any]) -> list[int]:
    """The place that each line had before; none unless they are the same lines."""
    if sorted(map(repr, before)) != sorted(map(repr, lines)):
        return []
    left = list(enumerate(before))
    found = []
    for line in lines:
        at = next(n for n, (_, each) in enumerate(left) if repr(each) == repr(line))
        found.append(left.pop(at)[0])
    return found


def _chunks(rows: Sequence[str]) -> tuple[list[str], list[str]]:
    """The rows of each line, with the comments above it, and the rows after the last."""
    chunks: list[str] = []
    begun: list[str] = []
    for row in rows:
        begun.append(row)
        if _items("\n".join(begun)):
            chunks.append("\n".join(begun))
            begun = []
    return chunks, begun


def _items(chunk: str) -> int:
    """The number of an array's items in a part of its text; 0 where that ends within one."""
    try:
        array = tomlkit.parse(f"order = [\n{chunk}\n]")["order"]
    except TOMLKitError:
        return 0
    return len(array) if isinstance(array, Array) else 0


def _with_comma(chunk: str) -> str:
    if _items(f"{chunk}\n0"):
        return chunk
    array = tomlkit.parse(f"order = [\n{chunk}\n]")["order"]
    assert isinstance(array, Array)
    item = array[0].as_string()
    return chunk.replace(item, f"{item},", 1)


def _is_free(row: str) -> bool:
    return not row.strip() or row.strip().startswith("#")
