"""Downloads from the practice page open in other programs and hold what was played."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import mido
import numpy as np
import pytest
import soundfile

from groove.form.read import read_form
from groove.handout.practice.streams import rows_of
from groove.handout.practice.takes import WAVE
from groove.sound.midi import midi_file
from groove.track import compile_take
from tests.browser.practice_material import (
    ASKING,
    CROWDED,
    FORM,
    downloaded,
    semitones_apart,
    wav_of,
)


def test_the_midi_download_opens_with_key_and_tempo(shown: Any) -> None:
    page = shown("#key=Eb&tempo=84&rounds=2")
    midi = mido.MidiFile(file=io.BytesIO(downloaded(page, "#get-midi").read_bytes()))
    assert (midi.type, midi.ticks_per_beat) == (1, 960)
    metas = {message.type: message for message in midi.tracks[0]}
    assert metas["set_tempo"].tempo == round(60e6 / 84)
    assert metas["key_signature"].key == "Eb"
    assert (metas["time_signature"].numerator, metas["time_signature"].denominator) == (4, 4)
    assert [track.name for track in midi.tracks[1:]] == ["click", "drums", "bass", "comping"]
    assert midi.length == pytest.approx((1 + 2 * 12 + 1) * 4 * 60 / 84, abs=0.01)


def test_the_midi_download_has_the_notes_of_our_own_take(shown: Any) -> None:
    page = shown("#rounds=4&countin=off")
    midi = mido.MidiFile(file=io.BytesIO(downloaded(page, "#get-midi").read_bytes()))
    asked = FORM | {"choruses": 4, "ending": "loop", "intensity": WAVE}
    take = compile_take(read_form("twelve-bar", **asked))
    for part, track in zip(take.parts, midi.tracks[2:], strict=True):
        struck, now = [], 0
        for message in track:
            now += message.time
            if message.type == "note_on" and now < take.chart.end - 200:
                struck.append((now, message.note, message.velocity))
        ours = [
            (n.start, n.pitch, n.velocity) for n in part.notes if n.start < take.chart.end - 200
        ]
        found, wanted = sorted(struck), sorted(ours)
        assert len(found) == len(wanted)
        assert max(abs(f[0] - w[0]) for f, w in zip(found, wanted, strict=True)) <= 2


LADDER = "#key=C&tempo=100&bars=5-8&files=4&faster=10&next=fourths&countin=off"
"""Four rounds of bars 5 to 8: in C at 100, F at 110, B flat at 120, E flat at 130."""


def test_the_midi_download_changes_tempo_and_key_signature_from_round_to_round(
    shown: Any,
) -> None:
    midi = mido.MidiFile(file=io.BytesIO(downloaded(shown(LADDER), "#get-midi").read_bytes()))
    changes: dict[str, list[tuple[float, Any]]] = {"set_tempo": [], "key_signature": []}
    now = 0
    for message in midi.tracks[0]:
        now += message.time
        if message.type in changes:
            value = message.tempo if message.type == "set_tempo" else message.key
            changes[message.type].append((now / (4 * 4 * 960), value))
    tempi = [(n, round(60e6 / (100 + 10 * n))) for n in range(4)]
    assert changes["set_tempo"] == tempi
    assert changes["key_signature"] == list(enumerate(["C", "F", "Bb", "Eb"]))
    assert midi.length == pytest.approx(
        sum(16 * 60 / tempo for tempo in (100, 110, 120, 130)), abs=0.02
    )


def test_each_round_of_the_midi_download_has_the_notes_of_its_key(shown: Any) -> None:
    """Compared with the rows of numbers in the page."""
    page = shown(LADDER)
    track = page.evaluate("practice.track")
    midi = mido.MidiFile(file=io.BytesIO(downloaded(page, "#get-midi").read_bytes()))
    for part, notes in zip(("drums", "bass", "comping"), midi.tracks[2:], strict=True):
        struck: list[list[int]] = [[], [], [], []]
        now = 0
        for message in notes:
            now += message.time
            if message.type == "note_on":
                struck[min(3, (now + 200) // 15360)].append(message.note)  # a push comes early
        for number, key in enumerate((0, 5, 10, 3)):
            first = 3840 * (12 * number + 4)
            rows = rows_of(track["streams"], track["keys"][key]["round"][part])
            within = [row[2] for row in rows if first <= row[0] < first + 15360]
            assert sorted(struck[number]) == sorted(within), (part, number)


def test_the_wav_download_changes_tempo_and_key_from_round_to_round(shown: Any) -> None:
    """Two rounds of bars 1 and 2, the second a fourth higher and half as fast again; by the energy
    of the pitch classes (librosa)."""
    page = shown(
        "#key=C&tempo=120&bars=1-2&rounds=2&next=fourths&faster=60&countin=off&silent=drums,click"
    )
    sound = wav_of(page).mean(axis=1)
    second = 4 * 44100
    assert len(sound) / 44100 == pytest.approx(4 + 8 / 3 + 2.5, abs=0.01)
    assert (
        semitones_apart(sound[: second - 4410], sound[second + 4410 : second + 44100 * 8 // 3]) == 5
    )
    assert np.abs(sound[second + 44100 * 8 // 3 + 44100 :]).max() < 0.1 * np.abs(sound).max()


def test_it_is_said_beforehand_what_a_file_will_hold(shown: Any) -> None:
    page = shown(LADDER)
    assert page.inner_text("#take-about") == (
        "4 rounds, bars 5 to 8, 0:36, from C at 100 to E♭ at 130,"
        " with the players that are switched on."
    )  # 16 beats each and what rings on: 9.6 + 8.7 + 8 + 7.4 + 2.5 seconds
    page.fill("#rounds", "2")
    page.press("#rounds", "Enter")
    assert "2 rounds, bars 5 to 8, 0:21, from C at 100 to F at 110" in page.inner_text(
        "#take-about"
    )


def test_a_file_s_name_says_what_changes_in_it(opened: Any) -> None:
    page = opened(LADDER)
    with page.expect_download() as download:
        page.click("#get-midi")
    name = "ferry-landing_C_100_bars-5-8_fourths_faster-by-10_4-rounds.mid"
    assert download.value.suggested_filename == name
    page.wait_for_function(
        "(name) => document.getElementById('take-said').textContent.startsWith(name)", arg=name
    )


def test_a_file_that_would_be_too_long_is_refused_in_a_line(opened: Any) -> None:
    page = opened("#tempo=40&rounds=50&countin=off")
    for button, kind, most in (("#get-wav", "WAV", "20:00"), ("#get-midi", "MIDI", "60:00")):
        page.click(button)
        page.wait_for_function(
            "(kind) => document.getElementById('take-said').textContent.includes(kind)", arg=kind
        )
        assert page.inner_text("#take-said") == (
            f"A {kind} file of 60:09 is too long; up to {most} is possible. Fewer rounds?"
        )
    assert page.seen.complaints == []


def test_the_wav_download_opens_and_is_as_long_as_the_bars(shown: Any) -> None:
    page = shown("#tempo=240&rounds=1&bars=1-4&countin=off")
    path = downloaded(page, "#get-wav")
    about = soundfile.info(path)
    assert (about.samplerate, about.channels, about.subtype) == (44100, 2, "PCM_16")
    assert 4 < about.duration < 4 + 3
    sound = wav_of(page)
    assert 0.1 < np.abs(sound).max() < 1


def test_the_midi_download_is_tuned_as_our_own_file(shown: Any, crowded_page: Path) -> None:
    page = shown("#files=1", path=crowded_page)
    midi = mido.MidiFile(file=io.BytesIO(downloaded(page, "#get-midi").read_bytes()))
    ours = midi_file(compile_take(read_form("one-chord-vamp", **CROWDED)))

    def tuning(file: mido.MidiFile, part: str) -> list[tuple[int, int]]:
        (track,) = (track for track in file.tracks if track.name == part)
        changes = (message for message in track if message.type == "control_change")
        return [(m.control, m.value) for m in changes if m.control not in (7, 10, 91)]

    for part in ("bass", "comping", "drums"):
        assert tuning(midi, part) == tuning(ours, part)
    assert (tuning(midi, "bass") == []) is False


def test_markers_chords_and_tuning_note_of_the_midi_download_are_those_of_our_own_file(
    shown: Any, asking_page: Path
) -> None:
    page = shown("#files=2", path=asking_page)
    midi = mido.MidiFile(file=io.BytesIO(downloaded(page, "#get-midi").read_bytes()))
    ours = midi_file(compile_take(read_form("one-chord-vamp", **ASKING)))

    def said(file: mido.MidiFile, kind: str) -> list[tuple[int, str]]:
        now, found = 0, []
        for message in file.tracks[0]:
            now += message.time
            if message.type == kind:
                found.append((now, message.text))
        return found

    def notes(file: mido.MidiFile) -> list[tuple[int, str, int]]:
        (track,) = (track for track in file.tracks if track.name == "tuning note")
        return [(m.time, m.type, m.note) for m in track if m.type in ("note_on", "note_off")]

    assert said(midi, "marker") == said(ours, "marker")
    assert [words for _, words in said(midi, "marker")][:3] == [
        "Tuning note", "Count-in", "Chorus 1",
    ]  # fmt: skip
    assert said(midi, "text")[0] == said(ours, "text")[0]
    assert {words for _, words in said(midi, "text")} == {w for _, w in said(ours, "text")}
    assert notes(midi) == notes(ours)


def test_chords_of_the_midi_download_are_in_the_key_of_their_round(shown: Any) -> None:
    midi = mido.MidiFile(file=io.BytesIO(downloaded(shown(LADDER), "#get-midi").read_bytes()))
    words = [message.text for message in midi.tracks[0] if message.type == "text"]
    assert words == ["F7", "C7", "Bb7", "F7", "Eb7", "Bb7", "Ab7", "Eb7"]  # IV7 and I7 of each key


def test_the_wav_download_credits_the_sounds(shown: Any) -> None:
    page = shown("#tempo=240&rounds=1&bars=1&countin=off&silent=drums,bass,comping,click")
    with soundfile.SoundFile(downloaded(page, "#get-wav")) as sound:
        assert sound.comment == page.inner_text("#credits")
        assert sound.title == "Ferry Landing in A, 240"
        assert sound.frames > 44100


def test_a_title_in_any_script_is_in_the_file_and_in_its_name(
    shown: Any, crowded_page: Path
) -> None:
    page = shown("#files=1", path=crowded_page)
    with page.expect_download() as download:
        page.click("#get-midi")
    assert download.value.suggested_filename == "vier-brucken-四橋_D-flat_126.mid"
    content = io.BytesIO(Path(download.value.path()).read_bytes())
    assert mido.MidiFile(file=content, charset="utf-8").tracks[0].name == "Vier Brücken 四橋"


def test_files_of_the_page_have_the_levels_and_places_of_its_form(opened: Any) -> None:
    """A page whose form moves the bass to the right and makes it softer."""
    page = opened("#tempo=240&rounds=1&bars=1-1&countin=off&silent=drums,comping,click")
    page.evaluate(
        """() => {
          const { track } = practice;
          const bass = track.parts.find(({ name }) => name === "bass");
          bass.sides = [0.2, 1.4];
          track.files = { bass: { volume: 51, pan: 99, velocity: 0.5 } };
        }"""
    )
    left, right = np.square(wav_of(page)).sum(axis=0)
    assert right / left > 20
    midi = mido.MidiFile(file=io.BytesIO(downloaded(page, "#get-midi").read_bytes()))
    (bass,) = (track for track in midi.tracks if track.name == "bass")
    found = {m.control: m.value for m in bass if m.type == "control_change"}
    assert (found[7], found[10]) == (51, 99)
    page.evaluate("delete practice.track.files.bass.velocity")
    before = mido.MidiFile(file=io.BytesIO(downloaded(page, "#get-midi").read_bytes()))
    struck, usual = (
        [
            m.velocity
            for track in file.tracks
            if track.name == "bass"
            for m in track
            if m.type == "note_on"
        ]
        for file in (midi, before)
    )
    assert usual
    assert struck == [int(velocity / 2 + 0.5) for velocity in usual]
