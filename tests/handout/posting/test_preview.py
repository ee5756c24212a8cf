"""The preview as a file: cut out of the track, faded, and as loud as it."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from typing import Any

import mutagen
import numpy as np
import pyloudnorm
import pytest
import soundfile

import groove
from groove import library
from groove.errors import GrooveError, OptionError
from groove.form.unroll import unroll
from groove.handout.posting.preview import cut_place, make_preview
from groove.sound.mix.limiter import CEILING_DB
from groove.sound.samples import SAMPLE_RATE
from tests.command_line import call
from tests.once import made_once

FIELDS: dict[str, Any] = {
    "chords": "I V vi IV", "choruses": 3, "tempo": 190, "ending": "hit", "intensity": "1 3 1",
    "teacher": "Ada Moss",
}  # fmt: skip
FORM = "i-v-vi-iv"
SECONDS = 5.0
FIGURES = library.table("posting")["preview"]


@pytest.fixture(scope="session")
def track(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A short track as WAV, in 24 bits."""

    def make(place: Path) -> None:
        groove.make(groove.read_form(FORM, **FIELDS), place, audio="wav", bits=24)

    (wav,) = made_once(tmp_path_factory, "preview-track", make).glob("*.wav")
    return wav


@pytest.fixture(scope="session")
def preview(track: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The preview of that track."""

    def make(place: Path) -> None:
        place.mkdir()
        form = groove.read_form(FORM, **FIELDS)
        make_preview(form, place / "p.mp3", seconds=SECONDS, audio=track)

    return made_once(tmp_path_factory, "preview", make) / "p.mp3"


def test_outside_the_fades_the_cut_is_the_track_sample_by_sample(track: Path) -> None:
    form = groove.read_form(FORM, **FIELDS)
    place, cut = cut_place(form, track, SECONDS, {})
    whole, _ = soundfile.read(track, dtype="float32")
    first = cut.first
    part = whole[first : first + len(cut.samples)]
    assert len(cut.samples) == round(SECONDS * SAMPLE_RATE)
    inside = slice(cut.start, -cut.end)
    assert (cut.samples[inside] == part[inside]).all()
    chart = unroll(form)
    bar = chart.seconds(chart.rounds[1].start)
    assert place.start == pytest.approx(bar)
    assert abs((first + cut.start) / SAMPLE_RATE - bar) < 0.001
    assert cut.start / SAMPLE_RATE == pytest.approx(FIGURES["fade_in"], abs=0.001)
    assert cut.end / SAMPLE_RATE == pytest.approx(min(FIGURES["fade_out"], SECONDS / 2), abs=0.001)


def test_the_fades_rise_and_fall_all_the_way_and_never_jump(track: Path) -> None:
    form = groove.read_form(FORM, **FIELDS)
    _, cut = cut_place(form, track, SECONDS, {})
    whole, _ = soundfile.read(track, dtype="float32")
    part = whole[cut.first : cut.first + len(cut.samples)]
    loud = np.abs(part[:, 0]) > 1e-3
    gain = np.ones(len(part))
    gain[loud] = cut.samples[loud, 0] / part[loud, 0]
    for fade, step in ((gain[: cut.start][loud[: cut.start]], 1),
                       (gain[-cut.end :][loud[-cut.end :]], -1)):  # fmt: skip
        assert len(fade) > 100
        assert (np.diff(fade) * step >= -1e-6).all()
        quiet, loudest = fade[::step][[0, -1]]
        assert quiet < 0.02
        assert loudest > 0.98
        assert np.abs(np.diff(fade)).max() < 0.1


@pytest.mark.skipif(not shutil.which("ffmpeg"), reason="ffmpeg is not installed")
def test_decoded_by_ffmpeg_it_is_the_cut_and_as_loud_as_the_track_there(
    preview: Path, track: Path
) -> None:
    raw = subprocess.run(
        ["ffmpeg", "-v", "error", "-i", preview, "-f", "f32le", "-"],
        capture_output=True,
        check=True,
    ).stdout
    heard = np.frombuffer(raw, np.float32).reshape(-1, 2)
    _, cut = cut_place(groove.read_form(FORM, **FIELDS), track, SECONDS, {})
    assert len(heard) == len(cut.samples)
    whole, _ = soundfile.read(track, dtype="float32")
    part = whole[cut.first : cut.first + len(cut.samples) - cut.end]
    meter = pyloudnorm.Meter(SAMPLE_RATE, block_size=0.4)
    loud, there = (meter.integrated_loudness(each) for each in (heard[: len(part)], part))
    assert loud == pytest.approx(there, abs=0.2)
    # Without an offset the error of the encoder is as far under the music as in any MP3 of ours.
    error = np.mean((heard[: len(part)] - part)[SAMPLE_RATE // 10 :] ** 2)
    assert 10 * np.log10(np.mean(part**2) / error) > 15
    assert 20 * np.log10(np.abs(heard).max()) <= CEILING_DB + 0.1


def test_tags_credits_and_chapters_are_kept(preview: Path) -> None:
    tags = mutagen.File(preview).tags
    title = str(tags["TIT2"])
    assert "I V vi IV, G major" in title
    assert title.endswith("(preview)")
    assert str(tags["TPE1"]) == "Ada Moss"
    assert "CC BY 3.0" in str(tags["TXXX:LICENSE"])
    chapters = tags.getall("CHAP")
    assert [str(chapter.sub_frames["TIT2"]) for chapter in chapters] == ["Chorus 2"]
    assert (chapters[0].start_time, chapters[0].end_time) == (0, SECONDS * 1000)


def test_a_track_that_is_no_longer_is_whole_with_its_own_ending(
    track: Path, tmp_path: Path
) -> None:
    said: list[str] = []
    form = groove.read_form(FORM, **FIELDS)
    made = make_preview(form, tmp_path / "p.mp3", seconds=60, audio=track, say=said.append)
    assert made.place.whole
    assert said == ["preview: the whole track, as it is no longer"]
    with soundfile.SoundFile(track) as whole, soundfile.SoundFile(made.path) as short:
        assert short.frames == whole.frames
    _, cut = cut_place(form, track, 60.0, {})
    assert (cut.samples == soundfile.read(track, dtype="float32")[0]).all()


@pytest.mark.parametrize("seconds", [4.9, 121.0])
def test_lengths_have_bounds(seconds: float, tmp_path: Path) -> None:
    with pytest.raises(OptionError, match="5 to 120"):
        make_preview(groove.read_form(FORM), tmp_path / "p.mp3", seconds=seconds)
    assert not list(tmp_path.iterdir())


def test_another_ending_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(GrooveError, match=r"ends in \.mp3"):
        make_preview(groove.read_form(FORM), tmp_path / "p.wav")


def test_nothing_is_left_where_it_fails(tmp_path: Path) -> None:
    with pytest.raises(GrooveError, match="no such file"):
        make_preview(groove.read_form(FORM), tmp_path / "p.mp3", audio=tmp_path / "gone.wav")
    (tmp_path / "text.wav").write_text("no sound")
    with pytest.raises(GrooveError, match=r"text\.wav: can't be read"):
        make_preview(groove.read_form(FORM), tmp_path / "p.mp3", audio=tmp_path / "text.wav")
    assert [path.name for path in tmp_path.iterdir()] == ["text.wav"]


def test_an_error_about_the_track_names_the_preview(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(form: groove.Form, folder: Path, **options: Any) -> list[Path]:
        raise GrooveError(f"{folder / 'track.wav'}: no room left to write it")

    monkeypatch.setattr("groove.handout.posting.preview.make", full)
    target = tmp_path / "p.mp3"
    with pytest.raises(GrooveError) as caught:
        make_preview(groove.read_form(FORM), target)
    assert str(caught.value) == f"{target}: no room left to write it"
    assert not list(tmp_path.iterdir())


def test_the_command_makes_the_track_as_asked_and_says_which_place_it_took(
    track: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: dict[str, Any] = {}

    def made(form: groove.Form, folder: Path, **options: Any) -> list[Path]:
        asked.update(options)
        return [folder / "track.mid", track]

    monkeypatch.setattr("groove.handout.posting.preview.make", made)
    name = str(tmp_path / "p.mp3")
    fields = [f"--{name}={FIELDS[name]}" for name in ("chords", "choruses", "tempo", "ending")]
    done = call("preview", FORM, *fields, "--seconds", "5", "--without", "bass", "-o", name)
    assert done.code == 0, done.err
    assert done.out.splitlines() == [name]
    assert done.err.splitlines()[-1].startswith("preview from 0:")
    assert (asked["audio"], asked["bits"], asked["without"]) == ("wav", 24, ("bass",))
    with soundfile.SoundFile(name) as heard:
        assert heard.frames == 5 * SAMPLE_RATE
