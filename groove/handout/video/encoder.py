"""Pictures and sound into a video file, by PyAV, which brings FFmpeg's libraries.

MP4 holds H.264 (ITU-T H.264, by x264) and AAC (ISO/IEC 14496-3), its index at the beginning, so
that it plays while it loads; WebM holds VP9 and Opus.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from groove.errors import GrooveError
from groove.handout.drawing.raster import EXTRA
from groove.handout.posting.chapters import Chapter
from groove.handout.video.course import FRAMES_A_SECOND
from groove.sound.samples import SAMPLE_RATE

if TYPE_CHECKING:
    from groove.handout.drawing.raster import Pixels
    from groove.sound.samples import Samples

BT709, LIMITED = 1, 1
"""ITU-T H.273: primaries, transfer and matrix of ITU-R BT.709, and the limited range."""


@dataclass(frozen=True)
class Format:
    """The encoding of a video. video, audio: FFmpeg's names of the encoders. options: of the
    picture's. muxer: of the file. bits: of the sound, a second."""

    video: str
    audio: str
    options: dict[str, str]
    muxer: dict[str, str]
    bits: int
    rate: int


# The picture stands still between beats, so the fastest settings leave it as sharp as slow ones;
# a fixed quantiser takes a third less time than one that x264 finds by looking at the frame first.
FORMATS = {
    ".mp4": Format(
        "libx264",
        "aac",
        {"preset": "ultrafast", "qp": "20", "x264-params": "keyint=300:scenecut=0"},
        {"movflags": "+faststart", "fflags": "+bitexact"},
        192_000,
        SAMPLE_RATE,
    ),
    ".webm": Format(
        "libvpx-vp9",
        "libopus",
        {
            "deadline": "realtime", "cpu-used": "8", "row-mt": "1", "tile-columns": "1",
            "tune-content": "screen", "lag-in-frames": "0", "crf": "24", "b": "0", "g": "300",
        },
        {"fflags": "+bitexact"},
        160_000,
        48_000,
    ),
}  # fmt: skip


class Encoder:
    """Writes a video; to be used in a ``with`` block, at whose end the file is whole.

    Frames and sound are given in order and side by side, no more than some seconds apart, so that
    little is held back. Raises OSError where the file can't be written.
    """

    def __init__(
        self,
        path: Path,
        kind: str,
        pixels: tuple[int, int],
        tags: dict[str, str],
        chapters: Sequence[Chapter],
        length: float,
    ) -> None:
        """path: the file; kind: its format, one of FORMATS. length: of the video in seconds, where
        the last chapter ends."""
        av = load_av()
        self._av, form = av, FORMATS[kind]
        self._file = av.open(str(path), "w", format=kind[1:], options=form.muxer)
        self._file.metadata.update(tags)
        if chapters:
            self._file.set_chapters(_chapters(chapters, length))
        self._video = self._file.add_stream(form.video, rate=FRAMES_A_SECOND, options=form.options)
        self._video.width, self._video.height = pixels
        self._video.pix_fmt = "yuv420p"
        context = self._video.codec_context
        context.time_base = Fraction(1, FRAMES_A_SECOND)
        context.flags |= av.codec.context.Flags.bitexact
        context.color_primaries = context.color_trc = context.colorspace = BT709
        context.color_range = LIMITED
        context.thread_count = 2
        self._audio = self._file.add_stream(form.audio, rate=form.rate)
        self._audio.codec_context.bit_rate = form.bits
        self._audio.codec_context.layout = "stereo"
        self._audio.codec_context.flags |= av.codec.context.Flags.bitexact
        self._picture: Any = None
        self._frames = self._samples = 0

    def __enter__(self) -> Encoder:
        return self

    def __exit__(self, kind: object, *_rest: object) -> None:
        if kind is None:
            for stream in (self._video, self._audio):
                self._file.mux(stream.encode(None))
            self._file.close()
        else:
            with suppress(OSError):  # the file is given up: its end can't be written either
                self._file.close()

    def show(self, planes: Pixels | None) -> None:
        """Encode a frame: its planes, as of groove.handout.video.frames.Frames; None for the same
        picture as before."""
        if planes is not None:
            self._picture = self._av.VideoFrame.from_ndarray(planes, format="yuv420p")
            self._picture.time_base = Fraction(1, FRAMES_A_SECOND)
        self._picture.pts = self._frames
        self._frames += 1
        self._file.mux(self._video.encode(self._picture))

    def play(self, samples: Samples) -> None:
        """Encode samples of the sound, which follow those before."""
        import numpy as np

        planar = np.ascontiguousarray(samples.T)
        frame = self._av.AudioFrame.from_ndarray(planar, format="fltp", layout="stereo")
        frame.sample_rate, frame.pts = SAMPLE_RATE, self._samples
        frame.time_base = Fraction(1, SAMPLE_RATE)
        self._samples += len(samples)
        self._file.mux(self._audio.encode(frame))


def load_av() -> Any:
    """PyAV, which the extra ``video`` installs; GrooveError where it is missing."""
    try:
        import av
    except ImportError:
        raise GrooveError(f"a video {EXTRA}") from None
    return av


def _chapters(chapters: Sequence[Chapter], length: float) -> list[dict[str, Any]]:
    ends = [*(chapter.seconds for chapter in chapters[1:]), length]
    return [
        {
            "id": number,
            "start": round(chapter.seconds * 1000),
            "end": round(end * 1000),
            "time_base": Fraction(1, 1000),
            "metadata": {"title": chapter.name},
        }
        for number, (chapter, end) in enumerate(zip(chapters, ends, strict=True), 1)
    ]
