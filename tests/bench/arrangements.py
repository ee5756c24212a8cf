"""Play random arrangements: no crash, no note out of its track, stops silent, kicks together.

Run as ``python -m tests.bench.arrangements [HOW_MANY]`` from the checkout. Prints each arrangement
that fails, with its fields, and how many were played.
"""

from __future__ import annotations

import sys
import traceback
from random import Random
from typing import Any

from groove import library
from groove.band.plan.planner import planned
from groove.band.take import play, record
from groove.errors import GrooveError
from groove.form.build import Layer, build
from groove.form.unroll import unroll
from groove.rhythm.meter import SIGNATURES
from groove.sound.midi import midi_file

CHORDS = ("I", "IV:2", "V", "vi7", "ii7:1/2 V7:1/2", "~V7", "NC", "I*", "IV:1/2 V:1/2", "bII7")


def _section(name: str, rng: Random) -> dict[str, Any]:
    chords = " ".join(["I", *rng.choices(CHORDS, k=rng.randint(1, 8))])
    section: dict[str, Any] = {"name": name, "chords": chords}
    options: list[dict[str, Any]] = [
        {"drums": rng.choice(library.names("drums"))},
        {"meter": rng.choice(SIGNATURES)},
        {"key": rng.choice(["F", "Am", "Eb", "C#m"])},
        {"tempo": rng.choice([60, 90, 200, 300])},
        {"pulse": rng.choice(["half", "double"])},
        {"pedal": rng.choice(["C", {"1-2": "G"}])},
        {"kicks": {"1": "x...", "2": "X---"}},
        {"stops": {"1-2": "X...|...."}},
        {"fermata": rng.choice([1, 2])},
        {"rit": rng.choice([1, 2])},
        {"time_bars": rng.choice([["V", "I"], ["V:2", "I", "IV"]])},
        {"dynamics": rng.choice(["p", "mp-f", "ff"])},
        {"bass": rng.choice(library.names("bass"))},
        {"comping": rng.choice(library.names("comping"))},
        {"percussion": "shaker, congas"},
        {"turnaround": True},
        {"tacet": rng.choice(["drums", "all but bass", {"comping": "1"}])},
        {"melody": "|" + " C4:4 |" * 2},
        {"letter": "A", "lyrics": ["la la", "lo lo"], "cue": "go"},
    ]
    for option in rng.sample(options, rng.randint(0, 3)):
        section |= option
    return section


def _line(names: list[str], rng: Random) -> dict[str, Any]:
    plays = rng.choices(names, k=rng.randint(1, 4))
    line: dict[str, Any] = {
        "play": ", ".join(name + rng.choice(["", "", ":1", ":-1", " x2"]) for name in plays),
        "times": rng.randint(1, 3),
    }
    options: list[dict[str, Any]] = [
        {"as": "solos", "open": True},
        {"key": rng.choice(["+2", "-1", "G"])},
        {"key_cycle": "fourths"},
        {"tempo_step": 4},
        {"trade": rng.choice([1, 2, 4])},
        {"kicks": False},
        {"stops": {"1": "X..."}},
        {"tacet": "comping"},
        {"intensity": "1-3"},
        {"dynamics": "p f"},
        {"drums": rng.choice(library.names("drums"))},
        {"tempo": 100},
        {"fermata": 1},
        {"rit": 1},
        {"quick_change": True},
    ]
    for option in rng.sample(options, rng.randint(0, 2)):
        line |= option
    return line


def fields(rng: Random) -> dict[str, Any]:
    """The fields of a random arrangement."""
    names = list("ABCD"[: rng.randint(1, 4)])
    values: dict[str, Any] = {
        "key": rng.choice(["C", "F#", "Bbm", "D"]),
        "drums": rng.choice(library.names("drums")),
        "ending": rng.choice(["hit", "ring", "written", "loop"]),
        "seed": rng.randint(1, 99),
        "sections": [_section(name, rng) for name in names],
        "order": [_line(names, rng) for _ in range(rng.randint(1, 4))],
    }
    if rng.random() < 0.3:
        values["pickup"] = "V7:1/4"
    return values


def _faults(values: dict[str, Any]) -> list[str]:
    """What is wrong with an arrangement as it is played; empty where it is refused in one line."""
    try:
        form = build([Layer(values, lambda field: field)])
    except GrooveError as error:
        return [] if "\n" not in str(error) else ["an error of several lines"]
    chart = unroll(form)
    parts = play(planned(chart))
    take = record(planned(chart), parts)
    midi_file(take)
    faults = []
    for figure in chart.figures:
        strokes = {stroke.start for stroke in figure.strokes}
        for part in parts:
            starts = {n.start for n in part.notes if figure.start <= n.start < figure.end}
            if figure.alone and starts - strokes and part.name in ("drums", "bass", "comping"):
                faults.append(f"{part.name} plays in a stop, bar {chart.bar_at(figure.start).road}")
    for played in take.parts:
        if any(not 0 <= n.start < n.start + n.length <= chart.end for n in played.notes):
            faults.append(f"{played.name} has notes outside the track")
        for bar in chart.bars:
            if played.name in bar.out and bar.number:
                late = [n for n in played.notes if bar.start + 200 < n.start < bar.end - 700]
                if late:
                    faults.append(f"{played.name} plays in bar {bar.road}, where it is silent")
                    break
    return faults


def main() -> None:
    how_many = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    refused = failed = 0
    for seed in range(how_many):
        values = fields(Random(seed))
        try:
            faults = _faults(values)
        except Exception:
            faults = [traceback.format_exc(limit=-4)]
        if faults:
            failed += 1
            print(f"seed {seed}: {faults[0]}\n    {values}")
        try:
            build([Layer(values, lambda field: field)])
        except Exception:
            refused += 1
    print(f"{how_many} arrangements, {refused} refused, {failed} with faults")


if __name__ == "__main__":
    main()
