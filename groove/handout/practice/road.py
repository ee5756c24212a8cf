"""The road of an arrangement for the practice page: bars, metres, tempi, keys, words and chords.

Bars are counted from 0. Ticks are counted from the first bar of the road, keys from home, tempi as
shares of home's.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from groove.form.chart import NOBODY, Bar, Chart, Pass, Round, Slot
from groove.form.chordline import Span
from groove.form.model import FASTEST, NOTHING, SLOWEST, Form, Line, Section
from groove.form.setting import Setting, Settings
from groove.handout.practice.machines import backbeats
from groove.rhythm.meter import Meter
from groove.theory.chords import Chord
from groove.theory.spelling import respelled
from groove.theory.symbols import listed
from groove.wording import said, title_of, words_of

BEATS = {960: "quarter", 1440: "dotted quarter", 1920: "half"}
"""The beats that a tempo counts, by their ticks."""

Json = dict[str, Any]
Written = tuple[int, int, Chord, str, int]
"""A chord as written: start and length in ticks, the chord as in home's key, its mark, and the
semitones from home to the key in which it is played."""


BENDING = ("rit", "fermata", "kicks", "stops", "tacet", "cue", "pulse")
"""The fields of a whole form for which its bars are not alike."""


def on_a_road(form: Form) -> Form | None:
    """The form with its order; without one, but with bars that are not alike, as one open line.

    None where its bars are alike and it goes round.
    """
    if form.order:
        return form
    alike = not any(field in form.own for field in BENDING) and not any(
        section.own.fields or any(span.meter for span in section.all_spans)
        for section in form.sections
    )
    if alike:
        return None
    line = Line(form.all_sections, form.choruses, is_open=True)
    return replace(form, order=(line,), key_cycle="none", tempo_step=0.0)


class Road:
    """The road of a form, as the page needs it.

    form: with an order. players: the names of the take's parts. step: beats a minute from one
    entry of the swing tables to the next.
    """

    def __init__(self, form: Form, chart: Chart, players: Sequence[str], step: int) -> None:
        self.form, self.chart, self.players = form, chart, players
        self.tempi = range(SLOWEST, FASTEST + 1, step)
        self.at_tempi = [Settings(replace(form, tempo=float(tempo))) for tempo in self.tempi]
        self.bars = [bar for bar in chart.bars if bar.number]
        self.passes = [(time, played) for time in chart.rounds for played in time.passes]
        self.chords: dict[tuple[int, str, int | None], Chord] = {}
        """The different chords of the road in order, by what they are from home."""
        for time, played in self.passes:
            for bar in chart.bars[played.first : played.last]:
                for slot in bar.slots:
                    moved = slot.chord.transposed(-_moved(form, time))
                    spelled = respelled(moved, form.key) if _moved(form, time) else slot.chord
                    self.chords.setdefault(_from_home(slot.chord, time), spelled)

    def written_out(self) -> Form:
        """The form without an order in which each different section of the road stands once, for
        the guide; its chords are those of `chords`, in the same order."""
        sections: dict[tuple[Span, ...], Section] = {}
        for time, played in self.passes:
            spans = tuple(
                Span(self.chords[_from_home(slot.chord, time)], Fraction(slot.length, bar.length))
                for bar in self.bars[played.first : played.last]
                for slot in bar.slots
            )
            sections.setdefault(spans, Section(played.section.name, spans))
        return replace(
            self.form, sections=tuple(sections.values()), order=(), written_key=self.form.key,
            own=NOTHING, quick_change=False, turnaround=(), pickup=(), intensity=(),
        )  # fmt: skip

    def slots(self) -> Iterator[Written]:
        """Each chord where it is written; one that goes on over a bar line is one."""
        for time, played in self.passes:
            moved = self.moved(time)
            last: Written | None = None
            for bar in self.bars[played.first : played.last]:
                for slot in bar.slots:
                    chord, mark = self.chords[_from_home(slot.chord, time)], mark_of(slot)
                    if last and last[2:4] == (chord, mark) and not slot.early:
                        last = last[0], last[1] + slot.length, *last[2:]
                        continue
                    if last:
                        yield last
                    last = slot.start - self.chart.start, slot.length, chord, mark, moved
            if last:
                yield last

    def moved(self, time: Round) -> int:
        """The semitones from home up to the key of a time round."""
        return _moved(self.form, time) * 7 % 12

    def data(self) -> Json:
        """The road, ready for JSON.

        bars: the number of each bar's setting. course: [tick, share of home's tempo in ticks a
        minute] wherever it changes. held: the stretches of fermatas. end: the end of the bar that
        is added to end on, else of the road. rounds: first bar, the one after the last, line,
        semitones from home. passes: first bar, the one after the last, number of the round, name,
        letter, key from home's in fifths, whether minor, lyrics. words: what to read at a bar.
        """
        form, chart = self.form, self.chart
        settings: dict[tuple[Setting, tuple[float, ...]], int] = {}
        entries: list[Json] = []
        numbers = []
        for time, played in self.passes:
            for bar in self.bars[played.first : played.last]:
                of = bar.setting, self._ratios(time, played)
                if of not in settings:
                    entries.append(self._setting(*of))
                numbers.append(settings.setdefault(of, len(settings)))
        home = form.tempo * form.meter.beat_ticks
        course = {
            max(0, tick - chart.start): round(tempo * beat / home, 5)
            for tick, tempo, beat in chart.tempi.changes
        }
        return {
            "bars": numbers,
            "settings": entries,
            "course": [[tick, share] for tick, share in course.items()],
            "held": [
                [bar.held - chart.start, bar.end - chart.start]
                for bar in self.bars
                if bar.held is not None
            ],
            "end": chart.end - chart.start,
            "loops": chart.loops,
            "lines": [
                {"name": line.name, "times": line.times, "open": line.is_open}
                for line in form.lines
            ],
            "rounds": [
                [time.first, time.last, time.line, self.moved(time)] for time in chart.rounds
            ],
            "passes": [
                [
                    played.first, played.last, number, played.section.name, played.letter,
                    _near(played.key.tonic.fifths - time.key.tonic.fifths),
                    played.key.mode == "minor", played.lyrics,
                ]
                for number, time in enumerate(chart.rounds)
                for played in time.passes
            ],
            "words": self._words(),
        }  # fmt: skip

    def _setting(self, setting: Setting, ratios: tuple[float, ...]) -> Json:
        meter = setting.meter
        return metre_data(meter) | {
            "beat": BEATS[meter.beat_ticks],
            "rate": round(setting.rate / self.form.tempo / self.form.meter.beat_ticks, 5),
            "swing": {
                "unit": setting.drums.swing_ticks,
                "written": setting.swing_ratio,
                "from": SLOWEST,
                "step": self.tempi.step,
                "ratios": ratios,
            },
        }

    def _ratios(self, time: Round, played: Pass) -> tuple[float, ...]:
        """The swing ratio of a section at each of home's tempi."""
        line, own, share = (
            self.form.lines[time.line].own,
            played.section.own,
            time.tempo / self.form.tempo,
        )
        return tuple(
            settings.of(line, own, tempo * share).swing_ratio
            for tempo, settings in zip(self.tempi, self.at_tempi, strict=True)
        )

    def _words(self) -> dict[int, list[str]]:
        """The words at each bar that has some: cues, who rests, figures, feel, ritardandi."""
        found: dict[int, list[str]] = {}
        firsts = {time.first for time in self.chart.rounds}
        slow = self._slow()
        before: Bar | None = None
        for index, bar in enumerate(self.bars):
            fresh = index in firsts
            words = [*bar.words]
            words += _feel(bar.setting, before.setting if before else None)
            words += self._who(bar, before, fresh)
            kind = _kind(bar)
            if kind and (fresh or before is None or _kind(before) != kind):
                words.append(kind)
            if slow[index] and not (index and slow[index - 1] and not fresh):
                words.append(said("page", "road.at_bar.rit"))
            if bar.held is not None:
                words.append(said("page", "road.at_bar.fermata"))
            if words:
                found[index] = list(dict.fromkeys(words))
            before = bar
        return found

    def _slow(self) -> list[bool]:
        """Whether each bar gets slower."""
        changes = [tick for tick, _, _ in self.chart.tempi.changes]
        return [
            any(bar.start < tick < bar.end and tick != bar.held for tick in changes)
            for bar in self.bars
        ]

    def _who(self, bar: Bar, before: Bar | None, fresh: bool) -> list[str]:
        """The players who rest and come in again at a bar; as a round starts, all who rest."""
        alone = before is not None and before.drums_alone
        if bar.drums_alone:
            return [] if alone and not fresh else [said("page", "road.at_bar.drums_alone")]
        if alone:
            return [said("page", "road.at_bar.all_in")]
        earlier = before.out if before else NOBODY
        rests = self._listed(bar.out if fresh else bar.out - earlier)
        back = self._listed(earlier - bar.out)
        return [
            said("page", f"road.at_bar.{way}", players=names)
            for names, way in ((rests, "out"), (back, "in"))
            if names
        ]

    def _listed(self, names: frozenset[str]) -> str:
        """Those of the players that are named: ``drums, bass and comping``."""
        called = words_of("page")["parts"]
        return listed([called.get(name, name) for name in self.players if name in names])


def metre_data(meter: Meter) -> Json:
    """A metre as the page has it: signature, beats, groups of them and backbeats from the bar line,
    and, where beats have three parts, those; ticks of bar and beat."""
    thirds = range(0, meter.bar_ticks, meter.unit_ticks) if meter.is_compound else ()
    return {
        "meter": [meter.numerator, meter.denominator],
        "beats": list(meter.beat_starts),
        "groups": list(meter.group_starts),
        "thirds": list(thirds),
        "backbeats": backbeats(meter),
        "barTicks": meter.bar_ticks,
        "beatTicks": meter.beat_ticks,
    }


def mark_of(slot: Slot) -> str:
    """The mark of a chord: N.C., * for the root alone, ~ for a push, or empty."""
    return "N.C." if slot.silent else "*" if slot.root_only else "~" if slot.early else ""


def _moved(form: Form, time: Round) -> int:
    """The steps on the line of fifths from the form's key to home in a time round."""
    return time.key.tonic.fifths - form.key.tonic.fifths


def _from_home(chord: Chord, time: Round) -> tuple[int, str, int | None]:
    """A chord by its root and bass in semitones above home's tonic, and its quality."""
    home = time.key.tonic.fifths
    bass = None if chord.bass is None else (chord.bass.fifths - home) * 7 % 12
    return (chord.root.fifths - home) * 7 % 12, repr(chord.quality), bass


def _near(fifths: int) -> int:
    """The same distance within six steps on the line of fifths."""
    return (fifths + 5) % 12 - 5


def _kind(bar: Bar) -> str:
    if bar.figure is None:
        return ""
    return said("page", f"road.at_bar.{'stops' if bar.figure.alone else 'kicks'}")


def _feel(setting: Setting, before: Setting | None) -> list[str]:
    """The drum pattern and the pulse where they are new."""
    words = []
    if before and setting.drums.name != before.drums.name:
        words.append(title_of("drums", setting.drums.name, setting.drums.title))
    if setting.pulse != (before.pulse if before else ""):
        words.append(said("page", f"road.at_bar.{setting.pulse or 'as_before'}"))
    return words
