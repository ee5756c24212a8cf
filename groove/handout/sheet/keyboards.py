"""The keyboards of a sheet as blocks: scales, chords and the left hand's voicings."""

from __future__ import annotations

from collections.abc import Sequence

from groove.form.lesson_fields import BEGINNER
from groove.handout.drawing.flow import Block, heading, paragraph, row, subheading
from groove.handout.drawing.fretboard import TITLE_SIZE
from groove.handout.drawing.keyboard import draw_keyboard, keyboard_size
from groove.handout.drawing.page import Mark, fitted
from groove.handout.sheet.fretboards import Cell, with_legend
from groove.handout.sheet.neck_words import left_hand_words
from groove.handout.sheet.sheet import Sheet
from groove.handout.sheet.words import same_tones
from groove.instrument.keyboard import MIDDLE_C, OCTAVES, KeyboardKey, keys
from groove.instrument.left_hand import LeftHand
from groove.instrument.material import arpeggio
from groove.theory.symbols import noted
from groove.wording import said

BETWEEN = 8.0  # mm, between two keyboards side by side
C2 = 36
LEFT_LOWEST = MIDDLE_C - 12  # the left hand's keyboard begins an octave below middle C


def scale_keyboards(sheet: Sheet, width: float) -> list[Block]:
    """The form's scales on the key's root; width: in mm, here and below."""
    if sheet.instrument != "keyboard" or not sheet.scales:
        return []
    shown = sheet.scales[: 1 if sheet.learner == BEGINNER else None]
    found = [(choice.title, keys(material)) for choice, material, _ in shown]
    cells = [keyboard_cell(played, title, sheet.label) for title, played in found]
    blocks = [
        heading(said("places", "keys.scales"), width),
        *row(cells, width, between=BETWEEN, gap=2.0),
    ]
    return with_legend(blocks, {key.role for _, played in found for key in played}, sheet.label)


def chord_keyboards(sheet: Sheet, width: float) -> list[Block]:
    """Each chord's tones from middle C, beside them the left hand's keys; then both hands."""
    if sheet.instrument != "keyboard":
        return []
    names = same_tones(sheet.guide.chords)
    cells, roles = [], set()
    for name, hand in dict(zip(names, sheet.left_hands, strict=True)).items():
        played = keys(arpeggio(hand.chord))
        roles |= {key.role for key in (*played, *hand.keys)}
        cells.append(keyboard_cell(played, name, sheet.label))
        cells.append(_left_cell(hand, name, sheet.label))
    blocks = [
        heading(said("places", "keys.chords"), width),
        paragraph(left_hand_words(sheet), width, gap=1.0, keep=True),
        *row(cells, width, between=BETWEEN, gap=2.5),
    ]
    blocks = with_legend(blocks, roles, sheet.label)
    return blocks if sheet.learner == BEGINNER else [*blocks, *_both_hands(sheet, width)]


def _both_hands(sheet: Sheet, width: float) -> list[Block]:
    """A voicing for two hands of each chord: a keyboard for the left, one for the right."""
    names = same_tones(sheet.guide.chords)
    cells = []
    for name, hands in dict(zip(names, sheet.both_hands, strict=True)).items():
        for key, played in (("left", hands.left), ("right", hands.right)):
            notes = " ".join(noted(each.full_name) for each in played)
            title = said("staff", f"both_hands.{key}", chord=name, notes=notes)
            cells.append(keyboard_cell(played, title, sheet.label, lowest=_lowest(played)))
    return [
        subheading(said("staff", "both_hands.title"), width),
        paragraph(said("staff", "both_hands.words"), width, gap=0.5, keep=True),
        *row(cells, width, between=BETWEEN, gap=2.5),
    ]


def _lowest(played: Sequence[KeyboardKey]) -> int:
    """The C or F with which a keyboard of two octaves begins so that it has all of some keys."""
    pitches = [key.pitch for key in played]
    starts = (C2, C2 + 5, C2 + 12, C2 + 17, MIDDLE_C)
    return next(s for s in starts if s <= min(pitches) and max(pitches) < s + 12 * OCTAVES)


def keyboard_cell(
    played: Sequence[KeyboardKey],
    title: str,
    label: str,
    *,
    lowest: int = MIDDLE_C,
    octaves: int = OCTAVES,
) -> Cell:
    """A keyboard under its title."""
    wide, high = keyboard_size(title, octaves)
    shown = fitted(title, wide, TITLE_SIZE, "bold")

    def draw(x: float, y: float) -> Sequence[Mark]:
        return draw_keyboard(
            played, x=x, y=y, lowest=lowest, octaves=octaves, label=label, title=shown
        )

    names = " ".join(dict.fromkeys(noted(key.name) for key in played))
    return wide, high, draw, f"{title}: {names}"


def _left_cell(hand: LeftHand, name: str, label: str) -> Cell:
    notes = " ".join(noted(key.full_name) for key in hand.keys)
    lowest = LEFT_LOWEST - (12 if hand.keys[0].pitch < LEFT_LOWEST else 0)
    title = said("places", "keys.left_hand", chord=name, notes=notes)
    return keyboard_cell(hand.keys, title, label, lowest=lowest)
