"""Play a solo in many tracks and count what breaks its laws.

Run as ``python -m tests.bench.solo_parts [SEEDS]``: every shipped form and every arrangement of the
tests, as example and as answers, for each learner, in a key that the seed chooses, as MIDI. Prints
each fault, then how many tracks and notes there were, and how many of them bend.

The laws: drums and bass are those of the track without a solo; the solo's channel is no one else's;
no note is over 50 ms from its place on the grid, none lies outside the rounds but a pick-up in the
count-in, none overlaps the next; a bend is back before the next stroke and at the end.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from random import Random

import groove
from groove import library
from groove.band.part import BEND, PLAIN, PlayedPart
from groove.band.take import Take
from groove.form.chart import Chart
from groove.form.lesson_fields import LEARNERS
from groove.sound.midi import midi_file
from groove.theory.keys import twelve_keys

ARRANGEMENTS = sorted(Path("tests/arrangements").glob("*.toml"))
FARTHEST_SECONDS = 0.0505
SAME = ("drums", "bass")


def faults(take: Take, without: Take) -> Iterator[str]:
    """The laws that a take breaks, in words."""
    solo, chart = take.parts[-1], take.chart
    others = {part.name: part for part in without.parts}
    for part in take.parts:
        if part.name in SAME and part.notes != others[part.name].notes:
            yield f"other notes of {part.name}"
        if part is not solo and part.channel == solo.channel:
            yield f"the channel of {part.name}"
    end = chart.rounds[-1].end
    for note in solo.notes:
        apart = abs(chart.seconds(note.start) - chart.seconds(note.grid))
        if apart > FARTHEST_SECONDS:
            yield f"{1000 * apart:.0f} ms from its place"
        if not chart.count_in <= note.grid < end:
            yield "a note outside the rounds"
    starts = sorted({note.start for note in solo.notes})
    for note in solo.notes:
        later = next((start for start in starts if start > note.start), end + 960)
        if note.start + note.length > later:
            yield "two strokes overlap"
    yield from _bent(solo, chart)


def _bent(solo: PlayedPart, chart: Chart) -> Iterator[str]:
    events = [(tick, 0, value) for tick, number, value in solo.controls if number == BEND]
    events += [(note.start, 1, 0) for note in solo.notes if not note.gesture.comes]
    bend = 0
    for _, is_note, value in sorted(events):
        if is_note and bend:
            yield "a stroke on a bent string"
        bend = bend if is_note else value
    if bend:
        yield "a bend that stays"
    if any(tick > chart.end for tick, _, _ in events):
        yield "a bend after the end"


def tracks(seeds: int) -> Iterator[tuple[str, Take, Take]]:
    """Each track by a name, with the same one without a solo."""
    forms = [*library.names("forms"), *map(str, ARRANGEMENTS)]
    for name, what, learner, seed in product(forms, ("example", "answers"), LEARNERS, range(seeds)):
        form = groove.read_form(name)
        key = Random(f"{name} {what} {learner} {seed}").choice(twelve_keys(form.key))
        asked = {"seed": seed, "key": key.symbol, "learner": learner}
        try:
            take = groove.compile_take(groove.read_form(name, solo=what, **asked))
            without = groove.compile_take(groove.read_form(name, **asked))
        except groove.GrooveError as error:
            print(f"{name} {asked}: refused: {error}")
            continue
        yield f"{name} {what} {asked}", take, without


def main() -> None:
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    count = notes = bent = broken = 0
    for name, take, without in tracks(seeds):
        count += 1
        midi_file(take)
        notes += len(take.parts[-1].notes)
        bent += sum(note.gesture != PLAIN for note in take.parts[-1].notes)
        for fault in dict.fromkeys(faults(take, without)):
            broken += 1
            print(f"{name}: {fault}")
    print(f"{count} tracks, {notes} notes, {bent} with a gesture, {broken} faults")


if __name__ == "__main__":
    main()
