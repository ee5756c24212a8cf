"""The ending that a form has: the one that it names, else one that suits its style, by the seed."""

from __future__ import annotations

from dataclasses import dataclass

from groove import library
from groove.form.ending.pattern import ANY, Ending, Version, ending
from groove.form.setting import Setting
from groove.form.style import StyleError
from groove.theory.chords import Chord
from groove.theory.keys import Key

ENOUGH = 3  # endings of a style's own; where it has fewer, those for any style are played too
NONE = ("loop", "written")
"""The names that add no bars."""


@dataclass(frozen=True, slots=True)
class Landing:
    """The place that a track comes to rest: its setting and key, and the chord that is home."""

    setting: Setting
    key: Key
    home: Chord

    @property
    def kind(self) -> str:
        """The kind of home chord, by which the chords of endings are written."""
        quality = self.home.quality
        return "minor" if quality.is_minor else "dominant" if quality.is_dominant else "major"


def names() -> tuple[str, ...]:
    """Everything that the field `ending` may say."""
    return (*library.names("endings"), *NONE)


def version_for(played: Ending, landing: Landing) -> Version:
    """An ending as it is played at a landing. Raises StyleError, saying which would fit."""
    found = _version(played, landing)
    if found:
        return found
    meter, drums = landing.setting.meter, landing.setting.drums
    fitting = [name for name in library.names("endings") if _version(ending(name), landing)]
    if any(version.fits(meter, landing.setting.tempo, drums.grid) for version in played.versions):
        why = f"has no chords where home is {landing.home}"
    else:
        thirds = "in thirds of the beat" if drums.grid.is_triplet else "in halves of the beat"
        division = "" if meter.is_compound else f", {drums.name} {thirds}"
        why = f"is not written for {meter}{division}"
    raise StyleError("ending", f"{played.name} {why}; these fit: {', '.join((*fitting, *NONE))}")


def _version(played: Ending, landing: Landing) -> Version | None:
    """The first version that can be played at a landing."""
    setting = landing.setting
    return next(
        (
            version
            for version in played.versions
            if version.fits(setting.meter, setting.tempo, setting.drums.grid)
            and version.spans(landing.kind)
        ),
        None,
    )


def suiting(landing: Landing) -> tuple[str, ...]:
    """The names of the endings among which the band chooses at a landing."""
    drums = landing.setting.drums
    fitting = [
        found
        for found in map(ending, library.names("endings"))
        if _version(found, landing) and found.tempo[0] <= landing.setting.tempo <= found.tempo[1]
    ]
    own = [
        found.name
        for found in fitting
        if {drums.name, drums.family} & {*found.styles} and drums.name not in found.without
    ]
    if len(own) < ENOUGH:
        own += [found.name for found in fitting if ANY in found.styles]
        own.append(drums.ends)
    return tuple(dict.fromkeys(own))


def chosen(landing: Landing, seed: int) -> str:
    """The name of the ending that the band plays where the form names none: with each seed the
    next one."""
    found = suiting(landing)
    return found[seed % len(found)]
