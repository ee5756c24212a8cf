"""From what is played to files: recorded, mixed down, mastered and written."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING
from zlib import crc32

from groove.sound.apart import set_apart
from groove.sound.formats import open_audio
from groove.sound.limiter import CEILING_DB
from groove.sound.listening import hear
from groove.sound.mastering import master
from groove.sound.midrange import Midrange
from groove.sound.mixdown import mix_down
from groove.sound.mixes import Mix
from groove.sound.recording import Passage, blocks_of, record
from groove.sound.report import Heard
from groove.sound.side_by_side import side_by_side
from groove.sound.tape import Shelf
from groove.sound.writers import OVERSHOOT_DB

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from pathlib import Path

    from groove.sound.desk import Desk
    from groove.sound.mastering import Master
    from groove.sound.mixes import AudioFile
    from groove.sound.options import Wanted
    from groove.sound.recording import Parts
    from groove.sound.riff import Cue, Loop
    from groove.sound.side_by_side import Job, Step
    from groove.sound.synth import Samples
    from groove.sound.tags import Tags

PLAYING_SHARE = 0.8
"""Of the whole time, as a rule."""


@dataclass(frozen=True)
class About:
    """What the files say about themselves: the tags of each mix, and places worth jumping to."""

    tags: Callable[[Mix], Tags | None]
    cues: Sequence[Cue]


@dataclass(frozen=True)
class Produced:
    """What was made: see Report."""

    frames: int
    gain: float
    short: float
    faders: dict[str, float]
    compressors: dict[str, float]
    limiter: float
    part_limiters: dict[str, float]
    together: float
    heard: Heard | None
    comping_share: float | None


def produce(
    playing: Iterable[tuple[Samples | None, ...]],
    parts: Parts,
    files: Sequence[AudioFile],
    asked: Wanted,
    desk: Desk,
    folder: Path,
    *,
    about: About,
    closely: bool,
    end: int,
    loop: Loop | None,
    tell: Callable[[float], None],
) -> Produced:
    """Record what is `playing`, a block of each of `parts` at a time, and write `files`.

    folder: where there is room for what does not fit into memory. about: what the files say of
    themselves. closely: whether to measure what is written. end: the frame of the last event.
    tell: is told fractions from 0 to 1.
    """
    if asked.apart:
        playing = set_apart(playing, parts)
    with Shelf(folder) as shelf:
        recording, levels = record(
            playing, parts, shelf, lambda taken: tell(PLAYING_SHARE * min(1.0, taken / (end + 1)))
        )
        mixed = mix_down(recording, levels, desk)
        del levels  # an hour has much of it
        passage = Passage(recording, parts, loop)
        part_peaks = {part: each.peaks for part, each in mixed.items()}
        ceiling = ceiling_for((*asked.formats, *asked.beside))
        mastered = master(passage, part_peaks, asked.loudness, ceiling)
        main = mastered.of(files[0].mix) if files else mastered
        heard: list[Heard] = []
        shares: list[float] = []
        jobs: list[Job] = [partial(_write, file, mastered, asked, about) for file in files]
        if closely:
            jobs.append(lambda step: heard.append(hear(main, main.frames, step)))
            if "comping" in main.passage.parts:
                jobs.append(lambda step: shares.append(_comping_share(passage, step)))
        total = max(1, passage.frames * len(jobs))
        side_by_side(jobs, lambda done: tell(PLAYING_SHARE + (1 - PLAYING_SHARE) * done / total))
    kept = main.passage.parts
    return Produced(
        passage.frames,
        20 * math.log10(mastered.gain),
        mastered.short,
        {part: mixed[part].fader for part in kept},
        {part: mixed[part].compressed for part in kept},
        main.limiter.reduction_db,
        {part: planned.reduction_db for part, planned in main.part_limiters.items()},
        main.most_db,
        heard[0] if heard else None,
        shares[0] if shares else None,
    )


def _comping_share(passage: Passage, step: Step) -> float:
    """How much of the band's middle register the comping takes, 0 to 1."""
    midrange = Midrange()
    comping = replace(passage, parts=("comping",))
    for both in zip(
        blocks_of(passage, passage.frames), blocks_of(comping, passage.frames), strict=True
    ):
        midrange.hear(*both)
        step(len(both[0]))
    return midrange.share


def ceiling_for(formats: Iterable[str]) -> float:
    """The ceiling, full scale 1, under which all `formats` keep their true peaks at -1 dBTP.

    All files of a track have the same, so that they differ in nothing but their format.
    """
    overshoot = max((OVERSHOOT_DB.get(format_, 0.0) for format_ in formats), default=0.0)
    return float(10 ** ((CEILING_DB - overshoot) / 20))


def _write(file: AudioFile, master: Master, asked: Wanted, about: About, step: Step) -> None:
    mix = master.of(file.mix)
    with open_audio(
        file.path,
        file.format,
        bits=asked.bits,
        tags=about.tags(file.mix),
        cues=[cue for cue in about.cues if cue.frame < mix.frames],
        loop=mix.passage.loop,
        seed=crc32(file.mix.suffix.encode()),
    ) as audio:
        for block in blocks_of(mix, mix.frames):
            audio.write(block)
            step(len(block))
