"""A form in every key of a cycle: chords, guide tones and first scale of each.

And the names that a plan for such a track uses instead of notes, which hold in every key.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from groove.form.chart import Chart, Round
from groove.form.choruses import in_chorus
from groove.form.harmony import timed_chords, timed_slots
from groove.form.model import Form
from groove.form.readers import Reader
from groove.lesson.form_scales import Choice, form_choices
from groove.theory.chords import Chord
from groove.theory.functions import Harmony, read_harmony
from groove.theory.keys import Key
from groove.theory.motion import ChordTone, degree_between, guide_tones
from groove.theory.pitch import NoteName
from groove.theory.spelling import ROUND
from groove.theory.symbols import key_symbol, numeral, signs
from groove.wording import said, words_of


@dataclass(frozen=True, slots=True)
class KeyGuide:
    """A key of a cycle. key: its symbol as it is printed; plain: as a form file has it. chords:
    those of the form there, each once, with its guide tones. scale: the first of the form's scales.
    lines: those of the order that are in it."""

    key: str
    chords: tuple[tuple[Chord, tuple[ChordTone, ...]], ...]
    scale: Choice
    lines: tuple[str, ...] = ()
    plain: str = ""


def in_every_key(form: Form, reader: Reader) -> tuple[KeyGuide, ...]:
    """The keys of a cycle in their order, each once; empty where the key stays.

    form: as it sounds. The turnaround, which leads to the next key, is left out.
    """
    if form.key_cycle == "none" or form.choruses == 1:
        return ()
    found: dict[Key, KeyGuide] = {}
    for number in range(form.choruses):
        here = reader.form(replace(in_chorus(form, number), turnaround=()))
        if here.key not in found:
            chorus = timed_chords(here)
            chords = tuple(dict.fromkeys(stretch.chord for stretch in chorus))
            scale = form_choices(read_harmony(chorus, here.key), chords)[0]
            named = tuple((chord, guide_tones(chord)) for chord in chords)
            found[here.key] = KeyGuide(key_symbol(here.key), named, scale, plain=here.key.symbol)
    return tuple(found.values())


def in_keys_of(chart: Chart) -> tuple[KeyGuide, ...]:
    """The keys that the lines of a road are in, in their order, each once."""
    found: dict[Key, list[Round]] = {}
    for time in chart.rounds:
        found.setdefault(time.key, []).append(time)
    guides = []
    for key, rounds in found.items():
        bars = [chart.bars[time.first : time.last] for time in rounds]
        times = [timed_slots(here, [s for bar in here for s in bar.slots]) for here in bars]
        longest = max(times, key=lambda time: sum(timed.bars for timed in time))
        chords = tuple(dict.fromkeys(timed.chord for time in times for timed in time))
        scale = form_choices(read_harmony(longest, key), chords)[0]
        named = tuple((chord, guide_tones(chord)) for chord in chords)
        names = dict.fromkeys(time.passes[0].name for time in rounds)
        lines = tuple(name for name in names if name)
        guides.append(KeyGuide(key_symbol(key), named, scale, lines, key.symbol))
    return tuple(guides)


def counted(name: NoteName, key: Key) -> str:
    """A note as its degree in a key, with as few signs as can be: ``4``, ``♭7``.

    >>> [counted(NoteName.parse(name), Key.parse("C")) for name in ("Bb", "B##", "Fb")]
    ['♭7', '♯1', '3']
    """
    names = (NoteName(name.fifths + turn) for turn in (0, -ROUND, ROUND))
    degrees = (degree_between(key.tonic, same) for same in names)
    return signs(str(min(degrees, key=lambda degree: abs(degree.alter))))


def numeral_with_tones(chord: Chord, key: Key) -> str:
    """``ii7 (2 4 6 1)``: a chord and its tones, counted in the key."""
    return f"{numeral(chord, key)} ({' '.join(counted(name, key) for name in chord.notes)})"


def scale_of_the_key(choice: Choice, harmony: Harmony) -> str:
    """``the key's major pentatonic``; elsewhere with a degree: ``the blues on 2``."""
    name = words_of("guide")["scale_names"][choice.scale]
    if choice.root == harmony.key.tonic:
        return said("guide", "scales.of_the_key", name=name)
    degree = counted(choice.root, harmony.key)
    return said("guide", "scales.on_degree", name=name, degree=degree)
