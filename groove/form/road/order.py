"""The order of play: lines of sections, read from ``"A, A, B, A:6"`` and tables of the kind.

``A:6`` is the first six bars of a section, ``A:-4`` the last four, ``x3`` three times, and
``A 2nd`` has the second-time bars. Times of a section are counted within one time of a line.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from groove.errors import nearest, quoted
from groove.form.model import Play, Section

MOST_TIMES = 100
_PLAY = re.compile(
    r"(?P<name>[^:]+?)\s*(?::\s*(?P<bars>-?\d{1,4}))?(?:\s+(?P<time>\d{1,2})(?:st|nd|rd|th))?"
    r"(?:\s+x\s*(?P<times>\d{1,3}))?"
)


def parse_plays(text: str, sections: Sequence[Section]) -> tuple[Play, ...]:
    """The plays that a line names, each section once for each time.

    Raises ValueError, naming the section and what is allowed.
    """
    known = {section.name: section for section in sections}
    if len(known) < len(sections):
        twice = next(s.name for n, s in enumerate(sections) if s.name in list(known)[:n])
        raise ValueError(f"two sections are named {quoted(twice)}; with an order names are unique")
    counted: dict[str, int] = {}
    plays: list[Play] = []
    for word in text.split(","):
        match = _PLAY.fullmatch(word.strip())
        if not match:
            raise ValueError(f'found {quoted(word.strip())}; write sections, as in "A, A, B, A:6"')
        section = _section(match["name"].strip(), known)
        times = int(match["times"] or 1)
        if not 1 <= times <= MOST_TIMES:
            raise ValueError(f"found {quoted(word.strip())}; 1 to {MOST_TIMES} times are allowed")
        for _ in range(times):
            ending = counted.get(section.name, 0)
            counted[section.name] = ending + 1
            if match["time"]:
                ending = _ending(int(match["time"]), section)
            plays.append(_part(section, ending, match["bars"]))
    return tuple(plays)


def _section(name: str, known: dict[str, Section]) -> Section:
    if name in known:
        return known[name]
    by_letter = {known_name.lower(): section for known_name, section in known.items()}
    if name.lower() in by_letter:
        return by_letter[name.lower()]
    if len(name.split()) > 1 and all(word.lower() in by_letter for word in name.split()):
        raise ValueError(
            f'found {quoted(name)}; write commas between sections: "{", ".join(name.split())}"'
        )
    raise ValueError(f"there is no section {quoted(name)}; {nearest(name, list(known))}")


def _ending(time: int, section: Section) -> int:
    if not 1 <= time <= len(section.time_bars):
        has = len(section.time_bars)
        raise ValueError(
            f"section {section.name} has time_bars for {has} times, not for a time {time}"
            if has
            else f"section {section.name} has no time_bars; leave the time out"
        )
    return time - 1


def _part(section: Section, ending: int, asked: str | None) -> Play:
    size = section.bars_with(ending)
    bars = int(asked) if asked else size
    if bars == 0 or abs(bars) > size:
        raise ValueError(
            f"section {section.name} has {size} bars, so {section.name}:{bars} is not in it; "
            f"1 to {size} bars, or -1 to -{size} for the last ones, are allowed"
        )
    return Play(section, 0, bars, ending) if bars > 0 else Play(section, size + bars, size, ending)
