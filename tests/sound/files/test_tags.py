"""Tags, chapters, cue points and loops stand in the files, where players look for them."""

from __future__ import annotations

import struct
from dataclasses import replace
from pathlib import Path
from typing import Any

import mutagen
import pytest

from groove.form.read import read_form
from groove.sound.files.riff import Cue
from groove.sound.files.tags import Tags, id3_tag, tags_of
from groove.sound.options import FORMATS
from groove.sound.synth.soundfonts import Fonts, Soundfont
from tests.sound.files.format_material import CUES, LOOP, TAGS, chunks, music, written


def test_a_forms_tags_say_what_it_is(fonts: Fonts) -> None:
    form = read_form("minor-twelve-bar", key="F#", tempo=96.5, drums="rumba")
    tags = tags_of(form, "without bass", fonts)
    assert tags.title == f"{form.title}, F# minor blues (without bass)"
    assert (tags.key, tags.tempo) == ("F#m", 96.5)
    assert tags.genre.endswith("backing track")
    assert "96.5" in tags.comment
    assert form.feel in tags.comment
    assert fonts.main.licence in tags.licence


def test_a_tag_credits_every_soundfont_and_says_who_plays_it() -> None:
    kit = Soundfont(Path("kit.sf2"), "Kit", "CC BY 4.0", "Recorded by A. Player.")
    fonts = Fonts(Soundfont(Path("hall.sf2"), "Hall", "MIT"), {"drums": kit, "percussion": kit})
    assert tags_of(read_form("twelve-bar"), "mix", fonts).licence == (
        "Sounds from Hall (MIT). Drums and percussion from Kit (CC BY 4.0): Recorded by A. Player."
    )


def test_the_mix_has_the_plain_title(fonts: Fonts) -> None:
    form = read_form("twelve-bar", key="Bb")
    tags = tags_of(form, "mix", fonts)
    assert (tags.title, tags.key) == (f"{form.title}, Bb blues", "Bb")


def test_title_and_comment_name_all_keys_and_tempi_and_the_tuning(fonts: Fonts) -> None:
    form = read_form(
        "twelve-bar", tempo=64, choruses=3, key_cycle="fourths", tempo_step=5.5, a4=442
    )
    tags = tags_of(form, "mix", fonts)
    assert tags.title == f"{form.title}, C blues, then F Bb, 64 to 75, A at 442 Hz"
    assert "in C blues, then F Bb, " in tags.comment
    assert "at 64 to 75, A at 442 Hz;" in tags.comment
    assert (tags.key, tags.tempo) == ("C", 64)


@pytest.mark.parametrize("format_", ["wav", "mp3"])
def test_id3_tags_are_read_back(tmp_path: Path, format_: str) -> None:
    found: Any = mutagen.File(written(tmp_path / f"x.{format_}", format_, music(), tags=TAGS))
    fields = ("TIT2", "TKEY", "TBPM", "TCON", "COMM::eng", "TSSE", "TXXX:LICENSE")
    assert [str(found.tags[field]) for field in fields] == [
        TAGS.title,
        TAGS.key,
        "97",
        TAGS.genre,
        TAGS.comment,
        TAGS.encoder,
        TAGS.licence,
    ]


@pytest.mark.parametrize("format_", ["flac", "ogg"])
def test_vorbis_comments_are_read_back(tmp_path: Path, format_: str) -> None:
    found: Any = mutagen.File(written(tmp_path / f"x.{format_}", format_, music(), tags=TAGS))
    assert [value for _, value in found.tags] == [
        TAGS.title,
        TAGS.key,
        "96.5",
        TAGS.genre,
        TAGS.comment,
        TAGS.encoder,
        TAGS.licence,
    ]


@pytest.mark.parametrize("format_", FORMATS)
def test_mutagen_finds_the_right_length(tmp_path: Path, format_: str) -> None:
    found: Any = mutagen.File(written(tmp_path / f"x.{format_}", format_, music(), tags=TAGS))
    assert found.info.length == pytest.approx(2, abs=1e-6)


@pytest.mark.parametrize("format_", FORMATS)
def test_long_tags_do_no_harm(tmp_path: Path, format_: str) -> None:
    tags = replace(TAGS, comment="ü" * 70_000)
    found: Any = mutagen.File(written(tmp_path / f"x.{format_}", format_, music(), tags=tags))
    assert found.info.length == pytest.approx(2, abs=1e-6)


def test_the_size_of_an_id3_tag_does_not_depend_on_the_length() -> None:
    assert len(id3_tag(TAGS, CUES, 0, 44_100)) == len(id3_tag(TAGS, CUES, 44_100 * 3600, 44_100))


def test_no_tags_are_no_id3() -> None:
    assert id3_tag(None, (), 0, 44_100) == b""


@pytest.mark.parametrize("tags", [None, TAGS])
@pytest.mark.parametrize("bits", [16, 24])
def test_the_chunks_of_a_wav_fill_it_exactly(tmp_path: Path, tags: Tags | None, bits: int) -> None:
    content = written(tmp_path / "x", "wav", music(9001), bits=bits, tags=tags).read_bytes()
    assert struct.unpack_from("<4sI4s", content) == (b"RIFF", len(content) - 8, b"WAVE")
    found = dict(chunks(content[8:]))
    assert len(found[b"data"]) == 9001 * bits // 4
    assert struct.unpack("<HHIIHH", found[b"fmt "]) == (
        1,
        2,
        44_100,
        44_100 * bits // 4,
        bits // 4,
        bits,
    )


def test_cue_points_stand_at_their_frames_with_their_labels(tmp_path: Path) -> None:
    content = written(tmp_path / "x", "wav", music(), cues=CUES).read_bytes()
    found = list(chunks(content[8:]))
    points = dict(found)[b"cue "]
    assert struct.unpack_from("<I", points) == (3,)
    assert list(struct.iter_unpack("<II4sIII", points[4:])) == [
        (number, cue.frame, b"data", 0, 0, cue.frame) for number, cue in enumerate(CUES, 1)
    ]
    labels = [
        (*struct.unpack_from("<I", label), label[4:])
        for name, body in found
        if name == b"LIST" and body[:4] == b"adtl"
        for _, label in chunks(body)
    ]
    assert labels == [(n, cue.label.encode() + b"\0") for n, cue in enumerate(CUES, 1)]


def test_a_loop_ends_with_its_last_frame(tmp_path: Path) -> None:
    """The end in a `smpl` chunk is a frame that is still played (specification, from memory)."""
    content = written(tmp_path / "x", "wav", music(), cues=CUES, loop=LOOP).read_bytes()
    loop = dict(chunks(content[8:]))[b"smpl"]
    assert struct.unpack("<9I", loop[:36]) == (0, 0, 22_676, 60, 0, 0, 0, 1, 0)
    assert struct.unpack("<6I", loop[36:]) == (2, 0, LOOP.start, LOOP.end - 1, 0, 0)


def test_a_loop_without_a_cue_gets_one(tmp_path: Path) -> None:
    content = written(tmp_path / "x", "wav", music(), loop=LOOP).read_bytes()
    points = dict(chunks(content[8:]))[b"cue "]
    assert struct.unpack_from("<III", points) == (1, 1, LOOP.start)


def test_chapters_of_an_mp3_follow_one_another_to_its_end(tmp_path: Path) -> None:
    found: Any = mutagen.File(written(tmp_path / "x.mp3", "mp3", music(), cues=CUES))
    chapters = [found.tags[f"CHAP:chapter{number}"] for number in (1, 2, 3)]
    assert [(c.start_time, c.end_time) for c in chapters] == [(0, 454), (454, 1361), (1361, 2000)]
    assert [str(c.sub_frames["TIT2"]) for c in chapters] == [cue.label for cue in CUES]


def test_chapters_of_an_mp3_stand_in_order_of_time(tmp_path: Path) -> None:
    """Whatever the length of their names, and with two digits in their numbers too."""
    cues = [Cue(7000 * number, "x" * (5 * number % 13)) for number in range(12)]
    found: Any = mutagen.File(written(tmp_path / "x.mp3", "mp3", music(), tags=TAGS, cues=cues))
    starts = [chapter.start_time for chapter in found.tags.getall("CHAP")]
    assert len(starts) == 12
    assert starts == sorted(starts)
    assert found.tags.getall("CTOC")[0].child_element_ids == [f"chapter{n + 1}" for n in range(12)]


@pytest.mark.parametrize("format_", ["flac", "ogg"])
def test_chapters_stand_in_vorbis_comments(tmp_path: Path, format_: str) -> None:
    found: Any = mutagen.File(written(tmp_path / f"x.{format_}", format_, music(), cues=CUES))
    assert found.tags["CHAPTER002"] == ["00:00:00.454"]
    assert found.tags["CHAPTER002NAME"] == ["chorus 1"]
