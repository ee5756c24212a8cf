"""The patterns of a player as a page shows them: what each is, and whether it fits a form.

A drum pattern's style, and the tempi at which it sits well, stand in its file. Bass and comping
have those of the drum patterns that bring them, and go with drums of the same feel as those.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from groove import library
from groove.band.part import BASS, COMPING, DRUMS, PERCUSSION
from groove.form import style
from groove.form.model import Form
from groove.form.words import all_feel_words, feel_words
from groove.rhythm.meter import Meter
from groove.rhythm.patterns import (
    READERS,
    CompingPattern,
    DrumPattern,
    Pattern,
    drum_pattern,
    percussion_pattern,
)
from groove.rhythm.percussion import rhythm_for
from groove.screen.band.two_bars import KINDS
from groove.theory.symbols import listed
from groove.wording import in_figures, said, title_of, words_of

Json = dict[str, Any]
STRAIGHT = "straight"
FITS, CHANGES, CANNOT = "fits", "changes", "cannot"
"""Fits of a pattern for a form: as it stands; with a change or something unusual; not at all."""

OF_THEIR_STYLE = 1
"""The distance from a form's drums of what is usual with drums of their style and feel."""


@dataclass(frozen=True)
class Found:
    """A pattern's fit for a form: one of FITS, CHANGES and CANNOT, and in sentences why.

    replaces: the fields of the form that it takes the place of.
    """

    suits: str = FITS
    why: tuple[str, ...] = ()
    replaces: tuple[str, ...] = ()


@dataclass
class _Usual:
    """The drums with which a pattern is usual: those that bring it, and those of its own styles.

    titles, tempo, words: of those that bring it; words are what sheets say of them.
    """

    titles: list[str] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    styles: list[str] = field(default_factory=list)
    feels: list[str] = field(default_factory=list)
    tempo: tuple[int, int] | None = None

    def add(self, drums: DrumPattern) -> None:
        """Add a drum pattern that brings it."""
        self.titles.append(title_of(DRUMS, drums.name, drums.title))
        self.words += all_feel_words(drums)
        low, high = self.tempo or drums.tempo
        self.tempo = min(low, drums.tempo[0]), max(high, drums.tempo[1])
        self.add_style(drums)

    def add_style(self, drums: DrumPattern) -> None:
        """Add the style and the feel of a drum pattern."""
        if drums.family not in self.styles:
            self.styles.append(drums.family)
        if drums.grid.feel not in self.feels:
            self.feels.append(drums.grid.feel)


def patterns(form: Form) -> Json:
    """The patterns of each player, ready for JSON: by kind lists, the best suited first, then
    those that are nearest to the form's drums, then in the order of their titles.

    Of each: name, title, about, meter, feel, styles, tempo (two numbers or null), called, the words
    that sheets have for it, near, whether it is usual with drums of the style and the feel of the
    form's, suits, why and replaces, as in Found; of comping voicing, of bass and comping ``with``,
    the titles of drums.
    """
    return {kind: _listed(kind, form) for kind in KINDS}


def _listed(kind: str, form: Form) -> list[Json]:
    entries = []
    for name in library.names(kind):
        found = suits(kind, name, form)
        suited = {"suits": found.suits, "why": found.why, "replaces": found.replaces}
        entry = _entry(kind, name) | suited
        if name in _played(kind, form):
            entry["called"] = [*entry["called"], feel_words(form)]
        distance = _distance(kind, name, form)
        entry["near"] = distance <= OF_THEIR_STYLE
        place = len(found.why), distance, str(entry["title"]).casefold()
        entries.append((place, entry))
    return [entry for _, entry in sorted(entries, key=lambda each: each[0])]


def _played(kind: str, form: Form) -> tuple[str, ...]:
    if kind == PERCUSSION:
        return ()
    if kind == COMPING:
        return tuple(each.name for each in form.comping)
    return (form.drums.name if kind == DRUMS else form.bass.name,)


def _entry(kind: str, name: str) -> Json:
    if kind == PERCUSSION:
        pattern: Pattern = percussion_pattern(name)
        entry: Json = {"meter": "", "feel": "", "styles": [], "tempo": None, "called": []}
    else:
        pattern = READERS[kind](name)
        entry = {"meter": str(pattern.grid.meter), "feel": pattern.grid.feel}
        usual = _usual(kind, pattern)
        tempo = list(usual.tempo) if usual.tempo else None
        entry |= {"styles": usual.styles, "tempo": tempo, "called": usual.words}
        if kind != DRUMS:
            entry["with"] = sorted(usual.titles)
    if isinstance(pattern, CompingPattern):
        entry["voicing"] = pattern.voicing
    about = pattern.about
    return {"name": name, "title": title_of(kind, name, pattern.title), "about": about} | entry


def _usual(kind: str, pattern: Pattern) -> _Usual:
    found = _Usual()
    if isinstance(pattern, DrumPattern):
        found.add(pattern)
        return found
    for drums in _all_drums():
        if getattr(drums, kind) == pattern.name:
            found.add(drums)
    own = pattern.families if isinstance(pattern, CompingPattern) else ()
    for family in own:
        for drums in _all_drums():
            if drums.family == family:
                found.add_style(drums)
    return found


@cache
def _all_drums() -> tuple[DrumPattern, ...]:
    return tuple(drum_pattern(name) for name in library.names(DRUMS))


def _distance(kind: str, name: str, form: Form) -> int:
    """The distance of a pattern from the form's drums: 0 for what they bring, then those that are
    usual with drums of their style and feel, of their feel, and, where they swing, of another
    swing."""
    if kind == PERCUSSION or name in (form.drums.name, getattr(form.drums, kind, "")):
        return 0
    usual = _usual(kind, READERS[kind](name))
    if form.feel in usual.feels:
        return OF_THEIR_STYLE if form.drums.family in usual.styles else 2
    return 3 if form.feel != STRAIGHT and usual.feels != [STRAIGHT] else 4


def suits(kind: str, name: str, form: Form) -> Found:
    """The fit of a pattern for a form whose field of that kind would name it."""
    if kind == PERCUSSION:
        return _percussion(name, form)
    pattern = READERS[kind](name)
    given = dict(form.named.fields)
    try:
        decided = style.complete(given | {kind: (name,) if kind == COMPING else name})
    except style.StyleError:
        if isinstance(pattern, DrumPattern):
            return _instead(pattern, form)
        return Found(CANNOT, (_refusal(pattern, form),))
    usual = _usual(kind, pattern)
    why = [*_goes(kind, pattern, form, decided), *_tempo(usual.tempo, form)]
    if kind != DRUMS and name != getattr(form.drums, kind):
        why[:0] = _beside_drums(pattern, usual, form)
    return Found(CHANGES if why else FITS, tuple(why))


def _goes(kind: str, pattern: Pattern, form: Form, decided: Json) -> Iterator[str]:
    """The changes of metre and feel, in sentences."""
    if str(decided["meter"]) != str(form.meter):
        yield _why("meter_goes", meter=decided["meter"], own=form.meter)
    elif str(pattern.grid.meter) != str(form.meter):
        yield _why("cut", meter=pattern.grid.meter, own=form.meter)
    if decided["feel"] != form.feel:
        yield _why("feel_goes", feel=_feel(decided["feel"]), own=_feel(form.feel))
    elif kind == DRUMS and pattern.grid.feel != form.feel:
        yield _why("played", feel=_feel(pattern.grid.feel), own=_feel(form.feel))


def _beside_drums(pattern: Pattern, usual: _Usual, form: Form) -> Iterator[str]:
    """Why a pattern of bass or chords is unusual beside the form's drums, in sentences."""
    if form.feel not in usual.feels:
        feels = listed([_feel(feel) for feel in usual.feels])
        yield _why("usual", feel=feels, own=_feel(form.feel))
    elif pattern.grid.is_triplet and form.drums.swing_ticks < form.meter.beat_ticks:
        yield _why("sixteenths")


def _tempo(tempo: tuple[int, int] | None, form: Form) -> Iterator[str]:
    if tempo and not tempo[0] <= form.tempo <= tempo[1]:
        yield _why("tempo", low=tempo[0], high=tempo[1], tempo=in_figures(form.tempo))


def _instead(drums: DrumPattern, form: Form) -> Found:
    """The fit of drums for a form that has fields which don't go with them: those that must give
    way are replaced, as by drums that an option names."""
    given = dict(form.named.fields) | {DRUMS: drums.name}
    own = [player for player in (BASS, COMPING) if player in given]
    feel = [field for field in ("feel", "swing_ratio") if field in given]
    pinned = [*feel, "meter"] if "meter" in given else feel
    ways = [(base, more) for base in ([], feel, pinned) for more in ([], [BASS], [COMPING], own)]
    changed, players = next(way for way in ways if _completes(given, [*way[0], *way[1]]))
    replaced = *changed, *players
    if not changed:
        return Found(CHANGES, tuple(_given_way(replaced, drums, form)), replaced)
    grid = drums.grid
    if str(grid.meter) != _written_as(form.meter):
        why = _why("meter_given", meter=grid.meter, own=form.meter)
    else:
        why = _why("feel_given", feel=_feel(grid.feel), own=_feel(form.feel))
    return Found(CANNOT, (why, *_given_way(replaced, drums, form)), replaced)


def _completes(given: Json, without: Sequence[str]) -> bool:
    try:
        style.complete({field: value for field, value in given.items() if field not in without})
    except style.StyleError:
        return False
    return True


def _given_way(replaced: Sequence[str], drums: DrumPattern, form: Form) -> Iterator[str]:
    """The players' own patterns that give way, and an unusual tempo, in sentences."""
    names = words_of("screen-band")["players"]
    players = {BASS: (form.bass,), COMPING: form.comping}
    for player in players:
        if player in replaced:
            titles = (title_of(player, each.name, each.title) for each in players[player])
            yield _why("gives_way", player=names[player], title=" + ".join(titles))
    yield from _tempo(drums.tempo, form)


def _refusal(pattern: Pattern, form: Form) -> str:
    """Why a pattern of bass or chords can't be played beside the drums, in a sentence."""
    grid = pattern.grid
    if str(grid.meter) != _written_as(form.meter):
        return _why("meter", meter=grid.meter, own=form.meter)
    if not grid.takes(form.feel):
        return _why("triplets", own=_feel(form.feel))
    return _why("other")


def _percussion(name: str, form: Form) -> Found:
    swung = form.swing_ratio != 1
    pattern = percussion_pattern(name)
    rhythm = rhythm_for(pattern, form.drums, tempo=form.tempo, swung=swung)
    at_home = [str(each.grid.meter) for each in pattern.rhythms]
    at_home += [meter for each in pattern.rhythms for meter in each.also]
    if str(form.meter) not in at_home:
        return Found(CHANGES, (_why("no_rhythm", own=form.meter),))
    if form.tempo > rhythm.fastest:
        own = in_figures(form.tempo)
        return Found(CHANGES, (_why("fast", high=rhythm.fastest, tempo=own),))
    return Found()


def _written_as(meter: Meter) -> str:
    """The metre of the patterns that are cut for a metre, or its own."""
    others: dict[str, str] = library.table("defaults")["others"]
    return others.get(str(meter), str(meter))


def _feel(feel: str) -> str:
    return str(words_of("screen")["feels"][feel])


def _why(sentence: str, **names: object) -> str:
    return said("screen-band", f"why.{sentence}", **names)


def styles(lists: Iterable[Json]) -> list[tuple[str, str]]:
    """The styles of some lists of patterns, each with its title, in the order of those."""
    found = {name for entry in lists for name in entry["styles"]}
    titles = words_of("screen-band")["styles"]
    return sorted(((name, titles[name]) for name in found), key=lambda each: each[1].casefold())
