"""Feed generated bad input to the readers of forms and chords, and print what they make of it.

Run as ``python -m tests.bench.bad_input [--number N] [--seed S] [--only READER]``. Each reader gets
N inputs: random characters, pieces of what it reads in any order, shipped forms with places
changed, extreme numbers, nested tables, strings of many thousand characters. Each input should be
read, or refused with an error meant for people: one line of at most LONGEST characters. Prints a
line a reader: how many inputs were read and refused, the longest line, the slowest input, and how
many ended otherwise, with the first few of those. Asserts nothing.
"""

from __future__ import annotations

import argparse
import io
import random
import sys
import time
from collections.abc import Callable
from types import SimpleNamespace

from groove import library, read_form
from groove.errors import GrooveError
from groove.form.chordline import parse_chords
from groove.form.fields import FIELDS
from groove.form.intensity import parse_intensity
from groove.theory.chords import parse_chord
from groove.theory.keys import Key
from groove.theory.roman import parse_numeral

LONGEST = 600  # characters of an error
SHOWN = 5  # faults printed for each reader
_ROOTS = "A Bb F# H Cb I ii bVII #IV V7 V7/V vi viio i"
_CHORDS = (
    "Δ ø ° ♭ ♯ m M maj MA Ma min - + ^ dim aug sus alt add no 2 4 5 6 7 9 11 13 "
    "69 6/9 65 43 42 / /3 /b7 /V b5 #9 b13 ( ) , : :2 :1/2 :.75 | % x"
)
_LEVELS = "1 2 3 4 1.5 1.5555 - : :4 :0 :99999 1-3 x"
_KEYS = "A b g H # ♭ m - min minor major MAJ blues"
ROOTS = _ROOTS.split()
CHORDS, LEVELS, KEYS = ROOTS + _CHORDS.split(), _LEVELS.split(), _KEYS.split()
VALUES = [
    *("true", "yes", "on", "nan", "-inf", "0", "-1", "1e400", "9" * 400, "9" * 5000),
    *("0x" + "f" * 9000, "2024-01-01", "[]", "{}", "{a={b={c=1}}}", "[[[[1]]]]", "''", '""', "I7"),
    *('"' + "x" * 50_000 + '"', '"\\u001b[31m"', '"\\u202e"', '"G"', '"I7:4"', '"swing"', '"4/4"'),
    *("a." * 300 + "a", "[" * 3000, '"A"\n[[sections]]', '"é"', "1.5", '"true"', '"walking"'),
]
WILD = "".join(map(chr, [*range(32, 127), 0, 7, 10, 13, 27, 0xE9, 0x2028, 0x202E, 0x1F3B5, 0xDCFF]))

Draw = random.Random


def characters(draw: Draw) -> str:
    return "".join(draw.choices(WILD, k=draw.choice((0, 1, 3, 10, 40, 200))))


def pieces(parts: list[str], draw: Draw) -> str:
    """Parts of a notation in any order, now and then thousands of them."""
    size = draw.choice((1, 2, 3, 4, 6, 10)) if draw.random() < 0.999 else 20_000
    return draw.choice(("", "", " ")).join(draw.choices(parts, k=size))


def text(parts: list[str]) -> Callable[[Draw], str]:
    return lambda draw: pieces(parts, draw) if draw.random() < 0.8 else characters(draw)


def chord(draw: Draw) -> str:
    if draw.random() < 0.5:
        return text(CHORDS)(draw)
    return draw.choice(ROOTS) + "".join(draw.choices(CHORDS, k=draw.choice((0, 1, 1, 2, 2, 3))))


def line(draw: Draw) -> str:
    if draw.random() < 0.5:
        return text(CHORDS)(draw)
    return draw.choice((" ", " | ")).join(chord(draw) for _ in range(draw.choice((1, 2, 4, 8))))


def toml(draw: Draw) -> bytes:
    """A form's text: fields with values of any kind, or a shipped form with places changed."""
    if draw.random() < 0.1:
        return draw.randbytes(draw.choice((1, 20, 300)))
    if draw.random() < 0.5:
        names = [*FIELDS, "form", "Chords", "k" * 40_000 if draw.random() < 0.05 else "x"]
        lines = [f"{draw.choice(names)} = {draw.choice(VALUES)}" for _ in range(draw.randint(1, 5))]
        return "\n".join(['chords = "I7:4"', *lines]).encode()
    written = list(library.path_of("forms", draw.choice(library.names("forms"))).read_text("utf-8"))
    for _ in range(draw.choice((1, 1, 2, 5, 30))):
        at = draw.randint(0, len(written))
        new = draw.choice(("", draw.choice(WILD), draw.choice(CHORDS), draw.choice(VALUES)))
        written[at : at + draw.choice((0, 1, 1, 10))] = list(new)
    return "".join(written).encode("utf-8", "surrogateescape")


def values(draw: Draw) -> dict[str, object]:
    """Fields as an option or the Python interface gives them."""

    def value() -> object:
        plain: list[object] = [
            *(None, True, -1, 10**400, float("nan"), float("inf"), 1.5, b"I7", {"a": 1}, object()),
            *([], [{}], [{"name": "A", "chords": "I"}], [{"name": pieces(CHORDS, draw)}]),
        ]
        texts = [characters(draw), pieces(CHORDS, draw), draw.choice(VALUES)]
        if draw.random() < 0.01:
            return "A" * 1_000_000
        return draw.choice(plain) if draw.random() < 0.4 else draw.choice(texts)

    return {draw.choice(list(FIELDS)): value() for _ in range(draw.choice((1, 1, 2, 3)))}


def read_text(content: bytes) -> object:
    sys.stdin = SimpleNamespace(buffer=io.BytesIO(content))  # type: ignore[assignment]
    try:
        return read_form("-")
    finally:
        sys.stdin = sys.__stdin__


READERS: dict[str, tuple[Callable[[Draw], object], Callable[..., object]]] = {
    "chord": (chord, parse_chord),
    "numeral": (chord, parse_numeral),
    "chord line": (line, parse_chords),
    "intensity": (text(LEVELS), parse_intensity),
    "key": (text(KEYS), Key.parse),
    "form's text": (toml, read_text),
    "form's values": (values, lambda given: read_form("twelve-bar", **given)),
}


def outcome(name: str, given: object) -> tuple[str, int, str]:
    """``read``, ``refused`` or ``fault``, the length of an error's line, and the fault in words."""
    try:
        READERS[name][1](given)
    except (GrooveError, ValueError) as error:
        lines = [str(error), *getattr(error, "problems", ())]
        longest = max(map(len, lines))
        if name.startswith("form") and not isinstance(error, GrooveError):
            return "fault", longest, repr(error)[:200]
        if longest > LONGEST or any(len(line.splitlines()) != 1 for line in lines):
            return "fault", longest, f"{longest} characters: {str(error)[:150]}"
        return "refused", longest, ""
    except Exception as error:  # any other exception is a fault
        return "fault", 0, repr(error)[:200]
    return "read", 0, ""


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--number", type=int, default=50_000, help="inputs for each reader")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="", help="readers that begin with this")
    asked = parser.parse_args()
    for name, (make, _) in READERS.items():
        if not name.startswith(asked.only):
            continue
        draw = random.Random(f"{asked.seed} {name}")
        counts = {"read": 0, "refused": 0, "fault": 0}
        longest, slowest, faults = 0, 0.0, []
        for _ in range(asked.number):
            given = make(draw)
            begun = time.perf_counter()
            kind, length, words = outcome(name, given)
            slowest = max(slowest, time.perf_counter() - begun)
            counts[kind] += 1
            longest = max(longest, length)
            if kind == "fault":
                faults.append(f"{str(given)[:60]!r}: {words}")
        print(
            f"{name:14} {counts['read']:7,} read {counts['refused']:7,} refused "
            f"{counts['fault']:6,} otherwise; longest line {longest:,}, slowest {slowest:.3f} s",
            flush=True,
        )
        for fault in faults[:SHOWN]:
            print(f"    {fault}")


if __name__ == "__main__":
    main()
