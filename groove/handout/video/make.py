"""A form to a video: the track as `make` makes it, and frames that follow it."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Unpack

from groove.band.part import SOLO
from groove.errors import GrooveError
from groove.files import try_targets, written_together
from groove.form.model import Form
from groove.handout import NO_SHOW
from groove.handout.drawing.raster import load_pdfium
from groove.handout.output import say_unprintable
from groove.handout.posting.chapters import chapters
from groove.handout.video.course import FRAMES_A_SECOND
from groove.handout.video.encoder import FORMATS, Encoder, load_av
from groove.handout.video.film import Film
from groove.handout.video.look import look_of
from groove.handout.video.shown.shown_view import check_shown
from groove.lesson.request import STRINGED, USUAL, Request, for_form
from groove.lesson.voice import voice_of
from groove.sound.files.tags import info_fields, tags_of
from groove.sound.midi import midi_file
from groove.sound.mixes import audio_files
from groove.sound.options import wanted
from groove.sound.samples import SAMPLE_RATE
from groove.sound.synth.covering import covered, played_in
from groove.sound.synth.scores import parts_of
from groove.sound.synth.soundfonts import find_fonts
from groove.track import compile_take, make
from groove.wording import worded

if TYPE_CHECKING:
    from groove.form.chart import Chart
    from groove.sound.options import AudioOptions
    from groove.sound.synth.soundfonts import Given

SOUND_SHARE = 0.3
"""Of the progress: the sound is made before the first frame."""
AT_ONCE = 15
"""Frames of the picture for which the sound is encoded together."""


def make_video(
    form: Form,
    path: str | Path,
    *,
    size: str = "wide",
    theme: str = "light",
    show: str = NO_SHOW,
    request: Request = USUAL,
    soundfont: Given = None,
    audio: str | Path | None = None,
    say: Callable[[str], None] = lambda line: None,
    progress: Callable[[float], None] = lambda share: None,
    **options: Unpack[AudioOptions],
) -> Path:
    """Write a video of a form: its track with the chart, on which the bar that sounds is marked.

    path: ends in ``.mp4`` (H.264 and AAC) or ``.webm`` (VP9 and Opus). size: ``wide``, ``upright``
    or ``square``. theme: ``light`` or ``dark``. show: ``none``, ``neck``, ``keyboard`` or ``tab``.
    request: the instrument, tuning, hand and position of what is shown. soundfont, options: as of
    groove.track.make. audio: the track as a WAV that make has written with the same options, if
    there is one. say: called with each line that the reader should know. progress: called with the
    share that is done, 0 to 1.

    Returns the path. Raises GrooveError; then nothing has been written.
    """
    target = Path(path)
    kind = target.suffix.lower()
    if kind not in FORMATS:
        raise GrooveError(f"{path}: a video ends in {' or '.join(FORMATS)}")
    look = look_of(size, theme, show)
    if form.lesson.plays in STRINGED:
        request = for_form(form, request)
    if show != NO_SHOW:
        check_shown(show, form, request)
    load_av()
    load_pdfium()
    try_targets([target])
    with worded(form.lesson.words), written_together([target], say) as (staged,):
        if audio is None:
            _, audio, *_ = make(
                form, staged.parent / "sound", audio="wav", soundfont=soundfont, say=say,
                progress=lambda share: progress(SOUND_SHARE * share), **options,
            )  # fmt: skip
        take = compile_take(form)
        fonts = covered(find_fonts(soundfont, os.environ), played_in(take)).fonts
        solo = next((part.notes for part in take.parts if part.name == SOLO), None)
        mix = audio_files(Path(), parts_of(midi_file(take)), wanted("wav", options))[0].mix
        film = Film(take.chart, look, show, request, fonts, mix, solo)
        tags = info_fields(tags_of(form, mix.label, fonts))
        _encode(film, take.chart, Path(audio), staged, tags, progress)
        teacher = voice_of(form.lesson).texts
    say_unprintable(form.title, [section.name for section in form.sections], say, teacher)
    return target


def _encode(
    film: Film,
    chart: Chart,
    sound: Path,
    path: Path,
    tags: dict[str, str],
    progress: Callable[[float], None],
) -> None:
    """Write the video of a film and a WAV file."""
    import numpy as np
    import soundfile

    with soundfile.SoundFile(sound) as heard:
        seconds = heard.frames / SAMPLE_RATE
        total = film.length(seconds)
        silence = np.zeros((film.lead_in * SAMPLE_RATE, 2), np.float32)
        places = chapters(chart, lead_in=film.lead_in, least=0.0)
        named = {"title": tags["INAM"], "comment": tags["ICMT"], "genre": tags["IGNR"]}
        named |= {"artist": tags["IART"]} if "IART" in tags else {}
        length = total / FRAMES_A_SECOND
        with Encoder(path, path.suffix.lower(), film.look.pixels, named, places, length) as out:
            out.play(silence)
            begin = film.lead_in * FRAMES_A_SECOND
            for number, planes in enumerate(film.pictures(seconds)):
                out.show(planes)
                if number >= begin and (number - begin) % AT_ONCE == 0:
                    frames = min(AT_ONCE, total - number) * SAMPLE_RATE // FRAMES_A_SECOND
                    out.play(heard.read(frames, dtype="float32", always_2d=True, fill_value=0.0))
                    progress(SOUND_SHARE + (1 - SOUND_SHARE) * number / total)
    progress(1.0)
