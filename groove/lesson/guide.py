"""The guide to a form: scales, chords and changes one by one, in the form's own key.

Everything is computed from the chords of one chorus; the sentences are data in
patterns/lesson/. The sheet and the practice page take it from here.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from groove.form.chorus_words import keys_in_order
from groove.form.choruses import in_chorus
from groove.form.harmony import timed_chords
from groove.form.model import Form
from groove.form.readers import READERS, Reader
from groove.form.written_chords import home_chord
from groove.lesson.change_words import change_sentences, filled, listed
from groove.lesson.chord_scales import chord_choices, chord_words
from groove.lesson.form_scales import Choice, form_choices, form_words
from groove.lesson.key_by_key import KeyGuide, in_every_key
from groove.lesson.practice_plan import Plan, practice_plan
from groove.library import load
from groove.theory.chords import Chord
from groove.theory.functions import Harmony, TimedChord, local_harmonies, read_harmony
from groove.theory.motion import Change, ChordTone, change, guide_lines, guide_tones, tones
from groove.theory.roles import Role, falls_a_fifth, role_of
from groove.theory.symbols import numeral, symbol


@dataclass(frozen=True, slots=True)
class ChordGuide:
    """One chord of the form.

    bars: how long it sounds in a chorus. roles: its functions, the longest lasting first; words:
    the same in sentences. choices: scales to play, simplest first.
    """

    chord: Chord
    numeral: str
    bars: Fraction
    roles: tuple[Role, ...]
    words: tuple[str, ...]
    tones: tuple[ChordTone, ...]
    guide_tones: tuple[ChordTone, ...]
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class ChangeGuide:
    """One change of the form and the sentences about it. back: it leads to the top again; key: then
    the key there, if it is another one."""

    change: Change
    sentences: tuple[str, ...]
    back: bool
    key: str = ""


@dataclass(frozen=True, slots=True)
class Guide:
    """The guide to a form for one reader, in the note names that this reader writes.

    about: a few sentences on this kind of form. lines: two lines of guide tones through the
    chorus, one note a chord. sequence, lengths: the chords of a chorus, and their bars.
    keys: where the key changes, that of each chorus; then all else is in the first of them, and
    others has every key once. rest: the chord that the track ends on.
    """

    form: Form
    reader: Reader
    harmony: Harmony
    title: str
    about: str
    choices: tuple[Choice, ...]
    chords: tuple[ChordGuide, ...]
    changes: tuple[ChangeGuide, ...]
    sequence: tuple[Chord, ...]
    lengths: tuple[Fraction, ...]
    lines: tuple[tuple[ChordTone, ...], ...]
    keys: tuple[str, ...]
    others: tuple[KeyGuide, ...]
    rest: Chord
    plan: Plan
    cautions: tuple[str, ...]


def write_guide(form: Form, reader: Reader = READERS["concert"]) -> Guide:
    """The guide to a form for a reader."""
    keys, others = keys_in_order(form, reader), in_every_key(form, reader)
    seen = [reader.form(in_chorus(form, number)) for number in range(form.choruses)]
    form, coming, last = seen[0], seen[min(1, form.choruses - 1)], seen[-1]
    harmony = read_harmony(timed_chords(form), form.key)
    chorus = timed_chords(form, coming)
    sequence = tuple(stretch.chord for stretch in chorus)
    goes_round = form.ending == "loop" or form.choruses > 1
    top = timed_chords(coming)[0].chord
    after = [*sequence[1:], top if goes_round else home_chord(form)]
    goals = _goals(sequence, after[-1])
    roles = _roles(chorus, goals, local_harmonies(chorus, harmony))
    distinct = tuple(dict.fromkeys(sequence))
    kind = load("lesson", "scales")["kinds"][harmony.kind]
    lines, rest = guide_lines(sequence), home_chord(last)
    return Guide(
        form=form,
        reader=reader,
        harmony=harmony,
        title=kind["title"],
        about=filled(kind["about"], form_words(harmony, distinct)),
        choices=form_choices(harmony, distinct),
        chords=tuple(_chord(c, chorus, roles, harmony, distinct) for c in distinct),
        changes=_changes(sequence, after, goes_round=goes_round, key="".join(keys[1:2])),
        sequence=sequence,
        lengths=tuple(stretch.bars for stretch in chorus),
        lines=lines,
        plan=practice_plan(form, harmony, sequence, lines, rest, keys),
        keys=keys,
        others=others,
        rest=rest,
        cautions=tuple(load("lesson", "cautions")["cautions"]),
    )


def _goals(sequence: tuple[Chord, ...], last: Chord) -> list[Chord]:
    """The goal of each chord: the next one on another root; after the last, ``last`` or the top.

    A chord that is just suspended, altered or turned over has not moved on yet; one whose third
    changes has.
    """
    goals: list[Chord] = []
    goal = next((chord for chord in (last, *sequence) if _moves_on(sequence[-1], chord)), last)
    for place in reversed(range(len(sequence))):
        if place + 1 < len(sequence) and _moves_on(sequence[place], sequence[place + 1]):
            goal = sequence[place + 1]
        goals.append(goal)
    return goals[::-1]


def _roles(
    chorus: Sequence[TimedChord], goals: list[Chord], harmonies: Sequence[Harmony]
) -> list[Role]:
    """The role of the chord at each place of the chorus."""
    found = []
    for place, (stretch, goal, harmony) in enumerate(zip(chorus, goals, harmonies, strict=True)):
        ahead = (at for at in range(place + 1, len(chorus)) if chorus[at].chord == goal)
        found.append(role_of(stretch.chord, goal, goals[next(ahead, 0)], harmony))
    return found


def _moves_on(chord: Chord, other: Chord) -> bool:
    thirds = {c.quality.of_step(3) for c in (chord, other)}
    return chord.root != other.root or (len(thirds) == 2 and None not in thirds)


def _chord(
    chord: Chord,
    chorus: Sequence[TimedChord],
    played: list[Role],
    harmony: Harmony,
    distinct: tuple[Chord, ...],
) -> ChordGuide:
    """The guide to one chord. played: the roles of all chords, by place."""
    length: dict[Role, Fraction] = {}
    for stretch, role in zip(chorus, played, strict=True):
        if stretch.chord == chord:
            length[role] = length.get(role, Fraction(0)) + stretch.bars
    ranked = sorted(length, key=lambda role: -length[role])
    by_name: dict[str, list[Role]] = {}
    for role in ranked:
        by_name.setdefault(role.name, []).append(role)
    same = [_home_first(chord, found) for found in by_name.values()]
    roles = tuple(found[0] for found in same)
    goals = (role.goal for role in played)
    times = Counter(goal for other, goal in zip(chorus, goals, strict=True) if other.chord == chord)
    return ChordGuide(
        chord=chord,
        numeral=numeral(chord, harmony.key),
        bars=sum(length.values(), Fraction(0)),
        roles=roles,
        words=(_role_words(chord, same, times, distinct),),
        tones=tones(chord),
        guide_tones=guide_tones(chord),
        choices=chord_choices(chord, roles, distinct),
    )


def _role_words(
    chord: Chord, roles: list[list[Role]], times: Counter[Chord], distinct: tuple[Chord, ...]
) -> str:
    """A chord's roles in one sentence: the first, then those elsewhere."""
    data = load("lesson", "scales")["roles"]
    said = []
    for number, found in enumerate(roles):
        words = {**form_words(found[0].harmony, distinct), **chord_words(chord, found[0])}
        own = data[found[0].name]
        astray = "astray" in own and not falls_a_fifth(chord, found[0].goal)
        sentence = own["also" if number else "astray" if astray else "words"]
        goals = _astray_words(found) if astray and not number else _goal_words(found, times)
        said.append(filled(sentence, words | {"goals": goals}))
    return "; ".join([said[0].removesuffix("."), *said[1:]]) + "."


def _home_first(chord: Chord, roles: list[Role]) -> list[Role]:
    """The goals of one role, those a fifth below first: there the chord resolves."""
    return sorted(roles, key=lambda role: not falls_a_fifth(chord, role.goal))


def _goal_words(roles: list[Role], times: Counter[Chord]) -> str:
    """``Am6``, or ``Am6, and once to Dm7 instead``: where a chord in one role leads."""
    often = {1: "once to ", 2: "twice to "}
    first = roles[0].goal.root
    main = [str(symbol(r.goal)) for r in roles if r.goal.root == first]
    rest = [r.goal for r in roles if r.goal.root != first]
    others = [f"{often.get(times[goal], 'in places to ')}{symbol(goal)}" for goal in rest]
    return listed(main) + (f", and {listed(others)} instead" if others else "")


def _astray_words(roles: list[Role]) -> str:
    """``Gm7``, ``Gm7 or F7``: where a V leads that doesn't go home."""
    goals = list(dict.fromkeys(str(symbol(role.goal)) for role in roles))
    return " or ".join([", ".join(goals[:-1]), goals[-1]] if len(goals) > 1 else goals)


def _changes(
    sequence: tuple[Chord, ...], after: list[Chord], *, goes_round: bool, key: str
) -> tuple[ChangeGuide, ...]:
    """Each change once, in the order in which they come."""
    found: dict[tuple[Chord, Chord], bool] = {}
    for number, pair in enumerate(zip(sequence, after, strict=True), 1):
        if pair[0] != pair[1]:
            found.setdefault(pair, goes_round and number == len(sequence))
    made = ((change(a, b), back) for (a, b), back in found.items())
    return tuple(ChangeGuide(c, change_sentences(c), b, key if b else "") for c, b in made)
