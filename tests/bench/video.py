"""Measure videos: time, memory, size, sharpness, marks, flashes.

Run as ``python -m tests.bench.video [WHAT ...]`` from the checkout; WHAT is one or more of

time      a video of three minutes, 1920 x 1080, beside its WAV alone: seconds, of all cores
          together too, and the share of frames that were drawn
memory    the most memory that a video of 1, 3, 10 and 60 minutes takes, each made by a process of
          its own; the limit is 500 MB
marks     the bar that is marked, read from the decoded picture at every bar line of three forms (a
          frame before it, on it and after it), in all sizes, themes and formats
drift     the times of frames and of sound in a long, small video
sharp     the decoded picture beside the drawn one (peak signal to noise in dB), and bytes a minute
flashes   changes of relative luminance in a second by area, at 60 and at 320 beats a minute (WCAG
          2.2, 2.3.1, from memory: no more than three flashes in a second; a flash is a pair of
          opposing changes of 0.1 or more, the darker under 0.8, over a quarter of 10 degrees of
          sight, which is 341 x 256 pixels of a frame shown 1024 pixels wide)

without any: all of them but memory and marks, which take long.
"""

from __future__ import annotations

import itertools
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np

import groove
from groove.form.model import Form
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.handout.video import frames as frames_module
from groove.handout.video import look as look_module
from groove.handout.video.course import FRAMES_A_SECOND, Course
from groove.handout.video.encoder import FORMATS, Encoder
from groove.handout.video.film import Film
from groove.handout.video.look import look_of
from groove.handout.video.make import make_video
from groove.lesson.request import USUAL
from groove.sound.mixes import Mix
from groove.sound.samples import SAMPLE_RATE
from groove.sound.synth.soundfonts import find_fonts
from tests.handout.video.pixels import frames_at, wrong_bars

SIZES, THEMES = ("wide", "upright", "square"), ("light", "dark")
ROOT = Path(__file__).parents[2]
LADDER = (
    'title = "Up the Ladder"\nkey = "G"\ntempo = 130\ntempo_step = 17\nkey_cycle = "fourths"\n'
    'choruses = 4\ndrums = "jazz-waltz"\n'
    '[[sections]]\nname = "A"\nchords = "| I | vi7 | ii7 | V7 |"\n'
    '[[sections]]\nname = "B"\nmeter = "4/4"\ndrums = "medium-swing"\n'
    'chords = "| IV | iv | I:1/2 VI7:1/2 | ii7 |"\n'
)


def film_of(form: Form, size: str, theme: str) -> Film:
    fonts = find_fonts(None, os.environ)
    return Film(unroll(form), look_of(size, theme), "none", USUAL, fonts, Mix("", ()))


def of_length(seconds: float) -> Form:
    """A blues of 48 bars a chorus, at 120, that lasts about so long."""
    blues = "I7 IV7 I7 I7 IV7 IV7 I7 I7 V7 IV7 I7 V7 "
    choruses = max(1, round((seconds - 4) / 96))
    return read_form(
        "twelve-bar", chords=blues * 4, tempo=120, count_in=1, ending="hit", choruses=choruses
    )


def spent() -> float:
    """Seconds that all cores have worked for this process and those it waited for."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(each.ru_utime + each.ru_stime for each in used)


def timed(what: str, make: Callable[[], object]) -> tuple[float, float]:
    begun, worked = time.perf_counter(), spent()
    make()
    took, work = time.perf_counter() - begun, spent() - worked
    print(f"{what}: {took:.1f} s, {work:.1f} s of all cores together")
    return took, work


def measure_time(folder: Path) -> None:
    form = of_length(180)
    chart = unroll(form)
    seconds = chart.seconds(chart.end)
    groove.make(form, folder / "warm", audio="wav")  # files and caches are read
    _, wav = timed("WAV alone", lambda: groove.make(form, folder / "wav", audio="wav"))
    for kind in FORMATS:
        path = folder / f"x{kind}"
        took, work = timed(f"video{kind}", lambda path=path: make_video(form, path))  # type: ignore[misc]
        print(
            f"  of {seconds:.0f} s of music: a sixth is {seconds / 6:.0f} s; "
            f"{work / wav:.1f} times the work of the WAV, at best {work / 2:.1f} s on two cores; "
            f"{path.stat().st_size / seconds * 60 / 1e6:.2f} MB a minute"
        )
        assert took > 0
    film = film_of(form, "wide", "light")
    drawn, total = 0, 0
    begun = spent()
    for planes in film.pictures(seconds):
        drawn, total = drawn + (planes is not None), total + 1
    print(f"  {drawn} of {total} frames are drawn ({drawn / total:.1%}), {spent() - begun:.2f} s")


def measure_memory(folder: Path) -> None:
    for minutes in (1, 3, 10, 60):
        for kind in FORMATS:
            if minutes == 60 and kind == ".webm":
                continue
            script = (
                "import sys\nfrom pathlib import Path\n"
                "from tests.bench.video import of_length\n"
                "from tests.bench.audio_memory import resident_megabytes\n"
                "from groove.handout.video.make import make_video\n"
                f"make_video(of_length({60 * minutes - 30}), Path(sys.argv[1]))\n"
                "print(resident_megabytes())\n"
            )
            path = folder / f"{minutes}{kind}"
            begun = time.perf_counter()
            done = subprocess.run(
                [sys.executable, "-c", script, str(path)], cwd=ROOT, check=True,
                capture_output=True, text=True, env=os.environ | {"PYTHONPATH": str(ROOT)},
            )  # fmt: skip
            print(
                f"{minutes} minutes{kind}: {float(done.stdout):.0f} MB at most, "
                f"{path.stat().st_size / 1e6:.0f} MB, {time.perf_counter() - begun:.0f} s"
            )
            path.unlink()


def silent(film: Film, path: Path, kind: str, seconds: float) -> None:
    """Write a video of a film without its sound."""
    with Encoder(path, kind, film.look.pixels, {}, [], film.length(seconds) / 30) as out:
        out.play(np.zeros((SAMPLE_RATE, 2), np.float32))
        for planes in film.pictures(seconds):
            out.show(planes)


def measure_marks(folder: Path) -> None:
    look_module.PIXELS_A_MM = frames_module.PIXELS_A_MM = (
        2  # a ninth of the pixels, and of the time
    )
    marks_of_forms(folder)
    look_module.PIXELS_A_MM = frames_module.PIXELS_A_MM = 6


def marks_of_forms(folder: Path) -> None:
    (folder / "ladder.toml").write_text(LADDER)
    forms = {
        "twelve bars": read_form("twelve-bar"),
        "an order of play": read_form(ROOT / "tests/arrangements/pop-song.toml"),
        "a ladder of tempi and keys": read_form(folder / "ladder.toml"),
    }
    for (name, form), size, theme in itertools.product(forms.items(), SIZES, THEMES):
        film = film_of(form, size, theme)
        course = Course.of(unroll(form))
        both = (size, theme) in (("wide", "light"), ("upright", "dark"))
        for kind in FORMATS if both else (".mp4",):
            path = folder / f"marks{kind}"
            silent(film, path, kind, course.moments[-1].seconds)
            looked, wrong = wrong_bars(path, course, film.look, film.lead_in)
            print(f"{name}, {size}, {theme}, {kind}: {looked} bar lines, {len(wrong)} wrong")
            for line in wrong[:5]:
                print(f"  {line}")


def measure_drift(folder: Path) -> None:
    minutes = 20
    for kind in FORMATS:
        path, frames = folder / f"long{kind}", minutes * 60 * FRAMES_A_SECOND
        click = np.zeros((SAMPLE_RATE, 2), np.float32)
        click[:200] = 0.5
        planes = np.full((48 * 3 // 2, 64), 128, np.uint8)
        with Encoder(path, kind, (64, 48), {}, [], minutes * 60) as out:
            for number in range(frames):
                out.show(planes if number == 0 else None)
                if number % FRAMES_A_SECOND == 0:
                    out.play(click)
        asked = [
            "ffprobe",
            "-v",
            "error",
            "-show_entries",
            "packet=pts_time,stream_index",
            "-of",
            "json",
        ]
        done = subprocess.run([*asked, str(path)], capture_output=True, check=True)
        packets = json.loads(done.stdout)["packets"]
        times = sorted(float(p["pts_time"]) for p in packets if p["stream_index"] == 0)
        off = max(abs(at - number / FRAMES_A_SECOND) for number, at in enumerate(times))
        raw = subprocess.run(
            ["ffmpeg", "-v", "error", "-i", str(path), "-vn", "-f", "f32le", "-ac", "1",
             "-ar", "48000", "-"], capture_output=True, check=True,
        ).stdout  # fmt: skip
        sound = np.abs(np.frombuffer(raw, np.float32))
        last = (minutes * 60 - 2) * 48_000
        struck = last + int(np.argmax(sound[last : last + 24_000] > 0.2)) - last
        print(
            f"{minutes} minutes{kind}: {len(times)} of {frames} frames, {1000 * off:.2f} ms off "
            f"at most; a click of the last seconds {1000 * struck / 48_000:.2f} ms off"
        )


def measure_sharp(folder: Path) -> None:
    form = read_form("jazz-twelve-bar", choruses=2)
    course = Course.of(unroll(form))
    seconds = course.moments[-1].seconds
    for theme, kind in itertools.product(THEMES, FORMATS):
        film = film_of(form, "wide", theme)
        path = folder / f"sharp{kind}"
        silent(film, path, kind, seconds)
        numbers = list(range(0, film.length(seconds), 97))
        high = film.look.pixels[1]
        drawn: dict[int, np.ndarray] = {}
        for number, planes in enumerate(film.pictures(seconds)):
            last = planes if planes is not None else last  # noqa: F821
            if number in numbers:
                drawn[number] = last.copy()
        worst, all_ = 99.0, []
        for number, shown in zip(numbers, frames_at(path, numbers, film.look.pixels), strict=True):
            error = np.square(shown[:high].astype(float) - drawn[number][:high]).mean()
            all_.append(99.0 if error == 0 else 10 * np.log10(255**2 / error))
            worst = min(worst, all_[-1])
        print(
            f"{theme}{kind}: {np.mean(all_):.1f} dB, {worst:.1f} dB at worst; picture "
            f"{path.stat().st_size / film.length(seconds) * 1800 / 1e6:.2f} MB a minute"
        )


def luminance(planes: np.ndarray, high: int) -> np.ndarray:
    """The relative luminance of a frame, 0 to 1, in squares of 8 pixels; grey is taken for all
    colours."""
    luma = np.clip((planes[:high].astype(np.float32) - 16) / 219, 0, 1)
    linear = np.where(luma <= 0.04045, luma / 12.92, ((luma + 0.055) / 1.055) ** 2.4)
    rows, columns = linear.shape
    squares = linear[: rows // 8 * 8, : columns // 8 * 8].reshape(rows // 8, 8, columns // 8, 8)
    return np.asarray(squares.mean(axis=(1, 3)))


def flashing(frames: Iterator[np.ndarray | None], high: int) -> tuple[float, float]:
    """The largest share of a field of 10 degrees that changes from one frame to the next by a tenth
    of the luminance or more, and the largest number of frames in a second that change a quarter or
    more of one: twice as many as flashes, or more."""
    before: np.ndarray | None = None
    share, when = 0.0, []
    for number, planes in enumerate(frames):
        if planes is None:
            continue
        now = luminance(planes, high)
        if before is not None:
            changed = (np.abs(now - before) >= 0.1) & (np.minimum(now, before) < 0.8)
            wide, tall = round(now.shape[1] / 3), round(now.shape[1] / 4)  # 341 x 256 of 1024
            total = np.pad(changed.cumsum(0).cumsum(1), ((1, 0), (1, 0)))
            tall, wide = min(tall, now.shape[0]), min(wide, now.shape[1])
            field = (
                total[tall:, wide:]
                - total[:-tall, wide:]
                - total[tall:, :-wide]
                + total[:-tall, :-wide]
            )
            most = field.max() / (wide * tall)
            share = max(share, float(most))
            if most >= 0.25:
                when.append(number)
        before = now
    most_in = max((sum(a <= b < a + FRAMES_A_SECOND for b in when) for a in when), default=0)
    return share, most_in


def measure_flashes(_folder: Path) -> None:
    for tempo, size, theme in itertools.product((60, 320), SIZES, THEMES):
        form = read_form("rhythm-changes", tempo=tempo, choruses=1)
        film = film_of(form, size, theme)
        seconds = Course.of(unroll(form)).moments[-1].seconds
        share, most = flashing(film.pictures(seconds), film.look.pixels[1])
        print(f"{tempo} a minute, {size}, {theme}: {share:.0%} of a field, {most} times a second")


MEASURES = {
    "time": measure_time, "memory": measure_memory, "marks": measure_marks, "drift": measure_drift,
    "sharp": measure_sharp, "flashes": measure_flashes,
}  # fmt: skip


def main() -> None:
    asked = sys.argv[1:] or [name for name in MEASURES if name not in ("memory", "marks")]
    for name in asked:
        print(f"{name}:")
        with tempfile.TemporaryDirectory() as folder:
            MEASURES[name](Path(folder))


if __name__ == "__main__":
    main()
