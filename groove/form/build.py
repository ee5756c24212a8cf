"""Builds a form from its layers: merges, completes and checks them as a whole."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from groove import library
from groove.errors import GrooveError, nearest, one_line, quoted
from groove.form import style
from groove.form.chordline import Span, timed
from groove.form.ending.choice import NONE, chosen, version_for
from groove.form.ending.pattern import ending
from groove.form.fields import FIELDS, FILE_FIELDS
from groove.form.intensity import parse_intensity
from groove.form.lesson_fields import FILE_READERS, OPTION_READERS, LessonFields
from groove.form.model import (
    USUAL_A4,
    Form,
    Line,
    Own,
    Section,
    bars_of,
)
from groove.form.remarks import keep_their_own, remarks
from groove.form.road.checks import check
from groove.form.road.order import parse_plays
from groove.form.road.section_fields import ONE_SECTION_FIELDS, OrderLine, SectionsError
from groove.form.setting import Settings
from groove.form.unroll import first_tempo, landing
from groove.form.written_chords import bar_meters, turnaround_spans
from groove.rhythm.meter import Meter
from groove.rhythm.note_line import in_bars
from groove.rhythm.patterns import DrumPattern
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName

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
    "ending": "",
    "seed": 1,
    "tightness": 0.0,
    "plain": (),
    "by": "",
    "pickup": (),
    "riffs": (),
    "levels": (),
    "places": (),
}
LOOP_DEFAULTS: dict[str, Any] = {  # a loop has no count-in and no rise to fall back from
    "count_in": 0,
    "intensity": parse_intensity("2"),
}

OPEN_LINES = ("choruses", "key_cycle", "tempo_step")  # with an order, fields of its open lines
MOST_ROAD = 20_000  # bars of the whole road

MOST_PROBLEMS = 50  # a form with more is no form; looking on would only take long
LONGEST_PLACE = 240  # characters of a file's name, a line and a field's name


class FormError(GrooveError):
    """The problems found in a form, each one line with its place.

    usage: whether the first problem lies in an option and not in a file. listing: the command that
    lists all problems.
    """

    def __init__(
        self, problems: list[str], usage: bool = False, listing: str = "groove check"
    ) -> None:
        more = f" (and {len(problems) - 1} more: {listing} lists all)"
        super().__init__(problems[0] + (more if len(problems) > 1 else ""))
        self.problems = tuple(one_line(problem) for problem in problems)
        self.usage = usage


@dataclass(frozen=True, slots=True)
class Layer:
    """Field values from one source; `place` names where a field stands, for errors. shipped: the
    name of the shipped form that they are of."""

    values: Mapping[str, Any]
    place: Callable[[str], str]
    is_options: bool = False
    shipped: str = ""


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
            if field not in FIELDS and field not in FILE_FIELDS:
                near = nearest(field, [*FIELDS, *FILE_FIELDS])
                hint = near if near.startswith("did") else nearest(field, FIELDS)
                found(layer, field, f"unknown field {quoted(field)}; {hint}")
                continue
            read = FIELDS[field].read if field in FIELDS else FILE_FIELDS[field]
            try:
                values[field] = read(value)
            except SectionsError as error:
                for fault in error.faults[:MOST_PROBLEMS]:
                    found(layer, f"{fault.of} {fault.place} {fault.field}", str(fault))
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
    with_order = "order" in merged
    if with_order and not owner["order"].is_options:
        for field in OPEN_LINES:
            if field in merged and not owner[field].is_options:
                name = "times" if field == "choruses" else field
                text = f"with an order its lines say it; write {name} in one of them"
                found(owner[field], field, text)
    if with_order and "sections" in merged and merged.get("quick_change"):
        text = "with an order it is a field of a section or a line; write it there"
        found(owner["quick_change"], "quick_change", text)
    if "sections" in merged:
        for field in ONE_SECTION_FIELDS:
            if field in merged:
                found(owner[field], field, "there are sections; it is a field of one of them")
    check()
    try:
        decided = style.complete(merged)
    except style.StyleError as error:
        found(owner.get(error.field) or owner.get("drums", whole), error.field, str(error))
        check()
    try:
        return _form(merged, decided, read_layers, owner)
    except style.StyleError as error:
        top = error.field.partition(" ")[0]
        found(owner.get(top, whole), error.field, str(error))
        check()
        raise


def _merged(layers: list[Layer]) -> tuple[dict[str, Any], dict[str, Layer]]:
    """Values of all layers, the later above the earlier, and the layer each came from."""
    merged: dict[str, Any] = {}
    owner: dict[str, Layer] = {}
    for layer in layers:
        replaced = style.replaced(layer.values, merged)
        if "chords" in layer.values or "sections" in layer.values:
            replaced |= {"chords", "sections", "order", *ONE_SECTION_FIELDS}
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
    order: tuple[OrderLine, ...] = merged.get("order", ())
    sections = merged.get("sections") or (_only_section(merged, "Form" if order else ""),)
    key, written_key = _key(sections, layers, owner)
    usual_tempo = float(style.usual_tempo(decided["drums"]))
    tempo = merged.get("tempo") or usual_tempo
    asked = merged.get("swing_ratio")
    ratio = asked or style.swing_ratio(decided["feel"], style.swing_tempo(decided["drums"], tempo))
    if decided["feel"] == "straight" and ratio != 1:
        raise style.StyleError("swing_ratio", f"{ratio:g} does not go with straight; leave one out")
    drums: DrumPattern = decided["drums"]
    usual = DEFAULTS | {"percussion": drums.percussion}
    usual |= LOOP_DEFAULTS if merged.get("ending") == "loop" else {}
    rest = {field: merged.get(field, default) for field, default in usual.items()}
    turnaround = _turnaround(rest.pop("turnaround"), sections)
    meter = decided["meter"]
    lesson = LessonFields(**{f: merged[f] for f in LESSON if f in merged}).headed
    if lesson.phrases:
        home = _key_of_layer(layers, owner["phrases"]).symbol
        phrases = (replace(phrase, key=phrase.key or home) for phrase in lesson.phrases)
        lesson = replace(lesson, phrases=tuple(phrases))
    title = merged.get("title", "Untitled")
    if "title" in owner and owner["title"].shipped:
        title = lesson.words.title("forms", owner["title"].shipped, title)
    form = Form(
        title=title,
        key=key,
        tempo=tempo,
        swing_ratio=ratio,
        sections=sections,
        turnaround=_turnaround_timed(turnaround, meter),
        written_key=written_key,
        written_tempo=layers[0].values.get("tempo") or usual_tempo,
        swing_follows_tempo=asked is None,
        named=Own(tuple((f, merged[f]) for f in NAMED if f in merged)),
        own=Own(tuple((f, merged[f]) for f in FORM_OWN if f in merged)),
        lesson=lesson,
        **decided,
        **rest,
    )
    timed_sections = tuple(
        _timed(form, number, section, "sections" in merged)
        for number, section in enumerate(sections, 1)
    )
    form = replace(form, sections=timed_sections)
    if order:
        form = _ordered(form, order, owner)
    given = ("quick_change", "turnaround", "sections")
    asked = form.ending
    form = replace(form, ending=asked or "hit")
    check(form, [field for field in given if merged.get(field)])
    unsaid = {"count_in": "count_in" not in merged and form.count_in, "ending": not asked}
    form = begun_and_ended(
        replace(form, unsaid=tuple(field for field, is_open in unsaid.items() if is_open))
    )
    notes = remarks(form)
    if "drums" in owner and owner["drums"].is_options:
        notes += keep_their_own(form)
    return replace(form, notes=notes)


def begun_and_ended(form: Form) -> Form:
    """The form with the count-in and the ending that suit its tempo, where it says none itself.

    Raises StyleError where the ending that it names does not fit.
    """
    if "count_in" in form.unsaid:
        fast = first_tempo(form) > library.table("count-in")["fast"]
        form = replace(form, count_in=2 if fast else 1)
    if "ending" in form.unsaid:
        return replace(form, ending=chosen(landing(form), form.seed))
    if form.ending not in NONE:
        version_for(ending(form.ending), landing(form))
    return form


NAMED = ("drums", "bass", "comping", "percussion", "meter", "feel", "swing_ratio")
LESSON = (*OPTION_READERS, *FILE_READERS)
FORM_OWN = ("instrument", "dynamics", "tacet", "pulse")


def _only_section(merged: dict[str, Any], name: str) -> Section:
    """The section of a form that has chords alone, with its fields."""
    fields = [f for f in ONE_SECTION_FIELDS if f in merged and f != "time_bars"]
    own = Own(tuple((field, merged[field]) for field in fields))
    return Section(name, merged["chords"], merged.get("time_bars", ()), own)


def _ordered(form: Form, order: tuple[OrderLine, ...], owner: dict[str, Layer]) -> Form:
    """The form with its lines, those of the options above the open ones."""
    lines = []
    for number, written in enumerate(order, 1):
        try:
            plays = parse_plays(written.text, form.sections)
        except ValueError as error:
            raise style.StyleError(f"order {number} play", f"line {number}: {error}") from None
        own = written.own
        try:
            _check_riff(own.get("riff"), form)
        except ValueError as error:
            raise style.StyleError(f"order {number} riff", f"line {number}: {error}") from None
        if own.get("turnaround"):
            own = Own(
                tuple(
                    (
                        f,
                        _turnaround_timed(turnaround_spans(v), form.meter)
                        if f == "turnaround"
                        else v,
                    )
                    for f, v in own.fields
                )
            )
        lines.append(Line(plays, written.times, written.name, written.is_open, own))
    asked = {field: owner[field] for field in OPEN_LINES if field in owner}
    if asked:
        if not any(line.is_open for line in lines):
            first = next(iter(asked))
            raise style.StyleError(first, "no line of the order is open; leave it out")
        lines = [_opened(line, form, asked) if line.is_open else line for line in lines]
    total = sum(line.times * line.bars for line in lines)
    if total > MOST_ROAD:
        raise style.StyleError("order", f"{total:,} bars; at most {MOST_ROAD:,} are allowed")
    return replace(form, order=tuple(lines), choruses=1, tempo_step=0.0, key_cycle="none")


def _opened(line: Line, form: Form, asked: Mapping[str, Layer]) -> Line:
    own = tuple((f, v) for f, v in line.own.fields if f not in asked)
    own += tuple((f, getattr(form, f)) for f in ("key_cycle", "tempo_step") if f in asked)
    return replace(line, own=Own(own), times=form.choruses if "choruses" in asked else line.times)


def _key(
    sections: tuple[Section, ...], layers: list[Layer], owner: dict[str, Layer]
) -> tuple[Key, Key]:
    """The key, and the key that absolute chords and the sections' own keys are written in."""
    absolute = any(isinstance(span.written, Chord) for span in sections[0].spans)
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
    if absolute and home is None:
        raise style.StyleError(
            "chords",
            "absolute symbols need the key they are in; give it in the same place, "
            f'key = "{_likely_key(sections)}" or --key {_likely_key(sections)}',
        )
    if home is None:
        home = Key(NoteName(0), key.mode) if any("key" in s.own for s in sections) else key
    return key, home


def _key_of_layer(layers: list[Layer], last: Layer) -> Key:
    """The key that a layer gives, or the layers below it; C where none does."""
    key = Key.parse("C")
    for layer in layers[: layers.index(last) + 1]:
        if "key" in layer.values:
            key = Key.parse(layer.values["key"], key.mode)
    return key


def _likely_key(sections: tuple[Section, ...]) -> str:
    """A key as an example: the one whose home chord the first chord is, if there is such a key."""
    chord = next(s.written for s in sections[0].spans if isinstance(s.written, Chord))
    name = f"{chord.root}{'m' if chord.quality.is_minor else ''}"
    try:
        return Key.parse(name).symbol
    except ValueError:
        return "C"


def _turnaround(asked: bool | tuple[Span, ...], sections: tuple[Section, ...]) -> tuple[Span, ...]:
    if not isinstance(asked, tuple):
        return turnaround_spans(asked) if asked else ()
    kinds = {type(s.written) for s in (*asked, *sections[0].spans) if s.written is not None}
    if len(kinds) > 1:
        raise style.StyleError(
            "turnaround", "numerals and absolute symbols are mixed; write it as the form's chords"
        )
    return asked


def _timed(form: Form, number: int, section: Section, has_sections: bool) -> Section:
    """The section with the length of each chord in its metre."""
    place = f"sections {number}" if has_sections else ""
    try:
        setting = Settings(form).of(Own(), section.own, form.tempo)
    except style.StyleError as error:
        raise style.StyleError(
            f"{place} {error.field}".strip(), f"section {section.name}: {error}"
        ) from None
    where = f"section {section.name}: " if section.name else ""
    field = "chords"
    try:
        spans = timed(section.spans, setting.meter)
        field = "time_bars"
        time_bars = tuple(timed(bars, setting.meter) for bars in section.time_bars)
        field = "turnaround"
        own = tuple(
            (f, timed(turnaround_spans(v), setting.meter) if f == "turnaround" and v else v)
            for f, v in section.own.fields
        )
        field = "melody"
        melody = section.own.get("melody")
        if melody:
            longest = max((spans + bars for bars in time_bars), key=bars_of, default=spans)
            in_bars(melody.notes, bar_meters(longest, setting.meter))
        field = "riff"
        _check_riff(section.own.get("riff"), form)
    except ValueError as error:
        if not has_sections:
            raise style.StyleError(field, str(error)) from None
        raise style.StyleError(f"{place} {field}", f"{where}{error}") from None
    return replace(section, spans=spans, time_bars=time_bars, own=Own(own))


def _check_riff(name: str | None, form: Form) -> None:
    names = [riff.name for riff in form.riffs]
    if name and name not in names:
        hint = nearest(name, names) if names else "write it as [[riffs]] with name and notes"
        raise ValueError(f"no riff is named {quoted(name)}; {hint}")


def _turnaround_timed(spans: tuple[Span, ...], meter: Meter) -> tuple[Span, ...]:
    try:
        return timed(spans, meter)
    except ValueError as error:
        raise style.StyleError("turnaround", str(error)) from None
