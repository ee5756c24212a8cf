"""How long it takes until two bars of a pattern can sound on the screen.

python -m tests.bench.two_bars [PATTERNS], 6 of each kind if left out: for each kind the seconds of
the clock and of the processor from the wish to the WAV file, the median and the longest, with the
sounds as they are at first and once they have been made ready.
"""

from __future__ import annotations

import sys
import time
from statistics import median

from groove import library
from groove.form.read import read_form
from groove.rhythm.patterns import bass_pattern, comping_pattern
from groove.screen.band.sounds import Sounds
from groove.screen.band.two_bars import KINDS, Wish, two_bars

FORM = read_form("twelve-bar", key="G", tempo=112)


def timed(sounds: Sounds, wish: Wish) -> tuple[float, float]:
    """Seconds of the clock and of the processor for a wish."""
    clock, busy = time.perf_counter(), time.process_time()
    sounds.wav(two_bars(FORM, wish))
    return time.perf_counter() - clock, time.process_time() - busy


def measure(sounds: Sounds, count: int, what: str) -> None:
    """Print a row for each kind."""
    print(what)
    for kind in KINDS:
        names = library.names(kind)[:: max(1, len(library.names(kind)) // count)]
        both = [timed(sounds, Wish(kind, name)) for name in names]
        for number, unit in enumerate(("clock", "processor")):
            found = [each[number] for each in both]
            print(f"  {kind:10} {unit:9} median {median(found):.3f} s, longest {max(found):.3f} s")


def main() -> None:
    """Measure, first with nothing made ready."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 6
    measure(Sounds(), count, "at first")
    sounds = Sounds()
    basses = (bass_pattern(name).instrument for name in library.names("bass"))
    chords = (comping_pattern(name).instrument for name in library.names("comping"))
    clock, busy = time.perf_counter(), time.process_time()
    sounds.prepare(two_bars(FORM, Wish("drums", whole=True)), dict.fromkeys((*basses, *chords)))
    spent = time.perf_counter() - clock, time.process_time() - busy
    print(f"made ready in {spent[0]:.2f} s, {spent[1]:.2f} s of the processor")
    measure(sounds, count, "made ready")


if __name__ == "__main__":
    main()
