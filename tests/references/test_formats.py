"""Audio files as other programs read them: ffmpeg's tools and Python's own wave module."""

from __future__ import annotations

import json
import subprocess
import wave
from typing import TYPE_CHECKING, Any

import mutagen.mp3
import numpy as np
import pytest
from mutagen.mp3._util import XingHeader

from groove.sound.options import FORMATS
from tests.sound.files.format_material import CUES, EVERY, LOOP, TAGS, music, read_back, written

if TYPE_CHECKING:
    from pathlib import Path


STEREO_MODES = {0: "mono", 1: "stereo", 2: "two channels", 3: "joint stereo"}
SOURCE_RATES = {0: 32_000, 1: 44_100, 2: 48_000}
"""By the numbers that stand for them in LAME's header ("Mp3 Info Tag rev 1", from memory)."""


def probed(path: Path) -> dict[str, Any]:
    """The facts about a file by ffprobe; names of tags in small letters."""
    command = ["ffprobe", "-v", "error", "-of", "json", "-show_format", "-show_streams"]
    done = subprocess.run([*command, "-show_chapters", path], capture_output=True, check=True)
    found: dict[str, Any] = json.loads(done.stdout)
    tags = found["streams"][0].get("tags", {}) | found["format"].get("tags", {})
    found["tags"] = {name.lower(): value for name, value in tags.items()}
    return found


@pytest.mark.parametrize(("format_", "bits"), EVERY)
def test_ffmpeg_decodes_every_frame_without_complaint(
    tmp_path: Path, format_: str, bits: int
) -> None:
    sound = music(100_003)
    path = written(tmp_path / "x", format_, sound, bits=bits, tags=TAGS, cues=CUES, loop=LOOP)
    command = ["ffmpeg", "-v", "error", "-i", path, "-f", "f32le", "-"]
    done = subprocess.run(command, capture_output=True, check=True)
    assert done.stderr == b""
    heard = np.frombuffer(done.stdout, "<f4").reshape(-1, 2)
    assert len(heard) == len(sound)
    assert np.abs(heard - read_back(path)).max() < 1e-3


@pytest.mark.parametrize("format_", FORMATS)
def test_ffprobe_reads_the_tags(tmp_path: Path, format_: str) -> None:
    tags = probed(written(tmp_path / "x", format_, music(), tags=TAGS))["tags"]
    assert tags["title"] == TAGS.title
    assert tags["genre"] == TAGS.genre
    assert TAGS.comment in tags["comment"]
    assert TAGS.licence in (tags.get("license") or tags["comment"])
    assert tags["encoder"].startswith(TAGS.encoder)


@pytest.mark.parametrize("format_", FORMATS)
def test_ffprobe_finds_the_chapters(tmp_path: Path, format_: str) -> None:
    found = probed(written(tmp_path / "x", format_, music(), cues=CUES))["chapters"]
    assert [chapter["tags"]["title"] for chapter in found] == [cue.label for cue in CUES]
    starts = [float(chapter["start_time"]) for chapter in found]
    assert starts == pytest.approx([cue.frame / 44_100 for cue in CUES], abs=0.001)


def test_mutagen_reads_stereo_at_44_1_khz_in_the_header_of_an_mp3(tmp_path: Path) -> None:
    """The fields of LAME's "Mp3 Info Tag" as its class LAMEHeader lays them out."""
    path = written(tmp_path / "x", "mp3", music(), tags=TAGS)
    with path.open("rb") as file:
        file.seek(path.read_bytes().index(b"Info"))
        found = XingHeader(file).lame_header
    assert STEREO_MODES[found.stereo_mode] == "stereo"
    assert SOURCE_RATES[found.source_sample_frequency_enum] == 44_100
    assert (found.bitrate, found.vbr_method) == (192, 1)
    music_itself = mutagen.mp3.MP3(path).info
    assert (music_itself.channels, music_itself.mode) == (2, mutagen.mp3.STEREO)


@pytest.mark.parametrize("bits", [16, 24])
def test_pythons_wave_module_reads_wav(tmp_path: Path, bits: int) -> None:
    path = written(tmp_path / "x", "wav", music(), bits=bits, tags=TAGS, cues=CUES, loop=LOOP)
    with wave.open(str(path)) as wav:
        found = (wav.getnchannels(), wav.getsampwidth(), wav.getframerate(), wav.getnframes())
    assert found == (2, bits // 8, 44_100, 88_200)
