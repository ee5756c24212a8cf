"""The comper states every chord, in shapes that can be played, and moves them little."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from functools import cache
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import groove
from groove import library
from groove.band.comping.comper import play_comping
from groove.band.degrees import key_tones
from groove.band.keys.keys_voicings import keys_can_play
from groove.band.part import GHOST, LEFT, GridNote, Part
from groove.band.plan.plan import USUAL
from groove.form.chart import Slot
from groove.rhythm.patterns import KEEP, Pattern, comping_pattern
from groove.theory.chords import Chord, parse_chord
from groove.theory.keys import Key
from tests.band.band_material import (
    EVERY,
    Played,
    all_patterns,
    bands,
    form_of,
    pitch_classes,
    played,
    shipped_band,
    some,
)
from tests.examples import examples

OPEN_STRINGS = {1: 64, 2: 59, 3: 55, 4: 50, 5: 45, 6: 40}  # E4 B3 G3 D3 A2 E2 (common practice)
TENTH, FOURTH, E3 = 16, 5, 52
MOST_MOVEMENT = 2.5  # semitones a voice
NINTH, THIRTEENTH, SIXTH = 2, 9, 9  # semitones above the root, within an octave
THIRD, WHOLE_STEP = 4, 2  # semitones, the wider third


def must_sound(chord: Chord) -> set[int]:
    """Third and seventh of a chord by its symbol; a triad's third, a suspension's fourth, a
    sixth chord's sixth (common practice)."""
    semitones = {degree.number: degree.semitones for degree in chord.quality.degrees}
    third = semitones.get(3, semitones.get(4, semitones.get(2)))
    seventh = semitones.get(7, semitones.get(6))
    return {(chord.root.pitch_class + s) % 12 for s in (third, seventh) if s is not None}


def unstated(band: Played) -> list[tuple[str, Slot]]:
    """The chords whose guide tones don't all sound within their first bar."""
    missing = []
    for slot in band.chart.changes:
        until = min(slot.end, slot.start + band.bar)
        notes = band.sounding(band.comping, slot.start, until)
        heard = {note.pitch % 12 for note in notes}
        if not must_sound(slot.chord) <= heard:
            missing.append((band.place(slot.start), slot))
    return missing


def allowed(chord: Chord) -> set[int]:
    """The chord's tones, and the ninth and thirteenth that a seventh chord takes where its
    symbol alters neither: no natural ninth on b9, #9 or b5, a thirteenth on dominants only; the
    ninth on a sixth chord too (common practice)."""
    written = {str(degree) for degree in chord.quality.degrees}
    steps = {degree.semitones % 12 for degree in chord.quality.degrees}
    if written & {"7", "b7", "6"} and not written & {"b9", "#9", "b5"}:
        steps.add(NINTH)
    if written >= {"3", "b7"} and not written & {"b13", "#5"}:
        steps.add(THIRTEENTH)
    return {(chord.root.pitch_class + step) % 12 for step in steps}


def in_a_figure(chord: Chord) -> set[int]:
    """Other pitches that the two-string figure may use: the sixth of a plain major chord or
    a power chord (common practice)."""
    written = {str(degree) for degree in chord.quality.degrees}
    plain = written <= {"1", "3", "5", "7", "9", "13"}
    return allowed(chord) | ({(chord.root.pitch_class + SIXTH) % 12} if plain else set())


def on_keys(chord: Chord, key: Key) -> set[int]:
    """What a keys player may hold: a plain triad takes the ninth that its key has, and a left
    hand the bass note (common practice)."""
    ninth = (chord.root.pitch_class + NINTH) % 12
    plain = [degree.number for degree in chord.quality.degrees] == [1, 3, 5]
    added = {ninth} if plain and ninth in key_tones(key) else set()
    return in_a_figure(chord) | added | {chord.lowest.pitch_class}


def tones_of(band: Played, chord: Chord) -> set[int]:
    """What may be held over a chord by the player of a band."""
    keys = is_keys(band.form.comping[0])
    return on_keys(chord, band.chart.bars[0].key) if keys else in_a_figure(chord)


def is_slide(band: Played, note: GridNote) -> bool:
    """True for a keys player's grace note, a semitone below the one that follows it at once."""
    end, pitch = note.start + note.length, note.pitch + 1
    short = is_keys(band.form.comping[0]) and note.length < band.beat // 2
    return short and any(n.pitch == pitch for n in band.during(band.comping, end, end + 1))


def passes(band: Played, note: GridNote) -> bool:
    """True if a keys player's note is on its way: it lasts a beat at most, and a beat later at
    most the same hand strikes again, its top note a step on or the same; grace notes before that
    stroke are part of it."""
    later = [n for n in band.comping.notes if n.row == note.row and n.start > note.start]
    struck = {n.start for n in later if not is_slide(band, n)}
    after = [n for n in later if n.start in struck]
    if not after or not is_keys(band.form.comping[0]):
        return False
    following = max(n.pitch for n in after if n.start == after[0].start)
    here = max(n.pitch for n in band.comping.notes if n.start == note.start and n.row == note.row)
    if is_slide(band, note):
        return True
    soon = after[0].start - note.start <= band.beat >= note.length
    return soon and abs(following - here) <= WHOLE_STEP


def rubbing(band: Played) -> list[tuple[str, Slot, int]]:
    """The notes that sound for more than a beat against a chord they have no place in."""
    return [
        (band.place(note.start), slot, note.pitch)
        for slot in band.chart.changes
        for note in band.sounding(band.comping, slot.start, slot.end)
        if note.pitch % 12 not in tones_of(band, slot.chord)
        and min(note.start + note.length, slot.end) - max(note.start, slot.start) > band.beat
    ]


def chords_struck(band: Played) -> list[list[GridNote]]:
    together: dict[int, list[GridNote]] = defaultdict(list)
    for note in band.comping.notes:
        together[note.start].append(note)
    return [sorted(notes, key=lambda n: n.pitch) for notes in together.values()]


def is_guitar(comping: Pattern) -> bool:
    return bool(comping.voicing == "guitar")


def is_keys(comping: Pattern) -> bool:
    return not is_guitar(comping)


def moved(before: list[int], after: list[int]) -> float:
    """Semitones that a voice moves on average: pairwise, or each to the nearest before."""
    if len(before) == len(after):
        return sum(abs(a - b) for a, b in zip(before, after, strict=True)) / len(after)
    return sum(min(abs(a - b) for b in before) for a in after) / len(after)


def drums_for(idiom: Pattern) -> Pattern:
    """A drum pattern that an idiom can go with, in the idiom's own feel if there is one."""
    fit = [p for p in all_patterns("drums") if p.grid.meter == idiom.grid.meter]
    return next((p for p in fit if p.grid.feel == idiom.grid.feel), fit[0])


@cache
def shipped_forms_with(idiom: str) -> tuple[Played, ...]:
    """Shipped forms, in the metre and feel of an idiom, with it: three, or all where every pattern
    is to be tried."""
    drums = drums_for(comping_pattern(idiom))
    forms = library.names("forms")
    return tuple(
        Played(
            groove.read_form(
                name, drums=drums.name, feel=drums.grid.feel, comping=idiom, choruses=2, seed=seed
            )
        )
        for seed, name in enumerate(forms if EVERY else forms[::4])
    )


def third_and_seventh_of_every_chord_of_any_form_sound(band: Played) -> None:
    assert not unstated(band)


def test_third_and_seventh_of_every_chord_of_the_shipped_forms_sound() -> None:
    for band in shipped_band():
        assert not unstated(band), band.form


@pytest.mark.parametrize(
    ("symbol", "tones"),
    [
        ("C7", "E Bb"), ("Cm7", "Eb Bb"), ("Cmaj7", "E B"), ("Cm7b5", "Eb Bb"), ("C", "E"),
        ("Cdim7", "Eb A"), ("C7alt", "E Bb"), ("C7sus4", "F Bb"), ("C6", "E A"), ("Csus4", "F"),
        ("Cm6", "Eb A"), ("C9", "E Bb"), ("C13", "E Bb"), ("C/G", "E"), ("Csus2", "D"),
    ],
)  # fmt: skip
def test_the_tones_that_tell_a_chord_are_those_of_the_book(symbol: str, tones: str) -> None:
    """Common practice; this is what the laws here ask for."""
    classes = {"C": 0, "D": 2, "Eb": 3, "E": 4, "F": 5, "A": 9, "Bb": 10, "B": 11}
    assert must_sound(parse_chord(symbol)) == {classes[tone] for tone in tones.split()}


def no_note_rubs_against_the_chord_for_more_than_a_beat(band: Played) -> None:
    assert not rubbing(band)


def test_no_note_of_the_shipped_forms_rubs_against_its_chord() -> None:
    for band in shipped_band():
        assert not rubbing(band), band.form


def a_guitar_has_one_note_a_string(band: Played) -> None:
    for notes in chords_struck(band):
        strings = [note.string for note in notes]
        assert len(set(strings)) == len(strings) <= 6


@pytest.mark.parametrize("name", ["bachata-guitar", "ballad-arpeggio"])
def test_two_voices_of_a_small_voicing_are_one_note(name: str) -> None:
    """Where the bass leaves few notes, the fingers for two voices meet on one string or key."""
    drums = drums_for(comping_pattern(name))
    for seed in range(3):
        asked = {"drums": drums.name, "feel": drums.grid.feel, "comping": name, "seed": seed}
        band = Played(groove.read_form("twelve-bar", choruses=2, **asked))
        for notes in chords_struck(band):
            struck = [(note.pitch, note.string) for note in notes]
            assert len(set(struck)) == len(struck)


def string_and_fret_give_the_pitch(band: Played) -> None:
    for note in band.comping.notes:
        assert OPEN_STRINGS[note.string] + note.fret == note.pitch


def a_hand_spans_four_frets_and_five_above_the_seventh(band: Played) -> None:
    for notes in chords_struck(band):
        stopped = [note.fret for note in notes if note.fret] or [1]
        span = max(stopped) - min(stopped) + 1
        assert span <= (5 if min(stopped) > 7 else 4), [(n.string, n.fret) for n in notes]


GUITAR_LAWS = (
    a_guitar_has_one_note_a_string,
    string_and_fret_give_the_pitch,
    a_hand_spans_four_frets_and_five_above_the_seventh,
)


@settings(max_examples=examples(60))
@given(bands(choruses=2, comping=is_guitar))
def test_each_law_holds_for_a_guitar(band: Played) -> None:
    for law in GUITAR_LAWS:
        law(band)


def a_hand_on_the_keys_spans_a_tenth(band: Played) -> None:
    for notes in chords_struck(band):
        for row in {note.row for note in notes}:
            hand = [note.pitch for note in notes if note.row == row]
            assert hand[-1] - hand[0] <= TENTH


def low_intervals_on_the_keys_are_wide(band: Played) -> None:
    """At least a fourth above a note under E3, where thirds turn to mud (common practice)."""
    for notes in chords_struck(band):
        for low, high in pairwise(note.pitch for note in notes):
            assert low >= E3 or high - low >= FOURTH


KEYS_LAWS = (
    a_hand_on_the_keys_spans_a_tenth,
    low_intervals_on_the_keys_are_wide,
)


@settings(max_examples=examples(60))
@given(bands(choruses=2, comping=is_keys))
def test_each_law_holds_for_keys(band: Played) -> None:
    for law in KEYS_LAWS:
        law(band)


@pytest.mark.parametrize(
    ("pitches", "playable"), [([55, 59, 65, 71], True), ([55, 59, 65, 72], False)]
)
def test_a_tenth_is_the_widest_that_a_hand_takes(pitches: list[int], playable: bool) -> None:
    assert keys_can_play(pitches) == playable


def test_comping_keeps_below_the_soloist() -> None:
    """Rule 8: below C5, where a melody sits, in every shipped form."""
    for band in shipped_band():
        assert max(note.pitch for note in band.comping.notes) < 72, band.form


def no_note_is_below_the_bass_or_within_a_third_above_it(band: Played) -> None:
    """Checked if an octave of the comper's register is left above the bass."""
    high = band.form.comping[0].register[1]
    for bass in band.bass.notes:
        if bass.pitch + THIRD + 12 <= high:
            together = band.sounding(band.comping, bass.start, bass.start + bass.length)
            assert all(note.pitch > bass.pitch + THIRD for note in together), band.place(bass.start)


def every_note_lies_in_the_register_of_the_idiom(band: Played) -> None:
    """A left hand has a register of its own, and stays below the right."""
    pattern = band.form.comping[0]
    for notes in chords_struck(band):
        left = [note.pitch for note in notes if note.row == LEFT]
        right = [note.pitch for note in notes if note.row != LEFT]
        for (low, high), hand in ((pattern.left_register, left), (pattern.register, right)):
            assert all(low <= pitch <= high for pitch in hand)
        assert not left or not right or left[-1] < right[0]


def no_note_of_the_chord_before_sounds_over_a_change(band: Played) -> None:
    """A note over a change began a beat before it at most and belongs to the next chord."""
    for slot in band.chart.changes:
        for note in band.sounding(band.comping, slot.start, slot.start + 1):
            assert note.start >= slot.start - band.beat
            assert note.start == slot.start or note.pitch % 12 in tones_of(band, slot.chord)


@settings(max_examples=examples(60))
@given(bands(choruses=3))
def test_every_note_belongs_to_its_chord_or_the_chord_to_come(band: Played) -> None:
    slots = band.chart.changes
    for slot, after in zip(slots, [*slots[1:], slots[0]], strict=True):
        for note in band.during(band.comping, slot.start, slot.end):
            tones = tones_of(band, slot.chord)
            if slot.end - note.start <= band.beat:
                tones = tones | tones_of(band, after.chord)
            assert note.pitch % 12 in tones or passes(band, note), band.place(note.start)


@pytest.mark.parametrize(
    "name", [name for name in some("comping") if not comping_pattern(name).octave]
)
def test_in_every_idiom_the_voices_of_the_shipped_forms_move_little(name: str) -> None:
    """The mean over the forms; strokes of fewer than three notes are figures and single voices,
    and a figure in octaves walks through the tones of its chord."""
    moves = []
    for band in shipped_forms_with(name):
        struck = [[note.pitch for note in notes] for notes in chords_struck(band)]
        chords = [pitches for pitches in struck if len(pitches) > 2]
        moves += [moved(*pair) for pair in pairwise(chords) if pair[0] != pair[1]]
    assert sum(moves) <= MOST_MOVEMENT * len(moves)


@pytest.mark.parametrize("name", some("comping"))
def test_a_chorus_is_not_the_same_two_bars_throughout(name: str) -> None:
    for band in shipped_forms_with(name):
        bars = [
            tuple((n.start - bar.start, n.weight) for n in band.during(band.comping, *bounds))
            for bar in band.in_form
            for bounds in [(bar.start, bar.end)]
        ]
        for first in range(0, len(bars), band.form.bars):
            chorus = bars[first : first + band.form.bars]
            assert len(chorus) < 12 or chorus[2:] != chorus[:-2], band.form


@pytest.mark.parametrize("name", some("comping"))
def test_a_long_chord_is_voiced_anew_now_and_then(name: str) -> None:
    """A seventh chord of 24 bars has two voicings at least."""
    pattern_ = comping_pattern(name)
    drums = drums_for(pattern_)
    band = played("I7:8", drums=drums.name, comping=name, choruses=3, feel=drums.grid.feel)
    tops = {notes[-1].pitch for notes in chords_struck(band)}
    lows = {notes[0].pitch for notes in chords_struck(band)}
    assert len(tops) > 1 or len(lows) > 1


@pytest.mark.parametrize("name", some("comping"))
def test_dead_strokes_of_a_guitar_are_clicks(name: str) -> None:
    """Soft, on three strings at most, and shorter than a sixty-fourth note."""
    for band in shipped_forms_with(name):
        if is_guitar(band.form.comping[0]):
            for notes in chords_struck(band):
                if notes[0].weight == GHOST:
                    assert len(notes) <= 3
                    assert all(note.length <= band.beat // 16 for note in notes)


@pytest.mark.parametrize("name", some("comping"))
def test_comping_is_calmer_where_the_drummer_is_busy(name: str) -> None:
    """Over a dozen seeds, with and without a drummer who rolls through the seventh bar."""
    pattern_ = comping_pattern(name)
    drums = drums_for(pattern_)
    counts = {"calm": 0, "busy": 0}
    for seed in range(12):
        band = played(
            "I7:8", drums=drums.name, comping=name, choruses=1, seed=seed, feel=drums.grid.feel,
            intensity="2.5",
        )  # fmt: skip
        bar = band.in_form[6]
        unled = replace(band.plan, bars=(USUAL,) * len(band.plan.bars))
        roll = [replace(band.drums.notes[0], start=bar.start + 60 * n) for n in range(48)]
        notes = tuple(sorted([*band.drums.notes, *roll], key=lambda note: note.start))
        for state, part in (("calm", band.drums), ("busy", replace(band.drums, notes=notes))):
            part = replace(part, fills=())
            comping = play_comping(unled, part, Random(seed), Part("bass", ()))
            counts[state] += len({n.start for n in band.during(comping, bar.start, bar.end)})
    assert counts["busy"] < counts["calm"]


@pytest.mark.parametrize("name", ["one-drop-guitar", "one-drop-organ"])
def test_the_skank_answers_kick_and_rim(name: str) -> None:
    """They drop on two and four, the chords stand between the beats (common practice)."""
    band = played("I7:12", drums="one-drop", comping=name, choruses=4)
    for bar in band.in_form:
        if not bar.turn:
            comping = {n.start for n in band.during(band.comping, bar.start, bar.end)}
            drop = {n.start for n in band.during(band.drums, bar.start, bar.end) if n.row == "kick"}
            assert drop
            assert not {bar.start + n * band.beat for n in range(4)} & comping
            assert {bar.start + n * band.beat + band.beat // 2 for n in range(4)} <= comping


@settings(max_examples=examples(30))
@given(bands(choruses=2))
def test_the_same_form_and_seed_give_the_same_comping(band: Played) -> None:
    assert Played(band.form).comping == band.comping


def comping_thins_out_under_fills_of_more_than_a_beat_or_goes_on(band: Played) -> None:
    """Off the beat it strikes there at most once, where the style does not live on it."""
    if band.form.comping[0].fills == KEEP:
        return
    free = {slot.start for slot in band.chart.changes}
    for start, end in band.drums.fills:
        inside = band.during(band.comping, start, end)
        struck = {n.start for n in inside if not is_slide(band, n)} - free
        off = [tick for tick in struck if band.chart.into_beat(tick)]
        assert end - start <= band.beat or len(off) <= 1, band.place(start)


LAWS = (
    third_and_seventh_of_every_chord_of_any_form_sound,
    no_note_rubs_against_the_chord_for_more_than_a_beat,
    no_note_is_below_the_bass_or_within_a_third_above_it,
    every_note_lies_in_the_register_of_the_idiom,
    no_note_of_the_chord_before_sounds_over_a_change,
    comping_thins_out_under_fills_of_more_than_a_beat_or_goes_on,
)


@settings(max_examples=examples(80))
@given(bands(choruses=3))
def test_each_law_holds_for_any_form(band: Played) -> None:
    for law in LAWS:
        law(band)


@settings(max_examples=examples(20))
@given(st.integers(-5, 6), st.sampled_from(["shuffle", "eighths-rock", "medium-swing"]))
def test_a_transposed_form_has_its_harmony_transposed(fifths: int, drums: str) -> None:
    line = "I7 ii7 V13 Imaj7/3 #IVdim7 ii7b5 V7alt I6"
    keys = ["Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#"]
    at_home = played(line, key="C", drums=drums)
    away = Played(form_of(line, key=keys[fifths + 5], drums=drums))
    for here, there in zip(at_home.chart.changes, away.chart.changes, strict=True):
        assert pitch_classes(there) == {(tone + 7 * fifths) % 12 for tone in pitch_classes(here)}


@pytest.mark.parametrize(
    ("name", "off_beat_half"),
    [("montuno-piano", 1), ("montuno-sixteenths", 1), ("montuno-three-two", 0)],
)
def test_the_octaves_of_a_montuno_keep_off_the_beat_on_the_three_side(
    name: str, off_beat_half: int
) -> None:
    """The side of the clave with three strokes has the off-beats alone, the other begins on the
    beat (common practice)."""
    for cell in comping_pattern(name).cells:
        half = cell.lines // 2
        octaves = {stroke.line for stroke in cell.strokes if stroke.row in ("top", "chord")}
        three_side = {line - off_beat_half * half for line in octaves} & set(range(half))
        assert all(line % 2 for line in three_side)
        assert (1 - off_beat_half) * half in octaves
