"""The choice of what is to be made: as the page sends it, and as a pack is made of it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import asdict, dataclass
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

from groove.errors import GrooveError
from groove.form.readers import READERS
from groove.handout import NO_SHOW, SHOWS, SIZES, THEMES
from groove.handout.drawing.page import PAPERS
from groove.handout.pack.keys import ALL, usual_keys
from groove.handout.pack.listing import PLAYED
from groove.handout.pack.papers import CONCERT
from groove.sound.options import FORMATS, NONE
from groove.theory.keys import twelve_keys
from groove.theory.symbols import key_words
from groove.wording import said, words_of

if TYPE_CHECKING:
    from groove.form.model import Form

WORDS = "screen-posting"
OTHERS = tuple(name for name in READERS if name != CONCERT)
"""The readers for whom charts and sheets can be made beside those in concert pitch."""
SEMITONES = range(12)
LONGEST_TEMPOS = 200
"""Characters."""
NEEDED = {"video": ("av", "pypdfium2"), "cover": ("pypdfium2", "PIL")}
"""The packages of the extra ``video`` that are needed, by what for."""


@dataclass(frozen=True, slots=True)
class Wish:
    """The files to make beside charts, sheets, notes and practice page.

    keys: their tonics in semitones above C. tempos: felt beats a minute with commas between them;
    empty for the form's own. audio: formats of the tracks. video: sizes. readers: beside those of
    concert pitch. The rest is as groove.pack has it.
    """

    keys: tuple[int, ...]
    tempos: str = ""
    audio: tuple[str, ...] = ("mp3",)
    stems: bool = False
    without_each: bool = False
    readers: tuple[str, ...] = ()
    paper: str = "a4"
    video: tuple[str, ...] = ()
    show: str = NO_SHOW
    theme: str = THEMES[0]
    cover: bool = False
    preview: bool = False
    text: bool = False

    @property
    def is_in_all_keys(self) -> bool:
        """Whether all twelve keys are chosen."""
        return self.keys == tuple(SEMITONES)

    def options(self, form: Form) -> dict[str, Any]:
        """The arguments of groove.pack for a form. Raises GrooveError where no key is chosen."""
        if not self.keys:
            raise GrooveError(said(WORDS, "troubles.no_keys"))
        options = asdict(self)
        keys = twelve_keys(form.key)
        options["keys"] = [key.symbol for key in keys if key.tonic.pitch_class in self.keys]
        options["audio"] = self.audio or NONE
        for name in ("stems", "without_each"):
            options[name] = options[name] and bool(self.audio)
        if not self.video:
            options["show"] = NO_SHOW
        if not (self.video or self.cover):
            options["theme"] = THEMES[0]
        return options


def usual(form: Form) -> Wish:
    """The wish for a form where nothing was chosen before: what groove.pack makes where nothing
    is asked for, but in the form's own key alone, so that a first try does not take minutes."""
    return Wish((form.key.tonic.pitch_class,))


def takes_all(form: Form) -> bool:
    """Whether all twelve keys make sense: a track may go through them by itself."""
    return usual_keys(form) == ALL


def read_wish(asked: Any) -> Wish:
    """A wish as the page sends it, or as it was kept. Raises GrooveError for anything else."""
    if not isinstance(asked, dict):
        raise GrooveError("what is to be made is no table")
    keys = asked.get("keys")
    if not isinstance(keys, list) or not all(type(each) is int for each in keys):
        raise GrooveError("keys: a list of semitones is needed")
    tempos = asked.get("tempos", "")
    if not isinstance(tempos, str) or len(tempos) > LONGEST_TEMPOS:
        raise GrooveError(said(WORDS, "troubles.tempos"))
    return Wish(
        tuple(each for each in SEMITONES if each in keys),
        tempos.strip(),
        audio=_some(asked, "audio", FORMATS),
        stems=asked.get("stems") is True,
        without_each=asked.get("without_each") is True,
        readers=_some(asked, "readers", OTHERS),
        paper=_one(asked, "paper", tuple(PAPERS)),
        video=_some(asked, "video", SIZES),
        show=_one(asked, "show", SHOWS),
        theme=_one(asked, "theme", THEMES),
        cover=asked.get("cover") is True,
        preview=asked.get("preview") is True,
        text=asked.get("text") is True,
    )


def _some(asked: dict[str, Any], name: str, allowed: Collection[str]) -> tuple[str, ...]:
    """The names that are chosen, in the order of those that are allowed."""
    given = asked.get(name, [])
    if not isinstance(given, list) or not all(each in allowed for each in given):
        raise GrooveError(f"{name}: {', '.join(allowed)} are allowed")
    return tuple(each for each in allowed if each in given)


def _one(asked: dict[str, Any], name: str, allowed: Collection[str]) -> str:
    given = asked.get(name, next(iter(allowed)))
    if not isinstance(given, str) or given not in allowed:
        raise GrooveError(f"{name}: {', '.join(allowed)} are allowed")
    return given


def choices(form: Form) -> dict[str, Any]:
    """The choices for a form, ready for JSON: ``keys``, the form's own first, and the names
    of the others with their words; ``lacking``, what needs a package that is not there."""
    home = form.key.tonic.pitch_class
    keys = sorted(twelve_keys(form.key), key=lambda key: (key.tonic.pitch_class - home) % 12)
    readers = words_of("form")["readers"]
    return {
        "keys": [(key.tonic.pitch_class, key_words(key)) for key in keys],
        "tempo": form.tempo,
        "readers": [(name, readers[name]) for name in OTHERS],
        "audio": PLAYED,
        "video": SIZES,
        "show": SHOWS,
        "theme": THEMES,
        "paper": tuple(PAPERS),
        "lacking": [what for what, names in NEEDED.items() if not all(map(find_spec, names))],
    }
