"""The words of a folded road: names of lines, times, players, dynamics, cues, and the whole road.

The words are those that band leaders write over a chart (common practice).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby

from groove.form.chart import NOBODY, Bar, Chart, Pass
from groove.form.intensity import Stretch
from groove.form.model import Form, Line, Own
from groove.form.road.directions import DYNAMICS, GUITAR, KEYS, TACET
from groove.form.road.folded import Folded, Note, Reading, way_back
from groove.form.setting import Setting
from groove.rhythm.patterns import drum_pattern
from groove.theory.symbols import listed
from groove.wording import counted, filled, in_figures, said, title_of, words_of

KINDS = ("feel", "players", "dynamics", "cue", "rit", "fermata")
ONCE = ("feel", "dynamics")  # hold until something else is said, so a time needs no number
_Read = tuple[int, Reading]  # a bar of the road, and the reading that it belongs to
_Told = Mapping[str, Mapping[int, str]]  # by kind: bar of the road and words
_SIGNS = {level: sign for sign, level in DYNAMICS.items()}


def reading(chart: Chart, shown: Sequence[int], found: Reading) -> Reading:
    """A reading with its words: ``("solos 3 times, open", "mf", "no kicks")``.

    shown: the written bars that are read. Where a line goes on from an earlier strip, its words
    stand there.
    """
    line = chart.form.lines[found.line]
    bars = chart.bars[found.bars[0] : found.bars[1]]
    if not chart.form.order or (bars[0].number, chart.rounds[bars[0].round].time) != (1, 0):
        return found
    before = chart.form.lines[found.line - 1] if found.line else line
    words = [_line_name(line, found.times), *_players_words(line, before, band_of(chart.form))]
    trade = line.own.get("trade")
    if trade and _is_called_trading(line):
        words[0] = said("road", "trading.named", name=words[0], traded=_traded(trade))
    elif trade:
        words.append(said("road", "trading.trade", traded=_traded(trade)))
    if _has_kicks(chart.bars[bar] for bar in shown) and not _has_kicks(bars):
        words.append(said("road", "lines.no_kicks"))
    if line.own.get("dynamics"):
        words.append(dynamics_words(line.own.get("dynamics")))
    step = line.own.get("tempo_step")
    if step:
        way = "faster" if step > 0 else "slower"
        words.append(said("road", f"lines.{way}", step=in_figures(abs(step))))
    return Reading(found.line, found.times, found.bars, tuple(word for word in words if word))


def readings(chart: Chart, shown: Sequence[int], found: Sequence[Reading]) -> tuple[Reading, ...]:
    """The readings of a strip with their words; beside others, one without words has its number:
    ``1st time``.

    shown: the written bars that are read.
    """
    worded = [reading(chart, shown, each) for each in found]
    if not any(each.words for each in worded):
        return tuple(worded)
    numbered = []
    at = 0
    for each in worded:
        times = range(at, at + each.times)
        at += each.times
        words = each.words or (_ordinals(times),)
        numbered.append(Reading(each.line, each.times, each.bars, words))
    return tuple(numbered)


def _is_called_trading(line: Line) -> bool:
    return line.name.lower() in words_of("road")["trading"]["names"]


def _traded(bars: int) -> str:
    """``fours``, ``3 bars``."""
    words = words_of("road")["trading"]
    return str(words.get(str(bars)) or said("road", "trading.other", number=bars))


def pulse_words(pulse: str) -> str:
    """``half-time feel``, and ``normal time`` where there is no pulse of its own."""
    return said("road", f"pulse.{pulse or 'normal'}")


def _has_kicks(bars: Iterable[Bar]) -> bool:
    return any(bar.figure is not None and not bar.figure.alone for bar in bars)


def _line_name(line: Line, times: int) -> str:
    """``solos 3 times, open``."""
    words = _counted(line.name, times)
    is_open = said("road", "lines.open") if line.is_open else ""
    return ", ".join(word for word in (words, is_open) if word)


def _counted(name: str, times: int) -> str:
    """A name and how many times: ``solos 3 times``, ``solo, in A, 3 times``."""
    if times == 1:
        return name
    way = "of_list" if "," in name else "of"
    return said("numbers", f"times.{way}", name=name, times=times_words(times)).strip()


def times_words(times: int) -> str:
    """``twice``, ``3 times``."""
    return said("numbers", "times.two" if times == 2 else "times.many", number=times)


def _players_words(line: Line, before: Line, band: frozenset[str]) -> list[str]:
    """The players of a whole line, as far as it names them, and those back after the one before."""
    own = line.own
    words = [listed(_titles(kind, own)) for kind in ("drums", "bass", "comping") if own.get(kind)]
    if "percussion" in own:
        words.append(_percussion(own.get("percussion")))
    words += [_instrument(player, name) for player, name in own.get("instrument", ())]
    if own.get("pulse"):
        words.append(pulse_words(own.get("pulse")))
    if own.get("riff"):
        words.append(said("road", "players.riff", name=own.get("riff")))
    out = _throughout(own)
    return [*words, out_words(out, band), in_words(_throughout(before.own) - out, band)]


def _instrument(player: str, name: str) -> str:
    """``bass: fretless bass``."""
    shown = words_of("instruments")["names"].get(name, name)
    return said("road", "players.instrument", player=_named([player])[0], name=shown)


def _percussion(names: Sequence[str]) -> str:
    if not names:
        return said("road", "players.no_percussion")
    shown = words_of("instruments")["percussion"]
    return said("road", "players.with", players=listed([shown.get(n, n) for n in names]))


def _titles(kind: str, own: Own) -> list[str]:
    names = own.get(kind)
    names = [names] if isinstance(names, str) else names
    return [title_of(kind, name) for name in names]


def _throughout(own: Own) -> frozenset[str]:
    """The players who are silent in a whole line."""
    whole: list[frozenset[str]] = [at.value for at in own.get("tacet", ()) if at.bars is None]
    return NOBODY.union(*whole)


def band_of(form: Form) -> frozenset[str]:
    """The players of a form, by the names that `tacet` has for them."""
    owns = [form.own, *(section.own for section in form.sections)]
    owns += [line.own for line in form.lines]
    two = len(form.comping) > 1 or any(len(own.get("comping") or ()) > 1 for own in owns)
    band = {"drums", "bass"} | ({GUITAR, KEYS} if two else {"comping"})
    if form.percussion or any(own.get("percussion") or _brings(own, form) for own in owns):
        band.add("percussion")
    if form.lesson.solo != "none":
        band.add("solo")
    return frozenset(band | {f for f in ("riff", "melody") if any(own.get(f) for own in owns)})


def _brings(own: Own, form: Form) -> bool:
    """True if the drum pattern of a section or a line brings percussion."""
    drums = own.get("drums")
    return bool(drums and "percussion" not in form.named and drum_pattern(drums).percussion)


def out_words(out: frozenset[str], band: frozenset[str]) -> str:
    """``drums and comping out``, ``bass alone``; empty where everybody plays."""
    without = {"comping", "solo"} - (band & {"solo"})
    left = [player for player in TACET if player not in out | without]
    if len(left) == 1:
        return said("road", "players.alone", player=_named(left)[0])
    return _those(out & band, "out")


def in_words(players: frozenset[str], band: frozenset[str]) -> str:
    """``drums in``; empty for none."""
    return _those(players & band, "in")


def _those(players: frozenset[str], way: str) -> str:
    names = _named(players)
    return said("road", f"players.{way}", players=listed(names)) if names else ""


def _named(players: Iterable[str]) -> list[str]:
    """The names of players in the order of a score."""
    names = words_of("road")["players"]["names"]
    there = set(players)
    return [str(names[player]) for player in TACET if player in there]


def dynamics_words(stretches: Sequence[Stretch]) -> str:
    """``mf``, ``mp to f``, ``mf 8 bars, f 4 bars``, ``p, mf, f by time``."""
    words = []
    for stretch in stretches:
        first, last = _SIGNS[stretch.first], _SIGNS[stretch.last]
        word = first if first == last else said("road", "dynamics.swell", first=first, last=last)
        if stretch.bars:
            bars = counted("numbers", "bars", stretch.bars)
            word = said("road", "dynamics.bars", sign=word, bars=bars)
        words.append(word)
    by_time = len(words) > 1 and not any(stretch.bars for stretch in stretches)
    signs = ", ".join(words)
    return said("road", "dynamics.by_time", signs=signs) if by_time else signs


def swell_of(words: str) -> tuple[str, str] | None:
    """The signs of loudness that a swell goes from and to; None for other words."""
    pairs = ((first, last) for first in DYNAMICS for last in DYNAMICS if first != last)
    return next(
        (p for p in pairs if said("road", "dynamics.swell", first=p[0], last=p[1]) == words), None
    )


def notes(chart: Chart, folded: Folded) -> list[tuple[Note, ...]]:
    """The words over the bars of each strip."""
    told = _told(chart)
    return [_notes(chart, told, _read(folded, index)) for index in range(len(folded.strips))]


def _notes(chart: Chart, told: _Told, read: Sequence[Sequence[_Read]]) -> tuple[Note, ...]:
    """The words over the bars of a strip; read: the bars of the road that are read at each."""
    found = []
    for kind in KINDS:
        for at, bars in enumerate(read):
            texts = [told[kind].get(bar) for bar, _ in bars]
            for text in dict.fromkeys(text for text in texts if text is not None):
                which = [n for n, here in enumerate(texts) if here == text]
                always = len(which) == len(bars) or (kind in ONCE and set(texts) <= {text, None})
                last = kind in ("rit", "fermata") and which == [len(bars) - 1]
                times = said("road", "which.last") if last else _times_label(chart, bars, which)
                times = "" if always else times
                found.append(Note(at, kind, _labelled(kind, times, text)))
    return tuple(sorted(found, key=lambda note: (note.at, KINDS.index(note.kind))))


def _labelled(kind: str, times: str, text: str) -> str:
    if kind in ("rit", "fermata"):
        return " ".join(word for word in (text, times) if word)
    return said("road", "which.words", times=times, words=text) if times else text


def _times_label(chart: Chart, bars: Sequence[_Read], which: Sequence[int]) -> str:
    """The times that are meant of those a bar is read: ``last time``, ``solos``, ``2nd time``."""
    if list(which) == [len(bars) - 1] and len(bars) > 2:
        return said("road", "which.last")
    readings = dict.fromkeys(bars[n][1] for n in which)
    if len(readings) == 1 and len({reading for _, reading in bars}) > 1:
        only = next(iter(readings))
        own = [n for n, (_, reading) in enumerate(bars) if reading == only]
        name = chart.form.lines[only.line].name
        if name:
            part = [own.index(n) for n in which]
            if len(part) == len(own):
                return name
            return said("road", "which.of_line", name=name, times=_ordinals(part))
    return _ordinals(which)


def _ordinals(which: Sequence[int]) -> str:
    """``2nd time``, ``1st and 3rd time``, ``2nd to 5th time``."""
    runs: list[list[int]] = []
    for number in which:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    words = []
    for run in runs:
        if len(run) > 2:
            ends = {"first": ordinal(run[0] + 1), "last": ordinal(run[-1] + 1)}
            words.append(said("road", "which.range", **ends))
        else:
            words += [ordinal(time + 1) for time in run]
    return said("road", "which.times", times=listed(words))


def ordinal(place: int) -> str:
    """``1st``, ``22nd``, ``113th``."""
    words = words_of("numbers")
    shape = words["teens"] if place % 100 in (11, 12, 13) else words["nth"][place % 10]
    return filled(str(shape), {"number": str(place)})


def _read(folded: Folded, index: int) -> list[list[_Read]]:
    """The bars of the road that are read at each position of a strip, with their readings."""
    strip = folded.strips[index]
    read: list[list[_Read]] = [[] for _ in strip.bars]
    way = strip.walk()
    for found in strip.readings:
        for number, bar in enumerate(range(*found.bars)):
            read[way[number % len(way)]].append((bar, found))
    if folded.back and folded.back.strip == index:
        for bar, at in zip(range(*folded.back.reading.bars), way_back(folded), strict=True):
            read[at].append((bar, folded.back.reading))
    return read


def _told(chart: Chart) -> _Told:
    """The words at bars of the road, by kind; a line's cues are the same each time round."""
    told: dict[str, dict[int, str]] = {kind: {} for kind in KINDS}
    for number, bar in enumerate(chart.bars):
        if bar.held is not None and bar.number:
            told["fermata"][number] = ""
    homes = {time.line: time.first for time in reversed(chart.rounds)}
    band = band_of(chart.form)
    for time in chart.rounds:
        line = chart.form.lines[time.line]
        whole = _throughout(line.own)
        before: frozenset[str] = NOBODY
        for number in range(time.first, time.last):
            bar = chart.bars[number]
            out = NOBODY if bar.drums_alone else bar.out - whole
            cue = ", ".join(chart.bars[homes[time.line] + number - time.first].words)
            words = [out_words(out, band) if out - before else "", in_words(before - out, band)]
            told["players"][number] = ", ".join(word for word in words if word not in ("", cue))
            told["cue"][number] = cue
            before = out
        before_it = ""
        for played in time.passes:
            _say_section(chart, line, played, before_it == played.section.name, told)
            before_it = played.section.name
        slows = line.own.get("rit", 0)
        if slows and time.time == line.times - 1:
            told["rit"][max(time.first, time.last - slows)] = said("road", "way.ritardando")
    for kind in ("players", "cue"):
        told[kind] = {bar: words for bar, words in told[kind].items() if words}
    return told


def _say_section(
    chart: Chart, line: Line, played: Pass, again: bool, told: Mapping[str, dict[int, str]]
) -> None:
    """Add the words of a section's own fields; again: whether it follows itself."""
    own, first = played.section.own, played.first
    if own.get("dynamics") and "dynamics" not in line.own and not again:
        told["dynamics"][first] = dynamics_words(own.get("dynamics"))
    if own.get("rit") and "rit" not in line.own:
        told["rit"][max(first, played.last - own.get("rit"))] = said("road", "way.ritardando")
    if own.get("riff") and "riff" not in line.own:
        words = (told["players"].get(first), said("road", "players.riff", name=own.get("riff")))
        told["players"][first] = ", ".join(word for word in words if word)
    feel = _feel_words(chart, line, first)
    if feel:
        told["feel"][first] = feel


def _feel_words(chart: Chart, line: Line, number: int) -> str:
    """The change of the band in the first bar of a section: ``Swing``, ``half-time feel``.

    What a line changes stands in its own words.
    """
    here = chart.bars[number].setting
    if not number:
        return feel_name(here)
    before = chart.bars[number - 1].setting
    words = []
    new = here.drums.title != before.drums.title
    if new and "drums" not in line.own:
        title = title_of("drums", here.drums.name, here.drums.title)
        words.append(feel_name(here) if feel_name(here) != feel_name(before) else title)
    if here.pulse != before.pulse and "pulse" not in line.own:
        words.append(pulse_words(here.pulse))
    comping = [title_of("comping", each.name, each.title) for each in here.comping]
    if not new and "comping" not in line.own:
        same = [c.name for c in here.comping] == [c.name for c in before.comping]
        words += [] if same else comping
    brought = new and here.percussion == here.drums.percussion
    if here.percussion != before.percussion and not brought and "percussion" not in line.own:
        words.append(_percussion(here.percussion))
    if "instrument" not in line.own:
        new_ones = [pair for pair in here.instruments if pair not in before.instruments]
        words += [_instrument(player, name) for player, name in new_ones]
    return ", ".join(words)


def feel_name(setting: Setting) -> str:
    """``Mambo``, ``Swing``."""
    data = words_of("feel")
    words = str(data["feels"][setting.feel])
    if setting.meter.is_compound:
        words = title_of("drums", setting.drums.name, setting.drums.title)
    elif setting.drums.grid.feel == setting.feel:
        words = str(data["styles"].get(setting.drums.name, words))
    return words[:1].upper() + words[1:]


def road_words(chart: Chart, folded: Folded, *, tells_open: bool = True) -> str:
    """The road in words for the head of a chart; empty for a form without an order. tells_open:
    whether it says which lines are open.

    ``Intro twice; head; solos 3 times, open; trading fours with the drums; out: D.S. al Coda, Tag
    3 times, Last``
    """
    if not chart.form.order:
        return ""
    back = folded.back
    words = []
    for index, line in enumerate(chart.form.lines):
        if back and back.reading.line == index:
            after = [p for p in chart.passes if p.line == index and p.first >= back.reading.bars[1]]
            rest = [word for word in runs(p.section.name for p in after) if word != "Coda"]
            how = ", ".join([back.text, *rest])
            named = said("road", "lines.way_back", name=line.name, way=how)
            words.append(named if line.name else how)
            continue
        told = line.name or ", ".join(runs(play.section.name for play in line.plays))
        trade = line.own.get("trade", 0)
        if trade:
            trading = said("road", "trading.trading", traded=_traded(trade))
            called = told.lower() in words_of("road")["trading"]["names"]
            told = trading if called else f"{told}, {trading}"
        told = _counted(told, line.times)
        words.append(
            f"{told}, {said('road', 'lines.open')}" if line.is_open and tells_open else told
        )
    text = "; ".join(words)
    return text[:1].upper() + text[1:]


def runs(names: Iterable[str]) -> list[str]:
    """Names in order, neighbours alike counted: ``A twice``."""
    runs = [(name, len(list(run))) for name, run in groupby(names)]
    return [
        name if times == 1 else said("numbers", "times.of", name=name, times=times_words(times))
        for name, times in runs
    ]
