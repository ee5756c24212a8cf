"""CREDITS.txt: authors and licences of the parts of a pack, and the usual cautions."""

from __future__ import annotations

import textwrap
from importlib.resources import files
from typing import TYPE_CHECKING

from groove.handout.web import filled as placed
from groove.lesson.voice import voice_of
from groove.sound.synth.licences import caution, credits_of, licence_places
from groove.version import __version__
from groove.wording import filled, said, words_of

if TYPE_CHECKING:
    from groove.form.model import Form
    from groove.sound.synth.soundfonts import Fonts

WIDTH = 78


def credits_text(form: Form, fonts: Fonts, with_audio: bool) -> str:
    """The text of CREDITS.txt; with_audio: whether the pack has files in
    which its soundfonts sound, beside the practice page."""

    asks = " ".join(filter(None, map(caution, fonts.all)))
    names = {
        "heard": said("pack", f"credits.{'with_audio' if with_audio else 'page_alone'}"),
        "fonts": credits_of(fonts),
        "asks": asks or said("pack", "credits.only_credit"),
        "places": licence_places(fonts.all),
        "version": __version__,
    }
    words = words_of("pack")["credits"]
    places = {name: filled(text, names) for name, text in words.items()}
    places["title"] = form.title
    places["teacher"] = _teacher(form)
    places["cautions"] = "\n".join(f"- {text}" for text in words_of("cautions")["cautions"])
    text = (files("groove.handout.pack") / "page" / "credits.txt").read_text("utf-8")
    return "".join(f"{_wrapped(line)}\n" for line in placed(text, places).splitlines())


def _teacher(form: Form) -> str:
    """The teacher's name and address, and the last line to the student, in paragraphs."""
    voice = voice_of(form.lesson)
    named = " · ".join(part for part in (voice.byline, voice.link) if part)
    return "".join(f"{line}\n\n" for line in (named, voice.invite) if line)


def _wrapped(line: str) -> str:
    hanging = "  " if line.startswith("- ") else ""
    return textwrap.fill(
        line, WIDTH, subsequent_indent=hanging, break_on_hyphens=False, break_long_words=False
    )
