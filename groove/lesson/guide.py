"""The guide to a form: scales, chords and changes one by one, in the form's own key.

Everything is computed from the chords of one chorus, in a form with an order from those of each
section; the sentences are data in patterns/lesson/. The sheet and the practice page take it from
here.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from groove.form.chart import Chart
from groove.form.chorus_words import keys_in_order
from groove.form.choruses import in_chorus
from groove.form.harmony import form_harmony, timed_chords, timed_slots
from groove.form.model import Form
from groove.form.readers import READERS, Reader
from groove.form.road.fold import fold, road_words
from groove.form.unroll import unroll
from groove.form.words import bars_in_words, tempi_in_words
from groove.form.written_chords import home_chord
from groove.lesson.chord_guides import ChangeGuide, ChordGuide, Passage, change_guides, chord_guides
from groove.lesson.form_scales import Choice, form_choices, form_words
from groove.lesson.key_by_key import KeyGuide, in_every_key, in_keys_of
from groove.lesson.practice_plan import (
    Ground,
    Plan,
    TimeRound,
    first_scale,
    practice_plan,
    scales_in_place,
)
from groove.lesson.section_guides import (
    LineGuide,
    SectionGuide,
    chords_once,
    line_guides,
    section_guides,
)
from groove.rhythm.meter import ticks_to_seconds
from groove.theory.chords import Chord
from groove.theory.functions import Harmony, read_harmony
from groove.theory.motion import ChordTone, guide_lines
from groove.theory.symbols import key_name
from groove.wording import filled, said, words_of


@dataclass(frozen=True, slots=True)
class Guide:
    """The guide to a form for one reader, in the note names that this reader writes.

    about: a few sentences on this kind of form. lines: two lines of guide tones through the
    chorus, one note a chord. sequence, lengths: the chords of a chorus, and their bars; with an
    order, of all sections as they stand in the file.
    keys: where the key changes, that of each chorus; then all else is in the first of them, and
    others has every key once. rest: the chord that the track ends on. ground: what the plan is
    for. sections: of the road, where the form is taught section by section, else empty; then
    chords has each chord once with one answer, and size, tempi and road say in words how long the
    track is, how fast and how it goes, road_lines the same line by line.
    """

    form: Form
    reader: Reader
    harmony: Harmony
    title: str
    about: str
    choices: tuple[Choice, ...]
    chords: tuple[ChordGuide, ...]
    changes: tuple[ChangeGuide, ...]
    sequence: tuple[Chord, ...]
    lengths: tuple[Fraction, ...]
    lines: tuple[tuple[ChordTone, ...], ...]
    keys: tuple[str, ...]
    others: tuple[KeyGuide, ...]
    rest: Chord
    ground: Ground
    plan: Plan
    cautions: tuple[str, ...]
    sections: tuple[SectionGuide, ...] = ()
    size: str = ""
    tempi: str = ""
    road: str = ""
    road_lines: tuple[LineGuide, ...] = ()


def write_guide(form: Form, reader: Reader = READERS["concert"]) -> Guide:
    """The guide to a form for a reader."""
    if form.by_section:
        return _by_section(form, reader)
    keys, others = keys_in_order(form, reader), in_every_key(form, reader)
    seen = [reader.form(in_chorus(form, number)) for number in range(form.choruses)]
    form, coming, last = seen[0], seen[min(1, form.choruses - 1)], seen[-1]
    harmony = form_harmony(form)
    chorus = timed_chords(form, coming)
    sequence = tuple(stretch.chord for stretch in chorus)
    goes_round = form.ending == "loop" or form.choruses > 1
    top = timed_chords(coming)[0].chord
    after = [*sequence[1:], top if goes_round else home_chord(form)]
    distinct = tuple(dict.fromkeys(sequence))
    kind = words_of("scales")["kinds"][harmony.kind]
    choices, lines, rest = form_choices(harmony, distinct), guide_lines(sequence), home_chord(last)
    bars = form.bars * form.meter.bar_ticks
    ground = Ground(
        harmony,
        sequence,
        lines,
        rest,
        first_scale(choices),
        tuple(TimeRound("", number, form.choruses) for number in range(1, form.choruses + 1)),
        form.bars * form.meter.beats,
        ticks_to_seconds(bars, form.tempo, form.meter),
        (form.tempo, last.tempo),
        form.meter,
        form.feel,
        keys,
    )
    return Guide(
        form=form,
        reader=reader,
        harmony=harmony,
        title=kind["title"],
        about=filled(kind["about"], form_words(harmony, distinct)),
        choices=choices,
        chords=chord_guides([Passage(chorus, after[-1])], harmony, distinct),
        changes=change_guides(sequence, after, goes_round=goes_round, key="".join(keys[1:2])),
        sequence=sequence,
        lengths=tuple(stretch.bars for stretch in chorus),
        lines=lines,
        ground=ground,
        plan=practice_plan(form, ground),
        keys=keys,
        others=others,
        rest=rest,
        cautions=_cautions(),
    )


def _cautions() -> tuple[str, ...]:
    return tuple(words_of("cautions")["cautions"])


def _by_section(form: Form, reader: Reader) -> Guide:
    form = reader.form(form)
    chart = unroll(form)
    folded = fold(chart)
    sections = section_guides(form, chart)
    harmony = form_harmony(form)
    whole = timed_chords(form)
    sequence = tuple(timed.chord for timed in whole)
    changes: dict[object, ChangeGuide] = {}
    for section in sections:
        for made in section.changes:
            changes.setdefault((made.change.before, made.change.after), made)
    keys = tuple(dict.fromkeys(time.key for time in chart.rounds))
    ground = _ground(form, chart, sections)
    distinct = tuple(dict.fromkeys(sequence))
    kind = words_of("scales")["kinds"][harmony.kind]
    return Guide(
        form=form,
        reader=reader,
        harmony=harmony,
        title=kind["title"],
        about=filled(kind["about"], form_words(harmony, distinct)),
        choices=_choices_of(sections),
        chords=chords_once(sections),
        changes=tuple(changes.values()),
        sequence=sequence,
        lengths=tuple(timed.bars for timed in whole),
        lines=guide_lines(sequence),
        ground=ground,
        plan=practice_plan(form, ground),
        keys=tuple(key_name(key) for key in keys) if len(keys) > 1 else (),
        others=in_keys_of(chart) if len(keys) > 1 else (),
        rest=ground.rest,
        cautions=_cautions(),
        sections=sections,
        size=bars_in_words(chart),
        tempi=tempi_in_words(chart),
        road=road_words(chart, folded),
        road_lines=line_guides(chart, folded),
    )


def _choices_of(sections: tuple[SectionGuide, ...]) -> tuple[Choice, ...]:
    """The scales of all sections, each once, for the chords of the sections that have it."""
    found: dict[object, list[tuple[SectionGuide, Choice]]] = {}
    for section in sections:
        for choice in section.choices:
            found.setdefault((choice.root, choice.scale), []).append((section, choice))
    return tuple(_together(pairs, len(sections)) for pairs in found.values())


def _together(pairs: list[tuple[SectionGuide, Choice]], sections: int) -> Choice:
    """A scale of some sections as one of the whole form."""
    for_all = len(pairs) == sections and not any(choice.over for _, choice in pairs)
    chords = ((c.over or [entry.chord for entry in s.chords]) for s, c in pairs)
    over = (chord for each in chords for chord in each)
    watch = {chord: notes for _, choice in pairs for chord, notes in choice.watch}
    return replace(
        pairs[0][1], over=() if for_all else tuple(dict.fromkeys(over)), watch=tuple(watch.items())
    )


def _line_name(form: Form, line: int) -> str:
    """The name of a line of the order, ``line 2`` if it has none; empty without an order."""
    name = form.lines[line].name
    return name if name or not form.order else said("road", "lines.line", number=line + 1)


def _ground(form: Form, chart: Chart, sections: tuple[SectionGuide, ...]) -> Ground:
    """The open lines of the road, or all of it where none is open."""
    lines = form.lines
    rounds = [time for time in chart.rounds if lines[time.line].is_open]
    times = tuple(
        TimeRound(_line_name(form, time.line), time.time + 1, lines[time.line].times)
        for time in rounds
    )  # fmt: skip
    first, last = (rounds[0], rounds[-1]) if rounds else (chart.rounds[0], chart.rounds[-1])
    begin, end = (first.first, first.last) if rounds else (first.first, last.last)
    bars = chart.bars[begin:end]
    chorus = timed_slots(bars, [slot for bar in bars for slot in bar.slots])
    played = {section.name: section for section in sections}
    if first.key == form.key:
        names = dict.fromkeys(bar.section for bar in bars)
        titles = [played[name].choices[0].title for name in names]
        scale = scales_in_place(list(dict.fromkeys(titles)))
    harmony = read_harmony(chorus, first.key)
    sequence = tuple(timed.chord for timed in chorus)
    if first.key != form.key:
        scale = first_scale(form_choices(harmony, tuple(dict.fromkeys(sequence))))
    seconds = chart.seconds(bars[-1].end) - chart.seconds(bars[0].start)
    keys = tuple(key_name(time.key) for time in rounds)
    return Ground(
        harmony=harmony,
        sequence=sequence,
        lines=guide_lines(sequence),
        rest=chart.bars[-1].slots[-1].chord,
        scale=scale,
        times=times or (TimeRound("", 1, 1),),
        beats=seconds * form.tempo / 60,
        seconds=seconds,
        tempi=(first.tempo, last.tempo) if first.line == last.line else (form.tempo, form.tempo),
        meter=bars[0].meter,
        feel=bars[0].setting.feel,
        keys=keys if len(set(keys)) > 1 else (),
    )
