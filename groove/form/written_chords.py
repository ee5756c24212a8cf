"""The chords of one time round a line, in ticks, each section in its key."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate

from groove.form.chart import Slot
from groove.form.chordline import Span
from groove.form.choruses import moved_key
from groove.form.model import Form, Line, Own, Play, bars_of
from groove.form.road.directions import at_bar
from groove.form.setting import Setting, Settings, in_odd_bar
from groove.form.style import StyleError
from groove.rhythm.meter import Meter
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from groove.theory.quality import Quality, parse_quality
from groove.theory.roman import Numeral
from groove.theory.spelling import in_context


@dataclass(frozen=True, slots=True)
class PlacedBar:
    """A bar of a time round: its start and length in ticks, the play it belongs to, its setting.

    play: index in the line. in_section: bar of the section as played, from 1; written: as written.
    """

    start: int
    length: int
    play: int
    in_section: int
    written: int
    setting: Setting
    key: Key


@dataclass(frozen=True, slots=True)
class PlacedRound:
    """One time round a line, from tick 0: its bars, and its chords at their written places.

    keys: of each play.
    """

    bars: tuple[PlacedBar, ...]
    slots: tuple[Slot, ...]
    keys: tuple[Key, ...]

    @property
    def length(self) -> int:
        """Its ticks."""
        return self.bars[-1].start + self.bars[-1].length


def section_key(form: Form, own: Own, home: Key) -> tuple[Key, int]:
    """The key of a section where home is in a key, and how far the section's absolute symbols move
    on the line of fifths."""
    shift = home.tonic.fifths - form.written_key.tonic.fifths
    if "key" not in own:
        return home, shift
    written = Key.parse(own.get("key"))
    key = moved_key(written, shift)
    return key, key.tonic.fifths - written.tonic.fifths


def placed_round(
    form: Form, line: Line, home: Key, tempo: float, coming: Key, settings: Settings
) -> PlacedRound:
    """One time round a line.

    home: home's key in it. tempo: in home's beats a minute. coming: the key of what follows.
    Raises StyleError where bar 2 can't take the IV.
    """
    bars: list[PlacedBar] = []
    slots: list[Slot] = []
    keys = [section_key(form, play.section.own, home) for play in line.plays]
    before: Chord | None = None
    for index, play in enumerate(line.plays):
        own = play.section.own
        key, shift = keys[index]
        setting = settings.of(line.own, own, tempo)
        at = bars[-1].start + bars[-1].length if bars else 0
        first = len(bars)
        placed = _placed(play, setting, key, shift, before)
        for number, (start, length, meter) in enumerate(placed.bars):
            bars.append(
                PlacedBar(at + start, length, index, number + 1, play.first + number + 1,
                          in_odd_bar(setting, meter), key)
            )  # fmt: skip
        fresh = [replace(slot, start=slot.start + at) for slot in placed.slots]
        fresh = _with_pedal(fresh, bars[first:], own, line.own, shift, first)
        if own.get("quick_change") and _from_top(play):
            fresh = _with_quick_change(fresh, key.tonic, [bar.start for bar in bars[first:]], at)
        if own.get("turnaround") and _to_end(play):
            onward = keys[index + 1] if index + 1 < len(keys) else _onward(form, coming)
            fresh = _with_turnaround(fresh, own.get("turnaround"), bars[first:], onward, setting)
        slots += fresh
        before = slots[-1].chord
    if _asked("quick_change", form, line) and _from_top(line.plays[0]):
        slots = _with_quick_change(slots, keys[0][0].tonic, [bar.start for bar in bars], 0)
    turn = _asked("turnaround", form, line)
    last = line.plays[-1]
    if turn and "turnaround" not in last.section.own and _to_end(last):
        slots = _with_turnaround(slots, turn, bars, _onward(form, coming), setting)
    seams = {
        bar.start
        for bar, earlier in zip(bars[1:], bars, strict=False)
        if bar.key != earlier.key or bar.setting.drums is not earlier.setting.drums
    } if form.order else set()  # fmt: skip
    spelled = _spelled(form, home)
    slots = [replace(s, chord=spelled[s.chord]) if s.chord in spelled else s for s in slots]
    return PlacedRound(tuple(bars), tuple(merged(slots, seams)), tuple(key for key, _ in keys))


def _spelled(form: Form, home: Key) -> dict[Chord, Chord]:
    """The chords of a form that are spelled to suit their neighbours where home is in a key.

    An absolute symbol that is not moved stays as it was written.
    """
    line: list[tuple[Chord, Key]] = []
    for section in form.sections:
        key, shift = section_key(form, section.own, home)
        spans = [span for span in section.all_spans if shift or isinstance(span.written, Numeral)]
        line += [(chord, key) for span in spans if (chord := span.chord(key, shift))]
    return in_context(line)


def _from_top(play: Play) -> bool:
    """True if a play has the first two bars of its section, or all of a shorter one."""
    return play.first == 0 and play.last >= min(2, play.section.bars_with(play.ending))


def _to_end(play: Play) -> bool:
    """True if a play goes to the end of its section."""
    return play.last == play.section.bars_with(play.ending)


def _onward(form: Form, key: Key) -> tuple[Key, int]:
    """A key that follows, and how far absolute symbols move to it."""
    return key, key.tonic.fifths - form.written_key.tonic.fifths


def _asked(field: str, form: Form, line: Line) -> object:
    """A field of the line, or of the whole form."""
    if field in line.own:
        return line.own.get(field)
    return getattr(form, field)


def chorus_slots(form: Form, coming: Form | None = None) -> tuple[Slot, ...]:
    """The chords of one chorus from tick 0 at their written places, quick change and turnaround
    applied; with an order, of all sections as they stand in the file.

    coming: the form as it is in the chorus that the turnaround leads to, if it differs. A chord
    that goes on is one slot, unless it is pushed. Raises StyleError where bar 2 can't take the IV.
    """
    return written_round(form, coming).slots


def written_round(form: Form, coming: Form | None = None) -> PlacedRound:
    """One chorus from tick 0; with an order, all sections as they stand in the file."""
    line = Line(form.all_sections)
    to = (coming or form).key
    return placed_round(form, line, form.key, form.tempo, to, Settings(form))


@dataclass(frozen=True, slots=True)
class _Placed:
    bars: list[tuple[int, int, Meter]]
    slots: list[Slot]


def _placed(play: Play, setting: Setting, key: Key, shift: int, before: Chord | None) -> _Placed:
    """The bars and the chords of a play from tick 0; where none is to sound, the one before goes
    on in silence."""
    spans = play.section.spans_with(play.ending)
    meters = bar_meters(spans, setting.meter)
    starts = list(accumulate((meter.bar_ticks for meter in meters), initial=0))

    def tick(place: Fraction) -> int:
        bar = int(place)
        return starts[bar] + (int((place - bar) * meters[bar].bar_ticks) if place != bar else 0)

    push = setting.drums.grid.push_ticks
    begin, end = starts[play.first], starts[play.last]
    slots: list[Slot] = []
    place = Fraction(0)
    chord = before
    for span in spans:
        here, place = tick(place), place + span.bars
        found = span.chord(key, shift)
        chord = found or chord or Chord(key.tonic, parse_quality(""))
        there = min(tick(place), end)
        if there <= begin or here >= end:
            continue
        early = push if span.push and here >= begin else 0
        start = max(here, begin)
        slots.append(
            Slot(start - begin, there - start, chord, early, found is None, span.root_only)
        )
    bars = [
        (starts[bar] - begin, meters[bar].bar_ticks, meters[bar])
        for bar in range(play.first, play.last)
    ]
    return _Placed(bars, slots)


def bar_meters(spans: Sequence[Span], meter: Meter) -> list[Meter]:
    """The metre of each bar that some chords fill: its own where it has one."""
    meters = [meter] * bars_of(spans)
    place = Fraction(0)
    for span in spans:
        if span.meter:
            meters[int(place)] = span.meter
        place += span.bars
    return meters


def merged(slots: list[Slot], seams: set[int]) -> list[Slot]:
    """The chords, one that goes on as one slot; at a seam it is struck anew."""
    found: list[Slot] = []
    for slot in slots:
        last = found[-1] if found else None
        if (
            last
            and not slot.early
            and slot.start not in seams
            and (last.chord, last.silent, last.root_only, last.pedal)
            == (slot.chord, slot.silent, slot.root_only, slot.pedal)
        ):
            found[-1] = replace(last, length=slot.end - last.start)
        else:
            found.append(slot)
    return found


def _with_pedal(
    slots: list[Slot],
    bars: list[PlacedBar],
    own: Own,
    line: Own,
    shift: int,
    first: int,
) -> list[Slot]:
    """The chords of a play, each over the pedal note of its bar; cut where one begins or ends."""
    notes: list[NoteName | None] = []
    for number, bar in enumerate(bars):
        found = at_bar(line.get("pedal", ()), first + number + 1) if "pedal" in line else (
            at_bar(own.get("pedal", ()), bar.written)
        )  # fmt: skip
        notes.append(NoteName(found.value.fifths + _near(shift)) if found else None)
    if not any(notes):
        return slots
    lines = [bar.start for bar in bars]
    kept: list[Slot] = []
    for slot in slots:
        start = slot.start
        while start < slot.end:
            place = bisect_right(lines, start) - 1
            end = slot.end
            for later in range(place + 1, len(lines)):
                if notes[later] != notes[place]:
                    end = min(end, lines[later])
                    break
            early = slot.early if start == slot.start else 0
            kept.append(
                replace(slot, start=start, length=end - start, early=early, pedal=notes[place])
            )
            start = end
    return kept


def _near(shift: int) -> int:
    """A move on the line of fifths, at most six steps."""
    return (shift + 6) % 12 - 6


def _with_quick_change(slots: list[Slot], tonic: NoteName, lines: list[int], at: int) -> list[Slot]:
    """Bar 2 on the IV, where bars 1 and 2 were on the tonic chord. at: the first bar's start."""
    first = slots[0]
    four = first.chord.transposed(-1)
    at_home = first.chord.root == tonic
    one, two = (lines[n] if n < len(lines) else slots[-1].end for n in (1, 2))
    if at_home and first.end == one and len(slots) > 1 and slots[1].chord.root == four.root:
        return slots
    through = [slot for slot in slots if slot.start < two]
    if not at_home or len(lines) < 2 or any(not _same(slot, first) for slot in through):
        raise StyleError(
            "quick_change", f"needs the tonic chord through bars 1 and 2; bar 1 has {first.chord}"
        )
    rest = [
        slot if slot.start >= two else replace(slot, start=two, length=slot.end - two, early=0)
        for slot in slots
        if slot.end > two
    ]
    return [
        replace(first, length=one - at),
        replace(first, start=one, length=two - one, chord=four),
        *rest,
    ]


def _same(slot: Slot, other: Slot) -> bool:
    return replace(slot, start=0, length=0) == replace(other, start=0, length=0)


def _with_turnaround(
    slots: list[Slot],
    turn: object,
    bars: list[PlacedBar],
    onward: tuple[Key, int],
    setting: Setting,
) -> list[Slot]:
    """The chords of a play with its last ones replaced, in the key of what follows."""
    spans = turnaround_spans(turn)
    total = sum((span.bars for span in spans), Fraction(0))
    starts = [bar.start for bar in bars]
    end = bars[-1].start + bars[-1].length

    def tick(left: Fraction) -> int:
        """The tick so many bars before the end."""
        whole = -(-left.numerator // left.denominator)
        bar = bars[max(0, len(bars) - whole)]
        return starts[max(0, len(bars) - whole)] + int((whole - left) * bar.length)

    at = tick(total) if total else end
    kept = [
        slot if slot.end <= at else replace(slot, length=at - slot.start)
        for slot in slots
        if slot.start < at
    ]
    key, shift = onward
    left = total
    chord = kept[-1].chord if kept else Chord(key.tonic, parse_quality(""))
    push = setting.drums.grid.push_ticks
    for span in spans:
        start, left = tick(left), left - span.bars
        there = tick(left) if left else end
        found = span.chord(key, shift)
        chord = found or chord
        early = push if span.push else 0
        kept.append(Slot(start, there - start, chord, early, found is None, span.root_only))
    return kept


def turnaround_spans(turn: object) -> tuple[Span, ...]:
    """The chords of a turnaround; V7 where only ``true`` is said."""
    if isinstance(turn, tuple):
        return turn
    from groove.form.chordline import parse_chords

    return parse_chords("V7")


def home_chord(form: Form) -> Chord:
    """The chord that the track comes to rest on, in the form's key.

    Where a chorus ends at home already, that is its last chord: Dm6 after Dm6. Else it is the
    first one on the tonic, else the triad.
    """
    spans = [
        (span, *section_key(form, section.own, form.key))
        for section in form.sections
        for span in section.all_spans
    ]
    chords = [span.chord(key, moved) for span, key, moved in spans if key == form.key]
    return resting_chord(form.key, [c for c in chords if c], chorus_slots(form)[-1].chord)


def resting_chord(key: Key, chords: Sequence[Chord], last: Chord) -> Chord:
    """The chord to rest on in a key after a last chord; chords: those in that key."""
    at_home = [chord for chord in chords if chord.root == key.tonic]
    if not at_home:
        return Chord(key.tonic, parse_quality("m" if key.mode == "minor" else ""))
    first = at_home[0].quality
    if last.root == key.tonic and _can_end(last.quality, first):
        return Chord(last.root, last.quality)
    return Chord(key.tonic, first)


def _can_end(quality: Quality, first: Quality) -> bool:
    """True if a chord on the tonic is one to rest on, where the form began at home on another:
    with the same third, and no seventh that leads on unless home had it."""
    same = quality.of_step(3) is not None and quality.of_step(3) == first.of_step(3)
    leads = quality.is_dominant and not first.is_dominant
    return same and not leads and quality.of_step(5) == first.of_step(5)
