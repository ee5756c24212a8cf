"""Random edits of the screen: the file is what the screen shows, and undo leads to the start.

python -m tests.bench.screen_edits [EDITS] [SEED], 10,000 edits if left out: of all kinds, on forms
that ship and on one with comments and an order. After each edit the file holds the text on the
screen where that has no mistakes (else the draft does), groove.read_form reads it, its bars are
those that the screen shows, and every 100 edits undo leads back to the first text and redo to the
last. Says how many edits there were of each kind, how many were refused, and what they took.
"""

from __future__ import annotations

import random
import sys
import time
import tomllib
from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from groove import library
from groove.errors import GrooveError
from groove.form.read import read_form
from groove.screen.bar_texts import bar_texts
from groove.screen.edits import edit_of
from groove.screen.open_form import OpenForm
from groove.screen.sections import state_of

OWN = """\
# My own.
title = "Ferry"  # a working title
key = "F"
order = [
    "A, B, A",  # the tune
    { play = "A, B, A", times = 2, as = "solos" },  # two each
]
riffs = []

# The first part.
[[sections]]
name = "A"
chords = "| Fmaj7 | Dm7 | Gm7 | C7 |"  # four

[[sections]]
name = "B"
letter = "B"
chords = \"\"\"
|: Cm7 | F7 :|
| Bbmaj7 | % |
\"\"\"

[remarks]
lesson = "Leave room."
"""
BARS = (
    "C7", "Am7", "ii7 V7", "I7", "%", "", "Fmaj7 Em7 Dm7 G7", "NC", "/ / F7 /", "Xm7", "Bb7#9",
    "| C7 | % | F7 |", "|: I7 | IV7 :|", "C7 |", '"', "#", "\\", "I7:1/2 V7:1/2", "♭VII7", "|||",
)  # fmt: skip
NAMES = ("A", "B", "C", "Bridge", 'the "tune"', "", "Ä 1", "A # b", "x" * 130)
PASTED = ("| C7 | F7 |", "A\n| C7 | % |\n[B]\n| F7 | G7 |", "C7 F7\nG7 C7", "words alone", "", "|")
FIELDS: dict[str, tuple[Any, ...]] = {
    "title": NAMES,
    "key": ("C", "F", "Bbm", "H", None),
    "tempo": (90, 120.5, 5, "fast", None),
    "meter": ("4/4", "3/4", "2/4x", None),
    "feel": ("swing", "straight", None),
    "choruses": (2, 0, None),
    "drums": ("shuffle", "bossa", "none", None),
    "quick_change": (True, False, None),
}
PLAYS = ("A", "A, B", "B, B, A", "A:2", "Z", "", "A x3")


def asked(rng: random.Random, state: dict[str, Any]) -> dict[str, Any]:
    """A random edit of what a state shows."""
    section = rng.randrange(len(state["sections"]) + (rng.random() < 0.02))
    shown = state["sections"][min(section, len(state["sections"]) - 1)]
    bar = rng.randrange(len(shown["bars"]) + 2)
    at = {"section": section, "bar": bar}
    count = rng.randrange(4)
    field = rng.choice([*FIELDS])
    lines = [
        rng.choice(PLAYS) if rng.random() < 0.5
        else {"play": rng.choice(PLAYS), "times": rng.randrange(4), "as": rng.choice(NAMES)}
        for _ in range(rng.randrange(3))
    ]  # fmt: skip
    lines = [rng.choice([*state["order"], *lines]) for _ in lines] if state["order"] else lines
    return rng.choice(
        [
            {"do": "bar", **at, "text": rng.choice(BARS)},
            {"do": "bar", **at, "text": rng.choice(BARS)},
            {"do": "insert-bars", **at, "text": rng.choice(BARS)},
            {"do": "insert-bars", **at},
            {"do": "set-bars", **at, "count": count, "text": rng.choice(BARS)},
            {"do": "delete-bars", **at, "count": count},
            {"do": "paste", **at, "count": count, "text": rng.choice(PASTED)},
            {"do": "add-section", "place": rng.randrange(5), "text": rng.choice(BARS)},
            {"do": "remove-section", "section": section},
            {"do": "remove-section", "section": section},
            {"do": "move-section", "section": section, "place": rng.randrange(4)},
            {"do": "section-field", "section": section, "name": "name", "value": rng.choice(NAMES)},
            {"do": "section-field", "section": section, "name": "letter", "value": "A"},
            {"do": "section-field", "section": section, "name": "letter", "value": None},
            {"do": "field", "name": field, "value": rng.choice(FIELDS[field])},
            {"do": "order", "lines": lines},
            {"do": "start-order"},
            {"do": "nothing"},
        ]
    )


def check(opened: OpenForm, state: dict[str, Any]) -> None:
    """What must be true after each edit."""
    kept = opened.draft if opened.draft.exists() else opened.path  # which may begin with mistakes
    assert kept.read_bytes().decode() == opened.text
    assert opened.mistakes or not opened.draft.exists()
    if not opened.mistakes:
        assert read_form(opened.path) == opened.form
    content = tomllib.loads(opened.text)
    for shown, table in zip(state["sections"], content.get("sections", [content]), strict=True):
        written = [bar["text"] for bar in shown["bars"]]
        if "chords" in table and not any("unreadable" in bar for bar in shown["bars"]):
            assert bar_texts(table["chords"]) == written or not table["chords"].strip()
    assert state["order"] == content.get("order", [])


def stretch(rng: random.Random, path: Path, start: str, edits: int, found: Counter[str]) -> float:
    """Make some edits of a text and undo them all; returns the seconds of the longest edit."""
    path.unlink(missing_ok=True)
    path.with_name(f".{path.name}.draft").unlink(missing_ok=True)
    path.write_bytes(start.encode())
    opened = OpenForm.at(path, "")
    state, longest = state_of(opened), 0.0
    for _ in range(edits):
        edit = asked(rng, state)
        step = rng.choice(["", "one step"]) if edit["do"] == "bar" else ""
        before = time.perf_counter()
        try:
            opened.edit(edit_of(edit), opened.version, step)
            found[edit["do"]] += 1
        except GrooveError:
            found["refused"] += 1
        state = state_of(opened)
        longest = max(longest, time.perf_counter() - before)
        try:
            check(opened, state)
        except BaseException:
            print(f"after {edit} in:\n{opened.text}")
            raise
    last = opened.text
    while opened.can_undo:
        opened.undo(opened.version)
    assert opened.text == start
    if not opened.mistakes:
        assert path.read_bytes().decode() == start
    while opened.can_redo:
        opened.redo(opened.version)
    assert opened.text == last
    return longest


def main() -> None:
    edits, seed = ([int(word) for word in sys.argv[1:]] + [10_000, 1][len(sys.argv) - 1 :])[:2]
    rng = random.Random(seed)
    forms = [library.path_of("forms", name).read_text("utf-8") for name in library.names("forms")]
    starts = [OWN, 'key = "C"\n', OWN.replace("\n", "\r\n"), *forms]
    found: Counter[str] = Counter()
    began, longest = time.perf_counter(), 0.0
    with TemporaryDirectory() as folder:
        for number in range(edits // 100):
            start = starts[number % len(starts)]
            longest = max(longest, stretch(rng, Path(folder) / "ferry.toml", start, 100, found))
    each = (time.perf_counter() - began) / edits
    print(", ".join(f"{name} {number}" for name, number in sorted(found.items())))
    print(f"{edits} edits, {1000 * each:.0f} ms each with all checks, the longest {longest:.2f} s")


if __name__ == "__main__":
    main()
