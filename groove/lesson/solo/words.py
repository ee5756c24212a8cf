"""Sentences about a solo: where its motif comes back, its highest note, its V, and its end."""

from __future__ import annotations

from groove.form.model import Form
from groove.lesson.line import LineNote, NoteLine
from groove.lesson.solo.ground import ground_of
from groove.lesson.solo.rhythms import rules
from groove.lesson.solo.shapes import alike, melody, phrases
from groove.theory.functions import FIFTH
from groove.theory.keys import Key
from groove.theory.motion import OCTAVE, above
from groove.theory.pitch import Degree
from groove.theory.symbols import listed, note, symbol
from groove.wording import said


def solo_words(form: Form, line: NoteLine, *, round: int = 0) -> tuple[str, ...]:  # noqa: A002
    """Sentences on what to look for in an example solo; bars are counted from 1.

    line: as groove.lesson.solo.make.example_solo wrote it for the form and round.
    """
    if not line.notes:
        return ()
    ground = ground_of(form, round)
    found = [_motif(line), _peak(line)]
    key = ground.bars[0].key
    if (
        ground.harmonies[key].kind == "blues"
        and rules()["learners"][form.lesson.learner]["adjusted"]
    ):
        found.append(_five(line, key, major=round % 2 == 0))
    found.append(_end(line))
    return tuple(sentence for sentence in found if sentence)


def bar_of(line: NoteLine, tick: int) -> int:
    """The number of a bar of a line, from 1."""
    return sum(bar.start <= tick for bar in line.bars)


def _motif(line: NoteLine) -> str:
    first, *others = phrases(line)
    bars = list(dict.fromkeys(bar_of(line, o[0].start) for o in others if alike(first, o)))
    bar = bar_of(line, first[0].start)
    if not bars:
        return ""
    kind = "one" if len(bars) == 1 else "many"
    return said("solo", f"looks.motif.{kind}", bar=bar, bars=listed([str(b) for b in bars]))


def _peak(line: NoteLine) -> str:
    highest = max(each.sounding for each in melody(line))
    first = next(each for each in melody(line) if each.sounding == highest)
    return said("solo", "looks.peak", note=_name(line, first), bar=bar_of(line, first.start))


def _five(line: NoteLine, key: Key, *, major: bool) -> str:
    for each in melody(line):
        chord = line.chord_at(each.start)
        if chord is None or above(key.tonic, chord.root) != FIFTH:
            continue
        if Degree(3) in chord.quality.degrees:
            return said(
                "solo", f"looks.five.{'major' if major else 'minor'}",
                chord=symbol(chord), root=note(chord.root), bar=bar_of(line, each.start),
            )  # fmt: skip
    return ""


def _end(line: NoteLine) -> str:
    last = melody(line)[-1]
    tonic = line.bars[-1].key.tonic.pitch_class
    kind = "root" if int(last.sounding) % OCTAVE == tonic else "other"
    return said(
        "solo", f"looks.end.{kind}", note=_name(line, last), bar=bar_of(line, last.start),
        key=note(line.bars[-1].key.tonic),
    )  # fmt: skip


def _name(line: NoteLine, each: LineNote) -> str:
    """The name of a note as it sounds."""
    heard = int(each.sounding)
    if heard == each.pitch:
        return note(each.name)
    chord = line.chord_at(each.start)
    names = chord.notes if chord else ()
    own = next((n for n in names if n.pitch_class == heard % OCTAVE), None)
    return note(own or each.name + Degree(2))
