"""The notes of the practice page as the synthesiser plays them, each by itself and dry.

Pitched notes are played with an open filter and at their true pitch: the page gives them the tone
of their strength. So are strokes of the kit, but where a soundfont has several recordings of them:
those are played with the tone and the pitch that go with each.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from groove.errors import GrooveError
from groove.handout.practice.sounds import Recorded, Wish
from groove.sound.samples import SAMPLE_RATE
from groove.sound.synth.notes import Notes
from groove.sound.synth.soundfont_file import presets
from groove.sound.synth.stroke_pool import ALTERNATES, PITCHES, SHADES
from groove.sound.synth.tone import kit_tone

if TYPE_CHECKING:
    from groove.sound.mix.mix_settings import MixSettings
    from groove.sound.samples import Samples
    from groove.sound.synth.soundfonts import Soundfont

RECORDINGS = 2
"""The most recordings of a stroke that comes often,"""
SHORT_SECONDS = 1.5
"""and is no longer than this: cymbals would take most of a telephone's memory."""
KIT_SECONDS = 6.0
"""The longest stroke of a kit: a crash rings so long."""
TRIED_SECONDS, RELEASED_SECONDS = 0.6, 1.2
"""Seconds of the note whose end is measured, and of its end."""
FALLEN = 0.01
"""40 dB."""
SHORTEST, LONGEST = 0.01, 0.4
"""Seconds in which a note falls to 1 / e when it is released."""


@dataclass(frozen=True, slots=True)
class Played:
    """A note as it was played: samples of shape (frames, 2).

    hard: the velocity that the mix gives it in place of the written one, as loud as which it is.
    closed, cents: by how many cents a filter on it was closed, and how many cents high it is.
    """

    wish: Wish
    samples: Samples
    hard: int
    closed: float = 0.0
    cents: float = 0.0


def played(
    instrument: Recorded, font: Soundfont, settings: MixSettings
) -> tuple[list[Played], float]:
    """Each note of an instrument, and the seconds in which it falls to 1 / e after its end.

    Raises GrooveError if the soundfont has no sound for it.
    """
    with Notes(font) as notes:
        if instrument.is_kit:
            found, release = list(_strokes(instrument, notes, font, settings)), SHORTEST
        else:
            found = [_note(instrument, wish, notes, settings) for wish in instrument.wishes]
            release = _release(instrument, notes)
    if not any(each.samples.any() for each in found):
        raise GrooveError(f"soundfont {font.path}: it makes no sound for {instrument.name}")
    return found, release


def _note(instrument: Recorded, wish: Wish, notes: Notes, settings: MixSettings) -> Played:
    hard = settings.velocity(instrument.part, wish.pitch, wish.velocity)
    seconds = wish.seconds
    samples = notes.note(instrument.program, wish.pitch, hard, seconds=seconds, held=seconds)
    return Played(wish, samples, hard)


def _strokes(
    instrument: Recorded, notes: Notes, font: Soundfont, settings: MixSettings
) -> Iterator[Played]:
    found = presets(font.path)
    more = sum((bank, instrument.program) in found for bank in ALTERNATES)
    most = round(KIT_SECONDS * SAMPLE_RATE)
    for wish in instrument.wishes:
        ways: list[int | None] = [None]
        hard = settings.velocity(instrument.part, wish.pitch, wish.velocity)
        struck = instrument.program, wish.pitch, wish.velocity
        gain = notes.stroke_gain(*struck, hard)
        if wish.often and more and len(notes.stroke(*struck)) <= SHORT_SECONDS * SAMPLE_RATE:
            ways = list(range(min(RECORDINGS, 1 + more)))
        for way in ways:
            samples = notes.stroke(*struck, way=way)[:most] * gain
            if way is None:
                yield Played(wish, samples, hard)
                continue
            tone = kit_tone(wish.pitch)
            closed = tone.closed(wish.velocity) + tone.shade * SHADES[way]
            yield Played(wish, samples, hard, closed, tone.pitch * PITCHES[way])


def _release(instrument: Recorded, notes: Notes) -> float:
    """The seconds in which a note falls to 1 / e after its end, as it falls by 40 dB."""
    import numpy as np

    wish = instrument.wishes[len(instrument.wishes) // 2]
    seconds = TRIED_SECONDS + RELEASED_SECONDS
    sound = notes.note(
        instrument.program, wish.pitch, wish.velocity, seconds=seconds, held=TRIED_SECONDS
    )
    step, first = SAMPLE_RATE // 100, round(TRIED_SECONDS * 100)
    levels = np.sqrt(
        np.square(sound[: len(sound) // step * step].reshape(-1, 2 * step)).mean(axis=1)
    )
    begun = float(levels[first - 5 : first].max())
    loud = np.flatnonzero(levels[first:] > FALLEN * begun)
    lasts = (int(loud[-1]) + 1) / 100 if len(loud) else 0.0
    return round(max(SHORTEST, min(LONGEST, lasts / -math.log(FALLEN))), 4)
