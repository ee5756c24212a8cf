"""The same form, seed and version give the same MIDI bytes in every process."""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import pytest

from groove import compile_take, library, read_form
from groove.sound.midi import midi_file
from tests.command_line import environment

# Prints a digest of each form named, without a solo and with one, in the order named.
DIGESTS = """
import hashlib, io, sys
from groove import compile_take, read_form
from groove.sound.midi import midi_file
for name in sys.argv[1:]:
    for solo in ("none", "answers"):
        file = io.BytesIO()
        midi_file(compile_take(read_form(name, solo=solo))).save(file=file)
        print(name, solo, hashlib.sha256(file.getvalue()).hexdigest())
"""
CHECKOUT = str(Path(__file__).parents[1])
FORMS = library.names("forms")


def midi_of(name: str, **overrides: object) -> bytes:
    file = io.BytesIO()
    midi_file(compile_take(read_form(name, **overrides))).save(file=file)
    return file.getvalue()


def digests(names: tuple[str, ...], folder: Path, hash_seed: str) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-c", DIGESTS, *names],
        cwd=folder,
        env=environment(PYTHONHASHSEED=hash_seed, PYTHONPATH=CHECKOUT),
        capture_output=True,
        text=True,
        check=True,
        timeout=600,  # of a hanging one; a busy machine needs minutes
    )
    return sorted(done.stdout.splitlines())


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    return digests(FORMS, tmp_path_factory.mktemp("here"), "0")


@pytest.mark.parametrize(
    ("hash_seed", "names", "folder"),
    [("1", FORMS[::-1], "/"), ("random", FORMS, ".")],
)
def test_bytes_depend_on_nothing_but_the_form(
    hash_seed: str, names: tuple[str, ...], folder: str, plain: list[str], tmp_path: Path
) -> None:
    """Not on the process and its hash seed, the working directory and what was compiled before."""
    assert digests(names, tmp_path / folder, hash_seed) == plain


def test_a_second_compilation_in_the_same_process_gives_the_same_bytes() -> None:
    assert midi_of("rhythm-changes") == midi_of("rhythm-changes")


@pytest.mark.parametrize("name", FORMS)
def test_another_seed_gives_other_bytes(name: str) -> None:
    assert len({midi_of(name, seed=seed) for seed in range(4)}) == 4
