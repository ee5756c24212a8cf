"""Records the stems, mixes them down, masters the result and writes the files."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING
from zlib import crc32

from groove.band.part import CHORDAL
from groove.sound.files.formats import open_audio
from groove.sound.files.riff import Cue, Loop
from groove.sound.files.writers import OVERSHOOT_DB
from groove.sound.mix.block_store import MEMORY, BlockStore
from groove.sound.mix.decoded_peak import decoded_peak
from groove.sound.mix.hard_panned import hard_panned
from groove.sound.mix.levels import measure
from groove.sound.mix.limiter import CEILING, CEILING_DB
from groove.sound.mix.mastering import master
from groove.sound.mix.midrange import Midrange
from groove.sound.mix.mixdown import channels, expected_loudness, mix_down
from groove.sound.mix.recording import Passage, blocks_of, record
from groove.sound.mix.strip import stripped, strips_of
from groove.sound.parallel import run_parallel
from groove.sound.report import MixLevels, Report
from groove.sound.samples import BYTES_A_FRAME, SAMPLE_RATE
from groove.sound.synth.licences import credits_of
from groove.sound.synth.scores import frame_at, markers, tempo_map

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from pathlib import Path

    from groove.sound.job import AudioJob
    from groove.sound.kept_parts import JoinedBand
    from groove.sound.mix.mastering import Master
    from groove.sound.mixes import AudioFile
    from groove.sound.parallel import Step, Work
    from groove.sound.samples import Samples
    from groove.sound.synth.scores import Score

PLAYING_SHARE = 0.8
"""Of the whole time, as a rule."""

LONG = 4
"""Times the memory for samples: of longer tracks none are kept there."""

ROUNDS, LITTLE_DB = 4, 0.2
"""A file is encoded at most this often until its peaks are low enough; each time it is made lower
than the last peak seems to need, by this much."""

LOW = CEILING * 10 ** (-4 / 20)
"""Sound whose peaks are below this keeps below the ceiling however it is encoded: its file is not
decoded to see whether it does."""


def produce(
    playing: Iterable[tuple[Samples | None, ...]],
    band: Sequence[Score],
    job: AudioJob,
    folder: Path,
    progress: Callable[[float], None],
    some: JoinedBand | None = None,
) -> Report:
    """Record what is `playing`, a block of each of the band's stems at a time; write the files.

    folder: for a temporary file of the audio that does not fit into memory. progress: called with
    the share that is done, 0 to 1. some: the band, where only some of it is playing.
    """
    parts = tuple(score.name for score in band)
    end = max(score.end for score in band)
    tempo = tempo_map(job.midi)
    loop = Loop(*(frame_at(tempo, tick) for tick in job.loop)) if job.loop else None
    playing = stripped(playing, strips_of(some.played if some else band, job.settings))
    if some:
        playing = some.joined(playing)
    if job.asked.apart:
        playing = hard_panned(playing, parts)
    with BlockStore(folder, _in_memory(end * len(parts))) as store:
        recording, levels = record(
            playing,
            parts,
            store,
            lambda stored: progress(PLAYING_SHARE * min(1.0, stored / (end + 1))),
        )
        mixed = channels(levels, job.settings)
        part_peaks = {part: mixed[part].peaks(level.peaks) for part, level in levels.items()}
        played = {part: level.loudness for part, level in levels.items()}
        del levels  # an hour has much of it
        passage = Passage(mix_down(recording, mixed), parts, loop)
        mastered = master(passage, part_peaks, job.asked.loudness, expected_loudness(mixed))
        del part_peaks
        main = _mastered(job.files[0], mastered) if job.files else mastered
        cues = [Cue(*place) for place in markers(job.midi)]
        found = _Found()
        works: list[Work] = [partial(_write, file, mastered, job, cues) for file in job.files]
        if job.measured:
            works.append(partial(found.measure, main))
            if set(CHORDAL) & set(main.passage.parts):
                works.append(partial(found.share_midrange, passage))
        total = max(1, passage.frames * len(works))
        run_parallel(
            works, lambda done: progress(PLAYING_SHARE + (1 - PLAYING_SHARE) * done / total)
        )
    kept = main.passage.parts
    return Report(
        seconds=passage.frames / SAMPLE_RATE,
        parts=kept,
        levels=found.levels,
        comping_share=found.comping_share,
        gain=20 * math.log10(mastered.gain),
        short=mastered.short,
        played={part: played[part] for part in kept},
        faders={part: mixed[part].fader for part in kept},
        compressors={part: mixed[part].compressed for part in kept},
        limiter=main.limiter.reduction_db,
        part_limiters={part: limiter.reduction_db for part, limiter in main.part_limiters.items()},
        together=main.most_db,
        soundfont=", ".join(font.name for font in job.fonts.all),
        licence=", ".join(dict.fromkeys(font.licence for font in job.fonts.all)),
        credits=credits_of(job.fonts),
        missing=job.missing,
    )


def _in_memory(frames: int) -> int:
    """The bytes of samples to keep in memory; frames: of all parts together.

    Of a long track they would be a small share, so all go into the file: that costs little time,
    and an hour has other things to keep.
    """
    return 0 if frames * BYTES_A_FRAME > LONG * MEMORY else MEMORY


@dataclass
class _Found:
    """The measurements for the report."""

    levels: MixLevels | None = None
    comping_share: float | None = None

    def measure(self, main: Master, step: Step) -> None:
        """Measure the main mix."""
        self.levels = measure(main, main.frames, step)

    def share_midrange(self, passage: Passage, step: Step) -> None:
        """Measure how much of the band's middle register the comping takes."""
        midrange = Midrange()
        chords = tuple(part for part in passage.parts if part in CHORDAL)
        comping = replace(passage, parts=chords)
        for both in zip(
            blocks_of(passage, passage.frames), blocks_of(comping, passage.frames), strict=True
        ):
            midrange.add(*both)
            step(len(both[0]))
        self.comping_share = midrange.share


def _mastered(file: AudioFile, master: Master, more_db: float = 0.0) -> Master:
    """The mix of a file, with room under the ceiling for peaks that its encoder raises."""
    return master.of(file.mix, OVERSHOOT_DB.get(file.format, 0.0) + more_db)


def _write(file: AudioFile, master: Master, job: AudioJob, cues: Sequence[Cue], step: Step) -> None:
    """Write a file; again and lower if its encoder has made a peak too high after all."""
    room_db = 0.0
    for _ in range(ROUNDS):
        mix = _mastered(file, master, room_db)
        with open_audio(
            file.path,
            file.format,
            bits=job.asked.bits,
            tags=job.tags(file.mix),
            cues=[cue for cue in cues if cue.frame < mix.frames],
            loop=mix.passage.loop,
            seed=crc32(file.mix.suffix.encode()),
        ) as audio:
            for block in blocks_of(mix, mix.frames):
                audio.write(block)
                step(0 if room_db else len(block))
        if file.format not in OVERSHOOT_DB or mix.peak < LOW:
            return
        over = decoded_peak(file.path, CEILING) - CEILING_DB
        if over <= 0:
            return
        room_db += over + LITTLE_DB
