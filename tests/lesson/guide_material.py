"""Forms and guides that tests of the lesson go through."""

from pathlib import Path

import groove
from groove import library
from groove.lesson.form_scales import Choice
from groove.lesson.guide import Guide, write_guide

DEMO = Path(__file__).parents[2] / "demo"


FORMS = [*library.names("forms"), *(str(path) for path in sorted(DEMO.glob("*.toml")))]


def guide(chords: str, key: str = "C") -> Guide:
    return write_guide(groove.read_form("twelve-bar", chords=chords, key=key, turnaround=False))


def choices(made: Guide, chord: str) -> tuple[Choice, ...]:
    return next(entry.choices for entry in made.chords if str(entry.chord) == chord)


def titles(made: Guide, chord: str, *, plain: bool = True) -> list[str]:
    return [c.title for c in choices(made, chord) if not (plain and c.tag)]


def cycle(**asked: object) -> Guide:
    usual = {"key": "C", "choruses": 12, "turnaround": False, "key_cycle": "fourths"}
    asked = usual | {"chords": "ii7 V7 Imaj7:2"} | asked
    return write_guide(groove.read_form("twelve-bar", **asked))  # type: ignore[arg-type]


REVIEWED_BOSSA = "i7:2 iiø7 V7b9 iv7 bVII7 bIIImaj7 bVImaj7 iiø7 V7b9 i6 V7b9"


def words(made: Guide, chord: str) -> str:
    return " ".join(next(entry.words for entry in made.chords if str(entry.chord) == chord))


def said(made: Guide, chord: str, title: str) -> str:
    return next(c.words for c in choices(made, chord) if c.title == title)


CYCLE = "Bmaj7 D7 Gmaj7 Bb7 Ebmaj7 F#7 Bmaj7:2"


def scales(made: Guide, chord: str) -> set[str]:
    return {c.scale for c in choices(made, chord)}


BACK_WAY = "Imaj7 iv7 bVII7 Imaj7 bVImaj7 bIIImaj7 iiø7 V7"
