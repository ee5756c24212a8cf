"""index.html: the page that a student opens, with this week's work, a player and all files.

It needs no network. Its program takes what it plays from the list of all files at its end.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from groove.form.harmony import key_in_words
from groove.form.readers import READERS
from groove.form.unroll import unroll
from groove.form.words import bars_in_words, players_in_words, tempi_in_words
from groove.handout.modules import joined
from groove.handout.pack.folder import CREDITS, MANIFEST
from groove.handout.pack.listing import (
    PLAYED,
    SHORT,
    Facts,
    capital,
    clock,
    entries,
    link,
    listing,
    mix_name,
    practice_link,
    seconds_of,
    tempo_words,
)
from groove.handout.pack.plan import KeyFolder, PackPlan, Piece, Task
from groove.handout.pack.watch import post_data, post_html, watch_html
from groove.handout.pack.week import week_of
from groove.handout.served import link_script, site_policy
from groove.handout.teacher import byline_html, invite_html
from groove.handout.web import allowed, cautions_html, common_style, filled, json_html, policy_of
from groove.lesson.voice import voice_of
from groove.sound.synth.licences import caution, credits_of
from groove.theory.symbols import key_symbol
from groove.wording import counted, said, words_of

if TYPE_CHECKING:
    from groove.form.model import Form
    from groove.sound.synth.soundfonts import Fonts

__all__ = ["Facts", "index_html"]
ENTRY = "main.js"


def index_html(plan: PackPlan, facts: Mapping[str, Facts], fonts: Fonts) -> str:
    """The page. facts: of the files, by path."""
    style, script = common_style() + _source("style.css"), joined(_sources(), (ENTRY,))
    policy = {
        "default-src": "'none'",
        "script-src": allowed(script),
        "style-src": allowed(style),
        "media-src": "'self' file:",
        "img-src": "'self' file: data:",
        "connect-src": "'self'",
        "base-uri": "'none'",
        "form-action": "'none'",
    }
    voice, week = voice_of(plan.form.lesson), week_of(plan)
    in_key = next(
        (each for each in plan.key_folders if each.form.key == plan.form.key), plan.key_folders[0]
    )
    reader = in_key.papers[0].request.reader
    track = next((each for each in in_key.tracks if each.form == in_key.form), in_key.tracks[0])
    places = {
        "policy": policy_of(policy, site_policy()),
        "site": link_script(),
        "style": style,
        "script": script,
        "language": escape(said("language", "tag")),
        "page_title": escape(said("pack", "head.title", title=plan.form.title)),
        "title": escape(plan.form.title),
        "facts": escape(_in_short(plan.form)),
        "zip": quote(plan.zip_name),
        "credits": CREDITS,
        "manifest": MANIFEST,
        "listing": listing(plan, facts),
        "sound": escape(_sound(fonts)),
        "cautions": cautions_html(),
        "teacher": byline_html(voice),
        "week": week.html(plan, voice, in_key, reader),
        "invite": invite_html(voice),
        "choice": _choice(plan, in_key, track),
        "player": _player(track, facts),
        "opens": escape(_opens(in_key, track, reader)),
        "page": practice_link(plan.page.pieces[0], in_key, track.form.tempo, reader),
        "watch": watch_html(in_key, track),
        "post": post_html(plan, in_key, track, facts),
        "chart": _chart(in_key),
        "take": entries(_taken(in_key, track), facts),
        "data": json_html(_data(plan) | week.data() | post_data(plan, facts)),
    }
    words = {f"words.{name}": escape(text) for name, text in _words().items()}
    return filled(_source("index.html"), places | words)


def _words() -> dict[str, str]:
    """The words of the template, ``play.title``."""
    tables = words_of("pack")
    names = ("head", "week", "play", "chart", "take", "all")
    return {f"{table}.{name}": text for table in names for name, text in tables[table].items()}


def _data(plan: PackPlan) -> dict[str, Any]:
    """The data of the page's program: title, teacher and the sentences that it fills."""
    words = words_of("pack")
    said_by_program = ("play", "pause", "time", "album", "missing")
    return {
        "title": plan.form.title,
        "teacher": plan.form.lesson.teacher,
        "words": {name: words["play"][name] for name in said_by_program}
        | {
            "opens": words["head"]["opens"],
            "alt": words["chart"]["alt"],
            "video": words["watch"]["name"],
            "copied": words["post"]["copied"],
            "marked": words["post"]["marked"],
            "rung": words_of("page")["practise"]["rung"],
        },
    }


def _sound(fonts: Fonts) -> str:
    """The soundfonts with their licences, and what those ask."""
    return " ".join([credits_of(fonts), *filter(None, map(caution, fonts.all))])


def _sources() -> Traversable:
    return files("groove.handout.pack") / "page"


def _source(name: str) -> str:
    return (_sources() / name).read_text("utf-8")


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


def _choice(plan: PackPlan, in_key: KeyFolder, track: Task) -> str:
    """Fields for key, tempo, reader and players, each where there is more than one to choose."""
    keys = [
        _radio(
            "key", each.folder, key_symbol(each.form.key), key_in_words(each.form), each is in_key
        )
        for each in plan.key_folders
    ]
    tempi = []
    for each in in_key.tracks:
        tempo = tempo_words(each.form)
        spoken = said("pack", "play.beats", tempo=tempo)
        tempi.append(_radio("tempo", f"{each.form.tempo:g}", tempo, spoken, each is track))
    readers = dict.fromkeys(task.request.reader for task in in_key.papers)
    mixes = {piece.mix.suffix: mix_name(piece) for piece in track.pieces if piece.mix}
    return (
        _radios("key", keys)
        + _radios("tempo", tempi)
        + _select("mix", mixes)
        + _select("reader", {SHORT[each]: capital(READERS[each].words) for each in readers})
    )


def _radio(field: str, value: str, shown: str, spoken: str, checked: bool) -> str:
    return (
        f'<label><input type="radio" name="{field}" value="{escape(value)}" '
        f'aria-label="{escape(spoken)}"{" checked" if checked else ""}>'
        f"<span>{escape(shown)}</span></label>"
    )


def _radios(field: str, choices: Sequence[str]) -> str:
    if len(choices) < 2:
        return ""
    legend = escape(said("pack", f"play.{field}"))
    return f"<fieldset><legend>{legend}</legend><div>{''.join(choices)}</div></fieldset>\n"


def _select(field: str, choices: Mapping[str, str]) -> str:
    if len(choices) < 2:
        return ""
    label = escape(said("pack", f"play.{field}"))
    options = "".join(
        f'<option value="{escape(value)}">{escape(words)}</option>'
        for value, words in choices.items()
    )
    return f'<label class="field">{label} <select name="{field}">{options}</select></label>\n'


def _player(track: Task, facts: Mapping[str, Facts]) -> str:
    """The browser's player, and ours, which takes its place where the program runs."""
    playable = sorted(_mixed(track, ""), key=lambda piece: PLAYED.index(piece.format))
    if not playable:
        return ""
    name = said("pack", "all.track", key=key_in_words(track.form), tempo=tempo_words(track.form))
    at, words = clock(0), words_of("pack")["play"]
    whole = clock(round(seconds_of(track, facts)))
    time = said("pack", "play.time", at=at, whole=whole)
    return (
        f'<audio id="audio" controls preload="none" src="{link(playable[0])}" '
        f'aria-label="{escape(name)}"></audio>\n'
        '<div id="player" hidden>\n'
        f'<button id="start" class="main" type="button">{escape(words["play"])}</button>\n'
        f'<label class="again"><input id="again" type="checkbox"><span>{escape(words["again"])}'
        "</span></label>\n"
        f'<div class="time"><input id="place" type="range" min="0" max="1000" value="0" step="1" '
        f'aria-label="{escape(words["place"])}">\n'
        f'<span id="time">{escape(time)}</span></div>\n</div>'
    )


def _opens(in_key: KeyFolder, track: Task, reader: str) -> str:
    """Key and tempo with which the practice page opens."""
    key = key_symbol(READERS[reader].key(in_key.form.key))
    return said("pack", "head.opens", key=key, tempo=f"{track.form.tempo:g}")


def _chart(in_key: KeyFolder) -> str:
    """The picture of the chart, which opens by itself at a press."""
    picture = next(
        piece for task in in_key.papers for piece in task.pieces if piece.format == "svg"
    )
    alt = escape(said("pack", "chart.alt", key=key_in_words(in_key.form)))
    return f'<a id="picture" href="{link(picture)}"><img src="{link(picture)}" alt="{alt}"></a>'


def _mixed(track: Task, suffix: str) -> list[Piece]:
    return [piece for piece in track.pieces if piece.mix and piece.mix.suffix == suffix]


def _taken(in_key: KeyFolder, track: Task) -> list[Piece]:
    """The files of one key and tempo for one reader that a student may want to keep: the mix,
    papers, MIDI and MusicXML."""
    reader = in_key.papers[0].request.reader
    papers = [
        piece
        for task in in_key.papers
        if task.request.reader == reader
        for piece in task.pieces
        if piece.format != "svg"
    ]
    return [
        *_mixed(track, ""),
        *(piece for piece in papers if piece.format == "pdf"),
        track.pieces[0],
        *(piece for piece in papers if piece.format != "pdf"),
    ]
