"""From what is played to files: recorded, mixed down, mastered and written."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING
from zlib import crc32

from groove.sound.files.formats import open_audio
from groove.sound.files.writers import OVERSHOOT_DB
from groove.sound.mix.block_store import Shelf
from groove.sound.mix.decoded_peak import peak_played_back
from groove.sound.mix.hard_panned import set_apart
from groove.sound.mix.levels import hear
from groove.sound.mix.limiter import CEILING, CEILING_DB
from groove.sound.mix.mastering import master
from groove.sound.mix.midrange import Midrange
from groove.sound.mix.mixdown import mix_down
from groove.sound.mix.recording import Passage, blocks_of, record
from groove.sound.mixes import Mix
from groove.sound.parallel import side_by_side
from groove.sound.report import Heard

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from pathlib import Path

    from groove.sound.files.riff import Cue, Loop
    from groove.sound.files.tags import Tags
    from groove.sound.mix.mastering import Master
    from groove.sound.mix.mix_settings import Desk
    from groove.sound.mix.recording import Parts
    from groove.sound.mixes import AudioFile
    from groove.sound.options import Wanted
    from groove.sound.parallel import Job, Step
    from groove.sound.samples import Samples

PLAYING_SHARE = 0.8
"""Of the whole time, as a rule."""

ROUNDS, LITTLE_DB = 4, 0.2
"""How often a file is encoded at most until its peaks are low enough, and by how much lower than
it seems to need they go in."""


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
        mastered = master(passage, part_peaks, asked.loudness)
        main = _mastered(files[0], mastered) if files else mastered
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


def _mastered(file: AudioFile, master: Master, more_db: float = 0.0) -> Master:
    """The mix of a file, with room under the ceiling for what its encoder adds to peaks."""
    return master.of(file.mix, OVERSHOOT_DB.get(file.format, 0.0) + more_db)


def _write(file: AudioFile, master: Master, asked: Wanted, about: About, step: Step) -> None:
    """Write a file. Where its encoder has made a peak too high after all, it is written again."""
    room_db = 0.0
    for _ in range(ROUNDS):
        mix = _mastered(file, master, room_db)
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
                step(0 if room_db else len(block))
        if file.format not in OVERSHOOT_DB:
            return
        over = peak_played_back(file.path, CEILING) - CEILING_DB
        if over <= 0:
            return
        room_db += over + LITTLE_DB
