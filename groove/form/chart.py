"""The chart: the road of a form, bar by bar, with the chords that sound in it."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from dataclasses import dataclass
from functools import cached_property

from groove.form.model import Form, Section
from groove.form.setting import Setting
from groove.rhythm.meter import Meter, TempoMap
from groove.rhythm.note_line import Riff
from groove.rhythm.patterns import BassPattern, CompingPattern, DrumPattern
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName

NOBODY: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Slot:
    """A chord over a stretch of time, in ticks from the start of the track.

    early: ticks by which it sounds before its written place. silent: whether it is written N.C.:
    then bass and comping are silent, and ``chord`` is the one before. root_only: whether its
    root alone is played. pedal: the note that the bass holds under it.
    """

    start: int
    length: int
    chord: Chord
    early: int = 0
    silent: bool = False
    root_only: bool = False
    pedal: NoteName | None = None

    @property
    def end(self) -> int:
        """The tick at which it ends."""
        return self.start + self.length

    @property
    def written_start(self) -> int:
        """The tick at which the chord is written; ``start`` is the one at which it sounds."""
        return self.start + self.early

    @property
    def lowest(self) -> NoteName:
        """The note that the bass has under it."""
        return self.pedal or self.chord.lowest


@dataclass(frozen=True, slots=True)
class FigureStroke:
    """A stroke of a figure: start and length in ticks, and whether it is an accent.

    row, mark, octave: as in box notation, where it is a player's own stroke; else empty.
    """

    start: int
    length: int
    accent: bool
    row: str = ""
    mark: str = ""
    octave: int = 0

    @property
    def end(self) -> int:
        """The tick at which it ends."""
        return self.start + self.length


@dataclass(frozen=True, slots=True)
class Figure:
    """Strokes that the whole band plays together, in ticks.

    start, end: the stretch that they belong to. alone: whether nothing else is played in it (stops,
    a fermata); else they are struck within time (kicks). own: the strokes of players, drums, bass
    or comping, who strike something else in it, and nothing but that.
    """

    start: int
    end: int
    strokes: tuple[FigureStroke, ...]
    alone: bool
    own: tuple[tuple[str, tuple[FigureStroke, ...]], ...] = ()

    def of(self, player: str) -> tuple[FigureStroke, ...]:
        """The strokes of a player."""
        return next((strokes for name, strokes in self.own if name == player), self.strokes)

    def leaves_out(self, player: str, *, keeps_time: bool) -> bool:
        """True if a player plays nothing but the figure in it."""
        own = any(name == player for name, _ in self.own)
        return self.alone or own or (bool(self.strokes) and not keeps_time)


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar of the track.

    round: the time round a line that it lies in, counted from 0. number: of the bar in that time,
    from 1, and 0 for a bar of an added ending. road: of the bar in the whole road, from 1.
    in_section: of the bar in its section, as played, from 1. turn: ``"chorus"`` in the last bar of
    a time round, ``"phrase"`` in another bar that ends four bars or a section, else empty. top:
    whether a chorus begins here. In forms under eight bars a chorus counts as such only where eight
    bars or more have gone by. intensity: 1 (behind a quiet soloist) to 3 (flat out). loudness: in
    steps from mf, None where it follows the intensity. pair: counts bars for cells of two bars.
    figure: kicks or stops. held: the tick from which a fermata holds the last chord. out: players
    who are silent. drums_alone: whether the drums trade. words: cues.
    """

    start: int
    length: int
    round: int
    number: int
    section: str
    turn: str
    top: bool
    intensity: float
    slots: tuple[Slot, ...]
    setting: Setting
    key: Key
    road: int
    in_section: int
    pair: int
    loudness: float | None = None
    figure: Figure | None = None
    held: int | None = None
    out: frozenset[str] = NOBODY
    drums_alone: bool = False
    words: tuple[str, ...] = ()

    @property
    def end(self) -> int:
        """The tick at which it ends."""
        return self.start + self.length

    @property
    def meter(self) -> Meter:
        """Its metre."""
        return self.setting.meter

    @property
    def drums(self) -> DrumPattern:
        """The drum pattern that is played."""
        return self.setting.drums

    @property
    def bass(self) -> BassPattern:
        """The bass pattern that is played."""
        return self.setting.bass

    @property
    def comping(self) -> tuple[CompingPattern, ...]:
        """The comping patterns that are played, one or two."""
        return self.setting.comping


@dataclass(frozen=True, slots=True)
class Pass:
    """A section, or a part of one, played once.

    ending: its time bars, from 0. line, time, place: of the order, all from 0; of: how many times
    the line is played. name: of the line. start, end: in ticks. first, last: its bars in the
    chart, the last not included. melody: of the section as it is written. riff: the one played.
    """

    section: Section
    ending: int
    line: int
    time: int
    of: int
    place: int
    name: str
    start: int
    end: int
    first: int
    last: int
    key: Key
    lyrics: str = ""
    melody: Riff | None = None
    riff: Riff | None = None

    @property
    def letter(self) -> str:
        """The rehearsal letter, empty without one."""
        return str(self.section.own.get("letter", ""))

    @property
    def marker(self) -> str:
        """``solos 2 of 3: B``, or ``B`` in a line without a name."""
        times = f" {self.time + 1} of {self.of}" if self.of > 1 else ""
        line = f"{self.name}{times}" if self.name else ""
        return ": ".join(word for word in (line, self.section.name) if word)


@dataclass(frozen=True, slots=True)
class Round:
    """One time round a line of the order; without an order, a chorus.

    start, end: in ticks. key, tempo, swing_ratio: of home in it. line, time: from 0. first, last:
    its bars in the chart, the last not included. passes: the sections that are played.
    """

    start: int
    end: int
    key: Key
    tempo: float
    swing_ratio: float
    line: int
    time: int
    first: int
    last: int
    passes: tuple[Pass, ...]


@dataclass(frozen=True)
class Chart:
    """The whole track: bars of count-in, the bars of the road, those of the ending.

    bars: every bar of the road, and the added ending's, chords at their written places.
    changes: the chords in order, where they sound and each as long as it lasts; the same chord is
    struck anew at the top of a chorus. rounds: each time round each line. tempi: the course of the
    tempo. figures: kicks, stops and fermatas in order. loops: whether the track is repeated
    without a seam.
    """

    form: Form
    bars: tuple[Bar, ...]
    changes: tuple[Slot, ...]
    rounds: tuple[Round, ...]
    tempi: TempoMap
    figures: tuple[Figure, ...] = ()

    @property
    def start(self) -> int:
        """The tick at which the count-in ends and the first bar begins."""
        return self.bars[0].start

    @property
    def count_in(self) -> int:
        """The tick at which the tuning note ends and the count-in begins."""
        return self.start - self.form.count_in * self.bars[0].meter.bar_ticks

    @property
    def end(self) -> int:
        """The tick at which the last bar ends."""
        return self.bars[-1].end

    @property
    def ending(self) -> tuple[Bar, ...]:
        """The bars that were added to end on."""
        return self.bars[self.rounds[-1].last :]

    @property
    def loops(self) -> bool:
        """Whether the track ends so that it can be repeated."""
        return self.form.ending == "loop"

    @property
    def passes(self) -> tuple[Pass, ...]:
        """The sections in the order of play."""
        return tuple(found for time in self.rounds for found in time.passes)

    def bars_of(self, played: Pass) -> tuple[Bar, ...]:
        """The bars of a pass."""
        return self.bars[played.first : played.last]

    def usual_meter(self, played: Pass) -> Meter:
        """The metre that most bars of a pass have."""
        return Counter(bar.meter for bar in self.bars_of(played)).most_common(1)[0][0]

    def seconds(self, tick: float) -> float:
        """The seconds from the start of the track to a tick, as the tempo goes."""
        return self.tempi.seconds(tick)

    def bar_at(self, tick: int) -> Bar:
        """The bar that a time lies in; the first before it begins, the last when it is over."""
        bar = self._last[0]
        if not bar.start <= tick < bar.start + bar.length:
            bar = self._last[0] = self.bars[max(0, bisect_right(self._starts, tick) - 1)]
        return bar

    @cached_property
    def _last(self) -> list[Bar]:
        """The bar that was asked for last: players ask for the same one many times."""
        return [self.bars[0]]

    @cached_property
    def _starts(self) -> list[int]:
        return [bar.start for bar in self.bars]

    def key_at(self, tick: int) -> Key:
        """The key at a time."""
        return self.bar_at(tick).key

    def into_beat(self, tick: int) -> int:
        """Ticks from the felt beat before a time to that time."""
        bar = self.bar_at(tick)
        return bar.meter.beat_at(tick - bar.start)[1]


def cut(slots: list[Slot], lines: list[int]) -> list[tuple[Slot, ...]]:
    """The slots cut at the bar lines, one tuple a bar; lines: in ticks, the last bar's end too."""
    found: list[list[Slot]] = [[] for _ in lines[1:]]
    index = 0
    for slot in slots:
        start = slot.start
        while lines[index + 1] <= start:
            index += 1
        place = index
        while start < slot.end:
            end = min(slot.end, lines[place + 1])
            found[place].append(
                Slot(start, end - start, slot.chord, slot.early if start == slot.start else 0,
                     slot.silent, slot.root_only, slot.pedal)
            )  # fmt: skip
            start, place = end, place + 1
    return [tuple(bar) for bar in found]


def by_bar(slots: list[Slot], offset: int, bars: int, bar_ticks: int) -> list[tuple[Slot, ...]]:
    """The slots cut at the lines of equal bars. offset: where the first begins, in ticks."""
    return cut(slots, [offset + bar * bar_ticks for bar in range(bars + 1)])
