"""The rooms of the house and their order: nothing imports upwards, and nothing in a circle."""

from __future__ import annotations

import ast
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import grimp
import pytest

import groove

PACKAGE = Path(groove.__file__).parent
LAYERS = (
    ("groove.cli",),
    ("groove.commands",),
    ("groove.screen",),
    ("groove.handout",),
    ("groove.track", "groove.lesson"),
    ("groove.sound", "groove.plot", "groove.instrument"),
    ("groove.band",),
    ("groove.form",),
    ("groove.rhythm", "groove.files"),
    ("groove.theory", "groove.wording", "groove.library", "groove.version", "groove.errors"),
)
"""From the top; a room imports from itself, from its own layer and from below.

`groove` itself, which passes on the library's names, stands between the commands and the handouts.
"""
ABOVE = {"groove.__main__", "groove.cli", "groove.commands"}
MOST_MODULES = 21
LARGEST_SHARE = 0.4


def modules_named_in(path: Path, known: frozenset[str]) -> set[str]:
    """Modules that a file names in strings, as tables of what to load do."""
    tree = ast.parse(path.read_text("utf-8"))
    texts = {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant)}
    return {str(text) for text in texts} & known - {"groove"}


@pytest.fixture(scope="module")
def imports() -> grimp.ImportGraph:
    """All imports of groove: at the top, inside functions, for types, and by name from tables."""
    graph = grimp.build_graph("groove", cache_dir=None)
    for path in PACKAGE.rglob("*.py"):
        parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
        importer = ".".join(parts).removesuffix(".__init__")
        for imported in modules_named_in(path, graph.modules):
            graph.add_import(importer=importer, imported=imported)
    return graph


def test_every_room_has_its_layer(imports: grimp.ImportGraph) -> None:
    rooms = {module for module in imports.modules if module.count(".") == 1}
    assert rooms - {"groove.__main__"} == {room for layer in LAYERS for room in layer}


def test_nothing_imports_upwards(imports: grimp.ImportGraph) -> None:
    layers = [grimp.Layer(*rooms, independent=False) for rooms in LAYERS]
    found = imports.find_illegal_dependencies_for_layers(layers)
    assert sorted(f"{each.importer} -> {each.imported}" for each in found) == []


def test_only_the_commands_import_the_package_as_a_whole(imports: grimp.ImportGraph) -> None:
    importers = imports.find_modules_that_directly_import("groove")
    assert {".".join(importer.split(".")[:2]) for importer in importers} <= ABOVE


def test_no_imports_go_in_a_circle(imports: grimp.ImportGraph) -> None:
    needs = {each: imports.find_modules_directly_imported_by(each) for each in imports.modules}
    try:
        TopologicalSorter(needs).prepare()
    except CycleError as error:
        pytest.fail(" -> ".join(error.args[1]))


def test_a_table_of_modules_counts_as_imports(imports: grimp.ImportGraph) -> None:
    assert "groove.handout.pack.make" in imports.find_modules_directly_imported_by("groove")


def test_no_folder_has_too_many_modules() -> None:
    for folder in {path.parent for path in PACKAGE.rglob("*.py")}:
        assert len(list(folder.glob("*.py"))) <= MOST_MODULES, folder


def test_no_room_has_two_fifths_of_the_lines() -> None:
    lines: dict[str, int] = {}
    for path in PACKAGE.rglob("*.py"):
        room = path.relative_to(PACKAGE).parts[0]
        lines[room] = lines.get(room, 0) + len(path.read_text("utf-8").splitlines())
    room = max(lines, key=lambda each: lines[each])
    assert lines[room] < LARGEST_SHARE * sum(lines.values()), room
