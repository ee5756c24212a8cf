"""The lesson sheet as JSON for other programs.

The fields below stay as they are; new ones may be added. Names of notes and chords are plain
text (``"Bb"``, ``"F#m7b5"``) as the sheet's reader writes them; notes on a neck sound there.
Those from ``course`` on belong to parts of the sheet and come in their order, each with the first
of its parts: chart has course, sequence, road and lines; scales has scales, sections has it and
sections; chords, arpeggios, voicings, stops and positions have chords; changes and lines have
guide_lines; necks has pentatonics and other_scales. A sheet without the parts lacks the field.

format            "groove sheet 1"
title             of the form
key               {"tonic": "A", "mode": "major", "signature": 3}, as the reader writes it
sounding_key      the same at concert pitch
reader            "concert", "Bb", "Eb", "F" or "bass-clef"
meter, tempo, feel, bars, choruses
                  as the form has them: "4/4", felt beats a minute, "shuffle", of one chorus, times
kind              the kind of form: one of groove.theory.functions.KINDS, with "about" in words
instrument        {"name", "tuning": null or {"title", "open_strings", "names"}, "left_handed"}
learner           "beginner", "intermediate" or "advanced"
blocks            the names of the parts of the sheet, in their order
teacher, link, invite, remarks
                  the teacher's own words, left out where there are none; remarks: paragraphs on
                  the "lesson", on a part of the sheet, on "chorus 2", ..., by these names

course            sentences on the changes from chorus to chorus
sequence          the chords of one chorus in order: [{"chord": "A7", "bars": 4.0}]
scales            for the form as a whole, simplest first, each a SCALE
chords            each chord once, in order, with what the parts of the sheet show of it:
  chord, numeral, bars            bars: how long it sounds in a chorus
  roles, words                    its functions: groove.theory.roles.ROLES; in words
  tones, guide_tones              [{"name": "C#", "degree": "3"}]
  bass, heard                     null, or the note of a slash chord in the bass; the chord that it
                                  is heard as, whose degrees the tones have
  scales                          simplest first, each a SCALE; the first is the arpeggio
  fretboard                       null without strings, else
    under_hand                    the arpeggio in the sheet's one position, a POSITION
    positions                     the arpeggio in its five positions, POSITIONs
    double_stops                  [{"interval": "third", "lower": DOT, "upper": DOT}]
  left_hand                       null but for keyboards, else {"rootless", "notes":
                                  [{"name": "C4", "pitch", "degree"}]}
both_hands        on keyboards alone: [{"chord", "left", "right"}], each hand's keys from the
                  lowest up: [{"name": "C4", "pitch", "degree"}]
grips             null without strings, else [{"chord", "kind": a group of patterns/guitar/ or
                    "found", "dots": [DOT], "muted": strings that don't sound, "barres":
                    [{"finger", "fret", "first", "last": strings}], "double_stop": null, or
                    {"interval", "strings": [of the lower note, of the higher]}}]
along_strings     null without strings, else a double stop moved along two strings through the
                    chorus, or each section: [{"interval", "strings": [of the lower note, of the
                    higher], "sections": [{"name", "stops": [{"bar" from 1, "at" its part that is
                    over, "chord", "lower": DOT, "upper": DOT}]}]}]
changes           [{"from": "A7", "to": "D7", "back": false, "words": [...],
                    "stays": [STEP], "guide_tones": [STEP]}]
guide_lines       two lines through the chorus, a tone a chord
pentatonics       [{"title", "root", "scale", "positions": [POSITION] or null}]
other_scales      the other scales that are drawn, in the same fields
scales_on_neck    null without strings, else {"home": {"scale", "position": POSITION, "words"},
                    "scales": [{"title", "root", "scale", "with": null or the blues scale that is
                    shown too, "over": the chord that it is shown with, "pass_through": notes,
                    "same_notes": [{"title", "over"}], "home": POSITION, "positions": [POSITION]}]}
phrase            null, or {"notes": [NOTE], "starts", "ways", "places": [PLACE], the first of
                    them as it was written if that was in strings and frets,
                    "moved": [{"chord", "names": "C4 Eb4", "tab": lines of a tablature, null
                    without strings, "notes", "seats": [SEAT], "place": PLACE or null}],
                    "left": in a blues the same notes over each chord, else []}
solo, answers, bass
                  each a LINE; bass: of the track's first chorus
licks             [LINE], a position each
phrases           the teacher's own: [{"name", "words", "over": [{"chord", "names", "tab": rows,
                  none without strings, "line": LINE}]}], the first over its own chord
keys              of a key cycle, each once: [{"key", "chords": [{"chord", "guide_tones"}],
                    "scale": SCALE}], else []
plan              {"start", "step", "ladder": all tempi from the start to the track's, "words",
                  "session": how long it takes in a sentence, "steps": [{"time", "first", "last",
                  "title", "words", "minutes", "listen": what to listen for}]}
road, lines, sections
                  of a form with an order, or with sections in keys, metres or feels of their own,
                  else left out:
  road            {"words", "size", "tempi"}: how the track goes, how long it is, how fast
  lines           of the order: [{"name", "bars" of one time, "times", "open", "sections": names,
                  "words"}]
  sections        as the road comes to them: [{"name", "bars", "key", "meter", "tempo", "feel",
                  "kind", "lines": names, "improvised": whether an open line has it, "pedals",
                  "sequence" as above, "endings": [[chords]] of later time bars, "guide_lines",
                  "chords": [{"chord", "numeral", "roles", "words"}], "scales": [SCALE]}]
                  "sequence" is then that of all sections as they stand in the file, "scales" and
                  "chords" are those of all sections, a chord once with one answer and its "place",
                  and a change has "onward", the section that it leads into
cautions          sentences

SCALE     {"title", "root", "scale", "notes", "tag": "" | "colour" | "tension", "words",
           "avoid": notes not to rest on, "over": chords it is for, [] for all,
           "watch": {chord: notes not to rest on over it}}
STEP      {"from": "C", "from_degree": "b7", "to": "B", "to_degree": "3", "semitones": -1}
POSITION  {"title", "fret" of the first finger, "number" 1 to 5 or 0, "form", "dots": [DOT],
           "missing", "complete", "frets": the first and the last shown, 0 for open strings; every
           note of the material between them is a dot}
DOT       {"string" 1 the highest of a guitar, "fret", "pitch" MIDI, "name", "degree",
           "role": "root" | "third" | "fifth" | "seventh" | "blue" | "other", "finger" 0 to 4}
LINE      {"name", "position": fret of the first finger, "bars": [{"start", "length", "meter",
           "key", "straight", "chords": [{"at", "chord"}]}], "notes": [{"start", "length", "name",
           "pitch" MIDI as fretted, "string", "fret", null without strings, "finger", "joined": ""
           | "hammer" | "pull" | "slide", "bend" in semitones, "release"}]}; times in ticks from
           the first bar line, 960 to a quarter note, a pick-up before 0; "at" from the bar's
NOTE      {"name": "C4", "pitch" MIDI, "beats": 1.0}
PLACE     {"places": [{"string", "fret"}] a note each, "octaves", "span", "cost", "as_written"}
SEAT      {"degree", "how": "chord" | "scale" | "blue" | "avoid" | "outside", "clash": whether to
           pass over the note quickly}
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import asdict
from fractions import Fraction
from typing import Any

from groove.form.lesson_fields import LessonFields
from groove.handout.sheet.along_blocks import along_data
from groove.handout.sheet.grip_blocks import grips_data
from groove.handout.sheet.lines.line_data import (
    answers_data,
    bass_data,
    licks_data,
    solo_data,
    teacher_phrases_data,
)
from groove.handout.sheet.phrase_text import phrase_tab
from groove.handout.sheet.scale_necks import scale_necks_data
from groove.handout.sheet.sheet import ChordOnNeck, Sheet
from groove.instrument.fingerings import Placement
from groove.instrument.fretboard import Tuning
from groove.instrument.keyboard import KeyboardKey
from groove.instrument.left_hand import LeftHand
from groove.instrument.positions import as_data
from groove.lesson.chord_guides import ChangeGuide, ChordGuide
from groove.lesson.form_scales import Choice
from groove.lesson.guide import Guide
from groove.lesson.phrase_guide import MovedPhrase, PhraseGuide
from groove.lesson.phrase_notation import Phrase
from groove.lesson.section_guides import SectionGuide
from groove.theory.chords import Chord
from groove.theory.heard import heard
from groove.theory.keys import Key
from groove.theory.motion import ChordTone, VoiceStep

FORMAT = "groove sheet 1"


def sheet_json(sheet: Sheet) -> str:
    """The sheet as JSON text, ending in a newline."""
    return json.dumps(sheet_data(sheet), ensure_ascii=False, indent=1) + "\n"


def sheet_data(sheet: Sheet) -> dict[str, Any]:
    """The sheet as plain data, in the fields that the module's docstring lists."""
    guide, form = sheet.guide, sheet.guide.form
    data = {
        "format": FORMAT,
        "title": form.title,
        "key": _key(form.key),
        "sounding_key": _key(sheet.chart.sounding_key),
        "reader": guide.reader.name,
        "meter": str(form.meter),
        "tempo": form.tempo,
        "feel": form.feel,
        "bars": form.bars,
        "choruses": form.choruses,
        "kind": guide.harmony.kind,
        "about": guide.about,
        "instrument": _instrument(sheet),
        "learner": sheet.learner,
        "blocks": list(sheet.blocks),
    }
    data |= _teacher(form.lesson)
    for name in sheet.blocks:
        if name in PARTS:
            data |= PARTS[name](sheet)
    return data


def _teacher(lesson: LessonFields) -> dict[str, Any]:
    """The teacher's own words; nothing where there are none."""
    remarks: dict[str, list[str]] = {}
    for remark in lesson.remarks:
        remarks.setdefault(remark.place or "lesson", []).append(remark.words)
    fields = {
        "teacher": lesson.teacher,
        "link": lesson.link,
        "invite": lesson.invite,
        "remarks": remarks,
    }
    return {name: value for name, value in fields.items() if value}


def _chart(sheet: Sheet) -> dict[str, Any]:
    guide, form = sheet.guide, sheet.guide.form
    return {
        "course": [] if form.order else list(sheet.chart.course),
        "sequence": _sequence(guide.sequence, guide.lengths),
        **(_road(guide) if guide.sections else {}),
    }


def _scales(sheet: Sheet) -> dict[str, Any]:
    return {"scales": [_scale(choice) for choice in sheet.guide.choices]}


def _sections(sheet: Sheet) -> dict[str, Any]:
    found = [_section(section) for section in sheet.guide.sections]
    return _scales(sheet) | ({"sections": found} if found else {})


def _necks(sheet: Sheet) -> dict[str, Any]:
    scales: list[dict[str, Any]] = [
        {
            "title": choice.title,
            "root": str(choice.root),
            "scale": choice.scale,
            "positions": [as_data(p) for p in five] if sheet.tuning else None,
        }
        for choice, _, five in sheet.scales
    ]
    return {
        "pentatonics": [drawn for drawn in scales if "pentatonic" in drawn["scale"]],
        "other_scales": [drawn for drawn in scales if "pentatonic" not in drawn["scale"]],
        "scales_on_neck": scale_necks_data(sheet),
    }


def _chords(sheet: Sheet) -> dict[str, Any]:
    """The chords with what the parts of the sheet say and draw of each."""
    shown = set(sheet.blocks)
    neck: list[ChordOnNeck | None] = [None] * len(sheet.guide.chords)
    hands: list[LeftHand | None] = [None] * len(sheet.guide.chords)
    if shown & {"arpeggios", "stops", "positions"} and sheet.tuning:
        neck = list(sheet.on_neck)
    if "voicings" in shown and sheet.left_hands:
        hands = list(sheet.left_hands)
    rows = zip(sheet.guide.chords, neck, hands, strict=True)
    return {"chords": [_chord(*row, shown) for row in rows]}


def _changes(sheet: Sheet) -> dict[str, Any]:
    return {"changes": [_change(entry) for entry in sheet.guide.changes]} | _lines(sheet)


def _lines(sheet: Sheet) -> dict[str, Any]:
    return {"guide_lines": [[_tone(tone) for tone in line] for line in sheet.guide.lines]}


def _keys(sheet: Sheet) -> dict[str, Any]:
    return {
        "keys": [
            {
                "key": row.plain,
                "chords": [
                    {"chord": str(chord), "guide_tones": [_tone(tone) for tone in found]}
                    for chord, found in row.chords
                ],
                "scale": _scale(row.scale),
            }
            for row in sheet.guide.others
        ]
    }


def _plan(sheet: Sheet) -> dict[str, Any]:
    plan = sheet.guide.plan
    return {
        "plan": {
            "start": plan.start,
            "step": plan.step,
            "ladder": list(plan.ladder),
            "words": list(plan.tempo_words),
            "session": plan.session,
            "steps": [asdict(step) for step in plan.steps],
        }
    }


def _road(guide: Guide) -> dict[str, Any]:
    return {
        "road": {"words": guide.road, "size": guide.size, "tempi": guide.tempi},
        "lines": [
            {
                "name": line.name,
                "bars": line.bars,
                "times": line.times,
                "open": line.is_open,
                "sections": [play.section.name for play in line.plays],
                "words": said.words,
            }
            for line, said in zip(guide.form.order, guide.road_lines, strict=True)
        ],
    }


def _section(section: SectionGuide) -> dict[str, Any]:
    setting = section.setting
    return {
        "name": section.name,
        "bars": section.bars,
        "key": _key(section.harmony.key),
        "meter": str(setting.meter),
        "tempo": setting.tempo,
        "feel": setting.feel,
        "kind": section.harmony.kind,
        "lines": list(section.played_in),
        "improvised": section.improvised,
        "pedals": [str(name) for name in section.pedals],
        "sequence": _sequence(section.sequence, section.lengths),
        "endings": [[str(chord) for chord in chords] for chords in section.endings],
        "guide_lines": [[_tone(tone) for tone in line] for line in section.lines],
        "chords": [
            {
                "chord": str(entry.chord),
                "numeral": entry.numeral,
                "roles": [role.name for role in entry.roles],
                "words": list(entry.words),
            }
            for entry in section.chords
        ],
        "scales": [_scale(choice) for choice in section.choices],
    }


def _sequence(chords: Sequence[Chord], lengths: Sequence[Fraction]) -> list[dict[str, Any]]:
    return [
        {"chord": str(chord), "bars": float(length)}
        for chord, length in zip(chords, lengths, strict=True)
    ]


def _key(key: Key) -> dict[str, Any]:
    return {"tonic": str(key.tonic), "mode": key.mode, "signature": key.signature}


def _tone(tone: ChordTone) -> dict[str, str]:
    return {"name": str(tone.name), "degree": str(tone.degree)}


def _scale(choice: Choice) -> dict[str, Any]:
    return {
        "title": choice.title,
        "root": str(choice.root),
        "scale": choice.scale,
        "notes": [str(n) for n in choice.notes],
        "tag": choice.tag,
        "words": choice.words,
        "avoid": [str(n) for n in choice.avoid],
        "over": [str(chord) for chord in choice.over],
        "watch": {str(chord): [str(n) for n in notes] for chord, notes in choice.watch},
    }


def _chord(
    entry: ChordGuide, on: ChordOnNeck | None, hand: LeftHand | None, shown: set[str]
) -> dict[str, Any]:
    spoken_of = {
        "bars": float(entry.bars),
        "roles": [role.name for role in entry.roles],
        "words": list(entry.words),
        "tones": [_tone(tone) for tone in entry.tones],
        "guide_tones": [_tone(tone) for tone in entry.guide_tones],
        "bass": str(entry.chord.bass) if entry.chord.bass else None,
        "heard": str(whole) if (whole := heard(entry.chord)) != entry.chord else None,
        "scales": [_scale(choice) for choice in entry.choices],
    }
    return {
        "chord": str(entry.chord),
        "numeral": entry.numeral,
        **(spoken_of if "chords" in shown else {}),
        "fretboard": _fretboard(on, shown) if on else None,
        "left_hand": _left_hand(hand) if hand else None,
        **({"place": entry.place} if entry.place else {}),
    }


def _fretboard(on: ChordOnNeck, shown: set[str]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    if "arpeggios" in shown:
        found["under_hand"] = as_data(on.under_hand)
    if "positions" in shown:
        found["positions"] = [as_data(p) for p in on.five]
    if "stops" in shown:
        found["double_stops"] = [
            {"interval": s.interval, "lower": as_data(s.lower), "upper": as_data(s.upper)}
            for s in on.stops
        ]
    return found


def _left_hand(hand: LeftHand) -> dict[str, Any]:
    return {"rootless": hand.rootless, "notes": _keyboard_keys(hand.keys)}


def _voicings(sheet: Sheet) -> dict[str, Any]:
    both = [
        {
            "chord": str(hands.chord),
            "left": _keyboard_keys(hands.left),
            "right": _keyboard_keys(hands.right),
        }
        for hands in sheet.both_hands
    ]
    return _chords(sheet) | ({"both_hands": both} if both else {})


def _keyboard_keys(played: Sequence[KeyboardKey]) -> list[dict[str, Any]]:
    return [{"name": k.full_name, "pitch": k.pitch, "degree": k.degree} for k in played]


def _change(entry: ChangeGuide) -> dict[str, Any]:
    return {
        "from": str(entry.change.before),
        "to": str(entry.change.after),
        "back": entry.back,
        "words": list(entry.sentences),
        "stays": [_step(step) for step in entry.change.stays],
        "guide_tones": [_step(step) for step in entry.change.guides],
        **({"onward": entry.onward} if entry.onward else {}),
    }


def _step(step: VoiceStep) -> dict[str, Any]:
    return {
        "from": str(step.start.name),
        "from_degree": str(step.start.degree),
        "to": str(step.end.name),
        "to_degree": str(step.end.degree),
        "semitones": step.semitones,
    }


def _phrase(found: PhraseGuide, tuning: Tuning | None) -> dict[str, Any]:
    written = found.as_written

    def tab(place: Placement | None) -> list[str] | None:
        return phrase_tab(found, tuning, place).split("\n") if tuning and place else None

    return {
        "notes": _notes(found.phrase),
        "starts": found.starts,
        "ways": found.ways,
        "places": [
            _placement(place, place == written)
            for place in (*([written] if written else []), *found.places)
        ],
        "moved": [
            {
                "chord": str(moved.chord),
                "names": " ".join(note.full_name for note in moved.phrase),
                "tab": tab(moved.placement),
                "notes": _notes(moved.phrase),
                "seats": _seats(moved),
                "place": moved.placement
                and _placement(moved.placement, moved.placement == written),
            }
            for moved in found.moved
        ],
        "left": [
            {"chord": str(left.chord), "notes": _notes(left.phrase), "seats": _seats(left)}
            for left in found.left
        ],
    }


def _seats(moved: MovedPhrase) -> list[dict[str, Any]]:
    return [{"degree": s.degree, "how": s.how, "clash": s.clash} for s in moved.seats]


def _notes(phrase: Phrase) -> list[dict[str, Any]]:
    return [{"name": n.full_name, "pitch": n.pitch, "beats": float(n.beats)} for n in phrase]


def _placement(place: Placement, as_written: bool) -> dict[str, Any]:
    return {
        "places": [asdict(p) for p in place.places],
        "octaves": place.octaves,
        "span": place.span,
        "cost": place.cost,
        "as_written": as_written,
    }


def _instrument(sheet: Sheet) -> dict[str, Any]:
    tuning = sheet.tuning and {
        "title": sheet.tuning.title,
        "open_strings": list(sheet.tuning.open_strings),
        "names": list(sheet.tuning.names),
    }
    return {"name": sheet.instrument, "tuning": tuning, "left_handed": sheet.left_handed}


PARTS: dict[str, Callable[[Sheet], dict[str, Any]]] = {
    "chart": _chart,
    "scales": _scales,
    "plan": _plan,
    "keys": _keys,
    "sections": _sections,
    "necks": _necks,
    "chords": _chords,
    "arpeggios": _chords,
    "grips": lambda sheet: {"grips": grips_data(sheet)},
    "voicings": _voicings,
    "changes": _changes,
    "stops": lambda sheet: _chords(sheet) | {"along_strings": along_data(sheet)},
    "licks": licks_data,
    "solo": solo_data,
    "answers": answers_data,
    "bass": bass_data,
    "phrases": lambda sheet: {
        "phrase": _phrase(sheet.phrase, sheet.tuning) if sheet.phrase else None,
        **teacher_phrases_data(sheet),
    },
    "lines": _lines,
    "positions": _chords,
    "cautions": lambda sheet: {"cautions": list(sheet.guide.cautions)},
}
"""The fields that each part of the sheet has in the data."""
