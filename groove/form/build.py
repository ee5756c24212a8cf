"""Builds a form from its layers: merges, completes and checks them as a whole."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from groove.errors import GrooveError, nearest, one_line, quoted
from groove.form import choruses, style
from groove.form.chart import chorus_slots, home_chord
from groove.form.chordline import Span, parse_chords, timed
from groove.form.fields import FIELDS, SectionsError
from groove.form.intensity import parse_intensity
from groove.form.model import MOST_MINUTES, USUAL_A4, Form, Section
from groove.rhythm.meter import Meter
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.roman import Numeral

DEFAULTS: dict[str, Any] = {
    "quick_change": False,
    "turnaround": False,
    "choruses": 3,
    "tempo_step": 0.0,
    "key_cycle": "none",
    "tuning_note": False,
    "a4": float(USUAL_A4),
    "intensity": (),
    "count_in": 1,
    "seed": 1,
    "tightness": 0.0,
}
LOOP_DEFAULTS: dict[str, Any] = {  # a loop has no count-in and no rise to fall back from
    "count_in": 0,
    "intensity": parse_intensity("2"),
}

MOST_PROBLEMS = 50  # a form with more is no form; looking on would only take long
LONGEST_PLACE = 300  # characters of a file's name, a line and a field's name


class FormError(GrooveError):
    """The problems found in a form, each one line with its place.

    usage: whether the first problem lies in an option and not in a file.
    """

    def __init__(self, problems: list[str], usage: bool = False) -> None:
        more = f" (and {len(problems) - 1} more: groove check lists all)"
        super().__init__(problems[0] + (more if len(problems) > 1 else ""))
        self.problems = tuple(one_line(problem) for problem in problems)
        self.usage = usage


@dataclass(frozen=True, slots=True)
class Layer:
    """Field values from one source; `place` names where a field stands, for errors."""

    values: Mapping[str, Any]
    place: Callable[[str], str]
    is_options: bool = False


def build(layers: list[Layer]) -> Form:
    """A form from its layers, lowest first. Raises FormError with every problem found."""
    problems: list[str] = []
    in_options: list[bool] = []

    def found(layer: Layer, field: str, text: str) -> None:
        problems.append(f"{one_line(layer.place(field), LONGEST_PLACE)}: {text}")
        in_options.append(layer.is_options)

    def check() -> None:
        if problems:
            raise FormError(problems, usage=in_options[0])

    read_layers = []
    for layer in layers:
        values: dict[str, Any] = {}
        for field, value in layer.values.items():
            if len(problems) == MOST_PROBLEMS:
                break
            if field not in FIELDS:
                found(layer, field, f"unknown field {quoted(field)}; {nearest(field, FIELDS)}")
                continue
            try:
                values[field] = FIELDS[field].read(value)
            except SectionsError as error:
                for fault in error.faults[:MOST_PROBLEMS]:
                    found(layer, f"sections {fault.place} {fault.field}", str(fault))
            except ValueError as error:
                found(layer, field, str(error))
        read_layers.append(replace(layer, values=values))
    check()

    merged, owner = _merged(read_layers)
    whole = read_layers[0]
    if "chords" in merged and "sections" in merged:
        found(owner["sections"], "sections", "chords stand in the sections; leave chords out above")
    if "chords" not in merged and "sections" not in merged:
        found(whole, "", 'no chords; a form needs chords = "I7:4 IV7:2 ..." or [[sections]]')
    check()
    try:
        decided = style.complete(merged)
    except style.StyleError as error:
        found(owner.get(error.field) or owner.get("drums", whole), error.field, str(error))
        check()
    try:
        return _form(merged, decided, read_layers, owner)
    except style.StyleError as error:
        found(owner.get(error.field, whole), error.field, str(error))
        check()
        raise


def _merged(layers: list[Layer]) -> tuple[dict[str, Any], dict[str, Layer]]:
    """Values of all layers, the later above the earlier, and the layer each came from."""
    merged: dict[str, Any] = {}
    owner: dict[str, Layer] = {}
    for layer in layers:
        replaced = style.replaced(layer.values, merged)
        if "chords" in layer.values or "sections" in layer.values:
            replaced |= {"chords", "sections"}
        for field in replaced:
            merged.pop(field, None)
            owner.pop(field, None)
        merged |= layer.values
        owner |= dict.fromkeys(layer.values, layer)
    return merged, owner


def _form(
    merged: dict[str, Any],
    decided: dict[str, Any],
    layers: list[Layer],
    owner: dict[str, Layer],
) -> Form:
    sections = merged.get("sections") or (Section("", merged["chords"]),)
    key, fifths = _key(sections, layers, owner)
    tempo = merged.get("tempo") or float(style.usual_tempo(decided["drums"]))
    asked = merged.get("swing_ratio")
    ratio = asked or style.swing_ratio(decided["feel"], style.swing_tempo(decided["drums"], tempo))
    if decided["feel"] == "straight" and ratio != 1:
        raise style.StyleError("swing_ratio", f"{ratio:g} does not go with straight; leave one out")
    usual = DEFAULTS | {"ending": decided["drums"].ends}
    usual |= LOOP_DEFAULTS if merged.get("ending") == "loop" else {}
    rest = {field: merged.get(field, default) for field, default in usual.items()}
    turnaround = _turnaround(rest.pop("turnaround"), sections)
    meter = decided["meter"]
    sections = tuple(_timed(section, meter) for section in sections)
    turnaround = _turnaround_timed(turnaround, meter)
    form = Form(
        title=merged.get("title", "Untitled"),
        key=key,
        tempo=tempo,
        swing_ratio=ratio,
        sections=sections,
        turnaround=turnaround,
        fifths=fifths,
        swing_follows_tempo=asked is None,
        **decided,
        **rest,
    )
    for field, check in (("quick_change", _check_quick_change), ("turnaround", _check_turnaround)):
        if merged.get(field):
            check(form)
    choruses.check(form)
    _check_length(form)
    return replace(form, notes=_notes(form))


def _key(
    sections: tuple[Section, ...], layers: list[Layer], owner: dict[str, Layer]
) -> tuple[Key, int]:
    """The key, and how far absolute chords move to it from the key they are written in."""
    absolute = isinstance(sections[0].spans[0].written, Chord)
    written_in = owner["sections" if "sections" in owner else "chords"]
    key = Key.parse("C")
    home: Key | None = None
    for layer in layers:
        if "key" in layer.values:
            try:
                key = Key.parse(layer.values["key"], key.mode)
            except ValueError as error:
                raise style.StyleError("key", str(error)) from None
        if layer is written_in:
            home = key if "key" in layer.values else None
    if not absolute:
        return key, 0
    if home is None:
        raise style.StyleError(
            "chords",
            "absolute symbols need the key they are in; give it in the same place, "
            f'key = "{_likely_key(sections)}" or --key {_likely_key(sections)}',
        )
    return key, key.tonic.fifths - home.tonic.fifths


def _likely_key(sections: tuple[Section, ...]) -> str:
    """A key as an example: the one whose home chord the first chord is, if there is such a key."""
    chord = sections[0].spans[0].written
    assert isinstance(chord, Chord)
    name = f"{chord.root}{'m' if chord.quality.is_minor else ''}"
    try:
        return Key.parse(name).symbol
    except ValueError:
        return "C"


def _turnaround(asked: bool | tuple[Span, ...], sections: tuple[Section, ...]) -> tuple[Span, ...]:
    if not isinstance(asked, tuple):
        return parse_chords("V7") if asked else ()
    if type(asked[0].written) is not type(sections[0].spans[0].written):
        raise style.StyleError(
            "turnaround", "numerals and absolute symbols are mixed; write it as the form's chords"
        )
    return asked


def _timed(section: Section, meter: Meter) -> Section:
    """The section with the length of each chord in a metre."""
    try:
        return replace(section, spans=timed(section.spans, meter))
    except ValueError as error:
        field = "sections" if section.name else "chords"
        where = f"{section.name}: " if section.name else ""
        raise style.StyleError(field, f"{where}{error}") from None


def _turnaround_timed(spans: tuple[Span, ...], meter: Meter) -> tuple[Span, ...]:
    try:
        return timed(spans, meter)
    except ValueError as error:
        raise style.StyleError("turnaround", str(error)) from None


def _check_quick_change(form: Form) -> None:
    chorus_slots(replace(form, turnaround=()))


def _check_turnaround(form: Form) -> None:
    total = sum(span.bars for span in form.turnaround)
    if total > 2:
        raise style.StyleError(
            "turnaround", f"lasts {total} bars; at most the last two are allowed"
        )
    if total >= form.bars:
        raise style.StyleError(
            "turnaround", f"lasts {total} bars and the form only {form.bars}; leave it out"
        )


def _check_length(form: Form) -> None:
    minutes = choruses.length(form) / 60
    if minutes > MOST_MINUTES:
        raise style.StyleError(
            "choruses",
            f"{form.choruses} choruses of {form.bars} bars at {form.tempo:g} last {minutes:.0f} "
            f"minutes; at most {MOST_MINUTES} are allowed",
        )


def _notes(form: Form) -> tuple[str, ...]:
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
    return (*(note for note in notes if note), *_not_inverted(numerals, form.key))


def _numerals(form: Form) -> list[Numeral]:
    """The numerals of a form, each once."""
    spans = [span for section in form.sections for span in section.spans]
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
