"""The Python API: what make returns and writes, and that it writes all or nothing."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import mido
import pytest

import groove
from tests.command_line import snapshot
from tests.sound.sound_material import GENERAL_MIDI
from tests.theory.key_material import KEYS

if TYPE_CHECKING:
    from groove.band.take import PlayedNote, Take
    from groove.sound.report import Report

README = Path(__file__).parents[1] / "README.md"
PYTHON_BLOCKS = re.findall(r"^```python\n(.*?)^```", README.read_text("utf-8"), re.M | re.S)


@pytest.fixture(autouse=True)
def _in_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_the_readme_shows_python() -> None:
    assert PYTHON_BLOCKS


@pytest.mark.parametrize("number", range(len(PYTHON_BLOCKS)))
def test_python_in_the_readme_runs_as_it_stands(number: int) -> None:
    names: dict[str, object] = {}
    exec(compile(PYTHON_BLOCKS[number], f"README.md, python block {number + 1}", "exec"), names)
    paths = names.get("paths", [])
    assert isinstance(paths, list)
    assert [path for path in paths if not path.is_file()] == []


def test_make_returns_the_midi_file_first() -> None:
    paths = groove.make("one-chord-vamp", "out", audio="wav")
    assert [path.suffix for path in paths] == [".mid", ".wav"]
    assert sorted(snapshot(Path("out"))) == sorted(path.name for path in paths)


def test_make_has_the_options_of_the_command_line() -> None:
    heard: list[Report] = []
    paths = groove.make(
        "one-chord-vamp", "out", audio="mp3", stems=True, only=["bass"], report=heard.append
    )
    assert [re.sub(r".*?_\d+", "", path.name) for path in paths] == [
        ".mid", "_only-bass.mp3", "_bass.mp3", "_click.mp3",
    ]  # fmt: skip
    assert heard[0].parts == ("bass", "click")


@pytest.mark.parametrize(("loudness", "noted"), [(-3, True), (-10, False)])
def test_a_loudness_out_of_reach_is_noted(
    loudness: float, noted: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("groove.sound.options.LOUDEST", 0.0)  # what is allowed can be reached
    said: list[str] = []
    form = groove.read_form("one-chord-vamp", chords="I7:2", drums="sixteenth-funk", choruses=1)
    groove.make(form, audio="wav", soundfont=GENERAL_MIDI, loudness=loudness, say=said.append)
    assert any("LU softer than asked for" in line for line in said) == noted


def test_make_takes_a_path_a_name_and_a_form() -> None:
    Path("a.toml").write_text('title = "A"\nchords = "I7:4"\n')
    made = [groove.make(form, "out")[0].read_bytes() for form in (
        "a.toml", Path("a.toml"), groove.read_form("a.toml")
    )]  # fmt: skip
    assert made[0] == made[1] == made[2]


def test_make_again_takes_the_place_of_the_earlier_result() -> None:
    path = groove.make("twelve-bar", "out")[0]
    before = path.read_bytes()
    groove.make(groove.read_form("twelve-bar", seed=99), "out")
    assert path.read_bytes() != before
    assert list(snapshot(Path("out"))) == [path.name]


@pytest.mark.parametrize("key", [key.symbol for key in KEYS])
def test_every_key_reads_back_from_the_midi(key: str) -> None:
    path = groove.make(groove.read_form("one-chord-vamp", key=key, choruses=1), "out")[0]
    (found,) = [m.key for m in mido.MidiFile(path).tracks[0] if m.type == "key_signature"]
    assert found == key


@pytest.mark.parametrize(
    ("audio", "nearest"), [("mp4", "mp3"), ("", "wav"), ("WAV", "wav"), ("wav,fla", "flac")]
)
def test_an_unknown_kind_of_audio_is_an_error_that_names_the_nearest(
    audio: str, nearest: str
) -> None:
    with pytest.raises(groove.GrooveError, match=nearest):
        groove.make("twelve-bar", "out", audio=audio)
    assert snapshot(Path()) == {}


def test_where_the_track_can_t_take_its_name_no_plot_is_left(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    replace = Path.replace

    def refuse(path: Path, target: Path) -> Path:
        if target.suffix == ".mid":
            raise PermissionError(1, "Operation not permitted")
        return replace(path, target)

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(groove.GrooveError, match="not permitted"):
        groove.make("twelve-bar", "out", plot="plots/roll.svg")
    assert snapshot(Path()) == {}


def test_a_written_file_has_the_permissions_that_the_user_s_mask_gives() -> None:
    script = "umask 027; : > plain; exec python -c 'import groove; groove.make(\"twelve-bar\")'"
    path = f"{Path(sys.executable).parent}:{os.environ['PATH']}"
    subprocess.run(["sh", "-c", script], check=True, env=os.environ | {"PATH": path}, timeout=60)
    assert len({path.stat().st_mode for path in Path().iterdir()}) == 1


@pytest.mark.parametrize("job", [groove.make, groove.pack])
def test_an_option_s_old_name_is_an_error_that_names_the_new_one(
    job: Callable[..., object], tmp_path: Path
) -> None:
    with pytest.raises(groove.GrooveError, match="minus-one: is now called without-each"):
        job("twelve-bar", tmp_path / "out", audio="wav", minus_one=True)
    with pytest.raises(TypeError, match="no option 'stem'; did you mean stems"):
        job("twelve-bar", tmp_path / "out", stem=True)
    assert list(tmp_path.iterdir()) == []


SOLOS = ("example", "answers")
FEELS = ("shuffle", "medium-swing", "slow-blues", "bossa", "eighths-rock")


def solo_take(what: str, drums: str = "shuffle", **fields: object) -> Take:
    return groove.compile_take(groove.read_form("twelve-bar", solo=what, drums=drums, **fields))


def notes_of(take: Take, name: str) -> tuple[object, ...]:
    return next(part.notes for part in take.parts if part.name == name)


def test_a_track_without_a_solo_has_no_part_for_it() -> None:
    take = solo_take("none")
    assert [part.name for part in take.parts] == ["drums", "bass", "comping"]
    assert take.parts == groove.compile_take(groove.read_form("twelve-bar", drums="shuffle")).parts


@pytest.mark.parametrize("what", SOLOS)
def test_a_solo_has_a_channel_of_its_own_and_leaves_drums_and_bass_as_they_are(what: str) -> None:
    take, without = solo_take(what), solo_take("none")
    channels = [part.channel for part in take.parts]
    assert take.parts[-1].name == "solo"
    assert channels.count(take.parts[-1].channel) == 1
    assert take.parts[-1].channel not in (2, 9)  # the tuning note's and the drums'
    for name in ("drums", "bass"):
        assert notes_of(take, name) == notes_of(without, name)


@pytest.mark.parametrize("what", SOLOS)
@pytest.mark.parametrize("drums", FEELS)
def test_a_solo_lies_on_the_band_s_beats_within_its_touch(what: str, drums: str) -> None:
    """50 ms at most, patterns/touch/band.toml; in the count-in and without touch none at all."""
    take = solo_take(what, drums)
    notes = take.parts[-1].notes
    chart = take.chart
    assert notes
    for note in notes:
        assert abs(chart.seconds(note.start) - chart.seconds(note.grid)) <= 0.0505
        assert chart.count_in <= note.start < note.start + note.length <= chart.rounds[-1].end + 60
    lines = {n.grid for part in take.parts[:-1] for n in part.notes}
    assert any(note.grid in lines for note in notes)


def test_a_soloist_lies_back_and_is_in_front() -> None:
    take = solo_take("answers", "medium-swing", choruses=4)
    chart = take.chart
    late = [chart.seconds(n.start) - chart.seconds(n.grid) for n in take.parts[-1].notes]
    assert 0.002 < sum(late) / len(late) < 0.03


def test_the_solo_is_a_stem_and_a_mix_leaves_it_out() -> None:
    form = groove.read_form("one-chord-vamp", solo="answers", choruses=1)
    paths = groove.make(
        form, "out", audio="wav", stems=True, without=["drums", "comping"], without_each=True
    )
    assert [re.sub(r".*?_\d+", "", path.name) for path in paths] == [
        ".mid", "_without-drums-comping.wav", "_only-solo.wav", "_only-bass.wav",
        "_bass.wav", "_solo.wav", "_click.wav",
    ]  # fmt: skip


def test_the_instrument_of_the_solo_can_be_chosen() -> None:
    Path("a.toml").write_text(
        'title = "A"\nchords = "I:4"\nsolo = "example"\ninstrument = { solo = "flute" }\n'
    )
    assert groove.compile_take(groove.read_form("a.toml")).parts[-1].program == 73


def test_straight_notes_of_a_solo_lie_on_the_grid() -> None:
    form = groove.read_form("twelve-bar", drums="medium-swing", solo="example")
    notes = groove.compile_take(form, straight_notes=True).parts[-1].notes
    assert {note.start % 80 for note in notes} == {0}


def in_the_way(take: Take, solo: Sequence[PlayedNote]) -> int:
    """The notes of the players of chords that sound with a note of a solo and reach up to it."""
    chords = [n for p in take.parts if p.name in ("comping", "guitar", "keys") for n in p.notes]
    return sum(
        one.start < note.start + note.length
        and note.start < one.start + one.length
        and one.pitch >= note.pitch - 1
        for one in chords
        for note in solo
    )


@pytest.mark.parametrize(
    ("drums", "left"), [("shuffle", 0.5), ("slow-blues", 0.5), ("bossa", 0.5), ("medium-swing", 1)]
)
def test_the_comping_leaves_room_for_a_solo(drums: str, left: float) -> None:
    """It keeps below the soloist's register; half of what would be in the way is not. A swing
    pianist's chords have less room between the bass and a low solo: fewer of them are."""
    take, without = solo_take("answers", drums), solo_take("none", drums)
    solo = take.parts[-1].notes
    assert in_the_way(take, solo) < in_the_way(without, solo) * left
