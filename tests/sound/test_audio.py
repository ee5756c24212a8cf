"""A rendered file has the right length and level, whole or not at all."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Unpack

import numpy as np
import pytest
import soundfile

from groove.errors import GrooveError
from groove.sound.options import AudioOptions
from groove.sound.synth.soundfonts import Fonts, Soundfont
from groove.sound.synth.turns import Turns
from tests.sound.sound_material import Wave, midi_of, read_wave, render_to, run_python

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    import mido

RATE = 44_100


def decibels(share: float) -> float:
    return 20 * float(np.log10(max(share, 1e-10)))


def names_in(folder: Path) -> list[str]:
    return [path.name for path in folder.iterdir()]


def rendered(
    midi: mido.MidiFile,
    fonts: Fonts,
    folder: Path,
    loop: tuple[int, int] | None = None,
    **options: Unpack[AudioOptions],
) -> Wave:
    render_to(folder / "x.wav", midi, fonts, loop=loop, **options)
    return read_wave(folder / "x.wav")


@pytest.fixture
def dense() -> mido.MidiFile:
    """Fifteen channels of ten-note chords and the whole drum kit, all as loud as can be."""
    chords = [
        (beat, 0.9, note, 127) for beat in range(8) for note in (36, 43, 48, 52, 55, 60, 64, 67)
    ]
    kit = [(beat / 2, 0.4, note, 127) for beat in range(16) for note in range(35, 60)]
    channels = [channel for channel in range(16) if channel != 9]
    return midi_of(
        {9: kit} | dict.fromkeys(channels, chords),
        {channel: 8 * channel for channel in channels},
    )


def test_the_length_is_that_of_the_music_and_its_tail(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    report = render_to(tmp_path / "x.wav", short_take, fonts)
    assert 6 < report.seconds < 9


def test_the_report_s_length_is_that_of_the_file(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    report = render_to(tmp_path / "x.wav", short_take, fonts)
    sound = read_wave(tmp_path / "x.wav")
    assert report.seconds == len(sound) / RATE


def test_the_loudest_music_does_not_clip(
    dense: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    sound = np.abs(rendered(dense, fonts, tmp_path))
    top = sound.max()
    assert decibels(top) < -0.9
    assert np.count_nonzero(sound > 0.999 * top) < 5


@pytest.mark.parametrize("target", [-23, -14, -10])
def test_the_mix_has_the_loudness_asked_for_and_no_peak_too_high(
    target: float, short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    heard = render_to(tmp_path / "x.wav", short_take, fonts, loudness=target).levels
    assert heard
    assert heard.loudness == pytest.approx(target, abs=0.5)
    assert heard.true_peak <= -1.0


def test_a_loudness_out_of_reach_is_reported(fonts: Fonts, tmp_path: Path) -> None:
    """Four short strokes, two seconds apart."""
    strokes = midi_of({9: [(4 * beat, 0.1, 75, 100) for beat in range(4)]})
    report = render_to(tmp_path / "x.wav", strokes, fonts, loudness=-10)
    assert report.levels
    assert report.short > 0.5
    assert report.levels.loudness == pytest.approx(-10 - report.short, abs=0.1)


def test_stems_are_as_long_as_the_mix(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    render_to(tmp_path / "x.wav", short_take, fonts, stems=True, without_each=True)
    assert len({path.stat().st_size for path in tmp_path.iterdir()}) == 1
    assert len(names_in(tmp_path)) == 7


def test_stems_sum_to_the_mix_before_the_limiter(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    """The null test: at a loudness at which the limiter has nothing to do, under -60 dBFS."""
    report = render_to(tmp_path / "x.wav", short_take, fonts, stems=True, bits=24, loudness=-26)
    mix, *stems = (
        soundfile.read(tmp_path / f"x{part}.wav")[0] for part in ("", "_drums", "_bass", "_comping")
    )
    assert (report.limiter, report.part_limiters) == (0, {})
    assert decibels(np.abs(mix - sum(stems)).max()) < -120


def lowered_by(sound: Wave, unlimited: Wave) -> float:
    """By how many dB the loud samples of a sound have been lowered at most."""
    loud = np.abs(unlimited) > 0.3
    return decibels(1 / float((sound[loud] / unlimited[loud]).min()))


@pytest.fixture(scope="module")
def loud_take() -> mido.MidiFile:
    """A bass with a kick drum on every beat, and a chord to the third of them."""
    kicks = [(beat, 0.4, note, 127) for beat in range(4) for note in (36, 38)]
    bass = [(beat, 0.9, 40, 127) for beat in range(4)]
    comping = [(2, 1.9, note, 127) for note in (52, 59, 64, 67)]
    return midi_of({9: kicks, 0: bass, 1: comping}, {0: 33, 1: 4})


def test_the_report_s_reductions_are_those_in_the_files(
    loud_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    """Compared with the same take so quiet that nothing is limited, raised by the same gain."""
    quiet = render_to(tmp_path / "q.wav", loud_take, fonts, stems=True, bits=24, loudness=-34)
    loud = render_to(tmp_path / "x.wav", loud_take, fonts, stems=True, bits=24, loudness=-12)
    assert (quiet.limiter, quiet.part_limiters, quiet.together) == (0, {}, 0)
    gain = 10 ** ((loud.gain - quiet.gain) / 20)
    before, after = (
        {part: soundfile.read(tmp_path / f"{x}_{part}.wav")[0] for part in loud.parts} for x in "qx"
    )
    found = {part: lowered_by(after[part], gain * before[part]) for part in loud.parts}
    assert {p: loud.part_limiters.get(p, 0) for p in found} == pytest.approx(found, abs=0.1)
    mix = soundfile.read(tmp_path / "x.wav")[0]
    assert loud.limiter == pytest.approx(lowered_by(mix, sum(after.values())), abs=0.1)
    assert loud.limiter > 1
    assert max(found.values()) <= loud.together + 0.1
    assert loud.together <= max(found.values()) + loud.limiter + 0.1


def test_stems_sum_to_the_mix_but_for_the_limiter_at_work(
    loud_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    """Under -60 dBFS where the limiter on the mix is idle; elsewhere it only lowers."""
    report = render_to(tmp_path / "x.wav", loud_take, fonts, stems=True, bits=24, loudness=-13)
    mix, *stems = (
        soundfile.read(tmp_path / f"x{part}.wav")[0] for part in ("", "_drums", "_bass", "_comping")
    )
    whole = np.sum(stems, axis=0)
    loud = np.abs(whole) > 0.01
    ratios = np.where(loud, mix / np.where(loud, whole, 1), 1)
    assert decibels(1 / float(ratios.min())) == pytest.approx(report.limiter, abs=0.1)
    assert ratios.max() < 1.001
    busy = np.flatnonzero(np.abs(whole).max(axis=1) > 0.7)
    since = np.append(0, np.cumsum(np.bincount(busy, minlength=len(mix)) > 0))
    frame = np.arange(len(mix))
    begin, end = np.maximum(frame - RATE // 10, 0), np.minimum(frame + RATE // 100, len(mix))
    idle = since[begin] == since[end]
    assert decibels(np.abs(mix - whole)[idle].max()) < -60
    assert report.limiter > 0.3
    assert 0.2 < idle.mean() < 1


def test_the_report_speaks_of_those_parts_only_that_are_heard(
    loud_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    report = render_to(tmp_path / "x.wav", loud_take, fonts, only="drums", loudness=-11)
    assert report.comping_share is None
    assert set(report.part_limiters) == {"drums"}


def test_without_a_part_is_the_mix_less_that_part(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    """The gain is that of the whole band: a switch from one to the other makes no step."""
    render_to(
        tmp_path / "x.wav",
        short_take,
        fonts,
        stems=True,
        without_each=True,
        loudness=-26,
        bits=24,
    )
    mix, less, bass = (
        soundfile.read(tmp_path / f"x{part}.wav")[0] for part in ("", "_without-bass", "_bass")
    )
    assert decibels(np.abs(mix - bass - less).max()) < -120


def test_a_choice_of_parts_alone_is_what_it_is_beside_the_others(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    render_to(tmp_path / "x.wav", short_take, fonts, without_each=True)
    render_to(tmp_path / "y.wav", short_take, fonts, without="bass")
    alone, beside = (read_wave(tmp_path / f"{name}_without-bass.wav") for name in "xy")
    assert np.array_equal(alone, beside)


def test_stems_do_not_clip_however_loud_the_mix(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    report = render_to(tmp_path / "x.wav", short_take, fonts, stems=True, loudness=-10)
    assert report.part_limiters
    for path in tmp_path.iterdir():
        assert decibels(np.abs(read_wave(path)).max()) < -0.05


def test_players_set_apart_are_each_on_their_side(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    render_to(tmp_path / "x.wav", short_take, fonts, stems=True, apart=True)
    mix, drums, bass, comping = (
        read_wave(tmp_path / f"x{part}.wav") for part in ("", "_drums", "_bass", "_comping")
    )
    assert not drums[:, 1].any()
    assert not bass[:, 1].any()
    assert not comping[:, 0].any()
    assert min(np.abs(mix).max(axis=0)) > 0.05


def test_the_audio_starts_with_sound(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    sound = rendered(short_take, fonts, tmp_path)
    assert np.abs(sound[: RATE // 100]).max() > 0.1


def test_the_tail_dies_away_before_the_end(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    sound = rendered(short_take, fonts, tmp_path)
    assert decibels(np.abs(sound[-RATE // 20 :]).max() / np.abs(sound).max()) < -65


def test_no_silence_is_left_at_the_end(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    sound = rendered(short_take, fonts, tmp_path)
    audible = np.flatnonzero(np.abs(sound).max(axis=1) > np.abs(sound).max() * 10 ** (-71 / 20))
    assert len(sound) - audible[-1] < 0.1 * RATE


def test_a_rest_inside_the_track_does_not_end_it(fonts: Fonts, tmp_path: Path) -> None:
    notes = [(0, 0.2, 37, 100), (30, 0.2, 37, 100)]
    assert len(rendered(midi_of({9: notes}), fonts, tmp_path)) > 15 * RATE


def test_the_same_music_gives_the_same_bytes(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    for name in ("a.wav", "b.wav"):
        render_to(tmp_path / name, short_take, fonts)
    assert (tmp_path / "a.wav").read_bytes() == (tmp_path / "b.wav").read_bytes()


def test_another_process_gives_the_same_bytes(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    render_to(tmp_path / "a.wav", short_take, fonts)
    short_take.save(tmp_path / "x.mid")
    code = (
        "import mido\nfrom pathlib import Path\n"
        "from groove.sound.synth.soundfonts import find_fonts\n"
        "from tests.sound.sound_material import render_to\n"
        f"folder = Path({str(tmp_path)!r})\n"
        f"font = find_fonts({str(fonts.main.path)!r}, {{}}, [])\n"
        "render_to(folder / 'b.wav', mido.MidiFile(folder / 'x.mid'), font)\n"
    )
    done = run_python(code)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "a.wav").read_bytes() == (tmp_path / "b.wav").read_bytes()


def test_progress_never_falls(short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path) -> None:
    told: list[float] = []
    render_to(tmp_path / "x.wav", short_take, fonts, progress=told.append)
    assert told == sorted(told)


def test_progress_ends_at_1(short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path) -> None:
    told: list[float] = []
    render_to(tmp_path / "x.wav", short_take, fonts, progress=told.append)
    assert told[-1] == 1


def test_only_the_target_is_left(short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path) -> None:
    render_to(tmp_path / "x.wav", short_take, fonts)
    assert names_in(tmp_path) == ["x.wav"]


def test_music_without_notes_is_an_error(fonts: Fonts, tmp_path: Path) -> None:
    with pytest.raises(GrooveError, match="nothing to play"):
        render_to(tmp_path / "x.wav", midi_of({}), fonts)


def test_a_soundfont_without_sounds_is_an_error(
    short_take: mido.MidiFile, soundfont_at: Callable[..., Path], tmp_path: Path
) -> None:
    silent = Fonts(Soundfont(soundfont_at("silent.sf2"), "Silent", "none"))
    with pytest.raises(GrooveError, match="no sound for anything"):
        render_to(tmp_path / "x.wav", short_take, silent)


LOOP_BEAT = 22_080
"""Frames of a beat in the loop tests: whole grains, so that every turn is struck alike."""


def loop_music(turns: int) -> mido.MidiFile:
    """One bar of count-in, then `turns` times two bars that ring on past their end."""
    notes, clicks = [], [(beat, 0.2, 37, 100) for beat in range(4)]
    for turn in range(turns):
        top = 4 + 8 * turn
        notes += [(top + beat, 0.8, 40 + 2 * beat, 90) for beat in range(7)]
        notes += [(top + 4, 3.99, note, 100) for note in (64, 67, 71)]
        clicks += [(top, 1, 49, 110)]
    tempo = round(LOOP_BEAT / RATE * 1e6)
    return midi_of({9: clicks, 0: notes}, {0: 89}, tempos=((0, tempo),))


LOOP = (4 * 480, 12 * 480)
"""Ticks."""


def test_a_loop_ends_at_its_end_to_the_frame(fonts: Fonts, tmp_path: Path) -> None:
    assert len(rendered(loop_music(1), fonts, tmp_path, LOOP)) == 12 * LOOP_BEAT


def test_a_loop_that_outlasts_its_sound_is_filled_with_silence(
    fonts: Fonts, tmp_path: Path
) -> None:
    sound = rendered(midi_of({9: [(0, 0.2, 37, 100)]}), fonts, tmp_path, (0, 20 * 480))
    assert len(sound) == 10 * RATE


def test_a_loop_shorter_than_its_tail_holds_all_of_it(fonts: Fonts, tmp_path: Path) -> None:
    """A crash in a loop of a quarter second: every turn adds its part of the tail."""
    crash = midi_of({9: [(0, 0.4, 49, 110)]})
    loop = rendered(crash, fonts, tmp_path, (0, 240))
    level = np.sqrt((loop**2).mean(axis=1))
    assert level[-RATE // 20 :].mean() > 0.1 * level.mean()


def test_a_loop_sounds_like_the_same_bars_played_on(
    fonts: Fonts, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """But for the small differences of equal notes and the limiter, which are left out here."""
    monkeypatch.setattr(Turns, "next", lambda *_asked, **_more: 0)
    looped = rendered(loop_music(1), fonts, tmp_path, LOOP, loudness=-26)
    played = rendered(loop_music(3), fonts, tmp_path, loudness=-26)
    start, end = 4 * LOOP_BEAT, 12 * LOOP_BEAT
    twice = np.concatenate([looped, looped[start:end]])[end : end + LOOP_BEAT]
    second = played[end : end + LOOP_BEAT]
    scale = (twice * second).sum() / (second**2).sum()
    difference = np.sqrt(((twice - scale * second) ** 2).mean() / (twice**2).mean())
    assert decibels(difference) < -40


def test_the_join_of_a_loop_is_as_smooth_as_the_rest(fonts: Fonts, tmp_path: Path) -> None:
    looped = rendered(loop_music(1), fonts, tmp_path, LOOP)
    start, end = 4 * LOOP_BEAT, 12 * LOOP_BEAT
    twice = np.concatenate([looped, looped[start:end]])
    bends = np.abs(np.diff(twice, n=2, axis=0)).max(axis=1)
    join, before = bends[end - 4 : end + 2].max(), bends[end - LOOP_BEAT : end - 4]
    assert join <= before.max()


@pytest.mark.parametrize("loop", [(960, 960), (1440, 480), (-480, 960)])
def test_a_loop_that_is_none_is_refused(
    loop: tuple[int, int], short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    with pytest.raises(ValueError, match="a loop needs"):
        render_to(tmp_path / "x.wav", short_take, fonts, loop=loop)


def test_stems_of_a_loop_sum_to_its_mix(fonts: Fonts, tmp_path: Path) -> None:
    render_to(
        tmp_path / "x.wav", loop_music(1), fonts, loop=LOOP, stems=True, bits=24, loudness=-26
    )
    mix, drums, bass = (
        soundfile.read(tmp_path / f"x{part}.wav")[0] for part in ("", "_drums", "_bass")
    )
    assert decibels(np.abs(mix - drums - bass).max()) < -120


@pytest.mark.parametrize("place", ["nowhere/x.wav", "file/x.wav", "folder.wav"])
def test_a_target_that_cannot_be_written_is_named(
    place: str, short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    (tmp_path / "file").touch()
    (tmp_path / "folder.wav").mkdir()
    with pytest.raises(GrooveError) as error:
        render_to(tmp_path / place, short_take, fonts)
    assert str(error.value).startswith(f"{tmp_path / place}: ")


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_closed_folder_is_named(short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    with pytest.raises(GrooveError, match="Permission denied"):
        render_to(tmp_path / "x.wav", short_take, fonts)


def test_a_folder_that_vanishes_meanwhile_is_an_error(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    folder = tmp_path / "gone"
    folder.mkdir()

    def vanish(fraction: float) -> None:
        if folder.exists():
            folder.rmdir()

    with pytest.raises(GrooveError, match="cannot be written"):
        render_to(folder / "x.wav", short_take, fonts, progress=vanish)


def test_an_error_in_progress_leaves_nothing(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    def fail(fraction: float) -> None:
        if fraction > 0.5:
            raise RuntimeError("enough")

    with pytest.raises(RuntimeError, match="enough"):
        render_to(tmp_path / "x.wav", short_take, fonts, progress=fail)
    assert names_in(tmp_path) == []


def test_a_full_device_is_an_error_and_is_left_alone(
    short_take: mido.MidiFile, fonts: Fonts, tmp_path: Path
) -> None:
    (tmp_path / "x.wav").symlink_to("/dev/full")
    with pytest.raises(GrooveError, match="no room"):
        render_to(tmp_path / "x.wav", short_take, fonts)
    assert (tmp_path / "x.wav").is_char_device()


RENDER_AND_LIST = """
import os, sys, resource
from pathlib import Path
from tests.sound.sound_material import midi_of, render_to
from groove.errors import GrooveError
from groove.sound.synth.soundfonts import find_fonts
folder, limit = Path(sys.argv[1]), int(sys.argv[2])
if limit:
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
midi = midi_of({9: [(beat, 0.2, 37, 100) for beat in range(12)]})
try:
    render_to(folder / "x.wav", midi, find_fonts(None, {}, []))
except GrooveError as error:
    print(error)
print(os.listdir(folder))
"""


def render_into(folder: Path, limit: int = 0) -> tuple[list[str], str]:
    """Standard output and standard error of a process that renders a file."""
    code = RENDER_AND_LIST.replace("sys.argv[1]", repr(str(folder)))
    done = run_python(code.replace("sys.argv[2]", str(limit)))
    return done.stdout.splitlines(), done.stderr


def test_a_file_size_limit_ends_in_one_line_and_no_file(tmp_path: Path) -> None:
    said, noise = render_into(tmp_path, limit=300_000)
    assert (noise, said[1:]) == ("", ["[]"])
    assert "x.wav: no room left to write it" in said[0]


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk that is full after 1 MB; the file of 6 s needs 1.1."""
    mount = ["mount", "-t", "tmpfs", "-o", "size=1000000", "tmpfs", str(tmp_path)]
    if os.geteuid() != 0 or subprocess.run(mount, capture_output=True).returncode != 0:
        pytest.skip("only root can mount a small disk, and not everywhere")
    yield tmp_path
    subprocess.run(["umount", str(tmp_path)], check=True)


def test_a_full_disk_ends_in_one_line_and_no_file(small_disk: Path) -> None:
    said, noise = render_into(small_disk)
    assert (noise, said[1:]) == ("", ["[]"])
    assert "x.wav: no room left to write it" in said[0]


RENDER_FOR_LONG = """
import sys, time
from pathlib import Path
from tests.sound.sound_material import midi_of, render_to
from groove.sound.synth.soundfonts import find_fonts
midi = midi_of({0: [(beat, 0.9, 40, 100) for beat in range(1800)]})
def tell(fraction):
    print(fraction, flush=True)
    if fraction >= float(sys.argv[1]):
        time.sleep(60)  # the stop comes here, while the other threads work
try:
    render_to(Path("x.wav"), midi, find_fonts(None, {}, []), progress=tell)
except KeyboardInterrupt:
    sys.exit(130)
"""


@pytest.mark.parametrize("stage", [0.1, 0.91])
def test_ctrl_c_ends_it_and_leaves_nothing(stage: float, tmp_path: Path) -> None:
    path = str(Path(__file__).parents[2])
    process = subprocess.Popen(
        [sys.executable, "-c", RENDER_FOR_LONG, str(stage)],
        cwd=tmp_path,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONPATH": path},
    )
    assert process.stdout is not None
    assert process.stderr is not None
    while float(process.stdout.readline()) < stage:
        pass
    process.send_signal(signal.SIGINT)
    _, noise = process.communicate(timeout=60)
    assert (process.returncode, noise, names_in(tmp_path)) == (130, "", [])
