"""The terms for posting sounds, read from a soundfont's licence.

Licences are read as people write them into soundfonts, and a word that is in doubt refuses rather
than allows. Whether the licence of a collection of sounds extends to music made with it is not
settled law; the texts here give the known terms and leave the rest to the reader.
"""

from __future__ import annotations

import re
from enum import Enum
from typing import TYPE_CHECKING

from groove.theory.symbols import listed
from groove.wording import said, words_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from groove.sound.synth.soundfonts import Fonts, Soundfont


class Terms(Enum):
    """The terms for posting sounds."""

    CREDIT = "with a credit at most"
    ALIKE = "under the same licence"
    PASS_ON = "together with their licence and source"
    UNKNOWN = "not known to be allowed"


_LIMITED = r"\b(nc|nd|non.?commercial|no.?deriv\w*|not|no|all rights|limited|private|personal)\b"
_ALIKE = r"\b(sa|share.?alike)\b"
_PASS_ON = r"\b([al]?gpl|gnu)\b"
_MIT = r"^mit( ?[;,(]|$)|\bmit.licen[cs]e|\b(under|licence:?|license:?) (the )?mit\b"
_CREDIT = r"\b(cc0|public domain|cc.by|creative commons attribution)\b"
"""Words that forbid, and words of the licences that let sounds be posted. The
licences' terms are those of their published texts (gnu.org, creativecommons.org, opensource.org,
from memory)."""


def terms(licence: str) -> Terms:
    """The terms for posting sounds under a licence that is named in words.

    >>> terms("CC BY 4.0").name, terms("CC BY-SA 4.0").name, terms("CC BY-NC 4.0").name
    ('CREDIT', 'ALIKE', 'UNKNOWN')
    """
    if _says(_LIMITED, licence):
        return Terms.UNKNOWN
    if _says(_PASS_ON, licence):
        return Terms.PASS_ON
    if _says(_ALIKE, licence):
        return Terms.ALIKE
    return Terms.CREDIT if is_mit(licence) or _says(_CREDIT, licence) else Terms.UNKNOWN


def is_mit(licence: str) -> bool:
    """True if a licence is the MIT licence, whose text has to accompany the sounds."""
    return _says(_MIT, licence)


def _says(words: str, licence: str) -> bool:
    return re.search(words, licence.casefold()) is not None


def credits_of(fonts: Fonts) -> str:
    """The soundfonts of a band, each with its licence, its makers, and who plays it."""
    found = []
    for font in fonts.all:
        name = str(font)
        if font.credit:
            name = said("pack", "fonts.makers", font=name, makers=font.credit.rstrip("."))
        names = words_of("road")["players"]["names"]
        whose = listed([str(names.get(part, part)) for part in fonts.parts(font)])
        way = "main" if font == fonts.main else "part"
        found.append(said("pack", f"fonts.{way}", font=name, whose=_capital(whose)))
    return " ".join(found)


def licence_places(fonts: Iterable[Soundfont]) -> str:
    """The addresses of the texts of soundfonts' Creative Commons licences; "" if none has one.

    Without the name of a protocol, so that it is text in a page and no link.
    """
    found = {
        f"CC BY{alike} {version}": f"creativecommons.org/licenses/by{alike.lower()}/{version}/"
        for font in fonts
        for alike, version in re.findall(r"CC BY(-SA|) (\d\.\d)", font.licence)
    }
    return "; ".join(f"{name}: {place}" for name, place in found.items())


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def may_be_posted(font: Soundfont) -> bool:
    """True if a soundfont's licence is one that lets its sounds be posted, with conditions or
    without."""
    return terms(font.licence) is not Terms.UNKNOWN


def caution(font: Soundfont) -> str | None:
    """The terms of a soundfont's licence as a warning; None for a credit at most."""
    match terms(font.licence):
        case Terms.CREDIT:
            return None
        case Terms.ALIKE:
            return _asks("alike", font)
        case Terms.PASS_ON:
            return _asks("pass_on", font)
        case Terms.UNKNOWN:
            return _asks("unknown", font)


def _asks(way: str, font: Soundfont) -> str:
    unsettled = said("pack", "fonts.unsettled")
    names = {"name": font.name, "licence": font.licence, "unsettled": unsettled}
    return said("pack", f"fonts.{way}", **names)
