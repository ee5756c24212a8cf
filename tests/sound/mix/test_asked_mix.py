"""What a form asks of its mix is heard in mix and stems, and stands in the MIDI file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import mido
import numpy as np
import pytest
import soundfile

from groove.form.model import Form
from groove.form.unroll import unroll
from groove.sound.midi import midi_file
from groove.sound.mix.asked_mix import for_a_file, in_a_file, levelled, settings_of
from groove.sound.report import Report
from groove.track import compile_take, make
from tests.form.road_material import arranged
from tests.sound.mix.mix_material import Heard

PARTS = ("drums", "bass", "comping")
LEVELS = {"bass": 6, "drums": -12}
PLACES = {"bass": "left 60", "comping": "right"}


def form(**fields: Any) -> Form:
    given = {"chords": "| C | F |", "tempo": 200, "choruses": 2, "drums": "eighths-rock"}
    return arranged(**given | {"count_in": 0, "ending": "written", "seed": 2} | fields)


class Made:
    """A track with its stems and its report."""

    def __init__(self, folder: Path, **fields: Any) -> None:
        reports: list[Report] = []
        paths = make(form(**fields), folder, audio="wav", stems=True, report=reports.append)
        sounds = {path.stem.rpartition("_")[2]: path for path in paths if path.suffix == ".wav"}
        self.heard = Heard({part: soundfile.read(sounds.pop(part))[0] for part in PARTS})
        self.mix = soundfile.read(sounds.popitem()[1])[0]
        (self.report,) = reports
        self.levels = self.report.levels
        self.midi = mido.MidiFile(paths[0])

    def above_comping(self, part: str) -> float:
        return self.heard.loudness(part) - self.heard.loudness("comping")


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Made:
    return Made(tmp_path_factory.mktemp("plain"))


@pytest.fixture(scope="module")
def asked(tmp_path_factory: pytest.TempPathFactory) -> Made:
    return Made(tmp_path_factory.mktemp("asked"), levels=LEVELS, places=PLACES)


@pytest.mark.parametrize("part", LEVELS)
def test_a_part_is_as_much_louder_beside_the_others_as_its_level_says(
    plain: Made, asked: Made, part: str
) -> None:
    moved = asked.above_comping(part) - plain.above_comping(part)
    assert moved == pytest.approx(LEVELS[part], abs=0.2)


def test_loudness_and_ceiling_of_the_track_hold(plain: Made, asked: Made) -> None:
    for made in (plain, asked):
        assert made.levels
        assert made.levels.loudness == pytest.approx(-14, abs=0.2)
        assert made.levels.true_peak <= -1


def test_the_stems_add_up_to_the_mix(asked: Made) -> None:
    """But for what its limiter takes, and the rounding of the files."""
    off = np.abs(asked.heard.mix - asked.mix)
    limited = 10 ** (asked.report.limiter / 20) - 1
    assert off.max() <= limited + 1e-3
    assert np.median(off) < 2e-4


def test_a_part_stands_where_its_place_says(plain: Made, asked: Made) -> None:
    assert plain.heard.side("bass") == pytest.approx(0, abs=0.5)
    assert asked.heard.side("bass") == pytest.approx(-9.8, abs=1)  # 60 of 100 steps to 45 degrees
    assert asked.heard.side("comping") > 12
    assert asked.heard.side("drums") == pytest.approx(plain.heard.side("drums"), abs=0.01)


def controllers(midi: mido.MidiFile, number: int) -> dict[str, int]:
    return {
        track.name: message.value
        for track in midi.tracks[1:]
        for message in track
        if message.type == "control_change" and message.control == number
    }


def test_the_midi_file_has_them_as_volume_and_place(plain: Made, asked: Made) -> None:
    before, after = (controllers(made.midi, 7) for made in (plain, asked))
    for part, level in LEVELS.items():
        share = after[part] / after["comping"] * before["comping"] / before[part]
        assert 40 * np.log10(share) == pytest.approx(level, abs=0.5)
    places = controllers(asked.midi, 10)
    assert (places["bass"], places["comping"]) == (26, 127)
    assert places["drums"] == controllers(plain.midi, 10)["drums"]


def test_parts_on_the_channel_of_the_drums_differ_in_their_strokes() -> None:
    wanted = form(percussion="shaker", count_in=1, levels={"drums": -4, "percussion": 2})
    take = compile_take(wanted)
    found = in_a_file((*take.parts, *take.cues), take.chart)
    assert found["drums"].volume == found["percussion"].volume == found["click"].volume
    strokes = {part: 40 * np.log10(found[part].velocity) for part in found}
    assert strokes == pytest.approx(
        {"drums": 0, "bass": 0, "comping": 0, "percussion": 6, "click": 4}
    )
    named = {part.name: part for part in for_a_file(take).parts}
    before = next(part for part in take.parts if part.name == "percussion")
    assert sum(note.velocity for note in named["percussion"].notes) > sum(
        note.velocity for note in before.notes
    )


def test_without_them_the_file_stays_as_it_is() -> None:
    take = compile_take(form())
    assert for_a_file(take) is take
    straight = form(levels={"bass": 0})
    assert midi_file(for_a_file(compile_take(straight))).tracks == midi_file(take).tracks


def test_comping_is_guitar_and_keys() -> None:
    both = form(comping="strum-guitar, pads-organ", levels={"comping": 3, "keys": -1})
    found = settings_of(unroll(both)).levels
    assert (found["guitar"], found["keys"]) == (3, -1)
    alone = form(comping="strum-guitar", places={"guitar": -50})
    assert settings_of(unroll(alone)).stands["comping"] == -0.5


def test_a_report_can_be_levelled_afterwards(plain: Made, asked: Made) -> None:
    moved = levelled(plain.report, settings_of(unroll(form(levels=LEVELS))).levels)
    for part in PARTS:
        kept = plain.report.gain + plain.report.faders[part]
        now = moved.gain + moved.faders[part]
        heard = asked.heard.loudness(part) - plain.heard.loudness(part)
        assert now - kept == pytest.approx(heard, abs=0.7)
    assert levelled(plain.report, {}) == plain.report
