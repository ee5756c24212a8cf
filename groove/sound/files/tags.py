"""Tags of audio files: title, key, tempo, feel and licence, and the chapters."""

from __future__ import annotations

import io
from dataclasses import dataclass
from importlib import import_module
from math import floor
from typing import TYPE_CHECKING, Any

from groove.form.lesson_fields import in_ascii
from groove.form.unroll import unroll
from groove.form.words import (
    keys_in_words,
    players_in_words,
    setting_in_words,
    tempi_in_words,
    tuning_in_words,
)
from groove.sound.synth.licences import credits_of
from groove.wording import said, title_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from groove.form.lesson_fields import LessonFields
    from groove.form.model import Form
    from groove.sound.files.riff import Cue
    from groove.sound.synth.soundfonts import Fonts


ID3_HEADER_BYTES = 10
"""Identifier, version, flags and size (ID3v2.3.0, informal standard, 1999, from memory)."""


@dataclass(frozen=True, slots=True)
class Tags:
    """The facts about a file. key: as ID3 writes it, ``F#m``. tempo: felt beats a minute. Both are
    those of the first chorus, as there is room for one. artist, link: the teacher and the address,
    empty where a form has none."""

    title: str
    key: str
    tempo: float
    genre: str
    comment: str
    encoder: str
    licence: str
    artist: str = ""
    link: str = ""


def tags_of(form: Form, part: str, fonts: Fonts) -> Tags:
    """The tags of one file of a track; part: ``"mix"``, ``"drums"``, ``"without bass"``."""
    from groove.version import __version__

    chart = unroll(form)
    keys, tempi = keys_in_words(chart), tempi_in_words(chart)
    ladder = f", {tempi}" if tempi != f"{form.tempo:g}" else ""
    setting = f"{setting_in_words(form, chart)}{tuning_in_words(form)}"
    words = f"{setting}; {players_in_words(form)}"
    drums = title_of("drums", form.drums.name, form.drums.title)
    whole = part == said("pack", "mixes.all")
    title = f"{form.title}, {keys}{ladder}{tuning_in_words(form)}"
    return Tags(
        title=title if whole else said("pack", "tags.title", title=title, mix=part),
        key=form.key.symbol,
        tempo=form.tempo,
        genre=said("pack", "tags.genre", drums=drums),
        comment=_comment(said("pack", "tags.comment", mix=part, words=words), form.lesson),
        encoder=f"groove {__version__}",
        licence=credits_of(fonts),
        artist=form.lesson.teacher,
        link=in_ascii(form.lesson.link),
    )


def _comment(facts: str, lesson: LessonFields) -> str:
    """The facts, and the teacher's own words after them."""
    said = " ".join(filter(None, [*lesson.remarks_at(""), lesson.invite]))
    return f"{facts}. {said}" if said else facts


def info_fields(tags: Tags) -> dict[str, str]:
    """The tags as a RIFF INFO list has room for them."""
    linked = f" {tags.link}" if tags.link else ""
    return {
        "INAM": tags.title,
        **({"IART": tags.artist} if tags.artist else {}),
        "IGNR": tags.genre,
        "ICMT": f"{tags.comment.rstrip('.')}. {tags.licence}{linked}",
        "ISFT": tags.encoder,
    }


def vorbis_comments(
    tags: Tags | None, cues: Sequence[Cue], sample_rate: int
) -> list[tuple[str, str]]:
    """The tags as FLAC and Ogg Vorbis hold them, with chapters as the CHAPTER extension has them.

    The tempo is exact here. Names in common use, LICENSE and CONTACT from the Vorbis comment
    specification.
    """
    fields = []
    if tags:
        fields = [
            ("TITLE", tags.title),
            ("INITIALKEY", tags.key),
            ("BPM", f"{tags.tempo:g}"),
            ("GENRE", tags.genre),
            ("COMMENT", tags.comment),
            ("ENCODER", tags.encoder),
            ("LICENSE", tags.licence),
        ]
        fields += [("ARTIST", tags.artist)] if tags.artist else []
        fields += [("CONTACT", tags.link)] if tags.link else []
    for number, cue in enumerate(cues, 1):
        minutes, milliseconds = divmod(_milliseconds(cue.frame, sample_rate), 60_000)
        clock = f"{minutes // 60:02}:{minutes % 60:02}:{milliseconds / 1000:06.3f}"
        fields += [(f"CHAPTER{number:03}", clock), (f"CHAPTER{number:03}NAME", cue.label)]
    return fields


def id3_tag(tags: Tags | None, cues: Sequence[Cue], length: int, sample_rate: int) -> bytes:
    """The tags as ID3 version 2.3, which more players read than 2.4, with chapters.

    The tempo is a whole number there; the comment has it exactly. The licence is a field of its
    own, as TCOP would claim a copyright with a year. The size does not depend on `length`, the
    frames of audio, where the last chapter ends.
    """
    id3: Any = import_module("mutagen.id3")
    frames: list[bytes] = []
    if tags:
        frames += _id3_frames(
            id3.TIT2(text=tags.title),
            id3.TKEY(text=tags.key),
            id3.TBPM(text=f"{floor(tags.tempo + 0.5)}"),
            id3.TCON(text=tags.genre),
            id3.COMM(lang="eng", desc="", text=tags.comment),
            id3.TSSE(text=tags.encoder),
            id3.TXXX(desc="LICENSE", text=tags.licence),
        )
        frames += _id3_frames(id3.TPE1(text=tags.artist)) if tags.artist else []
        frames += _id3_frames(id3.WXXX(desc="", url=tags.link)) if tags.link else []
    if cues:
        names = [f"chapter{number}" for number in range(1, len(cues) + 1)]
        ends = [*(cue.frame for cue in cues[1:]), max(length, cues[-1].frame)]
        whole = id3.CTOCFlags.TOP_LEVEL | id3.CTOCFlags.ORDERED
        frames += _id3_frames(
            id3.CTOC(element_id="contents", flags=whole, child_element_ids=names),
            *(
                id3.CHAP(
                    element_id=name,
                    start_time=_milliseconds(cue.frame, sample_rate),
                    end_time=_milliseconds(end, sample_rate),
                    start_offset=0xFFFFFFFF,
                    end_offset=0xFFFFFFFF,
                    sub_frames=[id3.TIT2(text=cue.label)],
                )
                for name, cue, end in zip(names, cues, ends, strict=True)
            ),
        )
    body = b"".join(frames)
    size = bytes(len(body) >> shift & 0x7F for shift in (21, 14, 7, 0))
    return b"ID3\x03\x00\x00" + size + body if body else b""


def _id3_frames(*frames: Any) -> Iterator[bytes]:
    """Each frame in the form of version 2.3. A whole tag of them would come in another order: by
    size, so that chapters would not follow one another."""
    id3: Any = import_module("mutagen.id3")
    for frame in frames:
        tag, buffer = id3.ID3(), io.BytesIO()
        tag.add(frame)
        tag.update_to_v23()
        tag.save(buffer, v2_version=3, padding=lambda _info: 0)
        yield buffer.getvalue()[ID3_HEADER_BYTES:]


def _milliseconds(frame: int, sample_rate: int) -> int:
    return round(frame * 1000 / sample_rate)
