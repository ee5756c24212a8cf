"""The data of the practice page: chart, keys and the takes of several choruses in each key.

Everything is plain lists and numbers, ready for JSON. Time is in ticks, 960 to a quarter, so that
the page can play at any tempo. A note is written on its grid, swung as the form swings at its own
tempo, with its touch beside it in tenths of a millisecond: a player's earliness and lateness does
not stretch when the tempo falls, and the page can swing the grid as the tempo asks.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace
from math import ceil
from typing import Any

from groove.band.take import PlayedNote, PlayedPart, play, record
from groove.form.chart import chorus_slots, unroll
from groove.form.choruses import FIFTHS_UP, in_key
from groove.form.intensity import parse_intensity
from groove.form.model import USUAL_A4, Form
from groove.form.names import name_parts
from groove.form.readers import READERS, WRITTEN_FOR
from groove.form.style import swing_ratio, swing_tempo
from groove.handout.practice.guides import guides, written_keys
from groove.handout.practice.necks import HIGHEST, necks
from groove.lesson.request import USUAL, Request, instrument_for
from groove.rhythm.kit import KIT
from groove.rhythm.meter import TICKS_PER_QUARTER, ticks_to_seconds
from groove.sound.midi import tuning_controllers
from groove.sound.synth.reverbs import reverb_of
from groove.theory.chords import Chord
from groove.theory.keys import Key, twelve_keys
from groove.theory.pitch import NoteName
from groove.theory.quality import Quality
from groove.theory.symbols import signs, symbol

SLOWEST, FASTEST = 40, 240
"""Beats a minute that the page plays."""
LEAST_CHORUSES, LEAST_BARS = 4, 24
"""What is played before the same comes round again, whichever is more."""
WAVE = "1.6-2 2-2.4 2.4-2 2-1.6"
"""How busy the band plays: up and down again, so that the last chorus leads to the first."""
NEXT_KEY = {
    "none": "the same",
    "fourths": "a fourth up",
    "fifths": "a fifth up",
    "up": "a semitone up",
    "down": "a semitone down",
}
"""The key cycles in the page's words."""
STAYS = {"none": "stay"}
"""What a link calls a key cycle, where not by its own name."""
USUAL_FRET = 5
"""Of the first finger, when the page opens."""
RATIO_STEP = 10
"""Beats a minute from one entry of the swing table to the next."""

Json = dict[str, Any]
Stream = tuple[int, ...]


def choruses_for(form: Form) -> int:
    """How many different choruses the page holds of a form."""
    return max(LEAST_CHORUSES, ceil(LEAST_BARS / form.bars))


def page_data(form: Form, request: Request = USUAL) -> Json:
    """Everything about the track that the page has to know, its sounds left out.

    request: the instrument, hand, position and reader that the page opens with.
    """
    keys = twelve_keys(form.key)
    streams: dict[Stream, int] = {}
    played = [_played(in_key(form, key), streams) for key in keys]
    chart = unroll(_looped(form))
    meter, reverb = form.meter, reverb_of(form.drums)
    return (
        {
            "title": form.title,
            "stem": name_parts(form).title,
            "meter": [meter.numerator, meter.denominator],
            "beats": meter.beats,
            "beatTicks": meter.beat_ticks,
            "quarterTicks": TICKS_PER_QUARTER,
            "bars": form.bars,
            "choruses": choruses_for(form),
            "rounds": form.choruses,
            "countIn": form.count_in > 0,
            "faster": form.tempo_step,
            "cycles": [
                [STAYS.get(name, name), words, NoteName(FIFTHS_UP[name]).pitch_class]
                for name, words in NEXT_KEY.items()
            ],
            "nextKey": STAYS.get(form.key_cycle, form.key_cycle),
            "tempi": [SLOWEST, FASTEST],
            "tempo": max(SLOWEST, min(FASTEST, form.tempo)),
            "a4": form.a4,
            "tuning": _tuning(form.a4),
            "feel": form.feel,
            "drums": form.drums.name,
            "swing": _swing(form),
            "sections": _sections(form),
            "home": keys.index(form.key),
            "keys": [
                {
                    "name": key.symbol,
                    "sign": signs(key.symbol),
                    "signature": key.signature,
                    "written": _written(key),
                }
                | parts
                for key, parts in zip(keys, played, strict=True)
            ],
            "minor": form.key.mode == "minor",
            "streams": list(streams),
            "parts": [_mixed(part) for part in record(chart, play(chart)).parts],
            "click": KIT[form.drums.click].note,
            "room": {"size": reverb.size, "level": reverb.level},
            "readers": [
                [said, READERS[name].words.removeprefix("for ")]
                for said, name in WRITTEN_FOR.items()
            ],
            "guides": guides(form, keys),
        }
        | _harmony(form, request)
        | _view(request)
    )


def _tuning(a4: float) -> list[list[int]]:
    """The controllers that tune a channel, as in the program's own MIDI files."""
    return [] if a4 == USUAL_A4 else [list(setting) for setting in tuning_controllers(a4)]


def _written(key: Key) -> Json:
    """The key as each reader sees it: its symbol and the place of its tonic."""
    return {
        said: [written.symbol, written.tonic.fifths] for said, written in written_keys(key).items()
    }


def _looped(form: Form) -> Form:
    """The form as it goes round: no count-in, no landing, back at the first chorus.

    Another key or tempo from round to round is the student's to choose: the page begins with the
    form's own cycle and step.
    """
    intensity = form.intensity or parse_intensity(WAVE)
    return replace(_steady(form), ending="loop", choruses=choruses_for(form), intensity=intensity)


def _landing(form: Form) -> Form:
    """The form once, with the ending that comes after the last round."""
    ending = "hit" if form.ending == "loop" else form.ending
    return replace(_steady(form), ending=ending, choruses=1, intensity=())


def _steady(form: Form) -> Form:
    return replace(form, count_in=0, tempo_step=0.0, key_cycle="none", tuning_note=False)


def _played(form: Form, streams: dict[Stream, int]) -> Json:
    """The streams of one key by their numbers: those that go round, and those of the ending."""
    parts: Json = {}
    for kind, asked in (("round", _looped(form)), ("landing", _landing(form))):
        chart = unroll(asked)
        band = play(chart)
        touched = record(chart, band)
        strict_chart = replace(chart, form=replace(asked, tightness=1.0))
        strict = record(strict_chart, band)
        first = chart.start if chart.ending is None else chart.ending.start
        parts[kind] = {
            part.name: streams.setdefault(_stream(part, bare, first, form), len(streams))
            for part, bare in zip(touched.parts, strict.parts, strict=True)
        }
    return parts


def _stream(part: PlayedPart, bare: PlayedPart, first: int, form: Form) -> Stream:
    """A part from a tick on as a row of numbers, five a note.

    Ticks since the note before, on the grid; length in ticks; pitch; velocity; touch in tenths
    of a millisecond.
    """
    numbers: list[int] = []
    before = first
    for grid, note in sorted(_on_grid(part.notes, bare.notes), key=lambda pair: pair[0]):
        if grid < first:
            continue
        touch = round(10_000 * ticks_to_seconds(note.start - grid, form.tempo, form.meter))
        numbers += (grid - before, note.length, note.pitch, note.velocity, touch)
        before = grid
    return tuple(numbers)


def _on_grid(
    played: Iterable[PlayedNote], bare: Iterable[PlayedNote]
) -> list[tuple[int, PlayedNote]]:
    """Each note with the tick of the grid that it belongs to.

    The two takes are of the same parts, and touch never lets a note overtake one of its own pitch.
    """
    grids: dict[int, list[int]] = defaultdict(list)
    for note in bare:
        grids[note.pitch].append(note.start)
    by_pitch: dict[int, list[PlayedNote]] = defaultdict(list)
    for note in played:
        by_pitch[note.pitch].append(note)
    return [
        (grid, note)
        for pitch, notes in by_pitch.items()
        for grid, note in zip(grids[pitch], notes, strict=True)
    ]


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
            round(swing_ratio(form.feel, swing_tempo(form.drums, tempo)), 4)
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


def _harmony(form: Form, request: Request) -> Json:
    """The chords of one chorus, counted from the tonic on the line of fifths, and what is in them.

    A chord: start and length in ticks, root, number of its quality, note in the bass or None,
    and its number among the different chords, in the order in which they come.
    """
    tonic = form.key.tonic.fifths
    qualities: dict[Quality, int] = {}
    numbers: dict[Chord, int] = {}
    chords = [
        [
            slot.start,
            slot.length,
            slot.chord.root.fifths - tonic,
            qualities.setdefault(slot.chord.quality, len(qualities)),
            slot.chord.bass.fifths - tonic if slot.chord.bass else None,
            numbers.setdefault(slot.chord, len(numbers)),
        ]
        for slot in chorus_slots(form)
    ]
    return {
        "chords": chords,
        "qualities": [_quality(quality) for quality in qualities],
        "necks": necks(qualities, request),
    }


def _view(request: Request) -> Json:
    """What is shown when the page opens."""
    readers = {name: said for said, name in WRITTEN_FOR.items()}
    instrument = instrument_for(request)
    fret = USUAL_FRET if request.position is None else request.position
    return {
        "shape": "off" if instrument == "none" else instrument,
        "leftHanded": request.left_handed,
        "fret": (max(1, fret) - 1) % HIGHEST + 1,
        "reader": readers.get(request.reader, "C"),
    }


def _quality(quality: Quality) -> Json:
    return {
        "suffix": str(symbol(Chord(NoteName.parse("C"), quality)))[1:],
        "tones": [[degree.fifths, signs(str(degree))] for degree in quality.degrees],
    }


def _mixed(part: PlayedPart) -> Json:
    return {
        "name": part.name,
        "program": part.program,
        "channel": part.channel,
        "volume": part.volume,
        "pan": part.pan,
        "reverb": part.reverb,
    }
