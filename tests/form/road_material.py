"""Arrangements for tests: the examples, and random ones."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from groove.form.build import Layer, build
from groove.form.chart import Chart
from groove.form.model import Form
from groove.form.read import read_form
from groove.form.unroll import unroll

EXAMPLES = {path.stem: path for path in sorted(Path("tests/arrangements").glob("*.toml"))}
BARS = {"latin-swing-aaba": 213, "modal-vamp": 99, "pop-song": 81, "stop-time-blues": 100}


@cache
def example(name: str) -> Chart:
    """The chart of an example, its band on the grid."""
    return unroll(read_form(EXAMPLES[name], tightness=1))


def arranged(**values: Any) -> Form:
    """A form from field values, as a file has them."""
    return build([Layer({"key": "C", "tempo": 120} | values, lambda field: field)])


CHORDS = ("I", "IV:2", "V", "vi7", "ii7:1/2 V7:1/2", "~V7", "NC", "I*", "IV:1/2 V:1/2")


@st.composite
def sections(draw: st.DrawFn) -> list[dict[str, Any]]:
    found = []
    for name in draw(st.sampled_from(["A", "AB", "ABC"])):
        chords = ["I", *draw(st.lists(st.sampled_from(CHORDS), min_size=1, max_size=5))]
        section: dict[str, Any] = {"name": name, "chords": " ".join(chords)}
        if draw(st.booleans()):
            section["time_bars"] = draw(st.sampled_from([["V"], ["V", "I"], ["V7:2", "I", "IV"]]))
        section |= draw(
            st.sampled_from(
                [{}, {}, {"key": "F"}, {"meter": "3/4", "drums": "waltz"}, {"tempo": 90},
                 {"drums": "bossa"}, {"key": "Am", "dynamics": "p-f"}, {"pedal": "G"},
                 {"kicks": {"1": "x..."}}, {"stops": {"2": "X..."}}]
            )
        )  # fmt: skip
        found.append(section)
    return found


@st.composite
def lines(draw: st.DrawFn, names: list[str]) -> dict[str, Any]:
    words = draw(st.lists(st.sampled_from(names), min_size=1, max_size=4))
    plays = [word + draw(st.sampled_from(["", "", "", ":1", ":-2", " x2"])) for word in words]
    line: dict[str, Any] = {"play": ", ".join(plays), "times": draw(st.integers(1, 3))}
    own = [
        {}, {}, {"as": "solos", "open": True}, {"key": "+2"}, {"tacet": "drums"}, {"kicks": False},
        {"key_cycle": "fourths"}, {"tempo_step": 4}, {"dynamics": "mf"}, {"intensity": "1-3"},
        {"rit": 1}, {"tacet": {"bass": "1"}},
    ]  # fmt: skip
    return line | draw(st.sampled_from(own))


@st.composite
def forms(draw: st.DrawFn) -> Form:
    """A random form with an order."""
    parts = draw(sections())
    names = [part["name"] for part in parts]
    order = draw(st.lists(lines(names), min_size=1, max_size=4))
    ending = draw(st.sampled_from(["hit", "ring", "written"]))
    return arranged(sections=parts, order=order, drums="eighths-rock", ending=ending)
