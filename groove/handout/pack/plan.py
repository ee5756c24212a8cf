"""Plans a pack: its files, their names, and the digests of all that each is made from.

A file's fingerprint is a digest of everything that its content depends on. Where an earlier run
left a file with the same fingerprint, it need not be made again.
"""

from __future__ import annotations

import hashlib
import json
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import TYPE_CHECKING

from groove import library as patterns
from groove.band.part import CLICK
from groove.band.take import players_of
from groove.form.file_names import file_stem, name_parts
from groove.form.model import Form
from groove.form.readers import READERS, Reader
from groove.form.unroll import unroll
from groove.handout import NO_SHOW
from groove.handout.pack.folder import digest
from groove.handout.pack.papers import A4, Papers
from groove.handout.pack.posting import NOTHING, Posting
from groove.lesson.request import USUAL, Request
from groove.sound.mixes import Mix, mixes
from groove.sound.options import BITS
from groove.theory.chords import Chord
from groove.wording import said, worded

if TYPE_CHECKING:
    from groove.sound.options import Wanted
    from groove.sound.synth.soundfonts import Fonts

LIBRARIES = ("lameenc", "mido", "mutagen", "numpy", "pyfluidsynth", "reportlab", "soundfile")
"""Distributions on which the bytes of the files depend."""
PICTURES = ("av", "pillow", "pypdfium2")
"""Those on which the bytes of videos and covers depend."""
PROGRAM = Path(patterns.__file__).parent
HAS_BITS = ("wav", "flac")
KINDS = ("chart", "sheet")
TEXT_FORMATS = ("txt", "md")
SOUNDING = ("audio", "video", "preview")
"""Kinds of files in which a soundfont sounds."""
CHART_FORMATS = ("pdf", "svg", "musicxml")
"""The formats of a chart: for paper, for the overview, and for notation programs."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A file of the pack.

    path: inside the pack's folder, with ``/``. kind: midi, audio, chart, sheet, page, video, cover,
    preview or post. label: its name in words. key: as ``F#m``; tempo: felt beats a minute; both
    None for files for all keys. made_as: the name under which its job makes it. format: of audio,
    charts, sheets and what is posted. mix: of audio. size: of videos and covers. made_from: digests
    and names of all that its content depends on.
    """

    path: str
    kind: str
    label: str
    key: str | None
    tempo: float | None
    made_as: str
    made_from: Mapping[str, str]
    format: str = ""
    mix: Mix | None = None
    size: str = ""

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the kind and of all that the content depends on."""
        text = json.dumps([self.kind, dict(self.made_from)], sort_keys=True)
        return hashlib.sha256(text.encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class Task:
    """Pieces that are made in one go from one form. request: the contents of a paper or the
    page."""

    form: Form
    pieces: tuple[Piece, ...]
    request: Request = USUAL

    @property
    def kind(self) -> str:
        """track, chart, sheet, page, video, cover, preview or post."""
        kind = self.pieces[0].kind
        return "track" if kind in ("midi", "audio") else kind

    def only(self, pieces: Iterable[Piece]) -> Task:
        """The task with no other pieces than these."""
        wanted = {piece.path for piece in pieces}
        return replace(self, pieces=tuple(p for p in self.pieces if p.path in wanted))


@dataclass(frozen=True, slots=True)
class KeyFolder:
    """The files in one key: a folder, papers for each reader, a track for each tempo, and what is
    posted with the tracks."""

    form: Form
    folder: str
    papers: tuple[Task, ...]
    tracks: tuple[Task, ...]
    posted: tuple[Task, ...] = ()

    def posted_with(self, track: Task) -> tuple[Piece, ...]:
        """What is posted with one of the tracks."""
        pieces = (piece for task in self.posted for piece in task.pieces)
        return tuple(piece for piece in pieces if piece.tempo == track.form.tempo)


@dataclass(frozen=True, slots=True)
class PackPlan:
    """A whole pack. stem: the beginning of all names. posting: what is posted with the tracks."""

    form: Form
    stem: str
    page: Task
    key_folders: tuple[KeyFolder, ...]
    posting: Posting = NOTHING
    tasks: tuple[Task, ...] = field(init=False)

    def __post_init__(self) -> None:
        tasks = [self.page]
        for key_folder in self.key_folders:
            tasks += [*key_folder.tracks, *key_folder.papers, *key_folder.posted]
        object.__setattr__(self, "tasks", tuple(tasks))

    @property
    def pieces(self) -> Iterator[Piece]:
        """All files but those that describe the others, in the order of their names."""
        return iter(sorted((p for task in self.tasks for p in task.pieces), key=lambda p: p.path))

    @property
    def zip_name(self) -> str:
        """The name of the zip."""
        return f"{self.stem}.zip"


def plan_pack(
    form: Form,
    tracks: Sequence[Sequence[Form]],
    asked: Wanted,
    fonts: Fonts,
    papers: Papers = A4,
    posting: Posting = NOTHING,
) -> PackPlan:
    """The plan of a pack.

    form: as it was given. tracks: the forms to play, key by key, each at all its tempos. asked:
    the audio of each of them. papers: how charts and sheets are written. posting: what is posted
    with the tracks.
    """
    with worded(form.lesson.words):
        return _plan(form, tracks, asked, fonts, papers, posting)


def _plan(
    form: Form,
    tracks: Sequence[Sequence[Form]],
    asked: Wanted,
    fonts: Fonts,
    papers: Papers,
    posting: Posting,
) -> PackPlan:
    from groove.sound.synth.fluidsynth import library

    stem = name_parts(form).title
    synthesiser = library().native.fluid_version_str().decode()
    sound = f"{sounds_of(fonts)} FluidSynth {synthesiser}"
    page = f"{stem}_practice.html"
    view = papers.requests[0]
    made_from = _base(form) | {"soundfont": sound, "shown": _neck(view)}
    home = next((keyed for keyed in tracks if keyed[0].key == form.key), tracks[0])
    piece = Piece(page, "page", said("pack", "files.page"), None, None, page, made_from)
    return PackPlan(
        form,
        stem,
        Task(form, (piece,), view),
        tuple(
            _key_folder(form, in_key, stem, asked, sound, papers, posting, in_key is home)
            for in_key in tracks
        ),
        posting,
    )


def _neck(view: Request) -> str:
    """On what notes are shown: the instrument and how it is held."""
    shown = {"instrument": view.instrument, "tuning": view.tuning, "position": view.position,
             "left handed": view.left_handed}  # fmt: skip
    return json.dumps(shown)


def _key_folder(
    form: Form,
    in_key: Sequence[Form],
    stem: str,
    asked: Wanted,
    sound: str,
    papers: Papers,
    posting: Posting,
    is_home: bool,
) -> KeyFolder:
    """Paper and preview have the form's own tempo where that is among those asked for, else the
    first. is_home: whether the preview is in this key."""
    shown = next((each for each in in_key if each.tempo == form.tempo), in_key[0])
    key = name_parts(shown).key
    folder = f"{shown.key.tonic.pitch_class + 1:02}_{key}"
    return KeyFolder(
        shown,
        folder,
        tuple(
            _paper(
                shown,
                f"{folder}/{stem}_{key}",
                kind,
                papers.request(each.reader, form, shown),
                papers.paper,
            )
            for each in papers.requests
            for kind in KINDS
        ),
        tuple(_track(each, f"{folder}/{stem}_{key}", asked, sound) for each in in_key),
        tuple(
            task
            for each in in_key
            for task in _posted(
                each,
                _place(each, f"{folder}/{stem}_{key}"),
                asked,
                sound,
                papers.request(papers.requests[0].reader, form, each),
                posting if is_home and each is shown else replace(posting, preview=False),
            )
        ),
    )


def _paper(form: Form, prefix: str, kind: str, request: Request, paper: str) -> Task:
    """A chart in CHART_FORMATS, which shows nothing but the reader's notes, or a sheet."""
    reader = READERS[request.reader]
    beside = "" if reader.name == "concert" else f"-{reader.name}"
    shown = {"reader": reader.name} if kind == "chart" else asdict(request)
    made_from = _base(form) | {"shown": json.dumps(shown)}
    pieces = []
    for format_ in CHART_FORMATS if kind == "chart" else ("pdf",):
        path = f"{prefix}_{kind}{beside}.{format_}"
        on_paper = {"paper": paper} if format_ == "pdf" else {"format": format_}
        pieces.append(
            Piece(
                path,
                kind,
                _paper_label(reader, kind, format_),
                form.key.symbol,
                None,
                path.split("/")[1],
                made_from | on_paper,
                format_,
            )
        )
    return Task(form, tuple(pieces), request)


def _paper_label(reader: Reader, kind: str, format_: str) -> str:
    """The name of a paper in words, with its reader where that is another than concert pitch."""
    label = said("pack", f"files.{kind if format_ == 'pdf' else format_}")
    if reader.name == "concert":
        return label
    way = "for_reader" if reader.fifths else "with_clef"
    return said("pack", f"files.{way}", file=label, reader=reader.words)


def _track(form: Form, prefix: str, asked: Wanted, sound: str) -> Task:
    made_as, base, place = file_stem(form), _base(form), _place(form, prefix)
    key, tempo = form.key.symbol, form.tempo
    pieces = [Piece(f"{place}.mid", "midi", "MIDI", key, tempo, f"{made_as}.mid", base)]
    for mix in _mixes(form, asked):
        for format_ in asked.formats:
            options = {
                "mix": mix.suffix or "all",
                "parts": " ".join(mix.parts),
                "format": format_,
                "loudness": f"{asked.loudness:g}",
                "apart": str(asked.apart),
                "bits": str(asked.bits) if format_ in HAS_BITS else "",
            }
            pieces.append(
                Piece(
                    f"{place}{mix.suffix}.{format_}",
                    "audio",
                    mix.label,
                    key,
                    tempo,
                    f"{made_as}{mix.suffix}.{format_}",
                    base | {"soundfont": sound} | options,
                    format_,
                    mix,
                )
            )
    return Task(form, tuple(pieces))


def _place(form: Form, prefix: str) -> str:
    """The beginning of the names of a track's files."""
    return f"{prefix}_{padded(form.tempo)}{name_parts(form).ladder}"


def _posted(
    form: Form, place: str, asked: Wanted, sound: str, view: Request, posting: Posting
) -> list[Task]:
    """Videos, covers, preview and text of a track. view: the instrument of what is shown."""
    base, whose = _base(form), {"soundfont": sound}
    mix, pictures = _mixes(form, asked)[0], {"pictures": pictures_digest()}
    played = {
        "parts": " ".join(mix.parts),
        "loudness": f"{asked.loudness:g}",
        "apart": str(asked.apart),
    }
    look = {"theme": posting.theme} | pictures
    shown = {"show": posting.show} | ({"shown": _neck(view)} if posting.show != NO_SHOW else {})
    film = whose | played | {"bits": str(wav_bits(asked))} | look | shown
    described = whose | {
        "shown": json.dumps(asdict(view)),
        "parts": played["parts"],
        "lead in": str(posting.lead_in),
    }

    def piece(kind: str, end: str, label: str, made_from: dict[str, str], size: str = "") -> Piece:
        path, words = f"{place}_{end}", said("pack", f"files.{label}")
        name, format_ = path.split("/")[1], path.rpartition(".")[2]
        made_from = base | made_from | ({"size": size} if size else {})
        return Piece(
            path, kind, words, form.key.symbol, form.tempo, name, made_from, format_, None, size
        )

    videos = [piece("video", f"{size}.mp4", f"video_{size}", film, size) for size in posting.videos]
    covers = [
        piece("cover", f"cover-{size}.png", f"cover_{size}", look, size) for size in posting.covers
    ]
    previews = [piece("preview", "preview.mp3", "preview", whose | played)]
    texts = [
        piece("post", f"text.{format_}", "text", described | {"format": format_})
        for format_ in TEXT_FORMATS
    ]
    wanted = [videos, covers, previews * posting.preview, texts * posting.text]
    return [Task(form, tuple(pieces), view) for pieces in wanted if pieces]


def wav_bits(asked: Wanted) -> int:
    """The bits of the WAV from which a video has its sound: the pack's own, or one for it alone."""
    return asked.bits if "wav" in asked.formats else BITS[0]


def _mixes(form: Form, asked: Wanted) -> tuple[Mix, ...]:
    counted = form.count_in or form.tuning_note
    return mixes(
        (*players_of(unroll(form)), *([CLICK] if counted else [])),
        stems=asked.stems,
        without_each=asked.without_each,
        without=asked.without,
        only=asked.only,
    )


def padded(tempo: float) -> str:
    """A tempo with three digits before the point, so that names sort.

    >>> padded(80), padded(92.5)
    ('080', '092.5')
    """
    whole, point, rest = f"{tempo:g}".partition(".")
    return f"{whole:0>3}{point}{rest}"


def sounds_of(fonts: Fonts) -> str:
    """The soundfonts with their digests, and whose they are."""
    own = (f" {part}: {font} {soundfont_digest(font.path)}" for part, font in fonts.own.items())
    return f"{fonts.main} {soundfont_digest(fonts.main.path)}{''.join(own)}"


def _base(form: Form) -> dict[str, str]:
    return {"form": form_digest(form), "program": program_digest()}


def form_digest(form: Form) -> str:
    """SHA-256 of all of a form from which a file follows."""
    written = form.written_key if _is_absolute(form) else form.key
    facts = repr(replace(form, notes=(), written_key=written))
    return hashlib.sha256(facts.encode()).hexdigest()


def _is_absolute(form: Form) -> bool:
    """True if chords are written as they sound in one key, so that it matters which that was."""
    spans = [*form.turnaround, *(span for section in form.sections for span in section.all_spans)]
    return any(isinstance(span.written, Chord) for span in spans)


@cache
def program_digest() -> str:
    """A digest of the program, its patterns and the versions of LIBRARIES."""
    whole = hashlib.sha256()
    for name, path in program_files():
        whole.update(f"{name}\0".encode())
        whole.update(hashlib.sha256(path.read_bytes()).digest())
    for name in LIBRARIES:
        whole.update(f"{name} {_version(name)}\0".encode())
    whole.update(f"zlib {zlib.ZLIB_RUNTIME_VERSION}\0".encode())  # packs PDF and practice page
    return whole.hexdigest()


@cache
def pictures_digest() -> str:
    """The versions of PICTURES."""
    return " ".join(f"{name} {_version(name)}" for name in PICTURES)


def program_files() -> Iterator[tuple[str, Path]]:
    """The files of the program and its patterns, by their names."""
    for root in (PROGRAM, patterns.data_folder()):
        for path in sorted(root.rglob("*")):
            if path.is_file() and "__pycache__" not in path.parts:
                yield path.relative_to(root).as_posix(), path


def _version(distribution: str) -> str:
    try:
        return version(distribution)
    except PackageNotFoundError:
        return "none"


@cache
def soundfont_digest(path: Path) -> str:
    """SHA-256 of a soundfont; its place does not count."""
    return digest(path)
