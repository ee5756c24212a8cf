"""The chapters of a track in words, for a description: where they begin, and their names.

They stand at the markers of the audio: each time round a form, each section of an order, the
ending. Sites want the first at 0:00 and none shorter than some seconds, so short ones are put
together: ``patterns/posting.toml``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from groove import library
from groove.form.chart import Chart, Round
from groove.theory.symbols import key_symbol, listed
from groove.wording import in_figures, inside, said


@dataclass(frozen=True, slots=True)
class Chapter:
    """A chapter: where it begins, in seconds, and its name."""

    seconds: float
    name: str

    @property
    def line(self) -> str:
        """``1:05 Chorus 2``, as sites read it."""
        return f"{clock(self.seconds)} {self.name}"


@dataclass(frozen=True, slots=True)
class _Piece:
    """A marker of the audio. name: of the section or of what is played, in words. number, of: of
    the chorus or the time round a line, and how many there are; 0 elsewhere. line: the line's
    name, empty without one."""

    seconds: float
    name: str
    number: int = 0
    of: int = 0
    line: str = ""


def clock(seconds: float) -> str:
    """Minutes and seconds that have gone by whole; with hours from the first on.

    >>> clock(65.9), clock(3661)
    ('1:05', '1:01:01')
    """
    minutes, second = divmod(int(seconds), 60)
    hours, minute = divmod(minutes, 60)
    return f"{hours}:{minute:02}:{second:02}" if hours else f"{minute}:{second:02}"


def chapters(chart: Chart, *, lead_in: float = 0.0, least: float | None = None) -> list[Chapter]:
    """The chapters of a track, the first at 0, in order of time.

    lead_in: seconds of something else before the audio, such as a video's title card. least: the
    seconds of a chapter, as the data has them if left out.
    """
    figures = library.table("posting")["chapters"]
    least = figures["seconds"] if least is None else least
    pieces = list(_pieces(chart, lead_in))
    end = lead_in + chart.seconds(chart.end)
    groups = _together(pieces, end, least)
    while len(groups) > figures["most"]:
        least = max(1.0, 1.25 * least)
        groups = _together(pieces, end, least)
    return [Chapter(group[0].seconds, _name(group)) for group in groups]


def round_name(chart: Chart, number: int) -> str:
    """The name of a time round as one place: ``Chorus 2``, ``Solos 1 of 3``, ``A and B``.

    number: from 0.
    """
    time = chart.rounds[number]
    if not chart.form.order:
        return _said("chorus", number=number + 1)
    first = time.passes[0]
    if first.name:
        return _in_line(first.name, [_Piece(0.0, "", first.time + 1, first.of, first.name)])
    return listed(_once(played.section.name for played in time.passes))


def place_name(chart: Chart, tick: int) -> str:
    """The name of the chorus or section that a time lies in."""
    at = chart.seconds(tick)
    pieces = [piece for piece in _pieces(chart, 0.0) if piece.seconds <= at + 1e-6]
    return _name(pieces[-1:])


def _pieces(chart: Chart, lead_in: float) -> Iterator[_Piece]:
    """The markers of the audio in words."""
    form = chart.form
    if lead_in:
        yield _Piece(0.0, _said("card"))
    if form.tuning_note:
        yield _Piece(lead_in, _said("tuning"))
    if form.count_in:
        at = lead_in + chart.seconds(chart.count_in)
        yield _Piece(at, _said("count_in"))
    for number, time in enumerate(chart.rounds, 1):
        if not form.order:
            at = lead_in + chart.seconds(time.start)
            yield _Piece(at, _chorus(chart, number, time), number)
            continue
        sections = {played.section.name for played in time.passes}
        for played in time.passes:
            at = lead_in + chart.seconds(played.start)
            name = "" if played.name and len(sections) == 1 else played.section.name
            yield _Piece(at, name, played.time + 1, played.of, played.name)
    if chart.ending:
        at = lead_in + chart.seconds(chart.ending[0].start)
        yield _Piece(at, _said("ending"))


def _said(key: str, **names: object) -> str:
    """Words of the data as they stand inside a sentence; a line's own stay as they were written."""
    return inside(said("posting", f"chapters.{key}", **names))


def _chorus(chart: Chart, number: int, time: Round) -> str:
    """``Chorus 2``, with its key and tempo where those change from chorus to chorus."""
    names = {
        "name": _said("chorus", number=number),
        "key": key_symbol(time.key),
        "tempo": in_figures(round(time.tempo, 1)),
    }
    keys = len({each.key for each in chart.rounds}) > 1
    tempi = len({each.tempo for each in chart.rounds}) > 1
    if not (keys or tempi):
        return names["name"]
    way = "in_key_at_tempo" if keys and tempi else "in_key" if keys else "at_tempo"
    return said("posting", f"chapters.{way}", **names)


def _together(pieces: Sequence[_Piece], end: float, least: float) -> list[list[_Piece]]:
    """The pieces in groups, each of which lasts `least` seconds as clocks show them."""
    groups: list[list[_Piece]] = []
    for piece in pieces:
        if groups and int(piece.seconds) - int(groups[-1][0].seconds) < least:
            groups[-1].append(piece)
        else:
            groups.append([piece])
    if len(groups) > 1 and int(end) - int(groups[-1][0].seconds) < least:
        last = groups.pop()
        groups[-1] += last
    return groups


def _name(group: Sequence[_Piece]) -> str:
    """The name of some pieces together: ``Count-in and chorus 1``, ``Solos 1 of 3: A and B``."""
    words: list[str] = []
    for line, some in groupby(group, key=lambda piece: piece.line):
        pieces = list(some)
        words += [_in_line(line, pieces)] if line else _plain(pieces)
    name = listed(words)
    return name[:1].upper() + name[1:]


def _plain(pieces: Iterable[_Piece]) -> list[str]:
    """Names of pieces outside named lines, several choruses as ``Choruses 1–3``."""
    words: list[str] = []
    for is_chorus, some in groupby(pieces, key=lambda piece: bool(piece.number and not piece.of)):
        found = list(some)
        if is_chorus and len(found) > 1:
            first, last = found[0].number, found[-1].number
            words.append(_said("choruses", first=first, last=last))
        else:
            words += _once(piece.name for piece in found)
    return words


def _in_line(line: str, pieces: Sequence[_Piece]) -> str:
    """``Solos 1 of 3: A and B``, over several times round ``Solos 1–2 of 3``."""
    first, last = pieces[0], pieces[-1]
    if first.of > 1:
        way = "round" if first.number == last.number else "rounds"
        names = {"line": line, "number": first.number, "last": last.number, "of": first.of}
        line = said("posting", f"chapters.{way}", **names)
    sections = listed(_once(piece.name for piece in pieces if piece.name))
    if first.number != last.number or not sections:
        return line
    return said("posting", "chapters.in_round", round=line, sections=sections)


def _once(names: Iterable[str]) -> list[str]:
    """Names without those that repeat the one before."""
    found = list(names)
    return found[:1] + [name for before, name in pairwise(found) if name != before]
