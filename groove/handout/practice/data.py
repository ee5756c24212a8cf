"""The data of the practice page: chart, keys, takes and settings as plain lists and numbers."""

from __future__ import annotations

import json
from hashlib import sha256
from typing import Any

from groove.form.file_names import name_parts
from groove.form.lesson_fields import BEGINNER
from groove.form.model import Form
from groove.form.readers import READERS, WRITTEN_FOR
from groove.form.unroll import unroll
from groove.handout.chart.pages import chorus_shares
from groove.handout.drawing.faces import SYMBOLS, face
from groove.handout.drawing.page import PAPERS
from groove.handout.practice.band_data import band_data
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
from groove.handout.practice.road import on_a_road
from groove.handout.practice.takes import (
    landing,
    on_the_road,
)
from groove.lesson.request import USUAL, Request, for_form, instrument_for
from groove.lesson.solo.make import call_bars
from groove.theory.keys import twelve_keys
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
Json = dict[str, Any]


def page_data(form: Form, request: Request = USUAL) -> Json:
    """The page's data, ready for JSON, without its sounds.

    request: the instrument, hand, position and reader that the page opens with.
    """
    words = words_of("page")
    request = for_form(form, request)
    form = on_a_road(form) or form
    keys = twelve_keys(form.key)
    phrases = page_phrases(form, keys, request)
    music = band_data(form, keys)
    end = unroll(on_the_road(form) if form.order else landing(form))
    road = music.road
    written = road.written_out() if road else form
    guided = guides(written, keys)
    slots = tuple(road.slots() if road else chords_of_chorus(form))
    harmony = harmony_data(written, slots)
    return (
        music.data
        | {
            "words": {name: said for name, said in words.items() if name != "phrases" or phrases}
            | {"notes": [note(NoteName(fifths)) for fifths in NOTES]}
            | {"roots": [root(NoteName(fifths)) for fifths in NOTES]}
            | {"session": words_of("plan")["session"], "bends": words_of("staff")["bends"]},
            "title": form.title,
            "version": _version(harmony, guided["guides"][form.key.symbol]),
            "stem": name_parts(form).title,
            "machines": ready_machines(),
            "callBars": call_bars(),
            "feel": form.feel,
            "drums": title_of("drums", form.drums.name, form.drums.title),
            **({} if road else {"sections": _sections(form), "lines": _lines(form)}),
            "keys": [
                {
                    "name": key.symbol,
                    "sign": key_symbol(key),
                    "signature": key.signature,
                    "written": written_data(key),
                    "ending": ending_chords(end, key),
                }
                | played
                for key, played in zip(keys, music.data["keys"], strict=True)
            ],
            "minor": form.key.mode == "minor",
            "keyNames": key_names(written, road is not None),
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


def _version(harmony: Json, guide: Json) -> str:
    """A few signs that are others for other chords, or another plan to practise."""
    steps = [[title for title, *_ in plan] for plan in guide["plans"].values()]
    told = json.dumps([harmony, guide["ladder"], steps], ensure_ascii=False)
    return sha256(told.encode()).hexdigest()[:12]


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
