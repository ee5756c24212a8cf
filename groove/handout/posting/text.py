"""The text to post with a track: a title line, a short and a long description, chapters and tags.

Everything is said in the lesson's words, and nothing that the track does not have. Sentences are
data, ``patterns/lesson/posting.toml``; what sites have room for is in ``patterns/posting.toml``.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote

from groove import library
from groove.band.lines.programs import solo_instrument
from groove.band.part import SOLO
from groove.errors import GrooveError
from groove.form.harmony import key_in_words
from groove.form.lesson_fields import BEGINNER, EXAMPLE
from groove.form.road.fold import fold
from groove.form.road.fold_words import road_words
from groove.form.words import feel_words, settings_of, tempi_in_words
from groove.handout import TEXTS
from groove.handout.output import write_contents
from groove.handout.posting.chapters import Chapter, chapters, clock, round_name
from groove.handout.posting.chord_lines import chord_rows
from groove.handout.posting.players import Heard, heard
from groove.handout.posting.tags import hashtags_of_post, tags_of_post
from groove.handout.sheet.first_page import main_rows
from groove.handout.sheet.markdown import IN_LINKS, escaped
from groove.handout.sheet.sheet import Sheet, write_sheet
from groove.handout.sheet.words import (
    beyond_arpeggio,
    built_line,
    form_line,
    kind_line,
    main_scales,
    names_words,
    notes_line,
    over_words,
    plan_rows,
    size_line,
)
from groove.lesson.blocks import heading_of
from groove.lesson.chord_guides import ChordGuide
from groove.lesson.form_scales import Choice
from groove.lesson.guide import Guide
from groove.lesson.practice_plan import course_words
from groove.lesson.request import USUAL, Request
from groove.lesson.solo.part import rounds_played
from groove.sound.synth.covering import covered, played_in
from groove.sound.synth.licences import (
    Terms,
    caution,
    credits_of,
    licence_places,
    may_be_posted,
    terms,
)
from groove.sound.synth.soundfonts import find_fonts
from groove.theory.functions import within
from groove.theory.symbols import listed, note
from groove.track import compile_take
from groove.wording import SHIPPED, Wording, counted, inside, said, worded, words_of

if TYPE_CHECKING:
    from groove.form.chart import Chart
    from groove.form.model import Form
    from groove.sound.options import Names
    from groove.sound.synth.soundfonts import Fonts, Given

ROUNDED = 5  # seconds, of the length
FEELS = 2  # named in the title at most
CYCLE = 2  # keys; of a track that goes through more the title says how many
OTHERS_LEFT_OUT = ("kind", "remarks", "listen", "scales", "steps", "chapters", "chords", "plan")
AT_HOME = ("home", "in the key", "blues one", "blues four", "blues five")
"""Roles of chords for which the main scales are."""
"""Parts of a long description that are left out, in this order, where there is no room for all."""


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the long description.

    heading: empty for the first. rows: its lines. shape: ``"words"`` for paragraphs, ``"chords"``
    for rows of bars, ``"list"`` and ``"steps"`` for items, steps numbered. link: the address at the
    end of the last row.
    """

    heading: str
    rows: tuple[str, ...]
    shape: str = "words"
    link: str = ""


@dataclass(frozen=True)
class PostingText:
    """The text of a post. title: under 100 characters; short: under 160. parts: of the long
    description. chapters: with their times. tags: plain words. words: those it is said in.
    hashtags: some of the tags, each one word after a #, which end the plain text's description."""

    title: str
    short: str
    parts: tuple[Part, ...]
    chapters: tuple[Chapter, ...]
    tags: tuple[str, ...]
    words: Wording = SHIPPED
    hashtags: tuple[str, ...] = ()

    @property
    def long(self) -> str:
        """The long description as plain text."""
        paragraphs = [*map(_plain_part, self.parts), *filter(None, [" ".join(self.hashtags)])]
        return _replaced("\n\n".join(paragraphs))

    def plain(self) -> str:
        """All of it as plain text, each piece under a line that says where it goes."""
        words = self.words.whole("posting")["parts"]
        pieces = {
            "title": _replaced(self.title),
            "short": _replaced(self.short),
            "long": self.long,
            "tags": ", ".join(self.tags),
        }
        return "\n\n".join(f"{words[name]}\n{text}" for name, text in pieces.items()) + "\n"

    def markdown(self) -> str:
        """All of it as Markdown."""
        paragraphs = [f"# {escaped(self.title)}", f"**{escaped(self.short)}**"]
        for part in self.parts:
            paragraphs += _markdown_part(part)
        tags = ", ".join(escaped(tag) for tag in self.tags)
        heading = self.words.whole("posting")["headings"]["tags"]
        paragraphs += [f"## {escaped(heading)}", tags]
        return "\n\n".join(paragraphs) + "\n"


def posting_text(
    form: Form,
    *,
    request: Request = USUAL,
    soundfont: Given = None,
    fonts: Fonts | None = None,
    without: Names = (),
    only: Names = (),
    lead_in: float = 0.0,
    say: Callable[[str], None] = lambda line: None,
) -> PostingText:
    """The text to post with the track of a form.

    request: the instrument that the plan is for. soundfont: as of groove.make; fonts: those that
    play, where they are known. without, only: the players that the track lacks, or is made of.
    lead_in: seconds before the audio in a video, which its chapters come later by. say: called with
    a caution for each soundfont whose licence doesn't say that its sounds may be posted.

    Raises GrooveError for a request that can't be met.
    """
    with worded(form.lesson.words):
        take = compile_take(form)
        if fonts is None:
            fonts = covered(find_fonts(soundfont, os.environ), played_in(take)).fonts
            for font in fonts.all:
                if not may_be_posted(font):
                    say(f"caution: {caution(font)}")
        band = heard(take, {"without": without, "only": only})
        sheet = write_sheet(form, request)
        material = _Material(sheet, take.chart, band, fonts, lead_in)
        title, short = _title(material), _short(material)
        limit = library.table("posting")["text"]["long"]
        for number in range(len(OTHERS_LEFT_OUT) + 1):
            places = chapters(take.chart, lead_in=lead_in, least=_coarse(number))
            parts = tuple(_parts(material, places, frozenset(OTHERS_LEFT_OUT[:number])))
            tags, hashtags = tags_of_post(sheet, band), hashtags_of_post(sheet, band)
            words = form.lesson.words
            text = PostingText(title, short, parts, tuple(places), tags, words, hashtags)
            if len(text.long.encode()) <= limit:
                break
        return text


def _coarse(number: int) -> float | None:
    """The least seconds of a chapter where so many parts are left out."""
    fine = library.table("posting")["chapters"]["seconds"]
    return 4 * fine if number > OTHERS_LEFT_OUT.index("chapters") else None


def title_card_seconds() -> float:
    """The seconds of a video before its sound begins."""
    return float(library.table("video")["title_seconds"])


def write_text_files(
    text: PostingText,
    names: Sequence[str | Path],
    say: Callable[[str], None] = lambda line: None,
) -> list[Path]:
    """Write a text into files that end in ``.txt`` or ``.md``. Returns their paths.

    Raises GrooveError for other endings and for files that can't be written; then none has been.
    """
    contents: dict[Path, bytes] = {}
    for path in map(Path, names):
        if path.suffix.lower() not in TEXTS:
            raise GrooveError(f"{path}: a text ends in {' or '.join(TEXTS)}")
        written = text.markdown() if path.suffix.lower() == ".md" else text.plain()
        contents[path] = written.encode()
    return write_contents(contents, say)


@dataclass(frozen=True)
class _Material:
    """Everything that the text is made of."""

    sheet: Sheet
    chart: Chart
    band: Heard
    fonts: Fonts
    lead_in: float

    @property
    def form(self) -> Form:
        return self.chart.form

    @property
    def way(self) -> str:
        """The name of the first sentences: of the whole band, without players, or of one alone."""
        if not self.band.missing:
            return "band"
        return "only" if len(self.band.parts) == 1 else "without"

    @property
    def told(self) -> str:
        """The same for a first sentence, where the whole band has a soloist: what the solo is."""
        if self.way == "band" and SOLO in self.band.parts:
            return self.form.lesson.solo
        return self.way

    @property
    def length(self) -> str:
        """About how long the band plays."""
        seconds = self.chart.seconds(self.chart.end) - self.chart.seconds(self.chart.start)
        return clock(ROUNDED * round(seconds / ROUNDED))


def _fitting(lines: Iterable[str], most: int) -> str:
    """The first line that is short enough, else the last, cut at a word.

    >>> _fitting(["Twelve bars and a quarter", "Twelve bars"], 10)
    'Twelve…'
    """
    tried = list(lines)
    found = next((line for line in tried if len(line) <= most), None)
    if found is not None:
        return found
    cut = tried[-1][: most - 1]
    at_word = cut.rpartition(" ")[0] or cut
    return f"{at_word.rstrip(' ,;:')}…"


def _title(material: _Material) -> str:
    form, chart, band = material.form, material.chart, material.band
    keys = list(dict.fromkeys(time.key for time in chart.rounds))
    key = key_in_words(form)
    if len(keys) > CYCLE:
        key = said("posting", "title.cycle", number=len(keys), key=key)
    names = {
        "title": form.title,
        "what": _what(material),
        "key": key,
        "tempo": tempi_in_words(chart),
        "style": listed(_styles(material)),
        "players": listed(band.names),
    }
    ways = ("full", "shorter", "shortest")[len(_styles(material)) > FEELS :]
    most = library.table("posting")["text"]["title"]
    lines = [said("posting", f"title.{way}", **names) for way in ways]
    room = most - (len(lines[-1]) - len(form.title))
    names["title"] = _fitting([form.title], max(room, most // 2))
    return _fitting([*lines, said("posting", "title.shortest", **names)], most)


def _what(material: _Material) -> str:
    band = material.band
    left = band.names if material.way == "only" else band.missing_names
    return said("posting", f"what.{material.way}", players=listed(left))


def _styles(material: _Material) -> list[str]:
    """Pace and feel in words, of the sections where those differ."""
    if not material.form.by_section:
        return [inside(feel_words(material.form))]
    return list(dict.fromkeys(inside(feel_words(each)) for each in settings_of(material.chart)))


def _short(material: _Material) -> str:
    what = "band" if SOLO not in material.band.parts else material.form.lesson.solo
    link = _address(material.sheet.voice.link)
    names = {
        "what": said("posting", f"short.what.{what}"),
        "size": size_line(material.sheet),
        "players": listed(material.band.names_in_sentence("soloist")),
        "key": key_in_words(material.form),
        "tempo": tempi_in_words(material.chart),
        "length": material.length,
    }
    lines = [said("posting", f"short.{way}", **names) for way in ("full", "shorter", "shortest")]
    tried = [each for line in lines[:2] for each in (_credited(line), line)] + lines[2:]
    linked = [said("posting", "short.with_link", text=text, link=link) for text in tried]
    return _fitting([*(linked if link else []), *tried], library.table("posting")["text"]["short"])


def _credited(text: str) -> str:
    """A short description that says where the credits of the sounds are."""
    return said("posting", "short.with_credit", text=text)


def _address(link: str) -> str:
    """An address as a reader copies it."""
    return link.removeprefix("mailto:")


def _parts(
    material: _Material, places: Sequence[Chapter], left_out: frozenset[str]
) -> Iterator[Part]:
    sheet = material.sheet
    headings = words_of("posting")["headings"]
    yield Part("", (_about(material),))
    voice = sheet.voice
    if voice.invite or voice.line:
        yield Part("", tuple(filter(None, (voice.invite, voice.byline))), link=voice.link)
    if len(places) > 1:
        yield Part(headings["chapters"], tuple(place.line for place in places), "list")
    if "chords" not in left_out:
        written = sheet.chart
        rows = chord_rows(written)
        yield Part(headings["chords"], tuple(rows), "chords")
        if written.legend:
            yield Part("", written.legend)
    if built := _built(material, left_out):
        yield Part("", (built,))
    if "scales" in sheet.blocks and "scales" not in left_out:
        yield Part(heading_of("scales"), tuple(_scales(sheet)), "list")
    if voice.remarks and "remarks" not in left_out:
        yield Part(heading_of("remarks"), voice.remarks)
    if "plan" in sheet.blocks and "plan" not in left_out:
        yield Part(headings["practice"], tuple(_tempi(sheet)))
        yield Part("", tuple(_steps(sheet, left_out)), "steps")
    yield Part("", (said("posting", "long.band", players=material.band.with_patterns()),))
    yield Part(headings["credits"], tuple(_credits(material)))


def _about(material: _Material) -> str:
    """The kind of track: form, key, tempo and feel, length, and the solo in it; of a form with an
    order first the road."""
    form, sheet, band = material.form, material.sheet, material.band
    players = listed(band.names if material.way == "only" else band.missing_names)
    size = f"{_road(material)} {size_line(sheet)}" if form.order else form_line(sheet)
    told = [
        said("posting", f"about.{material.told}", size=size, players=players),
        said("posting", "long.length", length=material.length),
    ]
    if form.count_in and band.counts_in:
        told.append(counted("posting", "long.count_in", form.count_in))
    return " ".join([*told, *_solo(material.chart, band)])


def _road(material: _Material) -> str:
    """The lines of an order one after the other, in a sentence or two."""
    road = road_words(material.chart, fold(material.chart), tells_open=False)
    return built_line(replace(material.sheet.guide, road=road))


def _built(material: _Material, left_out: frozenset[str]) -> str:
    """The course of the chords, and the kind of the form."""
    guide = material.sheet.guide
    told = [] if material.form.order else [built_line(guide)]
    return " ".join([*told, *([] if "kind" in left_out else [kind_line(guide)])])


def _solo(chart: Chart, band: Heard) -> Iterator[str]:
    """The part of a solo, and its place."""
    form = chart.form
    if SOLO not in band.parts:
        return
    if form.lesson.solo != EXAMPLE:
        yield said("posting", f"long.{form.lesson.solo}")
        return
    (number,) = rounds_played(chart, EXAMPLE)
    time = chart.rounds[number]
    line = form.lines[time.line]
    way = "other"
    if not form.order:
        way = "other" if number else "chorus"
    elif line.is_open and line.times > 1:
        way = "solos"
    instrument = solo_instrument(chart, chart.bars[time.first])
    guitar = library.table("posting")["players"].get(instrument) == "guitar"
    solo = said("posting", f"long.solo.{'guitar' if guitar else 'other'}")
    place = inside(round_name(chart, number))
    yield said("posting", f"long.example.{way}", solo=solo, place=place)


def _scales(sheet: Sheet) -> Iterator[str]:
    guide = sheet.guide
    for choice, where in main_rows(sheet):
        notes = " ".join(notes_line(choice).split())
        yield f"{choice.title}: {notes}" + (f" ({where})" if where else "")
    if sheet.learner != BEGINNER:
        for choice in _outside(guide)[: library.table("posting")["text"]["outside"]]:
            yield f"{choice.title}: {' '.join(map(note, choice.notes))} ({over_words(choice)})"
    if guide.keys:
        yield said("posting", "long.first_key", key=guide.keys[0])
    if names := names_words(replace(guide, keys=())):
        yield names


def _outside(guide: Guide) -> list[Choice]:
    """The first scale of each chord outside the key that is not a main one, once for all chords
    that share it."""
    main = {(scale.root, scale.scale) for scale in main_scales(guide)}
    found: dict[object, Choice] = {}
    for each in guide.chords:
        plain = [choice for choice in beyond_arpeggio(each) if not choice.tag]
        own = [choice for choice in plain if (choice.root, choice.scale) not in main]
        if own and not _in_main_scales(each, guide):
            known = found.get((own[0].root, own[0].scale))
            over = (*(known.over if known else ()), each.chord)
            found[own[0].root, own[0].scale] = replace(own[0], over=tuple(dict.fromkeys(over)))
    return list(found.values())


def _in_main_scales(each: ChordGuide, guide: Guide) -> bool:
    """True of a chord that a main scale of its section is for, or has all tones of."""
    chord = each.chord
    return each.roles[0].name in AT_HOME or any(
        chord in scale.over or (not scale.over and within(chord, scale.notes))
        for place in guide.sections or (guide,)
        if any(chord == other.chord for other in place.chords)
        for scale in place.choices
        if not scale.tag
    )


def _tempi(sheet: Sheet) -> Iterator[str]:
    plan, ground = sheet.guide.plan, sheet.guide.ground
    of_sheet = list(course_words(ground, words_of("plan")["course"]))
    tempo = [sentence for sentence in plan.tempo_words if sentence not in of_sheet]
    course = course_words(ground, words_of("posting")["long"]["course"])
    yield " ".join([*tempo, *course, plan.session])
    if len(plan.ladder) > 1:
        ladder = " · ".join(map(str, plan.ladder))
        yield f"{words_of('plan')['session']['ladder']}: {ladder}"


def _steps(sheet: Sheet, left_out: frozenset[str]) -> Iterator[str]:
    listen = words_of("plan")["session"]["listen"]
    for label, step in plan_rows(sheet.guide):
        minutes = said("plan", "session.minutes", minutes=step.minutes)
        place = ", ".join(part for part in (minutes, label) if part)
        words = said("posting", "long.step", title=step.title, place=place)
        if "steps" not in left_out:
            words += f" {step.words}"
        if "listen" not in left_out:
            words += f" {listen} {step.listen}"
        yield words


def _credits(material: _Material) -> Iterator[str]:
    """The permission to use the track, and the makers and licences of its sounds and patterns."""
    fonts, chart = material.fonts, material.chart
    stricter = [font.licence for font in fonts.all if terms(font.licence) is not Terms.CREDIT]
    tunes = any(played.melody or played.lyrics for played in chart.passes)
    if stricter:
        yield said("posting", "credits.stricter", licences=listed(list(dict.fromkeys(stricter))))
    else:
        way = "authors" if chart.form.by or tunes else "free"
        yield said("posting", f"credits.{way}")
    yield " ".join(filter(None, [credits_of(fonts), licence_places(fonts.all)]))
    yield said("pack", "credits.patterns")


def _replaced(text: str) -> str:
    """Text with other signs for those that some sites don't take."""
    signs = library.table("posting")["text"]["replaced"]
    return "".join(signs.get(sign, sign) for sign in text)


def _plain_part(part: Part) -> str:
    rows = list(part.rows)
    if part.shape == "steps":
        rows = [f"{number}. {row}" for number, row in enumerate(rows, 1)]
    if part.link:
        rows.append(_address(part.link))
    apart = "\n\n" if part.shape == "words" and not part.link else "\n"
    text = apart.join(rows)
    return f"{part.heading}\n{text}" if part.heading else text


def _markdown_part(part: Part) -> list[str]:
    heading = [f"## {escaped(part.heading)}"] if part.heading else []
    if part.shape == "chords":
        return [*heading, "\n".join(["```", *part.rows, "```"])]
    rows = [escaped(row) for row in part.rows]
    if part.shape == "steps":
        return [*heading, "\n".join(f"{number}. {row}" for number, row in enumerate(rows, 1))]
    if part.shape == "list":
        return [*heading, "\n".join(f"- {row}" for row in rows)]
    if part.link:
        rows.append(f"<{quote(part.link, safe=IN_LINKS)}>")
    return [*heading, *rows]
