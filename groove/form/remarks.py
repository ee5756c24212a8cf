"""Remarks on a form though nothing is wrong: what a reader would want to know before playing."""

from __future__ import annotations

import re

from groove.form import choruses, style
from groove.form.model import Form
from groove.form.written_chords import home_chord
from groove.theory.keys import Key
from groove.theory.roman import Numeral


def remarks(form: Form) -> tuple[str, ...]:
    last = choruses.in_chorus(form, form.choruses - 1)
    tempi = dict.fromkeys((form.tempo, last.tempo))
    notes = [style.meter_note(form.drums, form.meter)]
    notes += [style.tempo_note(form.drums, tempo) for tempo in tempi]
    home = home_chord(form)
    has_third = home.quality.of_step(3) is not None
    if has_third and home.quality.is_minor != (form.key.mode == "minor"):
        mode = "minor" if home.quality.is_minor else "major"
        notes.append(f"key {form.key.symbol}: the home chord {home} is {mode}")
    numerals = _numerals(form)
    if form.key.mode == "minor":
        notes += _counted_from_major(numerals, form.key)
    notes += _never_played(form)
    return (*(note for note in notes if note), *_not_inverted(numerals, form.key))


def _never_played(form: Form) -> list[str]:
    """Remarks on sections and time bars that the order leaves out."""
    if not form.order:
        return []
    played = {(play.section.name, play.ending) for line in form.order for play in line.plays}
    names = {name for name, _ in played}
    found = [f"section {s.name} is not in the order" for s in form.sections if s.name not in names]
    for section in form.sections:
        times = [ending + 1 for name, ending in played if name == section.name]
        if times and max(times) < len(section.time_bars):
            found.append(
                f"section {section.name}: time_bars {max(times) + 1} are never played; times are "
                f'counted within one time of a line, as in "{section.name}, {section.name}"'
            )
    return found


def keep_their_own(form: Form) -> tuple[str, ...]:
    """A remark on the sections and lines whose drums an option does not replace."""
    kept = [section.name for section in form.sections if "drums" in section.own]
    kept += [line.name or "a line" for line in form.order if "drums" in line.own]
    return (f"{', '.join(dict.fromkeys(kept))} keep drums of their own",) if kept else ()


def _numerals(form: Form) -> list[Numeral]:
    """The numerals of a form, each once."""
    spans = [span for section in form.sections for span in section.all_spans]
    written = (span.written for span in (*spans, *form.turnaround))
    return list(dict.fromkeys(numeral for numeral in written if isinstance(numeral, Numeral)))


def _counted_from_major(numerals: list[Numeral], key: Key) -> list[str]:
    """Remarks on III, VI and VII in minor, which other books count from the minor scale."""
    return [
        f"{numeral.text} in {key} is {numeral.chord(key)}, for numerals count from the major "
        f"scale; b{numeral.text} is a semitone below"
        for numeral in numerals
        if re.match(r"(III|VI|VII|iii|vi(?!7b5|ø|Ø))(?![Ii])", numeral.text)
    ]


def _not_inverted(numerals: list[Numeral], key: Key) -> list[str]:
    """A remark on I6 and V2, which are inversions in figured bass."""
    doubtful = {numeral: numeral.inversion for numeral in numerals if numeral.inversion}
    if not doubtful:
        return []
    read = ", ".join(f"{numeral.text} is {numeral.chord(key)}" for numeral in doubtful)
    return [f"{read}; inversions are written {', '.join(doubtful.values())}"]
