"""The music of an open form for the screen's player: notes and sounds, made in memory.

Notes are made anew after each change, which takes some tenths of a second. Sounds and the measures
of the mix take seconds; they are kept as long as the same players and instruments play, whatever
their levels and places.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from groove.band.part import DRUMS
from groove.form.choruses import in_chorus, in_key
from groove.form.model import Form, Line, Own
from groove.form.road.mix_fields import FULL
from groove.form.unroll import unroll
from groove.handout.practice.band_data import band_data
from groove.handout.practice.mix import measured, mixed, page_settings
from groove.handout.practice.record import record_sounds
from groove.handout.practice.road import on_a_road
from groove.handout.practice.sounds import STEP, Recorded, Wish, instruments
from groove.handout.practice.takes import choruses_for, on_the_road
from groove.rhythm.kit import DRUM_CHANNEL, KIT
from groove.sound.mix.asked_mix import levelled, without_asked
from groove.sound.mix.mix_settings import MIDDLE
from groove.sound.synth.covering import covered, played_in
from groove.sound.synth.soundfonts import find_fonts
from groove.theory.keys import twelve_keys
from groove.theory.symbols import key_words
from groove.track import compile_take

if TYPE_CHECKING:
    from groove.sound.mix.mix_settings import MixSettings
    from groove.sound.report import Report

Json = dict[str, Any]


SPARE = 12
"""Semitones above and below a part's notes that are recorded too, for chords to come."""
USUAL_VELOCITY = 90
MOST_BARS = 400
"""Bars of a track that is played for listening from its first chorus to its last."""


@dataclass(frozen=True)
class _Kept:
    """The sounds of some players, the energies of their notes, and the measures of their mix."""

    drums: str
    wanted: tuple[Recorded, ...]
    sounds: Json
    loud: Mapping[str, Mapping[int, float]]
    report: Report
    number: int

    def serve(self, form: Form, wanted: Sequence[Recorded]) -> bool:
        """Whether a form that wants some sounds can be played with these."""
        there = {(each.name, each.program): each for each in self.wanted}
        return form.drums.name == self.drums and all(
            _holds(there.get((each.name, each.program)), each) for each in wanted
        )


class Live:
    """Makes music for the screen's player, one form after the other."""

    def __init__(self) -> None:
        self._kept: _Kept | None = None

    def music(self, form: Form, begins: int | None = None) -> bytes:
        """The notes of a form and their mix as JSON: ``track``, as the practice page has it for the
        keys that the form goes through; ``sounds``, the number of the sounds that it needs;
        ``places``, for each bar of the track the section and its bar as written, from 0;
        ``keys``, the symbols of the twelve keys from C up and their words; and ``mix``, for each
        player its ``level`` (dB) and its ``place`` (-100, left, to 100), whether the form says one
        of them (``asked``), and its place without the form, ``usual``.

        begins: the number of the key in which it begins instead of its own, from 0; notes are made
        for the keys from there on.
        """
        played = on_a_road(form) or _from_first_to_last(form) or form
        keys = twelve_keys(form.key)
        first = played if begins is None else in_key(played, keys[begins])
        made = {in_chorus(first, number).key.tonic.pitch_class for number in range(form.choruses)}
        data = band_data(played, keys, [keys[number] for number in made], solos=False).data
        settings = page_settings(played)
        wanted = instruments(data)
        if self._kept is None or not self._kept.serve(form, wanted):
            self._kept = self._recorded(data, played, wanted, without_asked(settings))
        kept = self._kept
        report = levelled(kept.report, settings.levels)
        track, _ = mixed(data, {}, report, settings, kept.loud)
        music = {
            "track": track,
            "sounds": kept.number,
            "places": _places(played),
            "keys": [(key.symbol, key_words(key)) for key in keys],
            "mix": {part["name"]: _mix(part, settings) for part in track["parts"]},
        }
        return json.dumps(music, ensure_ascii=False).encode()

    def sounds(self, number: int) -> bytes | None:
        """The sounds of a number as JSON, as decodeSounds of the practice page reads them; None
        where others have replaced them."""
        if self._kept is None or self._kept.number != number:
            return None
        return json.dumps(self._kept.sounds).encode()

    def _recorded(
        self, data: Json, form: Form, wanted: Sequence[Recorded], settings: MixSettings
    ) -> _Kept:
        fonts = covered(find_fonts(None, os.environ), played_in(compile_take(form))).fonts
        more = tuple(map(_with_spare, wanted))
        sounds, loud = record_sounds(more, fonts, settings, lambda _share: None)
        report = measured(form, fonts, settings)
        _, sounds = mixed(data, sounds, report, settings, loud)
        number = self._kept.number + 1 if self._kept else 1
        return _Kept(form.drums.name, more, sounds, loud, report, number)


def _mix(part: Json, settings: MixSettings) -> Json:
    """The level and the place of a part, and those that it has without its form."""
    name = part["name"]
    program = None if part["channel"] == DRUM_CHANNEL else part["program"]
    kind, usual = settings.kind(name, program), without_asked(settings)
    place, own = (
        round(FULL * each.away(name, kind, part["pan"]) / MIDDLE) for each in (settings, usual)
    )
    return {
        "level": settings.levels.get(name, 0.0),
        "place": place,
        "usual": own,
        "asked": name in settings.levels or name in settings.stands,
    }


def _from_first_to_last(form: Form) -> Form | None:
    """A form whose intensity is set and differs in more choruses than go round on a page, as one
    line that is played as often; None where it goes round as it is."""
    is_flat = len(form.intensity) == 1 and form.intensity[0].first == form.intensity[0].last
    few = form.choruses <= choruses_for(form) or form.bars * form.choruses > MOST_BARS
    if form.order or not form.intensity or is_flat or few:
        return None
    own = Own((("key_cycle", form.key_cycle), ("tempo_step", form.tempo_step)))
    line = Line(form.all_sections, form.choruses, is_open=True, own=own)
    return replace(form, order=(line,), key_cycle="none", tempo_step=0.0)


def _places(form: Form) -> list[list[int]]:
    """The section of each bar of the track, and its place in that section, both from 0."""
    chart = unroll(on_the_road(form) if form.order else form)
    names = [section.name for section in form.sections]
    rounds = chart.rounds if form.order else chart.rounds[:1]
    return [
        [names.index(played.section.name), bar.in_section - 1]
        for time in rounds
        for played in time.passes
        for bar in chart.bars[played.first : played.last]
    ]


def _holds(there: Recorded | None, wanted: Recorded) -> bool:
    """Whether the recorded sounds of a part hold those that are wanted."""
    if there is None:
        return False
    has, needs = _pitches(there), _pitches(wanted)
    if wanted.is_kit:
        return needs <= has
    return min(has) <= min(needs) and max(needs) <= max(has)


def _pitches(recorded: Recorded) -> set[int]:
    return {wish.pitch for wish in recorded.wishes}


def _with_spare(wanted: Recorded) -> Recorded:
    """A part with sounds that a change of its music may need: of a kit all voices, of others some
    lower and higher notes."""
    pitches = _pitches(wanted)
    if wanted.is_kit:
        kit = {voice.note for voice in KIT.values()} if wanted.name == DRUMS else set()
        more = [Wish(pitch, USUAL_VELOCITY) for pitch in sorted(kit - pitches)]
    else:
        usual = wanted.wishes[0]
        low = range(min(pitches) - STEP, min(pitches) - SPARE - 1, -STEP)
        high = range(max(pitches) + STEP, max(pitches) + SPARE + 1, STEP)
        more = [replace(usual, pitch=pitch) for pitch in (*low, *high) if 0 <= pitch <= 127]
    return replace(wanted, wishes=(*wanted.wishes, *more))
