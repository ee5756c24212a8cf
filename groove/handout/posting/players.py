"""The players of a track as a reader knows them: who is heard, and the patterns that they play."""

from __future__ import annotations

from dataclasses import dataclass

from groove.band.part import BASS, CHORDAL, CLICK, COMPING, DRUMS, PERCUSSION, pattern_of
from groove.band.take import Take
from groove.form.chart import Bar, Chart
from groove.sound.mixes import mixes, part_words
from groove.sound.options import AudioOptions, wanted
from groove.theory.symbols import listed
from groove.wording import said, title_of


@dataclass(frozen=True, slots=True)
class Heard:
    """Who is heard in a track.

    parts: the players, by the names of their parts. missing: those of the band who are left out.
    chart: in which they play. counts_in: whether the clicks of the count-in are heard.
    """

    parts: tuple[str, ...]
    missing: tuple[str, ...]
    chart: Chart
    counts_in: bool = True

    @property
    def names(self) -> list[str]:
        """The players in words: ``drums``, ``bass``, ``guitar``."""
        return [player_name(part, self.chart) for part in self.parts]

    @property
    def missing_names(self) -> list[str]:
        """Those who are left out, in words."""
        return [player_name(part, self.chart) for part in self.missing]

    def with_patterns(self) -> str:
        """``drums (Rumba blues), bass (Tumbao) and guitar (Offbeat guitar)``."""
        found = []
        for part, name in zip(self.parts, self.names, strict=True):
            titles = listed(_titles(part, self.chart))
            line = said("posting", "long.player", player=name, titles=titles) if titles else name
            found.append(line)
        return listed(found)


def heard(take: Take, options: AudioOptions) -> Heard:
    """Who is heard of a take, with the choice of players that its audio has.

    Raises OptionError for an unknown player, and if no player is left.
    """
    asked = wanted("wav", options)
    players = tuple(part.name for part in take.parts if part.notes)
    kept = mixes(players, without=asked.without, only=asked.only)[0].parts
    missing = tuple(part for part in players if part not in kept)
    return Heard(kept, missing, take.chart, CLICK not in asked.without)


def player_name(part: str, chart: Chart) -> str:
    """A player in words; of a player of chords the instrument."""
    if part == COMPING:
        voicings = {bar.comping[0].voicing for bar in chart.bars}
        part = voicings.pop() if len(voicings) == 1 else part
    return part_words(part)


def _titles(part: str, chart: Chart) -> list[str]:
    """The titles of the patterns that a player plays, in their order."""
    bars = [bar for bar in chart.bars if part not in bar.out and bar.number]
    return list(dict.fromkeys(title for bar in bars for title in _in_bar(part, bar)))


def _in_bar(part: str, bar: Bar) -> list[str]:
    if part == DRUMS:
        return [title_of("drums", bar.drums.name, bar.drums.title)]
    if part == PERCUSSION:
        return [title_of("percussion", name) for name in bar.setting.percussion]
    pattern = pattern_of(part, bar) if part in (BASS, *CHORDAL) else None
    if pattern is None:
        return []
    return [title_of("bass" if part == BASS else "comping", pattern.name, pattern.title)]
