"""Short lines about places on a neck or on keys."""

from __future__ import annotations

from groove.handout.sheet.sheet import ChordOnNeck, Sheet
from groove.handout.sheet.words import same_tones
from groove.instrument.positions import Position
from groove.theory.symbols import listed, symbol

MANY_CHORDS, SHAPES = 3, 5


def named(sheet: Sheet) -> list[tuple[str, ChordOnNeck]]:
    """The chords on the neck with their symbols, those with the same tones over another bass
    once: ``Am7, Am7/G``."""
    found = dict(zip(same_tones(sheet.guide.chords), sheet.on_neck, strict=True))
    return list(found.items())


def alike(sheet: Sheet) -> list[list[tuple[str, ChordOnNeck]]]:
    """The chords, named, whose positions are shown together: in a form of many chords those of
    one quality, the shapes of which are the same; else each alone."""
    found: dict[object, list[tuple[str, ChordOnNeck]]] = {}
    qualities = dict(zip(same_tones(sheet.guide.chords), sheet.guide.chords, strict=True))
    many = len(qualities) > MANY_CHORDS
    for name, chord in named(sheet):
        together = many and len(chord.five) == SHAPES
        quality = qualities[name].chord.quality
        found.setdefault(quality if together else name, []).append((name, chord))
    return list(found.values())


def moved_shapes(name: str, chord: ChordOnNeck, like: str) -> str:
    """``D7, the shapes of G7: 1 · frets 8–12, 2 · ...``"""
    places = ", ".join(position_title(position) for position in chord.five)
    return f"{name}, the shapes of {like}: {places}."


def position_title(position: Position) -> str:
    """``1 · frets 4–8``: its number, and the frets that its drawing shows."""
    low, high = position.lowest, position.highest
    return f"{position.number} · " + (f"frets {low}–{high}" if low < high else f"fret {low}")


def hand_words(sheet: Sheet) -> str:
    """The position of the hand for all chords, in words."""
    hands = [chord.under_hand for chord in sheet.on_neck]
    hand, reach = hands[0].fret, sheet.tuning.reach if sheet.tuning else 0
    lacking = [str(symbol(c.chord)) for c, n in zip(sheet.guide.chords, sheet.on_neck, strict=True)
               if not n.under_hand.complete]  # fmt: skip
    words = f"The hand stays at fret {hand}: every chord of the form lies under it."
    back = any(0 < place.lowest < hand for place in hands)
    up = any(place.highest >= hand + reach for place in hands)
    stretches = ["the first finger reaches back one fret"] * back
    stretches += ["the fourth finger reaches up one fret"] * up
    if stretches:
        said = listed(stretches)
        words += f" {said[0].upper()}{said[1:]} where needed."
    if lacking:
        words += f" Not every tone of {listed(lacking)} can be reached there."
    return words


def stops_words(sheet: Sheet) -> str:
    """The introduction to the double stops."""
    found = {stop.interval for chord in sheet.on_neck for stop in chord.stops}
    kinds = [f"{interval}s" for interval in ("third", "sixth", "tenth") if interval in found]
    return f"Two tones of the chord at once, under the hand: {listed(kinds)}."


def left_hand_words(sheet: Sheet) -> str:
    """The introduction to the keyboards of the chords."""
    first = "The chord's tones from middle C, and beside them the left hand"
    if any(hand.rootless for hand in sheet.left_hands):
        return (
            f"{first}: no root, which the bass has, but what tells the chord, each near the last."
        )
    return (
        f"{first}: the root with the third and the seventh, each near the last. "
        "Where a bass plays, leave out the root."
    )
