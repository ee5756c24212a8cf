"""The patterns of a player as a page shows them: what each is, and whether it fits a form.

A drum pattern's style, and the tempi at which it sits well, stand in its file. Bass and comping
have those of the drum patterns that bring them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from groove import library
from groove.band.part import BASS, COMPING, DRUMS, PERCUSSION
from groove.form import style
from groove.form.model import Form
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
from groove.wording import in_figures, said, title_of, words_of

Json = dict[str, Any]
FITS, CHANGES, CANNOT = "fits", "changes", "cannot"
"""How a pattern suits a form: as it stands; with what it changes or what is unusual; not at all."""


@dataclass(frozen=True)
class Found:
    """How a pattern suits a form: one of FITS, CHANGES and CANNOT, and in sentences why."""

    suits: str = FITS
    why: tuple[str, ...] = ()


@dataclass
class _Brought:
    """The drum patterns that bring a pattern of bass or comping."""

    titles: list[str] = field(default_factory=list)
    styles: list[str] = field(default_factory=list)
    tempo: tuple[int, int] | None = None

    def add(self, drums: DrumPattern) -> None:
        """Add a drum pattern."""
        self.titles.append(title_of(DRUMS, drums.name, drums.title))
        if drums.family not in self.styles:
            self.styles.append(drums.family)
        low, high = self.tempo or drums.tempo
        self.tempo = min(low, drums.tempo[0]), max(high, drums.tempo[1])


def patterns(form: Form) -> Json:
    """The patterns of each player, ready for JSON: by kind lists, the best suited first, then in
    the order of their titles.

    Of each: name, title, about, meter, feel, styles, tempo (two numbers or null), suits and why,
    as in Found; of comping voicing, of bass and comping ``with``, the titles of drum patterns.
    """
    return {kind: _listed(kind, form) for kind in KINDS}


def _listed(kind: str, form: Form) -> list[Json]:
    entries = []
    for name in library.names(kind):
        found = suits(kind, name, form)
        entries.append(_entry(kind, name) | {"suits": found.suits, "why": list(found.why)})
    return sorted(entries, key=lambda each: (len(each["why"]), str(each["title"]).casefold()))


def _entry(kind: str, name: str) -> Json:
    if kind == PERCUSSION:
        pattern: Pattern = percussion_pattern(name)
        entry: Json = {"meter": "", "feel": "", "styles": [], "tempo": None}
    else:
        pattern = READERS[kind](name)
        grid = pattern.grid
        entry = {"meter": str(grid.meter), "feel": grid.feel}
        if isinstance(pattern, DrumPattern):
            entry |= {"styles": [pattern.family], "tempo": list(pattern.tempo)}
        else:
            brought = _brought(kind, name)
            tempo = list(brought.tempo) if brought.tempo else None
            entry |= {"styles": brought.styles, "tempo": tempo, "with": sorted(brought.titles)}
    if isinstance(pattern, CompingPattern):
        entry["voicing"] = pattern.voicing
    about = pattern.about
    return {"name": name, "title": title_of(kind, name, pattern.title), "about": about} | entry


def _brought(kind: str, name: str) -> _Brought:
    found = _Brought()
    for drums in _all_drums():
        if getattr(drums, kind) == name:
            found.add(drums)
    return found


@cache
def _all_drums() -> tuple[DrumPattern, ...]:
    return tuple(drum_pattern(name) for name in library.names(DRUMS))


def suits(kind: str, name: str, form: Form) -> Found:
    """How a pattern suits a form whose field of that kind would name it."""
    if kind == PERCUSSION:
        return _percussion(name, form)
    pattern = READERS[kind](name)
    given = dict(form.named.fields)
    try:
        decided = style.complete(given | {kind: (name,) if kind == COMPING else name})
    except style.StyleError as error:
        return Found(CANNOT, (_refusal(kind, pattern, form, error),))
    why = []
    if str(decided["meter"]) != str(form.meter):
        why.append(_why("meter_goes", meter=decided["meter"], own=form.meter))
    elif str(pattern.grid.meter) != str(form.meter):
        why.append(_why("cut", meter=pattern.grid.meter, own=form.meter))
    if decided["feel"] != form.feel:
        why.append(_why("feel_goes", feel=_feel(decided["feel"]), own=_feel(form.feel)))
    elif kind == DRUMS and pattern.grid.feel != form.feel:
        why.append(_why("played", feel=_feel(pattern.grid.feel), own=_feel(form.feel)))
    tempo = pattern.tempo if isinstance(pattern, DrumPattern) else _brought(kind, name).tempo
    if tempo and not tempo[0] <= form.tempo <= tempo[1]:
        own = in_figures(form.tempo)
        why.append(_why("tempo", low=tempo[0], high=tempo[1], tempo=own))
    return Found(CHANGES if why else FITS, tuple(why))


def _refusal(kind: str, pattern: Pattern, form: Form, error: style.StyleError) -> str:
    """Why a pattern can't be played in a form, in a sentence."""
    grid = pattern.grid
    players = {BASS: (form.bass,), COMPING: form.comping}
    if kind == DRUMS and error.field in players:
        titles = " + ".join(
            title_of(error.field, each.name, each.title) for each in players[error.field]
        )
        player = words_of("screen")["fields"]["names"][error.field]
        return _why("keeps", player=player, title=titles)
    if str(grid.meter) != _written_as(form.meter):
        return _why("meter", meter=grid.meter, own=form.meter)
    if not grid.takes(form.feel) or error.field == "swing_ratio":
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
