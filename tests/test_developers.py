"""Every file and name that DEVELOPERS.md points to exists."""

from __future__ import annotations

import re
from importlib import import_module
from pathlib import Path

from tests.cases import in_turn

ROOT = Path(__file__).parents[1]
TEXT = (ROOT / "DEVELOPERS.md").read_text("utf-8")
POINTED_TO = sorted(
    set(re.findall(r"`((?:groove|patterns|tests|demo)/[\w./-]*)(?:: ([\w.]+))?`", TEXT))
)


@in_turn(("path", "name"), POINTED_TO)
def test_what_developers_are_pointed_to_exists(path: str, name: str) -> None:
    assert (ROOT / path).exists()
    if name:
        found = import_module(path.removesuffix(".py").replace("/", "."))
        for part in name.split("."):
            found = getattr(found, part)


def test_every_room_is_in_the_tree() -> None:
    tree = TEXT.partition("groove/\n")[2].partition("patterns/")[0]
    rooms = [room.parent.name for room in (ROOT / "groove").glob("*/__init__.py")]
    assert [room for room in rooms if f"{room}/" not in tree] == []
