"""A form's construction in the words of a bandleader: its sections or lines, its bridge."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import groupby, pairwise

from groove.lesson.guide import Guide
from groove.theory.chords import Chord
from groove.theory.roles import falls_a_fifth
from groove.theory.symbols import signs, symbol
from groove.wording import counted, in_figures, said, words_of

LINE = 4  # bars
MOST_LINES = 5
MOST_IN_LINE = 8  # chords, so that a line can be said in one breath
WITH_BRIDGE = ["A", "A", "B", "A"]  # common practice: the B of such a form is its bridge
ROMAN = re.compile(r"[b#♭♯]*[IViv]+")

Stretches = list[tuple[Chord, Fraction]]


def built(guide: Guide) -> str:
    """A sentence or two; empty where there is nothing to say about how a form is built."""
    if guide.road:
        if len(guide.sections) < 2:
            return said("built", "road", road=guide.road)
        sizes = _sizes([(s.name, s.bars) for s in guide.sections])
        return said("built", "road_and_sizes", road=guide.road, sizes=sizes)
    if len(guide.form.sections) > 1:
        return _in_sections(guide)
    lines = [between(guide, at, at + LINE) for at in range(0, guide.form.bars, LINE)]
    names = [_line(guide, line) for line in lines]
    short = len(names) <= MOST_LINES and all(0 < len(line) <= MOST_IN_LINE for line in names)
    if guide.form.bars % LINE or len(lines) < 2 or not short or len(set(guide.sequence)) == 1:
        return ""
    if all(line == lines[0] for line in lines):
        times = "twice" if len(lines) == 2 else "times"
        chords = " – ".join(names[0])
        return said("built", times, count=_count(len(lines)), chords=chords)
    count = _count(len(lines)).capitalize()
    return said("built", "lines", count=count, lines="; ".join(_said(line) for line in names))


def _sizes(sections: Sequence[tuple[str, int]]) -> str:
    """``A eight bars, B four bars``; in figures where one of them is: ``A 9 bars, B 4 bars``."""
    in_words = all(bars < len(words_of("numbers")["counts"]) for _, bars in sections)
    return ", ".join(
        said(
            "built", "size", section=name,
            bars=_bars(Fraction(bars)) if in_words else counted("numbers", "bars", bars),
        )
        for name, bars in sections
    )  # fmt: skip


def _in_sections(guide: Guide) -> str:
    """``A A B A, eight bars each.`` and the chords of its bridge."""
    sections = guide.form.sections
    names = [section.name for section in sections]
    sizes = [section.bars for section in sections]
    if not all(names):
        return ""
    if len(set(sizes)) == 1:
        order = (" " if all(len(name) == 1 for name in names) else ", ").join(names)
        words = said("built", "each", order=order, bars=_bars(Fraction(sizes[0])))
    else:
        words = said("built", "sizes", sizes=_sizes(list(zip(names, sizes, strict=True))))
    if names != WITH_BRIDGE:
        return words
    start = sum(sizes[:2])
    bridge = between(guide, start, start + sizes[2])
    if len(bridge) > MOST_IN_LINE:
        return words
    return said("built", "bridge", words=words, chords=_stretches(bridge))


def _stretches(stretches: Stretches) -> str:
    """``D7 – G7 – C7 – F7, two bars each, every one the V of the next``."""
    chords = [chord for chord, _ in stretches]
    lengths = {length for _, length in stretches}
    words = " – ".join(str(symbol(chord)) for chord in chords)
    if len(chords) > 1 and len(lengths) == 1:
        words = said("built", "bars_each", chords=words, bars=_bars(lengths.pop()))
    fifths = all(falls_a_fifth(before, after) for before, after in pairwise(chords))
    if len(chords) > 2 and fifths and all(chord.quality.is_dominant for chord in chords):
        words = said("built", "fifths", chords=words)
    return words


def section_scales(guide: Guide) -> list[tuple[str, list[tuple[str, list[Chord]]]]]:
    """For each section the scales that are for some chords alone, and these chords there.

    Empty where the sections have names that don't tell them apart, or the same scales in each.
    """
    found: dict[str, list[tuple[str, list[Chord]]]] = {}
    start = 0
    for section in guide.form.sections:
        there = {chord for chord, _ in between(guide, start, start + section.bars)}
        start += section.bars
        pairs = ((c.title, [chord for chord in c.over if chord in there])
                 for c in guide.choices if not c.tag)  # fmt: skip
        found.setdefault(section.name, [(title, chords) for title, chords in pairs if chords])
    answers = {tuple(title for title, _ in pairs) for pairs in found.values()}
    return list(found.items()) if len(answers) > 1 and all(found.values()) else []


def between(guide: Guide, start: int, end: int) -> Stretches:
    """The chords from one bar of the chorus to another, counted from 0, the end left out."""
    found, at = [], Fraction(0)
    for chord, length in zip(guide.sequence, guide.lengths, strict=True):
        inside = min(at + length, Fraction(end)) - max(at, Fraction(start))
        if inside > 0:
            found.append((chord, inside))
        at += length
    return found


def _line(guide: Guide, line: Stretches) -> list[str]:
    """The chords of a line, each change once; in a blues ``home`` and numerals."""
    names = [str(symbol(chord)) for chord, _ in line]
    if "blues" in guide.harmony.kind:
        numerals = {entry.chord: entry.numeral for entry in guide.chords}
        tonic, home = guide.harmony.key.tonic, said("built", "home")
        names = [home if chord.root == tonic else _roman(numerals[chord]) for chord, _ in line]
    return [name for name, _ in groupby(names)]


def _roman(numeral: str) -> str:
    match = ROMAN.match(numeral)
    return signs(match.group()) if match else signs(numeral)


def _said(line: Sequence[str]) -> str:
    if len(line) == 2 and line[1] == said("built", "home"):
        return said("built", "and_back", chord=line[0])
    return ", ".join(line)


def _bars(bars: Fraction) -> str:
    """``two bars``, ``half a bar``."""
    if bars == Fraction(1, 2):
        return said("numbers", "bars_in_words.half")
    if bars.denominator > 1:
        return said("numbers", "bars_in_words.many", words=in_figures(float(bars), ".4g"))
    way = "one" if bars == 1 else "many"
    return said("numbers", f"bars_in_words.{way}", words=_count(int(bars)))


def _count(number: int) -> str:
    words = words_of("numbers")["counts"]
    return str(words[number]) if number < len(words) else str(number)
