"""Bars of a chart that are played otherwise than they are written: quick change and turnaround."""

from __future__ import annotations

from dataclasses import replace

from groove.form.chart import Bar, Chart
from groove.form.model import Form
from groove.form.unroll import unroll
from groove.theory.symbols import Symbol, symbol


def played_bars(form: Form, chart: Chart) -> dict[tuple[int, int], str]:
    """The chords as they are played in bars that a form's quick change or turnaround changes.

    By section and bar of it, both from 0; the first time counts at which they differ. Sections that
    share a name are left out, and bars of endings have places after those of their section.
    """
    if not form.quick_change and not form.turnaround:
        return {}
    written = unroll(replace(form, quick_change=False, turnaround=()))
    names = [section.name for section in form.sections]
    single = {name for name in names if names.count(name) == 1}
    found: dict[tuple[int, int], str] = {}
    for bar, as_written in zip(chart.bars, written.bars, strict=True):
        chords = _chords(bar)
        if bar.number and chords != _chords(as_written) and bar.section in single:
            found.setdefault((names.index(bar.section), bar.in_section - 1), chords)
    return found


def _chords(bar: Bar) -> str:
    return " ".join(_in_words(symbol(slot.chord)) for slot in bar.slots if not slot.silent)


def _in_words(shown: Symbol) -> str:
    bass = f"/{shown.bass}" if shown.bass else ""
    return f"{shown.root}{shown.triad}{shown.figures}{bass}"
