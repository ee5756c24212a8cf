"""The bass line of a track as a line of notes: what the bassist plays the first time round."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from random import Random

from groove.band.bass.bass_positions import OPEN_STRINGS
from groove.band.bass.bassist import play_bass
from groove.band.bass.slides import GRACES
from groove.band.drummer import play_drums
from groove.band.part import BASS
from groove.band.plan.planner import planned
from groove.band.straight import straightened
from groove.band.touch.touch import Struck as Played
from groove.form.model import Form
from groove.form.unroll import unroll
from groove.instrument.fretboard import Place, Tuning
from groove.instrument.line_places import LineStroke, line_places
from groove.lesson.line import LineNote, NoteLine
from groove.lesson.solo.ground import SoloGround, ground_of
from groove.rhythm.box_notation import GHOST
from groove.theory.pitch import NoteName, spelled


def bass_line(form: Form, tuning: Tuning | None) -> NoteLine:
    """The notes of the bass in the first round of the take, swung notes as even ones.

    Notes last up to the next beat or note; muted ones and the short ones of slides are left out.
    tuning: of a bass, in whose places they lie; they have no place where some note lies beyond it,
    or there is no neck.
    """
    ground = ground_of(form, 0)
    begin = ground.played[0].start
    end = begin + ground.end
    plan = planned(unroll(form))
    drums = play_drums(plan, Random(f"{form.seed} drums"))
    part = play_bass(plan, drums, Random(f"{form.seed} bass"))
    silent = [bar for bar in plan.chart_for(BASS).bars if BASS in bar.out]
    shortest = min(bar.meter.beat_ticks for bar in ground.bars) // GRACES
    played = [
        note
        for note in straightened(part, plan.chart)
        if begin <= note.start < end
        and note.note.weight > GHOST
        and note.note.length > shortest
        and not any(bar.start <= note.start < bar.end for bar in silent)
    ]
    following = [*(note.start for note in played), end][1:]
    notes = []
    for note, until in zip(played, following, strict=True):
        start, pitch = note.start - begin, note.note.pitch
        ends = _written_end(start + note.length, until - begin, ground)
        notes.append(LineNote(start, ends - start, _name(pitch, start, ground), pitch))
    return NoteLine("", tuple(_placed(notes, played, tuning)), ground.bars)


def _written_end(end: int, until: int, ground: SoloGround) -> int:
    """The tick at which a note ends as it is written: up to the next beat, unless the next one is
    struck before; a bassist plays it a little shorter (common practice)."""
    bar = next((bar for bar in ground.bars if bar.start < end <= bar.end), ground.bars[-1])
    edges = (*(bar.start + start for start in bar.meter.beat_starts), bar.end)
    return min(until, next((edge for edge in edges if edge >= end), until))


def _name(pitch: int, tick: int, ground: SoloGround) -> NoteName:
    """The name of a note: of the chord's tone, else in the key."""
    chord = ground.change_at(tick).chord
    tones = (*chord.notes, chord.lowest)
    own = next((name for name in tones if name.pitch_class == pitch % 12), None)
    return own or spelled(pitch, ground.key.tonic)


def _placed(
    notes: Sequence[LineNote], played: Sequence[Played], tuning: Tuning | None
) -> list[LineNote]:
    """The notes where the bassist plays them, on other necks where they lie best."""
    if tuning is None:
        return list(notes)
    if tuning.open_strings[::-1][: len(OPEN_STRINGS)] == OPEN_STRINGS:
        places = [(Place(note.note.string, note.note.fret),) for note in played]
    else:
        found = line_places(tuning, [LineStroke((note.pitch,)) for note in notes])
        if found is None:
            return list(notes)
        places = [(held[0],) for held in found.places]
    return [replace(note, place=held[0]) for note, held in zip(notes, places, strict=True)]
