"""Videos on a pack's overview, and what its teacher posts with them: text, cover and preview."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from typing import Any

from groove.form.harmony import key_in_words
from groove.handout.pack.listing import Facts, entries, link, tempo_words
from groove.handout.pack.plan import KeyFolder, PackPlan, Piece, Task
from groove.wording import said, words_of

FIELDS = ("title", "long", "tags")
"""The parts of a text for which sites have a field each."""


def watch_html(in_key: KeyFolder, track: Task) -> str:
    """A section with the video of a track, as large as it will be before it is loaded; nothing
    where there is none. The program shows the size that suits the screen."""
    posted = in_key.posted_with(track)
    videos = [piece for piece in posted if piece.kind == "video"]
    if not videos:
        return ""
    first = videos[0]
    cover = cover_of(first, posted)
    poster = f' poster="{link(cover)}"' if cover else ""
    name = said("pack", "all.track", key=key_in_words(track.form), tempo=tempo_words(track.form))
    spoken = said("pack", "watch.name", track=name)
    title = escape(said("pack", "watch.title"))
    return (
        '<section id="watch" class="card" aria-labelledby="watch-title">\n'
        f'<h2 id="watch-title">{title}</h2>\n'
        f'<video id="video" controls preload="none" playsinline data-shape="{first.size}" '
        f'src="{link(first)}"{poster} aria-label="{escape(spoken)}"></video>\n</section>'
    )


def cover_of(video: Piece, posted: Sequence[Piece]) -> Piece | None:
    """The cover that stands for a video until it plays: one of its own shape, else a wide one."""
    covers = {piece.size: piece for piece in posted if piece.kind == "cover"}
    return covers.get(video.size) or covers.get("wide")


def post_html(plan: PackPlan, in_key: KeyFolder, track: Task, facts: Mapping[str, Facts]) -> str:
    """A closed part of the page with the text to copy, the cover and the preview; nothing where
    the pack has none of them."""
    posted, words = in_key.posted_with(track), words_of("pack")["post"]
    parts = _text_html(_text_of(posted, facts))
    covers = "".join(_cover_html(piece) for piece in posted if piece.kind == "cover")
    parts += (
        covers and f'<h3>{escape(words["covers"])}</h3>\n<div class="covers">\n{covers}</div>\n'
    )
    parts += "".join(
        f'<h3 id="preview-title">{escape(words["preview"])}</h3>\n'
        f'<audio id="preview" controls preload="none" src="{link(piece)}" '
        'aria-labelledby="preview-title"></audio>\n'
        for piece in plan.pieces
        if piece.kind == "preview"
    )
    if not parts:
        return ""
    files = [piece for piece in posted if piece.kind in ("cover", "preview", "post")]
    return (
        f'\n<details id="post"><summary>{escape(words["head"])}</summary>\n'
        f"<p>{escape(words['about'])}</p>\n{parts}"
        f'<ul id="posted" class="links">{entries(files, facts)}</ul>\n</details>'
    )


def _text_html(text: Mapping[str, str]) -> str:
    """Each part of a text with a button that copies it, which the program shows."""
    words = words_of("pack")["post"]
    shown = "".join(
        f"<h3>{escape(words[name])}</h3>\n"
        f'<p><button class="plain copy" type="button" data-copies="post-{name}" hidden>'
        f"{escape(words[f'copy_{name}'])}</button></p>\n"
        f'<p id="post-{name}" class="copied">{escape(text[name])}</p>\n'
        for name in FIELDS
        if text
    )
    return shown and f'{shown}<p id="copy-said" role="status"></p>\n'


def _cover_html(cover: Piece) -> str:
    alt = escape(said("pack", "post.cover", cover=cover.label))
    return (
        f'<img class="cover" data-shape="{cover.size}" loading="lazy" src="{link(cover)}" '
        f'alt="{alt}">\n'
    )


def post_data(plan: PackPlan, facts: Mapping[str, Facts]) -> dict[str, Any]:
    """The texts for JSON: all lines, each once, and by key and tempo the numbers of those of each
    part."""
    numbers: dict[str, int] = {}
    posts = {
        f"{in_key.folder} {track.form.tempo:g}": {
            name: [numbers.setdefault(line, len(numbers)) for line in text[name].split("\n")]
            for name in FIELDS
        }
        for in_key, track, text in _texts(plan, facts)
    }
    return {"lines": list(numbers), "posts": posts}


def _texts(
    plan: PackPlan, facts: Mapping[str, Facts]
) -> Iterator[tuple[KeyFolder, Task, dict[str, str]]]:
    for in_key in plan.key_folders:
        for track in in_key.tracks:
            if text := _text_of(in_key.posted_with(track), facts):
                yield in_key, track, text


def _text_of(posted: Sequence[Piece], facts: Mapping[str, Facts]) -> dict[str, str]:
    """The parts of the text that is posted with a track, by name; empty where there is none."""
    for piece in posted:
        if piece.kind == "post" and piece.format == "txt":
            return parts_of(facts[piece.path].text)
    return {}


def parts_of(plain: str) -> dict[str, str]:
    """The parts of a text as `PostingText.plain` writes it, by name."""
    heads = words_of("posting")["parts"]
    parts, rest = {}, f"\n\n{plain.rstrip()}"
    for name in reversed(heads):
        rest, _, parts[name] = rest.rpartition(f"\n\n{heads[name]}\n")
    return parts
