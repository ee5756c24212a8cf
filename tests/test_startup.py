"""Modules load only when they are needed, so that the command line answers at once."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.command_line import environment

# Runs groove with the arguments, then prints the loaded modules as the last line.
LOADED = """
import json, sys
from groove.cli import main
try:
    main()
except SystemExit as stop:
    assert not stop.code, stop.code
print()
print(json.dumps(sorted(sys.modules)))
"""
SOUND = {"numpy", "pretty_midi", "soundfile", "fluidsynth"}


def loaded(folder: Path, *arguments: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *arguments],
        cwd=folder,
        env=environment(PYTHONPATH=str(Path(__file__).parents[1])),
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return set(json.loads(done.stdout.splitlines()[-1]))


@pytest.mark.parametrize("asked", ["--help", "make --help", "--version", "forms", "patterns"])
def test_help_and_lists_load_neither_sound_nor_midi(asked: str, tmp_path: Path) -> None:
    assert not loaded(tmp_path, *asked.split()) & (SOUND | {"mido"})


def test_the_help_loads_no_command_and_no_music(tmp_path: Path) -> None:
    modules = loaded(tmp_path, "--help")
    rooms = {".".join(name.split(".")[:2]) for name in modules if name.startswith("groove.")}
    assert rooms == {"groove.cli", "groove.commands", "groove.errors", "groove.version"}
    assert {name for name in modules if name.startswith("groove.commands.")} == {
        "groove.commands.terminal"
    }


def test_a_command_loads_no_other(tmp_path: Path) -> None:
    modules = loaded(tmp_path, "make", "--help")
    assert "groove.commands.make" in modules
    assert not modules & {"groove.commands.handouts", "groove.commands.pack"}


def test_check_loads_neither_sound_nor_midi(tmp_path: Path) -> None:
    assert not loaded(tmp_path, "check", "twelve-bar") & (SOUND | {"mido"})


def test_make_without_audio_loads_no_sound(tmp_path: Path) -> None:
    modules = loaded(tmp_path, "make", "twelve-bar", "--audio", "none")
    assert "mido" in modules
    assert not modules & SOUND
