"""Audio files from MIDI: the stems are played together and measured, then every file is written.

Everything goes over the track in passes of blocks, which keeps the memory small however long it
is, and uses all cores: the stems are played in parallel, stored and measured; each goes through
its compressor and fader; their sum is measured, which gives the gain; and each mix is put together
from the stored parts, mastered and written.
"""

from __future__ import annotations

import errno
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from groove.errors import GrooveError
from groove.sound.samples import BYTES_A_FRAME
from groove.sound.synth.scores import scores
from groove.sound.synth.stems import play_stems
from groove.sound.synth.synth import require_memory

if TYPE_CHECKING:
    from collections.abc import Callable

    from groove.sound.job import AudioJob
    from groove.sound.report import Report


def render(job: AudioJob, progress: Callable[[float], None] | None = None) -> Report:
    """Play the job's MIDI with its soundfonts, mix it, write its files, and report on them.

    Tick 0 is the first frame. The audio ends when the last sound has died away; or, with a loop,
    exactly at the loop's end, see `Passage`. All files are equally long, and have the gain that
    brings the whole band to the loudness that is asked for. progress: called with the share that
    is done, 0 to 1.

    A file already there is written over. Raises `GrooveError` for a missing library, an unusable
    soundfont, a track without sound, a file that cannot be written, and too little memory.
    """
    require_memory(job.fonts)
    band = [job.settings.weigh(score) for score in scores(job.midi)]
    folder = job.files[0].path.parent if job.files else Path(tempfile.gettempdir())
    try:
        some = job.kept.band(band, job.fonts, job.settings) if job.kept else None
        with play_stems(some.played if some else band, job.fonts) as playing:
            # The array library is loaded only here, while the stems are already being played.
            from groove.sound.production import produce

            return produce(playing, band, job, folder, progress or (lambda _share: None), some)
    except MemoryError:
        raise GrooveError("not enough memory to make the audio") from None
    except OSError as error:
        place = job.files[0].path if job.files else folder
        frames = max(score.end for score in band) * len(band)
        raise GrooveError(f"{place}: {_reason(error, frames)}") from None


def _reason(error: OSError, frames: int) -> str:
    """The reason why a file could not be written, in words."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        megabytes = frames * BYTES_A_FRAME / 1e6
        return f"no room left to write it; that takes about {megabytes:,.0f} MB until it is done"
    return f"cannot be written: {error.strerror or error}"
