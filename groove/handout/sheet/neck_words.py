"""Short lines about places on a neck or on keys."""

from __future__ import annotations

from groove.handout.sheet.sheet import ChordOnNeck, Sheet
from groove.handout.sheet.words import same_tones
from groove.instrument.double_stops import DoubleStop
from groove.instrument.positions import Position
from groove.theory.symbols import listed, noted, symbol
from groove.wording import said, words_of

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
    return said("places", "positions.shapes", chord=name, like=like, places=places)


def position_title(position: Position) -> str:
    """``1 · frets 4–8``: its number, and the frets that its drawing shows."""
    low, high = position.lowest, position.highest
    way = "frets" if low < high else "fret"
    return said("places", f"positions.{way}", number=position.number, first=low, last=high)


def hand_words(sheet: Sheet) -> str:
    """The position of the hand for all chords, in words."""
    hands = [chord.under_hand for chord in sheet.on_neck]
    hand, reach = hands[0].fret, sheet.tuning.reach if sheet.tuning else 0
    lacking = [str(symbol(c.chord)) for c, n in zip(sheet.guide.chords, sheet.on_neck, strict=True)
               if not n.under_hand.complete]  # fmt: skip
    words = [said("places", "hand.stays", fret=hand)]
    back = any(0 < place.lowest < hand for place in hands)
    up = any(place.highest >= hand + reach for place in hands)
    if back or up:
        words.append(said("places", f"hand.{'both' if back and up else 'back' if back else 'up'}"))
    if lacking:
        words.append(said("places", "hand.lacking", chords=listed(lacking)))
    return " ".join(words)


def stops_words(sheet: Sheet) -> str:
    """The introduction to the double stops."""
    found = {stop.interval for chord in sheet.on_neck for stop in chord.stops}
    names = words_of("places")["stops"]
    kinds = [str(names[kind]) for kind in ("third", "sixth", "tenth") if kind in found]
    return said("places", "stops.intro", kinds=listed(kinds))


def stop_words(stop: DoubleStop) -> str:
    """``third C E: string 3 fret 5, string 2 fret 5``."""
    low, high = stop.lower, stop.upper
    return said(
        "places", "stops.place", interval=said("places", f"stops.one_{stop.interval}"),
        notes=f"{noted(low.name)} {noted(high.name)}", string=low.string, fret=low.fret,
        other_string=high.string, other_fret=high.fret,
    )  # fmt: skip


def left_hand_words(sheet: Sheet) -> str:
    """The introduction to the keyboards of the chords."""
    rootless = any(hand.rootless for hand in sheet.left_hands)
    return said("places", f"keys.{'rootless' if rootless else 'with_root'}")
