"""The cover of a track: title, key, tempo, feel, the chart's first lines and the teacher.

It has to be told apart where it is no larger than a thumb, so key and tempo stand as large as they
can on a coloured band, and the title in the largest type with which it fits.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from groove import library
from groove.errors import GrooveError, OptionError, nearest
from groove.files import try_targets, written_together
from groove.form.harmony import key_in_words
from groove.form.model import Form
from groove.handout import SIZES
from groove.handout.chart.bar import NO_CHANGE, WrittenBar
from groove.handout.chart.cells import Measures
from groove.handout.chart.head import tempo_marks
from groove.handout.chart.line import line_height, line_marks
from groove.handout.chart.written import WrittenChart, write_chart
from groove.handout.drawing.faces import settable
from groove.handout.drawing.page import POINT, Mark, Text, fitted, moved, text_width
from groove.handout.drawing.raster import coverage, write_png
from groove.handout.output import say_unprintable
from groove.handout.video.look import Room, look_of
from groove.theory.symbols import key_symbol
from groove.wording import said, worded

if TYPE_CHECKING:
    from groove.handout.drawing.raster import Pixels

ENDING = ".png"
STEP = 0.96  # from one size that is tried to the next
LEADING = 1.12  # of the title, from line to line
CAPITAL, DESCENT = 0.72, 0.22  # of a size, over the baseline and under it
MARGIN = 5.0  # mm, of the band
KEY_HIGH = 0.5  # of the band's height, the key's capitals at most, where the tempo stands under it
KEY_WIDE = 0.42  # of the band's width, where the tempo stands beside it
TEMPO = 0.46  # of the key's size at most
BAND_WORDS = 0.95  # of the size of words
GAP = 4.0  # mm between the parts of the main room
DOT = " · "


@dataclass(frozen=True)
class Layout:
    """The layout of a cover: see ``patterns/posting.toml``. Sizes in points."""

    pixels: tuple[int, int]
    a_mm: float
    band: Room
    beside: bool
    main: Room
    title: tuple[float, float]
    title_lines: int
    title_share: float
    chords: tuple[float, float]
    lines: int
    bars: int
    words: float

    @classmethod
    def of(cls, size: str) -> Layout:
        """The layout of a size. Raises OptionError for one that is not known."""
        if size not in SIZES:
            raise OptionError("size", f"found {size!r}; {nearest(size, SIZES)}")
        data: dict[str, Any] = library.table("posting")["cover"][size]
        rooms = {name: Room(*data[name]) for name in ("band", "main")}
        pairs = {name: tuple(data[name]) for name in ("pixels", "title", "chords")}
        return cls(**(data | rooms | pairs))

    @property
    def paper(self) -> tuple[float, float]:
        """Width and height in mm."""
        return self.pixels[0] / self.a_mm, self.pixels[1] / self.a_mm


def cover(form: Form, size: str = "wide", theme: str = "light") -> Pixels:
    """The cover of a form's track: red, green and blue, of shape (rows, columns, 3).

    size: ``"wide"``, 1280 x 720; ``"square"``, 1080 x 1080; ``"upright"``, 1080 x 1920. theme:
    ``"light"`` or ``"dark"``. Raises OptionError for other names, and GrooveError where the extra
    ``video`` is missing.
    """
    layout = Layout.of(size)
    colours = look_of("wide", theme).colours
    with worded(form.lesson.words):
        chart = write_chart(form)
        band, main = band_marks(chart, form, layout), main_marks(chart, layout)
    width, height = layout.paper
    on_band, on_paper = (coverage(marks, width, height, layout.pixels) for marks in (band, main))
    import numpy as np

    def mixed(ink: Pixels, under: str, over: str) -> Any:
        share = ink[:, :, np.newaxis].astype(np.float32) / 255
        low, high = (np.array(colours[name], np.float32) for name in (under, over))
        return low + (high - low) * share

    picture = mixed(on_paper, "paper", "ink")
    left, top, right, bottom = (
        round(edge * layout.a_mm)
        for edge in (layout.band.x, layout.band.y, layout.band.x + layout.band.wide,
                     layout.band.y + layout.band.high)
    )  # fmt: skip
    part = (slice(top, bottom), slice(left, right))
    picture[part] = mixed(on_band[part], "line", "paper")
    found: Pixels = np.rint(picture).astype(np.uint8)
    return found


def make_cover(
    form: Form,
    path: str | Path,
    *,
    size: str = "wide",
    theme: str = "light",
    say: Callable[[str], None] = lambda line: None,
) -> Path:
    """Write the cover of a form's track as PNG; size and theme: see cover.

    path: ends in ``.png``. say: called with each line that the reader should know. Returns the
    path. Raises GrooveError; then nothing has been written.
    """
    target = Path(path)
    if target.suffix.lower() != ENDING:
        raise GrooveError(f"{path}: a cover ends in {ENDING}")
    try_targets([target])
    with written_together([target], say) as (staged,):
        write_png(staged, cover(form, size, theme))
    say_unprintable(form.title, (), say, [form.lesson.teacher])
    return target


def band_marks(chart: WrittenChart, form: Form, layout: Layout) -> list[Mark]:
    """Key and tempo on the band, as large as they can be."""
    band = layout.band
    symbol, words = key_symbol(chart.key), key_words(form)
    small = BAND_WORDS * layout.words
    if not layout.beside:
        room = band.wide - 2 * MARGIN
        size = _filling(symbol, room, KEY_HIGH * band.high / CAPITAL / POINT)
        left = band.x + MARGIN
        y = band.y + MARGIN + CAPITAL * size * POINT
        marks: list[Mark] = [Text(left, y, symbol, size, "bold")]
        y += 1.7 * small * POINT
        marks += _rows(words, room, small, left, y, 2)
        return marks + _tempo(chart, left, band.y + band.high - MARGIN, room, TEMPO * size)
    high = band.high - 2 * MARGIN
    size = _filling(symbol, KEY_WIDE * band.wide - MARGIN, high / CAPITAL / POINT)
    left, middle = band.x + MARGIN + 2, band.y + band.high / 2
    marks = [Text(left, middle + CAPITAL * size * POINT / 2, symbol, size, "bold")]
    right = left + text_width(symbol, size, "bold") + 2 * MARGIN
    room = band.x + band.wide - MARGIN - right
    tempo = _tempo(chart, right, 0.0, room, TEMPO * high / POINT / CAPITAL)
    em = max(mark.size for mark in tempo if isinstance(mark, Text)) * POINT
    whole = em * CAPITAL + 1.7 * small * POINT
    baseline = middle - whole / 2 + em * CAPITAL
    marks += [moved(mark, 0.0, baseline) for mark in tempo]
    return marks + _rows(words, room, small, right, baseline + 1.7 * small * POINT, 2)


def key_words(form: Form) -> str:
    """The key in words; of a form that goes through several, how many there are."""
    keys = form_keys(form)
    words = key_in_words(form)
    return said("posting", "title.cycle", number=keys, key=words) if keys > 2 else words


def form_keys(form: Form) -> int:
    """The number of keys that the rounds of a form are in."""
    from groove.form.unroll import unroll

    return len({time.key for time in unroll(form).rounds})


def _filling(text: str, room: float, most: float) -> float:
    """The size in points with which a bold text fills a width in mm, `most` at most."""
    return min(most, room / text_width(text, 1.0, "bold"))


def _tempo(chart: WrittenChart, x: float, baseline: float, room: float, size: float) -> list[Mark]:
    """The tempo mark in a size that fits its room."""
    while True:
        end, marks = tempo_marks(chart.meter, chart.tempo, x, baseline, size)
        if end - x <= room:
            return marks
        size *= STEP


def _rows(words: str, room: float, size: float, x: float, y: float, most: int) -> list[Mark]:
    """Words on so many lines at most."""
    rows = wrapped(words, room, size, "regular")
    shown = [*rows[: most - 1], " ".join(rows[most - 1 :])] if len(rows) > most else rows
    return [
        Text(x, y + 1.2 * number * size * POINT, fitted(row, room, size), size)
        for number, row in enumerate(shown)
    ]


def wrapped(text: str, room: float, size: float, face: str, *, broken: bool = False) -> list[str]:
    """A text on lines of a width in mm; a word that is wider has a line of its own, or, broken, as
    many as it needs."""
    lines = [""]
    for word in settable(text, face).split():
        while broken and text_width(word, size, face) > room:
            cut = next(
                n for n in range(len(word), 0, -1) if text_width(word[:n], size, face) <= room
            )
            lines, word = [*filter(None, lines), word[:cut], ""], word[cut:]
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, size, face) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def title_rows(title: str, room: float, layout: Layout) -> tuple[list[str], float]:
    """The title on its lines, and their size in points: the largest with which it fits; in the
    least size what is too long is cut with dots."""
    size, least = layout.title
    for most in range(1, layout.title_lines + 1):
        tried = size
        floor = least if most == layout.title_lines else max(least, 0.72 * size)
        while tried >= floor:
            rows = wrapped(title, room, tried, "bold")
            high = (CAPITAL + DESCENT + LEADING * (len(rows) - 1)) * tried * POINT
            fits = all(text_width(row, tried, "bold") <= room for row in rows)
            if len(rows) <= most and fits and high <= layout.title_share * layout.main.high:
                return rows, tried
            tried *= STEP
    rows = wrapped(title, room, least, "bold", broken=True)
    cut = [*rows[: layout.title_lines - 1], " ".join(rows[layout.title_lines - 1 :])]
    return [fitted(row, room, least, "bold") for row in cut if row], least


def main_marks(chart: WrittenChart, layout: Layout) -> list[Mark]:
    """Title, feel, the chart's first lines and the teacher, from top to foot."""
    main, words = layout.main, layout.words
    em = words * POINT
    rows, size = title_rows(chart.title, main.wide, layout)
    marks: list[Mark] = []
    y = main.y + CAPITAL * size * POINT
    for number, row in enumerate(rows):
        y += LEADING * size * POINT if number else 0.0
        marks.append(Text(main.x, y, row, size, "bold"))
    y += DESCENT * size * POINT + 1.25 * em
    facts = DOT.join((str(chart.meter), chart.feel))
    marks.append(Text(main.x, y, fitted(facts, main.wide, words, "italic"), words, "italic"))
    y += DESCENT * em
    foot = main.y + main.high
    line = _teacher(chart, main.wide, words)
    if line:
        marks.append(Text(main.x, foot - DESCENT * em, line, words))
        foot -= em + GAP
    return marks + _chart_marks(chart, layout, y + GAP / 2, foot)


def _teacher(chart: WrittenChart, room: float, size: float) -> str:
    """The teacher's name and address, the name alone where both are too long; without a teacher,
    who wrote it."""
    voice = chart.voice
    for line in (voice.line, voice.byline, voice.shown):
        if line and text_width(settable(line), size) <= room:
            return settable(line)
    return fitted(voice.byline or voice.shown or chart.by, room, size)


def _chart_marks(chart: WrittenChart, layout: Layout, top: float, foot: float) -> list[Mark]:
    """The first lines of the chart in the largest chords with which they fit; nothing where there
    is no room for one. They stand at the foot of their room."""
    lines = list(_lines(chart, layout.bars))
    largest, least = layout.chords
    for count in range(min(layout.lines, len(lines)), 0, -1):
        size = largest
        while size >= least:
            measures = Measures(size, False, layout.main.wide, across=layout.bars)
            high = sum(line_height(line, measures) for line in lines[:count])
            if high <= foot - top:
                return _drawn(lines[:count], layout.main.x, foot - high, measures)
            size *= STEP
    return []


def _drawn(
    lines: Sequence[tuple[WrittenBar, ...]], left: float, y: float, measures: Measures
) -> list[Mark]:
    marks: list[Mark] = []
    for line in lines:
        y += line_height(line, measures)
        marks += line_marks(line, y, left, measures)
    return marks


def _lines(chart: WrittenChart, bars: int) -> Iterator[tuple[WrittenBar, ...]]:
    """The lines of the chart in so many bars, without what a cover has no room for."""
    for line in chart.lines:
        for at in range(0, len(line), bars):
            first, *others = map(_plain, line[at : at + bars])
            yield (replace(first, same=False), *others)


def _plain(bar: WrittenBar) -> WrittenBar:
    """A bar with chords, section and signs alone."""
    change = replace(NO_CHANGE, meter=bar.change.meter)
    return replace(
        bar, number=0, words=(), lyrics=(), melody=(), dynamic="", dynamic_after="", hairpin="",
        rhythm=(), stops=False, rit="", pedal="", again="", change=change,
    )  # fmt: skip
