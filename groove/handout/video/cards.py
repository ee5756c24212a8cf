"""The cards before and after the music: what it is, and whose.

A line whose field is empty is left out, and the others close up.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from groove.form.harmony import key_in_words
from groove.form.words import bars_in_words, feel_words
from groove.handout.chart.head import short_staff, tempo_marks
from groove.handout.drawing.faces import settable
from groove.handout.drawing.flow import broken
from groove.handout.drawing.page import POINT, Mark, Text, fitted, text_width
from groove.handout.video.course import Moment
from groove.handout.video.look import Look
from groove.handout.video.view import Scene
from groove.handout.video.words import LEAST_SHARE, in_room
from groove.lesson.voice import voice_of
from groove.sound.synth.licences import Terms, credits_of, terms
from groove.wording import counted, said

if TYPE_CHECKING:
    from groove.form.chart import Chart
    from groove.sound.synth.soundfonts import Fonts

MARGIN = 0.075  # of the smaller side of the frame
UNIT = 1 / 18  # of the smaller side of the frame: the measure of the type sizes that follow
TITLE, LEAST_TITLE = 2.6, 1.2
WORDS, LEAST_WORDS = 1.25, 0.6
CREDITS = 0.8  # of the size of other words; also what the video is
WORD_LINES = 3  # of a word that is longer than a line
BREAKS = ("/", ".@", "-")  # after which such a word goes on in the next line, the best first
TITLE_LINES, MANY_LINES = 4, 1.7  # lines at most; two in type larger than that
LEADING = 1.3
SPACE = 0.42  # ems between two lines of the staff
STEP = 0.94  # from one size that is tried to the next


@dataclass(frozen=True, slots=True)
class Block:
    """A part of a card: its height in mm, its marks with the top left corner at (x, y), and the
    space over it in mm."""

    height: float
    draw: Callable[[float, float], list[Mark]]
    gap: float = 0.0


class Card:
    """A view of the whole frame that stays as it is; blocks: one above the other."""

    def __init__(self, look: Look, blocks: Sequence[Block]) -> None:
        self.room, self._blocks = look.rooms["card"], blocks
        self._margin = margin_of(look)

    def scene(self, moment: Moment) -> Scene:
        """The card."""
        return Scene("card")

    def marks(self, drawing: Hashable) -> Sequence[Mark]:
        """The blocks at the left margin, as much space under them as over them."""
        high = sum(block.gap + block.height for block in self._blocks)
        y = self.room.y + (self.room.high - high) / 2
        marks: list[Mark] = []
        for block in self._blocks:
            y += block.gap
            marks += block.draw(self.room.x + self._margin, y)
            y += block.height
        return marks


def margin_of(look: Look) -> float:
    """The margin of a card in mm."""
    return MARGIN * min(look.width, look.height)


def _unit(look: Look) -> float:
    """The measure of a card's type sizes in points."""
    return UNIT * min(look.width, look.height) / POINT


def title_card(chart: Chart, look: Look, mix: str = "") -> Card:
    """The card before the music: what the video is, title, key, metre, tempo, feel, form and
    teacher; mix: who plays, in words, where it is not the whole band."""
    return _card(look, lambda size: _title_blocks(chart, look, mix, size))


def end_card(chart: Chart, look: Look, fonts: Fonts) -> Card:
    """The card after the music: teacher, address, invitation, licence, credits of the sound."""
    return _card(look, lambda size: _end_blocks(chart, look, fonts, size))


def _card(look: Look, blocks_at: Callable[[float], list[Block]]) -> Card:
    """A card in the largest type with which it fits; blocks_at: from a size of words in points."""
    room = look.rooms["card"].high - 2 * margin_of(look)
    size = WORDS * _unit(look)
    while True:
        blocks = [block for block in blocks_at(size) if block.height]
        high = sum(block.gap + block.height for block in blocks)
        if high <= room or size < LEAST_WORDS * _unit(look):
            break
        size *= STEP
    while high > room and len(blocks) > 1:  # the last ones can't be read at any size
        dropped = blocks.pop()
        high -= dropped.gap + dropped.height
    return Card(look, blocks)


def _title_blocks(chart: Chart, look: Look, mix: str, size: float) -> list[Block]:
    form, bar = chart.form, chart.bars[0]
    wide, em = look.width - 2 * margin_of(look), size * POINT
    part = size / (WORDS * _unit(look))
    blocks = [_words(said("video", "title.kind"), wide, CREDITS * size, "regular", 0.0)]
    blocks.append(_title(form.title, wide, part * _unit(look), 0.25 * em))
    blocks.append(_words(form.by, wide, size, "italic", 0.2 * em))
    space = SPACE * em
    setting = bar.setting

    def staff(x: float, y: float) -> list[Mark]:
        middle = y + 4.2 * space
        end, marks = short_staff("treble", bar.key.signature, bar.meter, x, middle, space)
        left = end + em
        key, own = in_room(key_in_words(form), x + wide - left, size, "bold")
        return [*marks, Text(left, middle + 0.25 * em, key, own, "bold")]

    def pace(x: float, y: float) -> list[Mark]:
        baseline = y + 0.95 * em
        end, marks = tempo_marks(bar.meter, round(setting.tempo, 1), x, baseline, size)
        left = end + em
        feel, own = in_room(feel_words(form), x + wide - left, size, "italic")
        return [*marks, Text(left, baseline, feel, own, "italic")]

    blocks.append(Block(8.4 * space, staff, 0.9 * em))
    blocks.append(Block(LEADING * em, pace, 0.5 * em))
    blocks.append(_words(form_words(chart), wide, size, "regular", 0.1 * em))
    blocks.append(_words(mix, wide, size, "bold", 0.1 * em))
    voice = voice_of(form.lesson)
    blocks.append(_words(voice.byline, wide, size, "bold", 0.9 * em))
    blocks.append(_words(voice.shown, wide, size, "regular", 0.0 if voice.byline else 0.9 * em))
    return blocks


def form_words(chart: Chart) -> str:
    """The form in words: ``12 bars in 4/4, 3 choruses``; of a road its size."""
    size, times = bars_in_words(chart), chart.form.choruses
    if chart.form.order or times == 1:
        return size
    return said("video", "title.form", size=size, times=counted("numbers", "choruses", times))


def _end_blocks(chart: Chart, look: Look, fonts: Fonts, size: float) -> list[Block]:
    wide, em = look.width - 2 * margin_of(look), size * POINT
    voice = voice_of(chart.form.lesson)
    small = CREDITS * size
    posted = all(terms(font.licence) is Terms.CREDIT for font in fonts.all)
    authors = chart.form.by or any(played.melody or played.lyrics for played in chart.passes)
    licence = said("video", f"end.{'authors' if authors else 'licence'}") if posted else ""
    return [
        _words(chart.form.title, wide, size, "bold", 0.0),
        _words(voice.byline, wide, size, "regular", 0.2 * em),
        _words(voice.shown, wide, size, "regular", 0.0),
        _words(voice.invite, wide, size, "bold", 0.9 * em),
        _words(licence, wide, small, "regular", 1.2 * em),
        _words(credits_of(fonts), wide, small, "regular", 0.4 * em),
    ]


def _title(title: str, wide: float, unit: float, gap: float) -> Block:
    """The title in the largest type in which it has few lines and its words are whole."""
    text = settable(title, "bold")
    size = TITLE * unit

    def lines() -> list[str]:
        return [line[0][0].rstrip() for line in broken([(text, "bold")], wide, size)]

    def fits() -> bool:
        most = 2 if size > MANY_LINES * unit else TITLE_LINES
        return len(lines()) <= most and "".join(" ".join(lines()).split()) == "".join(text.split())

    while size > LEAST_TITLE * unit and not fits():
        size *= STEP
    shown = lines()
    if len(shown) > TITLE_LINES:
        rest = " ".join(shown[TITLE_LINES - 1 :])
        shown = [*shown[: TITLE_LINES - 1], fitted(rest, wide, size, "bold")]
    return _lines(shown, size, "bold", gap)


def _words(words: str, wide: float, size: float, face: str, gap: float) -> Block:
    """Words in lines, a long address or name smaller or broken too; no height where there are
    none."""
    text = settable(words, face)
    longest = max((text_width(word, size, face) for word in text.split()), default=0.0)
    if LEAST_SHARE * longest <= wide < longest:
        size *= 0.999 * wide / longest
    whole = " ".join(_in_parts(word, wide, size, face) for word in text.split())
    lines = [line[0][0].rstrip() for line in broken([(whole, face)], wide, size)]
    return _lines(lines, size, face, gap)


def _in_parts(word: str, wide: float, size: float, face: str) -> str:
    """A word, in parts with spaces between them where it is longer than a line."""
    parts: list[str] = []
    while len(parts) < WORD_LINES - 1 and text_width(word, size, face) > wide:
        fits = max(
            n for n in range(1, len(word)) if n == 1 or text_width(word[:n], size, face) <= wide
        )
        ends = (max(word[:fits].rfind(sign) + 1 for sign in signs) for signs in BREAKS)
        cut = next((end for end in ends if end > fits / 3), fits)
        parts.append(word[:cut])
        word = word[cut:]
    return " ".join([*parts, word])


def _lines(lines: Sequence[str], size: float, face: str, gap: float) -> Block:
    step = LEADING * size * POINT

    def draw(x: float, y: float) -> list[Mark]:
        return [
            Text(x, y + number * step + 0.95 * size * POINT, line, size, face)
            for number, line in enumerate(lines)
        ]

    return Block(step * len(lines), draw, gap)
