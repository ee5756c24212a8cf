"""Audio files are what was written, the same each time, and whole or not there at all."""

from __future__ import annotations

import errno
import hashlib
import os
import resource
import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mutagen import MutagenError
from mutagen.flac import FLAC
from mutagen.oggvorbis import OggVorbis

from groove.errors import GrooveError
from groove.sound.files.formats import open_audio
from groove.sound.files.ogg import checksum
from groove.sound.files.pcm import Quantiser
from groove.sound.options import FORMATS
from tests.examples import examples
from tests.sound.files.format_material import (
    CUES,
    EVERY,
    LOOP,
    LOSSLESS,
    TAGS,
    music,
    read_back,
    written,
)


@pytest.mark.parametrize(("format_", "bits"), EVERY)
def test_a_file_is_exactly_as_long_as_what_was_written(
    tmp_path: Path, format_: str, bits: int
) -> None:
    for frames in (1, 44_100, 50_003):
        path = written(tmp_path / "x", format_, music(frames), bits=bits)
        assert len(read_back(path)) == frames


@pytest.mark.parametrize("format_", ["wav", "flac"])
def test_24_bits_are_within_half_a_code(tmp_path: Path, format_: str) -> None:
    sound = music()
    error = read_back(written(tmp_path / "x", format_, sound)) - sound
    assert np.abs(error).max() * 2**23 <= 0.5


@pytest.mark.parametrize("format_", ["wav", "flac"])
def test_16_bits_are_within_half_a_code_and_the_dither(tmp_path: Path, format_: str) -> None:
    sound = music()
    error = read_back(written(tmp_path / "x", format_, sound, bits=16)) - sound
    assert np.abs(error).max() * 2**15 <= 1.5


def test_dither_makes_the_error_of_16_bits_independent_of_the_sound() -> None:
    """With triangular dither the mean error is 0 and its variance 1/4 code, at any level."""
    for level in (0.1, 0.25, 0.5):
        piece = np.full(16_384, level / 2**15, np.float32)
        error = Quantiser(16, 0).whole(piece) - level
        assert abs(error.mean()) < 0.02
        assert error.var() == pytest.approx(0.25, rel=0.05)


@pytest.mark.parametrize(("format_", "bits"), LOSSLESS)
def test_silence_stays_silent(tmp_path: Path, format_: str, bits: int) -> None:
    path = written(tmp_path / "x", format_, np.zeros((9000, 2), np.float32), bits=bits)
    assert not read_back(path).any()


@pytest.mark.parametrize("format_", ["mp3", "ogg"])
def test_lossy_formats_keep_the_music_in_its_place(tmp_path: Path, format_: str) -> None:
    sound = music()
    error = read_back(written(tmp_path / "x", format_, sound)) - sound
    assert 10 * np.log10(np.mean(sound**2) / np.mean(error**2)) > 15


@pytest.mark.parametrize("format_", ["mp3", "ogg"])
def test_lossy_formats_are_as_loud_as_the_music(tmp_path: Path, format_: str) -> None:
    sound = music()
    heard = read_back(written(tmp_path / "x", format_, sound))
    assert 10 * np.log10(np.mean(heard**2) / np.mean(sound**2)) == pytest.approx(0, abs=0.05)


@pytest.mark.parametrize(("format_", "bits"), LOSSLESS)
def test_what_is_too_loud_stays_at_full_scale(tmp_path: Path, format_: str, bits: int) -> None:
    loud = np.array([[1.0, -1.0], [1.5, -1.5], [900.0, -900.0]], np.float32)
    sound = read_back(written(tmp_path / "x", format_, loud, bits=bits))
    assert (sound[1:] == [1 - 2.0 ** (1 - bits), -1]).all()
    assert np.abs(sound[0] - [1, -1]).max() <= 2 * 2.0 ** (1 - bits)


@pytest.mark.parametrize("format_", ["mp3", "ogg"])
def test_what_is_too_loud_is_not_wrapped_by_lossy_formats(tmp_path: Path, format_: str) -> None:
    sound = 5 * music()
    heard = read_back(written(tmp_path / "x", format_, sound))
    held = np.clip(sound, -1, 1)
    assert np.corrcoef(heard[:, 0], held[:, 0])[0, 1] > 0.98
    assert np.abs(heard).max() < 1.5


@pytest.mark.parametrize(("format_", "bits"), EVERY)
@settings(max_examples=examples(8))
@given(cuts=st.lists(st.integers(0, 30_000), max_size=6))
def test_the_same_sound_makes_the_same_bytes_however_it_is_cut(
    tmp_path_factory: pytest.TempPathFactory, format_: str, bits: int, cuts: list[int]
) -> None:
    folder, sound = tmp_path_factory.mktemp("cut"), music(30_000)
    with open_audio(folder / "cut", format_, bits=bits, tags=TAGS, cues=CUES) as out:
        for block in np.split(sound, sorted(cuts)):
            out.write(block)
    whole = written(folder / "whole", format_, sound, 30_000, bits=bits, tags=TAGS, cues=CUES)
    assert (folder / "cut").read_bytes() == whole.read_bytes()


@pytest.mark.parametrize("format_", FORMATS)
def test_a_block_may_be_written_over_at_once(tmp_path: Path, format_: str) -> None:
    sound, block = music(), np.empty((4410, 2), np.float32)
    with open_audio(tmp_path / "reused", format_) as out:
        for fresh in np.split(sound, 20):
            block[:] = fresh
            out.write(block)
            block[:] = 1
    whole = written(tmp_path / "whole", format_, sound)
    assert (tmp_path / "reused").read_bytes() == whole.read_bytes()


def test_the_seed_of_the_dither_counts(tmp_path: Path) -> None:
    sound = music(9000)
    first, second = (
        written(tmp_path / f"{seed}", "wav", sound, bits=16, seed=seed) for seed in (1, 2)
    )
    assert first.read_bytes() != second.read_bytes()


def test_files_written_in_threads_are_those_written_one_by_one(tmp_path: Path) -> None:
    sound = music()

    def write(job: tuple[str, str, int]) -> str:
        folder, format_, bits = job
        path = written(tmp_path / f"{folder}-{format_}{bits}", format_, sound, bits=bits)
        return hashlib.sha256(path.read_bytes()).hexdigest()

    alone = [write(("alone", *how)) for how in EVERY]
    with ThreadPoolExecutor(len(EVERY)) as pool:
        together = list(pool.map(write, [("together", *how) for how in EVERY]))
    assert together == alone


@pytest.mark.parametrize("format_", FORMATS)
def test_an_interruption_leaves_no_file(tmp_path: Path, format_: str) -> None:
    path = tmp_path / "x"

    def interrupted() -> None:
        with open_audio(path, format_, tags=TAGS) as out:
            out.write(music(20_000))
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        interrupted()
    assert not path.exists()


@pytest.mark.parametrize("format_", FORMATS)
@pytest.mark.parametrize("limit", [100, 30_000])
def test_a_full_disk_is_one_line_and_leaves_no_file(
    tmp_path: Path, format_: str, limit: int
) -> None:
    path = tmp_path / "x"
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, before[1]))
    try:
        with pytest.raises(GrooveError, match=f"^{path}: no room left to write it$"):
            written(path, format_, music(5 * 44_100))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert not path.exists()


@pytest.mark.parametrize("format_", FORMATS)
def test_a_folder_that_is_not_there_is_one_line(tmp_path: Path, format_: str) -> None:
    path = tmp_path / "nowhere" / "x"
    with (
        pytest.raises(GrooveError, match="x: cannot be written: No such file"),
        open_audio(path, format_),
    ):
        pass


@pytest.mark.parametrize("format_", FORMATS)
def test_a_folder_whose_name_is_not_utf_8_gets_its_file(tmp_path: Path, format_: str) -> None:
    folder = tmp_path / os.fsdecode(b"\xe9t\xe9")
    folder.mkdir()
    named = written(folder / "x", format_, music(9001), tags=TAGS)
    assert (
        named.read_bytes() == written(tmp_path / "x", format_, music(9001), tags=TAGS).read_bytes()
    )


def test_the_error_about_an_unknown_format_names_the_nearest() -> None:
    with (
        pytest.raises(GrooveError, match="'flak' is unknown; did you mean flac"),
        open_audio(Path("x"), "flak"),
    ):
        pass


@pytest.mark.parametrize("format_", ["flac", "mp3", "ogg"])
def test_a_thread_that_cannot_be_started_is_a_lack_of_memory(
    tmp_path: Path, format_: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_thread: threading.Thread) -> None:
        raise RuntimeError("can't start new thread")

    monkeypatch.setattr(threading.Thread, "start", refuse)
    with pytest.raises(MemoryError):
        written(tmp_path / "x", format_, music(9001))
    assert not (tmp_path / "x").exists()


def test_a_loop_past_the_end_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="after the audio"):
        written(tmp_path / "x", "wav", music(1000), loop=LOOP)
    assert not (tmp_path / "x").exists()


@pytest.mark.parametrize("format_", FORMATS)
def test_a_file_without_audio_is_refused(tmp_path: Path, format_: str) -> None:
    with pytest.raises(ValueError, match="no audio"):
        written(tmp_path / "x", format_, music(0))
    assert not (tmp_path / "x").exists()


def test_the_check_sum_of_ogg_is_that_of_its_definition() -> None:
    """RFC 3533: polynomial 0x04c11db7, from 0, highest bit first; here bit by bit."""
    page = bytes(range(256)) * 3
    crc = 0
    for byte in page:
        crc ^= byte << 24
        for _ in range(8):
            crc = (crc << 1 ^ (0x04C11DB7 if crc >> 31 else 0)) & 0xFFFFFFFF
    assert checksum(page) == crc


def test_the_encoders_are_loaded_only_where_used() -> None:
    code = (
        "import sys, groove.sound.files.formats;"
        "print({'mutagen', 'lameenc', 'soundfile'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "set()\n"


@pytest.mark.parametrize("format_", ["flac", "ogg"])
def test_what_fails_while_the_tags_are_written_ends_in_one_line(
    tmp_path: Path, format_: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The tag writer has errors of its own for those of the system."""

    def full(*_args: object, **_options: object) -> None:
        raise MutagenError(OSError(errno.ENOSPC, "No space left on device"))

    for kind in (FLAC, OggVorbis):
        monkeypatch.setattr(kind, "save", full)
    with pytest.raises(GrooveError, match="no room left to write it"):
        written(tmp_path / "x", format_, music(9001), tags=TAGS)
    assert not (tmp_path / "x").exists()
