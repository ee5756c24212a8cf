"""The harmony of a form: its chords in order, its kind, and its key in words."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from groove.form.chart import Bar, Slot
from groove.form.model import Form
from groove.form.written_chords import PlacedBar, written_round
from groove.theory.chords import Chord
from groove.theory.functions import MODAL, Harmony, TimedChord, read_harmony
from groove.theory.keys import Key
from groove.theory.symbols import blues_words, key_words, note, scale_title, small
from groove.wording import said


def timed_chords(form: Form, coming: Form | None = None) -> tuple[TimedChord, ...]:
    """The chords of one chorus, each with its length in bars.

    coming: the form as it is in the chorus that the turnaround leads to, if it differs.
    """
    placed = written_round(form, coming)
    return timed_slots(placed.bars, placed.slots)


def timed_slots(bars: Sequence[PlacedBar | Bar], slots: Sequence[Slot]) -> tuple[TimedChord, ...]:
    """The chords of some bars, each with its length in bars; one struck anew is one."""
    starts = [bar.start for bar in bars]

    def place(tick: int) -> Fraction:
        bar = bisect_right(starts, tick) - 1
        return bar + Fraction(tick - starts[bar], bars[bar].length)

    found: list[tuple[Chord, Fraction]] = []
    for slot in slots:
        lasts = place(slot.end) - place(slot.start)
        if found and found[-1][0] == slot.chord:  # struck anew, or silent
            found[-1] = slot.chord, found[-1][1] + lasts
        else:
            found.append((slot.chord, lasts))
    return tuple(TimedChord(chord, lasts) for chord, lasts in found)


def key_in_words(form: Form) -> str:
    """The key of a form as a musician says it, the same on every paper, page and file.

    >>> from groove.form.read import read_form
    >>> key_in_words(read_form("twelve-bar", key="Bb")), key_in_words(read_form("i-v-vi-iv"))
    ('B♭ blues', 'G major')
    """
    return home_words(form_harmony(form))


def home_words(harmony: Harmony) -> str:
    """The key as a musician says it: ``G blues``, ``D dorian``, ``B♭ major``.

    A blues is neither major nor minor unless its home chord is minor, and a form in one mode is
    named after it; where the chords are of another mode than the key that was given, the tonic
    alone is said (common practice).
    """
    tonic = harmony.key.tonic
    if "blues" in harmony.kind:
        return blues_words(tonic, harmony.kind)
    if harmony.kind in MODAL:
        scale = harmony.home_scale
        if scale in ("major", "natural minor"):
            return key_words(Key(tonic, scale.removeprefix("natural ")))
        return scale_title(tonic, scale)
    return key_words(harmony.key) if harmony.mode == harmony.key.mode else note(tonic)


def in_home_words(harmony: Harmony) -> str:
    """The same in a sentence: ``a minor blues in A``, ``in D dorian``."""
    if "blues" in harmony.kind:
        tonic = harmony.key.tonic
        return said("language", f"home.{harmony.kind}", tonic=note(tonic), small=small(tonic))
    return said("language", "home.other", key=home_words(harmony))


def form_harmony(form: Form) -> Harmony:
    """The harmony of a form, of its sections without a key of their own if there are any."""
    at_home = tuple(section for section in form.sections if "key" not in section.own)
    if 0 < len(at_home) < len(form.sections):
        form = replace(form, sections=at_home)
    return read_harmony(timed_chords(form), form.key)
