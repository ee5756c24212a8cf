"""The chords of a track can be heard: a template match on the chroma of the rendered audio.

Chroma by librosa (constant Q). The comping is heard from C3 up, over the whole bar, and matched
with templates of triads, sevenths and ninths, in which each tone has the partials of the
instrument, as single notes of it have them (common practice in chord recognition: a clean guitar's
fifth partial is stronger than its first, and would be taken for a major third). The bass
speaks for the root by its strength on the bar's first beat, where listeners take the root from,
and is heard from C2 to B3: lower, constant Q is too slow for a beat; higher, the fifth partial
of a string is a major third. Drums carry no chord and are left out.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import cycle, product
from typing import TYPE_CHECKING

import librosa
import numpy as np
import pytest

import groove
from groove.rhythm.meter import ticks_to_seconds
from groove.sound.midi import midi_file
from groove.sound.mix.mix_settings import mix_settings_of
from groove.sound.mix.strip import stripped, strips_of
from groove.sound.samples import SAMPLE_RATE
from groove.sound.synth.notes import Notes
from groove.sound.synth.scores import scores
from groove.sound.synth.soundfonts import find_fonts
from groove.sound.synth.stems import play_stems
from groove.theory.chords import Chord
from groove.theory.quality import parse_quality

if TYPE_CHECKING:
    from groove.band.take import Take

FORMS = (
    "twelve-bar",
    "minor-twelve-bar",
    "jazz-twelve-bar",
    "minor-vamp",
    "i-vi-iv-v",
    "descending-minor",
)
KEYS = (("C", "Eb", "Ab"), ("D", "F#", "B"))
"""The keys in which every other form is heard."""
QUALITIES = ("", "m", "7", "m7", "maj7", "dim7", "9", "m9", "maj9")
ROOT_WEIGHT, COLOUR_WEIGHT = 1.3, 0.7  # of the root and of sevenths and ninths in a template
BASS_WEIGHT = 0.7  # of the bass on a root beside the match of the comping
HOP = 2048
NOTES = (50, 55, 60, 65)
"""The notes whose partials are taken."""

Label = tuple[int, bool]  # root, and whether the third is minor


@cache
def partials(program: int) -> np.ndarray:
    """The mean chroma (12) of notes of an instrument, counted from each note's own pitch class."""
    found = np.zeros(12)
    with Notes(find_fonts(None, {}, []).main) as notes:
        for note in NOTES:
            played = notes.note(program, note, 90, seconds=1.0, held=1.0).mean(axis=1)
            found += np.roll(unit(chroma(played, "C3", 4).mean(axis=1)), -note % 12)
    return found / len(NOTES)


def templates(tone: np.ndarray) -> tuple[list[Label], np.ndarray]:
    """A label for each row of the unit templates (rows, 12). tone: the chroma of each tone."""
    labels, rows = [], []
    for root, suffix in product(range(12), QUALITIES):
        quality = parse_quality(suffix)
        row = np.zeros(12)
        for degree in quality.degrees:
            weight = COLOUR_WEIGHT if degree.number > 5 else 1.0
            row += weight * np.roll(tone, root + degree.semitones)
        row += (ROOT_WEIGHT - 1) * np.roll(tone, root)
        labels.append((root, quality.is_minor))
        rows.append(row / np.linalg.norm(row))
    return labels, np.array(rows)


def stems_of(take: Take) -> list[np.ndarray]:
    """Bass and comping of a take as they leave their strips, in mono."""
    alone = replace(take, parts=tuple(p for p in take.parts if p.name != "drums"), cues=())
    settings = mix_settings_of(take.chart.form.drums)
    band = [settings.weigh(score) for score in scores(midi_file(alone))]
    with play_stems(band, find_fonts(None, {}, [])) as playing:
        stems = zip(*stripped(playing, strips_of(band, settings)), strict=True)
        return [np.concatenate([b.mean(axis=1) for b in s if b is not None]) for s in stems]


def chroma(samples: np.ndarray, lowest: str, octaves: int) -> np.ndarray:
    """Chroma (12, frames) of a mono sound, at A 440."""
    found: np.ndarray = librosa.feature.chroma_cqt(
        y=samples, sr=SAMPLE_RATE, hop_length=HOP, fmin=librosa.note_to_hz(lowest),
        n_octaves=octaves, norm=None, tuning=0.0,
    )  # fmt: skip
    return found


def unit(vector: np.ndarray) -> np.ndarray:
    return vector / (np.linalg.norm(vector) + 1e-9)


def heard_and_meant(form: str, key: str) -> list[tuple[Label, Chord]]:
    """For each bar with one chord: what the templates hear, and the chord of the chart."""
    take = groove.compile_take(groove.read_form(form, key=key, choruses=1))
    chart = take.chart
    stems = stems_of(take)
    bass, comping = chroma(stems[0], "C2", 2), chroma(stems[1], "C3", 4)
    (comper,) = (part for part in take.parts if part.name == "comping")
    labels, rows = templates(partials(comper.program))
    found = []
    for bar in chart.bars:
        if not bar.number or len(bar.slots) > 1:
            continue
        start, first_beat, end = (
            round(ticks_to_seconds(tick, chart.form.tempo, chart.form.meter) * SAMPLE_RATE / HOP)
            for tick in (bar.start, bar.start + chart.form.meter.beat_ticks, bar.end)
        )
        match = rows @ unit(comping[:, start:end].mean(axis=1))
        roots = unit(bass[:, start:first_beat].mean(axis=1))
        score = match + BASS_WEIGHT * np.array([roots[root] for root, _ in labels])
        found.append((labels[int(np.argmax(score))], bar.slots[0].chord))
    return found


@pytest.mark.slow
@pytest.mark.parametrize(("form", "keys"), list(zip(FORMS, cycle(KEYS))))
def test_chords_are_heard_in_the_rendered_audio(form: str, keys: tuple[str, ...]) -> None:
    bars = [pair for key in keys for pair in heard_and_meant(form, key)]
    roots = np.mean([heard[0] == meant.root.pitch_class for heard, meant in bars])
    thirds = np.mean([heard[1] == meant.quality.is_minor for heard, meant in bars])
    assert (roots >= 0.95, thirds >= 0.90) == (True, True), f"roots {roots:.3f} thirds {thirds:.3f}"
