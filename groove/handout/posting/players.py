"""The players of a track as a reader knows them: who is heard, and the patterns that they play."""

from __future__ import annotations

from dataclasses import dataclass

from groove import library
from groove.band.part import BASS, CHORDAL, CLICK, DRUMS, PERCUSSION, SOLO, pattern_of
from groove.band.take import Take
from groove.form.chart import Bar, Chart
from groove.sound.mixes import mixes, part_words
from groove.sound.options import AudioOptions, wanted
from groove.theory.symbols import listed
from groove.wording import said, title_of


@dataclass(frozen=True, slots=True)
class Heard:
    """The players that are heard in a track.

    parts: the players, by the names of their parts. missing: those of the band who are left out.
    take: in which they play. counts_in: whether the clicks of the count-in are heard.
    """

    parts: tuple[str, ...]
    missing: tuple[str, ...]
    take: Take
    counts_in: bool = True

    @property
    def names(self) -> list[str]:
        """The players in words: ``drums``, ``bass``, ``organ``."""
        return [player_name(part, self.take) for part in self.parts]

    def names_in_sentence(self, way: str) -> list[str]:
        """The same where a soloist is ``an example solo`` or ``a soloist``: `way` of the data."""
        solo = f"long.{way}.{self.take.chart.form.lesson.solo}"
        told = zip(self.parts, self.names, strict=True)
        return [said("posting", solo) if part == SOLO else name for part, name in told]

    @property
    def missing_names(self) -> list[str]:
        """Those who are left out, in words."""
        return [player_name(part, self.take) for part in self.missing]

    def with_patterns(self) -> str:
        """``drums (Rumba blues), bass (Tumbao) and guitar (Offbeat guitar)``."""
        found = []
        for part, name in zip(self.parts, self.names_in_sentence("soloist_plays"), strict=True):
            titles = listed(_titles(part, self.take.chart))
            line = said("posting", "long.player", player=name, titles=titles) if titles else name
            found.append(line)
        return listed(found)


def heard(take: Take, options: AudioOptions) -> Heard:
    """The players that are heard of a take, with the choice of players that its audio has.

    Raises OptionError for an unknown player, and if no player is left.
    """
    asked = wanted("wav", options)
    players = tuple(part.name for part in take.parts if part.notes)
    kept = mixes(players, without=asked.without, only=asked.only)[0].parts
    missing = tuple(part for part in players if part not in kept)
    return Heard(kept, missing, take, CLICK not in asked.without)


def player_name(part: str, take: Take) -> str:
    """A player in words; one of chords by the instrument, where it is one and the data names it."""
    if part in CHORDAL:
        table = library.table("posting")["players"]
        words = {table.get(name) for name in _programs(part, take)}
        if len(words) == 1 and None not in words:
            return said("posting", f"players.{words.pop()}")
    return part_words(part)


def _programs(part: str, take: Take) -> set[str]:
    """The names of the General MIDI programs that a part plays on."""
    families = library.table("instruments")["programs"]
    names = [name for family in families.values() for name in family]
    played = next(each for each in take.parts if each.name == part)
    return {names[number] for number in (played.program, *(p for _, p in played.programs))}


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
