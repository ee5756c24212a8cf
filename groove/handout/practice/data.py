"""The data of the practice page: chart, keys, takes and settings as plain lists and numbers."""

from __future__ import annotations

import json
from dataclasses import replace
from hashlib import sha256
from typing import Any

from groove import library
from groove.band.lines.bends import EASE, QUARTERS, hand
from groove.band.part import SOLO, PlayedPart
from groove.band.take import planned, play, record
from groove.band.tuning import MIDDLE_C, tuning_part
from groove.form.chart import Chart
from groove.form.choruses import FIFTHS_UP, in_key, tuning
from groove.form.file_names import name_parts
from groove.form.lesson_fields import BEGINNER
from groove.form.model import FASTEST, SLOWEST, USUAL_A4, Form
from groove.form.readers import READERS, WRITTEN_FOR
from groove.form.style import swing_ratio, swing_tempo
from groove.form.unroll import unroll
from groove.handout.chart.pages import chorus_shares
from groove.handout.drawing.faces import SYMBOLS, face
from groove.handout.drawing.page import PAPERS
from groove.handout.practice.chords import (
    chords_of_chorus,
    ending_chords,
    harmony_data,
    key_names,
    written_data,
)
from groove.handout.practice.guides import guides
from groove.handout.practice.hear import heard_lines
from groove.handout.practice.machines import ready_machines
from groove.handout.practice.necks import necks, on_the_neck
from groove.handout.practice.phrases import page_phrases
from groove.handout.practice.road import Road, metre_data, on_a_road
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
from groove.lesson.request import USUAL, Request, instrument_for
from groove.lesson.solo.make import call_bars
from groove.lesson.solo.part import solo_part
from groove.rhythm.kit import KIT
from groove.rhythm.meter import TICKS_PER_QUARTER
from groove.sound.midi import tuning_controllers
from groove.theory.keys import Key, twelve_keys
from groove.theory.pitch import NoteName
from groove.theory.symbols import key_symbol, note, root
from groove.wording import title_of, words_of

NOTES = range(-23, 24)
"""The notes on the line of fifths that the page can name, C in the middle."""
GLYPHS = (
    "treble clef", "bass clef", "whole notehead", "black notehead",
    "flat", "natural", "sharp", "double flat", "double sharp",
)  # fmt: skip
"""The glyphs of the music face that a staff is drawn with."""
STAYS = {"none": "stay"}
"""The names of key cycles in a link, where they differ from their own names."""
RATIO_STEP = 10
"""Beats a minute from one entry of the swing table to the next."""

Json = dict[str, Any]


def page_data(form: Form, request: Request = USUAL) -> Json:
    """The page's data, ready for JSON, without its sounds.

    request: the instrument, hand, position and reader that the page opens with.
    """
    words = words_of("page")
    step, cycle = form.tempo_step, form.key_cycle
    form = on_a_road(form) or form
    keys = twelve_keys(form.key)
    phrases = page_phrases(form, keys, request)
    streams = Streams()
    home = keys.index(form.key)
    in_order = sorted(range(len(keys)), key=lambda number: (number != home, number))
    played = {
        number: streams_of(in_key(form, keys[number]), streams, _semitones(form.key, keys[number]))
        for number in in_order
    }
    chart = unroll(on_the_road(form) if form.order else looped(form))
    plan = planned(chart)
    strict = plan.with_form(replace(chart.form, tightness=1.0))  # programs lie on the grid
    solo = solo_part(chart, with_solo(form).lesson.solo, again=True)
    band = (*play(plan), *([solo] if solo else []))
    parts = record(strict if form.order else plan, band).parts
    opens = asked(form)
    names = [part.name for part in parts if part.name != SOLO or opens != OFF]
    end = chart if form.order else unroll(landing(form))
    road = Road(form, chart, names, RATIO_STEP) if form.order else None
    written = road.written_out() if road else form
    guided = guides(written, keys)
    slots = tuple(road.slots() if road else chords_of_chorus(form))
    harmony = harmony_data(written, slots)
    return (
        {
            "words": {name: said for name, said in words.items() if name != "phrases" or phrases}
            | {"notes": [note(NoteName(fifths)) for fifths in NOTES]}
            | {"roots": [root(NoteName(fifths)) for fifths in NOTES]}
            | {"session": words_of("plan")["session"], "bends": words_of("staff")["bends"]},
            "title": form.title,
            "version": _version(harmony, guided["guides"][form.key.symbol]),
            "stem": name_parts(form).title,
            **metre_data(form.meter),
            "quarterTicks": TICKS_PER_QUARTER,
            "bars": len(road.bars) if road else form.bars,
            "choruses": 1 if road else choruses_for(form),
            "rounds": 1 if road else form.choruses,
            "countIn": form.count_in,
            "counted": library.table("count-in"),
            "tuningNote": _tuning_note(form),
            "faster": step,
            "cycles": [
                [STAYS.get(name, name), said, NoteName(FIFTHS_UP[name]).pitch_class]
                for name, said in words["rounds"]["next_keys"].items()
            ],
            "nextKey": STAYS.get(cycle, cycle),
            "machines": ready_machines(),
            "callBars": call_bars(),
            "tempi": [SLOWEST, FASTEST],
            "tempo": form.tempo,
            "a4": form.a4,
            "tuning": _tuning(form.a4),
            "feel": form.feel,
            "drums": title_of("drums", form.drums.name, form.drums.title),
            "swing": _swing(form),
            **(
                {"road": road.data()}
                if road
                else {
                    "sections": _sections(form),
                    "lines": _lines(form),
                    "landing": _landing(form, end),
                }
            ),
            "home": home,
            "keys": [
                {
                    "name": key.symbol,
                    "sign": key_symbol(key),
                    "signature": key.signature,
                    "written": written_data(key),
                    "ending": ending_chords(end, key),
                }
                | played[number]
                for number, key in enumerate(keys)
            ],
            "minor": form.key.mode == "minor",
            "keyNames": key_names(written, road is not None),
            "streams": streams.packed,
            "controls": list(streams.controls),
            "gestures": list(streams.gestures),
            "tabs": list(streams.tabs),
            "tabStrings": list(read_tuning("guitar").open_strings),
            "hand": hand() | {"way": list(map(list, EASE)), "turn": list(map(list, QUARTERS))},
            "solo": opens,
            "parts": [_mixed(part, chart.start) for part in parts],
            "click": KIT[form.drums.click].note,
            "readers": [[reader, words["readers"][reader]] for reader in WRITTEN_FOR],
            "clefs": {reader: READERS[name].clef for reader, name in WRITTEN_FOR.items()},
            "glyphs": {name: _glyph(name) for name in GLYPHS},
        }
        | guided
        | harmony
        | {"necks": necks(written, request), "hear": heard_lines(form, slots, keys, request)}
        | phrases
        | _view(request, form)
    )


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


def _version(harmony: Json, guide: Json) -> str:
    """A few signs that are others for other chords, or another plan to practise."""
    steps = [[title for title, *_ in plan] for plan in guide["plans"].values()]
    told = json.dumps([harmony, guide["ladder"], steps], ensure_ascii=False)
    return sha256(told.encode()).hexdigest()[:12]


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


def _swing(form: Form) -> Json:
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


def _sections(form: Form) -> list[list[Any]]:
    """Name and first bar of each section that has a name."""
    found, bar = [], 1
    for section in form.sections:
        if section.name:
            found.append([section.name, bar])
        bar += section.bars
    return found


def _lines(form: Form) -> list[list[float]]:
    """The share of the line's width that each bar takes in the written chart, line by line."""
    return [list(line) for line in chorus_shares(form, PAPERS["a4"])]


def _view(request: Request, form: Form) -> Json:
    """Instrument, hand and reader with which the page opens; fret: None for that of the place,
    which is the home position for a beginner, else that of one hand for all chords."""
    readers = {name: said for said, name in WRITTEN_FOR.items()}
    instrument = instrument_for(request)
    return {
        "shape": "staff" if instrument == "none" else instrument,
        "leftHanded": request.left_handed,
        "place": "1" if form.lesson.learner == BEGINNER else "usual",
        "fret": None if request.position is None else on_the_neck(request.position),
        "reader": readers.get(request.reader, "C"),
    }


def _glyph(name: str) -> list[Any]:
    """A glyph's advance and its outline, in thousandths of the staff's height, y upwards."""
    glyph = face("music").glyph(chr(SYMBOLS[name]))
    return [glyph.advance, glyph.outline]


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
