"""Forms for the tests of the chart: all that ship, the demo's, and made-up ones."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from groove import library
from groove.form.build import Layer, build
from groove.form.model import Form
from groove.form.read import read_form

DEMO = Path(__file__).parents[2] / "demo"
FORMS = [*library.names("forms"), *(str(path) for path in sorted(DEMO.glob("*.toml")))]
SUFFIXES = [
    "",
    "m",
    "7",
    "m7",
    "maj7",
    "m7b5",
    "dim7",
    "13#11",
    "7sus4",
    "6/9",
    "m(maj7)",
    "7#9b13",
]
METERS = ("4/4", "3/4", "6/8", "12/8")


def form(**values: Any) -> Form:
    """A form from some fields, all others usual."""
    usual = {"title": "Made up", "key": "C", "ending": "hit"}
    return build([Layer(usual | values, lambda field: field)])


def shipped(name: str, **values: Any) -> Form:
    return read_form(name, **{"ending": "hit"} | values)


@st.composite
def forms(draw: st.DrawFn, most_bars: int = 48) -> Form:
    """A form of any metre with sections, slash chords and several chords in a bar."""
    sections, left = [], draw(st.integers(1, most_bars))
    while left:
        size = draw(st.integers(1, left))
        left -= size
        bars = []
        for _ in range(size):
            share, times = draw(st.sampled_from([("", 1), ("", 1), (":1/2", 2), (":1/4", 4)]))
            for _ in range(times):
                root = draw(st.sampled_from(["I", "bIII", "IV", "#IV", "V", "bVII"]))
                suffix = draw(st.sampled_from(SUFFIXES))
                bass = draw(st.sampled_from(["", "", "", "/3"]))
                bars.append(f"{root}{suffix}{bass}{share}")
        name = draw(st.sampled_from(["", "A", "B", "Verse", "A very long way round to the bridge"]))
        sections.append({"name": name or "A", "chords": " ".join(bars)})
    return form(
        sections=sections,
        key=draw(st.sampled_from(["C", "F#", "Db", "Am", "Ebm"])),
        meter=draw(st.sampled_from(METERS)),
        choruses=draw(st.integers(1, 4)),
        ending=draw(st.sampled_from(["hit", "ring", "loop"])),
        turnaround="V7" if sum(len(s["chords"].split()) for s in sections) > 8 else False,
    )
