"""The chord chart as it is written: one chorus with repeat signs, and the end of the track.

The track repeats its chorus and, unless it is a loop, comes to rest in one bar more. Written,
that is a repeated chorus and the bar to finish. Where the turnaround leads to another key, the
last time is another ending: the turnaround stands under a bracket for all times but the last.
Where keys or tempo change from chorus to chorus, the first is written as it is played, the last
ending in the key of the last, and words say how it goes on. Of a short form the other keys are
written out below.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from groove.form.chart import Slot, by_bar
from groove.form.chorus_words import course_words
from groove.form.choruses import in_chorus
from groove.form.harmony import key_in_words
from groove.form.model import Form
from groove.form.readers import READERS, Reader
from groove.form.words import _swings_sixteenths, feel_words
from groove.form.written_chords import chorus_slots, home_chord
from groove.handout.chart.rhythm import Note
from groove.rhythm.meter import Meter
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.symbols import Symbol, marked, numeral, signs, symbol

LINE = 4  # bars
FULL_PAGE = 13  # lines; above that sections follow each other on one line
SHORT = 8  # bars: forms up to that are written out in every key of a cycle


@dataclass(frozen=True, slots=True)
class WrittenChord:
    """A chord in a bar: where it begins and how long it lasts, in ticks, and its numeral.

    early: ticks by which it comes before its place; tied: whether a tied note shows that. silent,
    root_only: whether it is N.C., or has its root alone.
    """

    start: int
    length: int
    chord: Chord
    numeral: str
    early: int = 0
    silent: bool = False
    root_only: bool = False
    tied: bool = False

    @property
    def shown(self) -> Symbol:
        """The symbol with the marks of the form's notation."""
        return marked(
            symbol(self.chord),
            pushed=self.early > 0,
            silent=self.silent,
            root_only=self.root_only,
        )

    @property
    def drawn(self) -> Symbol:
        """The symbol beside the tied note that shows when it comes, if there is one."""
        return replace(self, early=0).shown if self.tied else self.shown


@dataclass(frozen=True, slots=True)
class Change:
    """The changes that a bar begins with; what goes on as before is left out.

    meter: whether the bar's time signature stands there. key: as the reader sees it. tempo: felt
    beats a minute. beat: the old and the new note value that are equally long, in ticks. feel: in
    words, with its swing_ratio and swing_type.
    """

    meter: bool = False
    key: Key | None = None
    tempo: float | None = None
    beat: tuple[int, int] | None = None
    feel: str = ""
    swing_ratio: float = 1.0
    swing_type: str = "eighth"


NO_CHANGE = Change()


@dataclass(frozen=True, slots=True)
class WrittenBar:
    """One bar as written.

    section: the name of the section that begins here, else empty. same: whether it is played
    like the bar before and just the simile sign stands in it. opens, closes: a repeat sign at
    its left or right; times: how often the repeat that closes here is played, 1 where brackets
    say it. bracket: the numbers of the times of an ending that begins here, ``"1.–3."``;
    in_bracket: whether the bar stands under one. last: whether the piece ends with it. rest: the
    bar after the last chorus, held (``"ring"``) or struck once (``"hit"``), else empty.

    number: of the bar as it is first played; 0 where bars are not counted. letter: for rehearsal.
    segno, coda: signs at its left. to_coda: whether the last time goes from its end to the coda.
    jump: words at its right, ``"D.S. al Coda"``. words: cues, who plays, each on its own. rhythm:
    cue notes above the slashes; with stops they stand in their place. fermata: the tick of the bar
    that is held. dynamic, dynamic_after: signs at its beginning and end, ``"mf"``. hairpin:
    ``"<"`` or ``">"`` in each bar that it goes through. pedal, rit: words with a line that goes on
    through all bars that have them. lyrics: rows of text from here on.
    """

    chords: tuple[WrittenChord, ...]
    meter: Meter
    section: str = ""
    same: bool = False
    opens: bool = False
    closes: bool = False
    times: int = 1
    bracket: str = ""
    in_bracket: bool = False
    ends_section: bool = False
    last: bool = False
    rest: str = ""
    number: int = 0
    letter: str = ""
    change: Change = NO_CHANGE
    segno: bool = False
    coda: bool = False
    to_coda: bool = False
    jump: str = ""
    words: tuple[str, ...] = ()
    rhythm: tuple[Note, ...] = ()
    stops: bool = False
    fermata: int | None = None
    dynamic: str = ""
    dynamic_after: str = ""
    hairpin: str = ""
    pedal: str = ""
    rit: str = ""
    lyrics: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KeyRow:
    """The form in another key of a cycle: the key's symbol, and lines of up to four bars."""

    key: str
    lines: tuple[tuple[WrittenBar, ...], ...]


@dataclass(frozen=True, slots=True)
class WrittenChart:
    """A chart for one reader: the words of its head, and its lines of up to four bars.

    key: as the reader sees it; home: the same as a musician says it. feel: in words. swing_type:
    the note that swings, ``"eighth"`` or ``"16th"``. course: sentences on the changes from
    chorus to chorus. others: a short form in the keys that follow, in their order.
    """

    title: str
    key: Key
    home: str
    sounding_key: Key
    meter: Meter
    tempo: float
    feel: str
    swing_ratio: float
    swing_type: str
    choruses: int
    reader: Reader
    lines: tuple[tuple[WrittenBar, ...], ...]
    course: tuple[str, ...] = ()
    others: tuple[KeyRow, ...] = ()

    @property
    def bars(self) -> tuple[WrittenBar, ...]:
        """The bars of all lines, in order."""
        return tuple(bar for line in self.lines for bar in line)


def write_chart(form: Form, reader: Reader = READERS["concert"]) -> WrittenChart:
    """The written chart of a form for a reader."""
    seen = [reader.form(in_chorus(form, number)) for number in range(form.choruses)]
    return WrittenChart(
        title=form.title,
        key=seen[0].key,
        home=key_in_words(seen[0]),
        sounding_key=form.key,
        meter=form.meter,
        tempo=form.tempo,
        feel=feel_words(form),
        swing_ratio=form.swing_ratio,
        swing_type="16th" if _swings_sixteenths(form) else "eighth",
        choruses=form.choruses,
        reader=reader,
        lines=_lines(_written(seen)),
        course=(*course_words(form, reader), *_mark_words(form)),
        others=_in_other_keys(seen) if form.bars <= SHORT else (),
    )


def _mark_words(form: Form) -> tuple[str, ...]:
    """The meaning of the marks at chords, for those that the form has."""
    slots = chorus_slots(form)
    said = {
        "~ or a tied eighth before a chord: it comes an eighth early.": any(
            slot.early for slot in slots
        ),
        "* after a chord: the root alone.": any(slot.root_only for slot in slots),
        "N.C.: no chord, the drums go on.": any(slot.silent for slot in slots),
    }
    return tuple(words for words, here in said.items() if here)


def _written(seen: list[Form]) -> list[WrittenBar]:
    """The bars from the top to the end of the piece, with their signs.

    seen: the form as it is in each chorus.
    """
    form, last = seen[0], seen[-1]
    chorus = _chorus(form, seen[1] if len(seen) > 1 else form)
    times = form.choruses
    rest = []
    if form.ending == "loop":
        chorus[-1] = replace(chorus[-1], last=True)
    else:
        held = WrittenChord(0, form.meter.bar_ticks, home_chord(last), "")
        held = replace(held, numeral=numeral(held.chord, last.key))
        rest = [WrittenBar((held,), form.meter, rest=form.ending, last=True)]
    if times == 1:
        return chorus + rest
    chorus[0] = replace(chorus[0], opens=True)
    turn = -(-sum(span.bars for span in form.turnaround) // 1) if form.turnaround else 0
    final = _chorus(last, last)[-turn:]
    goes_elsewhere = [bar.chords for bar in final] != [bar.chords for bar in chorus[-turn:]]
    if turn and rest and goes_elsewhere:
        first = [replace(bar, in_bracket=True) for bar in chorus[-turn:]]
        numbers = "1." if times == 2 else f"1.–{times - 1}."
        once = [
            replace(bar, in_bracket=True, ends_section=False, section="", opens=False)
            for bar in final
        ]
        first[0] = replace(first[0], bracket=numbers)
        first[-1] = replace(first[-1], closes=True)
        once[0] = replace(once[0], bracket=f"{times}.")
        rest = [replace(bar, in_bracket=True) for bar in rest]
        return chorus[:-turn] + first + once + rest
    chorus[-1] = replace(chorus[-1], closes=True, times=times)
    return chorus + rest


def _in_other_keys(seen: list[Form]) -> tuple[KeyRow, ...]:
    """The bars of each chorus in a key that has not been before, as they are played."""
    rows: dict[Key, KeyRow] = {}
    for here, coming in pairwise([*seen[1:], seen[-1]]):
        if here.key not in rows and here.key != seen[0].key:
            bars = [
                replace(b, section="", ends_section=False, number=0) for b in _chorus(here, coming)
            ]
            lines = (_with_similes(line) for line in _broken(bars, at_sections=False))
            rows[here.key] = KeyRow(signs(here.key.symbol), tuple(lines))
    return tuple(rows.values())


def _chorus(form: Form, coming: Form) -> list[WrittenBar]:
    """The bars of a chorus. coming: the form in the chorus that the turnaround leads to."""
    ticks = form.meter.bar_ticks
    cut = by_bar(list(chorus_slots(form, coming)), 0, form.bars, ticks)
    turn = form.bars - sum(span.bars for span in form.turnaround)
    written = [
        _bar(slots, number, form.meter, coming.key if number >= turn else form.key)
        for number, slots in enumerate(cut)
    ]
    start = 0
    for section in form.sections:
        end = start + section.bars
        written[start] = replace(written[start], section=section.name)
        if len(form.sections) > 1:
            written[end - 1] = replace(written[end - 1], ends_section=True)
        start = end
    return written


def _bar(slots: tuple[Slot, ...], number: int, meter: Meter, key: Key) -> WrittenBar:
    start = number * meter.bar_ticks
    return WrittenBar(
        tuple(
            WrittenChord(
                slot.start - start,
                slot.length,
                slot.chord,
                "" if slot.silent else numeral(slot.chord, key),
                slot.early,
                slot.silent,
                slot.root_only,
            )
            for slot in slots
        ),
        meter,
        number=number + 1,
    )


def chorus_lines(form: Form) -> tuple[tuple[WrittenBar, ...], ...]:
    """One chorus in the lines of the written chart, each bar with its chords, without repeats."""
    return tuple(map(tuple, _in_lines(_chorus(form, form))))


def _lines(bars: list[WrittenBar]) -> tuple[tuple[WrittenBar, ...], ...]:
    return tuple(_with_similes(line) for line in _in_lines(bars))


def _in_lines(bars: list[WrittenBar]) -> list[list[WrittenBar]]:
    """Lines of four bars: a section begins a line, unless that would fill more than a page."""
    lines = _broken(bars, at_sections=True)
    if len(lines) > FULL_PAGE:
        lines = min(
            lines, _broken(bars, at_sections=False), key=lambda way: -(-len(way) // FULL_PAGE)
        )
    return lines


def _broken(bars: list[WrittenBar], *, at_sections: bool) -> list[list[WrittenBar]]:
    parts: list[list[WrittenBar]] = []
    before: WrittenBar | None = None
    for bar in bars:
        new_ending = bool(bar.bracket) and before is not None and before.closes
        if not parts or new_ending or (at_sections and before is not None and before.ends_section):
            parts.append([])
        parts[-1].append(bar)
        before = bar
    return [part[at : at + LINE] for part in parts for at in range(0, len(part), LINE)]


def _with_similes(line: list[WrittenBar]) -> tuple[WrittenBar, ...]:
    """The line with a simile sign for each bar like the one before it, its first bar written."""
    written = line[:1]
    for before, bar in pairwise(line):
        played = bar.rhythm or bar.stops or before.rhythm or before.stops
        fresh = _begins(bar) or bar.rest or before.closes or played or bar.fermata is not None
        same = not fresh and bar.chords == before.chords
        written.append(replace(bar, same=same))
    return tuple(written)


def _begins(bar: WrittenBar) -> bool:
    """True if something begins with a bar."""
    signs = bar.section or bar.letter or bar.bracket or bar.opens or bar.segno or bar.coda
    return bool(signs) or bar.change != NO_CHANGE
