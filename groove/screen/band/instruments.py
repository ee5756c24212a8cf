"""The instruments of a form's players as a page shows them: what each plays, and what it might."""

from __future__ import annotations

from typing import Any

from groove import library
from groove.band.comping.comper import chordal_players
from groove.band.lines.programs import solo_instrument
from groove.band.part import BASS, CHORDAL, COMPING, DRUMS, GUITAR, KEYS, MELODY, RIFF, SOLO
from groove.form.model import Form
from groove.form.unroll import unroll
from groove.rhythm.kit import INSTRUMENTS, KITS
from groove.wording import words_of

Json = dict[str, Any]
FAMILIES = (
    "piano", "chromatic percussion", "organ", "guitar", "bass", "strings", "ensemble", "brass",
    "reed", "pipe", "synth lead", "synth pad", "ethnic",
)  # fmt: skip
"""The families of General MIDI that play melodies and chords."""
NEAR: dict[str, tuple[str, ...]] = {
    BASS: ("bass", "brass", "synth lead", "organ", "piano"),
    GUITAR: ("guitar", "ethnic"),
    KEYS: ("piano", "organ", "chromatic percussion"),
    MELODY: ("reed", "brass", "pipe", "strings", "guitar"),
    RIFF: ("brass", "reed", "ensemble"),
    SOLO: ("guitar", "reed", "brass", "piano"),
}
"""The families that a player most likely has, first in its list."""


def instruments(form: Form) -> list[Json]:
    """The players of a form that can have another instrument, ready for JSON.

    Of each: player, as a form file names it; title; chosen, the name that the file has or null;
    usual, the title of what is played without one; and choices, groups of a title and of names,
    each with its title.
    """
    chart = unroll(form)
    own = dict(form.own.get("instrument", ()))
    found = [_row(DRUMS, own, kit_title(form.drums.kit), _kits())]
    for player in (BASS, *chordal_players(chart)):
        found.append(_row(*_pitched(player, form, own)))
    lines = {
        RIFF: next((riff.instrument for riff in form.riffs), ""),
        MELODY: next((played.melody.instrument for played in chart.passes if played.melody), ""),
        SOLO: solo_instrument(chart, chart.bars[0]) if form.lesson.solo != "none" else "",
    }
    for player, usual in lines.items():
        if usual:
            found.append(_row(player, own, instrument_title(usual), _groups(player)))
    return found


def _pitched(player: str, form: Form, own: Json) -> tuple[str, Json, str, list[Json]]:
    """The row of bass or of a player of chords, under the name that the file has for it; of guitar
    and keys together each has its own."""
    if player == BASS:
        return BASS, own, instrument_title(form.bass.instrument), _groups(BASS)
    voicing = form.comping[0].voicing if player == COMPING else player
    pattern = next((each for each in form.comping if each.voicing == voicing), form.comping[0])
    usual = pattern.instrument
    if player == COMPING:
        player = next((name for name in (COMPING, voicing) if name in own), COMPING)
    else:
        usual = own.get(COMPING, usual)
    return player, own, instrument_title(usual), _groups(voicing)


def _row(player: str, own: Json, usual: str, choices: list[Json]) -> Json:
    chosen = own.get(player)
    if chosen in INSTRUMENTS:
        chosen = _name(chosen)
    title = words_of("screen-band")["players"][player]
    row = {"player": player, "title": title, "chosen": chosen, "usual": usual, "choices": choices}
    return row | {"heard": DRUMS if player == DRUMS else _heard(player)}


def _heard(player: str) -> str:
    """The kind of pattern by which an instrument is heard; empty where there is none."""
    return player if player == BASS else COMPING if player in CHORDAL else ""


def _groups(player: str) -> list[Json]:
    families = library.table("instruments")["programs"]
    first = NEAR.get(player, ())
    titles = words_of("screen-band")["families"]
    return [
        {
            "title": titles[family],
            "names": [(name, instrument_title(name)) for name in families[family]],
        }
        for family in (*first, *(each for each in FAMILIES if each not in first))
    ]


def _kits() -> list[Json]:
    names = [(f"{kit} kit", kit_title(kit)) for kit in KITS]
    return [{"title": words_of("screen-band")["families"]["kits"], "names": names}]


def kit_title(kit: str) -> str:
    """The name of a drum kit for people."""
    name = f"{kit} kit"
    return str(words_of("instruments")["names"].get(name, name))


def instrument_title(name: str) -> str:
    """The name of an instrument of General MIDI for people."""
    known = _name(name)
    return str(words_of("instruments")["names"].get(known, known))


def _name(name: str) -> str:
    """The name in General MIDI of an instrument that may have another one too."""
    program = INSTRUMENTS[name].program
    return next(each for each, instrument in INSTRUMENTS.items() if instrument.program == program)
