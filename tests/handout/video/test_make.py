"""A form to a video. Source: the WAV that `groove make` writes of the same form; FFmpeg, which
decodes the video again; loudness by pyloudnorm (ITU-R BS.1770)."""

from __future__ import annotations

import os
import resource
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import Any

import mido
import numpy as np
import pyloudnorm
import pytest
import soundfile
from scipy.signal import correlate, resample_poly

import groove
from groove import library
from groove.band.take import Take
from groove.errors import GrooveError
from groove.form.model import Form
from groove.form.unroll import unroll
from groove.handout.posting.chapters import chapters
from groove.handout.video import film as film_module
from groove.handout.video import frames as frames_module
from groove.handout.video import look as look_module
from groove.handout.video import make as make_module
from groove.handout.video.course import Course, Moment
from groove.handout.video.film import Film
from groove.handout.video.look import look_of
from groove.handout.video.make import make_video
from groove.handout.video.view import Scene
from groove.lesson.request import USUAL
from groove.sound.midi import midi_file
from groove.sound.mixes import Mix
from groove.sound.samples import SAMPLE_RATE
from groove.sound.synth.soundfonts import find_fonts
from tests.command_line import call, snapshot, start
from tests.handout.pack.pack_material import FONT, FORM
from tests.handout.video.pixels import wrong_bars
from tests.handout.video.video_material import form as made_form
from tests.handout.video.video_material import made
from tests.once import made_once

KINDS = (".mp4", ".webm")
FIGURES = library.table("video")
MIX = Mix("", ())
CARD = FIGURES["title_seconds"]


@contextmanager
def small() -> Iterator[None]:
    """Frames of 180 rows, which take little time."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(look_module, "PIXELS_A_MM", 1)
        patch.setattr(frames_module, "PIXELS_A_MM", 1)
        yield


def video(path: Path, form: Any = FORM, **options: Any) -> Path:
    """A small video."""
    with small():
        return make_video(form, path, soundfont=FONT, **options)


@pytest.fixture(scope="session")
def wav(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the track that `make` makes of the same form, with a WAV."""
    return made_once(
        tmp_path_factory, "video-wav",
        lambda folder: groove.make(FORM, folder, audio="wav", soundfont=FONT),
    )  # fmt: skip


@contextmanager
def kept_sound(wav: Path) -> Iterator[list[dict[str, Any]]]:
    """The track is copied, not made again; yields the options with which it is asked for."""
    asked: list[dict[str, Any]] = []

    def copied(_form: Form, folder: Path, *, progress: Callable[[float], None], **more: Any) -> Any:
        asked.append(more)
        shutil.copytree(wav, folder)
        progress(0.5)
        progress(1.0)
        return sorted(folder.iterdir())

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(make_module, "make", copied)
        yield asked


def silence(folder: Path, seconds: float) -> Path:
    """A folder as of a track that is so long and silent."""
    folder.mkdir()
    (folder / "x.mid").touch()
    soundfile.write(folder / "x.wav", np.zeros((round(seconds * SAMPLE_RATE), 2)), SAMPLE_RATE)
    return folder


@pytest.fixture
def quick(wav: Path) -> Iterator[list[dict[str, Any]]]:
    with kept_sound(wav) as asked:
        yield asked


@pytest.fixture(scope="session", params=KINDS)
def ours(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory, wav: Path
) -> Path:
    """A video of a short form; the MP4 file with sound of its own."""
    name = f"short-way{request.param}"

    def make_into(folder: Path) -> None:
        folder.mkdir()
        with nullcontext() if name.endswith(".mp4") else kept_sound(wav):
            video(folder / name)

    return made_once(tmp_path_factory, f"video{request.param}", make_into) / name


def sound_of(path: Path, rate: int = 48_000) -> np.ndarray:
    """The sound of a video as ffmpeg decodes it."""
    asked = ["ffmpeg", "-v", "error", "-i", str(path), "-vn", "-f", "f32le", "-ar", str(rate), "-"]
    done = subprocess.run(asked, capture_output=True, check=True)
    return np.frombuffer(done.stdout, np.float32).reshape(-1, 2)


def written(folder: Path, rate: int = 48_000) -> np.ndarray:
    """The sound of the WAV in a folder."""
    (path,) = folder.glob("*.wav")
    found, own = soundfile.read(path)
    assert own == 44_100
    return np.asarray(resample_poly(found, rate, own, axis=0))


def test_the_sound_is_that_of_the_wav_behind_the_title(ours: Path, wav: Path) -> None:
    """Where it lies to a sample, by cross-correlation; how loud to a fifth of a LU."""
    found, given, rate = sound_of(ours), written(wav), 48_000
    first = CARD * rate
    near = found[first - rate // 10 : first + len(given) + rate // 10]
    lag = int(np.argmax(correlate(near[:, 0], given[:, 0], "valid"))) - rate // 10
    assert abs(lag) <= 1
    inside = found[first : first + len(given)]
    meter = pyloudnorm.Meter(rate)
    loudness = meter.integrated_loudness
    assert loudness(inside) == pytest.approx(loudness(given), abs=0.2)
    for side in (0, 1):
        assert np.corrcoef(inside[:, side], given[:, side])[0, 1] > 0.97
    rest = [found[: first - rate // 50], found[first + len(given) + rate // 50 :]]
    assert max(np.abs(silent).max() for silent in rest) < 0.001
    whole = CARD + len(given) / rate + FIGURES["end_seconds"]
    assert len(found) / rate == pytest.approx(whole, abs=1 / 30 + 0.025)


def test_players_can_be_left_out_as_in_make(quick: list[dict[str, Any]], tmp_path: Path) -> None:
    command = ("video", "one-chord-vamp", "--choruses", "1", "--without", "drums", "-o")
    with small():
        assert call(*command, str(tmp_path / "x.mp4")).code == 0
    (asked,) = quick
    assert (asked["audio"], asked["without"]) == ("wav", ("drums",))


@pytest.mark.usefixtures("quick")
def test_the_same_form_gives_the_same_bytes(ours: Path, tmp_path: Path) -> None:
    """Also with a track that was made before, as all tracks are the same each time."""
    assert video(tmp_path / f"again{ours.suffix}").read_bytes() == ours.read_bytes()


def test_tags_are_those_of_the_track_and_each_section_has_a_chapter(ours: Path) -> None:
    asked = ["ffprobe", "-v", "error", "-show_format", "-show_chapters", "-of", "flat", str(ours)]
    found = subprocess.run(asked, capture_output=True, check=True, text=True).stdout
    lines = dict(line.split("=", 1) for line in found.splitlines())
    names = [text for name, text in lines.items() if name.endswith(".tags.title")]
    starts = [text for name, text in lines.items() if name.endswith(".start_time")]
    chart = unroll(FORM)
    expected = [("Title", 0.0)]
    if FORM.count_in:
        expected.append(("Count-in", CARD))
    expected += [
        (f"Chorus {number}", CARD + chart.seconds(time.start))
        for number, time in enumerate(chart.rounds, 1)
    ]
    expected += [("Ending", CARD + chart.seconds(bar.start)) for bar in chart.ending[:1]]
    chapters = [text.strip('"') for text in names][: len(expected)]
    assert chapters == [name for name, _ in expected]
    begun = [float(text.strip('"')) for text in starts][: len(expected)]
    assert begun == pytest.approx([seconds for _, seconds in expected], abs=0.001)
    tags = {name.lower(): text for name, text in lines.items() if "format.tags" in name}
    assert tags["format.tags.title"].startswith('"Short Way')


@pytest.mark.parametrize(
    ("kind", "size", "theme"), [(".mp4", "wide", "light"), (".webm", "upright", "dark")]
)
def test_the_bar_that_sounds_is_the_one_marked_in_the_decoded_picture(
    kind: str, size: str, theme: str, tmp_path: Path
) -> None:
    """At each bar line, a frame before it, on it and after it: an order of play with time bars,
    changes of metre, key and tempo, and pages that turn. tests/bench/video.py has more."""
    form = made_form(
        sections=[
            {"name": "A", "chords": "| I | vi | ii | V |", "time_bars": ["| V |", "| I | 2/4 V |"]},
            {"name": "B", "chords": "| IV | % | iii:1/2 vi:1/2 | V |", "meter": "3/4"},
        ],
        order=[{"play": "A, B, A"}, {"play": "B, A", "key": "+2", "tempo": 150}],
        tempo=190,
    )
    course = Course.of(unroll(form))
    with small(), kept_sound(silence(tmp_path / "sound", course.moments[-1].seconds)):
        path = make_video(form, tmp_path / f"x{kind}", size=size, theme=theme, soundfont=FONT)
        looked, wrong = wrong_bars(path, course, look_of(size, theme), CARD)
    assert looked > 20
    assert not wrong, wrong


def test_a_hundred_choruses_have_no_more_chapters_than_can_be_shown() -> None:
    course = made(
        sections=[{"name": "A", "chords": "| I |"}], choruses=100, meter="2/4", ending="hit"
    )
    found = chapters(course.chart, lead_in=CARD, least=0.0)
    assert 3 <= len(found) <= library.table("posting")["chapters"]["most"]
    assert found[0].seconds == 0


class Seen:
    """A view that keeps what it is shown."""

    room = look_of("wide", "light").rooms["card"]

    def scene(self, moment: Moment) -> Scene:
        return Scene(moment)

    def marks(self, drawing: object) -> tuple[()]:
        return ()


@pytest.fixture
def seen(monkeypatch: pytest.MonkeyPatch) -> Callable[..., list[Moment]]:
    """The moments that a film of a course shows, frame by frame, without the cards."""

    def moments(course: Course, seconds: float) -> list[Moment]:
        found: list[Moment] = []

        class Frames:
            planes = None

            def __init__(self, _look: object, views: object) -> None:
                self.views = views

            def draw(self, moment: Moment) -> bool:
                if self.views:
                    found.append(moment)
                return False

        monkeypatch.setattr(film_module, "Frames", Frames)
        monkeypatch.setattr(film_module, "title_card", lambda *_: ())
        monkeypatch.setattr(film_module, "end_card", lambda *_: ())
        monkeypatch.setattr(film_module, "views_of", lambda *_: (Seen(),))
        fonts = find_fonts(FONT, os.environ)
        film = Film(course.chart, look_of("wide", "light"), "none", USUAL, fonts, MIX)
        total = sum(1 for _ in film.pictures(seconds))
        assert total == film.length(seconds)
        return found

    return moments


def test_marks_follow_the_sound_for_an_hour_within_a_frame(
    seen: Callable[..., list[Moment]],
) -> None:
    """The times of the sound are those of the MIDI file that is played, whose tempo is rounded to
    a microsecond."""
    course = made(
        sections=[{"name": "A", "chords": "| I7 | IV7 | I7 | I7 | IV7 | % | I7 | % | V7 | IV7 |"}],
        tempo=67.7, choruses=100, count_in=1, ending="hit",
    )  # fmt: skip
    chart = course.chart
    seconds = chart.seconds(chart.end) + 3
    assert seconds > 58 * 60
    found = seen(course, seconds)
    first: dict[tuple[int, int], int] = {}
    for number, moment in enumerate(found):
        first.setdefault((moment.bar, moment.beat), number)
    midi = midi_file(Take(chart, ()))
    (tempo,) = {message.tempo for message in midi.tracks[0] if message.type == "set_tempo"}
    assert len(first) == 4 * (1 + len(chart.bars))
    for index, bar in enumerate(chart.bars):
        for beat, ticks in enumerate(bar.meter.beat_starts):
            sounds = mido.tick2second(bar.start + ticks, midi.ticks_per_beat, tempo)
            assert abs(first[index, beat] / 30 - sounds) <= 1 / 30


def test_a_frame_is_half_a_frame_early_or_late_at_most(seen: Callable[..., list[Moment]]) -> None:
    course = made(sections=[{"name": "A", "chords": "| I | IV |"}], tempo=143, choruses=9)
    found = seen(course, course.moments[-1].seconds + 1)
    first: dict[Moment, int] = {}
    for number, moment in enumerate(found):
        first.setdefault(moment, number)
    assert list(first) == list(course.moments)
    assert all(abs(n / 30 - m.seconds) <= 1 / 60 + 1e-9 for m, n in first.items())


@pytest.mark.parametrize(
    "values",
    [
        {"sections": [{"name": "A", "chords": "| I |"}], "choruses": 1},
        {"sections": [{"name": "A", "chords": "| I |"}], "choruses": 100, "meter": "2/4"},
        {"sections": [{"name": "A", "chords": "| I | IV |"}], "ending": "loop", "count_in": 0},
    ],
    ids=["one bar", "a hundred choruses", "a loop"],
)
@pytest.mark.parametrize("size", ["wide", "upright", "square"])
def test_short_long_and_endless_forms_have_frames(values: dict[str, Any], size: str) -> None:
    if "choruses" in values and values["choruses"] > 1 and size != "square":
        return  # one size is enough for what takes longest
    course = made(**values)
    with small():
        fonts = find_fonts(FONT, os.environ)
        film = Film(course.chart, look_of(size, "dark"), "none", USUAL, fonts, MIX)
        seconds = course.moments[-1].seconds
        shown = list(film.pictures(seconds))
    wide, high = (180, 320) if size == "upright" else (320 if size == "wide" else 180, 180)
    drawn = [planes for planes in shown if planes is not None]
    assert {planes.shape for planes in drawn} == {(high * 3 // 2, wide)}
    assert len(drawn) <= len(course.moments) + 3
    assert shown[0] is not None


def test_another_ending_of_the_path_is_one_line(tmp_path: Path) -> None:
    result = call("video", "twelve-bar", "-o", str(tmp_path / "x.avi"))
    assert (result.code, result.out) == (1, "")
    assert result.err == f"groove: {tmp_path / 'x.avi'}: a video ends in .mp4 or .webm\n"
    assert snapshot(tmp_path) == {}


@pytest.mark.parametrize("package", ["av", "pypdfium2"])
def test_a_missing_package_is_one_line_before_anything_is_made(
    package: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, package, None)
    said: list[str] = []
    with pytest.raises(GrooveError, match=r"needs more packages; run: pip install"):
        make_video(FORM, tmp_path / "x.mp4", soundfont=FONT, say=said.append)
    assert not said
    assert snapshot(tmp_path) == {}


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("share", [0.1, 0.6], ids=["sound", "picture"])
def test_stopped_it_leaves_what_was_there(share: float, tmp_path: Path) -> None:
    (tmp_path / "x.mp4").write_text("before")

    def stop(done: float) -> None:
        if done > share:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        video(tmp_path / "x.mp4", progress=stop)
    assert snapshot(tmp_path) == {"x.mp4": b"before"}


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("kind", KINDS)
def test_without_room_for_the_video_one_line_names_it(kind: str, tmp_path: Path) -> None:
    path, before = tmp_path / f"x{kind}", resource.getrlimit(resource.RLIMIT_FSIZE)

    def no_room(done: float) -> None:
        if done > 0.4:
            resource.setrlimit(resource.RLIMIT_FSIZE, (50_000, before[1]))

    try:
        with pytest.raises(GrooveError) as error:
            video(path, progress=no_room)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert str(error.value) == f"{path}: can't be written: File too large"
    assert snapshot(tmp_path) == {}


@pytest.mark.usefixtures("quick")
def test_a_folder_that_is_missing_is_made_and_goes_again(tmp_path: Path) -> None:
    def stop(done: float) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        video(tmp_path / "new" / "x.mp4", progress=stop)
    assert snapshot(tmp_path) == {}


def test_told_to_stop_the_command_leaves_nothing(tmp_path: Path) -> None:
    """While the picture is written."""
    short = ("one-chord-vamp", "--choruses", "1", "--chords", "I7 IV7", "--tempo", "200")
    with start("video", *short, "-o", "x.mp4", cwd=tmp_path) as process:
        while not [path for path in tmp_path.glob("*/x.mp4") if path.stat().st_size]:
            assert process.poll() is None, "it ended before it was stopped"
            time.sleep(0.01)
        process.send_signal(signal.SIGTERM)
        _, err = process.communicate(timeout=60)
    assert process.returncode == 1
    assert err.decode().splitlines()[-1].startswith("groove: stopped")
    assert "Traceback" not in err.decode()
    assert snapshot(tmp_path) == {}


@pytest.mark.usefixtures("quick")
def test_progress_goes_from_nothing_to_all(tmp_path: Path) -> None:
    shares: list[float] = []
    video(tmp_path / "x.mp4", progress=shares.append)
    assert shares == sorted(shares)
    assert 0 <= shares[0] < 0.2
    assert len(shares) > 20
    assert shares[-1] == 1.0
