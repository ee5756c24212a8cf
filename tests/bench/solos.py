"""Example solos: written out for a reader, and their laws over thousands of seeds.

python -m tests.bench.solos write 20        # solos as text: chords, beats, degrees, tablature
python -m tests.bench.solos write 20 --only 3
python -m tests.bench.solos write 20 --seed 100  # the same forms with other seeds
python -m tests.bench.solos laws 2000       # seeds, forms, keys and learners
"""

from __future__ import annotations

import re
import sys
from collections import Counter
from fractions import Fraction
from itertools import combinations
from random import Random
from time import process_time

from groove import library
from groove.form.model import Form
from groove.form.read import read_form
from groove.instrument.fretboard import Tuning, read_tuning
from groove.lesson.line import LineNote, NoteLine
from groove.lesson.solo.ground import ground_of
from groove.lesson.solo.make import answers, example_solo, licks
from groove.lesson.solo.shapes import alike, phrases
from groove.theory.pitch import Degree
from groove.theory.spelling import degree_over
from tests.lesson.solo.solo_material import breaches, ends_home, lick_breaches
from tests.lesson.solo.taste_material import taste_breaches

NECKS = (*("guitar",) * 5, "bass", "ukulele", "mandolin", "drop-d", "dadgad", "guitar-7", "open-g")
KEYS = ("A", "C", "E", "G", "Bb", "D", "F", "Eb", "B", "Ab", "F#", "Db")
SET = (
    ("twelve-bar", "A", "shuffle", 0),
    ("twelve-bar", "A", "shuffle", 1),
    ("twelve-bar", "A", "slow-blues", 2),
    ("quick-change-twelve-bar", "E", "texas-shuffle", 1),
    ("jazz-twelve-bar", "F", "medium-swing", 1),
    ("minor-twelve-bar", "Am", "minor-twelve-eight", 1),
    ("i-v-vi-iv", "G", "eighths-rock", 0),
    ("one-chord-vamp", "E", "sixteenth-funk", 1),
    ("minor-vamp", "Dm", "eighths-rock", 1),
    ("descending-minor", "Am", "bossa", 1),
    ("i-vi-iv-v", "C", "slow-ballad", 0),
    ("rhythm-changes", "Bb", "medium-swing", 2),
    ("twelve-bar", "G", "linear-funk", 2),
    ("minor-twelve-bar", "Cm", "medium-swing", 2),
    ("eight-bar", "C", "slow-blues", 1),
    ("sixteen-bar", "D", "shuffle", 0),
    ("i-v-vi-iv", "D", "waltz", 1),
    ("minor-vamp", "Dm", "five-swing", 1),
    ("i-vi-iv-v", "G", "bossa", 2),
    ("one-chord-vamp", "A", "one-drop", 0),
)
LEARNERS = ("beginner", "intermediate", "advanced")
PARTS = {Fraction(1, 2): "&", Fraction(1, 4): "e", Fraction(3, 4): "a"}
TOLD = {"hammer": "h", "pull": "p", "slide": "/"}


def made(place: int, offset: int = 0) -> Form:
    """A form of the set, by its number; offset: what is added to its seed."""
    name, key, drums, learner = SET[place % len(SET)]
    return asked(name, key, drums, LEARNERS[learner], place // len(SET) + place + offset)


def asked(name: str, key: str, drums: str, learner: str, seed: int) -> Form:
    """A shipped form in a key and style for a learner."""
    return read_form(name, key=key, drums=drums, learner=learner, seed=seed)


def bent(note: LineNote) -> str:
    """How far a note is bent, and whether it comes back."""
    if not note.bend:
        return ""
    size = {Fraction(1, 2): "1/4", Fraction(1): "1/2", Fraction(2): "full"}[note.bend]
    return f"b({size})" + ("r" if note.release else "")


def sung(note: LineNote) -> str:
    """The name of a note; of a bend by a step, also of the note that it goes to."""
    if note.bend.denominator > 1 or not note.bend:
        return str(note.name)
    return f"{note.name}>{note.name + Degree(2)}" if note.bend == 2 else f"{note.name}>"


def written(line: NoteLine, tuning: Tuning) -> str:
    """A line as text, bar by bar, with tablature four bars to a row."""
    rows = []
    for first in range(0, len(line.bars), 4):
        rows.append(_row(line, tuning, first, min(first + 4, len(line.bars))))
    return "\n".join(rows)


def _row(line: NoteLine, tuning: Tuning, first: int, last: int) -> str:
    strings = sorted(tuning.strings)
    text: dict[object, str] = {"chord": " " * 6, "beat": " " * 6, "name": " " * 6, "deg": " " * 6}
    for string in strings:
        text[string] = f"{tuning.names[-string]:>4} |"
    told = []
    for number in range(first, last):
        bar = line.bars[number]
        inside = [n for n in line.notes if bar.start <= n.start < bar.end]
        ticks = sorted({n.start for n in inside} | {bar.start + at for at, _ in bar.chords}
                       | {bar.start + b for b in bar.meter.beat_starts})  # fmt: skip
        for tick in ticks:
            here = [n for n in inside if n.start == tick]
            chord = next((str(c) for at, c in bar.chords if bar.start + at == tick), "")
            beat, into = bar.meter.beat_at(tick - bar.start)
            size = bar.meter.beat_ticks
            into = Fraction(into, size)
            part = PARTS.get(into, str(into)) if into else f"{beat + 1}"
            names = "+".join(sung(n) for n in here)
            over = line.chord_at(tick)
            degs = "+".join(str(degree_over(over, n.name)) for n in here) if over else ""
            cells = {"chord": chord, "beat": part, "name": names, "deg": degs}
            frets = {
                n.place.string: f"{TOLD.get(n.joined, '')}{n.place.fret}{bent(n)}"
                for n in here
                if n.place
            }
            wide = max(map(len, (*cells.values(), *frets.values()))) + 1
            for key, cell in cells.items():
                text[key] += cell.ljust(wide)
            for string in strings:
                text[string] += frets.get(string, "").ljust(wide, "-")
            told += [f"{n.name}({Fraction(n.length, size)})" for n in here]
        for key in text:
            text[key] += "| " if key not in strings else "|-"
    rows = [text["chord"], text["beat"], *(text[s] for s in strings), text["name"], text["deg"]]
    return "\n".join([f"bars {first + 1}-{last}", *rows, "   lengths: " + " ".join(told), ""])


def header(form: Form) -> str:
    """What a solo is over and for whom."""
    return (
        f"{form.title}, {form.key}, {form.drums.title} ({form.feel}), {form.meter}, "
        f"{form.tempo:g} bpm, {form.lesson.learner}, seed {form.seed}"
    )


def sounding(line: NoteLine) -> float:
    """The share of the time in which a note sounds."""
    spans = {(n.start, n.length) for n in line.notes}
    return sum(length for _, length in spans) / sum(bar.length for bar in line.bars)


def write(count: int, only: list[int], what: str = "solo", offset: int = 0) -> None:
    """Print solos, or licks or answers, for a reader."""
    guitar = read_tuning("guitar")
    for place in range(count):
        if only and place + 1 not in only:
            continue
        form = made(place, offset)
        print(f"=== {place + 1}. {header(form)}")
        if what == "licks":
            for line in licks(form, guitar):
                print(line.name)
                print(written(line, guitar))
            continue
        line = (answers if what == "answers" else example_solo)(form, guitar)
        print(f"    position {line.position}, sounding {sounding(line):.0%}")
        print(written(line, guitar))


def laws(count: int) -> int:
    """Check the laws over seeds, forms, keys, styles, learners and necks; the number of breaches.

    Prints how often the motif comes back, the highest note stands between two fifths and nine
    tenths of the way, and the last note is root or third of home.
    """
    rng = Random(1)
    found: Counter[str] = Counter()
    first: dict[str, str] = {}
    solos: Counter[str] = Counter()
    spent = 0.0
    for seed in range(count):
        name, drums = rng.choice(library.names("forms")), rng.choice(library.names("drums"))
        key = rng.choice(KEYS) + "m" * ("minor" in name)
        learner, neck = rng.choice(LEARNERS), read_tuning(rng.choice(NECKS))
        form = asked(name, key.replace("Dbm", "C#m"), drums, learner, seed)
        begin = process_time()
        line = example_solo(form, neck)
        spent += process_time() - begin
        wrong = [*taste_breaches(form, line)]
        wrong += [*breaches(form, neck, line), *breaches(form, neck, answers(form, neck))]
        wrong += [each for lick in licks(form, neck) for each in lick_breaches(form, neck, lick)]
        for each in wrong:
            kind = re.sub(r"[0-9]+", "#", each)
            found[kind] += 1
            first.setdefault(kind, f"{name} {key} {drums} {learner} {seed} {neck.title}: {each}")
        solos["all"] += 1
        solos["home"] += ends_home(ground_of(form, 0), line)
        parts = phrases(line)
        solos["motif"] += any(alike(a, b) for a, b in combinations(parts, 2))
        top = max(n.sounding for n in line.notes)
        where = [n.start / line.end for n in line.notes if n.sounding == top]
        solos["peak"] += min(where) >= 0.4 and max(where) <= 0.9
    for kind, times in found.most_common():
        print(f"{times:5} {kind}: {first[kind]}")
    print(", ".join(f"{kind} {times}" for kind, times in solos.items()))
    print(f"{1000 * spent / count:.1f} ms of processor a solo")
    return sum(found.values())


def main() -> None:
    """Run what the command line asks for."""
    command, *rest = sys.argv[1:] or ["write", "20"]
    offset = int(rest[rest.index("--seed") + 1]) if "--seed" in rest else 0
    only = [int(n) for n in rest[rest.index("--only") + 1 :]] if "--only" in rest else []
    count = int(rest[0]) if rest and rest[0].isdigit() else 20
    if command in ("write", "licks", "answers"):
        write(count, only, {"write": "solo"}.get(command, command), offset)
    elif command == "laws":
        sys.exit(laws(count) > 0)


if __name__ == "__main__":
    main()
