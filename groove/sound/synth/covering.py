"""Finds a soundfont for every instrument, kit and stroke of a band, so that none is silent.

A part whose instrument the band's soundfont lacks is played from another that has it: the package's
own, else a full one on the system. Where none has it, the sound most like it stands in, as it does
in a soundfont that was given to that part alone.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from groove.band.part import CHORDAL, COMPING
from groove.errors import GrooveError
from groove.rhythm.kit import DRUM_CHANNEL
from groove.sound.synth.scores import JOINED
from groove.sound.synth.soundfonts import DRUM_BANK, Fonts, Soundfont, packaged, soundfont
from groove.sound.synth.stand_ins import Preset, Sounds, preset_name, stroke_name

if TYPE_CHECKING:
    from groove.band.take import Take

NO_SOUND = 1_000
"""The distance of a soundfont that has nothing of the kind."""


@dataclass(frozen=True)
class PartSounds:
    """The sounds of a part: banks and programs, and of a kit also the keys."""

    presets: frozenset[Preset]
    keys: frozenset[int] = frozenset()


@dataclass(frozen=True)
class Covering:
    """The soundfonts with which a band sounds.

    notes: a line for each sound that another soundfont or another sound plays, and for each part
    with a soundfont that does not play. missing: the names of sounds for which others stand in.
    """

    fonts: Fonts
    notes: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


def played_in(take: Take) -> dict[str, PartSounds]:
    """The sounds of each part of a take, by the names of the stems."""
    found: dict[str, PartSounds] = {}
    for part in (*take.parts, *take.cues):
        kit = part.channel == DRUM_CHANNEL
        programs = (part.program, *(program for _, program in part.programs))
        played = PartSounds(
            frozenset((DRUM_BANK if kit else 0, program) for program in programs),
            frozenset(note.pitch for note in part.notes) if kit else frozenset(),
        )
        name = JOINED.get(part.name, part.name)
        before = found.get(name, PartSounds(frozenset()))
        found[name] = PartSounds(before.presets | played.presets, before.keys | played.keys)
    return found


def covered(fonts: Fonts, band: Mapping[str, PartSounds]) -> Covering:
    """The soundfonts of a band, by the names of its stems, with which each of its sounds is heard.

    Raises `GrooveError` where a soundfont cannot be read.
    """
    at_hand = _AtHand(fonts)
    chosen: dict[str, Soundfont] = {}
    notes: dict[str, None] = {}
    missing: dict[Soundfont, dict[str, str]] = {}
    for part, played in band.items():
        asked = fonts.of(part)
        far = 0 if asked == fonts.main else NO_SOUND - 1
        lacking = [each for each in sorted(played.presets) if at_hand.distance(asked, [each]) > far]
        chosen[part] = font = at_hand.nearest(asked, played.presets) if lacking else asked
        if font != asked:
            nothing = " and ".join(f"no {preset_name(*each)}" for each in lacking)
            notes[f"{asked.name} has {nothing}; {font.name} plays the {part}"] = None
        missing.setdefault(font, {}).update(_stand_ins(at_hand.sounds(font), played))
    for part in fonts.own:
        if not {part, *(CHORDAL if part == COMPING else ())} & set(band):
            notes[f"there is no {part} in this band"] = None
    for font, others in missing.items():
        if others:
            said = (f"no {name} ({other} plays instead)" for name, other in others.items())
            notes[f"{font.name} has {', '.join(said)}"] = None
    used = list(dict.fromkeys(chosen.values()))
    main = fonts.main if fonts.main in used or not used else used[0]
    own = {part: font for part, font in chosen.items() if font != main}
    names = dict.fromkeys(name for others in missing.values() for name in others)
    return Covering(replace(fonts, main=main, own=own), tuple(notes), tuple(names))


class _AtHand:
    """The soundfonts that are at hand, and what is in them; a spare one is read when it is
    needed."""

    def __init__(self, fonts: Fonts) -> None:
        self._fonts = fonts
        self._sounds: dict[Soundfont, Sounds] = {}

    def sounds(self, font: Soundfont) -> Sounds:
        if font not in self._sounds:
            self._sounds[font] = Sounds(font)
        return self._sounds[font]

    def distance(self, font: Soundfont, presets: Collection[Preset]) -> int:
        """The distance of a soundfont's sounds from those asked for, all of them together."""
        sounds = self.sounds(font)
        each = (sounds.distance(*preset) for preset in presets)
        return sum(NO_SOUND if distance is None else distance for distance in each)

    def nearest(self, asked: Soundfont, presets: Collection[Preset]) -> Soundfont:
        """The soundfont whose sounds are most like those asked for, the first of several."""
        best, least = asked, self.distance(asked, presets)
        for font in self._others(asked):
            distance = self.distance(font, presets)
            if distance < least:
                best, least = font, distance
            if not least:
                break
        return best

    def _others(self, asked: Soundfont) -> Iterator[Soundfont]:
        if asked != (own := packaged()):
            yield own
        for path in self._fonts.spare:
            with suppress(GrooveError):
                yield soundfont(path)


def _stand_ins(sounds: Sounds, played: PartSounds) -> Iterator[tuple[str, str]]:
    """The names of the sounds that a soundfont lacks, each with that of the one that plays."""
    for bank, program in sorted(played.presets):
        preset = sounds.preset(bank, program)
        if preset != (bank, program):
            yield preset_name(bank, program), preset_name(*preset)
        for key in sorted(played.keys) if bank == DRUM_BANK else ():
            other = sounds.stroke(program, key)
            if other != key:
                yield stroke_name(key), stroke_name(other)
