"""Rows of text over and under the chords of a chart in a terminal: words, notes, loudness."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import gcd
from textwrap import wrap

from groove.handout.chart.bar import WrittenBar
from groove.rhythm.meter import TICKS_PER_QUARTER, Meter
from groove.theory.symbols import noted
from groove.wording import in_figures, said

NOTES = {
    TICKS_PER_QUARTER // 4: "sixteenth",
    TICKS_PER_QUARTER // 2: "eighth",
    TICKS_PER_QUARTER: "quarter",
    TICKS_PER_QUARTER * 3 // 2: "dotted_quarter",
    TICKS_PER_QUARTER * 2: "half",
    TICKS_PER_QUARTER * 4: "whole",
}
"""The names of note values in ``patterns/lesson/chart.toml``, by their ticks."""
SIGNATURE = 4  # columns, of a time signature in a bar


def beat_sign(meter: Meter) -> str:
    """The note that a tempo counts, as a sign: ``♩.``."""
    half = meter.denominator == 2
    return said("chart", "notes.half") if half else "♩." if meter.is_compound else "♩"


def change_words(bar: WrittenBar) -> str:
    """The changes with which a bar begins, but for its time signature: ``Swing, ♩ = 132``."""
    change = bar.change
    words = [change.feel]
    if change.beat:
        words.append(" = ".join(_note_words(ticks) for ticks in change.beat))
    if change.tempo is not None:
        words.append(f"{beat_sign(bar.meter)} = {in_figures(change.tempo)}")
    words.append(change.home)
    return ", ".join(word for word in words if word)


def _note_words(ticks: int) -> str:
    return said("chart", f"notes.{NOTES.get(ticks, 'other')}")


def words_rows(bars: Sequence[WrittenBar], step: int, width: int) -> list[str]:
    """The words over some bars, each over its bar where there is room, as low as is free.

    step: columns from bar to bar. width: of a row.
    """
    rows: list[str] = []
    for number, bar in enumerate(bars):
        told = [line for words in (change_words(bar), *bar.words) for line in wrap(words, width)]
        ends = [
            words
            for words in (bar.jump, bar.again, said("road", "way.fine_sign") if bar.fine else "")
            if words
        ]
        starts = [(words, number * step + 2 * (number > 0)) for words in reversed(told)]
        starts += [(words, (number + 1) * step - len(words)) for words in ends]
        for words, wanted in starts:
            column = max(0, min(wanted, width - len(words)))
            for place, row in enumerate(rows):
                if not row[max(0, column - 2) :].strip():
                    rows[place] = row[:column].ljust(column) + words
                    break
            else:
                rows.append(" " * column + words)
    return rows[::-1]


def rows_under(bars: Sequence[WrittenBar], width: int) -> list[str]:
    """The rows under some bars: rhythms, loudness, ritardando, pedal point, lyrics.

    width: columns of a bar without its bar line.
    """
    kinds = [
        [figure(bar) for bar in bars],
        [_cut(melody(bar), width) for bar in bars],
        [_loudness(bar, width) for bar in bars],
        _span([bar.rit for bar in bars], width),
        _span([bar.pedal for bar in bars], width),
    ]
    rows = [
        "  " + " ".join(cell.ljust(width + 2) for cell in cells) for cells in kinds if any(cells)
    ]
    for bar in bars:
        rows += [f"  {row}" for words in bar.lyrics for row in wrap(words, 76)]
    return rows


def figure(bar: WrittenBar) -> str:
    """The rhythm of a bar in box notation: ``kick x..x ..x.``; empty without kicks or stops.

    As in a form file, a stroke on a pushed chord stands at the chord's written place.
    """
    rests = any(note.rest for note in bar.rhythm)
    if not bar.stops and not rests:
        return ""
    unit = gcd(*(n for note in bar.rhythm for n in (note.start, note.length)), bar.meter.unit_ticks)
    cells = ["."] * (bar.meter.bar_ticks // unit)
    for note in bar.rhythm:
        early = note.ties and note.end == bar.meter.bar_ticks
        if not note.rest and not early:
            first, last = note.start // unit, note.end // unit
            cells[first:last] = ["-"] * (last - first)
            if not note.tied or note.start == 0:
                cells[first] = "X" if note.accent else "x"
    starts = {start // unit for start in bar.meter.group_starts} - {0}
    groups = "".join(" " * (place in starts) + cell for place, cell in enumerate(cells))
    return said("chart", f"marks.{'stop' if bar.stops else 'kick'}", rhythm=groups)


def _cut(words: str, width: int) -> str:
    """Words in at most so many columns, with dots where they are longer."""
    return words if len(words) <= width else words[: width - 1].rstrip() + "…"


def melody(bar: WrittenBar) -> str:
    """The melody of a bar as a form file has it, lengths in beats: ``F♯4:2 E4:2``."""
    words: list[str] = []
    beats: list[Fraction] = []
    for tune in bar.melody:
        length = Fraction(tune.note.length, bar.meter.beat_ticks)
        if tune.note.tied and words:
            beats[-1] += length
            continue
        beats.append(length)
        words.append("-" if tune.note.rest else noted(f"{tune.name}{tune.octave}"))
    return " ".join(w if n == 1 else f"{w}:{n}" for w, n in zip(words, beats, strict=True))


def _loudness(bar: WrittenBar, width: int) -> str:
    begins = " ".join(word for word in (bar.dynamic, bar.hairpin) if word)
    return (begins.ljust(width - len(bar.dynamic_after)) + bar.dynamic_after).rstrip()


def _span(words: Sequence[str], width: int) -> list[str]:
    """Words where they begin, then dashes through all bars that have them."""
    return [
        "" if not word else "-" * (width + 2) if word == last else f"{word} ".ljust(width + 2, "-")
        for last, word in zip(("", *words), words, strict=False)
    ]
