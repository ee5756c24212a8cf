"""The fingers of a grip: which one is on each string, and where one lies across several.

The laws, common practice: four fingers; no finger at two frets; a higher fret has a higher finger,
and at one fret the higher finger is on the string nearer to string 1; neighbouring fingers open two
frets at most; the hand does not cross: the last finger does not reach back alone, over all others,
to a far lower string and a higher fret; a finger across several strings (a barre) lies over no open
string, over a stopped one only where another finger holds it further up, and over a silent one only
where the tip of the finger on the next lower string damps it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby, pairwise

FINGERS = (1, 2, 3, 4)
WIDEST_GAP = 1  # frets between neighbouring fingers that have none under them
BARRE, SMALL_BARRE, OFF = 2.0, 3.0, 0.5  # costs: the index across, another across, a fret off
FARTHEST_BACK = 3  # strings that a finger may reach back over the one below it
LEAST_CROSSED = 3  # fingers of a hand that can cross
LITTLE = 0.3  # of the little finger in place of the third


@dataclass(frozen=True, slots=True)
class Barre:
    """A finger across strings: the fret, and the strings from the one nearest to string 1 on."""

    finger: int
    fret: int
    first: int
    last: int


def fingered(frets: Mapping[int, int]) -> Mapping[int, int] | None:
    """The most comfortable finger for each sounding string, 0 for an open one.

    frets: by string; strings that are left out don't sound. None where no hand can hold it.

    >>> fingered({5: 3, 4: 2, 3: 0, 2: 1, 1: 0})
    {5: 3, 4: 2, 3: 0, 2: 1, 1: 0}
    """
    lowest = min((fret for fret in frets.values() if fret), default=1)
    near = tuple((string, fret and fret - lowest + 1) for string, fret in frets.items())
    found = _fingered(near)
    return None if found is None else dict(zip(frets, found, strict=True))


@lru_cache(maxsize=65536)
def _fingered(shape: tuple[tuple[int, int], ...]) -> tuple[int, ...] | None:
    """The fingers of a shape that begins at the first fret."""
    frets = dict(shape)
    stopped = sorted((s for s in frets if frets[s]), key=lambda s: (frets[s], -s))
    ways = list(_ways(stopped, frets))
    if not ways:
        return None
    best = min(ways, key=lambda way: _discomfort(way, stopped, frets))
    found = dict(zip(stopped, best, strict=True))
    return tuple(found.get(string, 0) for string in frets)


def _ways(stopped: Sequence[int], frets: Mapping[int, int]) -> Iterator[tuple[int, ...]]:
    """Every way to finger some strings, sorted by fret and from the lowest string up."""

    def go(way: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        if len(way) == len(stopped):
            fingers = dict(zip(stopped, way, strict=True))
            if _lie_well(frets, fingers):
                yield way
            return
        for finger in FINGERS:
            before = len(way) - 1
            if not way or _follows(
                frets[stopped[before + 1]] - frets[stopped[before]], finger - way[before]
            ):
                yield from go((*way, finger))

    return go(())


def _follows(opened: int, apart: int) -> bool:
    """True if a finger may hold a note so many frets above that of a finger so far below it."""
    if apart == 0:
        return opened == 0
    return apart > 0 and opened <= apart + WIDEST_GAP


def may_be_held(frets: Mapping[int, int], fingers: Mapping[int, int]) -> bool:
    """True if fingers, by string, keep all laws of a hand."""
    stopped = sorted((s for s in frets if frets[s]), key=lambda s: (frets[s], -s))
    if any(fingers.get(string) not in FINGERS for string in stopped):
        return False
    pairs = pairwise(stopped)
    if not all(_follows(frets[b] - frets[a], fingers[b] - fingers[a]) for a, b in pairs):
        return False
    return _lie_well(frets, fingers)


def _lie_well(frets: Mapping[int, int], fingers: Mapping[int, int]) -> bool:
    """True if every barre lies on its strings alone and no finger crosses another."""
    if not all(_lies(barre, frets, fingers) for barre in barres(frets, fingers)):
        return False
    return not crossed(frets, fingers)


def crossed(frets: Mapping[int, int], fingers: Mapping[int, int]) -> bool:
    """True if the last finger reaches far back over two others to the highest fret, as the little
    one to string 6 over a third finger on string 2 and an index on string 4."""
    on: dict[int, list[int]] = {}
    for string in frets:
        if frets[string]:
            on.setdefault(fingers[string], []).append(string)
    if len(on) < LEAST_CROSSED:
        return False
    *_, before, last = sorted(on)
    others = [string for finger in on if finger != last for string in on[finger]]
    return (
        max(on[last]) - min(on[before]) > FARTHEST_BACK
        and frets[on[last][0]] > max(frets[string] for string in others)
        and max(on[last]) - max(others) > 1
    )


def barres(frets: Mapping[int, int], fingers: Mapping[int, int]) -> tuple[Barre, ...]:
    """The strings that a finger lies across."""
    found = []
    held = sorted((fingers[string], string) for string in frets if frets[string])
    for finger, pairs in groupby(held, key=lambda pair: pair[0]):
        strings = [string for _, string in pairs]
        if len(strings) > 1:
            found.append(Barre(finger, frets[strings[0]], strings[0], strings[-1]))
    return tuple(found)


def _lies(barre: Barre, frets: Mapping[int, int], fingers: Mapping[int, int]) -> bool:
    """True if a barre sounds none but the strings that it holds.

    No string under it sounds lower; with another finger than the first, none under it is silent
    or held further up. A silent one is damped by another finger on the next lower string, which
    holds that further up.
    """
    across = range(barre.first, barre.last + 1)
    under = [frets[s] for s in across if s in frets]
    if barre.finger != 1:
        return len(under) == len(across) and set(under) == {barre.fret}
    silent = [s for s in across if s not in frets]
    return min(under) >= barre.fret and all(frets.get(s + 1, 0) > barre.fret for s in silent)


def _discomfort(
    way: Sequence[int], stopped: Sequence[int], frets: Mapping[int, int]
) -> tuple[float, int]:
    lowest = min((frets[string] for string in stopped), default=0)
    across = {finger for finger in way if way.count(finger) > 1}
    cost = sum(BARRE if finger == 1 else SMALL_BARRE for finger in across)
    cost += sum(
        OFF * abs(finger - 1 - (frets[string] - lowest))
        for finger, string in zip(way, stopped, strict=True)
    )
    return cost + LITTLE * (4 in way and 3 not in way), sum(way)
