"""Audio files from MIDI: the stems are played together and measured, then every file is written.

Everything goes over the track in passes of blocks, which keeps the memory small however long it
is, and uses all cores: the stems are played, side by side, onto tapes and measured; each goes
through its compressor and fader; their sum is measured, which gives the gain; and each mix is put
together from the tapes, mastered and written.
"""

from __future__ import annotations

import errno
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from groove.errors import GrooveError
from groove.sound.report import Report
from groove.sound.samples import SAMPLE_RATE
from groove.sound.synth.scores import TempoMap, markers, missing_programs, scores
from groove.sound.synth.soundfont_file import presets
from groove.sound.synth.stems import play_stems

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    import mido

    from groove.sound.files.tags import Tags
    from groove.sound.mix.mix_settings import Desk
    from groove.sound.mixes import AudioFile, Mix
    from groove.sound.options import Wanted
    from groove.sound.synth.reverbs import Room
    from groove.sound.synth.soundfonts import Soundfont

BYTES_A_FRAME = 8
"""What a frame of one part takes until the files are written."""


def render(
    midi: mido.MidiFile,
    soundfont: Soundfont,
    files: Sequence[AudioFile],
    asked: Wanted,
    room: Room,
    desk: Desk,
    *,
    loop: tuple[int, int] | None = None,
    tags: Callable[[Mix], Tags | None] | None = None,
    closely: bool = False,
    progress: Callable[[float], None] | None = None,
) -> Report:
    """Play `midi` with `soundfont` in a room, mix it at a desk, write `files`, all into one folder.

    Tick 0 is the first frame. The audio ends when the last sound has died away; or, with `loop`
    (start and end of the loop in ticks), exactly at the loop's end, see `Passage`. All files are
    equally long, and have the gain that brings the whole band to the loudness that is asked for.
    tags: what each mix says about itself. closely: whether to measure what is written.
    progress: is told fractions from 0 to 1.

    A file already there is written over. Raises `GrooveError` for a missing library, an unusable
    soundfont, a track without sound and a file that cannot be written.
    """
    band = [desk.weigh(score) for score in scores(midi)]
    parts = tuple(score.name for score in band)
    end = max(score.end for score in band)
    folder = files[0].path.parent if files else Path(tempfile.gettempdir())
    try:
        with play_stems(band, soundfont, room) as playing:
            # The array library is loaded only here, while the players are already at work.
            from groove.sound.files.riff import Cue, Loop
            from groove.sound.production import About, produce

            tempo = TempoMap(midi)
            found = produce(
                playing,
                parts,
                files,
                asked,
                desk,
                folder,
                about=About(tags or (lambda _mix: None), [Cue(*place) for place in markers(midi)]),
                closely=closely,
                end=end,
                loop=Loop(*map(tempo.frame, loop)) if loop else None,
                tell=progress or (lambda _fraction: None),
            )
    except OSError as error:
        place = files[0].path if files else folder
        raise GrooveError(f"{place}: {_reason(error, end * len(parts))}") from None
    return Report(
        seconds=found.frames / SAMPLE_RATE,
        parts=files[0].mix.parts if files else parts,
        heard=found.heard,
        gain=found.gain,
        short=found.short,
        faders=found.faders,
        compressors=found.compressors,
        limiter=found.limiter,
        part_limiters=found.part_limiters,
        together=found.together,
        comping_share=found.comping_share,
        soundfont=soundfont.name,
        licence=soundfont.licence,
        missing=missing_programs(band, presets(soundfont.path)),
    )


def _reason(error: OSError, frames: int) -> str:
    """Why a file could not be written, in words that help."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        megabytes = frames * BYTES_A_FRAME / 1e6
        return f"no room left to write it; that takes about {megabytes:,.0f} MB until it is done"
    return f"cannot be written: {error.strerror or error}"
