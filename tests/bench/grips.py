"""Check every grip: all qualities on all roots, all necks and learners, at every home position.

Run as ``python -m tests.bench.grips`` from the checkout. Prints how many grips there are of each
neck and which chords have none; raises AssertionError for one that breaks a law.
"""

from __future__ import annotations

import time

from groove.instrument.fretboard import tunings
from groove.instrument.grips.choose import chosen
from groove.theory.chords import parse_chord
from tests.instrument.fret_material import QUALITIES, ROOTS
from tests.instrument.grips.grip_material import assert_sound_and_playable

MORE = (
    "5", "sus2", "7sus4", "9sus4", "m6", "6/9", "maj9", "m9", "m11", "13", "7b9", "7#5", "7b5",
    "m(maj7)", "maj7#11", "7#11", "7b13", "dim", "add9", "madd9", "7b9b13",
)  # fmt: skip
HOMES = (0, 5, 10)
LEARNERS = ("beginner", "intermediate", "advanced")


def main() -> None:
    for name, tuning in tunings().items():
        start, found, none = time.perf_counter(), 0, set()
        for quality in dict.fromkeys((*QUALITIES, *MORE)):
            for root in ROOTS:
                chord = parse_chord(root + quality)
                for learner in LEARNERS:
                    for home in HOMES:
                        grips = chosen(tuning, chord, learner, home)
                        for grip in grips:
                            assert_sound_and_playable(tuning, chord, grip)
                        found += len(grips)
                        none |= set() if grips else {root + quality}
        lacking = " ".join(sorted(none)) or "none"
        print(f"{name:10} {found} grips, {time.perf_counter() - start:.1f} s; without: {lacking}")


if __name__ == "__main__":
    main()
