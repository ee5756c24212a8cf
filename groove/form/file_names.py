"""File names for a form's files."""

from __future__ import annotations

import os
import unicodedata
from dataclasses import dataclass

from groove.form.choruses import in_chorus
from groove.form.model import Form
from groove.wording import words_of

LONGEST_NAME = 80  # bytes, with room for what follows it


def file_stem(form: Form) -> str:
    """A file name for a form that sorts and reads well: title, key and tempo, and their course.

    >>> from groove.form.read import read_form
    >>> file_stem(read_form("minor-twelve-bar", key="F#", tempo=96, title="Ferry Landing"))
    'ferry-landing_F-sharp-minor_96'
    >>> file_stem(read_form("twelve-bar", tempo=96, key_cycle="fourths", tempo_step=4))
    'twelve-bar-blues_C-fourths_96-to-104'
    """
    return str(name_parts(form))


@dataclass(frozen=True, slots=True)
class NameParts:
    """The parts of the name of a form's files: ``C`` or ``F-sharp-minor`` is a key, ``fourths``
    a cycle, 104 the tempo that a ladder ends at; those are empty or None where there is none."""

    title: str
    key: str
    cycle: str
    tempo: float
    last: float | None

    @property
    def ladder(self) -> str:
        """The end of a tempo ladder as it follows the tempo: ``-to-104``; empty without one."""
        return "" if self.last is None else f"-to-{self.last:g}"

    def __str__(self) -> str:
        cycle = f"-{self.cycle}" if self.cycle else ""
        return f"{self.title}_{self.key}{cycle}_{self.tempo:g}{self.ladder}"


def name_parts(form: Form) -> NameParts:
    """The parts of a form's file name; with an order, cycle and ladder are those of open lines."""
    title = title_stem(form.title)
    tonic = str(form.key.tonic).replace("#", "-sharp").replace("b", "-flat")
    minor = "-minor" if form.key.mode == "minor" else ""
    cycle, last = form.key_cycle, in_chorus(form, form.choruses - 1).tempo
    for line in form.order:
        if line.is_open:
            cycle = line.own.get("key_cycle", cycle)
            last += line.own.get("tempo_step", 0.0) * (line.times - 1)
    cycle = "" if cycle == "none" else cycle
    ladder = None if last == form.tempo else last
    return NameParts(title, tonic + minor, cycle, form.tempo, ladder)


def title_stem(title: str) -> str:
    """A title as part of a file name: ``ferry-landing``."""
    return _short("-".join(_words(_plain(title)))) or "track"


def _plain(title: str) -> str:
    """A title in small letters, without accents on Latin ones and without apostrophes; a letter
    that the language writes as several, as German ä as ae, becomes those."""
    own, bare, letter = words_of("language")["letters"], "", ""
    composed = unicodedata.normalize("NFC", title.casefold())
    spelled = "".join(own.get(sign, sign) for sign in composed)
    for sign in unicodedata.normalize("NFKD", spelled):
        letter = letter if unicodedata.combining(sign) else sign
        if letter == sign or not letter.isascii():
            bare += sign
    return unicodedata.normalize("NFC", bare).replace("'", "").replace("’", "")


def _words(title: str) -> list[str]:
    """The words of a title: letters, marks on letters and digits."""
    kept = (sign if unicodedata.category(sign)[0] in "LMN" else " " for sign in title)
    return "".join(kept).split()


def _short(name: str) -> str:
    """A name cut to LONGEST_NAME, without letters that the system's file names can't have."""
    try:
        os.fsencode(name)
    except UnicodeEncodeError:
        name = name.encode("ascii", "ignore").decode()
    return name.encode()[:LONGEST_NAME].decode(errors="ignore").strip("-")
