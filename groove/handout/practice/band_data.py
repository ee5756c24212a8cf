"""The band of the practice page as data: the notes of each part, and what its player goes by."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from groove import library
from groove.band.lines.bends import EASE, QUARTERS, hand
from groove.band.part import CLICK, DRUMS, SOLO, PlayedPart
from groove.band.take import planned, play, record
from groove.band.tuning import MIDDLE_C, tuning_part
from groove.form.chart import Chart
from groove.form.choruses import FIFTHS_UP, in_key, tuning
from groove.form.model import FASTEST, SLOWEST, USUAL_A4, Form
from groove.form.style import swing_ratio, swing_tempo
from groove.form.unroll import unroll
from groove.handout.practice.road import Road, metre_data
from groove.handout.practice.solo import OFF, asked, with_solo
from groove.handout.practice.takes import (
    Streams,
    choruses_for,
    landing,
    looped,
    on_the_road,
    streams_of,
)
from groove.instrument.fretboard import read_tuning
from groove.lesson.solo.part import solo_part
from groove.rhythm.kit import KIT
from groove.rhythm.meter import TICKS_PER_QUARTER
from groove.sound.midi import tuning_controllers
from groove.sound.mix.asked_mix import in_a_file
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from groove.wording import words_of

STAYS = {"none": "stay"}
"""The names of key cycles in a link, where they differ from their own names."""
RATIO_STEP = 10
"""Beats a minute from one entry of the swing table to the next."""

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class BandData:
    """The band as data, ready for JSON. road: of a form with an order, else None."""

    data: Json
    road: Road | None


def band_data(
    form: Form, keys: Sequence[Key], made: Collection[Key] | None = None, *, solos: bool = True
) -> BandData:
    """The band's notes in some keys, its parts, tempo, swing and road.

    form: with an order where its bars are not alike, see `on_a_road`. made: the keys that are
    played; the others stand as home's and must not be asked for. solos: whether with example solos
    to choose from; without, the form's own alone.
    """
    streams = Streams()
    home = keys.index(form.key)
    in_order = sorted(range(len(keys)), key=lambda number: (number != home, number))
    played: dict[int, Json] = {}
    for number in in_order:
        if made is None or number == home or keys[number] in made:
            semitones = _semitones(form.key, keys[number])
            played[number] = streams_of(in_key(form, keys[number]), streams, semitones, solos=solos)
    chart = unroll(on_the_road(form) if form.order else looped(form))
    plan = planned(chart)
    strict = plan.with_form(replace(chart.form, tightness=1.0))  # programs lie on the grid
    opens = asked(form)
    has_solo = solos or opens != OFF
    solo = solo_part(chart, with_solo(form).lesson.solo, again=True) if has_solo else None
    band = (*play(plan, streams.drums.get("round")), *([solo] if solo else []))
    kit = None if form.order else streams.kits.get("round")  # as they were struck in home
    parts = record(strict if form.order else plan, band, kit=kit).parts
    names = [part.name for part in parts if part.name != SOLO or opens != OFF]
    end = chart if form.order else unroll(landing(form))
    road = Road(form, chart, names, RATIO_STEP) if form.order else None
    data = {
        **metre_data(form.meter),
        "quarterTicks": TICKS_PER_QUARTER,
        "bars": len(road.bars) if road else form.bars,
        "choruses": 1 if road else choruses_for(form),
        "rounds": 1 if road else form.choruses,
        "countIn": form.count_in,
        "counted": library.table("count-in"),
        "tuningNote": _tuning_note(form),
        "faster": form.tempo_step,
        "cycles": [
            [STAYS.get(name, name), said, NoteName(FIFTHS_UP[name]).pitch_class]
            for name, said in words_of("page")["rounds"]["next_keys"].items()
        ],
        "nextKey": STAYS.get(form.key_cycle, form.key_cycle),
        "tempi": [SLOWEST, FASTEST],
        "tempo": form.tempo,
        "a4": form.a4,
        "tuning": _tuning(form.a4),
        "swing": swing_data(form),
        **({"road": road.data()} if road else {"landing": _landing(form, end)}),
        "home": home,
        "keys": [played.get(number, played[home]) for number in range(len(keys))],
        "streams": streams.packed,
        "controls": list(streams.controls),
        "gestures": list(streams.gestures),
        "tabs": list(streams.tabs),
        "tabStrings": list(read_tuning("guitar").open_strings),
        "hand": hand_data(),
        "solo": opens,
        "parts": [_mixed(part, chart.start) for part in parts],
        "click": KIT[form.drums.click].note,
    } | _in_files(form, chart, parts)
    return BandData(data, road)


def _in_files(form: Form, chart: Chart, parts: Sequence[PlayedPart]) -> Json:
    """``files``: how parts and clicks are in the page's MIDI files, where the form moves them."""
    if not (form.levels or form.places):
        return {}
    clicks = [replace(part, name=CLICK) for part in parts if part.name == DRUMS]
    tuning = [tuning_part(unroll(form))] if form.tuning_note else []
    found = in_a_file([*parts, *clicks, *tuning], chart)
    return {"files": {name: asdict(at) for name, at in found.items()}}


def hand_data() -> Json:
    """The figures of bends, slides and vibrato, as `bentCourse` of the page has them."""
    return hand() | {"way": list(map(list, EASE)), "turn": list(map(list, QUARTERS))}


def _semitones(home: Key, key: Key) -> int:
    """The semitones from home to a key, the shorter way: -5 to 6."""
    return (key.tonic.pitch_class - home.tonic.pitch_class + 5) % 12 - 5


def _landing(form: Form, chart: Chart) -> Json:
    """The end of the ending in ticks from its beginning, and the course of its tempo: [tick, share
    of the form's tempo] wherever it changes."""
    start = chart.bars[chart.rounds[-1].last - 1].end
    rate = form.tempo * form.meter.beat_ticks
    changes = {
        max(0, tick - start): round(tempo * beat / rate, 5)
        for tick, tempo, beat in chart.tempi.changes
    }
    return {"end": chart.end - start, "course": [[tick, share] for tick, share in changes.items()]}


def _tuning_note(form: Form) -> Json | None:
    """The notes to tune by, the A and then a key's tonic; None if the form doesn't ask for them.

    seconds: from the first note to the next, of a note, and of the silence after both at least.
    """
    if not form.tuning_note:
        return None
    figures, part = tuning(), tuning_part(unroll(form))
    length = figures["note_seconds"]
    return {
        "part": _mixed(part, 0),
        "velocity": figures["velocity"],
        "a": part.notes[0].pitch,
        "tonicFrom": MIDDLE_C,
        "seconds": [length, length - figures["rest_seconds"], figures["silence_seconds"]],
    }


def _tuning(a4: float) -> list[list[int]]:
    """The controllers that tune a channel, as in the program's own MIDI files."""
    return [] if a4 == USUAL_A4 else [list(setting) for setting in tuning_controllers(a4)]


def swing_data(form: Form) -> Json:
    """The unit that swings, the ratio that the notes are written in, and the ratio at each tempo.

    A ratio that the form asks for itself holds at every tempo.
    """
    tempi = range(SLOWEST, FASTEST + 1, RATIO_STEP)
    return {
        "unit": form.drums.swing_ticks,
        "written": form.swing_ratio,
        "from": SLOWEST,
        "step": RATIO_STEP,
        "ratios": [
            swing_ratio(form.feel, swing_tempo(form.drums, tempo))
            if form.swing_follows_tempo
            else form.swing_ratio
            for tempo in tempi
        ],
    }


def _mixed(part: PlayedPart, first: int) -> Json:
    """A part's instrument and its place in the mix; programs: [tick, program] of those that follow
    the first, in ticks from a first one."""
    programs = [[tick - first, program] for tick, program in part.programs]
    return {
        "name": part.name,
        "program": part.program,
        "channel": part.channel,
        "volume": part.volume,
        "pan": part.pan,
        "reverb": part.reverb,
    } | ({"programs": programs} if programs else {})
