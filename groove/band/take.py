"""The take: parts with feel and touch, in ticks, ready to be written as MIDI."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from operator import itemgetter
from random import Random

from groove.band.bass.bassist import play_bass
from groove.band.changes import Changes
from groove.band.comping.comper import chordal_players, play_comping
from groove.band.count_in import is_click
from groove.band.drummer import play_drums
from groove.band.figures import owner
from groove.band.lines.bends import bends_of
from groove.band.lines.programs import CHANNELS, mix_of, programs_of
from groove.band.lines.written_lines import play_melody, play_riffs
from groove.band.part import (
    BASS,
    CLICK,
    DRUMS,
    MELODY,
    PERCUSSION,
    RIFF,
    SOLO,
    STRUCK,
    Control,
    Part,
)
from groove.band.part import PlayedNote as PlayedNote
from groove.band.part import PlayedPart as PlayedPart
from groove.band.percussionist import beside, play_percussion
from groove.band.plan.plan import Plan
from groove.band.plan.planner import planned as planned
from groove.band.straight import straightened
from groove.band.touch.drum_touch import touched_drums
from groove.band.touch.feel import BandFeel
from groove.band.touch.profile import profile_for
from groove.band.touch.touch import Struck, touched
from groove.band.tuning import tuning_part
from groove.form.chart import Chart


@dataclass(frozen=True, slots=True)
class Take:
    """Everything that sounds, with the chart it was played from, as it was arranged.

    parts: drums, bass, comping, and percussion, riff, melody and solo if there are any. cues: the
    clicks of the count-in, then the tuning note, each if asked for.
    """

    chart: Chart
    parts: tuple[PlayedPart, ...]
    cues: tuple[PlayedPart, ...] = ()


def players_of(chart: Chart) -> tuple[str, ...]:
    """The names of the parts that a chart is played in, in their order."""
    percussion = any(bar.setting.percussion for bar in chart.bars)
    more = (
        (PERCUSSION, percussion),
        (RIFF, any(played.riff for played in chart.passes)),
        (MELODY, any(played.melody for played in chart.passes)),
        (SOLO, chart.form.lesson.solo != "none"),
    )
    return (DRUMS, BASS, *chordal_players(chart), *(name for name, plays in more if plays))


@dataclass(frozen=True, slots=True)
class Kit:
    """Drums and percussion as they are played, by name, and the kick's deviations in ms."""

    struck: dict[str, list[Struck]]
    kick: dict[int, float]


def play(plan: Plan, drums: Part | None = None, solo: Part | None = None) -> tuple[Part, ...]:
    """The band's parts of a planned performance on the grid: drummer first, then bassist, the
    players of chords, who leave room for riffs, melody and solo, and the percussionists.

    Each player's chance comes from the form's seed and the player's own name, so that
    another bass idiom leaves the drums as they are. drums: those of the same form in another key.
    solo: the soloist's part, ready made.
    """
    chart, seed = plan.chart, plan.chart.form.seed
    drums = drums or play_drums(plan, Random(f"{seed} drums"))
    bass = play_bass(plan, drums, Random(f"{seed} bass"))
    lines = [line for line in (play_riffs(chart), play_melody(chart), solo) if line]
    chords: list[Part] = []
    for name in chordal_players(chart):
        rng = Random(f"{seed} {name}")
        heard = [*lines, *chords]
        chords.append(play_comping(plan, drums, rng, bass, name=name, others=heard))
    percussion = play_percussion(plan, drums, Random(f"{seed} percussion"))
    return (drums, bass, *chords, *([percussion] if percussion else []), *lines)


def touched_kit(plan: Plan, parts: tuple[Part, ...]) -> Kit:
    """Drums and percussion of the parts with touch, which is the same in every key."""
    return _touched_kit(_feel(plan), parts)


def _touched_kit(feel: BandFeel, parts: tuple[Part, ...]) -> Kit:
    kit = Kit({}, {})
    for part in parts:
        if part.name in STRUCK:
            rng = Random(f"{feel.chart.form.seed} {part.name} touch")
            kit.struck[part.name], kick = touched_drums(part, feel, rng)
            if part.name == DRUMS:
                kit.kick.update(kick)
    return kit


def _feel(plan: Plan) -> BandFeel:
    drift = profile_for(plan.chart.bars[0].drums).drift_sd_ms
    return BandFeel(plan.chart, drift, Random(f"{plan.chart.form.seed} together"))


def record(
    plan: Plan, parts: tuple[Part, ...], *, straight: bool = False, kit: Kit | None = None
) -> Take:
    """The take of the parts of a performance: the form's feel, and the touch of each player.

    The drummer's touch comes first, because the bassist follows the kick. straight: without swing
    and touch, as notation programs read it best. kit: drums and percussion as they were played in
    another key.
    """
    chart, form = plan.chart, plan.chart.form
    feel = _feel(plan)
    if not straight:
        kit = kit or _touched_kit(feel, parts)
    played: list[PlayedPart] = []
    cues: list[PlayedPart] = []
    for part in parts:
        rng = Random(f"{form.seed} {part.name} touch")
        performed = plan.chart_for(part.name)
        changes = Changes(performed)
        if straight:
            struck = straightened(part, chart)
        elif part.name in STRUCK:
            struck = kit.struck[part.name] if kit else []
        else:
            struck = touched(part, feel, rng, kit.kick if kit else {})
        struck = _where_it_plays(part.name, struck, performed, changes)
        notes = [
            PlayedNote(
                s.start,
                s.length,
                s.note.pitch,
                s.velocity,
                s.note.string,
                s.note.fret,
                s.grid,
                s.note.gesture,
            )
            for s in struck
        ]
        if part.name == PERCUSSION:
            drums = (note for other in played if other.name == DRUMS for note in other.notes)
            notes = beside(notes, drums)
        clicks = {(s.start, s.note.pitch) for s in struck if is_click(s.note, chart)}
        beside_it = (other for other in played if other.channel == CHANNELS[part.name])
        shared = next(beside_it, None)
        (_, program), *programs = (
            ((0, shared.program), *shared.programs)
            if shared
            else programs_of(part.name, struck, chart, changes)
        )
        mix = mix_of(part.name, chart)
        notes = _without_overlap(notes, chart.end)
        controls = [*_moved(part.controls, struck, chart.end), *bends_of(notes, feel.ticks_per_ms)]
        played.append(
            PlayedPart(
                part.name,
                program,
                CHANNELS[part.name],
                mix.volume,
                mix.pan,
                mix.reverb,
                tuple(notes),
                tuple(programs),
                tuple(controls),
            )
        )
        if clicks:
            played[-1], click = _apart(played[-1], clicks)
            cues.append(click)
    if form.tuning_note:
        cues.append(tuning_part(chart))
    return Take(plan.written, tuple(played), tuple(cues))


def _moved(controls: Sequence[Control], struck: list[Struck], end: int) -> list[Control]:
    """The controls at the time of the strokes that they belong to, as those are played."""
    first: dict[int, int] = {}
    for note in struck:
        at = note.note.start
        first[at] = min(note.start, first.get(at, note.start))
    grid = sorted(first)
    moved = []
    for tick, number, value in controls:
        place = bisect_right(grid, tick) - 1
        late = first[grid[place]] - grid[place] if place >= 0 else 0
        moved.append((min(end, max(0, tick + late)), number, value))
    return sorted(moved, key=itemgetter(0))


def _where_it_plays(
    name: str, struck: list[Struck], chart: Chart, changes: Changes
) -> list[Struck]:
    """The notes of a part outside the bars in which it is silent, none ringing into one."""
    if not any(name in bar.out for bar in chart.bars):
        return struck
    silences = [bar.start for bar in chart.bars if name in bar.out]
    kept = []
    for played in struck:
        start = played.note.start
        clicks = name == DRUMS and is_click(played.note, chart)
        if name in owner(chart, changes, start).out and not clicks:
            continue
        place = bisect_right(silences, start)
        if place < len(silences) and played.start + played.length > silences[place]:
            played = played._replace(length=max(1, silences[place] - played.start))
        kept.append(played)
    return kept


def _apart(drums: PlayedPart, clicks: set[tuple[int, int]]) -> tuple[PlayedPart, PlayedPart]:
    """The drums without the count-in's clicks, and the clicks on the drums' own channel.

    clicks: start and pitch of each.
    """
    counted = tuple(n for n in drums.notes if (n.start, n.pitch) in clicks)
    played = tuple(n for n in drums.notes if (n.start, n.pitch) not in clicks)
    return replace(drums, notes=played), replace(drums, name=CLICK, notes=counted)


def _without_overlap(notes: list[PlayedNote], end: int) -> list[PlayedNote]:
    """The notes in order, each cut where its pitch is struck again, all inside the track."""
    free_from: dict[int, int] = {}
    kept: list[PlayedNote] = []
    for note in sorted(notes, key=lambda n: (-n.start, n.pitch, -n.velocity)):
        length = min(note.length, free_from.get(note.pitch, end) - note.start)
        if length > 0:
            free_from[note.pitch] = note.start
            kept.append(note if length == note.length else replace(note, length=length))
    return sorted(kept, key=lambda n: (n.start, n.pitch))
