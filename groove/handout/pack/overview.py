"""index.html: all of a pack on one page, with players and links. It needs no network."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from importlib.resources import files
from typing import TYPE_CHECKING
from urllib.parse import quote

from groove.form import choruses
from groove.form.harmony import key_in_words
from groove.form.readers import READERS, WRITTEN_FOR
from groove.form.unroll import length, unroll
from groove.form.words import bars_in_words, players_in_words, tempi_in_words
from groove.handout.pack.estimate import amount
from groove.handout.pack.folder import CREDITS, MANIFEST
from groove.handout.pack.plan import KeyFolder, PackPlan, Piece, Task
from groove.handout.teacher import byline_html, invite_html, remarks_html
from groove.handout.web import allowed, cautions_html, common_style, filled
from groove.lesson.voice import voice_of
from groove.sound.synth.licences import caution, credits_of
from groove.theory.symbols import key_symbol
from groove.wording import counted, in_figures, said, words_of

if TYPE_CHECKING:
    from groove.form.model import Form
    from groove.sound.synth.soundfonts import Fonts

PLAYED = ("mp3", "ogg", "flac", "wav")
"""Formats in the order in which a player prefers them."""
FORMATS = {"musicxml": "MusicXML"}
"""The names of formats that are not all in capitals."""


@dataclass(frozen=True, slots=True)
class Facts:
    """The facts about a file on the page: its bytes, and the seconds of an audio file."""

    size: int
    seconds: float | None = None


def index_html(plan: PackPlan, facts: Mapping[str, Facts], fonts: Fonts) -> str:
    """The page. facts: of the files, by path."""
    style, script = common_style() + _source("style.css"), _source("script.js")
    words = words_of("pack")["head"]
    policy = (
        f"default-src 'none'; script-src {allowed(script)}; style-src {allowed(style)}; "
        "media-src 'self' file:; img-src data:; base-uri 'none'; form-action 'none'"
    )
    voice = voice_of(plan.form.lesson)
    places = {
        "policy": policy,
        "style": style,
        "script": script,
        "language": escape(said("language", "tag")),
        "page_title": escape(said("pack", "head.title", title=plan.form.title)),
        "open_page": escape(words["page"]),
        "about_page": escape(words["about"]),
        "all_files": escape(words["zip"]),
        "to_credits": escape(words["credits"]),
        "to_files": escape(words["files"]),
        "title": escape(plan.form.title),
        "facts": escape(_in_short(plan.form)),
        "page": _link(plan.page.pieces[0]),
        "zip": quote(plan.zip_name),
        "credits": CREDITS,
        "manifest": MANIFEST,
        "nav": _nav(plan.key_folders),
        "keys": "\n".join(_key(in_key, plan, facts) for in_key in plan.key_folders),
        "sound": escape(_sound(fonts)),
        "cautions": cautions_html(),
        "teacher": byline_html(voice),
        "remarks": remarks_html(voice),
        "invite": invite_html(voice),
    }
    return filled(_source("index.html"), places)


def _sound(fonts: Fonts) -> str:
    """The soundfonts with their licences, and what those ask."""
    return " ".join([credits_of(fonts), *filter(None, map(caution, fonts.all))])


def _source(name: str) -> str:
    return (files("groove.handout.pack") / "page" / name).read_text("utf-8")


def _in_short(form: Form) -> str:
    if form.by_section:
        chart = unroll(form)
        return said(
            "pack", "head.sections", size=bars_in_words(chart), tempo=tempi_in_words(chart),
            players=players_in_words(form),
        )  # fmt: skip
    times = "once" if form.choruses == 1 else "times"
    return said(
        "pack", "head.usual", bars=counted("numbers", "bars", form.bars), meter=form.meter,
        rounds=said("pack", f"head.{times}", number=form.choruses),
        feel=said("feel", f"names.{form.feel}"), players=players_in_words(form),
    )  # fmt: skip


def _nav(key_folders: Sequence[KeyFolder]) -> str:
    if len(key_folders) < 2:
        return ""
    links = "".join(
        f'<li><a href="#key-{in_key.folder}" aria-label="{escape(key_in_words(in_key.form))}">'
        f"{escape(key_symbol(in_key.form.key))}</a></li>"
        for in_key in key_folders
    )
    title = escape(said("pack", "head.keys"))
    return f'<nav aria-labelledby="your-key"><p id="your-key">{title}</p><ul>{links}</ul></nav>'


def _key(in_key: KeyFolder, plan: PackPlan, facts: Mapping[str, Facts]) -> str:
    concert, *others = dict.fromkeys(task.request.reader for task in in_key.papers)
    rows = "".join(
        f"<li><span>{escape(_capital(READERS[reader].words))}</span>"
        f"{_papers(in_key, reader, plan, facts)}</li>"
        for reader in others
    )
    readers = f'<ul class="readers">{rows}</ul>' if rows else ""
    tracks = "\n".join(_track(task, facts) for task in in_key.tracks)
    key = escape(key_in_words(in_key.form))
    return (
        f'<section id="key-{in_key.folder}" aria-labelledby="key-{in_key.folder}-title">\n'
        f'<div class="key"><h2 id="key-{in_key.folder}-title">{key}</h2>'
        f"{_papers(in_key, concert, plan, facts)}</div>{readers}\n{tracks}\n</section>"
    )


def _papers(in_key: KeyFolder, reader: str, plan: PackPlan, facts: Mapping[str, Facts]) -> str:
    """Links to a reader's chart and sheet, and to the practice page in the key as they read it."""
    links = [
        f'<li><a href="{_link(piece)}" aria-label="{escape(_capital(piece.label))}">'
        f"{escape(_paper_name(piece))}</a> "
        f'<span class="size">{_format(piece)}, {amount(facts[piece.path].size)}</span></li>'
        for task in in_key.papers
        for piece in task.pieces
        if task.request.reader == reader
    ]
    short = next((short for short, name in WRITTEN_FOR.items() if name == reader), None)
    if short:
        asked = f"#key={quote(in_key.form.key.symbol)}" + (
            f"&amp;for={short}" if short != "C" else ""
        )
        key = key_symbol(READERS[reader].key(in_key.form.key))
        page = f"{_link(plan.page.pieces[0])}{asked}"
        links.append(
            f'<li><a href="{page}">{escape(said("pack", "key.practise", key=key))}</a></li>'
        )
    return f'<ul class="links">{"".join(links)}</ul>'


def _paper_name(piece: Piece) -> str:
    """The name of a paper without its reader."""
    if piece.format == "pdf":
        return said("pack", f"files.{piece.kind}_link")
    return _capital(said("pack", f"files.{piece.format}"))


def _format(piece: Piece) -> str:
    return FORMATS.get(piece.format, piece.format.upper())


def _capital(words: str) -> str:
    return words[0].upper() + words[1:]


def _track(task: Task, facts: Mapping[str, Facts]) -> str:
    """The main mix with its player and links; the other mixes and the stems behind a summary."""
    form = task.form
    key, tempo = key_in_words(form), _tempo(form)
    name = said("pack", "key.track", title=form.title, key=key, tempo=tempo)
    midi, audio = task.pieces[0], task.pieces[1:]
    labels = list(dict.fromkeys(piece.label for piece in audio))
    by_label = {label: [p for p in audio if p.label == label] for label in labels}
    main = by_label[labels[0]] if labels else []
    heard = facts[main[0].path].seconds if main else None
    seconds = round(heard or length(form))
    others = "".join(
        f"<li><span>{escape(_capital(label))}</span>"
        f"{_downloads(by_label[label], facts, said('pack', 'key.mix', track=name, mix=label))}"
        f"{_player(by_label[label], said('pack', 'key.mix', track=name, mix=label))}</li>"
        for label in labels[1:]
    )
    more = (
        f"<details><summary>{escape(said('pack', 'key.others'))}</summary>"
        f'<ul class="others">{others}</ul></details>'
    )
    title = escape(said("pack", "key.tempo", tempo=tempo))
    return (
        f'<div class="track"><h3>{title}{_ways(form)} '
        f'<span class="length">{seconds // 60}:{seconds % 60:02}</span></h3>'
        f"{_player(main, name) or '<span></span>'}"
        f"{_downloads([*main, midi], facts, name)}{more if others else ''}</div>"
    )


def _tempo(form: Form) -> str:
    """The tempo of a track; of a ladder, the first and the last."""
    last = choruses.in_chorus(form, form.choruses - 1).tempo
    if last == form.tempo:
        return in_figures(form.tempo)
    return said("form", "tempi.range", first=in_figures(form.tempo), last=in_figures(last))


def _ways(form: Form) -> str:
    """The keys of a track that goes through several."""
    played = (choruses.in_chorus(form, n).key for n in range(form.choruses))
    first, *others = (key_symbol(key) for key in dict.fromkeys(played))
    words = said("pack", "key.ways", key=first, keys=", ".join(others))
    return f' <span class="ways">{escape(words)}</span>' if others else ""


def _player(pieces: Sequence[Piece], name: str) -> str:
    playable = sorted(pieces, key=lambda piece: PLAYED.index(piece.format))
    if not playable:
        return ""
    return (
        f'<audio controls preload="none" src="{_link(playable[0])}" '
        f'aria-label="{escape(name)}"></audio>'
    )


def _downloads(pieces: Sequence[Piece], facts: Mapping[str, Facts], name: str) -> str:
    links = "".join(_download(piece, amount(facts[piece.path].size), name) for piece in pieces)
    return f'<ul class="links">{links}</ul>'


def _download(piece: Piece, size: str, name: str) -> str:
    kind = (piece.format or piece.label).upper()
    return (
        f'<li><a href="{_link(piece)}" download aria-label="{kind}, {escape(name)}">{kind}</a> '
        f'<span class="size">{size}</span></li>'
    )


def _link(piece: Piece) -> str:
    return quote(piece.path)
