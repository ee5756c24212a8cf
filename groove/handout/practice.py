"""The practice page: one HTML file that plays a form in any key and at any tempo.

It asks for nothing from a network: music, sounds and program are all inside.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from groove.errors import GrooveError
from groove.files import written_together
from groove.form.model import Form

if TYPE_CHECKING:
    from groove.sound.soundfonts import Soundfont

MAY_BE_POSTED = r"\b(mit|cc0|public domain|cc.by|creative commons attribution)\b"
ASKS_MUCH = r"\b(gpl|lgpl|gnu)\b"
LIMITED = r"\b(nc|nd|non.?commercial|no.?deriv\w*|not|no)\b"
"""Words in a soundfont's licence: those that let samples be posted with a credit, those that ask
whoever posts them to pass on licence and source, and those that take back what the others give."""
EASY_TO_POST = 4_000_000
"""Bytes."""
SOUND_SHARE = 0.7
"""Of the time it takes."""


def make_page(
    form: Form,
    path: str | Path,
    *,
    soundfont: str | Path | None = None,
    private: bool = False,
    say: Callable[[str], None] = lambda line: None,
    progress: Callable[[float], None] | None = None,
) -> Path:
    """Write the practice page of a form as one HTML file.

    soundfont: a file in place of the best one found. private: the page is not for posting, so
    that any soundfont will do. say: is told, a line at a time, what the reader should know.
    progress: is told how much is done, 0 to 1. Raises GrooveError; then nothing is written.
    """
    from groove.handout.practice_data import page_data
    from groove.handout.practice_inline import page_html
    from groove.handout.practice_sound import instruments, record_sounds
    from groove.sound.soundfonts import find_soundfont

    target = Path(path)
    if target.suffix.lower() not in (".html", ".htm"):
        raise GrooveError(f"{path}: found another ending; a page's name ends in .html")
    tell = progress or (lambda done: None)
    font = find_soundfont(None if soundfont is None else Path(soundfont), os.environ)
    _check_licence(font, private, say)
    say(f"soundfont: {font}")
    for note in form.notes:
        say(f"note: {note}")
    data = page_data(form)
    tell(1 - SOUND_SHARE)
    sounds = record_sounds(
        instruments(data), font, lambda done: tell(1 - SOUND_SHARE + SOUND_SHARE * done)
    )
    texts = {
        "title": escape(form.title),
        "credits": escape(_credits(font, private)),
        "notice": escape(_notice(font)),
    }
    page = page_html(texts, {"track": data, "sounds": sounds})
    replaced = target.exists()
    with written_together([target]) as (staged,):
        staged.write_text(page, "utf-8")
    size = target.stat().st_size
    if size > EASY_TO_POST:
        say(f"note: {target} is {size / 1e6:.1f} MB: it holds {form.bars} bars in twelve keys")
    if replaced:
        say(f"note: {target} was there before and has been replaced")
    return target


def asks_only_a_credit(font: Soundfont) -> bool:
    """Whether a soundfont's licence lets its sounds be posted with nothing but a credit."""
    return _says(font, MAY_BE_POSTED) and not _says(font, LIMITED)


def asks_to_pass_on(font: Soundfont) -> bool:
    """Whether a soundfont's licence lets its sounds be posted together with licence and source."""
    return _says(font, ASKS_MUCH) and not _says(font, LIMITED)


def _says(font: Soundfont, words: str) -> bool:
    return re.search(words, font.licence.lower()) is not None


def _check_licence(font: Soundfont, private: bool, say: Callable[[str], None]) -> None:
    """Say what a soundfont's licence asks; GrooveError where it does not let sounds be posted."""
    if private or asks_only_a_credit(font):
        return
    if asks_to_pass_on(font):
        say(
            f"note: {font.name} is under the {font.licence}: whoever posts the page passes its "
            "sounds on and has to offer that licence and the soundfont with it; Debian's "
            "fluid-soundfont-gm, under the MIT licence, asks only for a credit"
        )
        return
    raise GrooveError(
        f"soundfont {font.path}: its licence ({font.licence}) does not say that its sounds may be "
        "posted; name another with --soundfont, or say --private for a page of your own"
    )


def _notice(font: Soundfont) -> str:
    """What has to go with the sounds wherever they go: their notice, and the MIT licence's text."""
    from groove.handout.practice_inline import sources
    from groove.sound.soundfont_file import read_info

    info = read_info(font.path)
    own = f"{font.name}: {info.copyright or 'no copyright line in the file'}. {font.licence}."
    text = (sources() / "mit.txt").read_text("utf-8") if "mit" in font.licence.lower() else ""
    return f"{own} {text}".strip()


def _credits(font: Soundfont, private: bool) -> str:
    own = " This page is not for posting: its soundfont's licence does not say that it may be."
    return (
        f"Sounds: {font.name}, {font.licence}. Music: made by the band of groove from a chord "
        f"progression; patterns CC0. The page needs no network and sends nothing anywhere."
        f"{own if private else ''}"
    )
