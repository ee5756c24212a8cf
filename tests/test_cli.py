"""The command line: runs that work, its streams, and its end where the system fails."""

from __future__ import annotations

import asyncio
import json
import os
import pty
import re
import resource
import shlex
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Coroutine
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from typing import Any

import click
import pytest

import groove
from groove import library
from groove.cli import COMMANDS, DETAILS, cli
from groove.commands.options import PATTERN_KINDS
from groove.form.fields import FIELDS
from groove.sound.synth.soundfonts import packaged
from tests.command_line import GROOVE, Result, call, environment, run, snapshot, start
from tests.handout.practice.page_material import the_notes_of_one_key

LONG_TRACK = ("make", "twelve-bar", "--choruses", "30", "--audio", "wav", "-o", "out")


@pytest.fixture(autouse=True)
def _in_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def loaded(command: str) -> click.Command:
    found = cli.get_command(click.Context(cli), command)
    assert found
    return found


def midi_of(*arguments: str, stdin: bytes = b"") -> bytes:
    result = call("make", *arguments, "-o", "made", stdin=stdin)
    assert result.code == 0, result.err
    content = Path(result.out.strip()).read_bytes()
    shutil.rmtree("made")
    return content


def sheet_of(*arguments: str) -> str:
    result = call("sheet", *arguments)
    assert result.code == 0, result.err
    return result.out


# Runs that work


def test_make_writes_the_midi_and_the_wav_and_prints_their_paths() -> None:
    asked = (
        "make twelve-bar --key G --tempo 112 --feel straight --drums rumba --no-turnaround "
        "--choruses 3 --audio wav -o out"
    )
    result = run(*asked.split())
    paths = [Path("out/twelve-bar-blues_G_112.mid"), Path("out/twelve-bar-blues_G_112.wav")]
    assert (result.code, result.out.splitlines()) == (0, [str(path) for path in paths])
    assert [path.read_bytes()[:4] for path in paths] == [b"MThd", b"RIFF"]
    assert sorted(snapshot(Path("out"))) == [path.name for path in paths]


def test_audio_names_its_soundfont_and_licence_on_standard_error() -> None:
    result = call("make", "one-chord-vamp", "--choruses", "1", "--audio", "wav")
    assert result.err == f"soundfont: {packaged()}\n"


SHORT = ("make", "one-chord-vamp", "--choruses", "1", "-o", "out")
REPORTED = (
    "length", "parts", "loudness", "loudness range", "true peak", "limiter", "comping",
    "soundfont", "licence", "credits",
)  # fmt: skip


def suffixes(result: Result) -> list[str]:
    """The ends of the file names on standard output, after title, key and tempo."""
    names = [Path(line).name.split("_", 2)[2] for line in result.out.splitlines()]
    return [re.sub(r"^[\d.]+?(?=[._][a-z])", "", name) for name in names]


def test_stems_and_without_each_are_written_beside_the_mix_under_plain_names() -> None:
    result = call(*SHORT, "--audio", "wav", "--stems", "--without-each")
    assert suffixes(result) == [
        ".mid", ".wav", "_without-drums.wav", "_without-bass.wav", "_without-comping.wav",
        "_drums.wav", "_bass.wav", "_comping.wav", "_click.wav",
    ]  # fmt: skip


@pytest.mark.parametrize("command", ["make", "pack"])
def test_the_option_s_old_name_is_one_line_that_names_the_new_one(command: str) -> None:
    result = call(command, "twelve-bar", "--minus-one", "-o", "out")
    assert (result.code, result.out) == (2, "")
    assert re.fullmatch(r"groove: --minus-one: .*called without-each.*\n", result.err)
    assert snapshot(Path()) == {}
    assert "minus" not in call(command, "--help").out


def test_only_and_without_say_who_plays_and_ask_for_wav() -> None:
    assert suffixes(call(*SHORT, "--without", "bass")) == [".mid", "_without-bass.wav"]
    assert suffixes(call(*SHORT, "--only", "drums,bass")) == [".mid", "_without-comping.wav"]
    assert suffixes(call(*SHORT, "--only", "drums")) == [".mid", "_only-drums.wav"]


@pytest.mark.parametrize("asked", [("--audio", "wav,flac"), ("--audio", "wav", "--audio", "FLAC")])
def test_formats_come_with_commas_or_one_by_one(asked: tuple[str, ...]) -> None:
    assert suffixes(call(*SHORT, *asked)) == [".mid", ".wav", ".flac"]


@pytest.mark.parametrize("asked", [(), ("--audio", "wav")])
def test_the_report_says_what_there_is_to_say(asked: tuple[str, ...]) -> None:
    result = call(*SHORT, *asked, "--report")
    said = [line.split(":")[0] for line in result.err.splitlines()]
    assert [name for name in REPORTED if name not in said] == []
    assert all(Path(path).is_file() for path in result.out.splitlines())


def test_json_on_standard_output_has_the_report_and_the_paths() -> None:
    result = call(*SHORT, "--audio", "wav", "--json")
    facts = json.loads(result.out)
    assert [Path(path).suffix for path in facts["files"]] == [".mid", ".wav"]
    assert facts["heard"]["loudness"] == pytest.approx(-14, abs=0.5)
    assert facts["parts"] == ["drums", "bass", "comping", "click"]


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("--without", "bas"), "did you mean bass"),
        (("--only", "drums,pinao"), "'pinao'"),
        (("--only", "bass", "--without", "bass"), "no player"),
        (("--audio", "none", "--stems"), "stems: needs audio"),
        (("--audio", "wav", "--bits", "20"), "16"),
        (("--audio", "wav", "--loudness", "-3"), "-40 to -10"),
    ],
)
def test_audio_that_cannot_be_is_one_line_and_no_file(asked: tuple[str, ...], said: str) -> None:
    result = call(*SHORT, *asked)
    assert result.code == 2
    assert said in result.err.splitlines()[-1]
    assert snapshot(Path()) == {}


def test_a_file_standard_input_and_a_bare_name_give_the_same_bytes() -> None:
    text = library.path_of("forms", "twelve-bar").read_bytes()
    Path("mine.toml").write_bytes(text)
    assert midi_of("twelve-bar") == midi_of("mine.toml") == midi_of("-", stdin=text)


def test_every_field_but_sections_is_an_option_of_make_and_check() -> None:
    wanted = {"--" + name.replace("_", "-") for name in FIELDS if name != "sections"}
    for command in ("make", "check"):
        there = {flag for option in loaded(command).params for flag in option.opts}
        assert wanted <= there


VALUES = {  # a value of each field other than the form's own, as TOML has it
    "plain": '"all"',
    "title": '"Other"',
    "key": '"Bb"',
    "tempo": "101.5",
    "meter": '"3/4"',
    "feel": '"shuffle"',
    "swing_ratio": "1.5",
    "chords": '"I7:2 IV7:1.5 V7:1/2"',
    "quick_change": "true",
    "turnaround": '"I7:1/2 VI7:1/2 ii7:1/2 V7:1/2"',
    "tempo_step": "-2.5",
    "key_cycle": '"fourths"',
    "tuning_note": "true",
    "a4": "442",
    "choruses": "2",
    "count_in": "2",
    "ending": '"ring"',
    "drums": '"medium-swing"',
    "bass": '"tumbao"',
    "comping": '"bossa-guitar"',
    "percussion": '"shaker, congas"',
    "seed": "9223372036854775807",
    "solo": '"example"',
    "intensity": '"3"',
    "tightness": "1",
    "order": '"Form:-4; Form x2"',
    "teacher": '"Ada Finch"',
    "link": '"https://lessons.example"',
    "invite": '"Send me your version."',
    "learner": '"beginner"',
    "blocks": '"plan, chart"',
}
ON_PAPER = ("teacher", "link", "invite", "learner", "blocks")
"""Fields that show on the lesson sheet and not in the MIDI file."""


@pytest.mark.parametrize("field", [name for name in FIELDS if name not in ("sections", "words")])
def test_an_option_gives_the_bytes_that_the_file_gives_and_others_than_without(field: str) -> None:
    without = {"title": '"A"', "chords": '"I7:4 IV7:2 I7:2 V7 IV7 I7:2"'}
    for name, fields in (("without", without), ("with", without | {field: VALUES[field]})):
        text = "".join(f"{key} = {value}\n" for key, value in fields.items())
        Path(f"{name}.toml").write_text(text)
    flag, value = "--" + field.replace("_", "-"), VALUES[field].strip('"')
    option = [flag] if value == "true" else [flag, value]
    made = sheet_of if field in ON_PAPER else midi_of
    assert made("without.toml", *option) == made("with.toml") != made("without.toml")


def test_no_turnaround_takes_the_form_s_turnaround_away() -> None:
    Path("a.toml").write_text('title = "A"\nchords = "I:4"\nturnaround = true\n')
    Path("b.toml").write_text('title = "A"\nchords = "I:4"\n')
    assert midi_of("a.toml", "--no-turnaround") == midi_of("b.toml") != midi_of("a.toml")


def test_a_form_through_a_shell_s_pipe_file_is_read() -> None:
    script = f"{GROOVE} check <({GROOVE} forms twelve-bar)"
    done = subprocess.run(["bash", "-c", script], capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_title_cannot_lead_out_of_the_folder() -> None:
    assert call("make", "twelve-bar", "--title", "../../up", "-o", "out").code == 0
    assert {path.split("/")[0] for path in snapshot(Path())} == {"out"}


def test_notes_go_to_standard_error_and_paths_alone_to_standard_output() -> None:
    result = call("make", "twelve-bar", "--tempo", "300")
    assert Path(result.out.rstrip("\n")).is_file()
    assert result.err.startswith("note: tempo 300")


# Help, lists, completion


def test_the_help_lists_every_command_with_a_line() -> None:
    lines = call("--help").out.partition("Commands:\n")[2].splitlines()
    assert [tuple(line.split(maxsplit=1)) for line in lines] == sorted(
        (name, line) for name, (_, line) in COMMANDS.items()
    )


@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_help_has_an_example_that_works(command: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("webbrowser.open", lambda _address: None)
    monkeypatch.setattr("groove.screen.session.PATIENCE", 0)  # no window comes
    monkeypatch.setattr("groove.screen.serve.asyncio.run", _run_apart)
    result = call(*command.split(), "--help")
    assert (result.code, result.err) == (0, "")
    example = re.search(r"Example:\n +groove (.*?)(?:\n\n|\n?\Z)", result.out, re.DOTALL)
    assert example
    words = shlex.split(example[1].split(" > ")[0])
    shutil.copy(library.path_of("forms", "one-chord-vamp"), "ferry.toml")
    Path("friday.toml").write_text('[[tunes]]\nform = "ferry.toml"\n', "utf-8")
    short = ("--chords", "I7:2 V7:2", "--choruses", "1")
    quick = {
        "make": short,
        "page": short,
        "pack": (*short, "--audio", "none", "--keys", "C"),
        "set": ("--choruses", "1"),
        "video": ("--chords", "I7", "--choruses", "1", "--tempo", "200"),
    }
    with the_notes_of_one_key():
        assert call(*words, *quick.get(words[0], ())).code == 0


def _run_apart(main: Coroutine[Any, Any, None]) -> None:
    """Run a coroutine in a thread of its own: a browser that tests share has a loop in this one."""
    with ThreadPoolExecutor(1) as apart:
        apart.submit(asyncio.Runner().run, main).result()


def test_version_is_the_package_s() -> None:
    assert call("--version").out.strip().endswith(groove.version.__version__)


def test_no_command_shows_the_help_and_is_bad_usage() -> None:
    result = call()
    assert (result.code, result.out, "Commands:" in result.err) == (2, "", True)


def test_forms_lists_every_form_on_its_line() -> None:
    listed = [line.split()[0] for line in call("forms").out.splitlines()]
    assert listed == list(library.names("forms"))


def test_patterns_lists_every_pattern_on_its_line() -> None:
    listed = [tuple(line.split()[:2]) for line in call("patterns").out.splitlines()]
    assert listed == [(kind, name) for kind in PATTERN_KINDS for name in library.names(kind)]


def test_forms_with_a_name_prints_that_form_s_file() -> None:
    assert call("forms", "eight-bar").out == library.path_of("forms", "eight-bar").read_text()


def test_patterns_with_a_name_prints_its_box_notation() -> None:
    assert call("patterns", "rumba").out == library.path_of("drums", "rumba").read_text()


def test_patterns_with_a_name_of_two_kinds_prints_both() -> None:
    out = call("patterns", "bossa").out
    assert "# drums/bossa.toml" in out
    assert "# bass/bossa.toml" in out


@pytest.mark.parametrize("arguments", [("forms", "twelve-bars"), ("patterns", "rhumba")])
def test_an_unknown_name_in_a_list_names_the_nearest(arguments: tuple[str, str]) -> None:
    result = call(*arguments)
    assert (result.code, result.out, result.err.count("\n")) == (2, "", 1)
    assert "did you mean" in result.err


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_script_is_one_that_the_shell_takes(shell: str) -> None:
    script = run(env=environment(_GROOVE_COMPLETE=f"{shell}_source")).out
    assert "_GROOVE_COMPLETE" in script
    if shutil.which(shell):
        subprocess.run([shell, "-n", "-c", script], check=True, timeout=60)


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("groove make twel", "twelve-bar"),
        ("groove check min", "minor-vamp"),
        ("groove forms eig", "eight-bar"),
        ("groove patterns ru", "rumba"),
        ("groove make twelve-bar --drums ru", "rumba"),
        ("groove make twelve-bar --bass tum", "tumbao"),
        ("groove make twelve-bar --comping off", "offbeat-guitar"),
        ("groove make twelve-bar --audio w", "wav"),
        ("groove make twelve-bar --audio wav,m", "mp3"),
        ("groove make twelve-bar --without ba", "bass"),
        ("groove make --count", "--count-in"),
        ("groove pat", "patterns"),
    ],
)
@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_finds(
    typed: str, wanted: str, shell: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("_GROOVE_COMPLETE", f"{shell}_complete")
    monkeypatch.setenv("COMP_WORDS", typed)
    last = typed.split()[-1]
    monkeypatch.setenv("COMP_CWORD", last if shell == "fish" else str(len(typed.split()) - 1))
    assert wanted in re.split(r"[,\n\t]", call().out)


# Streams and surroundings


def test_closed_streams_change_nothing_in_the_files() -> None:
    asked = "make one-chord-vamp --choruses 1 --chords I7 --audio wav -o"
    assert call(*asked.split(), "open").code == 0
    for number, closed in enumerate(("<&-", ">&-", "2>&-", "<&- >&- 2>&-")):
        subprocess.run(
            ["bash", "-c", f"{GROOVE} {asked} {number} {closed}"], timeout=60, check=True
        )
        assert snapshot(Path(f"{number}")) == snapshot(Path("open")), closed


def test_closed_standard_input_as_form_is_one_line() -> None:
    done = subprocess.run(
        ["bash", "-c", f"{GROOVE} make - <&-"], capture_output=True, text=True, timeout=60
    )
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (1, "", 1)
    assert "standard input: empty" in done.stderr


def test_a_reader_that_goes_away_leaves_no_traceback() -> None:
    script = f"set -o pipefail; for n in 1 2 3; do {GROOVE} patterns | head -n 1; done"
    done = subprocess.run(["bash", "-c", script], capture_output=True, text=True, timeout=60)
    assert (done.stdout.count("\n"), done.stderr) == (3, "")


@pytest.mark.parametrize("command", ["patterns", "check twelve-bar", "forms twelve-bar"])
def test_a_full_standard_output_is_one_line(command: str) -> None:
    with Path("/dev/full").open("wb") as full:
        result = run(*command.split(), stdout=full)
    assert result == (1, "", "groove: output: No space left on device\n")


@pytest.mark.parametrize("more", ["", " --audio wav --json"])
def test_a_list_that_can_not_be_printed_does_not_deny_that_all_is_written(more: str) -> None:
    asked = f"make one-chord-vamp --choruses 1 -o out{more}".split()
    with Path("/dev/full").open("wb") as full:
        result = run(*asked, stdout=full)
    assert result.code == 1
    assert result.err.splitlines()[-1] == (
        "groove: all is written, but the list of the files could not be printed: "
        "No space left on device"
    )
    written = snapshot(Path("out"))
    assert call(*asked[:-2], "-o", "again").code == 0 if not more else written
    assert all(written.values())


@pytest.mark.parametrize(
    ("command", "code"),
    [("make twelve-bar --tempo 300", 0), ("make", 2), ("make no-such-form", 2), ("", 2)],
)
def test_messages_that_can_not_be_printed_change_nothing(command: str, code: int) -> None:
    env = environment(PYTHONUNBUFFERED=None)
    with Path("/dev/full").open("wb") as full:
        assert run(*command.split(), stderr=full, env=env).code == code


# Faults


def test_an_unexpected_error_is_one_line_to_report_and_details_on_request(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def broken(*_arguments: object) -> None:
        raise ValueError("a thing that\ncan't be")

    monkeypatch.setattr("groove.track.file_stem", broken)
    monkeypatch.delenv(DETAILS, raising=False)
    result = call("make", "twelve-bar")
    assert (result.code, result.out, result.err.count("\n")) == (1, "", 1)
    assert "ValueError: a thing that can't be (groove/track.py, line " in result.err
    assert "please report this line and the command" in result.err
    monkeypatch.setenv(DETAILS, "1")
    result = call("make", "twelve-bar")
    assert result.code == 1
    assert "Traceback" in result.err


@pytest.mark.parametrize(
    "error",
    [
        MemoryError(),
        ImportError("libx.so: failed to map segment from shared object"),
        RuntimeError("can't start new thread"),
    ],
    ids=lambda error: type(error).__name__,
)
def test_no_memory_left_is_one_line(error: Exception, monkeypatch: pytest.MonkeyPatch) -> None:
    def short(*_arguments: object) -> None:
        try:
            raise error
        finally:
            raise RuntimeError("what became of it")

    monkeypatch.setattr("groove.track.compile_take", short)
    assert call("make", "twelve-bar") == (
        1, "", "groove: out of memory; nothing is left half-written\n"
    )  # fmt: skip
    assert snapshot(Path()) == {}


@pytest.mark.parametrize("megabytes", [60, 90, 160, 260])
def test_a_track_for_which_there_is_no_memory_leaves_nothing(megabytes: int) -> None:
    result = run(
        "make", "twelve-bar", "--audio", "wav", "-o", "out",
        preexec_fn=limited(resource.RLIMIT_AS, megabytes << 20),
    )  # fmt: skip
    assert result.code == 1
    assert re.fullmatch("groove: .*memory.*", result.err.splitlines()[-1])
    assert "Traceback" not in result.err
    assert snapshot(Path()) == {}


def test_a_pack_for_which_there_is_no_memory_does_not_miss_the_library() -> None:
    result = run(
        "pack", "twelve-bar", "--keys", "C", "-o", "out",
        preexec_fn=limited(resource.RLIMIT_AS, 60 << 20),
    )  # fmt: skip
    assert (result.code, result.out, snapshot(Path())) == (1, "", {})
    assert result.err.startswith("groove: out of memory")


@pytest.mark.parametrize(
    "settings",
    [
        {"LC_ALL": "C", "LANG": None},
        {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"},
        {"PYTHONIOENCODING": "ascii"},
        {"PYTHONIOENCODING": "latin-1"},
    ],
    ids=["C", "C, not coerced", "ascii", "latin-1"],
)
def test_a_title_that_the_terminal_cannot_show_is_no_failure(
    settings: dict[str, str | None],
) -> None:
    Path("night.toml").write_text('title = "Лодка ♭"\nchords = "I7:4"\n', "utf-8")
    assert run("check", "night.toml", env=environment(**settings)).code == 0


def test_the_title_in_the_midi_does_not_depend_on_the_locale() -> None:
    Path("night.toml").write_text('title = "Лодка"\nchords = "I7:4"\n', "utf-8")
    result = run("make", "night.toml", env=environment(LC_ALL="C", PYTHONUTF8="0", LANG=None))
    assert Path(result.out.strip()).read_bytes() == midi_of("night.toml")


def test_a_folder_whose_name_is_no_text_is_written_and_printed_byte_for_byte() -> None:
    with start("make", "twelve-bar", "-o", b"o\xff", env=environment(LC_ALL="C.UTF-8")) as process:
        out, err = process.communicate(timeout=60)
    assert (process.returncode, err) == (0, b"")
    assert Path(os.fsdecode(out.removesuffix(b"\n"))).is_file()


def test_neither_home_nor_anything_else_in_the_environment_is_needed() -> None:
    result = run("make", "one-chord-vamp", "--choruses", "1", "--audio", "wav", env={"CI": "1"})
    assert (result.code, len(result.out.splitlines())) == (0, 2)


def test_a_bad_soundfont_in_the_environment_is_named_with_its_variable() -> None:
    env = environment(GROOVE_SOUNDFONT="no.sf2")
    result = run("make", "twelve-bar", "--audio", "wav", "-o", "out", env=env)
    assert (result.code, result.out, snapshot(Path())) == (1, "", {})
    assert re.fullmatch(r"groove: GROOVE_SOUNDFONT: .*no\.sf2.*\n", result.err)


def test_names_without_end_stay_one_readable_line_end_to_end() -> None:
    result = run("make", "x" * 10_000)
    assert (result.code, result.out, result.err.count("\n")) == (1, "", 1)
    assert len(result.err) < 700


def limited(kind: int, most: int) -> Callable[[], None]:
    return lambda: resource.setrlimit(kind, (most, most))


@pytest.mark.parametrize(
    ("most", "audio"), [(0, "none"), (1_000, "none"), (100_000, "wav")], ids=str
)
def test_no_room_for_a_file_ends_in_one_line_and_leaves_nothing(most: int, audio: str) -> None:
    result = run(
        "make", "twelve-bar", "-o", "new/out", "--audio", audio,
        preexec_fn=limited(resource.RLIMIT_FSIZE, most),
    )  # fmt: skip
    lines = [line for line in result.err.splitlines() if not line.startswith("soundfont: ")]
    assert (result.code, result.out, len(lines)) == (1, "", 1)
    assert re.search(r"new/out/twelve-bar-blues_C_112\.(mid|wav): .*(too large|room)", lines[0])
    assert snapshot(Path()) == {}


def test_a_full_disk_ends_in_one_line_and_leaves_what_was_there(tmp_path: Path) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = ["mount", "-t", "tmpfs", "-o", "size=256k", "none", str(disk)]
    if os.geteuid() or subprocess.run(mounted, capture_output=True).returncode:
        pytest.skip("a small disk can't be mounted here")
    try:
        assert call("make", "one-chord-vamp", "--choruses", "1", "-o", "disk").code == 0
        before = snapshot(disk)
        result = call(
            "make", "one-chord-vamp", "--choruses", "1", "--seed", "2", "--audio", "wav",
            "-o", "disk",
        )  # fmt: skip
        assert (result.code, result.out) == (1, "")
        assert "no room" in result.err.splitlines()[-1]
        assert snapshot(disk) == before
    finally:
        subprocess.run(["umount", str(disk)], check=True)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_stopping_in_the_middle_of_the_audio_leaves_what_was_there(number: signal.Signals) -> None:
    Path("out").mkdir()
    kept = Path("out/twelve-bar-blues_C_112.mid")
    kept.write_bytes(b"from before")
    # A parent that ignores a signal would hand that on.
    with start(*LONG_TRACK, preexec_fn=lambda: signal.signal(number, signal.SIG_DFL)) as process:
        assert process.stderr
        assert process.stderr.readline().startswith(b"soundfont: ")
        time.sleep(0.2)
        process.send_signal(number)
        out, err = process.communicate(timeout=60)
    assert (process.returncode, out) == (1, b"")
    assert err.split(b"\n") == [b"", b"groove: stopped; nothing was written", b""]
    assert snapshot(Path("out")) == {kept.name: b"from before"}


def test_stopped_while_it_lists_written_files_it_does_not_deny_them(tmp_path: Path) -> None:
    """Its output is not read, as in a pager that waits; the pipe is full."""
    reading, writing = os.pipe()
    os.set_blocking(writing, False)
    with suppress(BlockingIOError):
        while os.write(writing, b"\n" * 4096):
            pass
    os.set_blocking(writing, True)
    with start("chart", "twelve-bar", "-o", "a.svg", stdout=writing) as process:
        while not Path("a.svg").exists():
            assert process.poll() is None
            time.sleep(0.01)
        time.sleep(0.2)
        process.send_signal(signal.SIGTERM)
        try:
            _, err = process.communicate(timeout=60)
        finally:
            process.kill()
    os.close(reading)
    os.close(writing)
    assert process.returncode == 1
    assert err.decode() == "groove: stopped; what was asked for is written\n"


def test_a_second_signal_does_not_disturb_the_tidying_up_after_the_first() -> None:
    with start(*LONG_TRACK, preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL)) as run:
        assert run.stderr
        assert run.stderr.readline().startswith(b"soundfont: ")
        time.sleep(0.2)
        for number in (signal.SIGTERM, signal.SIGINT, signal.SIGTERM, signal.SIGINT):
            run.send_signal(number)
            time.sleep(0.02)
        _, err = run.communicate(timeout=60)
    assert (run.returncode, err) == (1, b"\ngroove: stopped; nothing was written\n")
    assert not Path("out").exists()


LOADING = """
import os, signal, sys
class Stop:
    def find_spec(self, name, *_):
        if name == {module!r}:
            {what}
sys.meta_path.insert(0, Stop())
sys.argv = ["groove", "make", "twelve-bar"]
import runpy
{run}
"""
AS_PROGRAM = "from groove.__main__ import main; main()"
AS_MODULE = "runpy.run_module('groove', run_name='__main__', alter_sys=True)"


@pytest.mark.parametrize("run_as", [AS_PROGRAM, AS_MODULE], ids=["groove", "python -m groove"])
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
@pytest.mark.parametrize("module", ["groove.cli", "groove.commands.make", "groove.band.take"])
def test_stopping_while_the_program_loads_ends_in_one_line(
    module: str, number: signal.Signals, run_as: str
) -> None:
    what = f"signal.raise_signal({int(number)})"
    done = subprocess.run(
        [sys.executable, "-c", LOADING.format(module=module, what=what, run=run_as)],
        capture_output=True,
        text=True,
    )
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.strip() == "groove: stopped; nothing was written"


def test_stopped_while_a_dataclass_is_made_python_m_ends_with_its_own_exit_code() -> None:
    """There the interrupt passes through code compiled from a string."""
    Path("dataclasses_.py").write_text(
        "import signal\n"
        "def stopped():\n"
        "    exec('import signal; signal.raise_signal(signal.SIGTERM)')\n"
    )
    Path("sitecustomize.py").write_text(
        "import sys\n"
        "class Stop:\n"
        "    def find_spec(self, name, *_):\n"
        "        if name == 'groove.cli':\n"
        "            import dataclasses_\n"
        "            dataclasses_.stopped()\n"
        "sys.meta_path.insert(0, Stop())\n"
    )
    checkout = str(Path(groove.__file__).parents[1])
    done = subprocess.run(
        [sys.executable, "-m", "groove", "make", "twelve-bar"],
        env=environment(PYTHONPATH=f"{Path.cwd()}:{checkout}"),
        capture_output=True,
        text=True,
    )
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr == "groove: stopped; nothing was written\n"


def test_no_memory_to_load_the_program_is_one_line() -> None:
    script = LOADING.format(module="groove.cli", what="raise MemoryError", run=AS_PROGRAM)
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True)
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr == "groove: the program can't be loaded: out of memory\n"


@pytest.mark.parametrize("delay", [0.5, 1.0, 1.5])
def test_a_run_killed_at_any_moment_leaves_no_file_under_a_final_name(delay: float) -> None:
    with start(*LONG_TRACK, "--stems") as process:
        time.sleep(delay)
        process.kill()
    left = [name for name in snapshot(Path("out")) if not name.startswith(".")]
    assert (process.returncode, left) == (-signal.SIGKILL, [])


def on_a_terminal(*arguments: str, stop: bool = False) -> tuple[int, str]:
    """Exit code of ``groove ARGUMENTS`` and what it shows on a terminal as standard error."""
    ours, theirs = pty.openpty()
    with start(*arguments, stderr=theirs) as process:
        os.close(theirs)
        shown = b""
        while True:
            try:
                shown += (read := os.read(ours, 10_000))
            except OSError:  # the terminal's other end is closed
                read = b""
            if not read:
                break
            if stop and b"%" in shown:
                process.send_signal(signal.SIGINT)
                stop = False
        code = process.wait(timeout=60)
    os.close(ours)
    return code, shown.decode()


def test_a_terminal_shows_a_progress_bar_that_comes_to_its_end() -> None:
    code, shown = on_a_terminal("make", "one-chord-vamp", "--choruses", "2", "--audio", "wav")
    assert (code, "100%" in shown) == (0, True)


def test_stopping_gives_the_terminal_its_cursor_back() -> None:
    code, shown = on_a_terminal(*LONG_TRACK, stop=True)
    assert code == 1
    assert shown.rfind("\x1b[?25h") > shown.rfind("\x1b[?25l") > -1


def test_no_progress_bar_off_a_terminal() -> None:
    result = call("make", "one-chord-vamp", "--choruses", "1", "--audio", "wav")
    assert result.err.count("\n") == 1


def test_escapes_in_a_soundfont_s_file_name_do_not_reach_the_terminal() -> None:
    fonts = [path for path in Path("/usr/share/sounds/sf2").glob("*.sf2") if path.is_file()]
    Path("\x1b[31m.sf2").symlink_to(fonts[0] if fonts else "none")
    _, shown = on_a_terminal(
        "make", "one-chord-vamp", "--choruses", "1", "--soundfont", "\x1b[31m.sf2",
        "--audio", "wav", "--key", "\x1b[31m",
    )  # fmt: skip
    assert "\x1b[31m" not in shown
