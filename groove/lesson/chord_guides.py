"""The guides to the chords of a form or section, and to its changes, one by one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from groove.lesson.change_words import change_sentences, degree_words
from groove.lesson.chord_scales import chord_choices, chord_words, goal_symbol
from groove.lesson.form_scales import Choice, form_words
from groove.theory.chords import Chord
from groove.theory.functions import ALONE, Around, Harmony, TimedChord, local_harmonies
from groove.theory.heard import heard
from groove.theory.motion import Change, ChordTone, change, guide_tones, tones
from groove.theory.roles import Role, falls_a_fifth, role_of
from groove.theory.spelling import degree_over
from groove.theory.symbols import listed, note, numeral, symbol
from groove.wording import filled, said, words_of


@dataclass(frozen=True, slots=True)
class ChordGuide:
    """One chord of the form.

    bars: how long it sounds in a chorus. roles: its functions, the longest lasting first; words:
    the same in sentences. choices: scales to play, simplest first. place: the section where this
    holds, of a chord that is another thing elsewhere; empty for others. played: its role each time
    that it sounds, and the bars.
    """

    chord: Chord
    numeral: str
    bars: Fraction
    roles: tuple[Role, ...]
    words: tuple[str, ...]
    tones: tuple[ChordTone, ...]
    guide_tones: tuple[ChordTone, ...]
    choices: tuple[Choice, ...]
    place: str = ""
    played: tuple[tuple[Role, Fraction], ...] = ()


@dataclass(frozen=True, slots=True)
class ChangeGuide:
    """One change of the form and the sentences about it.

    back: it leads to the top again; key: then the key there, if it is another one. onward: the
    section that it leads into.
    """

    change: Change
    sentences: tuple[str, ...]
    back: bool
    key: str = ""
    onward: str = ""


@dataclass(frozen=True, slots=True)
class Passage:
    """Chords in a row, and the one that the last of them leads to.

    told: so many of them are in an earlier passage, too, and count there. around: the chords
    around them, where they stand among others.
    """

    chords: tuple[TimedChord, ...]
    leads_to: Chord
    told: int = 0
    around: Around = ALONE


def chord_guides(
    passages: Sequence[Passage], harmony: Harmony, distinct: tuple[Chord, ...]
) -> tuple[ChordGuide, ...]:
    """The guides to the chords of some passages, each chord once."""
    chords: list[TimedChord] = []
    roles: list[Role] = []
    for passage in passages:
        goals = _goals(tuple(timed.chord for timed in passage.chords), passage.leads_to)
        there = local_harmonies(passage.chords, harmony, passage.around)
        found = _roles(passage.chords, goals, there)
        chords += passage.chords[passage.told :]
        roles += found[passage.told :]
    return tuple(_chord(chord, chords, roles, harmony, distinct) for chord in distinct)


def change_guides(
    sequence: tuple[Chord, ...], after: Sequence[Chord], *, goes_round: bool, key: str
) -> tuple[ChangeGuide, ...]:
    """Each change once, in the order in which they come."""
    found: dict[tuple[Chord, Chord], bool] = {}
    for number, pair in enumerate(zip(sequence, after, strict=True), 1):
        if pair[0] != pair[1]:
            found.setdefault(pair, goes_round and number == len(sequence))
    made = ((change(a, b), back) for (a, b), back in found.items())
    return tuple(ChangeGuide(c, change_sentences(c), b, key if b else "") for c, b in made)


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
    here = tuple(
        (role, stretch.bars)
        for stretch, role in zip(chorus, played, strict=True)
        if stretch.chord == chord
    )
    times = Counter(role.goal for role, _ in here)
    roles = _by_name(chord, here)
    chosen = tuple(found[0] for found in roles)
    return ChordGuide(
        chord=chord,
        numeral=numeral(chord, harmony.key),
        bars=sum((bars for _, bars in here), Fraction(0)),
        roles=chosen,
        words=(*_slash_words(chord, harmony), _role_words(chord, roles, times, distinct)),
        tones=tones(chord),
        guide_tones=guide_tones(chord),
        choices=chord_choices(chord, chosen, distinct),
        played=here,
    )


def told_together(guides: Sequence[ChordGuide], distinct: tuple[Chord, ...]) -> ChordGuide:
    """The guides to one chord in several sections as one, with all the goals that it has there.

    distinct: the chords of these sections.
    """
    first = guides[0]
    if len(guides) == 1:
        return first
    here = tuple(pair for guide in guides for pair in guide.played)
    roles = _by_name(first.chord, here)
    words = _role_words(first.chord, roles, Counter(), distinct)
    return replace(first, words=(*first.words[:-1], words), played=here)


def _by_name(chord: Chord, here: Sequence[tuple[Role, Fraction]]) -> list[list[Role]]:
    """The roles of a chord, those of one name together, the longest lasting first; of one name
    those that resolve first."""
    length: dict[Role, Fraction] = {}
    for role, bars in here:
        length[role] = length.get(role, Fraction(0)) + bars
    by_name: dict[str, list[Role]] = {}
    for role in sorted(length, key=lambda role: -length[role]):
        by_name.setdefault(role.name, []).append(role)
    return [_home_first(chord, found) for found in by_name.values()]


def _slash_words(chord: Chord, harmony: Harmony) -> tuple[str, ...]:
    """The meaning of a numeral with a slash, and the chord that it is heard as."""
    if chord.bass is None:
        return ()
    whole, key = heard(chord), harmony.key
    degree = degree_over(chord, chord.bass)
    inside = degree in whole.quality.degrees
    kind = "heard" if whole.root != chord.root else "inside" if inside else "outside"
    names = {
        "numeral": numeral(chord, key),
        "upper": numeral(replace(chord, bass=None), key),
        "degree": degree_words(degree),
        "bass": note(chord.bass),
        "heard": str(symbol(whole)),
        "heard_numeral": numeral(whole, key),
    }
    return (filled(words_of("scales")["slash"][kind], names),)


def _role_words(
    chord: Chord, roles: list[list[Role]], times: Counter[Chord], distinct: tuple[Chord, ...]
) -> str:
    """A chord's roles in one sentence: the first, then those elsewhere."""
    data = words_of("scales")["roles"]
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
    first = roles[0].goal.root
    goals = list(dict.fromkeys(role.goal for role in roles))
    main = [goal_symbol(goal) for goal in goals if goal.root == first]
    often: dict[str, list[str]] = {}
    for goal in goals:
        way = {1: "once", 2: "twice"}.get(times[goal], "often")
        if goal.root != first:
            often.setdefault(way, []).append(goal_symbol(goal))
    if not often:
        return listed(main)
    others = [
        said("scales", f"goals.{way}{'_each' * (len(to) > 1 and way != 'often')}", chord=listed(to))
        for way, to in often.items()
    ]
    return said("scales", "goals.instead", chords=listed(main), others=listed(others))


def _astray_words(roles: list[Role]) -> str:
    """``Gm7``, ``Gm7 or F7``: where a V leads that doesn't go home."""
    goals = list(dict.fromkeys(goal_symbol(role.goal) for role in roles))
    if len(goals) < 2:
        return goals[0]
    return said("scales", "goals.or", chords=", ".join(goals[:-1]), chord=goals[-1])
