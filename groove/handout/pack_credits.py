"""CREDITS.txt: whose work is in a pack, what each licence asks, and the usual cautions."""

from __future__ import annotations

import re
import textwrap
from importlib.resources import files
from typing import TYPE_CHECKING

from groove import __version__
from groove.handout.practice import asks_only_a_credit, asks_to_pass_on

if TYPE_CHECKING:
    from groove.form.model import Form
    from groove.sound.soundfonts import Soundfont

WIDTH = 78


def may_be_posted(font: Soundfont) -> bool:
    """Whether a soundfont's licence is one that lets its sounds be posted, on whatever terms."""
    return asks_only_a_credit(font) or asks_to_pass_on(font)


def caution(font: Soundfont) -> str | None:
    """What a soundfont's licence asks of whoever posts its sound, where that is more than a credit.

    What the licence of a collection of sounds asks of music made with it is not settled law.
    """
    if asks_only_a_credit(font):
        return None
    if asks_to_pass_on(font):
        return (
            f"{font.name} is under the {font.licence}. The practice page carries its sounds: "
            "whoever posts it has to offer that licence and the soundfont with it. Whether a "
            "recording made with it falls under the licence too is not settled; a soundfont "
            "under the MIT licence, such as Debian's fluid-soundfont-gm, asks only for a credit."
        )
    return (
        f"{font.name}: its licence ({font.licence}) does not say that its sounds may be posted. "
        "Ask its makers first, or make the pack with another soundfont."
    )


def credits_text(form: Form, font: Soundfont, with_audio: bool) -> str:
    """The text of CREDITS.txt."""
    from groove.handout.guide_scales import lesson

    places = {
        "title": form.title,
        "heard": "The audio and the practice page play"
        if with_audio
        else "The practice page plays",
        "font": font.name,
        "licence": font.licence,
        "asks": caution(font) or "It asks for a credit, which these lines give.",
        "version": __version__,
        "cautions": "\n".join(f"- {text}" for text in lesson("cautions")["cautions"]),
    }
    text = (files("groove.handout") / "pack_page" / "credits.txt").read_text("utf-8")
    filled = re.sub(r"\{\{(\w+)\}\}", lambda place: places[place[1]], text)
    return "".join(f"{_wrapped(line)}\n" for line in filled.splitlines())


def _wrapped(line: str) -> str:
    hanging = "  " if line.startswith("- ") else ""
    return textwrap.fill(
        line, WIDTH, subsequent_indent=hanging, break_on_hyphens=False, break_long_words=False
    )
