"""The list of all files of a pack, key by key, from which the overview's program takes its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from html import escape
from urllib.parse import quote

from groove.form import choruses
from groove.form.harmony import key_in_words
from groove.form.model import Form
from groove.form.readers import READERS, WRITTEN_FOR
from groove.form.unroll import length
from groove.handout.pack.estimate import amount
from groove.handout.pack.plan import KeyFolder, PackPlan, Piece, Task
from groove.theory.symbols import key_symbol
from groove.wording import in_figures, said

PLAYED = ("mp3", "ogg", "flac", "wav")
"""Formats in the order in which a player prefers them."""
FORMATS = {"musicxml": "MusicXML", "txt": "TXT", "md": "Markdown"}
"""The names of formats that are not all in capitals."""
POSTED = ("video", "cover", "preview", "post")
"""Kinds of files that are posted with a track."""
SHORT = {name: short for short, name in WRITTEN_FOR.items()}
"""The short names of readers, by those in READERS."""


@dataclass(frozen=True, slots=True)
class Facts:
    """The facts about a file on the page: its bytes, the seconds of an audio file, and the words of
    a text to post."""

    size: int
    seconds: float | None = None
    text: str = ""


def listing(plan: PackPlan, facts: Mapping[str, Facts]) -> str:
    """All files of each key in a `details`, with data attributes that the program reads."""
    return "\n".join(_key(in_key, facts) for in_key in plan.key_folders)


def entries(pieces: Iterable[Piece], facts: Mapping[str, Facts], beside: str = "") -> str:
    """A list item for each file: its name, format and size. beside: said to a screen reader after
    the name, where lists are alike."""
    return "".join(_entry(piece, facts[piece.path], beside) for piece in pieces)


def _entry(piece: Piece, facts: Facts, beside: str) -> str:
    name, kind = piece_name(piece), format_name(piece)
    spoken = f' aria-label="{escape(f"{name}, {kind}, {beside}")}"' if beside else ""
    mix = f' data-mix="{escape(piece.mix.suffix)}"' if piece.mix else ""
    size = f' data-shape="{piece.size}"' if piece.size else ""
    saved = "" if piece.format == "pdf" else " download"  # a paper is opened
    return (
        f'<li><a href="{link(piece)}"{saved} data-kind="{piece.kind}" '
        f'data-format="{piece.format}"{mix}{size}{spoken}>{escape(name)}</a> '
        f'<span class="size">{kind}, {amount(facts.size)}</span></li>'
    )


def _key(in_key: KeyFolder, facts: Mapping[str, Facts]) -> str:
    readers = dict.fromkeys(task.request.reader for task in in_key.papers)
    papers = "".join(_papers(in_key, reader, facts) for reader in readers)
    tracks = "".join(f"\n{_track(task, in_key.posted_with(task), facts)}" for task in in_key.tracks)
    key = escape(key_in_words(in_key.form))
    symbol = escape(in_key.form.key.symbol)
    return (
        f'<details id="key-{in_key.folder}" class="key" data-key="{symbol}" '
        f'data-name="{key}"><summary>{key}</summary>{papers}{tracks}\n</details>'
    )


def _papers(in_key: KeyFolder, reader: str, facts: Mapping[str, Facts]) -> str:
    """The papers of a reader, and the key that the practice page shows them."""
    pieces = [
        piece for task in in_key.papers for piece in task.pieces if task.request.reader == reader
    ]
    written = key_symbol(READERS[reader].key(in_key.form.key))
    words = READERS[reader].words
    title = "" if reader == "concert" else f"<h3>{escape(capital(words))}</h3>"
    beside = key_in_words(in_key.form) + ("" if reader == "concert" else f", {words}")
    return (
        f'\n<div class="papers" data-for="{SHORT[reader]}" data-written="{escape(written)}">{title}'
        f'<ul class="links">{entries(pieces, facts, beside)}</ul></div>'
    )


def _track(task: Task, posted: Sequence[Piece], facts: Mapping[str, Facts]) -> str:
    """The files of a track: every mix in every format, MIDI, and what is posted with it."""
    form = task.form
    seconds = round(seconds_of(task, facts))
    title = escape(said("pack", "play.beats", tempo=tempo_words(form)))
    beside = said("pack", "all.track", key=key_in_words(form), tempo=tempo_words(form))
    pieces = [*task.pieces[1:], task.pieces[0], *posted]
    return (
        f'<div class="track" data-tempo="{form.tempo:g}" data-seconds="{seconds}">'
        f'<h3>{title}{_ways(form)} <span class="length">{clock(seconds)}</span></h3>'
        f'<ul class="links">{entries(pieces, facts, beside)}</ul></div>'
    )


def seconds_of(task: Task, facts: Mapping[str, Facts]) -> float:
    """The length of a track: of its audio, else of its notes."""
    heard = next((facts[p.path].seconds for p in task.pieces if p.kind == "audio"), None)
    return heard or length(task.form)


def clock(seconds: int) -> str:
    """Whole seconds as minutes and seconds.

    >>> clock(84)
    '1:24'
    """
    return f"{seconds // 60}:{seconds % 60:02}"


def tempo_words(form: Form) -> str:
    """The tempo of a track; of a ladder, the first and the last."""
    last = choruses.in_chorus(form, form.choruses - 1).tempo
    if last == form.tempo:
        return in_figures(form.tempo)
    return said("form", "tempi.range", first=in_figures(form.tempo), last=in_figures(last))


def _ways(form: Form) -> str:
    """The keys of a track that goes through several."""
    played = (choruses.in_chorus(form, n).key for n in range(form.choruses))
    first, *others = (key_symbol(key) for key in dict.fromkeys(played))
    words = said("pack", "all.ways", key=first, keys=", ".join(others))
    return f' <span class="ways">{escape(words)}</span>' if others else ""


def piece_name(piece: Piece) -> str:
    """The name of a file without its reader, as it begins a line."""
    if piece.mix:
        return mix_name(piece)
    if piece.kind in POSTED:
        return capital(piece.label)
    named = piece.format if piece.format in ("svg", "musicxml") else piece.kind
    return capital(said("pack", f"files.{named}"))


def mix_name(piece: Piece) -> str:
    """The players of an audio file, as they begin a line."""
    whole = not (piece.mix and piece.mix.suffix)
    return said("pack", "play.all") if whole else capital(piece.label)


def format_name(piece: Piece) -> str:
    """The name of a file's format."""
    return FORMATS.get(piece.format, (piece.format or piece.label).upper())


def link(piece: Piece) -> str:
    """The address of a file, from the overview."""
    return quote(piece.path)


def practice_link(page: Piece, in_key: KeyFolder, tempo: float, reader: str) -> str:
    """The address of the practice page in a key and at a tempo, as a reader reads it."""
    asked = f"#key={quote(in_key.form.key.symbol)}&amp;tempo={tempo:g}"
    return link(page) + asked + ("" if reader == "concert" else f"&amp;for={SHORT[reader]}")


def capital(words: str) -> str:
    """Words with a capital at their beginning."""
    return words[:1].upper() + words[1:]
