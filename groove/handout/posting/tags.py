"""The tags of a post: plain words that a listener looks for, true of the track."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from groove import library
from groove.form.harmony import key_in_words
from groove.form.words import feel_words, tempi_in_words
from groove.theory.symbols import key_symbol
from groove.wording import inside, said, title_of, words_of

if TYPE_CHECKING:
    from groove.handout.posting.players import Heard
    from groove.handout.sheet.sheet import Sheet


def hashtags_of_post(sheet: Sheet, heard: Heard) -> tuple[str, ...]:
    """The first tags as words with a # and no spaces inside, without those of key and tempo."""
    form = sheet.guide.form
    without = {key_in_words(form), said("posting", "tags.key", key=key_symbol(form.key))}
    words = (
        "#" + re.sub(r"[\s-]+", "", tag).casefold()
        for tag in tags_of_post(sheet, heard)
        if tag not in without and re.fullmatch(r"[^\W\d_]+(?:[\s-]+[^\W\d_]+)*", tag)
    )
    return tuple(dict.fromkeys(words))[: library.table("posting")["text"]["hashtags"]]


def tags_of_post(sheet: Sheet, heard: Heard) -> tuple[str, ...]:
    """The tags, most telling first, none twice, as many as sites have room for."""
    room = library.table("posting")["text"]["tags"]
    found: dict[str, str] = {}
    for word in _words(sheet, heard):
        plain = " ".join(word.replace(",", " ").split())
        if plain.casefold() in found or len(plain) + 1 > room:
            continue
        found[plain.casefold()] = plain
        room -= len(plain) + 1
    return tuple(found.values())


def _words(sheet: Sheet, heard: Heard) -> Iterator[str]:
    form, words = sheet.guide.form, words_of("posting")["tags"]
    chart = heard.take.chart
    yield from words["always"][:1]
    yield from words["kinds"][sheet.guide.harmony.kind]
    yield key_in_words(form)
    yield said("posting", "tags.key", key=key_symbol(form.key))
    yield said("posting", "tags.tempo", tempo=tempi_in_words(chart))
    yield inside(feel_words(form))
    yield inside(title_of("drums", form.drums.name, form.drums.title))
    if form.feel != "straight":
        yield str(words_of("feel")["names"][form.feel])
    yield from dict.fromkeys(str(bar.meter) for bar in chart.bars if str(bar.meter) != "4/4")
    for name in heard.missing_names:
        yield said("posting", "tags.without", player=name)
    yield from words["always"][1:]
    yield str(words["instruments"][sheet.instrument])
    yield str(words["learners"][sheet.learner])
    yield from heard.names
