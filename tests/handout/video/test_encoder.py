"""Pictures and sound in a video file. Source: FFmpeg's own programs, which decode it again;
ISO/IEC 14496-12 for the order of the boxes of an MP4 file."""

from __future__ import annotations

import json
import os
import resource
import struct
import subprocess
import sys
import threading
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.signal import correlate, resample_poly

from groove.errors import GrooveError
from groove.handout.posting.chapters import Chapter
from groove.handout.video.encoder import FORMATS, Encoder, load_av
from groove.sound.samples import SAMPLE_RATE
from tests.once import made_once

SIZE = 160, 96
FRAMES = 95  # of which every seventh is another picture
CHANGE = 7
CHAPTERS = [
    Chapter(0.0, "Night Ferry"),
    Chapter(0.5, "A: 1 of 2"),
    Chapter(1.25, "Übergang – Ende"),
]
TAGS = {"title": "Night Ferry", "artist": "Ada", "comment": "mix: 12 bars", "genre": "Swing"}
KINDS = sorted(FORMATS)


def planes(number: int, size: tuple[int, int] = SIZE) -> np.ndarray:
    """A frame whose brightness tells its number."""
    wide, high = size
    found = np.full((high * 3 // 2, wide), 128, np.uint8)
    found[:high] = brightness(number)
    return found


def brightness(number: int) -> int:
    return 40 + 37 * number % 180


def noise(frames: int) -> np.ndarray:
    """Sound that is like itself at no other place."""
    coarse = np.random.default_rng(1).normal(0, 0.1, (frames // 4 + 1, 2))
    return np.repeat(coarse, 4, axis=0)[:frames].astype(np.float32)


def encode(path: Path, kind: str, frames: int = FRAMES, size: tuple[int, int] = SIZE) -> None:
    """Write a video of so many frames whose sound is noise."""
    sound = noise(frames * SAMPLE_RATE // 30)
    with Encoder(path, kind, size, TAGS, CHAPTERS, frames / 30) as out:
        for number in range(frames):
            out.show(planes(number, size) if number % CHANGE == 0 else None)
            if number % 15 == 0:
                out.play(sound[number * 1470 : (number + 15) * 1470])


@pytest.fixture(scope="session", params=KINDS)
def encoded(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    kind: str = request.param
    return made_once(tmp_path_factory, f"encoded{kind}", lambda path: encode(path, kind))


@cache
def probed(path: Path) -> dict[str, Any]:
    """What ffprobe says of a file."""
    asked = ("-show_streams", "-show_format", "-show_chapters", "-show_packets")
    done = subprocess.run(
        ["ffprobe", "-v", "error", "-of", "json", *asked, str(path)],
        capture_output=True, check=True,
    )  # fmt: skip
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def stream_of(path: Path, kind: str) -> dict[str, Any]:
    (found,) = [stream for stream in probed(path)["streams"] if stream["codec_type"] == kind]
    return dict(found)


def times_of(path: Path, kind: str) -> list[Fraction]:
    """When each packet of a stream is to be shown or heard."""
    stream = stream_of(path, kind)
    base, index = Fraction(stream["time_base"]), stream["index"]
    packets = probed(path)["packets"]
    return [packet["pts"] * base for packet in packets if packet["stream_index"] == index]


@cache
def decoded(path: Path) -> tuple[np.ndarray, np.ndarray]:
    """The brightness of all frames that ffmpeg decodes, each once as it stands in the file, and the
    sound at the rate that it has there."""
    done = subprocess.run(
        ["ffmpeg", "-v", "error", "-i", str(path), "-map", "0:v", "-f", "rawvideo",
         "-fps_mode", "passthrough", "-pix_fmt", "yuv420p", f"{path}.yuv",
         "-map", "0:a", "-f", "f32le", f"{path}.f32"],
        capture_output=True, check=True,
    )  # fmt: skip
    assert not done.stderr, done.stderr
    wide, high = SIZE
    frames = np.fromfile(f"{path}.yuv", np.uint8).reshape(-1, high * 3 // 2, wide)[:, :high]
    return frames, np.fromfile(f"{path}.f32", np.float32).reshape(-1, 2)


def boxes(path: Path) -> list[str]:
    """The names of an MP4 file's outermost boxes."""
    content, at, found = path.read_bytes(), 0, []
    while at < len(content):
        size, name = struct.unpack(">I4s", content[at : at + 8])
        assert size >= 8
        found.append(name.decode())
        at += size
    return found


def test_picture_and_sound_are_in_formats_that_phones_play(encoded: Path) -> None:
    picture, sound = stream_of(encoded, "video"), stream_of(encoded, "audio")
    assert (picture["width"], picture["height"]) == SIZE
    assert picture["pix_fmt"] == "yuv420p"
    assert (picture["color_space"], picture["color_range"]) == ("bt709", "tv")
    assert sound["channels"] == 2
    if encoded.suffix == ".mp4":
        assert picture["codec_name"] == "h264"
        assert picture["profile"] in ("Constrained Baseline", "Main", "High")
        assert (sound["codec_name"], sound["profile"]) == ("aac", "LC")
        assert sound["sample_rate"] == "44100"
    else:
        assert (picture["codec_name"], picture["profile"]) == ("vp9", "Profile 0")
        assert (sound["codec_name"], sound["sample_rate"]) == ("opus", "48000")


def test_full_size_stays_within_what_phones_decode(tmp_path: Path) -> None:
    """1920 x 1080 at 30 frames a second is level 4 (ITU-T H.264, table A-1)."""
    encode(tmp_path / "x.mp4", ".mp4", 4, (1920, 1080))
    picture = stream_of(tmp_path / "x.mp4", "video")
    assert (picture["width"], picture["height"]) == (1920, 1080)
    assert picture["level"] <= 40


def test_frames_go_by_at_a_constant_rate(encoded: Path) -> None:
    picture, times = stream_of(encoded, "video"), times_of(encoded, "video")
    assert picture["r_frame_rate"] == picture["avg_frame_rate"] == "30/1"
    assert len(times) == FRAMES
    assert times[0] == 0
    off = [abs(time - Fraction(number, 30)) for number, time in enumerate(times)]
    assert max(off) <= (0 if encoded.suffix == ".mp4" else Fraction(1, 2000))  # WebM counts in ms


def test_each_frame_shows_the_picture_that_was_given_for_it(encoded: Path) -> None:
    frames, _ = decoded(encoded)
    assert len(frames) == FRAMES
    given = [brightness(number - number % CHANGE) for number in range(FRAMES)]
    assert min(abs(np.diff(given[::CHANGE]))) > 10
    assert np.abs(frames.mean(axis=(1, 2)) - given).max() <= 1
    assert np.ptp(frames, axis=(1, 2)).max() <= 4


def test_the_sound_is_where_it_was_given(encoded: Path) -> None:
    rate = 44100 if encoded.suffix == ".mp4" else 48000
    _, found = decoded(encoded)
    given = noise(FRAMES * SAMPLE_RATE // 30)
    if rate != SAMPLE_RATE:
        given = resample_poly(given, 160, 147, axis=0)
    piece = slice(rate, 2 * rate)
    match = correlate(found[:, 0], given[piece, 0], "valid")
    assert int(np.argmax(match)) == rate
    for side in (0, 1):
        assert np.corrcoef(found[piece, side], given[piece, side])[0, 1] > 0.9


def test_picture_and_sound_end_together(encoded: Path) -> None:
    facts = probed(encoded)["format"]
    assert float(facts["start_time"]) == pytest.approx(0, abs=0.008)
    assert float(facts["duration"]) == pytest.approx(FRAMES / 30, abs=0.03)
    rate = int(stream_of(encoded, "audio")["sample_rate"])
    assert len(decoded(encoded)[1]) / rate == pytest.approx(FRAMES / 30, abs=0.03)


def test_an_mp4_file_has_its_index_before_its_content(encoded: Path) -> None:
    if encoded.suffix == ".mp4":
        order = boxes(encoded)
        assert order.index("moov") < order.index("mdat")
        assert order[0] == "ftyp"
    else:
        assert encoded.read_bytes()[:4] == b"\x1a\x45\xdf\xa3"  # EBML


def test_chapters_have_their_times_and_names(encoded: Path) -> None:
    found = probed(encoded)["chapters"]
    assert [chapter["tags"]["title"] for chapter in found] == [c.name for c in CHAPTERS]
    starts = [float(chapter["start_time"]) for chapter in found]
    assert starts == pytest.approx([chapter.seconds for chapter in CHAPTERS], abs=0.001)
    ends = [float(chapter["end_time"]) for chapter in found]
    assert ends == pytest.approx([*starts[1:], FRAMES / 30], abs=0.001)


def test_tags_are_read_back(encoded: Path) -> None:
    found = probed(encoded)["format"]["tags"]
    found = {name.lower(): text for name, text in found.items()}
    assert {name: found[name] for name in TAGS} == TAGS


@pytest.fixture
def one_core() -> Iterator[None]:
    if not hasattr(os, "sched_setaffinity"):
        pytest.skip("threads can't be kept to a core here")
    cores = os.sched_getaffinity(0)
    os.sched_setaffinity(0, {min(cores)})
    yield
    os.sched_setaffinity(0, cores)


@pytest.mark.usefixtures("one_core")
def test_the_same_input_gives_the_same_bytes_however_threads_take_turns(
    encoded: Path, tmp_path: Path
) -> None:
    """On one core, with another thread that is busy."""
    done = threading.Event()

    def busy() -> None:
        while not done.is_set():
            sum(range(1000))

    other = threading.Thread(target=busy)
    other.start()
    try:
        encode(tmp_path / "again", encoded.suffix)
    finally:
        done.set()
        other.join()
    assert (tmp_path / "again").read_bytes() == encoded.read_bytes()


@pytest.mark.parametrize("missing", [1, 100_000])
def test_a_full_disk_is_an_error_that_names_the_file(
    encoded: Path, missing: int, tmp_path: Path
) -> None:
    path, before = tmp_path / "x", resource.getrlimit(resource.RLIMIT_FSIZE)
    most = max(0, encoded.stat().st_size - missing)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, before[1]))
    try:
        with pytest.raises(OSError, match="large") as error:
            encode(path, encoded.suffix)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert error.value.filename == str(path)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("end", [KeyboardInterrupt(), ValueError("own")], ids=repr)
def test_what_stops_it_is_what_comes_out(kind: str, end: BaseException, tmp_path: Path) -> None:
    def stopped() -> None:
        with Encoder(tmp_path / "x", kind, SIZE, {}, [], 1.0) as out:
            out.show(planes(0))
            raise end

    with pytest.raises(type(end)) as error:
        stopped()
    assert error.value is end


def test_without_chapters_and_tags_a_video_is_whole(tmp_path: Path) -> None:
    with Encoder(tmp_path / "x", ".mp4", SIZE, {}, [], 0.1) as out:
        out.play(noise(4410))
        for number in range(3):
            out.show(planes(number))
    assert not probed(tmp_path / "x")["chapters"]
    assert len(times_of(tmp_path / "x", "video")) == 3


def test_a_missing_package_is_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "av", None)
    with pytest.raises(GrooveError) as error:
        load_av()
    assert str(error.value) == "a video needs more packages; run: pip install 'groove[video]'"
