"""The laws that a solo, answers and licks keep, as sentences about each breach."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby, pairwise
from operator import attrgetter

from groove.form.model import Form
from groove.instrument.fretboard import Place, Tuning
from groove.instrument.material import scale
from groove.instrument.positions import positions
from groove.lesson.line import SLIDE, NoteLine
from groove.lesson.solo.ground import SoloGround, ground_of
from groove.lesson.solo.ladders import home_scale
from groove.lesson.solo.rhythms import rules
from groove.lesson.solo.shapes import melody, phrases
from groove.theory.pitch import Degree

OCTAVE, BEAT = 12, 960
MOST_SOUNDING = 0.56
STEP = 3  # semitones, the widest step of a pentatonic


def share(line: NoteLine) -> float:
    """The share of the time in which a note sounds."""
    return sum(note.length for note in melody(line)) / sum(bar.length for bar in line.bars)


def breaches(form: Form, tuning: Tuning, line: NoteLine, number: int = 0) -> Iterator[str]:
    """What an example solo or answers break, of the laws that they keep."""
    ground = ground_of(form, number)
    yield from lick_breaches(form, tuning, line)
    if form.lesson.learner == "beginner":
        yield from _box(ground, line, tuning)
    else:
        yield from _changes(ground, line)
    if share(line) > MOST_SOUNDING:
        yield f"notes sound {share(line):.0%} of the time"
    for start, end in ground.silent:
        if any(start <= note.start < end for note in line.notes):
            yield f"a note in the silent bar at {start}"


def lick_breaches(form: Form, tuning: Tuning, line: NoteLine) -> Iterator[str]:
    """What a line breaks, of the laws that all lines keep."""
    yield from _order(line)
    yield from _grid(line)
    yield from _places(line, tuning)
    yield from _joins(line, form.lesson.learner)
    yield from _bends(line)
    yield from _speed(ground_of(form, 0), line, form.lesson.learner)
    for a, b in pairwise(melody(line)):
        if abs(b.sounding - a.sounding) > OCTAVE:
            yield f"a leap of {b.sounding - a.sounding} at {b.start}"


def _order(line: NoteLine) -> Iterator[str]:
    if list(line.notes) != sorted(line.notes, key=lambda n: (n.start, n.sounding)):
        yield "notes out of order"
    for a, b in pairwise(melody(line)):
        if a.end > b.start:
            yield f"notes overlap at {b.start}"
    if line.notes and (line.notes[0].start < 0 or line.notes[-1].end > line.end):
        yield "notes outside the bars"
    if any(note.length <= 0 for note in line.notes):
        yield "a note without length"


def _grid(line: NoteLine) -> Iterator[str]:
    """Triplets belong to swung bars and to metres whose beats go in three."""
    for bar in line.bars:
        parts = {BEAT // 4} if bar.straight else {BEAT // 4, BEAT // 3}
        for note in line.notes:
            at = note.start - bar.start
            if bar.start <= note.start < bar.end and all(at % part for part in parts):
                yield f"a note at {at} of a bar in {bar.meter}"


def _places(line: NoteLine, tuning: Tuning) -> Iterator[str]:
    for note in line.notes:
        if note.place is None or tuning.pitch(note.place) != note.pitch:
            yield f"{note.place} does not sound {note.pitch}"
            return
        if note.name.pitch_class != note.pitch % OCTAVE:
            yield f"{note.name} is not {note.pitch}"
        if (note.finger == 0) != (note.place.fret == 0):
            yield f"finger {note.finger} at fret {note.place.fret}"
    for run in phrases(line):
        inside = [n for n in line.notes if run[0].start <= n.start <= run[-1].start]
        frets = [n.place.fret for n in inside if n.place and n.place.fret]
        if frets and max(frets) - min(frets) > tuning.reach:
            yield f"frets {min(frets)} to {max(frets)} in one phrase at {run[0].start}"
    for _, group in groupby(line.notes, key=attrgetter("start")):
        strings = [n.place.string for n in group if n.place]
        if len(set(strings)) < len(strings):
            yield "two notes on one string"


def _joins(line: NoteLine, learner: str) -> Iterator[str]:
    for a, b in pairwise(melody(line)):
        if not b.joined or a.place is None or b.place is None:
            continue
        apart = b.place.fret - a.place.fret
        if a.place.string != b.place.string or not 1 <= abs(apart) <= STEP or a.end != b.start:
            yield f"a {b.joined} from {a.place} to {b.place} at {b.start}"
        if (b.joined == "hammer" and apart < 0) or (b.joined == "pull" and apart > 0):
            yield f"a {b.joined} of {apart} frets"
        wide = b.joined != SLIDE and abs(apart) == STEP
        low = min(a.place.fret, b.place.fret) < rules()["reach"]["lowest"] - 1
        if wide and (low or learner == "beginner"):
            yield f"a {b.joined} over three frets from fret {a.place.fret} ({learner})"
        if b.joined == SLIDE and not a.place.fret * b.place.fret:
            yield "a slide on an open string"


def _bends(line: NoteLine) -> Iterator[str]:
    notes = melody(line)
    for a, b in zip(notes, [*notes[1:], None], strict=True):
        if not a.bend:
            continue
        if a.place is None or not a.place.fret or a.place.string > rules()["bends"]["strings"]:
            yield f"a bend at {a.place}"
        if a.bend >= 1 and a.place and a.place.fret < rules()["reach"]["lowest"]:
            yield f"a full bend at fret {a.place.fret}"
        goal = int(a.sounding) if a.bend.denominator == 1 else a.pitch
        chords = [chord for chord in (line.chord_at(a.start), line.chord_at(a.end)) if chord]
        tones = {name.pitch_class for chord in chords for name in chord.notes}
        if a.bend == 2 and goal % OCTAVE not in tones:
            yield f"a bend to {goal}, no tone of {chords[0]}"
        follows = b is not None and goal - STEP <= b.sounding <= goal
        if not a.release and not follows:
            yield f"a bend at {a.start} that does not resolve"


def _speed(ground: SoloGround, line: NoteLine, learner: str) -> Iterator[str]:
    fastest = rules()["learners"][learner]["fastest"]
    seconds = ground.seconds(0)
    for a, b in pairwise(melody(line)):
        if (b.start - a.start) * seconds < 0.999 / fastest:
            yield f"{1 / ((b.start - a.start) * seconds):.1f} notes a second at {a.start}"
            return


def _box(ground: SoloGround, line: NoteLine, tuning: Tuning) -> Iterator[str]:
    boxes: set[Place] = set()
    for key, harmony in ground.harmonies.items():
        name = home_scale(harmony, [change.chord for change in ground.changes])
        first = positions(tuning, scale(key.tonic, name))[0]
        boxes |= {Place(dot.string, dot.fret) for dot in first.dots}
    for note in line.notes:
        if note.place not in boxes or note.bend:
            yield f"a beginner's note at {note.place}, outside box one"
            return


def _changes(ground: SoloGround, line: NoteLine) -> Iterator[str]:
    for change in ground.changes:
        for note in melody(line):
            if note.start <= change.start < note.end:
                tones = {name.pitch_class for name in change.chord.notes}
                heard = int(note.sounding) % OCTAVE
                if heard not in tones and note.pitch % OCTAVE not in tones:
                    yield f"{note.name} over {change.chord} where it comes, at {note.start}"


def ends_home(ground: SoloGround, line: NoteLine) -> bool:
    """Whether the last note is root or third of home, or else a triad tone of the last chord."""
    key = ground.bars[-1].key
    harmony = ground.harmonies[key]
    third = key.tonic + Degree(3, -1 if harmony.mode == "minor" else 0)
    home = {key.tonic.pitch_class, third.pitch_class}
    last = melody(line)[-1]
    change = ground.change_at(last.start)
    ends = [n.pitch_class for n in change.chord.notes[:3]] if change.end >= ground.end else []
    return int(last.sounding) % OCTAVE in home | set(ends)
