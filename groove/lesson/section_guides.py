"""The guide to a form section by section, each in its own key.

For forms with an order, or with sections that have a key, metre or feel of their own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby, pairwise

from groove.form.chart import Chart, Pass
from groove.form.harmony import form_harmony, timed_slots
from groove.form.model import Form, Line, Play, Section
from groove.form.road.fold_words import runs, times_words
from groove.form.road.folded import Folded
from groove.form.setting import Setting, Settings
from groove.form.written_chords import PlacedRound, placed_round
from groove.lesson.chord_guides import (
    ChangeGuide,
    ChordGuide,
    Passage,
    change_guides,
    chord_guides,
    told_together,
)
from groove.lesson.form_scales import Choice, form_choices
from groove.theory.chords import Chord
from groove.theory.functions import ALONE, Around, Harmony, read_harmony
from groove.theory.motion import ChordTone, guide_lines
from groove.theory.pitch import NoteName
from groove.theory.symbols import key_names, listed
from groove.wording import counted, said

LEAST_BARS = 4
"""A shorter section in the form's key is heard as a part of the form, and not by itself."""


@dataclass(frozen=True, slots=True)
class SectionGuide:
    """A section of the road.

    harmony: in its key. played_in: the lines of an order by name or number. improvised: whether
    an open line plays it. pedals: the notes that the bass holds under it. sequence, lengths: its
    chords the first time, and their bars; lines: of guide tones through them. endings: the chords
    of its later time bars. chords, changes: its own, the changes to the sections that follow among
    them.
    """

    name: str
    harmony: Harmony
    setting: Setting
    bars: int
    played_in: tuple[str, ...]
    improvised: bool
    pedals: tuple[NoteName, ...]
    sequence: tuple[Chord, ...]
    lengths: tuple[Fraction, ...]
    lines: tuple[tuple[ChordTone, ...], ...]
    endings: tuple[tuple[Chord, ...], ...]
    choices: tuple[Choice, ...]
    chords: tuple[ChordGuide, ...]
    changes: tuple[ChangeGuide, ...]


@dataclass(frozen=True, slots=True)
class LineGuide:
    """A line of the order in words: its name, its sections and bars, how it is played."""

    name: str
    words: str


def line_guides(chart: Chart, folded: Folded) -> tuple[LineGuide, ...]:
    """The lines of an order: ``A twice, B, A; 32 bars, 3 times, open; no kicks, mf``."""
    read = [reading for strip in folded.strips for reading in strip.readings]
    read += [folded.back.reading] if folded.back else []
    guides, home = [], chart.form.key
    for number, line in enumerate(chart.form.order):
        told = max((reading.words for reading in read if reading.line == number), key=len)
        how = [*told[1 if line.name or line.is_open else 0 :]]
        how += [said("road", "lines.stops")] * bool(line.own.get("stops"))
        keys = [t.key for t in chart.rounds if t.line == number]
        others = said("road", "lines.in_keys", keys=key_names(keys))
        how += [others] * (set(keys) != {home})
        bars = counted("numbers", "bars", line.bars)
        times = [times_words(line.times)] if line.times > 1 else []
        how = [word for word in how if word not in times]
        size = ", ".join([bars, *times, *[said("road", "lines.open")] * line.is_open])
        parts = [", ".join(runs(_part(play) for play in line.plays)), size, ", ".join(how)]
        guides.append(LineGuide(line.name, "; ".join(part for part in parts if part)))
    return tuple(guides)


def _part(play: Play) -> str:
    """A section, or the part of it that is played: ``Blues (its last 4 bars)``."""
    name, bars = play.section.name, play.last - play.first
    if bars == play.section.bars_with(play.ending):
        return name
    where = "last" if play.first else "first"
    size = "bars" if bars > 1 else "bar"
    return said("road", f"lines.{where}_{size}", name=name, number=bars)


@dataclass(frozen=True, slots=True)
class _Seam:
    """The end of a section, and the section that follows."""

    ending: int
    last: Chord
    first: Chord
    onward: str


def section_guides(form: Form, chart: Chart) -> tuple[SectionGuide, ...]:
    """The sections that the road plays, in the order in which they come. chart: of the form."""
    played: dict[Section, list[Pass]] = {}
    for found in chart.passes:
        played.setdefault(found.section, []).append(found)
    seams, around = _seams(form, chart), _around(form, chart)
    settings = Settings(form)
    plain = replace(form, turnaround=(), quick_change=False)
    return tuple(
        _guide(plain, section, passes, seams.get(section, []), around, settings)
        for section, passes in played.items()
    )


def _guide(
    form: Form,
    section: Section,
    passes: list[Pass],
    seams: list[_Seam],
    around: Mapping[tuple[Section, int], Around],
    settings: Settings,
) -> SectionGuide:
    endings = sorted({min(found.ending, max(len(section.time_bars) - 1, 0)) for found in passes})
    placed = [_placed(form, section, ending, settings) for ending in endings]
    times = [timed_slots(each.bars, each.slots) for each in placed]
    key, first = placed[0].keys[0], times[0]
    lines = [form.lines[found.line] for found in passes]
    passages = []
    for ending, chords in zip(endings, times, strict=True):
        after = [seam.first for seam in seams if seam.ending == ending] or [chords[0].chord]
        told = _told(first, chords) if chords is not first else 0
        among = around.get((section, ending), ALONE)
        passages.append(Passage(chords, after[0], told, among))
    short = len(placed[0].bars) < LEAST_BARS and key == form.key
    harmony = form_harmony(form) if short else read_harmony(first, key, passages[0].around)
    distinct = tuple(dict.fromkeys(timed.chord for chords in times for timed in chords))
    sequence = tuple(timed.chord for timed in first)
    return SectionGuide(
        name=section.name,
        harmony=harmony,
        setting=placed[0].bars[0].setting,
        bars=len(placed[0].bars),
        played_in=_played_in(form, passes) if form.order else (),
        improvised=any(line.is_open for line in lines),
        pedals=tuple(dict.fromkeys(s.pedal for each in placed for s in each.slots if s.pedal)),
        sequence=sequence,
        lengths=tuple(timed.bars for timed in first),
        lines=guide_lines(sequence),
        endings=tuple(
            tuple(timed.chord for timed in passage.chords[passage.told :])
            for passage in passages[1:]
            if len(passage.chords) > passage.told
        ),
        choices=form_choices(harmony, distinct),
        chords=chord_guides(passages, harmony, distinct),
        changes=tuple(_changes(passages, seams)),
    )


def _played_in(form: Form, passes: Sequence[Pass]) -> tuple[str, ...]:
    """The lines that play a section in their order, those without a name together by number."""
    lines = dict.fromkeys(found.line for found in passes)
    numbers = [f"{line + 1}" for line in lines if not form.lines[line].name]
    way = "lines" if len(numbers) > 1 else "line"
    unnamed = said("road", f"lines.{way}", number="".join(numbers[:1]), numbers=listed(numbers))
    return tuple(dict.fromkeys(form.lines[line].name or unnamed for line in lines))


def _placed(form: Form, section: Section, ending: int, settings: Settings) -> PlacedRound:
    """A section with one of its time bars, in the key that it has where home is the form's key."""
    line = Line((Play(section, 0, section.bars_with(ending), ending),))
    return placed_round(form, line, form.key, form.tempo, form.key, settings)


def _told(first: tuple[object, ...], chords: tuple[object, ...]) -> int:
    """How many chords at the start of a section are the same with other time bars."""
    same = 0
    while same < min(len(first), len(chords)) and first[same] == chords[same]:
        same += 1
    return same


def _seams(form: Form, chart: Chart) -> dict[Section, list[_Seam]]:
    """The chords that each section leads to where the road is in the form's own key, each once."""
    at_home = [found for time in chart.rounds if time.key == form.key for found in time.passes]
    seams: dict[Section, list[_Seam]] = {}
    for here, there in pairwise(at_home):
        if here.last != there.first:
            continue
        last = chart.bars[here.last - 1].slots[-1]
        first = chart.bars[there.first].slots[0]
        if last.silent or first.silent:
            continue
        found = seams.setdefault(here.section, [])
        seam = _Seam(here.ending, last.chord, first.chord, there.section.name)
        if seam not in found:
            found.append(seam)
    return seams


def _around(form: Form, chart: Chart) -> dict[tuple[Section, int], Around]:
    """The chords around each section with each of its time bars, where the road first plays it in
    the form's own key: those of the section before and of the one that follows."""
    at_home = [found for time in chart.rounds if time.key == form.key for found in time.passes]
    found: dict[tuple[Section, int], Around] = {}
    for place, here in enumerate(at_home):
        before = at_home[place - 1] if place else None
        after = at_home[place + 1] if place + 1 < len(at_home) else None
        follows = before is not None and before.last == here.first
        leads = after is not None and here.last == after.first
        around = Around(
            _sounding(chart, before) if before and follows else (),
            _sounding(chart, after) if after and leads else (),
        )
        found.setdefault((here.section, here.ending), around)
    return found


def _sounding(chart: Chart, part: Pass) -> tuple[Chord, ...]:
    """The chords of a pass, one that goes on once."""
    slots = [slot for bar in chart.bars[part.first : part.last] for slot in bar.slots]
    chords = [slot.chord for slot in slots if not slot.silent]
    return tuple(chord for chord, _ in groupby(chords))


def _changes(passages: list[Passage], seams: list[_Seam]) -> Iterator[ChangeGuide]:
    """The changes inside a section, then those to what follows, each once."""
    said = set()
    for passage in passages:
        sequence = tuple(timed.chord for timed in passage.chords)
        for made in change_guides(sequence[:-1], sequence[1:], goes_round=False, key=""):
            pair = made.change.before, made.change.after
            if pair not in said:
                said.add(pair)
                yield made
    for seam in seams:
        pair = seam.last, seam.first
        if pair not in said and seam.last != seam.first:
            said.add(pair)
            (made,) = change_guides((seam.last,), (seam.first,), goes_round=False, key="")
            yield replace(made, onward=seam.onward)


def chords_once(sections: tuple[SectionGuide, ...]) -> tuple[ChordGuide, ...]:
    """The chords of all sections, each once with one answer; one with several has a place."""
    found: dict[tuple[Chord, str, object], list[tuple[str, ChordGuide]]] = {}
    for section in sections:
        for entry in section.chords:
            answer = tuple((c.title, c.avoid, c.tag) for c in entry.choices)
            place = entry.chord, entry.numeral, answer
            found.setdefault(place, []).append((section.name, entry))
    times = Counter(chord for chord, _, _ in found)
    distinct = tuple(dict.fromkeys(chord for chord, _, _ in found))
    guides = []
    for entries in found.values():
        name = entries[0][0]
        whole = told_together([entry for _, entry in entries], distinct)
        guides.append(replace(whole, place=name) if times[whole.chord] > 1 else whole)
    return tuple(guides)
