"""The practice plan: a step for each chorus or time round the solos, and the tempo to start at.

Steps, sentences and the shares of the tempo are data, patterns/lesson/plan.toml; their
spread over the times and the difficulty of the chords are computed here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Any

from groove.form.model import SLOWEST, Form
from groove.lesson.form_scales import Choice, form_choices
from groove.lesson.key_by_key import counted, numeral_with_tones, scale_of_the_key
from groove.rhythm.meter import Meter
from groove.theory.chords import Chord
from groove.theory.functions import Harmony, within
from groove.theory.heard import heard
from groove.theory.motion import ChordTone, guide_tones, has_triads
from groove.theory.pitch import NoteName
from groove.theory.spelling import single
from groove.theory.symbols import listed, note, numeral, symbol
from groove.wording import filled, in_figures, words_of

MANY_SIGNS = 4
LONGEST_LINE, MOST_CHORDS, MOST_THIRDS = 12, 4, 6  # notes and chords named
LEAST_STEP, STEP_SHARE = 2, 0.05  # beats a minute, and the share of the tempo


@dataclass(frozen=True, slots=True)
class PlanStep:
    """A task for some of the times round. time: how many times the track has been begun, from 1.
    minutes: for the step. listen: what to listen for in it."""

    time: int
    first: int
    last: int
    title: str
    words: str
    minutes: int = 0
    listen: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """start, step: beats a minute to begin at and to rise by. tempo_words: the same said, and how
    keys and tempi go on from chorus to chorus. ladder: all tempi from the start to the track's own.
    session: how long it takes, in a sentence."""

    start: int
    step: int
    tempo_words: tuple[str, ...]
    steps: tuple[PlanStep, ...]
    ladder: tuple[int, ...] = ()
    session: str = ""


@dataclass(frozen=True, slots=True)
class TimeRound:
    """A time round an open line, or a chorus: the line's name, empty for a chorus, the number of
    the time from 1, and how many there are."""

    line: str
    number: int
    of: int


@dataclass(frozen=True, slots=True)
class Ground:
    """The part of a track that is improvised over, once round.

    sequence: its chords; harmony: as they are heard; lines: guide tones through them. rest: the
    chord that the track ends on. scale: to begin with, in words. times: round it, in order.
    beats: felt ones of one time; seconds: of one. keys: that of each time where they differ; then
    chords and notes are named so that it holds in all of them. tempi: of the first time and the
    last. meter: of its first bar, feel: how that is played.
    """

    harmony: Harmony
    sequence: tuple[Chord, ...]
    lines: tuple[tuple[ChordTone, ...], ...]
    rest: Chord
    scale: str
    times: tuple[TimeRound, ...]
    beats: float
    seconds: float
    tempi: tuple[float, float]
    meter: Meter
    feel: str
    keys: tuple[str, ...] = ()


def practice_plan(form: Form, ground: Ground, hands: str = "other") -> Plan:
    """The plan for a form.

    hands: the reader's instrument, ``"strings"``, ``"keys"`` or ``"other"``.
    """
    data = words_of("plan")
    named = _in_any_key if ground.keys else _in_its_key
    words = named(ground) | {
        "place": data["place"][hands],
        "home": str(symbol(ground.rest)),
    }
    kinds = {"", *_kinds(ground.sequence)}
    learner = form.lesson.learner
    steps = [
        step
        for step in data["steps"]
        if step.get("needs", "") in kinds and learner in step.get("learners", [learner])
    ]
    steps.sort(key=lambda step: ground.harmony.kind not in step.get("first_in", ()))
    least = ceil(data["shares"]["shortest_step"] / ground.seconds)
    start, rise, tempo_words = _tempo(form, ground, data)
    once = ground.seconds * round(form.tempo) / start / 60  # minutes of a time round, at first
    most = data["session"]["most"]
    placed = tuple(
        PlanStep(
            time,
            first,
            last,
            step["title"],
            filled(_said(step, first, last), words),
            min(max(step["minutes"], ceil(once * (last - first + 1))), most),
            filled(_listen(step["listen"], learner, ground.harmony.kind), words),
        )
        for (time, first, last), step in zip(
            spread(len(steps), len(ground.times), least), steps, strict=True
        )
    )
    total = sum(step.minutes for step in placed)
    return Plan(
        start,
        rise,
        (*tempo_words, *course_words(ground, data["course"])),
        placed,
        _ladder(start, rise, round(form.tempo)),
        filled(data["session"]["words"], {"minutes": str(total)}),
    )


def _listen(sentences: dict[str, str], learner: str, kind: str) -> str:
    """The sentence on what to listen for: the one that is written for most of learner and kind of
    form."""
    places = (f"{learner} {kind}", learner, kind, "any")
    return next(sentences[place] for place in places if place in sentences)


def _ladder(start: int, step: int, goal: int) -> tuple[int, ...]:
    """The tempi from the start to the goal.

    >>> _ladder(72, 6, 87)
    (72, 78, 84, 87)
    """
    return (*range(start, goal, step), goal)


def _said(step: dict[str, str], first: int, last: int) -> str:
    """The sentences of a step; a step for two choruses has other words for one."""
    return step.get("in_one", step["words"]) if first == last else step["words"]


def course_words(ground: Ground, said: Mapping[str, str]) -> Iterator[str]:
    """Sentences about keys or tempi that change from one time to the next. said: as ``course`` of
    the data has them."""
    keys = ground.keys
    if keys:
        order = list(dict.fromkeys(keys))
        between = str(words_of("language")["named"]["between"])
        again = said["again"] if len(keys) > len(order) else ""
        yield filled(said["keys"], {"keys": between.join(order) + again, "first": keys[0]})
    first, last = ground.tempi
    if first != last:
        yield filled(said["tempi"], {"tempo": in_figures(first), "last": in_figures(last)})


def spread(steps: int, choruses: int, least: int = 1) -> list[tuple[int, int, int]]:
    """For each step the time through the track, and its first and last chorus.

    least: choruses for a step, so that it lasts long enough to be of use. Where the track has
    room for more steps than there are, each takes more of it, later ones the more; where it has
    less, the track is played again, and the last step fills its time.

    >>> spread(3, 7)
    [(1, 1, 2), (1, 3, 4), (1, 5, 7)]
    >>> spread(3, 2)
    [(1, 1, 1), (1, 2, 2), (2, 1, 2)]
    >>> spread(3, 4, least=2)
    [(1, 1, 2), (1, 3, 4), (2, 1, 4)]
    """
    places = max(choruses // least, 1)
    edges = [number * choruses // places for number in range(places + 1)]
    if places >= steps:
        edges = [edges[number * places // steps] for number in range(steps + 1)]
        return [(1, a + 1, b) for a, b in pairwise(edges)]
    spans = [(n // places + 1, edges[n % places] + 1, edges[n % places + 1]) for n in range(steps)]
    time, first, _ = spans[-1]
    return [*spans[:-1], (time, first, choruses)]


def _kinds(sequence: Sequence[Chord]) -> tuple[str, ...]:
    """The values of ``needs`` that steps for this form may have."""
    if len(set(sequence)) == 1:
        return ()
    triads = has_triads(sequence)
    return "changes", "triads" if triads else "guide tones"


def _shown(lines: Sequence[Sequence[str]]) -> list[str]:
    """Two lines of names, the one that moves more first."""
    ranked = sorted(lines, key=lambda line: -sum(a != b for a, b in pairwise(line)))
    names = words_of("plan")["names"]
    shown = [" – ".join(line[:LONGEST_LINE]) for line in ranked]
    if len(ranked[0]) <= LONGEST_LINE:
        return shown
    return [filled(names["longer"], {"line": line}) for line in shown]


def _in_its_key(ground: Ground) -> dict[str, str]:
    """The words that fill the plan's sentences, as chord symbols and note names.

    Notes are named as they are played: G, and not A♭♭, in B♭dim7.
    """
    distinct = tuple(dict.fromkeys(ground.sequence))
    chords = [f"{symbol(c)} ({' '.join(note(single(n)) for n in _sounding(c))})" for c in distinct]
    thirds = [_third(note(single(name)), str(symbol(c))) for c, name in _thirds(distinct)]
    names = [[note(single(tone.name)) for tone in line] for line in ground.lines]
    return _names(chords, thirds, names, ground.scale)


def _sounding(chord: Chord) -> tuple[NoteName, ...]:
    """The tones of a chord, a bass from outside before them."""
    outside = chord.lowest.pitch_class not in {name.pitch_class for name in chord.notes}
    return (chord.lowest, *chord.notes) if outside else chord.notes


def _thirds(chords: Sequence[Chord]) -> list[tuple[Chord, NoteName]]:
    """The third of each chord that has one, of chords on one root once; where none has, what
    stands for it."""
    found: dict[object, tuple[Chord, NoteName]] = {}
    have = [chord for chord in chords if heard(chord).quality.of_step(3)]
    for chord in have or chords:
        name = guide_tones(chord)[0].name
        found.setdefault((heard(chord).root, name), (chord, name))
    return list(found.values())


def _in_any_key(ground: Ground) -> dict[str, str]:
    """The same by numerals and degrees, counted from the tonic of the key."""
    key, distinct = ground.harmony.key, tuple(dict.fromkeys(ground.sequence))
    chords = [numeral_with_tones(chord, key) for chord in distinct]
    thirds = [_third(counted(name, key), numeral(c, key)) for c, name in _thirds(distinct)]
    names = [[counted(tone.name, key) for tone in line] for line in ground.lines]
    scale = scale_of_the_key(form_choices(ground.harmony, distinct)[0], ground.harmony)
    return _names(chords, thirds, names, scale)


def _names(
    chords: Sequence[str], thirds: Sequence[str], lines: Sequence[Sequence[str]], scale: str
) -> dict[str, str]:
    chords = list(dict.fromkeys(chords))
    names = words_of("plan")["names"]
    several = [*chords[:MOST_CHORDS], *[names["others"]] * (len(chords) > MOST_CHORDS)]
    shown = list(dict.fromkeys(thirds))
    line, other = _shown(lines)
    return {
        "chords": listed(several),
        "scale": scale,
        "thirds": listed(shown[:MOST_THIRDS] + [names["more"]] * (len(shown) > MOST_THIRDS)),
        "line": line,
        "other": other,
    }


def _third(third: str, chord: str) -> str:
    return filled(words_of("plan")["names"]["third"], {"note": third, "chord": chord})


def first_scale(choices: Sequence[Choice]) -> str:
    """The first scale for the form; where it is for some chords alone, its like for the others."""
    first, *others = choices
    like = [c.title for c in others if first.over and c.scale == first.scale and c.over]
    return scales_in_place([first.title, *like])


def scales_in_place(titles: Sequence[str]) -> str:
    """One scale, or ``F major pentatonic and D dorian, each in its place,``."""
    if len(titles) == 1:
        return titles[0]
    return filled(words_of("plan")["names"]["scales"], {"scales": listed(titles)})


def _tempo(form: Form, ground: Ground, data: dict[str, Any]) -> tuple[int, int, tuple[str, ...]]:
    """The starting tempo, the rise, and both in sentences."""
    shares, said, sequence = data["shares"], data["tempo"], ground.sequence
    beats = ground.beats / len(sequence)
    tempo = round(form.tempo)
    start = _start(form, ground, beats, shares)
    step = max(LEAST_STEP, round(tempo * STEP_SHARE))
    step = min(step, tempo - start or step)
    words = {
        "tempo": str(tempo),
        "start": str(start),
        "step": str(step),
        "parts": data["parts"][_parts(ground)],
        "once": data["once"][_once(form, ground)],
        "seconds": in_figures(beats * 60 / start, ".2g"),
    }
    usual = "start" if len(set(sequence)) > 1 else "one"
    first = said["slow"] if start >= tempo else said[usual]
    sentences = (first,) if start >= tempo else (first, said["fewer"])
    return start, step, tuple(filled(sentence, words) for sentence in sentences)


def _once(form: Form, ground: Ground) -> str:
    """The part of the track that is practised, a key of ``once`` in the data."""
    if ground.times[0].line:
        return "line"
    return "track" if form.order else "chorus"


def _parts(ground: Ground) -> str:
    """The division of a slow beat, a key of ``parts`` in the data."""
    if ground.meter.is_compound:
        return "three"
    return "straight" if ground.feel == "straight" else "swung"


def _start(form: Form, ground: Ground, beats: float, shares: dict[str, float]) -> int:
    """The tempo to begin at, an even number of beats a minute but never above the track's."""
    tempo = round(form.tempo)
    if form.tempo <= shares["slow_tempo"]:
        return tempo
    seconds = beats * 60 / form.tempo
    size = "over_four_seconds" if seconds >= 4 else "over_two_seconds" if seconds >= 2 else ""
    share = shares[size or "quicker"]
    if abs(form.key.signature) >= MANY_SIGNS:
        share -= shares["many_signs"]
    distinct = set(ground.sequence)
    foreign = sum(not within(chord, ground.harmony.home_notes) for chord in distinct)
    if ground.harmony.kind != "blues" and foreign > len(distinct) / 2:
        share -= shares["foreign_chords"]
    least = shares["slowest_swing"] if ground.feel != "straight" else SLOWEST
    return min(tempo, max(round(form.tempo * share / 2) * 2, round(least)))
