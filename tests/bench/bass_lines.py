"""Print the figures of the bass patterns, worst first, or one line in note names.

Run as ``python -m tests.bench.bass_lines`` from the checkout for one line a pattern, or with the
name of a pattern (and of a form, a key, a seed) for its bars. Asserts nothing.

out: notes a sixth or ninth over a chord that does not name it, outside the key. lean: notes of
neither the chord nor the key that last over a beat. wide: leaps over an octave. flip: leaps of an
octave into another chord. root: changes whose root does not sound within a beat. run: equal pitches
running, the most. one: bars without a stroke on the one, in percent. again: bars of choruses 6 to
10 that were heard before, note for note, in percent (worst form). rhythms: of ten choruses, the
fewest.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from itertools import groupby, pairwise
from statistics import mean

import groove
from groove import library
from groove.band.changes import Changes
from groove.band.degrees import key_tones
from groove.band.part import GHOST, GridNote, Part
from groove.form.chart import Chart
from groove.form.model import Form
from groove.rhythm.patterns import DrumPattern, bass_pattern, drum_pattern
from tests.band.band_material import Played

FORMS = (
    "twelve-bar", "minor-twelve-bar", "rhythm-changes", "descending-minor", "i-v-vi-iv",
    "one-chord-vamp",
)  # fmt: skip
KEYS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
MINOR = {"Db": "C#", "Ab": "G#"}
NAMES = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


def drums_for(bass: str) -> DrumPattern:
    """The drum pattern that a bass pattern goes with, or one of its metre and feel."""
    grid = bass_pattern(bass).grid
    found = [drum_pattern(name) for name in library.names("drums")]
    found = [d for d in found if d.grid.meter == grid.meter]
    own = [d for d in found if d.bass == bass]
    return (own or [d for d in found if d.grid.feel == grid.feel] or found)[0]


def form_with(bass: str, form: str, key: str, **fields: object) -> Form:
    drums = drums_for(bass)
    minor = str(library.load("forms", form)["key"]).endswith("m")
    named = f"{MINOR.get(key, key)}m" if minor else key
    given = {"meter": str(drums.grid.meter), "feel": drums.grid.feel, "drums": drums.name}
    return groove.read_form(form, **given, bass=bass, key=named, **fields)


def figures(played: Played) -> dict[str, float]:
    chart, bass, beat = played.plan.bass_chart, played.bass, played.beat
    changes = Changes(chart)
    notes = [n for n in bass.notes if chart.bar_at(n.start).number]
    found: Counter[str] = Counter()
    walks = any(s.mark == "w" for c in chart.bars[0].bass.cells for s in c.strokes)
    for note in notes:
        slot, key = changes.slot_at(note.start), key_tones(chart.key_at(note.start))
        tone = note.pitch % 12
        degree = (tone - slot.chord.root.pitch_class) % 12
        tones = {t.pitch_class for t in slot.chord.notes} | {slot.lowest.pitch_class}
        outside = tone not in tones and tone not in key
        follows = changes.next_change(note.start).start
        leads = follows - note.start <= beat
        found["out"] += outside and degree in (8, 9) and not leads and not walks
        found["lean"] += outside and note.length > beat and not note.start + note.length > follows
    for a, b in pairwise(notes):
        found["wide"] += abs(a.pitch - b.pitch) > 12
        same, slot = changes.slot_at(a.start), changes.slot_at(b.start)
        if abs(a.pitch - b.pitch) == 12 and same.chord != slot.chord:
            found["flip"] += b.start == slot.start
    found["root"] = sum(
        not any(
            n.pitch % 12 == slot.lowest.pitch_class
            for n in played.sounding(bass, slot.start, slot.start + beat)
        )
        for slot in chart.changes
        if chart.bar_at(slot.start).number
    )
    run = max(len(list(same)) for _, same in groupby(n.pitch for n in notes))
    starts = {n.start for n in notes}
    free = mean(bar.start not in starts for bar in played.in_form)
    return {**found, "run": run, "one": 100 * free}


def looks(chart: Chart, part: Part) -> list[tuple[tuple[int, int], ...]]:
    grid = chart.bars[0].bass.grid.line_ticks
    bars: dict[int, list[tuple[int, int]]] = {}
    for note in part.notes:
        bar = chart.bar_at(note.start)
        bars.setdefault(bar.start, []).append((round((note.start - bar.start) / grid), note.pitch))
    return [tuple(bars.get(bar.start, ())) for bar in chart.bars if bar.number]


def again(played: Played) -> float:
    bars = looks(played.chart, played.bass)
    size = played.form.bars
    heard = set(bars[: 5 * size])
    known = 0
    for bar in bars[5 * size :]:
        known += bar in heard
        heard.add(bar)
    return 100 * known / max(1, len(bars) - 5 * size)


def rhythms(played: Played) -> int:
    return len({tuple(line for line, _ in bar) for bar in looks(played.chart, played.bass)})


def measured(bass: str) -> dict[str, float]:
    total: Counter[str] = Counter()
    most: dict[str, float] = {"run": 0, "again": 0, "rhythms": 999}
    free = []
    for number, form in enumerate(FORMS):
        for at, key in enumerate(KEYS):
            played = Played(form_with(bass, form, key, choruses=4, seed=31 * number + at))
            found = figures(played)
            most["run"] = max(most["run"], found.pop("run"))
            free.append(found.pop("one"))
            total.update(found)
    for form in FORMS[:5]:
        for seed in range(2):
            steady = Played(form_with(bass, form, "F", choruses=10, seed=seed, intensity="2"))
            most["again"] = max(most["again"], again(steady))
            most["rhythms"] = min(most["rhythms"], rhythms(steady))
    return {**total, **most, "one": mean(free)}


def written(chart: Chart, notes: tuple[GridNote, ...]) -> Iterator[str]:
    """The bars of a line: chords, then a note name or ``.`` or ``-`` on each grid line."""
    grid = chart.bars[0].bass.grid.line_ticks
    for bar in chart.bars:
        cells = ["."] * (bar.length // grid)
        for note in notes:
            end = note.start + note.length
            for line in range(len(cells)):
                if note.start < bar.start + line * grid < end:
                    cells[line] = "-"
            line, off = divmod(note.start - bar.start, grid)
            if 0 <= line < len(cells):
                name = NAMES[note.pitch % 12] + str(note.pitch // 12 - 1)
                cells[line] = (f"({name})" if note.weight <= GHOST else name) + "/" * bool(off)
        chords = " ".join(str(slot.chord) for slot in bar.slots)
        turn = {"chorus": "||", "phrase": "|"}.get(bar.turn, "")
        yield f"{bar.number:3} {chords:14} " + " ".join(f"{c:4}" for c in cells) + turn


def main() -> None:
    if len(sys.argv) > 1 and sys.argv[1] in library.names("bass"):
        bass, form, key, seed = (*sys.argv[1:], *("twelve-bar", "C", "1")[len(sys.argv) - 2 :])[:4]
        played = Played(form_with(bass, form, key, choruses=3, seed=int(seed)))
        fills = {s for s, _ in played.drums.fills}
        lines = written(played.chart, played.bass.notes)
        for bar, line in zip(played.chart.bars, lines, strict=True):
            print(line, "fill" if any(bar.start <= s < bar.end for s in fills) else "")
        return
    names = sys.argv[1].split(",") if len(sys.argv) > 1 else library.names("bass")
    columns = ("out", "lean", "wide", "flip", "root", "run", "one", "again", "rhythms")
    rows = [(name, measured(name)) for name in names]
    rows.sort(key=lambda row: -sum(row[1].get(c, 0) for c in columns[:5]))
    print(f"{'pattern':18}" + "".join(f"{c:>8}" for c in columns))
    for name, row in rows:
        print(f"{name:18}" + "".join(f"{row.get(c, 0):8.0f}" for c in columns))


if __name__ == "__main__":
    main()
