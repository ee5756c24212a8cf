"""Measure what share of small errors in the code the tests notice.

Run as ``python -m tests.bench.mutants [--only PREFIX] [--number N] [--jobs J]``. From each of
MODULES the same number of places is drawn with SEED: an operator, a comparison, a constant or a
condition, each changed as OPERATORS says. Each mutant is written into a copy of the checkout and
the module's own tests run there until the first fails. Prints a line for each mutant that no test
notices, then the share noticed per module and in all; asserts nothing.

A mutant whose place is drawn stays the same as long as its module does. Docstrings, type
annotations, module constants' docstrings and messages of errors are left alone.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from copy import deepcopy
from pathlib import Path
from queue import SimpleQueue

SEED = 20261129
NUMBER = 200
SECONDS = 240
"""A mutant whose tests run longer is noticed: it does not end."""

MODULES: dict[str, tuple[str, ...]] = {
    "groove/files.py": ("tests/test_files.py", "tests/test_track.py", "tests/test_cli.py"),
    "groove/theory/chords.py": ("tests/theory", "tests/references/test_chords_music21.py"),
    "groove/theory/motion.py": ("tests/theory",),
    "groove/theory/symbols.py": ("tests/theory",),
    "groove/rhythm/patterns.py": ("tests/rhythm",),
    "groove/rhythm/meter.py": ("tests/rhythm",),
    "groove/form/build.py": ("tests/form",),
    "groove/form/chart.py": ("tests/form",),
    "groove/band/drummer.py": ("tests/band/test_drummer.py", "tests/band/test_drum_patterns.py"),
    "groove/band/comping/chord_hand.py": (
        "tests/band/comping/test_comping_hand.py",
        "tests/band/comping/test_comper.py",
    ),
    "groove/band/touch/touch.py": ("tests/band/touch/test_touch.py", "tests/band/test_take.py"),
    "groove/band/bass/walking.py": ("tests/band/test_walking.py",),
    "groove/sound/midi.py": ("tests/sound/test_midi.py", "tests/sound/test_tuning.py"),
    "groove/sound/mix/limiter.py": ("tests/sound/mix/test_limiter.py",),
    "groove/instrument/fingerings.py": ("tests/instrument",),
    "groove/lesson/guide.py": ("tests/lesson",),
    "groove/handout/chart/line.py": ("tests/handout/chart/test_line.py",),
    "groove/handout/sheet/markdown.py": ("tests/handout/sheet",),
    "groove/handout/practice/data.py": ("tests/handout/practice",),
    "groove/handout/pack/folder.py": ("tests/handout/pack/test_folder.py",),
    "groove/plot.py": ("tests/test_plot.py",),
    "groove/commands/options.py": ("tests/commands", "tests/test_cli.py"),
}
"""Modules, at least one of each room, and where their own tests are."""

OPERATORS: dict[type[ast.AST], type[ast.AST]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.FloorDiv,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.And: ast.Or,
    ast.Or: ast.And,
}


def changes(node: ast.AST) -> list[ast.AST]:
    """The node as it would stand in a mutant, none where it is not changed."""
    new = deepcopy(node)
    if isinstance(new, ast.BinOp | ast.BoolOp | ast.AugAssign) and type(new.op) in OPERATORS:
        new.op = OPERATORS[type(new.op)]()  # type: ignore[assignment]
        return [new]
    if isinstance(new, ast.Compare) and type(new.ops[0]) in OPERATORS:
        new.ops[0] = OPERATORS[type(new.ops[0])]()  # type: ignore[call-overload]
        return [new]
    if isinstance(new, ast.UnaryOp) and isinstance(new.op, ast.Not):
        return [new.operand]
    if isinstance(new, ast.UnaryOp) and isinstance(new.op, ast.USub):
        return [new.operand]
    if isinstance(new, ast.Constant) and isinstance(new.value, bool):
        return [ast.Constant(not new.value)]
    if isinstance(new, ast.Constant) and isinstance(new.value, int | float):
        return [ast.Constant(new.value + 1)]
    if isinstance(new, ast.IfExp | ast.If | ast.While):
        new.test = ast.UnaryOp(ast.Not(), new.test)
        return [new]
    if isinstance(new, ast.comprehension) and new.ifs:
        new.ifs = new.ifs[1:]
        return [new]
    return []


def places(tree: ast.Module) -> list[tuple[ast.AST, str, int | None]]:
    """The places for a mutant: the parent, its field, and the index in a list."""
    found: list[tuple[ast.AST, str, int | None]] = []

    def visit(parent: ast.AST) -> None:
        for field, value in ast.iter_fields(parent):
            if field in ("annotation", "returns", "decorator_list"):
                continue
            if isinstance(parent, ast.Raise) or (isinstance(parent, ast.If) and _typing(parent)):
                continue
            for index, child in enumerate(value if isinstance(value, list) else [value]):
                if not isinstance(child, ast.AST):
                    continue
                if changes(child):
                    found.append((parent, field, index if isinstance(value, list) else None))
                visit(child)

    visit(tree)
    return found


def _typing(node: ast.If) -> bool:
    return isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"


def mutant(source: str, number: int) -> tuple[str, str]:
    """The source with its place `number` changed, and the change in a line."""
    tree = ast.parse(source)
    parent, field, index = places(tree)[number]
    value = getattr(parent, field)
    old = value if index is None else value[index]
    new = changes(old)[0]
    line = getattr(old, "lineno", getattr(parent, "lineno", 0))
    if index is None:
        setattr(parent, field, new)
    else:
        value[index] = new
    said = f"{line}: {_short(old)} -> {_short(new)}"
    return ast.unparse(ast.fix_missing_locations(tree)), said


def _short(node: ast.AST) -> str:
    shown = node.test if isinstance(node, ast.If | ast.While) else node
    return ast.unparse(shown).splitlines()[0][:80]


def drawn(number: int, only: str) -> Iterator[tuple[str, int]]:
    """Modules and places, the same ones each time."""
    each = -(-number // len(MODULES))
    for module in MODULES:
        count = len(places(ast.parse(Path(module).read_text("utf-8"))))
        chosen = random.Random(f"{SEED} {module}").sample(range(count), min(each, count))
        if module.startswith(only):
            yield from ((module, place) for place in sorted(chosen))


def noticed(module: str, source: str, checkout: Path) -> bool:
    """True if a test of the module fails in a checkout where `source` stands in its place."""
    path = checkout / module
    before = path.read_text("utf-8")
    path.write_text(source, "utf-8")
    tests = [test for test in MODULES[module] if (checkout / test).exists()]
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *tests]
    try:
        done = subprocess.run(
            [*command, module],
            cwd=checkout,
            env={**os.environ, "PYTHONPATH": str(checkout), "CI": "true"},
            capture_output=True,
            timeout=SECONDS,
        )
    except subprocess.TimeoutExpired:
        return True
    finally:
        path.write_text(before, "utf-8")
    return done.returncode != 0


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", default="", help="modules that begin with this")
    parser.add_argument("--number", type=int, default=NUMBER, help="how many mutants in all")
    parser.add_argument("--jobs", type=int, default=2)
    asked = parser.parse_args()
    checkouts: SimpleQueue[Path] = SimpleQueue()
    found: Counter[str] = Counter()
    tried: Counter[str] = Counter()

    def try_one(each: tuple[str, int]) -> None:
        module, place = each
        source, said = mutant(Path(module).read_text("utf-8"), place)
        checkout = checkouts.get()
        seen = noticed(module, source, checkout)
        checkouts.put(checkout)
        tried[module] += 1
        found[module] += seen
        if not seen:
            print(f"{module}:{said}", flush=True)

    with tempfile.TemporaryDirectory() as folder:
        for job in range(asked.jobs):
            copy = Path(folder) / str(job)
            copy.mkdir()
            for name in ("groove", "patterns", "tests", "demo"):
                shutil.copytree(name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
            for name in ("pyproject.toml", "README.md", "DEVELOPERS.md", "LICENSE"):
                shutil.copy(name, copy)
            checkouts.put(copy)
        with ThreadPoolExecutor(asked.jobs) as pool:
            list(pool.map(try_one, drawn(asked.number, asked.only)))
    for module, number in tried.items():
        print(f"{found[module]:3} of {number:3} noticed in {module}")
    if tried:
        share = found.total() / tried.total()
        print(f"{found.total()} of {tried.total()} noticed: {share:.0%}")


if __name__ == "__main__":
    main()
