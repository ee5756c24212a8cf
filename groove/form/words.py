"""A form in words: its length, keys, tempi, feel and players."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from groove.form.harmony import key_in_words
from groove.form.model import USUAL_A4, Form
from groove.form.setting import Setting, Settings
from groove.theory.pitch import plain_signs
from groove.theory.symbols import key_names, listed
from groove.wording import counted, in_figures, said, title_of, words_of

if TYPE_CHECKING:
    from groove.form.chart import Chart
    from groove.rhythm.meter import Meter
    from groove.rhythm.patterns import DrumPattern


def say_notes(form: Form, say: Callable[[str], None]) -> None:
    """Call `say` with a line for each note that was made when the form was read."""
    for note in form.notes:
        say(f"note: {note}")


def setting_in_words(form: Form, chart: Chart) -> str:
    """``12 bars of 4/4 in C blues, then F Bb, swing (1.8:1) at 112 to 120``.

    With an order: ``213 bars in all, in 4/4, in F major, straight and swing (1.5:1) at 172``.
    """
    keys, tempi = keys_in_words(chart), tempi_in_words(chart)
    if form.by_section:
        ratios: dict[str, float] = {}
        for each in settings_of(chart):
            ratios.setdefault(each.feel, each.swing_ratio)
        feels = listed([_feel(feel, ratio) for feel, ratio in ratios.items()])
        road = bars_in_words(chart)
        return said("form", "setting.sections", road=road, keys=keys, feels=feels, tempo=tempi)
    feel = _feel(form.feel, form.swing_ratio)
    return said(
        "form", "setting.usual",
        bars=_bars(form.bars), meter=form.meter, key=keys, feel=feel, tempo=tempi,
    )  # fmt: skip


def bars_in_words(chart: Chart) -> str:
    """``213 bars in all, in 4/4``; of a form without an order, the bars of a chorus."""
    if not chart.form.order:
        size, meters = _bars(chart.form.bars), meters_in_words(chart)
        return said("form", "size.chorus", bars=size, meters=meters)
    bars = _bars(len(chart.bars) - len(chart.ending))
    return said("form", "size.road", bars=bars, meters=meters_in_words(chart))


def _bars(bars: int) -> str:
    return counted("numbers", "bars", bars)


def _feel(feel: str, ratio: float) -> str:
    name = str(words_of("feel")["names"][feel])
    if ratio == 1:
        return name
    return said("form", "setting.feel", feel=name, ratio=in_figures(ratio, ".2g"))


def settings_of(chart: Chart) -> tuple[Setting, ...]:
    """The settings of the sections as the road plays them, each once, in their order."""
    form, settings = chart.form, Settings(chart.form)
    lines = form.lines
    return tuple(
        dict.fromkeys(
            settings.of(lines[time.line].own, found.section.own, time.tempo)
            for time in chart.rounds
            for found in time.passes
        )
    )


def meters_in_words(chart: Chart) -> str:
    """The metres of a track: ``7/8 and 4/4, with a bar of 3/4``."""
    usual = list(dict.fromkeys(str(each.meter) for each in settings_of(chart)))
    meters = [str(bar.meter) for bar in chart.bars if bar.number]
    others = Counter(meter for meter in meters if meter not in usual)
    if not others:
        return listed(usual)
    count = sum(others.values())
    return counted("form", "meters", count, meters=listed(usual), others=listed(list(others)))


def players_in_words(form: Form) -> str:
    """``drums Rumba blues, bass Tumbao, comping Montuno``: the titles of the patterns.

    Those of sections and lines follow: ``drums Mambo and Medium swing, ...``. Last what a solo part
    plays, if there is one.
    """
    found: list[Form | Setting] = [form]
    if form.by_section:
        settings = Settings(form)
        found = [
            settings.of(line.own, play.section.own, form.tempo)
            for line in form.lines
            for play in line.plays
        ]
    drums = _each(title_of("drums", each.drums.name, each.drums.title) for each in found)
    bass = _each(title_of("bass", each.bass.name, each.bass.title) for each in found)
    comping = _each(title_of("comping", c.name, c.title) for each in found for c in each.comping)
    beside = _each(title_of("percussion", name) for each in found for name in each.percussion)
    names = {"drums": drums, "bass": bass, "comping": comping, "percussion": beside}
    band = said("form", f"players.{'percussion' if beside else 'usual'}", **names)
    solo = form.lesson.solo
    return band if solo == "none" else said("form", f"players.{solo}", band=band)


def _each(words: Iterable[str]) -> str:
    found = list(dict.fromkeys(words))
    return listed(found) if found else ""


def keys_in_words(chart: Chart) -> str:
    """The key of the form, then those that follow: ``C blues, then F Bb``."""
    keys = [chart.rounds[0].key, *(found.key for found in chart.passes)]
    others = plain_signs(key_names(list(dict.fromkeys(keys))[1:]))
    first = plain_signs(key_in_words(chart.form))
    return said("form", "keys.then", first=first, others=others) if others else first


def tempi_in_words(chart: Chart) -> str:
    """The tempo of the first chorus, and of the last where that is another: ``64 to 75``; where
    sections differ, the slowest and the fastest."""
    first, last = chart.rounds[0].tempo, chart.rounds[-1].tempo
    if chart.form.by_section:
        tempi = [each.tempo for each in settings_of(chart)]
        first, last = min(tempi), max(tempi)
    if last == first:
        return in_figures(first)
    return said("form", "tempi.range", first=in_figures(first), last=in_figures(last))


def tuning_in_words(form: Form) -> str:
    """``, A at 442 Hz``, or nothing where it is the usual one."""
    return "" if form.a4 == USUAL_A4 else said("form", "tuning.a4", hertz=in_figures(form.a4))


def feel_words(form: Form | Setting) -> str:
    """The pace and the feel for the head of a part: ``Medium swing``, ``Slow 12/8``.

    The words are in ``patterns/lesson/feel.toml``.
    """
    return _feel_words(form.drums, form.meter, form.feel, form.tempo)


def all_feel_words(drums: DrumPattern) -> list[str]:
    """The words that heads of parts have for a drum pattern, played as it is written, at its usual
    tempi, the slowest first: ``Slow shuffle``, ``Medium shuffle``, ``Bright shuffle``."""
    grid = drums.grid
    low, high = drums.tempo
    tempi = [low, *(below for below, _ in _paces(grid.meter, grid.feel) if low < below < high)]
    words = (_feel_words(drums, grid.meter, grid.feel, tempo) for tempo in tempi)
    return list(dict.fromkeys(words))


def _paces(meter: Meter, feel: str) -> list[tuple[float, str]]:
    """The words for a pace, each with the tempo below which it is said."""
    paces = words_of("feel")["pace"]
    found: list[tuple[float, str]] = paces["compound" if meter.is_compound else feel]
    return found


def _feel_words(drums: DrumPattern, meter: Meter, feel: str, tempo: float) -> str:
    data = words_of("feel")
    paces = _paces(meter, feel)
    pace = next((word for below, word in paces if tempo < below), paces[-1][1])
    own = data["styles"] if drums.grid.feel == feel else {}
    if meter.is_compound:
        return said("feel", "phrases.compound", pace=pace, meter=meter)
    if drums.name in own:
        style = str(own[drums.name])
        if drums.name in data["felt_in_two"]["patterns"]:
            return _begun(style)
        return _begun(said("feel", "phrases.usual", pace=pace, style=style))
    if drums.swing_ticks < meter.beat_ticks and feel != "straight":
        return said("feel", "phrases.sixteenths", pace=pace, feel=data["names"][feel])
    return _begun(said("feel", "phrases.usual", pace=pace, style=data["feels"][feel]))


def _begun(words: str) -> str:
    return words[:1].upper() + words[1:]


def _swings_sixteenths(form: Form | Setting) -> bool:
    return form.drums.swing_ticks < form.meter.beat_ticks
