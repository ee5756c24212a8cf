"""What a guitar teacher would mend in an example solo, as sentences about each breach."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import pairwise

from groove.form.model import Form
from groove.lesson.line import LineNote, NoteLine
from groove.lesson.solo.ground import SoloGround, ground_of
from groove.lesson.solo.rhythms import half_time, rules, table_of
from groove.lesson.solo.shapes import melody, phrases
from groove.theory.scales import scale_notes
from groove.theory.spelling import degree_over

OCTAVE, BEAT = 12, 960
QUICK = 0.35  # seconds
RESTED = 2  # beats of rest after the end of a phrase
TONES = {"1", "3", "b3", "5", "b5", "#5", "4", "2"}
"""Degrees on which phrases end: triad tones, of suspended chords the fourth or second."""


def taste_breaches(form: Form, line: NoteLine) -> Iterator[str]:
    """What a teacher would mend in an example solo over the first round of a form."""
    ground, learner = ground_of(form, 0), form.lesson.learner
    notes = melody(line)
    rocks = seesaws(line)
    if rocks > 1:
        yield f"{rocks} see-saws"
    yield from _jumps(notes, ground)
    for a, b in pairwise(notes):
        over = any(a.start < bar.start <= b.start for bar in line.bars)
        if a.sounding == b.sounding and over and b.start - a.end < BEAT:
            yield f"a note struck again over the bar line at {b.start}"
    same = copies(line)
    if same > rules()["learners"][learner]["copies"]:
        yield f"{same} phrases copied note for note"
    yield from _ends(line, ground)
    if learner != "beginner":
        yield from _avoided(line, ground)
    yield from _even(line, ground, learner)
    yield from _names(line)
    found = signs(line)
    home = ground.harmonies[ground.key]
    blue = home.kind in ("blues", "vamp") and home.mode == "major"
    own = rules()["signs"].get(learner, {}).get(table_of(ground, 0), [])
    for sign in own:
        fastest = rules()["learners"][learner]["fastest"]
        slow = ground.seconds(0) * BEAT / 4 * fastest < 0.999
        if (sign == "blue" and not blue) or (sign == "sixteenths" and slow):
            continue
        if sign == "run" and half_time(ground, 0, learner):
            continue
        if found[sign] < rules()["signs"]["count"]:
            yield f"the sign {sign} {found[sign]} times in {table_of(ground, 0)} ({learner})"


def seesaws(line: NoteLine) -> int:
    """How often four notes in a row go to and fro between two."""
    found = 0
    for run in phrases(line):
        heights = [note.sounding for note in run]
        fours = zip(heights, heights[1:], heights[2:], heights[3:], strict=False)
        found += sum(a == c and b == d and a != b for a, b, c, d in fours)
    return found


def copies(line: NoteLine) -> int:
    """How many phrases of three notes and more, between rests of over a beat, are as an earlier
    one was."""
    shapes: Counter[tuple[tuple[int, float], ...]] = Counter()
    runs: list[list[LineNote]] = []
    for note in melody(line):
        if runs and note.start - runs[-1][-1].end <= BEAT:
            runs[-1].append(note)
        else:
            runs.append([note])
    for run in runs:
        if len(run) > 2:
            bar = max(b.start for b in line.bars if b.start <= max(run[0].start, 0))
            shapes[tuple((n.start - bar, float(n.sounding)) for n in run)] += 1
    return sum(shapes.values()) - len(shapes)


def _jumps(notes: list[LineNote], ground: SoloGround) -> Iterator[str]:
    seconds = ground.seconds(0)
    for a, b, c in zip(notes, notes[1:], notes[2:], strict=False):
        frets = [note.place.fret if note.place else 0 for note in (a, b, c)]
        out, back = frets[1] - frets[0], frets[2] - frets[1]
        quick = max(b.start - a.start, c.start - b.start) * seconds < QUICK
        if quick and all(frets) and min(abs(out), abs(back)) > 3 and out * back < 0:
            yield f"frets {frets} to and fro at {a.start}"


def _ends(line: NoteLine, ground: SoloGround) -> Iterator[str]:
    notes = melody(line)
    for a, b in zip(notes, [*notes[1:], None], strict=True):
        bar = next(bar for bar in line.bars if bar.start <= max(a.start, 0) < bar.end)
        beat = bar.meter.beat_ticks if bar.meter.is_compound else BEAT
        if b is not None and b.start - a.end < RESTED * beat:
            continue
        if a.length < beat:
            yield f"a phrase that ends on less than a beat, {a.length} at {a.start}"
        chord = ground.change_at(a.start).chord
        after = ground.change_at(min(a.end, line.end - 1)).chord
        own = {n.pitch_class for c in (chord, after) for n in c.notes if _is_end(c, n, b is None)}
        if own and int(a.sounding) % OCTAVE not in own and a.pitch % OCTAVE not in own:
            yield f"a phrase that ends on {degree_over(chord, a.name)} of {chord} at {a.start}"
    last = notes[-1]
    change, tonic = ground.change_at(last.start), line.bars[-1].key.tonic
    home = change.chord.root.pitch_class == tonic.pitch_class
    late = change.end > line.bars[-min(2, len(line.bars))].start
    if not (home and late) and ground.change_at(last.end - 1).end < line.end:
        yield f"the last note stands over {change.chord}, not over the last chord"


def _is_end(chord: object, name: object, final: bool) -> bool:
    degree = str(degree_over(chord, name))  # type: ignore[arg-type]
    return degree in TONES or (not final and degree in ("7", "b7", "bb7", "6"))


def _avoided(line: NoteLine, ground: SoloGround) -> Iterator[str]:
    notes = melody(line)
    for a, b in zip(notes, [*notes[1:], None], strict=True):
        chord = ground.change_at(a.start).chord
        tones = {name.pitch_class for name in chord.notes}
        pc = int(a.sounding) % OCTAVE
        bar = next(bar for bar in line.bars if bar.start <= max(a.start, 0) < bar.end)
        beat = bar.meter.beat_ticks if bar.meter.is_compound else BEAT
        if pc in tones or (pc - 1) % OCTAVE not in tones or bar.meter.is_uneven:
            continue
        on_beat = (a.start - bar.start) % beat == 0 and a.length >= beat
        twice = b is not None and b.sounding == a.sounding and b.start == a.end
        if (on_beat or twice) and ground.change_at(a.end).chord == chord:
            yield f"{a.name} over {chord} {'on the beat' if on_beat else 'twice'} at {a.start}"


def _even(line: NoteLine, ground: SoloGround, learner: str) -> Iterator[str]:
    if len(line.bars) < 8 or half_time(ground, 0, learner):
        return
    even = line.bars[1::2]
    played = sum(any(b.start < n.start < b.end for n in line.notes) for b in even)
    if played * 4 < len(even):
        yield f"{played} of {len(even)} even bars are played in"


def _names(line: NoteLine) -> Iterator[str]:
    for note in line.notes:
        bar = next(bar for bar in line.bars if bar.start <= max(note.start, 0) < bar.end)
        scale = "natural minor" if bar.key.mode == "minor" else "major"
        own = {n.pitch_class: n for n in scale_notes(bar.key.tonic, scale)}
        name = own.get(note.name.pitch_class, note.name)
        chords = [c for c in (line.chord_at(note.start), line.chord_at(note.end)) if c]
        tones = {n.pitch_class for chord in chords for n in chord.notes}
        if name != note.name and name.pitch_class not in tones:
            yield f"{note.name} where the key has {name}, at {note.start}"


def signs(line: NoteLine) -> Counter[str]:
    """How often each sign of a style is in a line."""
    found: Counter[str] = Counter()
    notes = melody(line)
    found["stop"] = len(line.notes) - len(notes)
    run = 1
    for a, b in pairwise(notes):
        gap = b.start - a.start
        run = run + 1 if gap == BEAT // 2 else 1
        chord = line.chord_at(b.start)
        step = b.sounding - a.sounding == 1 and a.end == b.start
        third = chord is not None and str(degree_over(chord, b.name)) == "3"
        tone = chord is not None and int(b.sounding) % OCTAVE in {
            n.pitch_class for n in chord.notes
        }
        found["run"] += run == 8
        found["sixteenths"] += gap == BEAT // 4 == a.length
        found["stab"] += a.start % BEAT == BEAT // 2 and b.start - a.end >= BEAT // 2
        found["blue"] += step and third
        found["approach"] += step and tone
    for note in notes:
        chord = line.chord_at(note.start)
        found["blue"] += 0 < note.bend < 1
        line_after = next((bar.start for bar in line.bars if bar.start > note.start), line.end)
        found["early"] += line_after - BEAT // 2 <= note.start and note.end > line_after
        outside = chord and int(note.sounding) % OCTAVE not in {n.pitch_class for n in chord.notes}
        found["tension"] += bool(outside) and note.length >= BEAT
    return found
