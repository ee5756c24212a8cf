"""A preview of a track: a stretch of its audio from the most telling place, with fades, as MP3.

The whole track is rendered as any other, and the stretch cut out of it, so it sounds as it does
there. Only the limiter works again, as it does for every MP3, whose encoder raises peaks.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Unpack

from groove import library
from groove.band.plan.planner import planned
from groove.errors import GrooveError, OptionError
from groove.files import try_targets, written_together
from groove.form.model import Form
from groove.form.unroll import unroll
from groove.handout.posting.place import Place, telling_place
from groove.handout.posting.players import heard
from groove.sound.midi import midi_file
from groove.sound.options import AudioOptions
from groove.sound.samples import SAMPLE_RATE
from groove.track import compile_take, make
from groove.wording import in_figures, said, worded

if TYPE_CHECKING:
    import soundfile

    from groove.band.take import Take
    from groove.sound.files.riff import Cue
    from groove.sound.files.tags import Tags
    from groove.sound.samples import Samples
    from groove.sound.synth.soundfonts import Given

ENDING = ".mp3"
BITS = 24
"""Of the track that is cut: without dither, which would be louder than the end of a fade."""
ROUNDS, LITTLE_DB = 4, 0.2
"""A preview is encoded at most this often until its peaks are low enough, as a whole track is."""


@dataclass(frozen=True)
class Preview:
    """A preview that was written: its path, and its place in the track."""

    path: Path
    place: Place


@dataclass(frozen=True)
class Stretch:
    """A stretch of a track as samples, with its fades. first: its first frame in the track. start:
    the frames of the fade before the bar with which it begins; end: those of the fade at its end;
    both 0 where there is none."""

    first: int
    samples: Samples
    start: int
    end: int


def make_preview(
    form: Form,
    path: str | Path,
    *,
    seconds: float | None = None,
    soundfont: Given = None,
    audio: str | Path | None = None,
    say: Callable[[str], None] = lambda line: None,
    progress: Callable[[float], None] | None = None,
    **options: Unpack[AudioOptions],
) -> Preview:
    """Write the preview of a form's track as MP3.

    path: ends in ``.mp3``. seconds: its length, 30 if left out; a shorter track is taken whole.
    soundfont, options: as of groove.make. audio: the track as a WAV that groove.make has written
    with the same options, if there is one. say: called with each line that the reader should know,
    the last of them on the place and why it was chosen. progress: called with the share of the
    work that is done, 0 to 1.

    Raises GrooveError; then nothing has been written.
    """
    target, seconds = Path(path), _seconds(seconds)
    if target.suffix.lower() != ENDING:
        raise GrooveError(f"{path}: a preview ends in {ENDING}")
    if audio is not None and not Path(audio).is_file():
        raise GrooveError(f"{audio}: there is no such file; leave audio out to have it made")
    try_targets([target])
    with worded(form.lesson.words), written_together([target], say) as (staged,):
        if audio is None:
            asked: AudioOptions = {**options, "bits": BITS}
            folder = staged.parent / "track"
            with _named(target, folder):
                audio = make(
                    form, folder, audio="wav", soundfont=soundfont, say=say, progress=progress,
                    **asked,
                )[1]  # fmt: skip
        place, stretch = cut_place(form, Path(audio), seconds, options)
        _encode(stretch, staged, _tags(form, soundfont, place), _cues(compile_take(form), stretch))
        say(place.words)
    return Preview(target, place)


@contextmanager
def _named(target: Path, folder: Path) -> Iterator[None]:
    """Errors about files in a folder of ours as errors about the file that is made of them."""
    try:
        yield
    except GrooveError as error:
        if not str(error).startswith(f"{folder}"):
            raise
        raise GrooveError(f"{target}: {str(error).partition(': ')[2]}") from None


def _seconds(asked: float | None) -> float:
    figures = library.table("posting")["preview"]
    seconds = float(figures["seconds"] if asked is None else asked)
    if not figures["least"] <= seconds <= figures["most"]:
        least, most = in_figures(figures["least"]), in_figures(figures["most"])
        raise OptionError("seconds", f"found {asked:g}; {least} to {most} seconds are allowed")
    return seconds


def cut_place(
    form: Form, audio: Path, seconds: float, options: AudioOptions
) -> tuple[Place, Stretch]:
    """The most telling place of a track, and that stretch of its WAV file with fades.

    options: those of the WAV, which say who plays. Outside the fades the samples are the file's.
    """
    import numpy as np

    band = heard(compile_take(form), options)
    figures = library.table("posting")["preview"]
    with _opened(audio) as file:
        length = file.frames / SAMPLE_RATE
        place = telling_place(planned(unroll(form)), band.parts, length, seconds)
        faded_in = 0 if place.whole else round(figures["fade_in"] * SAMPLE_RATE)
        first = max(0, round(place.start * SAMPLE_RATE) - faded_in)
        last = file.frames if place.ends else first + round(seconds * SAMPLE_RATE)
        file.seek(first)
        samples = file.read(last - first, dtype="float32", always_2d=True)
    faded_out = 0 if place.ends else round(figures["fade_out"] * SAMPLE_RATE)
    faded_out = min(faded_out, len(samples) // 2)
    if faded_in:
        samples[:faded_in] *= _rise(faded_in)
    if faded_out:
        samples[-faded_out:] *= _rise(faded_out)[::-1]
    return place, Stretch(first, np.ascontiguousarray(samples), faded_in, faded_out)


@contextmanager
def _opened(audio: Path) -> Iterator[soundfile.SoundFile]:
    """A file of audio to read. Raises GrooveError for one that is none."""
    import soundfile

    with audio.open("rb") as opened:  # the library takes no path that is not UTF-8
        try:
            file = soundfile.SoundFile(opened.fileno(), closefd=False)
        except soundfile.SoundFileError as error:
            raise GrooveError(f"{audio}: can't be read as audio: {error}") from None
        with file:
            yield file


def _rise(frames: int) -> Samples:
    """The gain of a fade from nothing to all, which begins and ends without a corner."""
    import numpy as np

    way = (np.arange(frames, dtype=np.float64) + 0.5) / frames
    found: Samples = ((1 - np.cos(np.pi * way)) / 2).astype(np.float32)[:, np.newaxis]
    return found


def _tags(form: Form, soundfont: Given, place: Place) -> Tags:
    """The tags of the track, with the name of a preview."""
    from groove.sound.files.tags import tags_of
    from groove.sound.synth.covering import covered, played_in
    from groove.sound.synth.soundfonts import find_fonts

    fonts = covered(find_fonts(soundfont, os.environ), played_in(compile_take(form))).fonts
    part = said("pack", "mixes.all") if place.whole else said("posting", "preview.part")
    return tags_of(form, part, fonts)


def _cues(take: Take, stretch: Stretch) -> list[Cue]:
    """The chapters of the track that begin within a stretch, after the one that it begins in."""
    from groove.sound.files.riff import Cue
    from groove.sound.synth.scores import markers

    places = markers(midi_file(take))
    bar = stretch.first + stretch.start
    begun = [name for frame, name in places if frame <= bar]
    last = stretch.first + len(stretch.samples)
    cues = [Cue(0, begun[-1])] if begun else []
    return cues + [Cue(at - stretch.first, name) for at, name in places if bar < at < last]


def _encode(stretch: Stretch, path: Path, tags: Tags, cues: Sequence[Cue]) -> None:
    """Write a stretch; again and lower at its peaks if the encoder has made one too high."""
    from groove.sound.files.formats import open_audio
    from groove.sound.files.writers import OVERSHOOT_DB
    from groove.sound.mix.decoded_peak import InMemory, decoded_peak
    from groove.sound.mix.limiter import CEILING, CEILING_DB, gain_curve
    from groove.sound.mix.peaks import Peaks, slice_peaks, true_peaks

    room_db = OVERSHOOT_DB["mp3"]
    for _ in range(ROUNDS):
        ceiling = CEILING * 10 ** (-room_db / 20)
        peaks = Peaks.of_samples(slice_peaks(stretch.samples))
        limiter = gain_curve(true_peaks(InMemory(stretch.samples), peaks, ceiling), 1.0, ceiling)
        samples = stretch.samples.copy()
        limiter.apply(samples, 0)
        with open_audio(path, "mp3", tags=tags, cues=cues) as audio:
            audio.write(samples)
        over = decoded_peak(path, CEILING) - CEILING_DB
        if over <= 0:
            return
        room_db += over + LITTLE_DB
