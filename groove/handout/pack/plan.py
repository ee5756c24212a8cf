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
from groove.handout.pack.folder import digest
from groove.handout.pack.papers import A4, Papers
from groove.lesson.request import USUAL, Request
from groove.sound.mixes import Mix, mixes
from groove.theory.chords import Chord
from groove.wording import said, worded

if TYPE_CHECKING:
    from groove.sound.options import Wanted
    from groove.sound.synth.soundfonts import Fonts

LIBRARIES = ("lameenc", "mido", "mutagen", "numpy", "pyfluidsynth", "reportlab", "soundfile")
"""Distributions on which the bytes of the files depend."""
PROGRAM = Path(patterns.__file__).parent
HAS_BITS = ("wav", "flac")
KINDS = ("chart", "sheet")
CHART_FORMATS = ("pdf", "svg", "musicxml")
"""The formats of a chart: for paper, for the overview, and for notation programs."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A file of the pack.

    path: inside the pack's folder, with ``/``. kind: midi, audio, chart, sheet or page. label:
    its name in words. key: as ``F#m``; tempo: felt beats a minute; both None for files for
    all keys. made_as: the name under which its job makes it. format: of audio, charts and sheets.
    mix: of audio. made_from: digests and names of all that its content depends on.
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
        """track, chart, sheet or page."""
        kind = self.pieces[0].kind
        return "track" if kind in ("midi", "audio") else kind

    def only(self, pieces: Iterable[Piece]) -> Task:
        """The task with no other pieces than these."""
        wanted = {piece.path for piece in pieces}
        return replace(self, pieces=tuple(p for p in self.pieces if p.path in wanted))


@dataclass(frozen=True, slots=True)
class KeyFolder:
    """The files in one key: a folder, papers for each reader, a track for each tempo."""

    form: Form
    folder: str
    papers: tuple[Task, ...]
    tracks: tuple[Task, ...]


@dataclass(frozen=True, slots=True)
class PackPlan:
    """A whole pack. stem: the beginning of all names."""

    form: Form
    stem: str
    page: Task
    key_folders: tuple[KeyFolder, ...]
    tasks: tuple[Task, ...] = field(init=False)

    def __post_init__(self) -> None:
        tasks = [self.page]
        for key_folder in self.key_folders:
            tasks += [*key_folder.tracks, *key_folder.papers]
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
) -> PackPlan:
    """The plan of a pack.

    form: as it was given. tracks: the forms to play, key by key, each at all its tempos. asked:
    the audio of each of them. papers: how charts and sheets are written.
    """
    with worded(form.lesson.words):
        return _plan(form, tracks, asked, fonts, papers)


def _plan(
    form: Form, tracks: Sequence[Sequence[Form]], asked: Wanted, fonts: Fonts, papers: Papers
) -> PackPlan:
    from groove.sound.synth.fluidsynth import library

    stem = name_parts(form).title
    synthesiser = library().native.fluid_version_str().decode()
    sound = f"{sounds_of(fonts)} FluidSynth {synthesiser}"
    page = f"{stem}_practice.html"
    view = papers.requests[0]
    shown = {"instrument": view.instrument, "tuning": view.tuning, "position": view.position,
             "left handed": view.left_handed}  # fmt: skip
    made_from = _base(form) | {"soundfont": sound, "shown": json.dumps(shown)}
    piece = Piece(page, "page", said("pack", "files.page"), None, None, page, made_from)
    return PackPlan(
        form,
        stem,
        Task(form, (piece,), view),
        tuple(_key_folder(form, in_key, stem, asked, sound, papers) for in_key in tracks),
    )


def _key_folder(
    form: Form, in_key: Sequence[Form], stem: str, asked: Wanted, sound: str, papers: Papers
) -> KeyFolder:
    """Paper shows the form's own tempo where that is among those asked for, else the first."""
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
    made_as, base = file_stem(form), _base(form)
    place = f"{prefix}_{padded(form.tempo)}{name_parts(form).ladder}"
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
    written = form.written_key if _is_absolute(form) else form.key
    facts = repr(replace(form, notes=(), written_key=written))
    return {"form": hashlib.sha256(facts.encode()).hexdigest(), "program": program_digest()}


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
