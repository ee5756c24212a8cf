"""The practice page: one HTML file that plays a form in any key and at any tempo.

It needs no network: music, sounds and program are all inside.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from groove.errors import GrooveError
from groove.files import try_targets, written_together
from groove.form.model import Form
from groove.form.words import say_notes
from groove.lesson.request import USUAL, Request
from groove.sound.synth.licences import (
    caution,
    credits_of,
    is_mit,
    licence_places,
    may_be_posted,
)
from groove.wording import said, worded

if TYPE_CHECKING:
    from groove.sound.synth.soundfonts import Fonts, Given, Soundfont

EASY_TO_POST = 4_000_000
"""Bytes of the largest page that is posted without a remark."""
NOTES_SHARE, SOUND_SHARE = 0.4, 0.25
"""The shares of the time that the notes in all keys take, and recording the sounds; measuring the
mix takes the rest."""


def make_page(
    form: Form,
    path: str | Path,
    *,
    soundfont: Given = None,
    private: bool = False,
    served: bool = False,
    request: Request = USUAL,
    say: Callable[[str], None] = lambda line: None,
    progress: Callable[[float], None] | None = None,
) -> Path:
    """Write the practice page of a form as one HTML file.

    soundfont: as of groove.make. private: the page is not for posting, so
    that any soundfont is allowed. served: the page stands in a pack, beside the files with which it
    is installed where a site serves it, see groove.handout.served. request: the instrument, hand
    and reader with which the page opens. say: called with each line for the user. progress: called
    with the share that is done, 0 to 1. Returns the path of the page. Raises GrooveError; then
    nothing is written.
    """
    target = Path(path)
    if target.suffix.lower() not in (".html", ".htm"):
        raise GrooveError(f"{target}: found another ending; a page's name ends in .html")
    try_targets([target])
    tell = progress or (lambda _done: None)
    with worded(form.lesson.words):
        page, holds = _page(form, soundfont, private, served, request, say, tell)
    with written_together([target], say) as (staged,):
        staged.write_text(page, "utf-8")
    size = target.stat().st_size
    if size > EASY_TO_POST:
        say(f"note: {target} is {size / 1e6:.1f} MB: it holds {holds}")
    return target


def page_text(
    form: Form,
    *,
    private: bool = False,
    request: Request = USUAL,
    progress: Callable[[float], None] | None = None,
) -> str:
    """The practice page of a form as HTML, the text that make_page writes with these choices.

    Raises GrooveError.
    """
    tell = progress or (lambda _done: None)
    with worded(form.lesson.words):
        return _page(form, None, private, False, request, lambda _line: None, tell)[0]


def _page(
    form: Form,
    soundfont: Given,
    private: bool,
    served: bool,
    request: Request,
    say: Callable[[str], None],
    tell: Callable[[float], None],
) -> tuple[str, str]:
    """The page, and words for what takes most of its room."""
    from groove.handout.practice.data import page_data
    from groove.handout.practice.inline import page_html
    from groove.handout.practice.mix import measured, mixed, page_settings
    from groove.handout.practice.phrases import phrases_html
    from groove.handout.practice.record import record_sounds
    from groove.handout.practice.road import on_a_road
    from groove.handout.practice.solo import with_solo
    from groove.handout.practice.sounds import instruments
    from groove.handout.teacher import byline_html, invite_html, own_html, remarks_html
    from groove.handout.web import cautions_html
    from groove.lesson.voice import voice_of
    from groove.sound.synth.covering import covered, played_in
    from groove.sound.synth.soundfonts import find_fonts
    from groove.track import compile_take

    covering = covered(find_fonts(soundfont, os.environ), played_in(compile_take(with_solo(form))))
    fonts = covering.fonts
    for font in fonts.all:
        _check_licence(font, private, say)
    say(f"soundfont: {fonts}")
    for note in covering.notes:
        say(f"note: {note}")
    say_notes(form, say)
    data = page_data(form, request)
    tell(NOTES_SHARE)
    played = on_a_road(form) or form
    settings = page_settings(played)
    sounds, loud = record_sounds(
        instruments(data),
        fonts,
        settings,
        lambda done: tell(NOTES_SHARE + SOUND_SHARE * done),
    )
    data, sounds = mixed(data, sounds, measured(played, fonts, settings), settings, loud)
    voice, own = voice_of(form.lesson), own_html(form.lesson)
    texts = {
        "title": escape(form.title),
        "page_title": escape(said("page", "title", title=form.title)),
        "credits": escape(_credits(fonts)),
        "notice": escape(_notice(fonts)),
        "cautions": cautions_html(),
        "teacher": byline_html(voice),
        "remarks": remarks_html(voice),
        "phrases": phrases_html(form, own["phrases"]),
        "invite": invite_html(voice),
    } | {f"own.{place}": paragraphs for place, paragraphs in own.items()}
    page = page_html(texts, {"track": data, "sounds": sounds}, served=served)
    tell(1.0)
    return page, f"{data['bars']} bars in twelve keys and {len(sounds)} sets of sounds"


def _check_licence(font: Soundfont, private: bool, say: Callable[[str], None]) -> None:
    """Say what a soundfont's licence asks; raise GrooveError if it forbids to post its sounds."""
    asks = caution(font)
    if private or asks is None:
        return
    if may_be_posted(font):
        say(f"caution: {asks}")
        return
    raise GrooveError(
        f"soundfont {font.path}: its licence ({font.licence}) does not say that its sounds may be "
        "posted; name another with --soundfont, or say --private for a page of your own"
    )


def _notice(fonts: Fonts) -> str:
    """The notice that has to go with the sounds: copyright, licences, the text of the MIT one.

    Addresses stand without the name of a protocol: they are text in a page that needs no network.
    """
    from groove.handout.practice.inline import sources
    from groove.sound.synth.soundfont_file import read_info
    from groove.sound.synth.soundfonts import LICENCES, packaged

    own = packaged()
    notices = [LICENCES.read_text("utf-8").replace("https://", "")] if own in fonts.all else []
    others = [font for font in fonts.all if font != own]
    for font in others:
        holders = font.credit or read_info(font.path).copyright or said("page", "foot.no_copyright")
        notices.append(f"{font.name}: {holders.rstrip('.')}. {font.licence}.")
    notices += [f"{places}."] if (places := licence_places(others)) else []
    if any(is_mit(font.licence) for font in others):
        notices.append((sources() / "mit.txt").read_text("utf-8"))
    return " ".join(" ".join(notices).split())


def _credits(fonts: Fonts) -> str:
    lines = [credits_of(fonts), said("page", "foot.music")]
    if not all(may_be_posted(font) for font in fonts.all):
        lines.append(said("page", "foot.private"))
    return " ".join(lines)
