"""Parts that sound the same in several tracks, such as the drums of a form in all its keys: they
are played once, and kept until others of the same name are.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from groove.rhythm.kit import DRUM_CHANNEL
from groove.sound.samples import BLOCK, SAMPLE_RATE

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from groove.sound.mix.block_store import BlockStore
    from groove.sound.mix.mix_settings import MixSettings
    from groove.sound.samples import Samples
    from groove.sound.synth.scores import Score
    from groove.sound.synth.soundfonts import Fonts, Soundfont

    Blocks = tuple[Samples | None, ...]

LONGEST = 600 * SAMPLE_RATE
"""Frames of the longest part that is kept: it takes 210 MB of the disk."""


@dataclass
class _Kept:
    """A part as it left its strip. score, font, settings: all that it depends on."""

    score: Score
    font: Soundfont
    settings: MixSettings
    store: BlockStore | None = None
    places: list[Samples | tuple[int, int] | None] = field(default_factory=list)

    def append(self, block: Samples | None) -> None:
        """Add its next block, in a temporary file."""
        from groove.sound.mix.block_store import BlockStore

        self.store = self.store or BlockStore(None, memory=0)
        self.places.append(None if block is None else self.store.put(block))

    def is_of(self, score: Score, font: Soundfont, settings: MixSettings) -> bool:
        """True if a score sounds like this."""
        return (self.score, self.font, self.settings) == (score, font, settings)

    def blocks(self) -> Iterator[Samples | None]:
        """Its blocks, new ones, and None ever after."""
        for place in self.places:
            yield self.store.get(place, 0, BLOCK) if self.store and place is not None else None
        while True:
            yield None


class KeptParts:
    """The strokes on drums of earlier tracks, part by part: those of the last one are kept.

    Several threads may use it at once.
    """

    def __init__(self) -> None:
        self._kept: dict[str, _Kept] = {}

    def band(self, scores: Sequence[Score], fonts: Fonts, settings: MixSettings) -> JoinedBand:
        """A band that plays only what is not kept."""
        kept = self._kept.copy()
        known = {
            score.name: kept[score.name]
            for score in scores
            if score.name in kept and kept[score.name].is_of(score, fonts.of(score.name), settings)
        }
        if len(known) == len(scores):
            known = {}
        new = {
            score.name: _Kept(score, fonts.of(score.name), settings)
            for score in scores
            if _is_fixed(score) and score.name not in known
        }
        return JoinedBand(self, scores, known, new)

    def keep(self, parts: Iterable[_Kept]) -> None:
        """Keep parts in place of others of the same names."""
        self._kept |= {part.score.name: part for part in parts}


class JoinedBand:
    """The scores of a band, some of which are played and some known."""

    def __init__(
        self,
        kept: KeptParts,
        scores: Sequence[Score],
        known: Mapping[str, _Kept],
        new: Mapping[str, _Kept],
    ) -> None:
        self._kept, self._scores, self._known, self._new = kept, scores, known, new
        self.played = [score for score in scores if score.name not in known]

    def joined(self, playing: Iterable[Blocks]) -> Iterator[Blocks]:
        """The blocks of the whole band: of what is played as it leaves its strips, and of what is
        known. What is played and always sounds the same is kept in the end."""
        known = {name: kept.blocks() for name, kept in self._known.items()}
        most = max((len(kept.places) for kept in self._known.values()), default=0)
        new = [self._new.get(score.name) for score in self.played]
        silence = (None,) * len(new)
        coming, number = iter(playing), 0
        while (blocks := next(coming, silence)) is not silence or number < most:
            for each, block in zip(new, blocks, strict=True):
                if each:
                    each.append(block)
            heard = dict(zip((score.name for score in self.played), blocks, strict=True))
            heard |= {name: next(on) for name, on in known.items()}
            yield tuple(heard[score.name] for score in self._scores)
            number += 1
        self._kept.keep(each for each in new if each)


def _is_fixed(score: Score) -> bool:
    """True if a part is made of nothing but strokes on drums, and not too long to be kept."""
    channels = {event.message.channel for event in score.events}
    return channels == {DRUM_CHANNEL} and score.end < LONGEST
